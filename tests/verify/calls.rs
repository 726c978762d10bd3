//! Files, folders, flags and exit statuses of `verify`.
use super::{HOLD, PINNED, case, folder, says};

const FINE: &str =
    "  says: It stays slow.\n  checks: [{peak: {of: shaft_speed, at_most: 150 krpm}}]\n";
const TIGHT: &str = "  checks: [{peak: {of: shaft_speed, at_most: 20 krpm}}]\n";

#[test]
fn a_folder_stands_for_all_that_expects_something() {
    let bench = folder();
    case(&bench, "b", HOLD, FINE);
    case(&bench, "a", HOLD, FINE);
    bench.write("suite/part.yaml", "limits: {shaft_speed: 60000 rpm}\n");
    bench.write("suite/notes.txt", "no scenario");
    bench.write(
        "suite/below/rescue-tender/compressor.csv",
        bench.read("suite/rescue-tender/compressor.csv"),
    );
    bench.write(
        "suite/below/base.yaml",
        bench.read("suite/rescue-tender.yaml"),
    );
    bench.write(
        "suite/below/c.yaml",
        format!("extends: base.yaml\n{HOLD}expect:\n{FINE}"),
    );
    let said = bench.call(&["verify", "suite"]).ends_with(0);
    says(
        &said,
        &["3 cases: 3 passed; 3 files without `expect` left out."],
    );
    let json = bench
        .call(&["verify", "suite", "--json"])
        .ends_with(0)
        .json();
    let files: Vec<&str> = json["cases"]
        .as_array()
        .expect("cases")
        .iter()
        .map(|case| case["file"].as_str().expect("a file"))
        .collect();
    assert_eq!(
        files,
        ["suite/a.yaml", "suite/b.yaml", "suite/below/c.yaml"]
    );
    assert_eq!(json["without_expect"], 3);
    assert_eq!(json["cases"][0]["says"], "It stays slow.");
    // named twice, judged once
    let twice = bench
        .call(&["verify", "suite/a.yaml", "suite/a.yaml"])
        .ends_with(0);
    says(&twice, &["1 case: 1 passed."]);
    // however it is named, and by its first name
    for ways in [
        ["./suite/a.yaml", "suite/a.yaml"],
        ["suite/below/../a.yaml", "suite/./a.yaml"],
    ] {
        let json = bench
            .call(&[&["verify", "--json"], &ways[..]].concat())
            .ends_with(0)
            .json();
        let cases = json["cases"].as_array().expect("cases");
        assert_eq!(cases.len(), 1, "{json}");
        assert_eq!(cases[0]["file"], ways[0]);
    }
    let both = bench
        .call(&["verify", "suite/b.yaml", "./suite", "suite"])
        .ends_with(0);
    says(
        &both,
        &["3 cases: 3 passed; 3 files without `expect` left out."],
    );
}

#[test]
fn a_broken_file_stops_no_other_and_counts_most() {
    let bench = folder();
    case(&bench, "fine", HOLD, FINE);
    case(&bench, "tight", HOLD, TIGHT);
    bench.write("suite/broken.yaml", "about: [");
    case(
        &bench,
        "wrong",
        HOLD,
        "  checks: [{peak: {of: shaft, at_most: 1 rpm}}]\n",
    );
    let said = bench.call(&["verify", "suite"]).ends_with(2);
    says(
        &said,
        &[
            "4 cases: 1 passed, 1 failed, 2 could not be judged",
            "suite/broken.yaml:1",
            "`shaft` is not the name of a channel",
        ],
    );
    let json = bench
        .call(&["verify", "suite", "--json"])
        .ends_with(2)
        .json();
    let results: Vec<&str> = json["cases"]
        .as_array()
        .expect("cases")
        .iter()
        .map(|case| case["result"].as_str().expect("a result"))
        .collect();
    assert_eq!(results, ["error", "pass", "fail", "error"]);
    assert_eq!(json["cases"][0]["error"]["kind"], "input");
    assert_eq!(json["cases"][0]["checks"], serde_json::json!([]));
    let (fine, tight) = ("suite/fine.yaml", "suite/tight.yaml");
    bench.call(&["verify", fine, tight]).ends_with(1);
    bench.call(&["verify", fine]).ends_with(0);
}

#[test]
fn wrong_calls_end_with_2_and_say_why() {
    let bench = folder();
    case(&bench, "fine", HOLD, FINE);
    bench.write("empty/notes.txt", "nothing here");
    bench.write("a-file", "x");
    for (wrong, said) in [
        (vec!["verify"], "FILE_OR_DIR"),
        (vec!["verify", "empty"], "no scenario in this folder"),
        (vec!["verify", "suite", "--band"], "--band"),
        (vec!["verify", "suite", "--out", "a-file"], "a file stands"),
        (
            vec!["verify", "suite", "--junit", "suite"],
            "a folder stands",
        ),
        (
            vec!["verify", "suite", "--junit", "no/such/j.xml"],
            "is not there",
        ),
        (vec!["verify", "suite", "--threads", "0"], "--threads"),
    ] {
        let text = bench.call(&wrong).ends_with(2);
        assert_eq!(text.out, "", "{wrong:?}");
        text.says(said);
        let json = bench
            .call(&[&wrong[..], &["--json"]].concat())
            .ends_with(2)
            .json();
        assert!(json["error"]["message"].is_string(), "{wrong:?}: {json}");
    }
    for (file, said) in [
        ("suite/rescue-tender.yaml", "the scenario expects nothing"),
        ("missing.yaml", "there is no such file"),
    ] {
        let text = bench.call(&["verify", file]).ends_with(2);
        says(&text, &[said, "could not be judged"]);
    }
}

