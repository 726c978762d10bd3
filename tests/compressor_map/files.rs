//! Reading and writing map files, and what is said of bad ones.

use super::demo;
use proptest::prelude::*;
use ringfence::map::{CompressorMapData, MapProblem};

const HEADER: &str = "# about: a map
# data: measured
# reference_pressure: 28.4 inHg abs
# reference_temperature: 545 degR
# source: gas stand, run 12
";
const COLUMNS: &str =
    "corrected_speed [rpm],corrected_flow [lb/min],pressure_ratio [-],efficiency [%]\n";
const ROWS: &str = "60000,6,1.30,64\n60000,8,1.27,70\n60000,11,1.15,60
90000,10,1.75,66\n90000,14,1.68,73\n90000,18,1.40,60
120000,18,2.50,68\n120000,23,2.35,73\n120000,27,1.90,60\n";

fn good() -> String {
    format!("{HEADER}{COLUMNS}{ROWS}")
}

fn problems(text: &str) -> Vec<MapProblem> {
    CompressorMapData::parse(text).expect_err("this text is wrong")
}

/// Line, column and field of each problem.
fn places(text: &str) -> Vec<(usize, Option<usize>, String)> {
    let found = problems(text);
    for problem in &found {
        assert!(
            !problem.allowed.is_empty() && !problem.hint.is_empty(),
            "{problem:?}"
        );
        assert!(problem.to_string().contains(&problem.read));
    }
    found
        .into_iter()
        .map(|p| (p.line, p.column, p.field))
        .collect()
}

#[track_caller]
fn refused(text: &str, expected: &[(usize, Option<usize>, &str)]) {
    let found = places(text);
    let found: Vec<_> = found.iter().map(|(l, c, f)| (*l, *c, f.as_str())).collect();
    assert_eq!(found, expected, "in\n{text}");
}

/// Units: NIST SP 811 (2008): 1 lb/min = 0.45359237/60 kg/s, 1 inHg
/// (conventional) = 3386.389 Pa.
#[test]
fn units_are_brought_to_si() {
    let map = CompressorMapData::parse(&good()).unwrap();
    let reference = map.header().reference;
    assert!((reference.pressure_pa - 28.4 * 3_386.389).abs() < 0.05);
    assert!((reference.temperature_k - 302.777_78).abs() < 1e-5);
    let line = &map.lines()[0];
    assert!((line.corrected_speed_rad_s - 6_283.185_307).abs() < 1e-6);
    assert!((line.points[0].corrected_flow_kg_s - 0.045_359_237).abs() < 1e-12);
    assert!((line.points[1].efficiency - 0.70).abs() < 1e-12);
}

#[test]
fn order_of_columns_blanks_and_remarks_are_free() {
    let text = format!(
        "{HEADER}## remark: with a colon\n# and one without\n\n\
         efficiency [-] , corrected_flow [kg/h], pressure_ratio [-], corrected_speed [krpm]\r\n\
         0.64, 160, 1.3, 60\r\n0.7, 220, 1.27, 60\r\n0.6, 300, 1.15, 60\r\n\
         0.66, 270, 1.75, 90\r\n0.73, 380, 1.68, 90\r\n\r\n0.6, 490, 1.4, 90\r\n\
         0.68, 490, 2.5, 120\r\n0.73, 620, 2.35, 120\r\n0.6, 730, 1.9, 120\r\n"
    );
    let map = CompressorMapData::parse(&text).unwrap();
    assert!((map.lines()[0].points[0].corrected_flow_kg_s - 160.0 / 3600.0).abs() < 1e-12);
    // Columns in messages are those of the file.
    let wrong = text.replace("0.73, 380", "1.73, 380");
    refused(&wrong, &[(14, Some(1), "efficiency")]);
}

#[test]
fn written_maps_read_back() {
    let map = demo::map();
    let back = CompressorMapData::parse(&map.to_csv()).unwrap();
    assert_eq!(back.header(), map.header());
    for (a, b) in map.lines().iter().zip(back.lines()) {
        assert!((a.corrected_speed_rad_s - b.corrected_speed_rad_s).abs() < 1e-3);
        for (a, b) in a.points.iter().zip(&b.points) {
            assert!((a.corrected_flow_kg_s - b.corrected_flow_kg_s).abs() < 1e-7);
            assert!((a.pressure_ratio - b.pressure_ratio).abs() < 1e-6);
        }
    }
    assert_eq!(back.to_csv(), map.to_csv());
}

