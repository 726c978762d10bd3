//! A turbine from measured flow and efficiency per vane position.
//!
//! Flow follows the expansion ratio alone, at each vane position along a curve
//! (`flow_curve`); efficiency follows the blade-speed ratio along one curve for
//! each measured speed (`efficiency_curve`). Between measured speeds and between
//! vane positions both are straight lines, so that no flow rises with back
//! pressure anywhere between curves that do not. Flow is corrected to the
//! reference by similarity (Dixon & Hall, Fluid Mechanics and Thermodynamics of
//! Turbomachinery, ch. 2), with the gas of the stand and the gas at hand brought
//! together by their choked flow functions.
mod efficiency_curve;
mod flow_curve;
mod survey;

use super::{Pulsation, TurbineDemand, TurbineForm, TurbinePoint};
use crate::gas::nozzle::{critical_pressure_ratio, flow_function};
use crate::map::{TurbineMapData, TurbineSurvey};
use efficiency_curve::{EfficiencyCurve, Work};
use flow_curve::FlowCurve;

/// Steps of the search for the outlet pressure; bisection alone needs fifty.
const STEPS: usize = 80;
/// A step of the outlet over the inlet pressure this small ends the search.
const LAST_STEP: f64 = 1e-12;
/// What a position or speed at the edge of the data may be off by rounding.
const ROUNDING: f64 = 1e-9;

/// One vane position.
#[derive(Debug, Clone)]
struct Vane {
    closed: f64,
    flow: FlowCurve,
    /// Corrected speeds of the efficiency curves \[rad/s\], rising.
    speeds_rad_s: Vec<f64>,
    efficiency: Vec<EfficiencyCurve>,
    /// Highest measured efficiency \[-\].
    best: f64,
}

/// A turbine that follows measured vane positions. Stateless.
#[derive(Debug, Clone)]
pub struct MeasuredVanes {
    data: TurbineMapData,
    wheel_diameter_m: f64,
    pulsation: Pulsation,
    vanes: Vec<Vane>,
    /// Relative change of flow per vane travel beyond the first and the last
    /// position, as logarithm \[-\].
    beyond: [f64; 2],
    /// Flow at the reference over p √(1/(R T)) ψ\*, of corrected flow \[m²/(kg/s)\]:
    /// what turns a corrected flow into an effective choked area.
    area_per_flow: f64,
}

/// Two neighbouring vane positions and the way from the first to the second.
#[derive(Debug, Clone, Copy)]
struct Between<'a> {
    open: &'a Vane,
    closed: &'a Vane,
    share: f64,
    /// Factor on the flow, for positions beyond the data \[-\].
    beyond: f64,
    outside: bool,
}

impl Between<'_> {
    fn blend(&self, of: impl Fn(&Vane) -> f64) -> f64 {
        let open = of(self.open);
        if self.share == 0.0 {
            return open;
        }
        open + self.share * (of(self.closed) - open)
    }

    /// Corrected flow and its slope over outlet/inlet pressure.
    fn flow(&self, outlet: f64) -> [f64; 2] {
        let open = self.open.flow.at(outlet);
        let closed = self.closed.flow.at(outlet);
        std::array::from_fn(|k| self.beyond * (open[k] + self.share * (closed[k] - open[k])))
    }
}

