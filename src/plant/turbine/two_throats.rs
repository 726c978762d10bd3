//! The turbine as two throats in series: the vane ring, then the rotor.
//!
//! The vanes set the first throat. With open vanes the rotor chokes; closing
//! them hands choking over to the ring, which is why drive pressure first rises
//! slowly and then steeply. Two nozzles in series for a radial turbine: Watson
//! & Janota, Turbocharging the Internal Combustion Engine (1982), ch. 4 and 15
//! (from memory).
use super::{TurbineDemand, TurbineForm, TurbinePoint};
use crate::gas::nozzle::{critical_pressure_ratio, flow_function_with_slope};

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

/// Vane ring and rotor as two isentropic throats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoThroats {
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
    /// Correction for pulsating flow.
    pub pulsation: Pulsation,
}

/// Flow through both throats at one pair of end pressures.
#[derive(Debug, Clone, Copy)]
struct SeriesFlow {
    /// Flow over p₃/√(RT₃), an area \[m²\].
    area_m2: f64,
    /// Interspace over inlet pressure \[-\].
    interspace: f64,
}

const SERIES_STEPS: usize = 40;
const SERIES_CLOSE: f64 = 1e-11;
const OUTLET_STEPS: usize = 30;
const OUTLET_CLOSE: f64 = 1e-10;

impl TwoThroats {
    /// Throat of the ring at a vane position \[m²\].
    ///
    /// The throat between two neighbouring vanes is the pitch times the cosine
    /// of the vane angle; over the usual travel that is close to linear.
    pub fn ring_m2(&self, vane_closed: f64) -> f64 {
        self.ring_open_m2 + vane_closed * (self.ring_closed_m2 - self.ring_open_m2)
    }

    /// Flow in series from inlet pressure 1 to outlet pressure `outlet` (both
    /// over the inlet pressure), `outlet` < 1.
    ///
    /// Continuity A_v ψ(y) = A_r y ψ(p₄/(p₃ y)) in the interspace pressure y.
    /// The left side never rises with y and the right side never falls, so the
    /// root is bracketed by the outlet and the inlet pressure; Newton steps that
    /// leave the bracket are replaced by its middle.
    fn series(&self, ring_m2: f64, outlet: f64, gamma: f64, guess: Option<f64>) -> SeriesFlow {
        let (mut low, mut high) = (outlet, 1.0);
        let mut y = guess
            .filter(|g| *g > low && *g < high)
            .unwrap_or_else(|| first_guess(ring_m2 / self.rotor_m2, outlet, gamma));
        let mut area_m2 = 0.0;
        for _ in 0..SERIES_STEPS {
            let ring = flow_function_with_slope(y, gamma);
            let x = outlet / y;
            let rotor = flow_function_with_slope(x, gamma);
            area_m2 = ring_m2 * ring.flow_function;
            let residual = area_m2 - self.rotor_m2 * y * rotor.flow_function;
            let slope =
                ring_m2 * ring.slope - self.rotor_m2 * (rotor.flow_function - x * rotor.slope);
            if residual > 0.0 {
                low = y;
            } else {
                high = y;
            }
            let step = -residual / slope;
            let mut next = y + step;
            if !(next > low && next < high) {
                next = 0.5 * (low + high);
            }
            let moved = (next - y).abs();
            y = next;
            if moved <= SERIES_CLOSE || residual.abs() <= SERIES_CLOSE * self.rotor_m2 {
                break;
            }
        }
        SeriesFlow {
            area_m2,
            interspace: y,
        }
    }

    /// Efficiency without the blade-speed factor \[-\].
    fn base_efficiency(&self, vane_closed: f64, expansion_ratio: f64) -> f64 {
        let e = &self.efficiency;
        let vane = if vane_closed < e.best_vane {
            let off = (e.best_vane - vane_closed) / e.best_vane;
            1.0 - e.drop_open * off * off
        } else {
            let off = (vane_closed - e.best_vane) / (1.0 - e.best_vane);
            1.0 - e.drop_closed * off * off
        };
        // a rounded corner at the bound, so that the law has a slope there
        let over = expansion_ratio - e.above_expansion_ratio;
        let rounded = 0.5 * (over + (over * over + 0.0625).sqrt());
        e.peak * vane * (1.0 - e.drop_per_expansion_ratio * rounded)
    }

    /// Tip speed of the wheel \[m/s\].
    fn tip_m_s(&self, d: &TurbineDemand) -> f64 {
        0.5 * self.wheel_diameter_m * d.shaft_speed_rad_s
    }

    /// Best blade-speed ratio at a vane position \[-\].
    fn best_ratio(&self, vane_closed: f64) -> f64 {
        let e = &self.efficiency;
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
        base * self.pulsation.power_factor * (drop_j_kg - self.efficiency.curvature * off * off)
    }
}

/// Interspace pressure as if both throats followed the ellipse
/// ψ² ≈ ψ*² [1 − ((x − x_c)/(1 − x_c))²]: close enough to start from.
fn first_guess(ring_over_rotor: f64, outlet: f64, gamma: f64) -> f64 {
    let critical = critical_pressure_ratio(gamma);
    // rotor choked and ring not: a² [1 − ((y − c)/(1 − c))²] = y²
    let a2 = ring_over_rotor * ring_over_rotor;
    let w = 1.0 - critical;
    let (qa, qb, qc) = (
        1.0 + a2 / (w * w),
        -2.0 * a2 * critical / (w * w),
        a2 * (critical * critical / (w * w) - 1.0),
    );
    let both = (-qb + (qb * qb - 4.0 * qa * qc).max(0.0).sqrt()) / (2.0 * qa);
    let choked_ring = ring_over_rotor;
    let y = if both > critical { both } else { choked_ring };
    let incompressible = (a2 + outlet) / (a2 + 1.0);
    if y * critical > outlet && y > outlet {
        y
    } else {
        incompressible.clamp(outlet + 1e-9, 1.0 - 1e-9)
    }
}

