//! The program on the benchmark, as another tool would call it.
use super::bench::{Bench, args};
use super::points::{BENCHMARK, below};

/// `steady` is filled with every field, in at least seven digits, energy is null.
#[test]
fn run_json_fills_the_steady_block() {
    let file = below(BENCHMARK).display().to_string();
    let said = Bench::new()
        .call(&args(&[
            &["run", &file, "--json"],
            &["--set", "procedure.0.hold.engine_speed=1200 rpm"],
            &["--set", "procedure.0.hold.fuel=80 mg"],
            &["--set", "turbine.wastegate.opening=0 %"],
            &["--set", "turbine.form.area_and_speed.area_factor=1"],
        ]))
        .ends_with(0);
    let run = said.json();
    let steady = run["steady"].as_object().expect("an equilibrium");
    for field in [
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
    ] {
        assert!(
            steady[field].as_f64().is_some_and(f64::is_finite),
            "{field}"
        );
    }
    assert_eq!(steady["eigenvalues_1_s"].as_array().unwrap().len(), 3);
    // g_bench_steady.csv, first row
    let boost = steady["intake_pressure_pa"].as_f64().unwrap();
    assert!((boost / 167_362.946_641 - 1.0).abs() < 5e-4);
    assert!(steady["intake_pressure_pa"].to_string().len() >= 8);
    let balance = &run["balance"];
    assert!(balance["energy_residual"].is_null());
    for residual in ["mass_residual", "burned_residual"] {
        assert!(balance[residual].as_f64().unwrap().abs() < 1e-6);
    }
    assert!(run["peaks"]["cylinder_pressure_kpa_abs"].is_null());
}

/// Without vanes there is no ceiling to seek; said, not computed.
#[test]
fn no_ceiling_without_vanes() {
    let file = below(BENCHMARK).display().to_string();
    Bench::new()
        .call(&["ceiling", &file])
        .ends_with(2)
        .says("this turbine has none");
}

/// Text, pictures and trace of a step are written without a word of trouble.
#[test]
fn a_step_writes_its_report() {
    let file = below(BENCHMARK).display().to_string();
    let bench = Bench::new();
    let step = "procedure=[{step: {engine_speed: 1500 rpm, at: 0.1 s, duration: 0.2 s, \
                before: {fuel: 50 mg}, after: {fuel: 60 mg}}}]";
    bench
        .call(&["run", &file, "--set", step, "--out", "out"])
        .ends_with(0)
        .says("energy not defined here");
    let trace = bench.read("out/trace.csv");
    assert_eq!(trace.lines().count(), 1 + 201);
    assert!(!trace.contains("NaN"));
    assert!(!bench.read("out/map.svg").contains("NaN"));
}