impl MeasuredVanes {
    /// A turbine of a readable map; the wheel's diameter is above zero.
    pub fn new(data: &TurbineMapData, wheel_diameter_m: f64, pulsation: Pulsation) -> Self {
        let stand = data.stand_gas();
        let reference = data.header().reference;
        let choked = flow_function(0.0, stand.gamma);
        let area_per_flow = (stand.gas_constant_j_kg_k * reference.temperature_k).sqrt()
            / (reference.pressure_pa * choked);
        let vanes: Vec<Vane> = data
            .vanes()
            .iter()
            .map(|vane| Vane {
                closed: vane.vane_closed,
                flow: FlowCurve::new(&vane.lines, stand.gamma),
                speeds_rad_s: vane.lines.iter().map(|l| l.corrected_speed_rad_s).collect(),
                efficiency: vane
                    .lines
                    .iter()
                    .map(|line| EfficiencyCurve::new(data, line))
                    .collect(),
                best: vane
                    .lines
                    .iter()
                    .flat_map(|line| &line.points)
                    .fold(0.0, |best: f64, p| best.max(p.efficiency)),
            })
            .collect();
        let last = vanes.len() - 1;
        let beyond = [
            growth(&vanes[0], &vanes[1]),
            growth(&vanes[last - 1], &vanes[last]),
        ];
        Self {
            data: data.clone(),
            wheel_diameter_m,
            pulsation,
            vanes,
            beyond,
            area_per_flow,
        }
    }

    /// The measured data.
    pub fn data(&self) -> &TurbineMapData {
        &self.data
    }

    /// The map as a picture needs it, with what is computed between and beyond
    /// its points.
    pub fn survey(&self) -> TurbineSurvey {
        survey::survey(self)
    }

    /// Corrected flow \[kg/s\] at a vane position and an expansion ratio of 1 or
    /// more, and whether it lies outside the data.
    pub fn corrected_flow_kg_s(&self, vane_closed: f64, expansion_ratio: f64) -> (f64, bool) {
        let between = self.between(vane_closed);
        let flow = between.flow(1.0 / expansion_ratio)[0];
        (
            flow,
            between.outside || flow_outside(&between, expansion_ratio),
        )
    }

    /// Efficiency at a vane position, a corrected speed \[rad/s\] and a blade-speed
    /// ratio above zero, and whether it lies outside the data.
    pub fn efficiency(
        &self,
        vane_closed: f64,
        corrected_speed_rad_s: f64,
        blade_speed_ratio: f64,
    ) -> (f64, bool) {
        let between = self.between(vane_closed);
        // With a drop of 1 J/kg the ratio is the tip speed over √2.
        let work = self.work(
            &between,
            corrected_speed_rad_s,
            blade_speed_ratio,
            1.0,
            blade_speed_ratio,
        );
        (work.specific, work.outside || between.outside)
    }

