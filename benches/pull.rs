//! Simulated seconds per second of one core, for the pull of the demonstration.
//!
//! One item of the table is one simulated second, so `Kitem/s` reads as
//! thousands of simulated seconds per second.
mod common;

use divan::Bencher;
use divan::counter::ItemsCount;
use ringfence::judgement::Judge;
use ringfence::simulation::{Observer, Sample, run};
use ringfence::study::single::single;
use std::ops::ControlFlow;

fn main() {
    divan::main();
}

/// Sees every sample and keeps none.
struct Nobody;

impl Observer for Nobody {
    fn see(&mut self, _: &Sample) -> ControlFlow<()> {
        ControlFlow::Continue(())
    }
}

/// Judges every sample and keeps none.
struct Only(Judge);

impl Observer for Only {
    fn see(&mut self, sample: &Sample) -> ControlFlow<()> {
        self.0.watch(sample);
        ControlFlow::Continue(())
    }
}

fn simulated_seconds(duration_s: f64) -> ItemsCount {
    ItemsCount::new(duration_s.round() as u64)
}

/// Start from rest, sensors, controller, plant; nothing judged or kept.
#[divan::bench]
fn simulated_alone(bencher: Bencher) {
    let (_, setup) = common::demo();
    bencher
        .counter(simulated_seconds(setup.procedure.duration_s()))
        .bench(|| run(&setup.rig, &setup.procedure, &mut Nobody));
}

/// The same with every sample held against every limit.
#[divan::bench]
fn simulated_and_judged(bencher: Bencher) {
    let (_, setup) = common::demo();
    bencher
        .counter(simulated_seconds(setup.procedure.duration_s()))
        .bench(|| {
            let mut only = Only(Judge::new(setup.bench.clone()));
            run(&setup.rig, &setup.procedure, &mut only)
        });
}

/// What `ringfence run` does, without files: the trace is kept and judged.
#[divan::bench]
fn simulated_judged_and_kept(bencher: Bencher) {
    let (_, setup) = common::demo();
    bencher
        .counter(simulated_seconds(setup.procedure.duration_s()))
        .bench(|| single(&setup));
}

/// The pull with some fields changed.
fn changed(bencher: Bencher, changes: &[(&str, &str)]) {
    let (_, setup) = common::demo_with(changes);
    bencher
        .counter(simulated_seconds(setup.procedure.duration_s()))
        .bench(|| run(&setup.rig, &setup.procedure, &mut Nobody));
}

/// How the cost grows as the solver has to be more exact.
#[divan::bench(args = ["1e-3", "1e-4", "1e-5", "1e-6", "1e-7"])]
fn by_tolerance(bencher: Bencher, tolerance: &str) {
    changed(bencher, &[("solver.tolerance", tolerance)]);
}

/// How the cost grows with the rate of the controller, which starts the solver anew.
#[divan::bench(args = ["40 ms", "20 ms", "10 ms", "5 ms", "2 ms"])]
fn by_controller_period(bencher: Bencher, period: &str) {
    changed(bencher, &[("controller.period", period)]);
}

/// The same pull with inertia of the air ahead of the manifold, so that surge is
/// simulated: one state more, and a fast one.
#[divan::bench]
fn with_surge_state(bencher: Bencher) {
    changed(bencher, &[("intake.duct", "{length: 1.2 m, area: 30 cm2}")]);
}
