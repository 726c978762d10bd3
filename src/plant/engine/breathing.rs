//! How much gas the cylinders draw.
use crate::map::Table1;

/// Volumetric efficiency by table over speed, with the effect of back pressure.
#[derive(Debug, Clone, PartialEq)]
pub struct Breathing {
    /// Volumetric efficiency over crankshaft speed \[rad/s → -\] at equal
    /// manifold pressures, on the density in the intake volume.
    pub table: Table1,
    /// Share of the residual-gas correction that acts \[-\]; 1 for no valve
    /// overlap, 0 for none.
    pub back_pressure_effect: f64,
}

impl Breathing {
    /// Volumetric efficiency \[-\].
    ///
    /// η_v = η_table · {1 + e [ (r − (p_e/p_i)^(1/γ)) / (r − 1) − 1 ]}: the
    /// burned gas left in the clearance volume expands from exhaust to intake
    /// pressure and takes its place from fresh charge (Heywood 1988, eq. 6.2
    /// with 6.3's residual term; from memory). Valid for p_e/p_i from 0.3 to 4.
    pub fn volumetric_efficiency(
        &self,
        speed_rad_s: f64,
        exhaust_over_intake_pressure: f64,
        compression_ratio: f64,
        gamma_residual: f64,
    ) -> f64 {
        let base = self.table.at(speed_rad_s);
        let expanded = (exhaust_over_intake_pressure.ln() / gamma_residual).exp();
        let ideal = (compression_ratio - expanded) / (compression_ratio - 1.0);
        base * (1.0 + self.back_pressure_effect * (ideal - 1.0))
    }
}
