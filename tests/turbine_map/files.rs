//! Reading turbine map files, and what is said of bad ones.

use crate::demo;
use proptest::prelude::*;
use ringfence::map::{MapKind, MapProblem, TurbineMapData};

const HEADER: &str = "# about: a turbine
# data: measured
# reference_pressure: 28.4 inHg abs
# reference_temperature: 600 degC
# source: gas stand, run 12
# wheel_diameter: 2.5 in
# burned: 30 %
";
const COLUMNS: &str = "vane_position [%],corrected_speed [krpm],expansion_ratio [-],corrected_flow [lb/min],efficiency [%]\n";
const ROWS: &str = "20,60,1.3,12,55\n20,60,1.6,15,62\n20,60,1.9,16,60
20,90,1.8,15.5,60\n20,90,2.2,16.5,66\n20,90,2.8,17,64
60,60,1.3,7,56\n60,60,1.6,8,63\n60,60,1.9,8.5,61
60,90,1.8,8.2,61\n60,90,2.2,8.8,67\n60,90,2.8,9,65\n";

fn good() -> String {
    format!("{HEADER}{COLUMNS}{ROWS}")
}

fn problems(text: &str) -> Vec<MapProblem> {
    TurbineMapData::parse(text).expect_err("this text is wrong")
}

#[track_caller]
fn refused(text: &str, expected: &[(usize, Option<usize>, &str)]) {
    let found = problems(text);
    for problem in &found {
        let whole = !problem.read.is_empty() && !problem.allowed.is_empty();
        assert!(whole && !problem.hint.is_empty(), "{problem:?}");
    }
    let found: Vec<_> = found
        .iter()
        .map(|p| (p.line, p.column, p.field.as_str()))
        .collect();
    assert_eq!(found, expected, "in\n{text}");
}

/// Units: NIST SP 811 (2008): 1 lb/min = 0.45359237/60 kg/s, 1 in = 25.4 mm,
/// 1 inHg (conventional) = 3386.389 Pa.
#[test]
fn units_are_brought_to_si() {
    let map = TurbineMapData::parse(&good()).unwrap();
    assert!((map.header().reference.pressure_pa - 28.4 * 3_386.389).abs() < 0.05);
    assert!((map.header().reference.temperature_k - 873.15).abs() < 1e-9);
    assert!((map.wheel_diameter_m() - 0.0635).abs() < 1e-12);
    assert!((map.burned() - 0.3).abs() < 1e-12);
    let vane = &map.vanes()[1];
    assert!((vane.vane_closed - 0.6).abs() < 1e-12);
    let line = &vane.lines[0];
    assert!((line.corrected_speed_rad_s - 6_283.185_307).abs() < 1e-6);
    assert!((line.points[0].corrected_flow_kg_s - 7.0 * 0.453_592_37 / 60.0).abs() < 1e-12);
    assert!((line.points[1].efficiency - 0.63).abs() < 1e-12);
    assert_eq!(map.place(1, 1, 2), 20);
    assert_eq!(map.place(9, 9, 9), 0);
    let air = good().replace("# burned: 30 %\n", "");
    assert_eq!(TurbineMapData::parse(&air).unwrap().burned(), 0.0);
}

#[test]
fn written_maps_read_back() {
    let map = demo::map();
    let back = TurbineMapData::parse(&map.to_csv()).unwrap();
    assert_eq!(back.header(), map.header());
    assert_eq!(back.to_csv(), map.to_csv());
    for (a, b) in map.vanes().iter().zip(back.vanes()) {
        assert_eq!(a.lines.len(), b.lines.len());
        for (a, b) in a.lines.iter().zip(&b.lines) {
            assert!((a.corrected_speed_rad_s - b.corrected_speed_rad_s).abs() < 1e-2);
            assert_eq!(a.points.len(), b.points.len());
        }
    }
}

#[test]
fn header_keys() {
    refused(
        &good().replace("# wheel_diameter: 2.5 in\n", "# weel_diameter: 2.5 in\n"),
        &[(1, None, "wheel_diameter"), (6, None, "weel_diameter")],
    );
    let hint = &problems(&good().replace("# wheel_d", "# weel_d"))[1].hint;
    assert!(hint.contains("`wheel_diameter`"), "{hint}");
    refused(
        &good().replace("2.5 in", "2.5").replace("30 %", "30"),
        &[(6, None, "wheel_diameter"), (7, None, "burned")],
    );
    refused(
        &good().replace("2.5 in", "2.5 m").replace("30 %", "130 %"),
        &[(6, None, "wheel_diameter"), (7, None, "burned")],
    );
    refused(
        &good().replace("600 degC", "-300 degC"),
        &[(4, None, "reference_temperature")],
    );
    refused("", &[(1, None, "file")]);
    refused(HEADER, &[(7, None, "table")]);
}

#[test]
fn figures_and_order() {
    refused(
        &good().replace("20,60,1.6,15,62", "20,60,one,15,NaN"),
        &[
            (10, Some(3), "expansion_ratio"),
            (10, Some(5), "efficiency"),
        ],
    );
    refused(
        &good().replace("20,60,1.6,15,62", "20,60,0.9,-15,99"),
        &[
            (10, Some(3), "expansion_ratio"),
            (10, Some(3), "expansion_ratio"),
            (10, Some(4), "corrected_flow"),
            (10, Some(5), "efficiency"),
        ],
    );
    refused(
        &good().replace("20,60,1.6,15,62", "20,60,1.3,15,62"),
        &[(10, Some(3), "expansion_ratio")],
    );
    refused(
        &good().replace("20,60,1.6,15,62\n", ""),
        &[(9, None, "corrected_speed")],
    );
    // closed first; in shares without saying so
    refused(
        &good().replace("\n60,", "\n10,"),
        &[(15, Some(1), "vane_position")],
    );
    refused(
        &good().replace("\n60,", "\n160,"),
        &[(15, Some(1), "vane_position")],
    );
    // one position only; speeds falling
    refused(
        &good()
            .replace("\n60,60", "\n20,91")
            .replace("\n60,90", "\n20,92"),
        &[(9, None, "vane_position")],
    );
    refused(
        &good().replace("\n20,90", "\n20,50"),
        &[(12, Some(2), "corrected_speed")],
    );
    refused(
        &good().replace("expansion_ratio [-]", "expansion [-]"),
        &[(8, None, "expansion_ratio"), (8, Some(3), "column")],
    );
}

#[test]
fn the_kind_is_told_by_the_columns() {
    assert_eq!(MapKind::of(&good()), Some(MapKind::Turbine));
    let compressor = include_str!("../../scenarios/rescue-tender/compressor.csv");
    assert_eq!(MapKind::of(compressor), Some(MapKind::Compressor));
    assert_eq!(MapKind::of(HEADER), None);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(512) })]

    /// No text makes the reader panic.
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC*") {
        let _ = TurbineMapData::parse(&text);
        let _ = MapKind::of(&text);
    }

    /// The same for texts that are nearly a map; what is accepted can be written.
    #[test]
    fn any_damage_is_read_or_refused(at in 0..700_usize, insert in "[-,.0-9a-z#:\n\" ]{0,6}", cut in 0..30_usize) {
        let good = good();
        let at = at.min(good.len());
        let end = (at + cut).min(good.len());
        let text = format!("{}{insert}{}", &good[..at], &good[end..]);
        match TurbineMapData::parse(&text) {
            Ok(map) => prop_assert!(TurbineMapData::parse(&map.to_csv()).is_ok()),
            Err(problems) => prop_assert!(!problems.is_empty()),
        }
    }
}
