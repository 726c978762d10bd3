//! Quadratic pipe loss: filter, charge cooler, exhaust system.

/// A pressure loss that grows with the square of the flow and falls with
/// density.
///
/// Δp = Δp₀ (ṁ/ṁ₀)² ρ₀/ρ, the loss of a turbulent passage with a constant
/// loss coefficient (Idelchik, Handbook of Hydraulic Resistance; from memory).
/// Valid for Mach numbers below about 0.3.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Restriction {
    /// Loss at the reference flow and density \[Pa\].
    pub loss_pa: f64,
    /// Reference flow \[kg/s\].
    pub at_flow_kg_s: f64,
    /// Reference density \[kg/m³\].
    pub at_density_kg_m3: f64,
}

impl Restriction {
    /// No loss at any flow.
    pub const NONE: Self = Self {
        loss_pa: 0.0,
        at_flow_kg_s: 1.0,
        at_density_kg_m3: 1.0,
    };

    /// Loss per squared flow at a density \[Pa/(kg/s)²\].
    pub fn coefficient_pa_s2_kg2(&self, density_kg_m3: f64) -> f64 {
        self.loss_pa / (self.at_flow_kg_s * self.at_flow_kg_s) * self.at_density_kg_m3
            / density_kg_m3
    }
}
