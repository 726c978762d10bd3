//! The ceiling of the demonstration: all its cells, and one.
//!
//! Cells are spread over all cores; `RAYON_NUM_THREADS=1` shows one core.
mod common;

use divan::Bencher;
use divan::counter::ItemsCount;
use ringfence::study::ceiling::{CeilingPlan, ceiling};
use ringfence::study::progress::Silent;

fn main() {
    divan::main();
}

/// Every speed and altitude of the scenario, and the proof of the table; one
/// item is one cell.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn whole(bencher: Bencher) {
    let (scenario, setup) = common::demo();
    let plan = CeilingPlan::of(&scenario, &setup).expect("the demo has a plan");
    let cells = plan.speeds_rad_s.len() * plan.ambients.len();
    bencher
        .counter(ItemsCount::new(cells))
        .bench(|| ceiling(&plan, &setup.titles, &Silent));
}

/// One cell: the highest speed at the first altitude.
#[divan::bench(sample_count = 10, sample_size = 1)]
fn one_cell(bencher: Bencher) {
    let (scenario, setup) = common::demo();
    let mut plan = CeilingPlan::of(&scenario, &setup).expect("the demo has a plan");
    let highest = plan.speeds_rad_s.iter().copied().fold(0.0, f64::max);
    plan.speeds_rad_s = vec![highest];
    plan.ambients.truncate(1);
    bencher.bench(|| ceiling(&plan, &setup.titles, &Silent));
}

/// Ten speeds at five altitudes; one item is one cell.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn ten_by_five(bencher: Bencher) {
    let (scenario, setup) = common::demo_with(&[
        (
            "ceiling.engine_speeds",
            "[1600 rpm, 1722 rpm, 1844 rpm, 1967 rpm, 2089 rpm, 2211 rpm, 2333 rpm, 2456 rpm, 2578 rpm, 2700 rpm]",
        ),
        ("ceiling.altitudes", "[0 m, 750 m, 1500 m, 2250 m, 3000 m]"),
    ]);
    let plan = CeilingPlan::of(&scenario, &setup).expect("the demo has a plan");
    bencher
        .counter(ItemsCount::new(50_usize))
        .bench(|| ceiling(&plan, &setup.titles, &Silent));
}