impl TurbineForm for TwoThroats {
    fn operate(&self, d: &TurbineDemand) -> TurbinePoint {
        if d.inlet.pressure_pa <= d.ambient.pressure_pa {
            return self.backwards(d);
        }
        let inlet = d.inlet;
        let ring_m2 = self.ring_m2(d.vane_closed);
        let per_area = self.pulsation.flow_factor * inlet.pressure_pa
            / (inlet.properties.gas_constant_j_kg_k * inlet.temperature_k).sqrt();

        // outlet pressure p₄ = p_ambient + loss(ṁ, T₄): a secant on the fixed point
        let mut outlet_pa = d.ambient.pressure_pa;
        let mut at = self.at_outlet(d, ring_m2, per_area, outlet_pa, None);
        let mut previous: Option<(f64, f64)> = None;
        for _ in 0..OUTLET_STEPS {
            let miss = at.wanted_outlet_pa - outlet_pa;
            if miss.abs() <= OUTLET_CLOSE * outlet_pa {
                break;
            }
            let slope = previous.map_or(-1.0, |(p, m): (f64, f64)| (miss - m) / (outlet_pa - p));
            previous = Some((outlet_pa, miss));
            let step = if slope < -0.2 { -miss / slope } else { miss };
            outlet_pa = (outlet_pa + step).min(0.5 * (outlet_pa + inlet.pressure_pa));
            at = self.at_outlet(d, ring_m2, per_area, outlet_pa, Some(at.interspace));
        }
        at.point(d, outlet_pa, self.tip_m_s(d))
    }
}

/// The turbine at a trial outlet pressure.
struct AtOutlet {
    flow_kg_s: f64,
    interspace: f64,
    drop_j_kg: f64,
    work_j_kg: f64,
    wanted_outlet_pa: f64,
    critical: f64,
}

impl AtOutlet {
    fn point(&self, d: &TurbineDemand, outlet_pa: f64, tip_m_s: f64) -> TurbinePoint {
        let expansion_ratio = d.inlet.pressure_pa / outlet_pa;
        let inlet_enthalpy_w = self.flow_kg_s * d.inlet.properties.enthalpy_j_kg;
        let power_w = self.flow_kg_s * self.work_j_kg;
        TurbinePoint {
            flow_kg_s: self.flow_kg_s,
            outlet_pressure_pa: outlet_pa,
            expansion_ratio,
            power_w,
            efficiency: self.work_j_kg / self.drop_j_kg,
            blade_speed_ratio: tip_m_s / (2.0 * self.drop_j_kg).sqrt(),
            outlet_enthalpy_w: inlet_enthalpy_w - power_w,
            outlet_burned_kg_s: self.flow_kg_s * d.inlet.burned,
            inlet_enthalpy_w,
            ring_choked: self.interspace <= self.critical,
            rotor_choked: 1.0 / (expansion_ratio * self.interspace) <= self.critical,
            extrapolated: false,
        }
    }
}

impl TwoThroats {
    fn at_outlet(
        &self,
        d: &TurbineDemand,
        ring_m2: f64,
        per_area: f64,
        outlet_pa: f64,
        guess: Option<f64>,
    ) -> AtOutlet {
        let inlet = d.inlet;
        let p = &inlet.properties;
        let ratio = outlet_pa / inlet.pressure_pa;
        let flow = self.series(ring_m2, ratio, p.gamma, guess);
        let flow_kg_s = per_area * flow.area_m2;
        let drop_j_kg = -d
            .gas
            .isentropic(inlet.temperature_k, inlet.burned, ratio)
            .enthalpy_change_j_kg;
        let work_j_kg = self.specific_work_j_kg(d, drop_j_kg, 1.0 / ratio);
        // T₄ for the density in the exhaust system only; cp at the inlet
        let outlet_k = inlet.temperature_k - work_j_kg / p.cp_j_kg_k;
        let density = outlet_pa / (p.gas_constant_j_kg_k * outlet_k);
        let loss_pa = d.system.coefficient_pa_s2_kg2(density) * flow_kg_s * flow_kg_s;
        AtOutlet {
            flow_kg_s,
            interspace: flow.interspace,
            drop_j_kg,
            work_j_kg,
            wanted_outlet_pa: d.ambient.pressure_pa + loss_pa,
            critical: critical_pressure_ratio(p.gamma),
        }
    }

    /// Flow from the exhaust system back into the engine: ambient air through
    /// both throats, no work but the wheel's drag.
    fn backwards(&self, d: &TurbineDemand) -> TurbinePoint {
        let a = d.ambient;
        let properties = d.gas.properties(a.temperature_k, 0.0);
        let ratio = d.inlet.pressure_pa / a.pressure_pa;
        let area = if ratio < 1.0 {
            self.series(self.ring_m2(d.vane_closed), ratio, properties.gamma, None)
                .area_m2
        } else {
            0.0
        };
        let flow_kg_s = -self.pulsation.flow_factor * area * a.pressure_pa
            / (properties.gas_constant_j_kg_k * a.temperature_k).sqrt();
        let enthalpy_w = flow_kg_s * properties.enthalpy_j_kg;
        TurbinePoint {
            flow_kg_s,
            outlet_pressure_pa: a.pressure_pa,
            expansion_ratio: d.inlet.pressure_pa / a.pressure_pa,
            outlet_enthalpy_w: enthalpy_w,
            inlet_enthalpy_w: enthalpy_w,
            extrapolated: true,
            ..TurbinePoint::default()
        }
    }
}
