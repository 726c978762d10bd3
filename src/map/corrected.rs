//! Corrected flow and speed: what a machine would pass and turn at agreed
//! inlet conditions, at the same Mach numbers.
//!
//! `W_c = W √(T01/Tref) / (p01/pref)`, `N_c = N √(Tref/T01)`. Both follow from
//! similarity at equal gas constant and heat capacity ratio (Dixon & Hall,
//! *Fluid Mechanics and Thermodynamics of Turbomachinery*, ch. 2). Humidity and
//! other gases than air are not corrected for. Every map chooses its own
//! reference, and no two trades agree on one: never compare two maps before
//! bringing them to the same reference.

/// Inlet conditions to which flows and speeds of a map are corrected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceConditions {
    /// Reference inlet total pressure \[Pa abs\], above zero.
    pub pressure_pa: f64,
    /// Reference inlet total temperature \[K\], above zero.
    pub temperature_k: f64,
}

impl ReferenceConditions {
    /// Corrected flow of an actual flow \[kg/s\] at inlet total pressure \[Pa abs\]
    /// and temperature \[K\]: `W √(T01/Tref) / (p01/pref)`.
    pub fn corrected_flow_kg_s(&self, flow_kg_s: f64, pressure_pa: f64, temperature_k: f64) -> f64 {
        flow_kg_s * (temperature_k / self.temperature_k).sqrt() * self.pressure_pa / pressure_pa
    }

    /// Actual flow of a corrected flow \[kg/s\]: the inverse of
    /// [`Self::corrected_flow_kg_s`].
    pub fn actual_flow_kg_s(
        &self,
        corrected_flow_kg_s: f64,
        pressure_pa: f64,
        temperature_k: f64,
    ) -> f64 {
        corrected_flow_kg_s * (self.temperature_k / temperature_k).sqrt() * pressure_pa
            / self.pressure_pa
    }

    /// Corrected speed of an actual speed (any unit) at inlet total temperature
    /// \[K\]: `N √(Tref/T01)`.
    pub fn corrected_speed(&self, speed: f64, temperature_k: f64) -> f64 {
        speed * (self.temperature_k / temperature_k).sqrt()
    }

    /// Actual speed of a corrected speed: the inverse of [`Self::corrected_speed`].
    pub fn actual_speed(&self, corrected_speed: f64, temperature_k: f64) -> f64 {
        corrected_speed * (temperature_k / self.temperature_k).sqrt()
    }

    /// Factor that carries a corrected flow from this reference to another one.
    pub fn flow_factor_to(&self, other: &Self) -> f64 {
        other.corrected_flow_kg_s(1.0, self.pressure_pa, self.temperature_k)
    }

    /// Factor that carries a corrected speed from this reference to another one.
    pub fn speed_factor_to(&self, other: &Self) -> f64 {
        other.corrected_speed(1.0, self.temperature_k)
    }
}
