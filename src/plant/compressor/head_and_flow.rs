//! The compressor as an ellipse of flow over pressure ratio under a head that
//! grows with the square of the tip speed: the form of published mean-value
//! models.
//!
//! Source: M. Sivertsson, L. Eriksson, "Modelling for Optimal Control: A
//! Validated Diesel-Electric Powertrain Model", SIMS 55 (2014). With the
//! corrected speed ω_c = ω √(T_ref/T_in) and n = ω_c/ω_norm:
//!
//! - Π_max = [(ω_c R)² Ψ_max/(2 c_p T) + 1]^(c_p/R_gas);
//! - ṁ_max = m₂ n² + m₁ n + m₀;
//! - ṁ_c = ṁ_max √(1 − (Π/Π_max)²);
//! - Φ = ṁ R_gas T_in/(8 ω R³ p_in);
//! - η = η_max − [Q₁₁ ΔΦ² + 2 Q₁₂ ΔΦ Δn + Q₂₂ Δn²], Δ from the best point;
//! - surge where Π = s₁ ṁ_c + s₀.
//!
//! The publication puts the corrected speed over the inlet temperature in Π_max,
//! which corrects twice for it: right at the reference temperature, some per cent
//! off far from it. [`HeadAt`] says which one is meant. The form never chokes.
//!
//! Ours: where less than 1 % of ṁ_max is left, the root √x goes over into the
//! hyperbola 0.01/[1 + ½ (1 − 10⁴ x)], with value and slope of the root there, so
//! that more pressure ratio than Π_max still has a flow (small, positive, falling);
//! and below an efficiency of 0.10 the parabola goes over into 0.05 + 0.05
//! exp((η − 0.10)/0.05). Both are beyond what was fitted.
use super::duct::Duct;
use super::{CompressorDemand, CompressorForm, CompressorPoint};
use crate::map::{EfficiencyGrid, LineDrawing, MapDrawing, ReferenceConditions};
use crate::plant::scalar::rising_root;
use std::f64::consts::PI;

/// Which temperature the highest head is reckoned with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeadAt {
    /// The inlet's, as published.
    Inlet,
    /// The reference's, which makes the corrected map the same in any weather.
    Reference,
}

/// Coefficients of the form.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeadAndFlow {
    /// Conditions that corrected quantities refer to.
    pub reference: ReferenceConditions,
    /// Radius R \[m\].
    pub radius_m: f64,
    /// Highest head coefficient Ψ_max = 2 c_p ΔT_s/U² \[-\].
    pub head_coefficient: f64,
    /// Temperature in the head.
    pub head_at: HeadAt,
    /// ω_norm \[rad/s\].
    pub speed_scale_rad_s: f64,
    /// m₀, m₁, m₂ \[kg/s\].
    pub flow_kg_s: [f64; 3],
    /// η_max \[-\].
    pub peak_efficiency: f64,
    /// Flow coefficient Φ of the best point \[-\].
    pub best_flow_coefficient: f64,
    /// n of the best point \[-\].
    pub best_speed: f64,
    /// Q₁₁, Q₁₂, Q₂₂ \[-\].
    pub curvature: [f64; 3],
    /// s₁ \[s/kg\] and s₀ \[-\].
    pub surge_line: [f64; 2],
    /// Highest corrected speed for which the coefficients are stated \[rad/s\].
    pub stated_to_rad_s: f64,
    /// Heat capacity of the air at constant pressure \[J/(kg K)\].
    pub cp_j_kg_k: f64,
    /// Gas constant of the air \[J/(kg K)\].
    pub gas_constant_j_kg_k: f64,
}

/// Share of the ellipse's radicand, (1 %)², below which the hyperbola serves.
const TAIL_BELOW: f64 = 1e-4;
/// Efficiency below which the exponential serves, twice its own floor.
const EFFICIENCY_TAIL_BELOW: f64 = 0.1;
/// Below this speed the flow coefficient is taken as at this speed \[rad/s\].
const SLOWEST_RAD_S: f64 = 1.0;
/// How close the pressure ratio is sought.
const CLOSE: f64 = 1e-13;

/// The map at one speed.
#[derive(Debug, Clone, Copy)]
struct Line {
    /// n \[-\].
    speed: f64,
    highest_ratio: f64,
    most_flow: f64,
    surge_flow: f64,
}

