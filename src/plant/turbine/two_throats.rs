//! The turbine as two throats in series: the vane ring, then the rotor.
//!
//! The vanes set the first throat. With open vanes the rotor chokes; closing
//! them hands choking over to the ring, which is why drive pressure first rises
//! slowly and then steeply. Two nozzles in series for a radial turbine: Watson
//! & Janota, Turbocharging the Internal Combustion Engine (1982), ch. 4 and 15
//! (from memory).
use super::passage::{Passage, SeriesGuess, series_flow};
use super::{TurbineDemand, TurbineForm, TurbinePoint};
use crate::gas::nozzle::critical_pressure_ratio;

/// Efficiency over blade-speed ratio, expansion ratio and vane position.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurbineEfficiency {
    /// Peak isentropic efficiency, total to static \[-\].
    pub peak: f64,
    /// Vane position of the peak, 0 open to 1 closed \[-\].
    pub best_vane: f64,
    /// Relative drop from there to open vanes \[-\].
    pub drop_open: f64,
    /// Relative drop from there to the closed stop \[-\].
    pub drop_closed: f64,
    /// Best blade-speed ratio at open vanes \[-\]; theory 0.707 for radial blades
    /// without exit swirl, 0.62–0.72 in practice (Watson & Janota, from memory).
    pub best_blade_speed_ratio: f64,
    /// Change of the best blade-speed ratio from open to closed \[-\].
    pub blade_speed_ratio_shift: f64,
    /// Curvature of the parabola over the relative blade-speed ratio \[-\].
    pub curvature: f64,
    /// Relative drop per unit of expansion ratio above the bound \[-\].
    pub drop_per_expansion_ratio: f64,
    /// That bound \[-\].
    pub above_expansion_ratio: f64,
}

/// What the mean-value engine cannot see of the pulses: factors on flow and
/// power at the same mean state \[-\]; 1 switches the correction off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulsation {
    /// On the flow of both throats.
    pub flow_factor: f64,
    /// On the power.
    pub power_factor: f64,
}

/// Sizes and laws of the two throats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoThroatsSizes {
    /// Effective throat of the ring with open vanes \[m²\].
    pub ring_open_m2: f64,
    /// Effective throat of the ring at the closed stop \[m²\].
    pub ring_closed_m2: f64,
    /// Effective throat of the rotor \[m²\].
    pub rotor_m2: f64,
    /// Tip diameter of the wheel \[m\].
    pub wheel_diameter_m: f64,
    /// Efficiency law.
    pub efficiency: TurbineEfficiency,
    /// Furthest vane position for which the law is stated \[-\].
    pub stated_to_vane: f64,
    /// Highest expansion ratio for which the law is stated \[-\].
    pub stated_to_expansion_ratio: f64,
    /// Correction for pulsating flow.
    pub pulsation: Pulsation,
}

/// Vane ring and rotor as two isentropic throats.
#[derive(Debug, Clone, PartialEq)]
pub struct TwoThroats {
    sizes: TwoThroatsSizes,
    series: SeriesGuess,
}

impl TwoThroats {
    /// A turbine of given sizes; all areas and diameters are above zero.
    pub fn new(sizes: TwoThroatsSizes) -> Self {
        Self {
            sizes,
            series: SeriesGuess::new(),
        }
    }

    /// Its sizes.
    pub fn sizes(&self) -> &TwoThroatsSizes {
        &self.sizes
    }

    /// Throat of the ring at a vane position \[m²\].
    ///
    /// The throat between two neighbouring vanes is the pitch times the cosine
    /// of the vane angle; over the usual travel that is close to linear.
    pub fn ring_m2(&self, vane_closed: f64) -> f64 {
        let s = &self.sizes;
        s.ring_open_m2 + vane_closed * (s.ring_closed_m2 - s.ring_open_m2)
    }

    /// Efficiency without the blade-speed factor \[-\].
    fn base_efficiency(&self, vane_closed: f64, expansion_ratio: f64) -> f64 {
        let e = &self.sizes.efficiency;
        let vane = if vane_closed < e.best_vane {
            let off = 1.0 - vane_closed / e.best_vane;
            1.0 - e.drop_open * off * off
        } else {
            // a peak at the closed stop has no flank beyond it
            let flank = (1.0 - e.best_vane).max(f64::EPSILON);
            let off = (vane_closed - e.best_vane) / flank;
            1.0 - e.drop_closed * off * off
        };
        // a rounded corner at the bound, so that the law has a slope there
        let over = expansion_ratio - e.above_expansion_ratio;
        let rounded = 0.5 * (over + (over * over + 0.0625).sqrt());
        e.peak * vane * (1.0 - e.drop_per_expansion_ratio * rounded)
    }

    /// Tip speed of the wheel \[m/s\].
    fn tip_m_s(&self, d: &TurbineDemand) -> f64 {
        0.5 * self.sizes.wheel_diameter_m * d.shaft_speed_rad_s
    }

