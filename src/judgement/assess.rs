//! From a judged run to its result.
use super::events::Event;
use super::judge::Judge;
use super::result::{Balance, RunResult, SolverResult, Steady, StopKind, Verdict, WhyStopped};
use super::road::RoadResult;
use crate::plant::PlantPoint;
use crate::plant::further::Place;
use crate::simulation::{Ending, IntegrationFailure, Outcome, Rig, Sample, eigenvalues_1_s};

/// Program name in results.
pub const TOOL: &str = "ringfence";

/// A result with the trace that it was judged from.
#[derive(Debug, Clone, PartialEq)]
pub struct SingleRun {
    /// The result.
    pub result: RunResult,
    /// The trace.
    pub samples: Vec<Sample>,
    /// What began and ended, and when.
    pub events: Vec<Event>,
}

/// What a result is called after.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Titles {
    /// Title of the scenario.
    pub scenario: String,
    /// What it says of its data.
    pub data: String,
    /// Name of the procedure.
    pub procedure: String,
}

/// The result of a run that was judged.
pub fn assess(
    rig: &Rig,
    titles: &Titles,
    judge: &Judge,
    outcome: &Outcome,
    steady: Option<Steady>,
) -> RunResult {
    let why_stopped = why_stopped(outcome);
    let r = &outcome.residuals;
    RunResult {
        tool: TOOL.to_string(),
        version: env!("CARGO_PKG_VERSION").to_string(),
        scenario: titles.scenario.clone(),
        data: titles.data.clone(),
        procedure: titles.procedure.clone(),
        verdict: verdict(judge, &why_stopped),
        why_stopped,
        start: outcome.start.text.clone(),
        peaks: judge.peaks(),
        at_peak_shaft_speed: judge.at_peak_shaft_speed(),
        limits: judge.limits(),
        sensor: judge.sensor(),
        protections: judge.protections(),
        maps: judge.maps(),
        steady,
        balance: Balance {
            mass_residual: r.mass,
            energy_residual: (!rig.plant.breaks_first_law()).then_some(r.energy),
            burned_residual: r.burned,
        },
        band: None,
        road: outcome
            .drive
            .map(|drive| RoadResult::of(&drive, outcome.last.ledger.brake_work_j)),
        solver: SolverResult {
            method: "Dormand-Prince 5(4), restarted at every controller tick".to_string(),
            tolerance: rig.tolerance,
            steps: outcome.effort.steps,
            rejected: outcome.effort.rejected,
            evaluations: outcome.effort.evaluations,
            simulated_s: outcome.time_s,
            wall_s: None,
        },
    }
}

fn verdict(judge: &Judge, why: &WhyStopped) -> Verdict {
    if judge.exceeded() {
        Verdict::Exceeded
    } else if why.kind == StopKind::Finished {
        Verdict::Held
    } else {
        Verdict::OutsideValidity
    }
}

fn why_stopped(outcome: &Outcome) -> WhyStopped {
    let plain = |kind, quantity: Option<&str>, time_s, last_good_s, text| WhyStopped {
        kind,
        quantity: quantity.map(str::to_string),
        value: None,
        bound: None,
        unit: None,
        time_s,
        last_good_s,
        text,
    };
    match &outcome.ending {
        Ending::Finished | Ending::Observer => plain(
            StopKind::Finished,
            None,
            outcome.time_s,
            outcome.time_s,
            "the procedure came to its end".to_string(),
        ),
        Ending::OutsideValidity(stop) => WhyStopped {
            value: Some(stop.value),
            bound: Some(stop.bound),
            unit: Some(stop.unit.to_string()),
            ..plain(
                StopKind::OutsideValidity,
                Some(stop.quantity),
                stop.time_s,
                stop.last_good_s,
                format!(
                    "outside validity at {:.2} s: {} is {:.4}{}, the model ends at {:.4}",
                    stop.time_s,
                    stop.quantity.replace('_', " "),
                    stop.value,
                    match stop.unit {
                        "-" => String::new(),
                        unit => format!(" {unit}"),
                    },
                    stop.bound,
                ),
            )
        },
        Ending::BadOrders(bad) => plain(
            StopKind::ComputationFailed,
            None,
            bad.time_s,
            outcome.time_s,
            bad.to_string(),
        ),
        Ending::Failed(failure) => {
            let (quantity, time_s, last_good_s) = match failure {
                IntegrationFailure::NotFinite {
                    state,
                    time_s,
                    last_good_s,
                } => (Some(*state), *time_s, *last_good_s),
                IntegrationFailure::StepSize {
                    time_s,
                    last_good_s,
                } => (None, *time_s, *last_good_s),
            };
            plain(
                StopKind::ComputationFailed,
                quantity,
                time_s,
                last_good_s,
                failure.to_string(),
            )
        }
    }
}

/// The equilibrium block, from the state and the input of an equilibrium.
pub fn steady_block(
    rig: &Rig,
    state: &crate::plant::state::PlantState,
    input: &crate::plant::PlantInput,
) -> Steady {
    let plant = &rig.plant;
    let p: PlantPoint = plant.evaluate(state, input);
    Steady {
        intake_pressure_pa: p.intake.pressure_pa,
        intake_temperature_k: p.intake.temperature_k,
        exhaust_pressure_pa: p.exhaust.pressure_pa,
        exhaust_temperature_k: p.exhaust.temperature_k,
        shaft_speed_rad_s: p.shaft_speed_rad_s,
        compressor_flow_kg_s: p.compressor.flow_kg_s,
        turbine_flow_kg_s: p.turbine.flow_kg_s,
        wastegate_flow_kg_s: p.wastegate.flow_kg_s,
        fuel_flow_kg_s: p.engine.fuel_flow_kg_s,
        compressor_efficiency: p.compressor.efficiency,
        turbine_efficiency: p.turbine.efficiency,
        compressor_inlet_pressure_pa: p.compressor.inlet_pressure_pa,
        compressor_inlet_temperature_k: p
            .further
            .gas
            .at(Place::Airbox)
            .map_or(plant.ambient.temperature_k, |airbox| airbox.temperature_k),
        compressor_outlet_pressure_pa: p.compressor.outlet_pressure_pa,
        compressor_outlet_temperature_k: plant
            .gas
            .temperature_from_enthalpy_k(p.compressor_outlet_enthalpy_j_kg, 0.0),
        turbine_outlet_pressure_pa: p.turbine.outlet_pressure_pa,
        compressor_power_w: p.compressor_power_w,
        turbine_power_w: p.turbine.power_w,
        bearing_power_w: p.bearing_power_w,
        exhaust_burned_fraction: p.exhaust.burned,
        vane_closed_pct: 100.0 * state.vane_closed,
        lambda: p.engine.lambda,
        torque_nm: p.engine.torque_nm,
        eigenvalues_1_s: eigenvalues_1_s(plant, state, input),
    }
}

/// Feeds one sample to a judge and a recorder alike.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedTrace {
    /// The judge.
    pub judge: Judge,
    /// The trace.
    pub samples: Vec<Sample>,
}

impl crate::simulation::Observer for JudgedTrace {
    fn see(&mut self, sample: &Sample) -> std::ops::ControlFlow<()> {
        self.judge.watch(sample);
        self.samples.push(*sample);
        std::ops::ControlFlow::Continue(())
    }
}