#[test]
fn overrides_reach_model_and_expectation() {
    let bench = folder();
    case(&bench, "fine", HOLD, FINE);
    let file = "suite/fine.yaml";
    let tight = "expect.checks.0.peak.at_most=20 krpm";
    bench.call(&["verify", file, "--set", tight]).ends_with(1);
    let said = bench
        .call(&[
            "verify",
            file,
            "--set",
            "expect.checks.0.peak.at_most=20 kPa",
        ])
        .ends_with(2);
    says(&said, &["expect.checks.0.peak.at_most", "rotational speed"]);
    let added = ["--set", "expect={verdict: held}"];
    bench
        .call(&[&["verify", "suite/rescue-tender.yaml"], &added[..]].concat())
        .ends_with(0);
    let said = bench
        .call(&["verify", file, "--set", "expect=null"])
        .ends_with(2);
    says(&said, &["the scenario expects nothing"]);
    // a procedure laid over it by hand is judged as far as it goes
    let short = "procedure=[{hold: {engine_speed: 2000 rpm, fuel: 90 mg, duration: 1 s}}]";
    case(
        &bench,
        "late",
        HOLD,
        "  checks: [{value: {of: boost_true, at: 2 s, at_least: 1 kPa abs}}]\n",
    );
    let said = bench
        .call(&["verify", "suite/late.yaml", "--set", short])
        .ends_with(1);
    says(&said, &["the run ended at 1.00 s"]);
}

#[test]
fn other_commands_leave_expectations_aside() {
    let bench = folder();
    case(&bench, "tight", HOLD, TIGHT);
    bench.call(&["run", "suite/tight.yaml"]).ends_with(0);
    bench.call(&["check", "suite/tight.yaml"]).ends_with(0);
}

#[test]
fn the_bytes_do_not_depend_on_threads() {
    let bench = folder();
    for name in ["a", "b", "c"] {
        case(&bench, name, PINNED, FINE);
    }
    case(&bench, "d", HOLD, TIGHT);
    let of = |threads: &str| {
        let out = format!("out{threads}");
        let call = [
            "verify",
            "suite",
            "--json",
            "--threads",
            threads,
            "--out",
            &out,
        ];
        let json = bench.call(&call).ends_with(1).out;
        let text = bench
            .call(&["verify", "suite", "--threads", threads])
            .ends_with(1)
            .out;
        let files = ["verify.txt", "verify.json", "junit.xml"]
            .map(|name| bench.read(&format!("{out}/{name}")));
        (json, text, files)
    };
    assert_eq!(of("1"), of("2"));
}

#[test]
fn a_report_folder_holds_text_json_and_xml() {
    let bench = folder();
    case(&bench, "tight", HOLD, TIGHT);
    let said = bench
        .call(&["verify", "suite", "--out", "report"])
        .ends_with(1);
    says(&said, &["Report in report"]);
    let text = bench.read("report/verify.txt");
    assert!(
        text.contains("- peak shaft_speed: shaft speed peaked at"),
        "{text}"
    );
    // the cautions stand below every verdict that is kept
    assert!(text.contains("Cautions\n"), "{text}");
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    let json: serde_json::Value =
        serde_json::from_str(&bench.read("report/verify.json")).expect("JSON");
    assert_eq!(json["failed"], 1);
    assert!(json.get("wall_s").is_none());
    assert!(!bench.read("report/verify.json").contains("NaN"));
}

#[test]
fn units_quiet_and_timing_do_what_they_do_everywhere() {
    let bench = folder();
    case(
        &bench,
        "tight",
        HOLD,
        "  checks: [{peak: {of: boost_true, at_most: 110 kPa abs}}]\n",
    );
    let us = bench
        .call(&["verify", "suite", "--units", "us"])
        .ends_with(1);
    says(&us, &["above 15.95 psi abs"]);
    let quiet = bench.call(&["verify", "suite", "--quiet"]).ends_with(1);
    assert_eq!((quiet.out, quiet.err), (String::new(), String::new()));
    let timed = bench
        .call(&["verify", "suite", "--timing", "--json"])
        .ends_with(1)
        .json();
    assert!(timed["wall_s"].is_number() && timed["cases"][0]["wall_s"].is_number());
}

/// Every key below a value.
fn keys(value: &serde_json::Value, into: &mut std::collections::BTreeSet<String>) {
    match value {
        serde_json::Value::Object(map) => {
            for (key, below) in map {
                into.insert(key.clone());
                keys(below, into);
            }
        }
        serde_json::Value::Array(items) => items.iter().for_each(|item| keys(item, into)),
        _ => {}
    }
}

#[test]
fn every_field_is_described() {
    let bench = folder();
    case(&bench, "tight", HOLD, TIGHT);
    let call = [
        "verify",
        "suite/tight.yaml",
        "missing.yaml",
        "--json",
        "--timing",
    ];
    let json = bench.call(&call).ends_with(2).json();
    let mut names = std::collections::BTreeSet::new();
    keys(&json, &mut names);
    let page = format!("{}/docs/results.md", env!("CARGO_MANIFEST_DIR"));
    let page = std::fs::read_to_string(page).expect("the page on results");
    assert!(names.len() > 30, "{names:?}");
    for name in names {
        assert!(page.contains(&format!("`{name}`")), "{name}");
    }
}
