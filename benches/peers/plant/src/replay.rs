//! The pull, recorded: where it starts and what is ordered at every tick.
use ringfence::plant::state::PlantState;
use ringfence::plant::{Plant, PlantInput};
use ringfence::procedure::Procedure;
use ringfence::scenario::build::Setup;
use ringfence::scenario::load;
use ringfence::simulation::{Ending, Recorder, Rig, Sample, TickInput, run};
use std::f64::consts::PI;
use std::path::Path;

/// One recorded run.
#[derive(Debug, Clone)]
pub struct Replay {
    /// The plant.
    pub plant: Plant,
    /// Where the run starts.
    pub start: PlantState,
    /// Where the recorded run ended.
    pub end: PlantState,
    /// The input over each tick.
    pub inputs: Vec<TickInput>,
    /// Length of a tick \[s\].
    pub tick_s: f64,
    /// The scenario's tolerance \[-\].
    pub tolerance: f64,
}

impl Replay {
    /// Runs a scenario and keeps what was ordered at its ticks.
    ///
    /// Only the inputs are replayed, so that they must say all that the plant is
    /// told: no road, no faults, no change of altitude.
    pub fn record(scenario: &Path) -> Result<Self, String> {
        let loaded = load(scenario, &[], None)
            .map_err(|_| format!("{} is no sound scenario", scenario.display()))?;
        let setup = Setup::new(&loaded.scenario)
            .map_err(|_| format!("{} cannot be built", scenario.display()))?;
        let Setup { rig, procedure, .. } = &setup;
        if procedure.climb().is_some() || !rig.faults.is_empty() || rig.plant.has_extras() {
            return Err("the replay knows no roads, faults or optional states".to_string());
        }
        let mut recorder = Recorder::default();
        let outcome = run(rig, procedure, &mut recorder).map_err(|e| e.to_string())?;
        if outcome.ending != Ending::Finished {
            return Err(format!("the run did not finish: {:?}", outcome.ending));
        }
        // the last sample is the end; no tick follows it
        let ticks = recorder.samples.len() - 1;
        let inputs = recorder.samples[..ticks].iter();
        Ok(Self {
            plant: rig.plant.clone(),
            start: outcome.start.state,
            end: outcome.last,
            inputs: inputs.map(|s| ordered(rig, procedure, s)).collect(),
            tick_s: rig.controller.period_s,
            tolerance: rig.tolerance,
        })
    }

    /// Input some time into a tick \[s\].
    pub fn input_at(&self, tick: usize, since_s: f64) -> PlantInput {
        let TickInput {
            start,
            speed_rate_rad_s2,
        } = self.inputs[tick];
        PlantInput {
            engine_speed_rad_s: start.engine_speed_rad_s + speed_rate_rad_s2 * since_s,
            ..start
        }
    }
}

/// What the plant was told at a sample. Timing and recirculation are no columns
/// of the trace; they follow from speed and fuel as in the controller.
fn ordered(rig: &Rig, procedure: &Procedure, sample: &Sample) -> TickInput {
    let asked = procedure.at(sample.time_s);
    let controller = &rig.controller;
    let speed_rad_s = sample.engine_speed_rpm * PI / 30.0;
    let most_kg = controller.fuel.full_load.at(speed_rad_s) * controller.fuel_scale.at(speed_rad_s);
    let table_kg = rig.fuel_asked_kg(&asked).min(most_kg);
    TickInput {
        start: PlantInput {
            fuel_kg: sample.fuel_mg_per_injection * 1e-6,
            advance_deg: controller.fuel.timing.at(speed_rad_s),
            vane_command: sample.vane_command_pct * 1e-2,
            recirculation_open: controller.recirculation.at(table_kg),
            vanes_before: Some(sample.vane_closed_pct * 1e-2),
            ..rig.asked_input(&asked)
        },
        speed_rate_rad_s2: asked.speed_rate_rad_s2,
    }
}
