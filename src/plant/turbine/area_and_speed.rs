//! The turbine as an effective area with a parabola of efficiency: the form of
//! published mean-value models. It has no vanes; a factor on the area stands in.
//!
//! Source: M. Sivertsson, L. Eriksson, "Modelling for Optimal Control: A
//! Validated Diesel-Electric Powertrain Model", SIMS 55 (2014). The factor on the
//! area is not part of that publication.
use super::root_law::root_flow;
use super::{Pulsation, TurbineDemand, TurbineForm, TurbinePoint, behind_loss};
use crate::plant::stream::Stream;

/// Sizes and laws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AreaAndSpeedTurbine {
    /// Effective area \[m²\].
    pub area_m2: f64,
    /// Factor on the flow function \[-\].
    pub flow_factor: f64,
    /// Exponent of the flow function \[-\].
    pub flow_exponent: f64,
    /// Tip diameter of the wheel \[m\].
    pub wheel_diameter_m: f64,
    /// Peak efficiency, mechanical losses included \[-\].
    pub peak_efficiency: f64,
    /// Blade-speed ratio of the peak \[-\].
    pub best_blade_speed_ratio: f64,
    /// Drop of the efficiency per squared distance from it \[-\].
    pub curvature: f64,
    /// Blade-speed ratios between which the parabola is stated \[-\].
    pub stated_blade_speed_ratio: [f64; 2],
    /// Correction for pulsating flow.
    pub pulsation: Pulsation,
}

impl TurbineForm for AreaAndSpeedTurbine {
    fn operate(&self, demand: &TurbineDemand) -> TurbinePoint {
        behind_loss(demand, |d| (self.free(d), Stream::default())).0
    }

    fn has_vanes(&self) -> bool {
        false
    }
}

impl AreaAndSpeedTurbine {
    /// Flow and power with the outlet at the demand's ambient pressure:
    ///
    /// - ṁ = A c₁ p₃ √(1 − Π^c₂)/√(R T₃);
    /// - η = η_max − k (ν − ν_best)², ν = U/√(2 Δh), Δh isentropic, total to static;
    /// - P = ṁ η Δh, written as ṁ [η_max Δh − k (U/√2 − ν_best √Δh)²], which stays
    ///   finite as the drop goes to zero.
    fn free(&self, d: &TurbineDemand) -> TurbinePoint {
        let inlet = d.inlet;
        let outlet_pa = d.ambient.pressure_pa;
        let area_m2 = self.area_m2 * self.flow_factor * self.pulsation.flow_factor * d.area_factor;
        let ratio = outlet_pa / inlet.pressure_pa;
        if ratio >= 1.0 {
            return self.backwards(d, area_m2, ratio);
        }
        let p = &inlet.properties;
        let flow_kg_s = area_m2 * inlet.pressure_pa * root_flow(ratio, self.flow_exponent)
            / (p.gas_constant_j_kg_k * inlet.temperature_k).sqrt();
        let drop_j_kg = -d
            .gas
            .isentropic(inlet.temperature_k, inlet.burned, ratio)
            .enthalpy_change_j_kg;
        let drop_j_kg = drop_j_kg.max(f64::MIN_POSITIVE);
        let tip_m_s = 0.5 * self.wheel_diameter_m * d.shaft_speed_rad_s;
        let blade_speed_ratio = tip_m_s / (2.0 * drop_j_kg).sqrt();
        let off = tip_m_s * std::f64::consts::FRAC_1_SQRT_2
            - self.best_blade_speed_ratio * drop_j_kg.sqrt();
        let work_j_kg = self.pulsation.power_factor
            * (self.peak_efficiency * drop_j_kg - self.curvature * off * off);
        let inlet_enthalpy_w = flow_kg_s * p.enthalpy_j_kg;
        let power_w = flow_kg_s * work_j_kg;
        let [lowest, highest] = self.stated_blade_speed_ratio;
        TurbinePoint {
            flow_kg_s,
            outlet_pressure_pa: outlet_pa,
            expansion_ratio: 1.0 / ratio,
            power_w,
            efficiency: work_j_kg / drop_j_kg,
            blade_speed_ratio,
            outlet_enthalpy_w: inlet_enthalpy_w - power_w,
            outlet_burned_kg_s: flow_kg_s * inlet.burned,
            inlet_enthalpy_w,
            ring_choked: false,
            rotor_choked: false,
            extrapolated: !(lowest..=highest).contains(&blade_speed_ratio),
        }
    }

    /// Ambient air back into the engine, the wheel idle.
    fn backwards(&self, d: &TurbineDemand, area_m2: f64, ratio: f64) -> TurbinePoint {
        let a = d.ambient;
        let air = d.gas.properties(a.temperature_k, 0.0);
        let flow_kg_s = area_m2 * d.inlet.pressure_pa * root_flow(ratio, self.flow_exponent)
            / (air.gas_constant_j_kg_k * a.temperature_k).sqrt();
        TurbinePoint::backwards(d, flow_kg_s, air.enthalpy_j_kg)
    }
}
