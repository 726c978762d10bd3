//! Which cases there are, and what stands in their rows.
use super::bench::{Bench, SHORT, args, scenario};
use serde_json::Value;

/// A hold of a tenth of a second: milliseconds of work.
pub const TINY: [&str; 4] = [
    "--set",
    "procedure=[{hold: {engine_speed: 2000 rpm, fuel: 90 mg, duration: 0.1 s}}]",
    "--set",
    "controller.command.full_load=260 kPa abs",
];

/// The JSON lines of a sweep.
fn rows(call: &[&str], code: i32) -> Vec<Value> {
    let file = scenario();
    let all = args(&[&["sweep", &file, "--json"], call]);
    let said = Bench::new().call(&all).ends_with(code);
    assert_eq!(said.err, "");
    let parsed = said
        .out
        .lines()
        .map(|line| serde_json::from_str(line).expect(line));
    parsed.collect()
}

#[test]
fn the_grid_is_complete_and_the_first_field_is_slowest() {
    let vary = [
        "--vary",
        "controller.command.full_load=2.4..2.6bar abs:3",
        "--vary",
        "ambient.altitude=0,0.5,1 km",
    ];
    let rows = rows(&args(&[&TINY, &vary]), 0);
    let values: Vec<(f64, f64)> = rows
        .iter()
        .map(|row| {
            let number = |name: &str| row[name].as_f64().unwrap_or(f64::NAN);
            (
                number("controller.command.full_load_kpa_abs"),
                number("ambient.altitude_m"),
            )
        })
        .collect();
    let expected = [240.0, 250.0, 260.0]
        .iter()
        .flat_map(|&kpa| [0.0, 500.0, 1000.0].map(|m| (kpa, m)));
    assert!(values.iter().copied().eq(expected), "{values:?}");
    for (number, row) in rows.iter().enumerate() {
        assert_eq!(row["index"], number);
        assert_eq!(row["verdict"], "held");
        for unknown in ["first_exceeded", "first_exceeded_s", "reason"] {
            assert_eq!(row[unknown], Value::Null, "{unknown}");
        }
        assert!(
            row["shaft_speed_headroom_pct"]
                .as_f64()
                .is_some_and(|pct| pct > 0.0)
        );
    }
}

/// A case is the run that `run` makes with the same values.
#[test]
fn a_case_is_what_run_says_of_the_same_values() {
    let low = ["--set", "limits.shaft_speed=60000 rpm"];
    let vary = ["--vary", "ambient.altitude=1200m,1300m"];
    let row = rows(&args(&[&SHORT, &low, &vary]), 1).remove(0);
    let file = scenario();
    let same = ["run", &file, "--json", "--set", "ambient.altitude=1200 m"];
    let run = Bench::new()
        .call(&args(&[&same, &SHORT, &low]))
        .ends_with(1)
        .json();
    // the last digit that the rows have
    for (peak, digit) in [
        ("shaft_speed_rpm", 0.1),
        ("boost_kpa_abs", 0.001),
        ("drive_pressure_kpa_abs", 0.001),
        ("lambda", 0.0001),
        ("torque_nm", 0.01),
    ] {
        let (a, b) = (
            row[peak].as_f64().unwrap(),
            run["peaks"][peak].as_f64().unwrap(),
        );
        assert!((a - b).abs() <= 0.51 * digit, "{peak}: {a} and {b}");
    }
    assert_eq!(row["verdict"], "exceeded");
    assert_eq!(row["first_exceeded"], "shaft_speed");
    let limits = run["limits"].as_array().unwrap();
    let shaft = limits
        .iter()
        .find(|limit| limit["name"] == "shaft_speed")
        .unwrap();
    let (a, b) = (&row["shaft_speed_headroom_pct"], &shaft["headroom_pct"]);
    assert!((a.as_f64().unwrap() - b.as_f64().unwrap()).abs() <= 0.00051);
    let (a, b) = (&row["first_exceeded_s"], &shaft["first_exceeded_s"]);
    assert!((a.as_f64().unwrap() - b.as_f64().unwrap()).abs() <= 0.00051);
}

