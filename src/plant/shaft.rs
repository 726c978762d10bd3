//! The turbocharger shaft: inertia, bearing loss, tip speeds.

/// The rotating assembly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shaft {
    /// Polar moment of inertia \[kg m²\].
    pub inertia_kg_m2: f64,
    /// Bearing loss per squared speed \[W s²/rad²\].
    ///
    /// Petroff: the friction torque of a lightly loaded journal grows with
    /// speed, its power with the square (Hamrock, Fundamentals of Fluid Film
    /// Lubrication; from memory).
    pub bearing_loss_w_s2: f64,
    /// Tip diameter of the compressor wheel \[m\].
    pub compressor_wheel_m: f64,
    /// Tip diameter of the turbine wheel \[m\].
    pub turbine_wheel_m: f64,
}

impl Shaft {
    /// Speed \[rad/s\] at a kinetic energy \[J\]: ω = √(2E/J).
    pub fn speed_rad_s(&self, energy_j: f64) -> f64 {
        (2.0 * energy_j / self.inertia_kg_m2).sqrt()
    }

    /// Kinetic energy \[J\] at a speed \[rad/s\]: E = ½ J ω².
    pub fn energy_j(&self, speed_rad_s: f64) -> f64 {
        0.5 * self.inertia_kg_m2 * speed_rad_s * speed_rad_s
    }

    /// Bearing loss \[W\] at a kinetic energy \[J\].
    pub fn bearing_power_w(&self, energy_j: f64) -> f64 {
        self.bearing_loss_w_s2 * 2.0 * energy_j / self.inertia_kg_m2
    }

    /// Tip speed of the faster wheel \[m/s\].
    pub fn tip_speed_m_s(&self, speed_rad_s: f64) -> f64 {
        0.5 * speed_rad_s * self.compressor_wheel_m.max(self.turbine_wheel_m)
    }
}
