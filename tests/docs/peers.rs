//! The comparison with other solvers: what its page calls is there, and the page on
//! speed shows what it wrote.
use super::pages::{root, writing};
use std::fs;

const RESULT: &str = "benches/peers/result.csv";
const SPEED: &str = "docs/speed.md";
const BEGIN: &str = "<!-- from benches/peers/result.csv -->\n";
const END: &str = "<!-- end of it -->\n";

fn read(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// Lines that start with `$ ` in the page of the comparison.
fn commands() -> Vec<Vec<String>> {
    let page = read("benches/peers/README.md");
    let lines = page.lines().filter_map(|line| line.strip_prefix("$ "));
    lines
        .map(|line| line.split(' ').map(str::to_owned).collect())
        .collect()
}

/// The script that the page calls exists, and takes what it is given there.
#[test]
fn the_commands_of_the_comparison_exist() {
    let commands = commands();
    assert!(!commands.is_empty(), "the page shows how it is called");
    for words in commands {
        assert_eq!(words[0], "bash", "{words:?}");
        let script = read(&words[1]);
        assert!(script.starts_with("#!/usr/bin/env bash\n"), "{words:?}");
        if let Some(rounds) = words.get(2) {
            assert!(rounds.parse().is_ok_and(|n: u32| n > 0), "{words:?}");
        }
        assert!(words.len() <= 3, "{words:?}");
    }
}

/// Every file that the script and the comparison start is in the folder.
#[test]
fn the_parts_of_the_comparison_exist() {
    let script = read("benches/peers/run.sh");
    let named = script.split("$here/").skip(1).map(|rest| {
        rest.split(|c: char| !(c.is_alphanumeric() || "._/".contains(c)))
            .next()
            .unwrap_or("")
    });
    let mut seen = 0;
    for name in named.filter(|name| *name != "result.csv" && !name.starts_with("..")) {
        assert!(root().join("benches/peers").join(name).exists(), "{name}");
        seen += 1;
    }
    assert!(seen >= 5, "{seen} parts found in the script");
}

/// The tables of the page on speed, from the result.
fn tables() -> String {
    let mut reader = csv::Reader::from_path(root().join(RESULT)).expect("the result is there");
    let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.expect("a row")).collect();
    let mut text = String::new();
    for basis in ["worst error", "mean error", "same tolerance"] {
        text += &format!("\nBy the {basis}:\n\n");
        text += "| solver | states | tolerance | worst error | mean error | evaluations | ms per pull | simulated s per s | times ours |\n";
        text += "| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |\n";
        for row in rows.iter().filter(|r| &r[0] == "ours" || &r[0] == basis) {
            text += &line(row);
        }
    }
    text + "\n"
}

fn line(row: &csv::StringRecord) -> String {
    let number = |at: usize| -> f64 { row[at].parse().expect("a number") };
    format!(
        "| {} | {} | {:.1e} | {:.1e} | {:.1e} | {} | {:.1} | {:.0} | {:.1} |\n",
        &row[2],
        &row[1],
        number(3),
        number(4),
        number(5),
        &row[6],
        number(7),
        number(8),
        number(9),
    )
}

/// The page on speed shows the result as it was written.
#[test]
fn the_page_on_speed_shows_the_result() {
    let page = read(SPEED);
    let (before, rest) = page.split_once(BEGIN).expect("the mark before the tables");
    let (shown, after) = rest.split_once(END).expect("the mark behind the tables");
    let tables = tables();
    if writing() {
        let fresh = format!("{before}{BEGIN}{tables}{END}{after}");
        fs::write(root().join(SPEED), fresh).expect("a page that can be written");
        return;
    }
    assert_eq!(shown, tables, "{SPEED}: RINGFENCE_WRITE=1 writes it anew");
}
