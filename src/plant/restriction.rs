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

    /// Flow \[kg/s\] that a pressure difference drives at a density, in its own
    /// direction; the loss has to be above zero.
    ///
    /// ṁ = √(Δp/k) for |ṁ| above [`ROUNDED_BELOW`] of the reference flow. Below,
    /// where the root's slope has no bound, the odd polynomial
    /// ṁ = ṁ_j (c₁ t + c₃ t³ + c₅ t⁵), t = Δp/Δp_j, takes over, with the value, slope
    /// and curvature of the root at the join ṁ_j = 0.05 ṁ₀, Δp_j = k ṁ_j². A
    /// passage turns laminar there; the polynomial is as smooth and does not claim
    /// its figures. With a loss of 10 kPa at the reference flow the join lies at
    /// 25 Pa.
    pub fn flow_kg_s(&self, difference_pa: f64, density_kg_m3: f64, loss_factor: f64) -> f64 {
        let k = loss_factor * self.coefficient_pa_s2_kg2(density_kg_m3);
        let join_kg_s = ROUNDED_BELOW * self.at_flow_kg_s;
        let t = difference_pa / (k * join_kg_s * join_kg_s);
        if t.abs() >= 1.0 {
            return join_kg_s * t.signum() * t.abs().sqrt();
        }
        let t2 = t * t;
        join_kg_s * t * (ROUNDED[0] + t2 * (ROUNDED[1] + t2 * ROUNDED[2]))
    }
}

/// Share of the reference flow below which a flow between two volumes no longer
/// follows the root of the pressure difference.
pub const ROUNDED_BELOW: f64 = 0.05;

/// c₁, c₃, c₅ with value 1, slope 1/2 and curvature −1/4 at 1, those of √t.
const ROUNDED: [f64; 3] = [1.40625, -0.5625, 0.15625];
