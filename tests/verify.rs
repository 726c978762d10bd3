//! `ringfence verify`: scenarios held against what they expect.
#[path = "cli/bench.rs"]
#[allow(dead_code)]
mod bench;
#[path = "verify/bites.rs"]
mod bites;
#[path = "verify/calls.rs"]
mod calls;
#[path = "verify/checks.rs"]
mod checks;
#[path = "verify/junit.rs"]
mod junit;
#[path = "verify/told.rs"]
mod told;
#[path = "verify/traces.rs"]
mod traces;

use bench::{Bench, Said};
use serde_json::Value;

/// Two seconds at one speed, far from every limit.
const HOLD: &str = "procedure: [{hold: {engine_speed: 2000 rpm, fuel: 90 mg, duration: 2 s}}]
controller: {command: {full_load: 260 kPa abs}}
";

/// The command beyond what the sensor reads, and a watch for the pinned reading. It is
/// short: the reading is pinned from some 3 s on.
const PINNED: &str = "procedure: [{pull: {from: 2000 rpm, to: 2500 rpm, duration: 5 s}}]
controller:
  command: {full_load: 345 kPa abs}
  protections:
    pinned_sensor: {within: 1 kPa, for: 0.3 s, vanes: 20 %, fuel: 70 %}
";

/// A folder with the shipped scenario to extend.
fn folder() -> Bench {
    let bench = Bench::new();
    let shipped = |name: &str| {
        let path = format!("{}/scenarios/{name}", env!("CARGO_MANIFEST_DIR"));
        std::fs::read(path).expect("a shipped file")
    };
    for name in ["rescue-tender.yaml", "rescue-tender/compressor.csv"] {
        bench.write(&format!("suite/{name}"), shipped(name));
    }
    bench
}

/// Writes a scenario of the suite that extends the shipped one.
fn case(bench: &Bench, name: &str, body: &str, expect: &str) {
    let text = format!("extends: rescue-tender.yaml\n{body}expect:\n{expect}");
    bench.write(&format!("suite/{name}.yaml"), text);
}

/// The checks of a single case, as JSON has them.
fn checks(bench: &Bench, name: &str, status: i32) -> Vec<Value> {
    let file = format!("suite/{name}.yaml");
    let json = bench
        .call(&["verify", &file, "--json"])
        .ends_with(status)
        .json();
    json["cases"][0]["checks"]
        .as_array()
        .unwrap_or_else(|| panic!("no checks in {json}"))
        .clone()
}

/// Writes lines of checks, judges them and gives them back by their order.
fn judged(body: &str, lines: &[&str], status: i32) -> Vec<Value> {
    let bench = folder();
    let list: String = lines.iter().map(|line| format!("    - {line}\n")).collect();
    case(&bench, "one", body, &format!("  checks:\n{list}"));
    checks(&bench, "one", status)
}

#[track_caller]
fn says(said: &Said, all: &[&str]) {
    for text in all {
        said.says(text);
    }
}
