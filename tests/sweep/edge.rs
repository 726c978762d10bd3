//! The edge of a sweep beside the ceiling: two studies that share no search.
//!
//! A sweep of one command for all speeds drives the pull of the scenario; the
//! lowest ceiling over the speeds is the highest such command that holds. Both see
//! the same limits. A sweep has no corners of the sensor error, so the ceiling is
//! asked without them too; its load steps, shifts and watch afterwards stay, and
//! may lower it by less than the grid tells. The pull begins at 1600 rpm with the boost
//! of its feed-forward vanes and has the command reached at 1800 rpm, so the ceilings
//! are those from there on.
use super::bench::{Bench, args, scenario};
use std::collections::BTreeMap;

const LOWEST_KPA: f64 = 200.0;
const HIGHEST_KPA: f64 = 350.0;
const COMMANDS: usize = 41;

/// Of each altitude, the highest command up to which every case held.
fn edge_of_the_sweep(bench: &Bench) -> BTreeMap<i64, f64> {
    let file = scenario();
    let commands =
        format!("controller.command.full_load={LOWEST_KPA}..{HIGHEST_KPA}kPa abs:{COMMANDS}");
    let call = [
        "sweep",
        &file,
        "--vary",
        &commands,
        "--vary",
        "ambient.altitude=0..3000m:13",
        "--json",
    ];
    let said = bench.call(&call).ends_with(1);
    let mut edge = BTreeMap::new();
    let mut broken = Vec::new();
    for line in said.out.lines() {
        let row: serde_json::Value = serde_json::from_str(line).expect(line);
        let altitude = row["ambient.altitude_m"].as_f64().expect("an altitude") as i64;
        let command = row["controller.command.full_load_kpa_abs"]
            .as_f64()
            .expect("a command");
        // the command varies slowest: it only rises
        if row["verdict"] != "held" {
            broken.push(altitude);
        } else if !broken.contains(&altitude) {
            edge.insert(altitude, command);
        }
    }
    edge
}

/// Of each altitude, the lowest ceiling over the engine speeds of the pull at which the command
/// is reached.
fn lowest_ceilings(bench: &Bench) -> BTreeMap<i64, f64> {
    let file = scenario();
    let call = args(&[
        &["ceiling", &file, "--json"],
        &["--speeds", "1800rpm..2700rpm:10"],
        &["--altitudes", "0m..3000m:13"],
        &[
            "--set",
            "sensors.boost.error={offset: 0 kPa, after_clamp: 0 kPa}",
        ],
    ]);
    let output = bench.command().args(&call).output().expect("it runs");
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let mut lowest = BTreeMap::new();
    for cell in answer["cells"].as_array().expect("cells") {
        assert_eq!(cell["feasible"], true, "{cell}");
        let altitude = cell["altitude_m"].as_f64().expect("an altitude") as i64;
        let ceiling = cell["ceiling_kpa_abs"].as_f64().expect("a ceiling");
        let least = lowest.entry(altitude).or_insert(ceiling);
        *least = least.min(ceiling);
    }
    lowest
}

#[test]
fn the_edge_of_the_sweep_is_the_ceiling_within_a_step_of_the_grid() {
    let bench = Bench::new();
    let (edge, lowest) = (edge_of_the_sweep(&bench), lowest_ceilings(&bench));
    assert_eq!(edge.len(), 13);
    assert_eq!(lowest.len(), 13);
    let grid_kpa = (HIGHEST_KPA - LOWEST_KPA) / (COMMANDS - 1) as f64;
    let told: Vec<String> = edge
        .iter()
        .map(|(altitude, held)| format!("{altitude} m: {held} {}", lowest[altitude]))
        .collect();
    for (altitude, held) in &edge {
        let apart = (held - lowest[altitude]).abs();
        assert!(apart <= grid_kpa, "{told:#?}");
    }
    // the edge is inside the grid, or the comparison would show nothing
    assert!(
        edge.values()
            .all(|held| *held > LOWEST_KPA && *held < HIGHEST_KPA)
    );
}