    /// The vane positions around one.
    fn between(&self, vane_closed: f64) -> Between<'_> {
        let last = self.vanes.len() - 1;
        let upper = self.vanes[1..last].partition_point(|vane| vane.closed <= vane_closed) + 1;
        let (open, closed) = (&self.vanes[upper - 1], &self.vanes[upper]);
        let share = (vane_closed - open.closed) / (closed.closed - open.closed);
        let (first, last) = (self.vanes[0].closed, self.vanes[last].closed);
        let beyond = if vane_closed < first {
            (self.beyond[0] * (vane_closed - first)).exp()
        } else if vane_closed > last {
            (self.beyond[1] * (vane_closed - last)).exp()
        } else {
            1.0
        };
        Between {
            open,
            closed,
            // beyond the data the nearest position stays, its flow scaled
            share: share.clamp(0.0, 1.0),
            beyond,
            outside: !(first - ROUNDING..=last + ROUNDING).contains(&vane_closed),
        }
    }

    /// Work per flow \[J/kg\] from a drop \[J/kg\] at a tip speed: the efficiency
    /// curves at the two speeds around the corrected one, at both vane positions.
    fn work(
        &self,
        between: &Between,
        corrected_speed_rad_s: f64,
        blade_speed_ratio: f64,
        drop_j_kg: f64,
        tip_over_root_2: f64,
    ) -> Work {
        let at = |vane: &Vane| {
            let curves = vane.efficiency.len();
            let upper = vane
                .speeds_rad_s
                .partition_point(|speed| *speed <= corrected_speed_rad_s)
                .clamp(1, curves.max(2) - 1)
                .min(curves - 1);
            let lower = upper.saturating_sub(1);
            let [a, b] = [lower, upper].map(|i| vane.speeds_rad_s[i]);
            let share = if b > a {
                ((corrected_speed_rad_s - a) / (b - a)).clamp(0.0, 1.0)
            } else {
                0.0
            };
            let [a, b] = [lower, upper]
                .map(|i| vane.efficiency[i].work(blade_speed_ratio, drop_j_kg, tip_over_root_2));
            let speeds = vane.speeds_rad_s[0]..=vane.speeds_rad_s[curves - 1];
            let near = corrected_speed_rad_s.clamp(*speeds.start(), *speeds.end());
            let off_speed = (corrected_speed_rad_s - near).abs() > ROUNDING * near;
            let measured = |i: usize| {
                let [low, high] = vane.efficiency[i].range();
                (low * (1.0 - ROUNDING)..=high * (1.0 + ROUNDING)).contains(&blade_speed_ratio)
            };
            // both lines that are used have to know the ratio
            let inside = (share == 1.0 || measured(lower)) && (share == 0.0 || measured(upper));
            Work {
                specific: a + share * (b - a),
                outside: off_speed || !inside,
            }
        };
        let open = at(between.open);
        if between.share == 0.0 {
            return open;
        }
        let closed = at(between.closed);
        Work {
            specific: open.specific + between.share * (closed.specific - open.specific),
            outside: open.outside || closed.outside,
        }
    }

    /// Outlet over inlet pressure: the ambient plus the loss of the exhaust
    /// system. The miss rises with the outlet pressure (more of it gives less
    /// flow and less loss), so the root is bracketed; Newton's steps are taken
    /// while they stay inside the bracket.
    fn outlet(&self, between: &Between, ambient: f64, loss: f64, exponent: f64) -> f64 {
        let share = between.blend(|vane| vane.best);
        let (mut low, mut high) = (ambient, 1.0);
        let mut x = ambient;
        for _ in 0..STEPS {
            let [flow, slope] = between.flow(x);
            let isentropic = (exponent * x.ln()).exp();
            let theta = 1.0 - share * (1.0 - isentropic);
            let theta_x = share * exponent * isentropic / x;
            let lost = loss * flow * flow / x;
            let miss = x - ambient - lost * theta;
            let miss_x = 1.0 - lost * (theta_x - theta / x) - 2.0 * loss * flow * slope / x * theta;
            if miss > 0.0 {
                high = x;
            } else {
                low = x;
            }
            let newton = x - miss / miss_x;
            let next = if newton > low && newton < high {
                newton
            } else if miss == 0.0 {
                return x;
            } else {
                0.5 * (low + high)
            };
            if (next - x).abs() <= LAST_STEP {
                return next;
            }
            x = next;
        }
        x
    }

    /// Flow per corrected flow \[-\] of a gas at a state.
    fn flow_scale(&self, pressure_pa: f64, temperature_k: f64, gas: [f64; 2]) -> f64 {
        let [gas_constant_j_kg_k, gamma] = gas;
        self.pulsation.flow_factor * self.area_per_flow * pressure_pa * flow_function(0.0, gamma)
            / (gas_constant_j_kg_k * temperature_k).sqrt()
    }

    /// Flow from the exhaust system back into the engine: ambient air through
    /// the same passages, the wheel idle.
    fn backwards(&self, d: &TurbineDemand) -> TurbinePoint {
        let a = d.ambient;
        let properties = d.gas.properties(a.temperature_k, 0.0);
        let ratio = d.inlet.pressure_pa / a.pressure_pa;
        let gas = [properties.gas_constant_j_kg_k, properties.gamma];
        let scale = self.flow_scale(a.pressure_pa, a.temperature_k, gas);
        let flow_kg_s = -scale * self.between(d.vane_closed).flow(ratio)[0];
        TurbinePoint::backwards(d, flow_kg_s, properties.enthalpy_j_kg)
    }
}

