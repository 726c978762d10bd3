//! The handover picture: regions, their borders, and what is odd about cells.
use crate::made_up;
use crate::pictures::{says, texts_of};
use ringfence::judgement::{CeilingCell, CeilingResult};
use ringfence::report::*;

fn drawn(result: &CeilingResult, units: Units) -> String {
    let options = PictureOptions {
        units,
        ..PictureOptions::default()
    };
    let bytes = handover_chart(result, &options).expect("a picture");
    let text = String::from_utf8(bytes).expect("UTF-8");
    assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
    text
}

fn cell(rpm: f64, altitude_m: f64, binding: &str) -> CeilingCell {
    CeilingCell {
        engine_speed_rpm: rpm,
        altitude_m: Some(altitude_m),
        ambient_kpa_abs: 95.0,
        ambient_k: 288.0,
        feasible: true,
        ceiling_kpa_abs: Some(300.0),
        fuel_scale: 1.0,
        binding_above: Some(binding.into()),
        ..CeilingCell::default()
    }
}

/// Two speeds at two altitudes: surge, shaft below; surge, pinned above.
fn four() -> CeilingResult {
    CeilingResult {
        cells: vec![
            cell(1600.0, 0.0, "surge_margin"),
            cell(2400.0, 0.0, "shaft_speed"),
            cell(1600.0, 2000.0, "surge_margin"),
            cell(2400.0, 2000.0, "pinned_time"),
        ],
        ..made_up::ceiling()
    }
}

/// The bold lines of the picture without the one of the legend, in pixels.
fn borders(svg: &str) -> Vec<[i64; 4]> {
    let mut found: Vec<[i64; 4]> = svg
        .split("<polyline")
        .skip(1)
        .filter_map(|line| line.split("/>").next())
        .filter(|line| line.contains("#000000") && line.contains("stroke-width=\"16\""))
        .filter_map(|line| line.split("points=\"").nth(1)?.split('"').next())
        .map(|points| {
            let numbers = points
                .split([' ', ','])
                .filter_map(|n| n.parse::<f64>().ok());
            let numbers: Vec<i64> = numbers.map(|n| (n / 4.0).round() as i64).collect();
            [numbers[0], numbers[1], numbers[2], numbers[3]]
        })
        .collect();
    assert_eq!(
        found.pop().map(|last| last[0] > 810),
        Some(true),
        "the legend"
    );
    found
}

#[test]
fn bold_borders_stand_between_cells_of_different_limits_alone() {
    // The cells fill 96 to 802 px across and 96 to 616 px down.
    let (left, middle, right) = (96, 449, 802);
    let (top, half, bottom) = (96, 356, 616);
    let mut found = borders(&drawn(&four(), Units::Si));
    found.sort();
    let mut wanted = [
        [middle, half, middle, bottom],
        [middle, half, right, half],
        [middle, top, middle, half],
    ];
    wanted.sort();
    assert_eq!(found, wanted);
    assert!(found.iter().all(|line| line[0] > left));
    let mut alike = four();
    for cell in &mut alike.cells {
        cell.binding_above = Some("lambda".into());
    }
    assert_eq!(borders(&drawn(&alike, Units::Si)), Vec::<[i64; 4]>::new());
}

#[test]
fn cells_stand_at_their_true_places() {
    let mut result = four();
    result.cells.push(cell(2500.0, 0.0, "lambda"));
    result.cells.push(cell(2500.0, 2000.0, "lambda"));
    // 1600, 2400, 2500 rpm: cells end at 1200, 2000, 2450, 2550 rpm.
    let x = |rpm: f64| (96.0 + (rpm - 1200.0) / 1350.0 * 706.0).round() as i64;
    let found = borders(&drawn(&result, Units::Si));
    for rpm in [2000.0, 2450.0] {
        let upright = found.iter().filter(|line| line[0] == line[2]);
        assert_eq!(
            upright.filter(|line| line[0] == x(rpm)).count(),
            2,
            "{rpm} {found:?}"
        );
    }
}