#[test]
fn words_and_files_vary_too() {
    let vary = [
        "--vary",
        "sensors.boost.place=manifold,cooler_outlet",
        "--vary",
        "compressor.form.speed_lines=rescue-tender/compressor.csv,missing.csv",
    ];
    let rows = rows(&args(&[&TINY, &vary]), 3);
    let told: Vec<(&str, &str)> = rows
        .iter()
        .map(|row| {
            let word = |name: &str| row[name].as_str().unwrap_or("");
            (word("sensors.boost.place"), word("verdict"))
        })
        .collect();
    let expected = [
        ("manifold", "held"),
        ("manifold", "refused"),
        ("cooler_outlet", "held"),
        ("cooler_outlet", "refused"),
    ];
    assert_eq!(told, expected);
    assert!(rows[1]["reason"].as_str().unwrap().contains("missing.csv"));
}

#[test]
fn a_value_that_is_not_allowed_is_a_row_that_says_why() {
    let rows = rows(
        &args(&[&TINY, &["--vary", "ambient.altitude=0,30000 m"]]),
        3,
    );
    assert_eq!(rows[0]["verdict"], "held");
    assert_eq!(rows[1]["verdict"], "refused");
    let reason = rows[1]["reason"].as_str().unwrap();
    assert!(
        reason.contains("ambient.altitude") && reason.contains("30000"),
        "{reason}"
    );
    assert_eq!(rows[1]["shaft_speed_rpm"], Value::Null);
}

#[test]
fn a_case_that_leaves_the_model_is_a_row_and_exceeding_outranks_it() {
    let step = "procedure=[{load_step: {engine_speed: 2600 rpm, fuel_from: 20 mg, fuel_to: full, at: 0.5 s, duration: 6 s}}]";
    let far = ["--set", step, "--set", "limits={shaft_speed: 400000 rpm}"];
    let vary = ["--vary", "open_loop.vanes.closed=20,95 %"];
    let failed = rows(&args(&[&far, &vary]), 3);
    assert_eq!(failed[0]["verdict"], "held");
    assert_eq!(failed[1]["verdict"], "outside_validity");
    let reason = failed[1]["reason"].as_str().unwrap();
    assert!(reason.contains("outside validity"), "{reason}");
    let low = ["--vary", "limits.shaft_speed=60000,400000 rpm"];
    let both = rows(&args(&[&far, &vary, &low]), 1);
    assert_eq!(both[0]["verdict"], "exceeded");
    assert_eq!(both[3]["verdict"], "outside_validity");
}

#[test]
fn draws_lie_in_the_box_and_follow_the_seed() {
    let draws = |seed: &str| {
        let call = [
            "--vary",
            "ambient.altitude=1000..2000m",
            "--draws",
            "8",
            "--seed",
            seed,
        ];
        rows(&args(&[&TINY, &call]), 0)
    };
    let altitude = |row: &Value| row["ambient.altitude_m"].as_f64().unwrap();
    let first = draws("1");
    assert_eq!(first.len(), 8);
    // eight points of the sequence: one in each eighth of the range
    let mut eighths: Vec<u32> = first
        .iter()
        .map(|row| ((altitude(row) - 1000.0) / 125.0) as u32)
        .collect();
    eighths.sort_unstable();
    assert!(eighths.into_iter().eq(0..8));
    assert_eq!(first, draws("1"));
    assert_ne!(first, draws("2"));
}

#[test]
fn without_a_place_for_rows_the_answer_is_text() {
    let file = scenario();
    let vary = ["--vary", "limits.shaft_speed=60000..160000rpm:3"];
    let said = Bench::new()
        .call(&args(&[&["sweep", &file], &TINY, &vary]))
        .ends_with(1);
    said.says("Of 3 cases, 2 held every limit, 1 exceeded one.")
        .says("limits.shaft_speed: everything held from 110000 rpm up; at 60000 rpm")
        .says("shaft speed: 1 case");
    assert!(
        said.out.lines().all(|line| line.chars().count() <= 80),
        "{}",
        said.out
    );
}
