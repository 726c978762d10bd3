//! The lesson: its scenarios run and end as its pages say, the figures in its text are
//! those of the runs, and its engine is the demonstration's.
//!
//! What the program prints on the pages is held by `tests/docs/commands.rs`. All data are
//! invented, so that no figure is claimed of any engine: a tolerance here is half of the
//! last digit that a page gives.
#[path = "lesson/claims.rs"]
mod claims;
#[path = "lesson/pages.rs"]
mod pages;

use ringfence::judgement::{LimitResult, Verdict};
use ringfence::scenario::{self, build::Setup};
use ringfence::simulation::Sample;
use ringfence::study::single::{SingleRun, single};
use std::fs;
use std::path::{Path, PathBuf};

/// Every scenario of the lesson and how its run ends.
const SCENARIOS: [(&str, Verdict); 14] = [
    ("01-stairs", Verdict::Exceeded),
    ("02-runaway", Verdict::Exceeded),
    ("03-double-gain", Verdict::Exceeded),
    ("03-half-gain", Verdict::Exceeded),
    ("04-fixed-vanes", Verdict::Held),
    ("06-lower-threshold", Verdict::Exceeded),
    ("07-authority", Verdict::Held),
    ("07-clamp", Verdict::Held),
    ("07-limiter", Verdict::Held),
    ("07-sensor", Verdict::Held),
    ("07-watch", Verdict::Held),
    ("08-fading-turbine", Verdict::Exceeded),
    ("09-on-the-pass", Verdict::Exceeded),
    ("10-leak", Verdict::Exceeded),
];

/// The ways out of page 7, in its order.
const WAYS: [&str; 5] = [
    "07-clamp",
    "07-watch",
    "07-authority",
    "07-limiter",
    "07-sensor",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn setup(name: &str, sets: &[(&str, &str)]) -> Setup {
    let path = root().join(format!("scenarios/lesson/{name}.yaml"));
    let sets: Vec<_> = sets
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    let loaded = scenario::load(&path, &sets, None).unwrap_or_else(|e| panic!("{name}: {e}"));
    Setup::new(&loaded.scenario).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// A run of a scenario of the lesson under overrides.
fn run_with(name: &str, sets: &[(&str, &str)]) -> SingleRun {
    single(&setup(name, sets)).unwrap_or_else(|e| panic!("{name}: {e:?}"))
}

fn run(name: &str) -> SingleRun {
    run_with(name, &[])
}

/// The first sample at a time or after it.
fn at(run: &SingleRun, time_s: f64) -> &Sample {
    &run.samples[run.samples.partition_point(|s| s.time_s < time_s - 1e-6)]
}

fn last(run: &SingleRun) -> &Sample {
    run.samples.last().expect("samples")
}

/// The first sample of which something holds.
fn first(run: &SingleRun, holds: impl Fn(&Sample) -> bool) -> &Sample {
    run.samples.iter().find(|s| holds(s)).expect("it comes")
}

fn limit<'a>(run: &'a SingleRun, name: &str) -> &'a LimitResult {
    let found = run.result.limits.iter().find(|limit| limit.name == name);
    found.unwrap_or_else(|| panic!("no limit {name}"))
}

fn exceeded(run: &SingleRun) -> Vec<&str> {
    let limits = run.result.limits.iter().filter(|limit| !limit.held);
    limits.map(|limit| limit.name.as_str()).collect()
}

/// Seconds for which a protection was blind, and when it first acted.
fn protection(run: &SingleRun, name: &str) -> (f64, Option<f64>) {
    let found = run.result.protections.iter().find(|p| p.name == name);
    let found = found.unwrap_or_else(|| panic!("no protection {name}"));
    (found.blind_s, found.first_s)
}

#[test]
fn every_scenario_ends_as_its_page_says() {
    for (name, verdict) in SCENARIOS {
        let run = run(name);
        assert_eq!(run.result.verdict, verdict, "{name}: {:?}", exceeded(&run));
        assert_eq!(run.result.data, "invented", "{name}");
    }
    let mut found: Vec<String> = fs::read_dir(root().join("scenarios/lesson"))
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.is_file())
        .map(|path: PathBuf| path.file_stem().expect("a name").to_string_lossy().into())
        .collect();
    found.sort();
    assert_eq!(found, SCENARIOS.map(|(name, _)| name));
}

/// The engine of the lesson is the demonstration's, to the letter below `about`.
#[test]
fn the_engine_is_that_of_the_demonstration() {
    let read = |path: &str| fs::read_to_string(root().join(path)).expect("a readable file");
    let below_about = |text: String| {
        let (_, rest) = text.split_once("\nambient:").expect("the section");
        rest.to_owned()
    };
    let shipped = below_about(read("scenarios/rescue-tender.yaml"));
    let own = below_about(read("scenarios/lesson/tender/tender.yaml"));
    assert_eq!(
        own,
        shipped.replace("rescue-tender/compressor.csv", "compressor.csv")
    );
    assert_eq!(
        read("scenarios/lesson/tender/compressor.csv"),
        read("scenarios/rescue-tender/compressor.csv")
    );
}
