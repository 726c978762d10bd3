//! The same scenario in other units gives the same result.
//!
//! The demonstration is written out again, file and map, with every quantity in
//! another unit; the factors here are those of NIST SP 811 (2008), appendix B, or exact
//! by definition, and not the program's.
use crate::plants::{DEMO, Drawn, plants};
use crate::proof::{self, Row};
use crate::random::for_random;
use ringfence::judgement::{RunResult, StopKind};
use ringfence::scenario::{build::Setup, load};
use ringfence::study::single::single;
use serde_json::Value;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// From one unit to another: what the number is multiplied with, and what is added.
type Change = (&'static str, &'static str, f64, f64);

const PSI_KPA: f64 = 6.894_757_293_168_361;
const LB_KG: f64 = 0.453_592_37;
const INCH_M: f64 = 0.0254;
const HP_W: f64 = 745.699_871_582_270_2;
const RPM_RAD_S: f64 = std::f64::consts::PI / 30.0;

/// As a workshop in the United States would write it.
const CUSTOMARY: [Change; 27] = [
    ("kPa abs", "psi abs", 1.0 / PSI_KPA, 0.0),
    ("MPa abs", "psi abs", 1e3 / PSI_KPA, 0.0),
    ("kPa", "psi", 1.0 / PSI_KPA, 0.0),
    ("kPa/s", "psi/s", 1.0 / PSI_KPA, 0.0),
    ("%/kPa", "%/psi", PSI_KPA, 0.0),
    ("%/(kPa s)", "%/(psi s)", PSI_KPA, 0.0),
    ("% s/kPa", "% s/psi", PSI_KPA, 0.0),
    ("degC", "degF", 1.8, 32.0),
    ("K", "degR", 1.8, 0.0),
    ("kg/s", "lb/min", 60.0 / LB_KG, 0.0),
    ("mg", "g", 1e-3, 0.0),
    ("m", "ft", 1.0 / 0.3048, 0.0),
    ("mm", "in", 1e-3 / INCH_M, 0.0),
    ("cm2", "in2", 1e-4 / (INCH_M * INCH_M), 0.0),
    ("mm2", "in2", 1e-6 / (INCH_M * INCH_M), 0.0),
    ("l", "in3", 1e-3 / (INCH_M * INCH_M * INCH_M), 0.0),
    ("kg cm2", "lb in2", 1e-4 / (LB_KG * INCH_M * INCH_M), 0.0),
    ("kW", "hp", 1e3 / HP_W, 0.0),
    ("MJ/kg", "Btu/lb", 1e6 / 2326.0, 0.0),
    ("m/s", "mph", 1.0 / 0.44704, 0.0),
    ("rpm", "krpm", 1e-3, 0.0),
    ("s", "ms", 1e3, 0.0),
    ("V", "mV", 1e3, 0.0),
    ("W/K", "kW/K", 1e-3, 0.0),
    ("kPa s/m", "bar s/m", 1e-2, 0.0),
    ("kPa s2/m2", "bar s2/m2", 1e-2, 0.0),
    ("deg", "rad", std::f64::consts::PI / 180.0, 0.0),
];

/// As an engineer elsewhere might.
const METRIC: [Change; 18] = [
    ("kPa abs", "bar abs", 1e-2, 0.0),
    ("MPa abs", "bar abs", 10.0, 0.0),
    ("kPa", "mbar", 10.0, 0.0),
    ("kPa/s", "bar/s", 1e-2, 0.0),
    ("%/kPa", "%/bar", 100.0, 0.0),
    ("%/(kPa s)", "%/(bar s)", 100.0, 0.0),
    ("% s/kPa", "% s/bar", 100.0, 0.0),
    ("degC", "K", 1.0, 273.15),
    ("kg/s", "kg/h", 3600.0, 0.0),
    ("m", "km", 1e-3, 0.0),
    ("mm", "cm", 0.1, 0.0),
    ("cm2", "mm2", 100.0, 0.0),
    ("l", "cm3", 1e3, 0.0),
    ("kg cm2", "g cm2", 1e3, 0.0),
    ("kW", "PS", 1e3 / (75.0 * 9.806_65), 0.0),
    ("MJ/kg", "kJ/kg", 1e3, 0.0),
    ("m/s", "km/h", 3.6, 0.0),
    ("rpm", "rad/s", RPM_RAD_S, 0.0),
];

/// A quantity in the other unit; none if it is no quantity, or its unit stays.
fn changed(scalar: &str, changes: &[Change]) -> Option<String> {
    let (number, unit) = scalar.split_once(' ')?;
    let number: f64 = number.parse().ok()?;
    let (_, other, factor, offset) = changes.iter().find(|change| change.0 == unit)?;
    Some(format!("{} {other}", number * factor + offset))
}

/// A line or an override with every quantity in other units; comments are left off.
fn rewritten(line: &str, changes: &[Change], count: &mut usize) -> String {
    let line = line.split('#').next().unwrap_or("");
    let mut text = String::new();
    for piece in line.split_inclusive([':', ',', '[', ']', '{', '}']) {
        let last = piece.chars().last().filter(|c| ":,[]{}".contains(*c));
        let scalar = piece.trim_end_matches([':', ',', '[', ']', '{', '}']);
        match changed(scalar.trim(), changes) {
            Some(quantity) => {
                *count += 1;
                text += " ";
                text += &quantity;
                text.extend(last);
            }
            None => text += piece,
        }
    }
    text
}

