//! Our solver on the replay, as the program uses it: `ours SCENARIO TOLERANCE
//! PULLS STATES`. Prints evaluations and processor time of one pull \[s\], tolerance and
//! simulated time \[s\]; writes
//! the scaled states at the end of every tick to STATES, none for `-`. The
//! tolerance `shipped` is the scenario's.
use plant::replay::Replay;
use ringfence::plant::PlantPoint;
use ringfence::plant::state::{COMMON_SLOTS, PlantState};
use ringfence::simulation::Integrator;
use rustix::time::{ClockId, clock_gettime};
use std::error::Error;
use std::fs;
use std::hint::black_box;
use std::path::Path;

/// How far the replay may end from the run that was recorded, relative: its
/// inputs went through the units of the trace and back, a rounding each, and
/// the plant forgets them.
const SAME_RUN: f64 = 1e-9;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [scenario, tolerance, pulls, states] = arguments.as_slice() else {
        return Err("call: ours SCENARIO TOLERANCE PULLS STATES".into());
    };
    let replay = Replay::record(Path::new(scenario))?;
    let shipped = tolerance == "shipped";
    let tolerance = if shipped {
        replay.tolerance
    } else {
        tolerance.parse()?
    };
    let pulls: u32 = pulls.parse()?;

    let mut ends = Vec::new();
    let evaluations = pull(&replay, tolerance, |state| ends.push(*state))?;
    if shipped {
        same_run(&replay, ends.last().unwrap_or(&replay.start))?;
    }
    if states != "-" {
        let vectors = ends.iter().map(PlantState::to_vector::<COMMON_SLOTS>);
        let numbers = vectors.flat_map(|v| v.as_slice().to_vec());
        let bytes: Vec<u8> = numbers.flat_map(f64::to_ne_bytes).collect();
        fs::write(states, bytes)?;
    }
    let began_s = processor_s();
    for _ in 0..pulls {
        pull(&replay, tolerance, |state| {
            black_box(state);
        })?;
    }
    let took_s = (processor_s() - began_s) / f64::from(pulls.max(1));
    let simulated_s = replay.inputs.len() as f64 * replay.tick_s;
    println!("{evaluations} {took_s:e} {tolerance:e} {simulated_s}");
    Ok(())
}

/// Processor time of this process \[s\].
fn processor_s() -> f64 {
    let now = clock_gettime(ClockId::ProcessCPUTime);
    now.tv_sec as f64 + 1e-9 * now.tv_nsec as f64
}

/// Integrates all ticks as a run does; the number of evaluations.
fn pull(
    replay: &Replay,
    tolerance: f64,
    mut see: impl FnMut(&PlantState),
) -> Result<u64, Box<dyn Error>> {
    let plant = &replay.plant;
    let mut integrator = Integrator::new(tolerance);
    let mut state = replay.start;
    let mut seen: PlantPoint = plant.evaluate(&state, &replay.inputs[0].start);
    for (tick, input) in replay.inputs.iter().enumerate() {
        let point = plant.with_input(seen, &state, &input.start);
        let time_s = tick as f64 * replay.tick_s;
        (state, seen) = integrator.advance(plant, &state, &point, input, time_s, replay.tick_s)?;
        see(&state);
    }
    Ok(integrator.effort.evaluations + 1)
}

/// Whether the replay is the run that was recorded.
fn same_run(replay: &Replay, end: &PlantState) -> Result<(), Box<dyn Error>> {
    let (there, here) = (replay.end.to_values(), end.to_values());
    let off = there
        .iter()
        .zip(here)
        .map(|(a, b)| (a - b).abs() / (1e-300 + a.abs()))
        .fold(0.0, f64::max);
    if off <= SAME_RUN {
        Ok(())
    } else {
        Err(format!("the replay ends {off:e} away from the run").into())
    }
}
