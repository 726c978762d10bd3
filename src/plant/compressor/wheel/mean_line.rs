//! One-dimensional model of a centrifugal stage at its mean diameters.

use super::super::work;
use super::WheelGeometry;
use crate::map::ReferenceConditions;
use std::f64::consts::{FRAC_PI_4, PI};

/// Dry air as a gas of constant heat capacity: R, κ, cp. Good to 0.3 % of the
/// work up to a pressure ratio of 5.
const GAS_CONSTANT_J_KG_K: f64 = 287.05;
const KAPPA: f64 = 1.4;
const HEAT_CAPACITY_J_KG_K: f64 = GAS_CONSTANT_J_KG_K * KAPPA / (KAPPA - 1.0);
/// Share of the choke flow at which losses of the nearly choked inducer begin.
const CHOKING_FROM: f64 = 0.80;
/// Relative loss of efficiency at the choke flow.
const CHOKING_LOSS: f64 = 0.45;
/// Share of the choke flow at which a line ends, if it gets there.
const LINE_END: f64 = 0.997;
/// Largest share of a line's end at which it begins: a wide tip does not take
/// all of the range that the inducer has.
const WIDEST_SURGE: f64 = 0.88;
/// A line that does not choke ends where its head has fallen to this share of
/// the highest one.
const LEAST_HEAD: f64 = 0.45;

/// The stage at one speed and flow.
#[derive(Debug, Clone, Copy)]
pub(super) struct StagePoint {
    pub pressure_ratio: f64,
    /// Isentropic efficiency, total to total.
    pub efficiency: f64,
    /// Isentropic head \[J/kg\].
    pub head_j_kg: f64,
    /// Flow angle behind the wheel, from tangential \[rad\].
    pub diffuser_angle_rad: f64,
}

/// Flow behind the wheel.
#[derive(Debug, Clone, Copy)]
struct Exit {
    meridional_m_s: f64,
    swirl_m_s: f64,
    density_kg_m3: f64,
    temperature_k: f64,
    euler_work_j_kg: f64,
}

/// The model of one wheel at fixed inlet conditions.
pub(super) struct MeanLine<'a> {
    wheel: &'a WheelGeometry,
    inlet: ReferenceConditions,
    sound_speed_m_s: f64,
    backsweep_rad: f64,
    blades: f64,
    work_input_factor: f64,
    exit_area_m2: f64,
    /// Inducer diameter of equal areas inside and outside, over tip diameter.
    inducer_mean_ratio: f64,
    /// Hydraulic efficiency of the best point, without disc friction and
    /// recirculation, so that the best overall efficiency is the stated one.
    best_hydraulic_efficiency: f64,
}

impl<'a> MeanLine<'a> {
    pub fn new(wheel: &'a WheelGeometry, inlet: ReferenceConditions) -> Self {
        let losses = &wheel.losses;
        let backsweep_rad = wheel.backsweep_deg.to_radians();
        let blades =
            f64::from(wheel.full_blades) + losses.splitter_worth * f64::from(wheel.splitter_blades);
        let mean_square =
            (wheel.inducer_tip_diameter_m.powi(2) + wheel.inducer_hub_diameter_m.powi(2)) / 2.0;
        let inducer_mean_ratio = mean_square.sqrt() / wheel.tip_diameter_m;
        let mut model = Self {
            wheel,
            inlet,
            sound_speed_m_s: (KAPPA * GAS_CONSTANT_J_KG_K * inlet.temperature_k).sqrt(),
            backsweep_rad,
            blades,
            work_input_factor: wheel.slip.work_input_factor(
                blades,
                backsweep_rad,
                inducer_mean_ratio,
            ),
            exit_area_m2: PI
                * wheel.tip_diameter_m
                * wheel.tip_width_m
                * (1.0 - losses.exit_blockage),
            inducer_mean_ratio,
            best_hydraulic_efficiency: wheel.peak_efficiency,
        };
        // The parasitic share at the best point hardly depends on efficiency:
        // one correction is enough.
        let speed = model.sound_speed_m_s;
        let best = model.at(speed, model.best_flow_kg_s(speed));
        model.best_hydraulic_efficiency *= wheel.peak_efficiency / best.efficiency;
        model
    }

