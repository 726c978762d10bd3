//! Corrected quantities between the usual reference conditions.
//!
//! Sources: tests/data/reference/l_corrected_flow_refs.csv and
//! l_corrected_flow_samples.csv (exact arithmetic by a general-purpose units
//! library; which trade uses which reference is from memory). Tolerance 1e-6:
//! the files carry twelve digits, inches of mercury are printed to six.

use ringfence::map::ReferenceConditions;
use ringfence::quantity::{AbsolutePressure, MassFlow, Temperature};

const PSI_PA: f64 = 6_894.757_293_168_361;
const INHG_PA: f64 = 3_386.388_640_341;
const RANKINE_K: f64 = 5.0 / 9.0;

/// SAE J1826 gas-stand practice (from memory).
const A: ReferenceConditions = conditions(100_000.0, 298.15);
/// US trade maps, 545 °R and 28.4 inHg (from memory).
const B: ReferenceConditions = conditions(28.4 * INHG_PA, 545.0 * RANKINE_K);
/// ISO 2533 sea level.
const C: ReferenceConditions = conditions(101_325.0, 288.15);
/// Older European maps, 1 at (from memory).
const D: ReferenceConditions = conditions(98_100.0, 293.15);
/// US aero practice, 519 °R and 14.696 psia (from memory).
const E: ReferenceConditions = conditions(14.696 * PSI_PA, 519.0 * RANKINE_K);

const fn conditions(pressure_pa: f64, temperature_k: f64) -> ReferenceConditions {
    ReferenceConditions {
        pressure_pa,
        temperature_k,
    }
}

fn by_letter(name: &str) -> ReferenceConditions {
    match name.chars().next() {
        Some('A') => A,
        Some('B') => B,
        Some('C') => C,
        Some('D') => D,
        Some('E') => E,
        other => panic!("unknown reference {other:?}"),
    }
}

/// Rows of a reference file as text cells.
pub fn rows(name: &str) -> Vec<Vec<String>> {
    let path = format!("{}/tests/data/reference/{name}", env!("CARGO_MANIFEST_DIR"));
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .expect("the reference file is there")
        .records()
        .map(|record| {
            let record = record.expect("the reference file is CSV");
            record.iter().map(str::to_owned).collect()
        })
        .collect()
}

pub fn number(text: &str) -> f64 {
    text.parse().expect("a number in the reference file")
}

#[track_caller]
pub fn assert_near(got: f64, expected: f64, relative: f64) {
    assert!(
        (got - expected).abs() <= relative * expected.abs(),
        "got {got}, expected {expected} within {relative} relative"
    );
}

#[test]
fn factors_between_references() {
    let rows = rows("l_corrected_flow_refs.csv");
    assert_eq!(rows.len(), 20);
    let mut proof = crate::proof::row("corrected-factors");
    for row in rows {
        let (from, to) = (by_letter(&row[0]), by_letter(&row[1]));
        proof.relative(from.flow_factor_to(&to), number(&row[2]), &row);
        proof.relative(from.speed_factor_to(&to), number(&row[3]), &row);
    }
    proof.done();
}

#[test]
fn samples_of_physical_flow() {
    let rows = rows("l_corrected_flow_samples.csv");
    assert_eq!(rows.len(), 10);
    let mut proof = crate::proof::row("corrected-samples");
    for row in rows {
        let flow = MassFlow::from_lb_min(number(&row[0]));
        let temperature: Temperature = format!("{} degF", row[1]).parse().unwrap();
        let pressure: AbsolutePressure = format!("{} inHg abs", row[2]).parse().unwrap();
        let reference = by_letter(&row[3]);
        let corrected = reference.corrected_flow_kg_s(flow.kg_s(), pressure.pa(), temperature.k());
        proof.relative(corrected, number(&row[4]), &row);
        let lb_min = MassFlow::from_kg_s(corrected).lb_min();
        proof.relative(lb_min, number(&row[5]), &row);
        let back = reference.actual_flow_kg_s(corrected, pressure.pa(), temperature.k());
        assert_near(back, flow.kg_s(), 1e-14);
    }
    proof.done();
}
