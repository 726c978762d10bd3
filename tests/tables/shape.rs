//! The tables themselves: files agree, monotone, same bytes for any threads.
use crate::bench::{Bench, args, scenario};
use crate::made::{grid, made};
use serde_json::Value;

/// The numbers of a quantity list of the scenario.
fn quantities(list: &serde_yaml::Value, unit: &str) -> Vec<f64> {
    list.as_sequence()
        .unwrap()
        .iter()
        .map(|q| {
            q.as_str()
                .unwrap()
                .strip_suffix(unit)
                .unwrap()
                .trim()
                .parse()
                .unwrap()
        })
        .collect()
}

/// The body of a CSV grid with its axis.
fn csv_grid(text: &str) -> (Vec<f64>, Vec<Vec<f64>>) {
    let mut axis = Vec::new();
    let mut rows = Vec::new();
    for line in text.lines().skip(1) {
        let numbers: Vec<f64> = line.split(',').map(|n| n.parse().unwrap()).collect();
        axis.push(numbers[0]);
        rows.push(numbers[1..].to_vec());
    }
    (axis, rows)
}

#[test]
fn csv_yaml_and_json_agree() {
    let made = made();
    let yaml: serde_yaml::Value = serde_yaml::from_str(&made.read("tables.yaml")).unwrap();
    for (section, cells, unit, file, field) in [
        (
            "command",
            "boost",
            "kPa abs",
            "command.csv",
            "command_kpa_abs",
        ),
        ("feed_forward", "vanes", "%", "vanes.csv", "vane_closed_pct"),
    ] {
        let table = &yaml["controller"][section];
        let rows: Vec<Vec<f64>> = table[cells]
            .as_sequence()
            .unwrap()
            .iter()
            .map(|row| quantities(row, unit))
            .collect();
        let (axis, from_csv) = csv_grid(&made.read(file));
        assert_eq!(rows, from_csv, "{section}");
        assert_eq!(rows, made.grid(field), "{section}");
        assert_eq!(axis, quantities(&table["engine_speed"], "rpm"));
        let header = made.read(file).lines().next().unwrap().to_owned();
        for mg in quantities(&table["fuel"], "mg") {
            assert!(header.contains(&format!("at_{mg}_mg_")), "{mg} in {header}");
        }
    }
    // every run of the proof is a line of its file
    let runs = made.json["proof"]["runs"].as_array().unwrap().len();
    assert_eq!(made.read("proof.csv").lines().count(), runs + 1);
    assert!(made.read("gain.csv").lines().count() > 20);
    assert!(made.read("verdict.txt").contains("burst"));
}

#[test]
fn the_command_rises_with_fuel_and_stays_above_the_ambient() {
    for row in made().grid("command_kpa_abs") {
        assert!(row.windows(2).all(|w| w[1] >= w[0]), "{row:?}");
        // 96.6 kPa at 400 m; the correction of 1 kPa per kPa brings every place there
        assert!(row[0] >= 96.6, "{row:?}");
        assert!(row[2] > row[0] + 50.0, "{row:?}");
    }
}

#[test]
fn full_load_lies_in_its_window_and_binds_somewhere() {
    let rows = made().json["full_load"].as_array().unwrap().clone();
    for row in &rows {
        let number = |field: &str| row[field].as_f64().unwrap();
        assert!(
            number("command_kpa_abs") <= number("ceiling_kpa_abs") + 1e-9,
            "{row}"
        );
    }
}

fn small(threads: &str) -> Value {
    let file = scenario();
    let said = Bench::new().call(&args(&[&[
        "tables",
        &file,
        "--speeds",
        "1800rpm,2200rpm",
        "--altitudes",
        "400m",
        "--fuels",
        "20mg,80mg,130mg",
        "--set",
        "ceiling.transients.afterwards=3 s",
        "--set",
        "ceiling.step=4 kPa",
        "--threads",
        threads,
        "--json",
    ]]));
    Value::String(said.ends_with(0).out)
}

#[test]
fn threads_do_not_change_a_byte() {
    let one = small("1");
    assert_eq!(one, small("2"));
    let document: Value = serde_json::from_str(one.as_str().unwrap()).unwrap();
    assert_eq!(grid(&document["command_kpa_abs"])[0].len(), 3);
    assert_eq!(document["fuels_mg"][1], 80.0);
    assert!(document.get("wall_s").is_none());
}