    /// Flow that chokes the inducer throat \[kg/s\]:
    /// `A p01 √(κ/(R T01)) [(2 + (κ−1) U1²/a01²)/(κ+1)]^((κ+1)/(2(κ−1)))`.
    ///
    /// Relative stagnation conditions rise with blade speed U1 (at the diameter
    /// of equal areas), and choke flow with them. Dixon & Hall ch. 7, choking of
    /// a rotor inlet. No blockage: the throat area is the effective one.
    pub fn choke_flow_kg_s(&self, tip_speed_m_s: f64) -> f64 {
        let blade_mach = tip_speed_m_s * self.inducer_mean_ratio / self.sound_speed_m_s;
        let growth = (2.0 + (KAPPA - 1.0) * blade_mach * blade_mach) / (KAPPA + 1.0);
        self.wheel.throat_area_m2
            * self.inlet.pressure_pa
            * (KAPPA / (GAS_CONSTANT_J_KG_K * self.inlet.temperature_k)).sqrt()
            * growth.powf((KAPPA + 1.0) / (2.0 * (KAPPA - 1.0)))
    }

    /// Flow of best efficiency \[kg/s\].
    ///
    /// On slow lines that of best incidence, `ρ01 A1 φ U1tip`, which grows with
    /// speed; on fast lines a share of the choke flow; with a narrow tip the flow
    /// that leaves at 0.4 of the tip speed. The smallest of these, the corners
    /// rounded by a sixth-power mean. No fixed share of a line: the best
    /// point wanders from a third of the choke flow to nearly all of it.
    fn best_flow_kg_s(&self, tip_speed_m_s: f64) -> f64 {
        let wheel = self.wheel;
        let density = self.inlet.pressure_pa / (GAS_CONSTANT_J_KG_K * self.inlet.temperature_k);
        let annulus_m2 = FRAC_PI_4
            * (wheel.inducer_tip_diameter_m.powi(2) - wheel.inducer_hub_diameter_m.powi(2));
        let inducer_tip_m_s = tip_speed_m_s * wheel.inducer_tip_diameter_m / wheel.tip_diameter_m;
        let incidence = density * annulus_m2 * wheel.losses.best_flow_coefficient * inducer_tip_m_s;
        let choke = wheel.losses.best_choke_share * self.choke_flow_kg_s(tip_speed_m_s);
        let leaving_m_s = 0.4 * tip_speed_m_s;
        let leaving = self.exit_state(tip_speed_m_s, leaving_m_s, 0.8);
        let exit = leaving.density_kg_m3 * leaving_m_s * self.exit_area_m2;
        (incidence.powi(-6) + choke.powi(-6) + exit.powi(-6)).powf(-1.0 / 6.0)
    }

    /// Hydraulic efficiency (head over Euler work): a law, not a sum of losses.
    ///
    /// Best value: falls above a tip Mach number (shocks) and, by a tenth of the
    /// square of the distance, below 0.8 (Reynolds number, clearance, heat).
    /// Along a line: parabolas on both sides of the best flow, and an ellipse of
    /// choking loss from 80 % of the choke flow on, with a vertical end there.
    /// Shape after Casey & Robinson, J. Turbomach. 135 (2013), simplified.
    fn hydraulic_efficiency(&self, tip_speed_m_s: f64, flow_kg_s: f64) -> f64 {
        let losses = &self.wheel.losses;
        let mach = tip_speed_m_s / self.sound_speed_m_s;
        let shock = losses.shock_loss * (mach - losses.shock_tip_mach).max(0.0).powi(2);
        let slow = 0.10 * (1.0 - mach / 0.8).max(0.0).powi(2);
        let distance = flow_kg_s / self.best_flow_kg_s(tip_speed_m_s) - 1.0;
        let side = if distance < 0.0 {
            losses.low_flow_loss
        } else {
            losses.high_flow_loss
        };
        let share = flow_kg_s / self.choke_flow_kg_s(tip_speed_m_s);
        let choking = ((share - CHOKING_FROM) / (1.0 - CHOKING_FROM)).clamp(0.0, 1.0);
        self.best_hydraulic_efficiency
            * (1.0 - shock - slow)
            * (1.0 - side * distance * distance)
            * (1.0 - CHOKING_LOSS * (1.0 - (1.0 - choking * choking).sqrt()))
    }