/// The map's columns: speed and flow in other units, its reference too.
fn rewritten_map(text: &str, customary: bool) -> String {
    let (speed, per_rpm, flow, per_kg_s, kelvin) = match customary {
        true => ("krpm", 1e-3, "lb/min", 60.0 / LB_KG, "77 degF"),
        false => ("rpm", 1.0, "g/s", 1e3, "25 degC"),
    };
    let line = |line: &str| {
        if line.starts_with("# reference_pressure") {
            "# reference_pressure: 1 bar abs".to_owned()
        } else if line.starts_with("# reference_temperature") {
            format!("# reference_temperature: {kelvin}")
        } else if line.starts_with("corrected_speed") {
            format!(
                "corrected_speed [{speed}], corrected_flow [{flow}], pressure_ratio [-], efficiency [-]"
            )
        } else if line.starts_with('#') {
            line.to_owned()
        } else {
            let cells: Vec<f64> = line
                .split(',')
                .map(|c| c.trim().parse().expect("a number"))
                .collect();
            let (n, m) = (cells[0] * per_rpm, cells[1] * per_kg_s);
            format!("{n}, {m}, {}, {}", cells[2], cells[3])
        }
    };
    text.lines().map(|l| line(l) + "\n").collect()
}

/// The demonstration in other units, in a folder of its own.
fn demonstration_in(changes: &[Change], customary: bool) -> TempDir {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(root.join(DEMO)).expect("the demonstration");
    let mut count = 0;
    let lines: Vec<String> = text
        .lines()
        .map(|line| rewritten(line, changes, &mut count))
        .collect();
    assert!(count > 80, "only {count} quantities changed their unit");
    let folder = TempDir::new().expect("a folder");
    fs::write(folder.path().join("demo.yaml"), lines.join("\n")).expect("writes");
    let map = "rescue-tender/compressor.csv";
    let table = fs::read_to_string(root.join("scenarios").join(map)).expect("the map");
    fs::create_dir(folder.path().join("rescue-tender")).expect("a folder");
    fs::write(folder.path().join(map), rewritten_map(&table, customary)).expect("writes");
    folder
}

fn result(path: &Path, sets: &[(String, String)]) -> RunResult {
    let loaded = load(path, sets, None).unwrap_or_else(|e| panic!("{e}"));
    let setup = Setup::new(&loaded.scenario).expect("it builds");
    let result = single(&setup).expect("it starts").result;
    assert_ne!(result.why_stopped.kind, StopKind::ComputationFailed);
    result
}

/// Compares two results number by number; residuals and headrooms are differences of
/// what is compared already.
fn compare(proof: &mut Row, path: &str, a: &Value, b: &Value) {
    let skipped = [
        "balance",
        "solver",
        "headroom",
        "headroom_pct",
        "text",
        "start",
    ];
    match (a, b) {
        (Value::Object(a), Value::Object(b)) => {
            for (key, value) in a {
                if !skipped.contains(&key.as_str()) {
                    compare(proof, &format!("{path}.{key}"), value, &b[key]);
                }
            }
        }
        (Value::Array(a), Value::Array(b)) => {
            assert_eq!(a.len(), b.len(), "{path}");
            for (i, (a, b)) in a.iter().zip(b).enumerate() {
                compare(proof, &format!("{path}[{i}]"), a, b);
            }
        }
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            proof.see((a - b).abs() / a.abs().max(1e-3), &(path, a, b));
        }
        (a, b) => assert_eq!(a, b, "{path}"),
    }
}

/// The demonstration and random variants of it, in three sets of units.
#[test]
fn results_do_not_hang_on_the_units_of_the_input() {
    let mut proof = proof::row("plants-units");
    let usual = Path::new(env!("CARGO_MANIFEST_DIR")).join(DEMO);
    let others: [(&[Change], TempDir); 2] = [
        (&CUSTOMARY, demonstration_in(&CUSTOMARY, true)),
        (&METRIC, demonstration_in(&METRIC, false)),
    ];
    let mut law = |sets: &[(String, String)]| {
        let expected = serde_json::to_value(result(&usual, sets)).expect("JSON");
        for (changes, folder) in &others {
            let sets: Vec<_> = sets
                .iter()
                .map(|(path, value)| (path.clone(), rewritten(value, changes, &mut 0)))
                .collect();
            let got = result(&folder.path().join("demo.yaml"), &sets);
            let got = serde_json::to_value(got).expect("JSON");
            compare(&mut proof, "", &expected, &got);
        }
    };
    law(&[]);
    for_random(16, &plants(), |drawn: Drawn| {
        let sets: Vec<_> = drawn
            .sets
            .into_iter()
            .chain([("procedure", PULL.to_owned())])
            .map(|(path, value)| (path.to_owned(), value))
            .collect();
        law(&sets);
    });
    proof.done();
}

const PULL: &str = "[{pull: {from: 1500 rpm, to: 2100 rpm, duration: 2 s, settle: 1 s}}]";
