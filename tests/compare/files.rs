//! The report folder of a comparison.
use super::*;

#[test]
fn the_folder_holds_table_verdict_and_pictures() {
    let (a, b) = (scenario("rescue-tender"), scenario("factory-size"));
    let bench = Bench::new();
    let more = args(&[&STEP, &["--out", "report", "--png"]]);
    let said = compare(&bench, &[&a, &b], &more);
    assert!(said.code < 2, "{}", said.err);
    said.says("Report in report");
    let mut names: Vec<String> = std::fs::read_dir(bench.path("report"))
        .expect("the folder")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .into_string()
                .expect("a name")
        })
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            "CONTENTS.txt",
            "comparison.csv",
            "comparison.json",
            "ladder.png",
            "ladder.svg",
            "lid.png",
            "lid.svg",
            "report.html",
            "strips.png",
            "strips.svg",
            "verdict.txt"
        ]
    );
    let verdict = bench.read("report/verdict.txt");
    assert!(verdict.contains("What differs most") && verdict.contains("Cautions\n"));
    let written: Value = serde_json::from_str(&bench.read("report/comparison.json")).expect("JSON");
    let printed = compare(&bench, &[&a, &b], &args(&[&STEP, &["--json"]])).json();
    assert_eq!(written, printed);
    for picture in ["strips", "lid", "ladder"] {
        let svg = bench.read(&format!("report/{picture}.svg"));
        for word in ["A rescue-tender", "B factory-size", "invented data"] {
            assert!(svg.contains(word), "{picture}: no {word}");
        }
    }
    assert!(bench.read("report/strips.svg").contains("timed at "));
    assert!(
        bench
            .read("report/lid.svg")
            .contains("shaft-speed limit 175.0 krpm")
    );
    assert!(bench.read("report/ladder.svg").contains("/ 175.0 krpm"));
}

#[test]
fn the_table_says_what_the_json_says() {
    let (a, b) = (
        scenario("over-commanded"),
        scenario("over-commanded-clamped"),
    );
    let bench = Bench::new();
    compare(&bench, &[&a, &b], &["--out", "report"]).ends_with(1);
    let json: Value = serde_json::from_str(&bench.read("report/comparison.json")).expect("JSON");
    let text = bench.read("report/comparison.csv");
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let (mut compared, mut of_base) = (0, 0);
    for row in rows.records() {
        let row = row.expect("a row");
        if &row[0] == "0" {
            of_base += 1;
            assert_eq!(&row[7], "", "the base differs from nothing");
            continue;
        }
        compared += 1;
        let d = difference(&json, 1, &row[2], &row[3]);
        assert_eq!(&row[4], d["unit"].as_str().expect("a unit"));
        for (column, field) in [(6, "value"), (7, "difference")] {
            // three decimals
            let told: f64 = row[column].parse().expect("a number");
            let known = d[field].as_f64().expect("a number");
            assert!((told - known).abs() <= 5.01e-4, "{field} {row:?}");
        }
        assert_eq!(&row[8], d["matters"].as_str().unwrap_or(""));
    }
    assert_eq!(compared, of_base);
    assert_eq!(
        compared,
        json["differences"].as_array().expect("a list").len()
    );
}