    /// State behind the wheel at a meridional velocity. Half of the stage's
    /// losses arise in the wheel.
    fn exit_state(&self, tip_speed_m_s: f64, meridional_m_s: f64, hydraulic: f64) -> Exit {
        let euler_work_j_kg = work::euler_work_j_kg(
            tip_speed_m_s,
            self.work_input_factor,
            meridional_m_s,
            self.backsweep_rad,
        );
        let swirl_m_s = euler_work_j_kg / tip_speed_m_s;
        let rise = euler_work_j_kg / (HEAT_CAPACITY_J_KG_K * self.inlet.temperature_k);
        let total_k = self.inlet.temperature_k * (1.0 + rise);
        let total_pa =
            self.inlet.pressure_pa * work::pressure_ratio(rise, 0.5 * (1.0 + hydraulic), KAPPA);
        let velocity_square = swirl_m_s * swirl_m_s + meridional_m_s * meridional_m_s;
        let temperature_k = total_k - velocity_square / (2.0 * HEAT_CAPACITY_J_KG_K);
        let pressure_pa = total_pa * (temperature_k / total_k).powf(KAPPA / (KAPPA - 1.0));
        Exit {
            meridional_m_s,
            swirl_m_s,
            density_kg_m3: pressure_pa / (GAS_CONSTANT_J_KG_K * temperature_k),
            temperature_k,
            euler_work_j_kg,
        }
    }

