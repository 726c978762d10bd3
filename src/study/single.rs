//! One run of a scenario: trace and judgement together.
pub use crate::judgement::SingleRun;
use crate::judgement::{Judge, JudgedTrace, RunResult, Steady, assess, events, steady_block};
use crate::procedure::Asked;
use crate::scenario::build::Setup;
use crate::simulation::{Outcome, Rig, StartFailure, run, steady_input, steady_state};

/// Runs the procedure of a setup and judges it.
pub fn single(setup: &Setup) -> Result<SingleRun, StartFailure> {
    let mut seen = JudgedTrace {
        judge: Judge::new(setup.bench.clone()),
        samples: Vec::new(),
    };
    let outcome = run(&setup.rig, &setup.procedure, &mut seen)?;
    let steady = setup
        .procedure
        .is_hold()
        .then(|| steady(&setup.rig, setup.procedure.at(outcome.time_s), &outcome))
        .flatten();
    let faults: Vec<_> = (setup.rig.faults.iter())
        .map(|fault| (fault.onset_s, fault.kind.name()))
        .collect();
    Ok(SingleRun {
        events: events(&setup.bench, &faults, &seen.samples),
        result: assess(&setup.rig, &setup.titles, &seen.judge, &outcome, steady),
        samples: seen.samples,
    })
}

/// As [`single`], without keeping the trace.
pub fn judged(setup: &Setup) -> Result<RunResult, StartFailure> {
    let mut judge = Judge::new(setup.bench.clone());
    let outcome = run(&setup.rig, &setup.procedure, &mut judge)?;
    Ok(assess(&setup.rig, &setup.titles, &judge, &outcome, None))
}

/// The equilibrium at the vane position and fuel that a hold ended with, with all
/// that had broken by then.
fn steady(rig: &Rig, asked: Asked, outcome: &Outcome) -> Option<Steady> {
    let rig = &rig.broken_by(outcome.time_s);
    let vane = rig
        .plant
        .actuator
        .vanes_behind_play(outcome.last.vane_closed, outcome.last_input.vanes_before);
    let state = steady_state(rig, asked, vane, Some(&outcome.last)).ok()?;
    let controller = rig.fresh_controller();
    let input = steady_input(rig, &*controller, asked, &state);
    Some(steady_block(rig, &state, &input))
}