impl TurbineForm for MeasuredVanes {
    fn operate(&self, d: &TurbineDemand) -> TurbinePoint {
        if d.inlet.pressure_pa <= d.ambient.pressure_pa {
            return self.backwards(d);
        }
        let inlet = d.inlet;
        let p = &inlet.properties;
        let between = self.between(d.vane_closed);
        let gas = [p.gas_constant_j_kg_k, p.gamma];
        let scale = self.flow_scale(inlet.pressure_pa, inlet.temperature_k, gas);
        let density_kg_m3 = inlet.pressure_pa / (p.gas_constant_j_kg_k * inlet.temperature_k);
        let loss =
            d.system.coefficient_pa_s2_kg2(density_kg_m3) * scale * scale / inlet.pressure_pa;
        let outlet = self.outlet(
            &between,
            d.ambient.pressure_pa / inlet.pressure_pa,
            loss,
            (p.gamma - 1.0) / p.gamma,
        );
        let expansion_ratio = 1.0 / outlet;
        let flow_kg_s = scale * between.flow(outlet)[0];
        // rounding may make a drop of nothing a rise
        let drop_j_kg = (-d
            .gas
            .isentropic(inlet.temperature_k, inlet.burned, outlet)
            .enthalpy_change_j_kg)
            .max(0.0);
        let tip_m_s = 0.5 * self.wheel_diameter_m * d.shaft_speed_rad_s;
        // without a drop, and even at rest, the ratio is beyond all data
        let spouting_m_s = (2.0 * drop_j_kg).max(f64::MIN_POSITIVE).sqrt();
        let blade_speed_ratio = tip_m_s / spouting_m_s;
        let reference = self.data.header().reference;
        let corrected_speed_rad_s =
            reference.corrected_speed(d.shaft_speed_rad_s, inlet.temperature_k);
        let work = self.work(
            &between,
            corrected_speed_rad_s,
            blade_speed_ratio,
            drop_j_kg,
            tip_m_s / std::f64::consts::SQRT_2,
        );
        let work_j_kg = work.specific * self.pulsation.power_factor;
        let inlet_enthalpy_w = flow_kg_s * p.enthalpy_j_kg;
        let power_w = flow_kg_s * work_j_kg;
        // Where the flow has stopped rising something has choked: the rotor, or,
        // below the critical ratio of a single throat over the whole turbine,
        // nothing.
        let choked = outlet <= critical_pressure_ratio(p.gamma) && between.flow(outlet)[1] == 0.0;
        TurbinePoint {
            flow_kg_s,
            outlet_pressure_pa: outlet * inlet.pressure_pa,
            expansion_ratio,
            power_w,
            efficiency: work_j_kg / drop_j_kg.max(f64::MIN_POSITIVE),
            blade_speed_ratio,
            outlet_enthalpy_w: inlet_enthalpy_w - power_w,
            outlet_burned_kg_s: flow_kg_s * inlet.burned,
            inlet_enthalpy_w,
            // the map does not tell which of the two it is
            ring_choked: choked,
            rotor_choked: choked,
            extrapolated: between.outside
                || work.outside
                || flow_outside(&between, expansion_ratio),
        }
    }
}

/// Whether an expansion ratio lies outside the data of a vane position around.
fn flow_outside(between: &Between, expansion_ratio: f64) -> bool {
    let outside = |vane: &Vane| {
        let [low, high] = vane.flow.range();
        !(low * (1.0 - ROUNDING)..=high * (1.0 + ROUNDING)).contains(&expansion_ratio)
    };
    outside(between.open) || between.share > 0.0 && outside(between.closed)
}

/// Logarithm of the flow of two vane positions over each other, per travel.
fn growth(open: &Vane, closed: &Vane) -> f64 {
    let outlet = 1.0 / open.flow.range()[1].min(closed.flow.range()[1]);
    (closed.flow.at(outlet)[0] / open.flow.at(outlet)[0]).ln() / (closed.closed - open.closed)
}
