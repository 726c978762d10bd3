//! Cases per second of a sweep, with one thread and with two: twice as many with two is
//! full efficiency. One item is one case.
use std::path::Path;
use std::sync::atomic::AtomicBool;

use divan::Bencher;
use divan::counter::ItemsCount;
use ringfence::judgement::SweepRow;
use ringfence::scenario::load;
use ringfence::study::sweep::{Axis, Plan, Sampling, Shard, Taker, in_order, run_case};

fn main() {
    divan::main();
}

/// Takes rows and forgets them.
struct Nobody;

impl Taker<SweepRow> for Nobody {
    type Error = ();

    fn take(&mut self, _: u64, _: SweepRow) -> Result<(), ()> {
        Ok(())
    }
}

/// The pull of the demonstration at other altitudes and commands.
#[divan::bench(args = [1, 2], sample_count = 5, sample_size = 1)]
fn cases(bencher: Bencher, threads: usize) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/rescue-tender.yaml");
    let loaded = load(&file, &[], None).expect("the shipped scenario is sound");
    let axes = [
        ("controller.command.full_load", "200..350kPa abs:10"),
        ("ambient.altitude", "0..3000m:10"),
    ]
    .map(|(path, values)| Axis::read(path, values).expect("an axis"));
    let plan = Plan::new(axes.into(), Sampling::Grid, Shard::WHOLE).expect("a plan");
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .expect("a pool");
    let never = AtomicBool::new(false);
    bencher.counter(ItemsCount::new(plan.total())).bench(|| {
        let work = |case| run_case(&loaded, &file, &[], &plan, case);
        pool.install(|| in_order(plan.cases(), &never, work, &mut Nobody))
    });
}
