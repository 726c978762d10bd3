//! The shipped demonstration, as every bench uses it.
use ringfence::procedure::{Asked, FuelAsked};
use ringfence::scenario::build::Setup;
use ringfence::scenario::{Scenario, load};
use std::f64::consts::PI;
use std::path::Path;

/// The demonstration as a scenario and built.
pub fn demo() -> (Scenario, Setup) {
    demo_with(&[])
}

/// The demonstration with some fields changed, built.
pub fn demo_with(changes: &[(&str, &str)]) -> (Scenario, Setup) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/rescue-tender.yaml");
    let changes: Vec<(String, String)> = changes
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    let loaded = load(&file, &changes, None).expect("the changed scenario is sound");
    let setup = Setup::new(&loaded.scenario).expect("the changed scenario can be built");
    (loaded.scenario, setup)
}

/// Full fuel at an engine speed.
#[allow(dead_code, reason = "not every bench holds a speed")]
pub fn full_fuel_at_rpm(engine_speed_rpm: f64) -> Asked {
    Asked {
        speed_rad_s: engine_speed_rpm * PI / 30.0,
        speed_rate_rad_s2: 0.0,
        fuel: FuelAsked::Full,
        ..Asked::default()
    }
}
