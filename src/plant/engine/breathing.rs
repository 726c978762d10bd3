//! How much gas the cylinders draw.
use crate::map::Table1;

/// Intake pressure at which a controller takes a formula's efficiency \[Pa abs\]:
/// a usual one under load.
pub const ASSUMED_INTAKE_PA: f64 = 200e3;

/// Volumetric efficiency at equal manifold pressures, on the density in the
/// intake volume.
#[derive(Debug, Clone, PartialEq)]
pub enum Filling {
    /// A table over crankshaft speed \[rad/s → -\].
    Table(Table1),
    /// A formula over intake pressure and crankshaft speed.
    Formula(FillingFormula),
}

impl Filling {
    /// Volumetric efficiency \[-\] at a crankshaft speed \[rad/s\] and an intake
    /// pressure \[Pa abs\].
    #[inline]
    pub fn at(&self, speed_rad_s: f64, intake_pa: f64) -> f64 {
        match self {
            Self::Table(table) => table.at(speed_rad_s),
            Self::Formula(formula) => formula.at(speed_rad_s, intake_pa),
        }
    }
}

/// Volumetric efficiency as a sum of roots.
///
/// η_v = v₁ √p_i + v₂ √ω + v₃, p_i in Pa and ω in rad/s. The form of M.
/// Sivertsson, L. Eriksson, "Modelling for Optimal Control: A Validated
/// Diesel-Electric Powertrain Model", SIMS 55 (2014), fitted there to a 6.7 l
/// diesel; it holds where it was fitted and not far beyond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FillingFormula {
    /// v₁ \[1/√Pa\].
    pub per_root_pressure: f64,
    /// v₂ \[1/√(rad/s)\].
    pub per_root_speed: f64,
    /// v₃ \[-\].
    pub constant: f64,
}

impl FillingFormula {
    /// Volumetric efficiency \[-\] at a crankshaft speed \[rad/s\] and an intake
    /// pressure \[Pa abs\].
    #[inline]
    pub fn at(&self, speed_rad_s: f64, intake_pa: f64) -> f64 {
        self.per_root_pressure * intake_pa.sqrt()
            + self.per_root_speed * speed_rad_s.sqrt()
            + self.constant
    }
}

/// Volumetric efficiency with the effect of back pressure.
#[derive(Debug, Clone, PartialEq)]
pub struct Breathing {
    /// Volumetric efficiency at equal manifold pressures.
    pub filling: Filling,
    /// Share of the residual-gas correction that acts \[-\]; 1 for no valve
    /// overlap, 0 for none.
    pub back_pressure_effect: f64,
}

impl Breathing {
    /// Volumetric efficiency \[-\].
    ///
    /// η_v = η_equal · {1 + e [ (r − (p_e/p_i)^(1/γ)) / (r − 1) − 1 ]}: the
    /// burned gas left in the clearance volume expands from exhaust to intake
    /// pressure and takes its place from fresh charge (Heywood 1988, eq. 6.2
    /// with 6.3's residual term; from memory). Valid for p_e/p_i from 0.3 to 4.
    pub fn volumetric_efficiency(
        &self,
        speed_rad_s: f64,
        intake_pa: f64,
        exhaust_over_intake_pressure: f64,
        compression_ratio: f64,
        gamma_residual: f64,
    ) -> f64 {
        let base = self.filling.at(speed_rad_s, intake_pa);
        let expanded = (exhaust_over_intake_pressure.ln() / gamma_residual).exp();
        let ideal = (compression_ratio - expanded) / (compression_ratio - 1.0);
        base * (1.0 + self.back_pressure_effect * (ideal - 1.0))
    }
}
