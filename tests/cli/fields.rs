//! The JSON documents have every field that other programs were promised.
use serde_json::Value;

use super::bench::{Bench, ONE_CELL, SHORT, args, scenario};

const PEAKS: [&str; 13] = [
    "shaft_speed_rpm",
    "tip_speed_m_s",
    "boost_kpa_abs",
    "boost_sensed_kpa_abs",
    "boost_command_kpa_abs",
    "drive_pressure_kpa_abs",
    "drive_to_boost_gauge",
    "vane_closed_pct",
    "turbine_inlet_k",
    "compressor_outlet_k",
    "cylinder_pressure_kpa_abs",
    "power_kw",
    "torque_nm",
];
const LIMIT: [&str; 10] = [
    "name",
    "unit",
    "limit",
    "worst",
    "headroom",
    "headroom_pct",
    "held",
    "time_s",
    "time_exceeded_s",
    "engine_speed_rpm",
];
const STEADY: [&str; 13] = [
    "intake_pressure_pa",
    "intake_temperature_k",
    "exhaust_pressure_pa",
    "exhaust_temperature_k",
    "shaft_speed_rad_s",
    "compressor_flow_kg_s",
    "turbine_flow_kg_s",
    "fuel_flow_kg_s",
    "compressor_efficiency",
    "turbine_efficiency",
    "lambda",
    "torque_nm",
    "eigenvalues_1_s",
];
const CELL: [&str; 19] = [
    "engine_speed_rpm",
    "altitude_m",
    "ambient_kpa_abs",
    "ambient_k",
    "feasible",
    "ceiling_kpa_abs",
    "ceiling_kpa_gauge",
    "floor_kpa_abs",
    "reachable_kpa_abs",
    "fuel_scale",
    "binding_above",
    "binding_below",
    "next_above",
    "margins",
    "band",
    "power_kw",
    "shaft_speed_rpm",
    "vane_closed_pct",
    "drive_pressure_kpa_abs",
];

#[track_caller]
fn has(value: &Value, place: &str, fields: &[&str]) {
    let object = value
        .as_object()
        .unwrap_or_else(|| panic!("{place} is no object: {value}"));
    for field in fields {
        assert!(object.contains_key(*field), "no {place}.{field}");
    }
}

#[test]
fn a_run_has_all_of_them() {
    let file = scenario();
    let run = Bench::new()
        .call(&args(&[&["run", &file, "--json"], &SHORT]))
        .ends_with(0)
        .json();
    has(
        &run,
        "run",
        &[
            "tool",
            "version",
            "scenario",
            "procedure",
            "verdict",
            "why_stopped",
            "peaks",
            "at_peak_shaft_speed",
            "limits",
            "sensor",
            "protections",
            "maps",
            "steady",
            "balance",
            "solver",
        ],
    );
    assert_eq!(run["tool"], "ringfence");
    assert_eq!(run["version"], env!("CARGO_PKG_VERSION"));
    has(&run["peaks"], "peaks", &PEAKS);
    let instant = &run["at_peak_shaft_speed"];
    has(
        instant,
        "at_peak_shaft_speed",
        &["time_s", "engine_speed_rpm"],
    );
    has(instant, "at_peak_shaft_speed", &PEAKS);
    assert_eq!(run["limits"].as_array().unwrap().len(), 11);
    for limit in run["limits"].as_array().unwrap() {
        has(limit, "limits", &LIMIT);
    }
    has(
        &run["sensor"],
        "sensor",
        &[
            "readable_ceiling_kpa_abs",
            "pinned_s",
            "command_above_readable_s",
            "command_unreached_s",
        ],
    );
    for protection in run["protections"].as_array().unwrap() {
        has(
            protection,
            "protections",
            &["name", "first_s", "active_s", "blind_s"],
        );
    }
    has(
        &run["maps"],
        "maps",
        &[
            "compressor_extrapolated_pct",
            "turbine_extrapolated_pct",
            "surge_s",
        ],
    );
    has(&run["steady"], "steady", &STEADY);
    for pair in run["steady"]["eigenvalues_1_s"].as_array().unwrap() {
        assert_eq!(pair.as_array().unwrap().len(), 2);
    }
    has(
        &run["balance"],
        "balance",
        &["mass_residual", "energy_residual", "burned_residual"],
    );
    has(
        &run["solver"],
        "solver",
        &["method", "steps", "rejected", "evaluations", "simulated_s"],
    );
    assert!(run["solver"].get("wall_s").is_none());
}

#[test]
fn only_a_hold_is_steady() {
    let file = scenario();
    let pull = [
        "--set",
        "procedure=[{pull: {from: 1800 rpm, to: 1900 rpm, duration: 1 s, settle: 0.5 s}}]",
    ];
    let run = Bench::new()
        .call(&args(&[&["run", &file, "--json"], &pull]))
        .json();
    assert!(run["steady"].is_null());
    assert!(run.get("steady").is_some());
}

#[test]
fn a_ceiling_has_all_of_them() {
    let file = scenario();
    let ceiling = Bench::new()
        .call(&args(&[
            &["ceiling", &file, "--json"],
            &["--speeds", "2000rpm,2400rpm", "--altitudes", "400m"],
            &["--step", "8 kPa"],
            &["--set", "ceiling.transients.afterwards=1 s"],
        ]))
        .json();
    has(&ceiling, "ceiling", &["scenario", "cells", "table_proved"]);
    for cell in ceiling["cells"].as_array().unwrap() {
        has(cell, "cells", &CELL);
        for margin in cell["margins"].as_array().unwrap() {
            has(margin, "margins", &["limit", "headroom", "headroom_pct"]);
        }
    }
    has(
        &ceiling["table_proved"],
        "table_proved",
        &["verdict", "procedure"],
    );
    assert!(ceiling.get("wall_s").is_none());
}

#[test]
fn wall_times_come_on_request_only() {
    let file = scenario();
    let bench = Bench::new();
    let run = bench
        .call(&args(&[&["run", &file, "--json", "--timing"], &SHORT]))
        .json();
    assert!(run["solver"]["wall_s"].as_f64().unwrap() > 0.0);
    let ceiling = bench
        .call(&args(&[
            &["ceiling", &file, "--json", "--timing"],
            &ONE_CELL,
        ]))
        .json();
    assert!(ceiling["wall_s"].as_f64().unwrap() > 0.0);
}
