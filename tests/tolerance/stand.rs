//! What the tests share.
use ringfence::judgement::{LimitTolerance, RunResult};
use ringfence::scenario::build::Setup;
use ringfence::scenario::{self, Loaded};
use ringfence::study::progress::Silent;
use ringfence::study::single::single;
use ringfence::study::tolerance::{Asked, Tolerance, tolerance};
use std::path::Path;

const DEMO: &str = "scenarios/rescue-tender.yaml";

/// A hold so short that it is the equilibrium it starts from.
pub const AT_REST: (&str, &str) = (
    "procedure",
    "[{hold: {engine_speed: 2000 rpm, duration: 0.02 s}}]",
);

/// The demonstration with other values.
pub fn load(sets: &[(&str, &str)]) -> Loaded {
    let sets: Vec<(String, String)> = sets
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    scenario::load(Path::new(DEMO), &sets, None).unwrap_or_else(|e| panic!("{e}"))
}

/// The run of a scenario as it is written.
pub fn run(sets: &[(&str, &str)]) -> RunResult {
    let setup = Setup::new(&load(sets).scenario).expect("the scenario builds");
    single(&setup).expect("the run starts").result
}

/// Worst value of a limit.
pub fn worst(result: &RunResult, name: &str) -> f64 {
    let limit = result.limits.iter().find(|l| l.name == name);
    limit.and_then(|l| l.worst).expect("a worst value")
}

/// The whole study.
pub fn study(sets: &[(&str, &str)], asked: Asked) -> Tolerance {
    let loaded = load(sets);
    let setup = Setup::new(&loaded.scenario).expect("the scenario builds");
    tolerance(&loaded, &setup, asked, &Silent, &Silent).expect("spreads are stated")
}

/// One limit of the answer.
pub fn limit<'a>(answer: &'a Tolerance, name: &str) -> &'a LimitTolerance {
    let limit = answer.result.limits.iter().find(|l| l.name == name);
    limit.expect("the limit is set")
}
