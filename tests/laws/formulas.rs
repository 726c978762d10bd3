//! Formulas of the trade, row by row of `ef_formula_samples.csv`: computed from
//! the publications named there, good to 1e-6 of the formula.
use crate::reference::{Row, number, rows};
use ringfence::gas::WorkingGas;
use ringfence::plant::engine::Friction;
use ringfence::plant::engine::power_correction::{
    Charging, CorrectionProblem, Measured, spark_ignition_1990,
};
use ringfence::plant::wheel_stress::{disc_centre_stress_pa, ring_stress_pa};
use serde_json::Value;

/// Rows of one formula and their arguments.
pub fn samples(formula: &str) -> Vec<(Row, Vec<Value>)> {
    let found: Vec<_> = rows("ef_formula_samples.csv")
        .into_iter()
        .filter(|row| row["formula"] == formula)
        .map(|row| {
            let arguments = serde_json::from_str(&row["args"]).expect("arguments are a list");
            (row, arguments)
        })
        .collect();
    assert!(!found.is_empty(), "no samples of {formula}");
    found
}

/// The number in a list of arguments.
pub fn argument(arguments: &[Value], at: usize) -> f64 {
    arguments[at].as_f64().expect("a number")
}

fn charging(name: &Value) -> Charging {
    match name.as_str() {
        Some("na") => Charging::NaturallyAspirated,
        Some("turbo_air") => Charging::Turbocharged,
        Some("turbo_water") => Charging::TurbochargedCoolantCooled,
        other => panic!("no such charging: {other:?}"),
    }
}

/// Standard weather and an engine in the middle of the range.
const STANDARD: Measured = Measured {
    dry_pressure_pa: 99e3,
    temperature_k: 298.0,
    charging: Charging::Turbocharged,
    fuel_kg_m3: 0.12,
    boost_ratio: 2.2,
};

/// ISO 1585, compression ignition: atmospheric factor, engine factor and both.
#[test]
fn power_correction_of_diesels() {
    let mut proof = crate::proof::row("power-diesel");
    for (row, a) in samples("fa") {
        let measured = Measured {
            dry_pressure_pa: 1e3 * argument(&a, 0),
            temperature_k: argument(&a, 1),
            charging: charging(&a[2]),
            ..STANDARD
        };
        let got = measured.atmospheric_factor();
        proof.relative(got, number(&row, "value"), &row);
    }
    for (row, a) in samples("fm") {
        let measured = Measured {
            fuel_kg_m3: 1e-3 * argument(&a, 0),
            boost_ratio: argument(&a, 1),
            ..STANDARD
        };
        let got = measured.engine_factor();
        proof.relative(got, number(&row, "value"), &row);
    }
    for (row, a) in samples("iso1585") {
        let measured = Measured {
            dry_pressure_pa: 1e3 * argument(&a, 0),
            temperature_k: argument(&a, 1),
            charging: charging(&a[2]),
            fuel_kg_m3: 1e-3 * argument(&a, 3),
            boost_ratio: argument(&a, 4),
        };
        let got = measured.correction().expect("within 0.9 to 1.1");
        proof.relative(got, number(&row, "value"), &row);
    }
    proof.done();
}

/// The standard ends at 0.9 and 1.1 (range printed with the form).
#[test]
fn power_is_not_corrected_in_extreme_weather() {
    assert_eq!(STANDARD.correction(), Ok(1.0));
    let on_the_pass = Measured {
        dry_pressure_pa: 74e3,
        ..STANDARD
    };
    assert!(matches!(
        on_the_pass.correction(),
        Err(CorrectionProblem::FactorOutOfRange { factor }) if factor > 1.1
    ));
    let nonsense = Measured {
        temperature_k: f64::NAN,
        ..STANDARD
    };
    assert!(matches!(
        nonsense.correction(),
        Err(CorrectionProblem::NotPositive {
            name: "temperature_k",
            ..
        })
    ));
}

/// SAE J1349 of June 1990, the form that chassis dynos apply.
#[test]
fn power_correction_of_chassis_dynos() {
    let mut proof = crate::proof::row("power-dyno");
    for (row, a) in samples("sae_j1349_old") {
        // the form counts 0 °C as 273 K
        let got = spark_ignition_1990(1e3 * argument(&a, 0), argument(&a, 1) + 273.0);
        proof.relative(got, number(&row, "value"), &row);
    }
    proof.done();
}

/// Chen & Flynn, SAE 650733, in bar and m/s.
#[test]
fn friction_of_chen_and_flynn() {
    let mut proof = crate::proof::row("friction");
    let published = Friction {
        constant_pa: 13_700.0,
        peak_pressure_share: 1.0 / 200.0,
        per_piston_speed_pa_s_m: 16_200.0,
        per_piston_speed_squared_pa_s2_m2: 0.0,
    };
    for (row, a) in samples("chen_flynn") {
        let pa = published.mean_effective_pressure_pa(1e5 * argument(&a, 0), argument(&a, 1));
        proof.relative(pa * 1e-5, number(&row, "value"), &row);
    }
    proof.done();
}

/// Timoshenko & Goodier, Theory of Elasticity: solid disc; thin ring.
#[test]
fn stress_of_a_wheel() {
    let mut proof = crate::proof::row("wheel-stress");
    for (row, a) in samples("disk_hoop") {
        let got = disc_centre_stress_pa(argument(&a, 0), argument(&a, 1), argument(&a, 2));
        proof.relative(got, number(&row, "value"), &row);
    }
    for (row, a) in samples("ring_hoop") {
        let got = ring_stress_pa(argument(&a, 0), argument(&a, 1));
        proof.relative(got, number(&row, "value"), &row);
    }
    proof.done();
}

/// Air to burn diesel fuels of three compositions: Heywood (1988), table D.4,
/// and a recomputation, within the ranges of `f_fuel_constants.csv`. The computed
/// row is printed to 0.001.
#[test]
fn air_to_burn_diesel_fuel() {
    let mut tried = 0;
    for row in rows("f_fuel_constants.csv") {
        let Some(fuel) = row["quantity"].strip_prefix("stoichiometric air/fuel mass ratio CH")
        else {
            continue;
        };
        let hydrogen = fuel.split(' ').next().and_then(|h| h.parse().ok());
        let hydrogen = hydrogen.expect("hydrogen per carbon");
        let got = WorkingGas::new(0.0, hydrogen).stoichiometric_air_fuel();
        let (least, most) = row["range_or_tolerance"].split_once('-').expect("a range");
        let bound = |text: &str| text.parse::<f64>().expect("a number");
        assert!(got > bound(least) && got < bound(most), "{got} in {row:?}");
        if row["provenance"] == "computed" {
            assert!(
                (got - number(&row, "value")).abs() <= 6e-4,
                "{got} in {row:?}"
            );
        }
        tried += 1;
    }
    assert_eq!(tried, 3);
}
