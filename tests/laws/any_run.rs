//! Laws of whole runs in random plants.
use crate::balances::{drifting, peaks};
use crate::plants::{Drawn, plants};
use crate::proof;
use crate::random::for_random;
use ringfence::control::ProtectionSettings;
use ringfence::judgement::{RunResult, StopKind};
use ringfence::procedure::{FuelAsked, Part, Procedure};
use ringfence::scenario::build::Setup;
use ringfence::simulation::{Ending, OpenLoop, Recorder, run};
use ringfence::study::single::single;

/// Random plants of each law.
const PLANTS: u32 = 32;
/// A short pull, and a blow to one volume on the way.
const PULL: (&str, &str) = (
    "procedure",
    "[{pull: {from: 1500 rpm, to: 2100 rpm, duration: 2 s, settle: 1 s}}]",
);
const LEAK: (&str, &str) = (
    "faults",
    "[{boost_leak: {area: 80 mm2, onset: 1 s}}, {blocked_filter: {factor: 2, onset: 1.5 s}}]",
);

/// The result of a run, unless it left what the model describes.
fn result(setup: &Setup) -> Option<RunResult> {
    let result = single(setup).ok()?.result;
    assert_ne!(result.why_stopped.kind, StopKind::ComputationFailed);
    Some(result)
}

fn ran_through(result: &RunResult) -> bool {
    result.why_stopped.kind == StopKind::Finished
}

/// Mass, energy and burned gas close at the boundary of any plant, over any run.
#[test]
fn balances_close_in_any_plant() {
    let mut proof = proof::row("plants-balance");
    let mut tried = 0;
    for_random(PLANTS, &plants(), |drawn| {
        let Some(r) = result(&drawn.setup(&[PULL, LEAK])) else {
            return;
        };
        let b = r.balance;
        proof.see(b.mass_residual.abs(), &("mass", &drawn));
        proof.see(
            b.energy_residual.expect("closes").abs(),
            &("energy", &drawn),
        );
        proof.see(b.burned_residual.abs(), &("burned gas", &drawn));
        tried += 1;
    });
    println!("balances of {tried} random plants");
    assert!(2 * tried >= PLANTS, "only {tried} plants ran");
    proof.done();
}

/// An equilibrium of any plant stays where it is, open loop for 2 s. A hundredth of the
/// shipped tolerance: where a small exhaust volume is stiff for the controller's period,
/// steps at the shipped one wobble by up to 1e-6 about the point.
#[test]
fn equilibrium_stays_in_any_plant() {
    let mut proof = proof::row("plants-fixed-point");
    let mut tried = 0;
    for_random(PLANTS, &plants(), |drawn| {
        let setup = drawn.setup(&[]);
        for vane in [0.1, 0.3, 0.5] {
            let mut rig = setup.rig.clone();
            rig.open_loop = Some(OpenLoop::Position(vane));
            rig.tolerance *= 1e-2;
            rig.controller.fuel.smoke = None;
            rig.controller.protections = ProtectionSettings::default();
            let hold = Procedure::new(&[Part::Hold {
                speed_rad_s: 210.0,
                fuel: FuelAsked::Full,
                duration_s: 2.0,
            }]);
            let mut trace = Recorder::default();
            let Ok(outcome) = run(&rig, &hold, &mut trace) else {
                continue;
            };
            if outcome.ending != Ending::Finished {
                continue;
            }
            tried += 1;
            let (first, last) = (trace.samples[0], trace.samples[trace.samples.len() - 1]);
            for ((name, a), (_, b)) in drifting(&first).into_iter().zip(drifting(&last)) {
                proof.see((b / a - 1.0).abs(), &(name, vane, &drawn));
            }
        }
    });
    println!("{tried} equilibria of random plants");
    assert!(tried >= PLANTS, "only {tried} equilibria held");
    proof.done();
}

/// Half the tolerance moves no peak by more than 0.1 %, what a result may err by.
#[test]
fn peaks_do_not_hang_on_the_tolerance_in_any_plant() {
    let mut proof = proof::row("plants-tolerance");
    let mut tried = 0;
    for_random(PLANTS, &plants(), |drawn: Drawn| {
        let setup = drawn.setup(&[PULL]);
        let mut finer = setup.clone();
        finer.rig.tolerance *= 0.5;
        let (Some(usual), Some(finer)) = (result(&setup), result(&finer)) else {
            return;
        };
        if !ran_through(&usual) {
            return;
        }
        for ((name, a), (_, b)) in peaks(&usual.peaks).into_iter().zip(peaks(&finer.peaks)) {
            proof.see((a / b - 1.0).abs(), &(name, &drawn));
        }
        tried += 1;
    });
    println!("tolerance of {tried} random plants");
    assert!(3 * tried >= PLANTS, "only {tried} plants ran through");
    proof.done();
}