    /// Best blade-speed ratio at a vane position \[-\].
    fn best_ratio(&self, vane_closed: f64) -> f64 {
        let e = &self.sizes.efficiency;
        e.best_blade_speed_ratio + e.blade_speed_ratio_shift * vane_closed
    }

    /// Power per flow \[J/kg\] that the wheel takes from an isentropic drop.
    ///
    /// η = η₀ [1 − k (ν/ν_best − 1)²], written so that it stays finite as the
    /// drop goes to zero: Δh η = η₀ [Δh − k (U/(√2 ν_best) − √Δh)²].
    fn specific_work_j_kg(&self, d: &TurbineDemand, drop_j_kg: f64, expansion_ratio: f64) -> f64 {
        let tip_m_s = self.tip_m_s(d);
        let best = self.best_ratio(d.vane_closed);
        let off = tip_m_s / (std::f64::consts::SQRT_2 * best) - drop_j_kg.sqrt();
        let base = self.base_efficiency(d.vane_closed, expansion_ratio);
        base * self.sizes.pulsation.power_factor
            * (drop_j_kg - self.sizes.efficiency.curvature * off * off)
    }
}

impl TurbineForm for TwoThroats {
    fn operate(&self, d: &TurbineDemand) -> TurbinePoint {
        if d.inlet.pressure_pa <= d.ambient.pressure_pa {
            return self.backwards(d);
        }
        let inlet = d.inlet;
        let p = &inlet.properties;
        let ring_over_rotor = self.ring_m2(d.vane_closed) / self.sizes.rotor_m2;
        // flow per unit of ψ through the ring
        let full_flow = self.sizes.pulsation.flow_factor * self.sizes.rotor_m2 * inlet.pressure_pa
            / (p.gas_constant_j_kg_k * inlet.temperature_k).sqrt();
        let passage = Passage {
            ring_over_rotor,
            gamma: p.gamma,
            ambient: d.ambient.pressure_pa / inlet.pressure_pa,
            loss: self.loss_over_inlet_pressure(d, full_flow),
            power_share: self
                .base_efficiency(d.vane_closed, inlet.pressure_pa / d.ambient.pressure_pa),
        };
        let found = passage.solve(&self.series);
        let flow_kg_s = full_flow * found.rotor_flow_function;
        let drop_j_kg = -d
            .gas
            .isentropic(inlet.temperature_k, inlet.burned, found.outlet)
            .enthalpy_change_j_kg;
        let expansion_ratio = 1.0 / found.outlet;
        let work_j_kg = self.specific_work_j_kg(d, drop_j_kg, expansion_ratio);
        let inlet_enthalpy_w = flow_kg_s * p.enthalpy_j_kg;
        let power_w = flow_kg_s * work_j_kg;
        let critical = critical_pressure_ratio(p.gamma);
        TurbinePoint {
            flow_kg_s,
            outlet_pressure_pa: found.outlet * inlet.pressure_pa,
            expansion_ratio,
            power_w,
            efficiency: work_j_kg / drop_j_kg,
            blade_speed_ratio: self.tip_m_s(d) / (2.0 * drop_j_kg).sqrt(),
            outlet_enthalpy_w: inlet_enthalpy_w - power_w,
            outlet_burned_kg_s: flow_kg_s * inlet.burned,
            inlet_enthalpy_w,
            ring_choked: found.interspace <= critical,
            rotor_choked: found.outlet <= critical * found.interspace,
            extrapolated: d.vane_closed > self.sizes.stated_to_vane
                || expansion_ratio > self.sizes.stated_to_expansion_ratio,
        }
    }
}

impl TwoThroats {
    /// Loss of the exhaust system over the inlet pressure, per squared flow
    /// function and per T₄/T₃ over p₄/p₃ \[-\].
    fn loss_over_inlet_pressure(&self, d: &TurbineDemand, full_flow: f64) -> f64 {
        let inlet = d.inlet;
        let density_kg_m3 =
            inlet.pressure_pa / (inlet.properties.gas_constant_j_kg_k * inlet.temperature_k);
        d.system.coefficient_pa_s2_kg2(density_kg_m3) * full_flow * full_flow / inlet.pressure_pa
    }

    /// Flow from the exhaust system back into the engine: ambient air through
    /// both throats, the wheel idle.
    fn backwards(&self, d: &TurbineDemand) -> TurbinePoint {
        let a = d.ambient;
        let properties = d.gas.properties(a.temperature_k, 0.0);
        let ratio = d.inlet.pressure_pa / a.pressure_pa;
        let flow = if ratio < 1.0 {
            let ring_over_rotor = self.ring_m2(d.vane_closed) / self.sizes.rotor_m2;
            series_flow(ring_over_rotor, ratio, properties.gamma).1
        } else {
            0.0
        };
        let flow_kg_s =
            -self.sizes.pulsation.flow_factor * self.sizes.rotor_m2 * flow * a.pressure_pa
                / (properties.gas_constant_j_kg_k * a.temperature_k).sqrt();
        TurbinePoint::backwards(d, flow_kg_s, properties.enthalpy_j_kg)
    }
}
