//! `ringfence compare`: one procedure on several scenarios, side by side.
#[path = "cli/bench.rs"]
#[allow(dead_code)]
mod bench;
#[path = "compare/calls.rs"]
mod calls;
#[path = "compare/files.rs"]
mod files;
#[path = "compare/procedures.rs"]
mod procedures;
#[path = "compare/shipped.rs"]
mod shipped;

use bench::{Bench, Said, args};
use serde_json::Value;

/// A shipped scenario by its name.
fn scenario(name: &str) -> String {
    format!("{}/scenarios/{name}.yaml", env!("CARGO_MANIFEST_DIR"))
}

/// A run of milliseconds: a step to full load at one speed.
const STEP: [&str; 2] = [
    "--set",
    "procedure=[{load_step: {engine_speed: 2000 rpm, fuel_from: 60 mg, fuel_to: full, at: 1 s, duration: 4 s}}]",
];

fn compare(bench: &Bench, files: &[&str], more: &[&str]) -> Said {
    bench.call(&args(&[&["compare"], files, more]))
}

/// The difference of one quantity of one scenario, from the JSON document.
fn difference(json: &Value, scenario: u64, kind: &str, name: &str) -> Value {
    let all = json["differences"].as_array().expect("a list");
    let found: Vec<&Value> = all
        .iter()
        .filter(|d| d["scenario"] == scenario && d["kind"] == kind && d["name"] == name)
        .collect();
    assert_eq!(found.len(), 1, "{scenario} {kind} {name}: {found:?}");
    found[0].clone()
}