    /// State behind the wheel at a flow: continuity, solved by bisection of the
    /// meridional velocity because density depends on it.
    fn exit(&self, tip_speed_m_s: f64, flow_kg_s: f64, hydraulic: f64) -> Exit {
        // A flow that asks for more than the velocity of no work, or for more
        // than about the speed of sound behind the wheel, ends there: outside
        // the lines, which end where head has fallen.
        let no_work_m_s = self.work_input_factor * tip_speed_m_s / self.backsweep_rad.tan();
        let (mut low, mut high) = (0.0, no_work_m_s.min(1.2 * self.sound_speed_m_s));
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            let density = self
                .exit_state(tip_speed_m_s, middle, hydraulic)
                .density_kg_m3;
            if density * middle * self.exit_area_m2 < flow_kg_s {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.exit_state(tip_speed_m_s, 0.5 * (low + high), hydraulic)
    }

    /// Disc friction and recirculation \[J/kg\]: work that goes into heat.
    ///
    /// Disc friction after Daily & Nece (1960), `f ρ r2² U2³ / (4 W)` with
    /// `f = 0.0622 / Re^0.2`; recirculation `8e-5 sinh(3.5 α2³) Df² U2²` with the
    /// flow angle α2 from meridional; both as collected by Oh, Yoon & Chung,
    /// Proc. IMechE A 211 (1997), from memory. Diffusion factor Df by Coppage:
    /// `1 − W2/W1 + 0.75 (Δh/U2²) (W2/W1) / ((Z/π)(1 − d1/d2) + 2 d1/d2)`.
    fn parasitic_work_j_kg(&self, tip_speed_m_s: f64, flow_kg_s: f64, exit: &Exit) -> f64 {
        let wheel = self.wheel;
        let inlet_density =
            self.inlet.pressure_pa / (GAS_CONSTANT_J_KG_K * self.inlet.temperature_k);
        let radius_m = 0.5 * wheel.tip_diameter_m;
        // Viscosity of air by a power law, 1.81e-5 Pa s at 293 K (±3 % to 550 K).
        let viscosity_pa_s = 1.81e-5 * (exit.temperature_k / 293.0).powf(0.7);
        let reynolds = exit.density_kg_m3 * tip_speed_m_s * radius_m / viscosity_pa_s;
        let disc = 0.0622 / reynolds.powf(0.2)
            * 0.5
            * (inlet_density + exit.density_kg_m3)
            * radius_m
            * radius_m
            * tip_speed_m_s.powi(3)
            / (4.0 * flow_kg_s);
        let ratio = wheel.inducer_tip_diameter_m / wheel.tip_diameter_m;
        let annulus_m2 = FRAC_PI_4
            * (wheel.inducer_tip_diameter_m.powi(2) - wheel.inducer_hub_diameter_m.powi(2));
        let inlet_m_s = flow_kg_s / (inlet_density * annulus_m2);
        let relative_inlet = (ratio * tip_speed_m_s).hypot(inlet_m_s);
        let relative_exit = (tip_speed_m_s - exit.swirl_m_s).hypot(exit.meridional_m_s);
        let slowing = relative_exit / relative_inlet;
        let loading = exit.euler_work_j_kg / (tip_speed_m_s * tip_speed_m_s);
        let diffusion = 1.0 - slowing
            + 0.75 * loading * slowing / ((self.blades / PI) * (1.0 - ratio) + 2.0 * ratio);
        let angle = exit.swirl_m_s.atan2(exit.meridional_m_s);
        let recirculation = 8e-5
            * (3.5 * angle.powi(3)).sinh()
            * diffusion.max(0.0).powi(2)
            * tip_speed_m_s
            * tip_speed_m_s;
        disc + recirculation
    }

    /// The stage at a tip speed \[m/s\] and a flow \[kg/s\].
    pub fn at(&self, tip_speed_m_s: f64, flow_kg_s: f64) -> StagePoint {
        let hydraulic = self.hydraulic_efficiency(tip_speed_m_s, flow_kg_s);
        let exit = self.exit(tip_speed_m_s, flow_kg_s, hydraulic);
        let head_j_kg = hydraulic * exit.euler_work_j_kg;
        let total =
            exit.euler_work_j_kg + self.parasitic_work_j_kg(tip_speed_m_s, flow_kg_s, &exit);
        let rise = total / (HEAT_CAPACITY_J_KG_K * self.inlet.temperature_k);
        let efficiency = head_j_kg / total;
        StagePoint {
            pressure_ratio: work::pressure_ratio(rise, efficiency, KAPPA),
            efficiency,
            head_j_kg,
            diffuser_angle_rad: exit.meridional_m_s.atan2(exit.swirl_m_s),
        }
    }

    /// First and last flow of the line at a tip speed \[kg/s\].
    ///
    /// Surge: the diffuser stalls when the flow enters it flatter than a critical
    /// angle (Senoo & Kinoshita, J. Fluids Eng. 99 (1977): about 10 to 20° for
    /// vaneless diffusers of this width, growing with Mach number). As density
    /// behind the wheel rises with speed, the same angle is met at ever larger
    /// shares of the line, up to a limit where a fast wheel with too wide a tip
    /// would have no line left. Where the head still falls toward surge the line
    /// begins at its peak.
    pub fn range_kg_s(&self, tip_speed_m_s: f64) -> [f64; 2] {
        const STEPS: usize = 400;
        let losses = &self.wheel.losses;
        let mach = tip_speed_m_s / self.sound_speed_m_s;
        let critical =
            (losses.surge_angle_deg + losses.surge_angle_per_mach_deg * mach).to_radians();
        let end = LINE_END * self.choke_flow_kg_s(tip_speed_m_s);
        let flow = |step: usize| end * step as f64 / STEPS as f64;
        let states: Vec<StagePoint> = (1..=STEPS)
            .map(|step| self.at(tip_speed_m_s, flow(step)))
            .collect();
        let stable = states
            .iter()
            .position(|state| state.diffuser_angle_rad >= critical)
            .unwrap_or(STEPS)
            .min((WIDEST_SURGE * STEPS as f64) as usize);
        let mut peak = stable;
        for (s, state) in states.iter().enumerate().skip(stable) {
            if state.head_j_kg > states[peak].head_j_kg {
                peak = s;
            }
        }
        let least_j_kg = LEAST_HEAD * states[peak].head_j_kg;
        let last = states[peak..]
            .iter()
            .take_while(|state| state.head_j_kg > least_j_kg)
            .count();
        [flow(peak + 1), flow(peak + last)]
    }
}
