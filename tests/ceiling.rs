//! The ceiling over engine speed, altitude and temperature, and that its short cuts
//! change nothing.
use ringfence::judgement::{CeilingCell, CeilingResult};
use ringfence::scenario::build::Setup;
use ringfence::scenario::load;
use ringfence::study::ceiling::{CeilingPlan, ceiling};
use ringfence::study::progress::Silent;
use serde_json::Value;
use std::path::Path;
use std::process::Command;

const DEMO: &str = "scenarios/rescue-tender.yaml";
/// A coarse search through short transients, for what does not depend on them.
const QUICK: [(&str, &str); 3] = [
    ("ceiling.step", "8 kPa"),
    ("ceiling.transients.pull.duration", "2 s"),
    ("ceiling.transients.afterwards", "2 s"),
];

fn plan(sets: &[(&str, &str)]) -> (CeilingPlan, Setup) {
    let sets: Vec<(String, String)> = sets
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    let loaded = load(Path::new(DEMO), &sets, None).unwrap_or_else(|e| panic!("{e}"));
    let setup = Setup::new(&loaded.scenario).expect("the scenario builds");
    let plan = CeilingPlan::of(&loaded.scenario, &setup).expect("it is a plan");
    (plan, setup)
}

fn sought(sets: &[(&str, &str)]) -> CeilingResult {
    let (plan, setup) = plan(sets);
    ceiling(&plan, &setup.titles, &Silent)
}

/// Exit status, JSON on the output, and what was said beside it.
fn call(flags: &[&str]) -> (i32, Value) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_ringfence"));
    command.args(["ceiling", DEMO, "--json"]).args(flags);
    for (path, value) in QUICK {
        command.args(["--set", &format!("{path}={value}")]);
    }
    let output = command.output().expect("the program starts");
    let json = serde_json::from_slice(&output.stdout).unwrap_or(Value::Null);
    (output.status.code().unwrap_or(-1), json)
}

fn offsets(json: &Value) -> Vec<f64> {
    let cells = json["cells"].as_array().expect("cells");
    let all = cells.iter().map(|c| c["temperature_offset_k"].as_f64());
    all.map(|offset| offset.expect("a number")).collect()
}

#[test]
fn cells_come_by_altitude_then_temperature_then_speed() {
    let axes = [
        ("ceiling.engine_speeds", "[1800 rpm, 2600 rpm]"),
        ("ceiling.altitudes", "[0 m, 2600 m]"),
        ("ceiling.temperature_offsets", "[-20 K, 0 K, 25 K]"),
    ];
    let result = sought(&[&axes[..], &QUICK].concat());
    let place = |c: &CeilingCell| (c.altitude_m, c.temperature_offset_k, c.engine_speed_rpm);
    let wanted: Vec<_> = [0.0, 2600.0]
        .into_iter()
        .flat_map(|m| [-20.0, 0.0, 25.0].map(|k| (m, k)))
        .flat_map(|(m, k)| [1800.0, 2600.0].map(|rpm| (Some(m), Some(k), rpm)))
        .collect();
    let got: Vec<_> = result.cells.iter().map(place).collect();
    assert_eq!(got, wanted);
    for cell in &result.cells {
        // 15 °C at sea level, 6.5 K less for each 1000 m (ISO 2533)
        let standard_k = 288.15 - 6.5e-3 * cell.altitude_m.unwrap();
        let offset_k = cell.temperature_offset_k.unwrap();
        assert!(
            (cell.ambient_k - standard_k - offset_k).abs() < 1e-9,
            "{cell:?}"
        );
    }
    // the proof names the temperature where an altitude has several
    for line in result.table_proved.expect("a proof").exceeded {
        assert!(line.ends_with(" K"), "{line}");
    }
}

#[test]
fn an_ambient_given_by_pressure_has_no_offset() {
    let given = [
        ("ambient.altitude", "null"),
        ("ambient.temperature_offset", "null"),
        ("ambient.pressure", "96 kPa abs"),
        ("ambient.temperature", "20 degC"),
        ("ceiling.altitudes", "null"),
        ("ceiling.engine_speeds", "[2200 rpm]"),
    ];
    let result = sought(&[&given[..], &QUICK].concat());
    assert_eq!(result.cells.len(), 1);
    assert_eq!(result.cells[0].temperature_offset_k, None);
    assert_eq!(result.cells[0].altitude_m, None);
}

#[test]
fn temperatures_are_a_list_or_a_range_and_may_be_negative() {
    let one = ["--speeds", "2200rpm", "--altitudes", "400m"];
    for (text, wanted) in [
        ("-20K,0K,25K", vec![-20.0, 0.0, 25.0]),
        ("-20K..20K:3", vec![-20.0, 0.0, 20.0]),
        ("-18 degF", vec![-10.0]),
    ] {
        let (status, json) = call(&[&one[..], &["--temperatures", text]].concat());
        assert!(status < 2, "{text}: {json}");
        assert_eq!(offsets(&json), wanted, "{text}");
    }
}