impl HeadAndFlow {
    fn line(&self, corrected_speed_rad_s: f64, inlet_k: f64) -> Line {
        let n = corrected_speed_rad_s / self.speed_scale_rad_s;
        let tip_m_s = corrected_speed_rad_s * self.radius_m;
        let temperature_k = match self.head_at {
            HeadAt::Inlet => inlet_k,
            HeadAt::Reference => self.reference.temperature_k,
        };
        let rise =
            tip_m_s * tip_m_s * self.head_coefficient / (2.0 * self.cp_j_kg_k * temperature_k);
        let highest_ratio = (rise + 1.0).powf(self.cp_j_kg_k / self.gas_constant_j_kg_k);
        let [m0, m1, m2] = self.flow_kg_s;
        let most_flow = m0 + n * (m1 + n * m2);
        // ellipse and surge line meet where this quadratic is zero
        let [s1, s0] = self.surge_line;
        let steep = highest_ratio / most_flow;
        let a = s1 * s1 + steep * steep;
        let b = s1 * s0;
        let c = s0 * s0 - highest_ratio * highest_ratio;
        let surge_flow = if c < 0.0 {
            ((b * b - a * c).sqrt() - b) / a
        } else {
            0.0
        };
        Line {
            speed: n,
            highest_ratio,
            most_flow,
            surge_flow,
        }
    }

    /// Isentropic efficiency at a speed n and a flow coefficient \[-\]; whether the
    /// parabola itself gave it comes with it.
    fn efficiency(&self, speed: f64, flow_coefficient: f64) -> (f64, bool) {
        let d_phi = flow_coefficient - self.best_flow_coefficient;
        let d_n = speed - self.best_speed;
        let [q11, q12, q22] = self.curvature;
        let parabola = self.peak_efficiency
            - (q11 * d_phi * d_phi + 2.0 * q12 * d_phi * d_n + q22 * d_n * d_n);
        if parabola >= EFFICIENCY_TAIL_BELOW {
            return (parabola, true);
        }
        let floor = 0.5 * EFFICIENCY_TAIL_BELOW;
        let below = (parabola - EFFICIENCY_TAIL_BELOW) / floor;
        (floor + floor * below.exp(), false)
    }

    /// Flow coefficient \[-\] at a flow, shaft speed, inlet temperature and pressure.
    fn flow_coefficient(&self, flow_kg_s: f64, speed_rad_s: f64, inlet: (f64, f64)) -> f64 {
        let (inlet_k, inlet_pa) = inlet;
        let swept = 8.0 * speed_rad_s.max(SLOWEST_RAD_S) * self.radius_m.powi(3);
        flow_kg_s * self.gas_constant_j_kg_k * inlet_k / (swept * inlet_pa)
    }

    /// The map as a picture needs it, at the reference temperature.
    pub fn drawing(&self, data: &str) -> MapDrawing {
        const SHARES: [f64; 7] = [0.35, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0];
        const POINTS: usize = 24;
        let lines: Vec<(f64, Line)> = SHARES
            .iter()
            .map(|share| {
                let speed = share * self.stated_to_rad_s;
                (speed, self.line(speed, self.reference.temperature_k))
            })
            .collect();
        let drawn = |(speed, line): &(f64, Line)| LineDrawing {
            corrected_speed_rpm: speed * 30.0 / PI,
            points: (0..POINTS)
                .map(|k| {
                    let last = line.flow(1.0);
                    let share = k as f64 / (POINTS - 1) as f64;
                    let flow = line.surge_flow + share * (last - line.surge_flow);
                    [flow, line.ratio(flow)]
                })
                .collect(),
        };
        MapDrawing {
            reference_pressure_pa: self.reference.pressure_pa,
            reference_temperature_k: self.reference.temperature_k,
            data: data.to_string(),
            lines: lines.iter().map(drawn).collect(),
            surge: lines
                .iter()
                .map(|(_, line)| [line.surge_flow, line.ratio(line.surge_flow)])
                .collect(),
            efficiency: self.efficiency_grid(&lines),
        }
    }

    fn efficiency_grid(&self, lines: &[(f64, Line)]) -> EfficiencyGrid {
        const COLUMNS: usize = 72;
        const ROWS: usize = 54;
        let (slowest, fastest) = (lines[0], lines[lines.len() - 1]);
        let flow = [slowest.1.surge_flow, fastest.1.flow(1.0)];
        let ratio = [1.0, fastest.1.ratio(fastest.1.surge_flow)];
        EfficiencyGrid::over(flow, ratio, [COLUMNS, ROWS], |flow, ratio| {
            self.efficiency_on_map(flow, ratio, [slowest.0, fastest.0])
        })
    }