#[test]
fn nothing_and_rubbish() {
    refused("", &[(1, None, "file")]);
    refused(" \n\n", &[(1, None, "file")]);
    refused("PK\u{3}\u{4}\0\0", &[(1, None, "file")]);
    refused(HEADER, &[(5, None, "table")]);
}

#[test]
fn header_keys() {
    refused(
        &good().replace(
            "# source: gas stand, run 12\n",
            "# sauce: gas stand\n# about: again\n",
        ),
        &[(1, None, "source"), (5, None, "sauce"), (6, None, "about")],
    );
    let hint = &problems(&good().replace("# source", "# sorce"))[1].hint;
    assert!(hint.contains("`source`"), "{hint}");
    refused(&good().replace("measured", "guessed"), &[(2, None, "data")]);
    refused(
        &good()
            .replace("28.4 inHg abs", "28.4 inHg")
            .replace("545 degR", "545"),
        &[
            (3, None, "reference_pressure"),
            (4, None, "reference_temperature"),
        ],
    );
    refused(
        &good().replace("545 degR", "0 K"),
        &[(4, None, "reference_temperature")],
    );
}

#[test]
fn columns_and_units() {
    refused(
        &good()
            .replace("pressure_ratio [-]", "presure_ratio [-]")
            .replace("[lb/min]", "[m3/s]"),
        &[
            (6, None, "pressure_ratio"),
            (6, Some(2), "corrected_flow"),
            (6, Some(3), "column"),
        ],
    );
    refused(
        &good().replace("efficiency [%]", "efficiency"),
        &[(6, Some(4), "efficiency")],
    );
}

#[test]
fn figures() {
    refused(
        &good().replace("60000,8,1.27,70", "60000,eight,1.27,NaN"),
        &[(8, Some(2), "corrected_flow"), (8, Some(4), "efficiency")],
    );
    refused(
        &good().replace("60000,8,1.27,70", "60000,8,1.27"),
        &[(8, None, "table")],
    );
    refused(
        &good().replace("90000,18,1.40,60", "90000,18,0.2,96"),
        &[(12, Some(3), "pressure_ratio"), (12, Some(4), "efficiency")],
    );
    refused(
        &good().replace("60000,8,1.27,70", "60000,8,inf,-3"),
        &[(8, Some(3), "pressure_ratio"), (8, Some(4), "efficiency")],
    );
}

#[test]
fn order_and_shape_of_lines() {
    // Flow not rising.
    refused(
        &good().replace("60000,8,1.27,70", "60000,5,1.27,70"),
        &[(8, Some(2), "corrected_flow")],
    );
    // Lines not slowest first.
    let [slow, middle, fast] = [0, 3, 6].map(|first| {
        ROWS.lines()
            .skip(first)
            .take(3)
            .map(|row| format!("{row}\n"))
            .collect::<String>()
    });
    refused(
        &format!("{HEADER}{COLUMNS}{slow}{fast}{middle}"),
        &[(13, Some(1), "corrected_speed")],
    );
    // Too few lines, too few points.
    refused(
        &format!("{HEADER}{COLUMNS}{slow}{middle}"),
        &[(7, None, "corrected_speed")],
    );
    refused(
        &good().replace("90000,14,1.68,73\n", ""),
        &[(10, None, "corrected_speed")],
    );
    // Rising at the choke end; a second rise right of the peak.
    refused(
        &good().replace("60000,11,1.15", "60000,11,1.35"),
        &[(9, Some(3), "pressure_ratio")],
    );
    refused(
        &good().replace("90000,14,1.68", "90000,14,1.35"),
        &[(12, Some(3), "pressure_ratio")],
    );
    // Crossing lines.
    refused(
        &good()
            .replace("90000,10,1.75", "90000,10,1.17")
            .replace("90000,14,1.68", "90000,14,1.16")
            .replace("90000,18,1.40", "90000,18,1.15"),
        &[(10, Some(3), "pressure_ratio")],
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(512) })]

    /// No text makes the reader panic, and what it accepts it can write.
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC*") {
        let _ = CompressorMapData::parse(&text);
    }

    /// The same for texts that are nearly a map.
    #[test]
    fn any_damage_is_read_or_refused(at in 0..400_usize, insert in "[-,.0-9a-z#:\n\" ]{0,6}", cut in 0..30_usize) {
        let good = good();
        let at = at.min(good.len());
        let end = (at + cut).min(good.len());
        let text = format!("{}{insert}{}", &good[..at], &good[end..]);
        match CompressorMapData::parse(&text) {
            Ok(map) => prop_assert!(CompressorMapData::parse(&map.to_csv()).is_ok()),
            Err(problems) => prop_assert!(!problems.is_empty()),
        }
    }
}