#[test]
fn what_is_wrong_with_temperatures_is_said() {
    for (text, word) in [
        ("20", "--temperatures"),
        ("20 kPa", "--temperatures"),
        ("-20K..20K", "--temperatures"),
        ("-20K..20K:1", "--temperatures"),
        ("-20K..20K:201", "--temperatures"),
        ("20K,-20K", "temperature_offsets"),
        ("-80K", "temperature_offsets"),
        // -40 degC at 6000 m is -16 K
        ("-30K", "6000 m"),
    ] {
        let high = ["--altitudes", "400m,6000m", "--temperatures", text];
        let (status, json) = call(&high);
        assert_eq!(status, 2, "{text}: {json}");
        assert!(json["error"].to_string().contains(word), "{text}: {json}");
    }
    let (status, json) = call(&[
        "--speeds",
        "1600rpm..2700rpm:200",
        "--altitudes",
        "0m..3000m:200",
    ]);
    assert_eq!(status, 2);
    let said = json["error"].to_string();
    assert!(
        said.contains("40000 cells") && said.contains("20000"),
        "{said}"
    );
}

/// Where a wheel binds, the shaft has to turn faster for the same boost in hotter air.
/// Where the sensor's ceiling binds this is not so: what counts there is how far boost
/// swings beyond the command, and that is less in hotter air.
#[test]
fn hotter_air_never_raises_the_ceiling_that_a_wheel_sets() {
    let axes = [
        ("ceiling.engine_speeds", "[2000 rpm, 2400 rpm]"),
        ("ceiling.altitudes", "[400 m, 2600 m]"),
        ("ceiling.temperature_offsets", "[-15 K, 10 K, 35 K]"),
        ("ceiling.step", "2 kPa"),
    ];
    let cells = sought(&axes).cells;
    let mut lower = 0;
    for (at, colder) in cells.iter().enumerate() {
        let Some(hotter) = cells
            .get(at + 2)
            .filter(|c| c.altitude_m == colder.altitude_m)
        else {
            continue;
        };
        let top = |cell: &CeilingCell| (cell.fuel_scale, cell.ceiling_kpa_abs.unwrap_or(0.0));
        let (before, after) = (top(colder), top(hotter));
        if colder.binding_above.as_deref() == Some("shaft_speed") {
            assert!(after.0 <= before.0, "{after:?} over {before:?}");
            assert!(
                after.0 < before.0 || after.1 <= before.1,
                "{after:?} over {before:?}"
            );
            lower += usize::from(after < before);
        }
    }
    assert!(
        lower >= 4,
        "temperature does something where a wheel binds: {lower}"
    );
}

#[test]
fn a_watch_that_ends_early_finds_what_a_whole_one_finds() {
    let (mut plan, setup) = plan(&[]);
    let early = ceiling(&plan, &setup.titles, &Silent);
    plan.watch_to_the_end = true;
    let whole = ceiling(&plan, &setup.titles, &Silent);
    assert_eq!(early.cells.len(), 14);
    for (a, b) in early.cells.iter().zip(&whole.cells) {
        let place = (a.altitude_m, a.engine_speed_rpm);
        assert_eq!(a.ceiling_kpa_abs, b.ceiling_kpa_abs, "{place:?}");
        assert_eq!(a.binding_above, b.binding_above, "{place:?}");
        assert_eq!(a.fails_above, b.fails_above, "{place:?}");
        assert_eq!(a.fuel_scale, b.fuel_scale, "{place:?}");
    }
    assert_eq!(early.table_proved, whole.table_proved);
}

#[test]
fn a_cell_without_a_window_says_what_breaks() {
    // no fuel of this engine burns so lean at any boost that the shaft may give
    let shut = [
        ("ceiling.engine_speeds", "[2200 rpm]"),
        ("ceiling.altitudes", "[400 m]"),
        ("limits.shaft_speed", "40000 rpm"),
        ("limits.tip_speed", "null"),
    ];
    let cell = sought(&[&shut[..], &QUICK].concat()).cells.remove(0);
    assert_eq!(cell.ceiling_kpa_abs, None);
    assert!(!cell.feasible);
    assert_eq!(cell.binding_above.as_deref(), Some("shaft_speed"));
}

#[test]
fn threads_do_not_change_a_byte_of_a_grid() {
    let grid = |threads: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_ringfence"))
            .args(["ceiling", DEMO, "--json", "--threads", threads])
            .args(["--speeds", "1800rpm..2600rpm:3", "--altitudes", "0m,2000m"])
            .args(["--temperatures", "-10K,20K"])
            .output()
            .expect("the program starts");
        output.stdout
    };
    let one = grid("1");
    assert!(!one.is_empty());
    assert_eq!(one, grid("2"));
}