    /// Efficiency at a corrected flow and pressure ratio, between two speeds.
    fn efficiency_on_map(&self, flow: f64, ratio: f64, speeds: [f64; 2]) -> Option<f64> {
        let line = |speed: f64| self.line(speed, self.reference.temperature_k);
        let surplus = |speed: f64| line(speed).ratio(flow) - ratio;
        if surplus(speeds[0]) > 0.0 || surplus(speeds[1]) < 0.0 {
            return None;
        }
        let speed = rising_root(speeds[0], speeds[1], 1e-6 * speeds[1], surplus);
        let inlet = (self.reference.temperature_k, self.reference.pressure_pa);
        let line = line(speed);
        (flow >= line.surge_flow).then(|| {
            let phi = self.flow_coefficient(flow, speed, inlet);
            self.efficiency(line.speed, phi).0
        })
    }
}

impl Line {
    /// Corrected flow at a pressure ratio \[kg/s\].
    fn flow(&self, ratio: f64) -> f64 {
        let over = ratio / self.highest_ratio;
        let radicand = 1.0 - over * over;
        let root = if radicand >= TAIL_BELOW {
            radicand.sqrt()
        } else {
            TAIL_BELOW.sqrt() / (1.0 + 0.5 * (1.0 - radicand / TAIL_BELOW))
        };
        self.most_flow * root
    }

    /// Pressure ratio at a corrected flow on the ellipse; 0 beyond its end.
    fn ratio(&self, flow: f64) -> f64 {
        let over = flow / self.most_flow;
        self.highest_ratio * (1.0 - over * over).max(0.0).sqrt()
    }

    /// (flow − surge flow) over the larger of the two.
    fn surge_margin(&self, flow: f64) -> f64 {
        let larger = flow.max(self.surge_flow);
        if larger > 0.0 {
            (flow - self.surge_flow) / larger
        } else {
            0.0
        }
    }
}

impl CompressorForm for HeadAndFlow {
    /// Without losses in the duct the flow follows at once from the pressure
    /// ratio. With losses the ratio is sought that the duct asks for at the flow
    /// that it gives: asking falls with the ratio, so that the difference rises.
    fn operate(&self, d: &CompressorDemand) -> CompressorPoint {
        let correction = (self.reference.temperature_k / d.inlet_temperature_k).sqrt();
        // a wheel that turns backwards passes air like a standing one
        let speed_rad_s = if d.shaft_speed_rad_s < 0.0 {
            0.0
        } else {
            d.shaft_speed_rad_s
        };
        let corrected_speed_rad_s = speed_rad_s * correction;
        let line = self.line(corrected_speed_rad_s, d.inlet_temperature_k);
        let duct = Duct::new(d, &self.reference, correction);
        let lowest = d.outlet_pressure_pa / d.ambient_pressure_pa;
        let asked = |ratio: f64| duct.asked_ratio(&duct.at(line.flow(ratio)));
        let ratio = if d.inlet_loss_pa_s2_kg2 == 0.0 && d.outlet_loss_pa_s2_kg2 == 0.0 {
            lowest
        } else {
            rising_root(lowest, asked(lowest), CLOSE, |ratio| ratio - asked(ratio))
        };
        let corrected_flow_kg_s = line.flow(ratio);
        let point = duct.at(corrected_flow_kg_s);
        let inlet = (d.inlet_temperature_k, point.inlet_pa);
        let phi = self.flow_coefficient(point.flow_kg_s, speed_rad_s, inlet);
        let (efficiency, on_parabola) = self.efficiency(line.speed, phi);
        CompressorPoint {
            flow_kg_s: point.flow_kg_s,
            inlet_pressure_pa: point.inlet_pa,
            outlet_pressure_pa: point.inlet_pa * ratio,
            pressure_ratio: ratio,
            efficiency,
            corrected_flow_kg_s,
            corrected_speed_rad_s,
            surge_margin: line.surge_margin(corrected_flow_kg_s),
            choke_margin: (line.most_flow - corrected_flow_kg_s) / line.most_flow,
            surging: corrected_flow_kg_s < line.surge_flow || ratio > line.highest_ratio,
            extrapolated: !on_parabola
                || ratio < 1.0
                || corrected_speed_rad_s > self.stated_to_rad_s,
        }
    }

    fn highest_speed_rad_s(&self) -> f64 {
        self.stated_to_rad_s
    }
}
