//! An equilibrium of the demonstration: from a neighbour's, from nothing, and
//! with its eigenvalues.
mod common;

use divan::Bencher;
use ringfence::control::BoostController;
use ringfence::simulation::{eigenvalues_1_s, start, steady_input, steady_state};

fn main() {
    divan::main();
}

const SPEED_RPM: f64 = 2400.0;
const VANE_CLOSED: f64 = 0.30;
/// A neighbour, as the walk over the vane travel has it.
const NEIGHBOUR: f64 = 0.32;

/// From the equilibrium two per cent of the travel away.
#[divan::bench]
fn warm(bencher: Bencher) {
    let (_, setup) = common::demo();
    let asked = common::full_fuel_at_rpm(SPEED_RPM);
    let warm = steady_state(&setup.rig, asked, NEIGHBOUR, None).expect("the demo settles");
    bencher.bench(|| steady_state(&setup.rig, asked, VANE_CLOSED, Some(&warm)));
}

/// From a guess.
#[divan::bench]
fn cold(bencher: Bencher) {
    let (_, setup) = common::demo();
    let asked = common::full_fuel_at_rpm(SPEED_RPM);
    bencher.bench(|| steady_state(&setup.rig, asked, VANE_CLOSED, None));
}

/// The start of a run with the feed-forward vanes.
#[divan::bench]
fn start_of_a_run(bencher: Bencher) {
    let (_, setup) = common::demo();
    let asked = common::full_fuel_at_rpm(SPEED_RPM);
    bencher.bench(|| start(&setup.rig, asked));
}

/// Eigenvalues at an equilibrium.
#[divan::bench]
fn eigenvalues(bencher: Bencher) {
    let (_, setup) = common::demo();
    let asked = common::full_fuel_at_rpm(SPEED_RPM);
    let state = steady_state(&setup.rig, asked, VANE_CLOSED, None).expect("the demo settles");
    let controller = BoostController::new(setup.rig.controller.clone());
    let input = steady_input(&setup.rig, &controller, asked, &state);
    bencher.bench(|| eigenvalues_1_s(&setup.rig.plant, &state, &input));
}