#[test]
fn regions_are_named_and_ceilings_written() {
    let texts = texts_of(&drawn(&four(), Units::Si));
    says(
        &texts,
        &[
            "300",
            "surge margin",
            "shaft speed",
            "pinned reading",
            "limits hand over",
            "ceiling, kPa abs",
            "2000 m",
            "2400",
            "invented data",
            "Estimate, not a measurement",
        ],
    );
    // The name once in its region and once in the legend; the code elsewhere.
    let count = |wanted: &str| texts.iter().filter(|text| *text == wanted).count();
    assert_eq!((count("surge margin"), count("U")), (2, 2), "{texts:?}");
    // 300 kPa over 6.894757 kPa/psi (NIST SP 811) is 43.5 psi; 2000 m are 6562 ft.
    let us = texts_of(&drawn(&four(), Units::Us));
    says(&us, &["43.5", "ceiling, psi abs", "6562 ft"]);
}

#[test]
fn derated_cells_and_those_without_a_window_are_marked() {
    let mut result = four();
    result.cells[1].fuel_scale = 0.93;
    result.cells[3].ceiling_kpa_abs = None;
    let texts = texts_of(&drawn(&result, Units::Si));
    says(&texts, &["fuel ×0.93", "at reduced fuel", "no window"]);
    let plain = texts_of(&drawn(&four(), Units::Si));
    for word in ["fuel", "no window", "not asked", "nothing binds"] {
        assert!(!plain.iter().any(|text| text.contains(word)), "{word}");
    }
}

#[test]
fn absent_cells_and_unbound_ones_are_told_apart() {
    let mut result = four();
    result.cells[1].binding_above = None;
    result.cells.remove(2);
    says(
        &texts_of(&drawn(&result, Units::Si)),
        &["not asked for", "nothing binds"],
    );
}

#[test]
fn each_temperature_has_its_panel_and_no_more_than_four() {
    let mut result = four();
    for step in 1..3 {
        for mut cell in four().cells {
            cell.ambient_k += 10.0 * f64::from(step);
            result.cells.push(cell);
        }
    }
    // 288.00 K is 14.85 °C.
    let texts = texts_of(&drawn(&result, Units::Si));
    says(&texts, &["15 °C at 0 m", "25 °C at 0 m", "35 °C at 0 m"]);
    let axes = texts.iter().filter(|text| *text == "engine speed, rpm");
    assert_eq!(axes.count(), 3);
    for mut cell in result.cells.clone() {
        cell.ambient_k += 40.0;
        result.cells.push(cell);
    }
    says(
        &texts_of(&drawn(&result, Units::Si)),
        &["the coldest 4 of 6 temperatures"],
    );
}

#[test]
fn one_altitude_is_a_strip_and_pressures_may_stand_for_altitudes() {
    let svg = drawn(&made_up::one_altitude(), Units::Si);
    assert!(svg.contains("height=\"430\""), "a strip");
    let mut result = four();
    for cell in &mut result.cells {
        cell.ambient_kpa_abs = if cell.altitude_m == Some(0.0) {
            100.0
        } else {
            79.5
        };
        cell.altitude_m = None;
    }
    let texts = texts_of(&drawn(&result, Units::Si));
    says(&texts, &["ambient pressure, abs", "79.5 kPa"]);
}

#[test]
fn odd_ceilings_are_drawn_and_an_empty_one_refused() {
    let mut empty = four();
    empty.cells.clear();
    let options = PictureOptions::default();
    assert!(matches!(
        handover_chart(&empty, &options),
        Err(PictureError::Empty { .. })
    ));
    let mut dense = four();
    dense.cells.clear();
    for speed in 0..200 {
        for altitude in 0..100 {
            let key = ["lambda", "tip_speed", "never heard of"][(speed / 40 + altitude / 30) % 3];
            dense.cells.push(cell(speed as f64, altitude as f64, key));
        }
    }
    let mut odd = four();
    odd.cells[0].engine_speed_rpm = f64::NAN;
    odd.cells[1].ceiling_kpa_abs = Some(1e300);
    odd.cells[2].altitude_m = None;
    odd.cells[3].ambient_k = f64::INFINITY;
    odd.cells.push(odd.cells[1].clone());
    let lone = CeilingResult {
        cells: vec![cell(2000.0, 400.0, "lambda")],
        ..four()
    };
    for result in [dense, odd, lone] {
        texts_of(&drawn(&result, Units::Us));
    }
}
