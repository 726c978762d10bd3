//! The duct of the compressor: the column of air that has to be moved.
//!
//! With it the flow is a state, so that the compressor can be left of its surge
//! line for a while and blow backwards. What the streams carry then is told in
//! `charge`.

/// Pipe from filter to intake volume, as one column of air.
///
/// Its momentum balance over a constant area, with the pressures of the lumped
/// elements at its ends (Greitzer, J. Eng. Power 98 (1976), 190-198):
/// `dṁ/dt = (A/L)(p_out(ṁ) − k ṁ|ṁ| − p_intake)`. Valid for frequencies far
/// below that of a standing wave in the pipe, `a/(4L)`: 70 Hz for 1.2 m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChargeDuct {
    /// Length of the column \[m\].
    pub length_m: f64,
    /// Its flow area \[m²\].
    pub area_m2: f64,
}

impl ChargeDuct {
    /// Rate of the mass flow \[kg/s²\] under a difference of pressure over the
    /// column \[Pa\].
    pub fn acceleration_kg_s2(&self, difference_pa: f64) -> f64 {
        self.area_m2 / self.length_m * difference_pa
    }

    /// Frequency \[Hz\] of the column on the spring of a volume, after Helmholtz:
    /// `f = a/(2π) √(A/(V L))` with the speed of sound in the volume \[m/s\].
    pub fn helmholtz_hz(&self, volume_m3: f64, sound_speed_m_s: f64) -> f64 {
        sound_speed_m_s / std::f64::consts::TAU
            * (self.area_m2 / (volume_m3 * self.length_m)).sqrt()
    }

    /// Greitzer's parameter `B = U/(2a) √(V/(A L))`: compliance of the volume
    /// over inertia of the column. Surge is deep and slow at large B; below some
    /// 0.7 to 0.8 of a machine with a steep cubic there is none (Greitzer 1976).
    pub fn greitzer_b(&self, volume_m3: f64, sound_speed_m_s: f64, tip_speed_m_s: f64) -> f64 {
        tip_speed_m_s / (2.0 * sound_speed_m_s)
            * (volume_m3 / (self.area_m2 * self.length_m)).sqrt()
    }
}
