//! Good and bad calls, one broken among several, and equal bytes.
use super::*;

#[test]
fn the_same_file_twice_differs_nowhere() {
    let file = scenario("rescue-tender");
    let bench = Bench::new();
    let said = compare(&bench, &[&file, &file], &STEP);
    said.says("B differs nowhere from A.");
    let json = compare(&bench, &[&file, &file], &args(&[&STEP, &["--json"]])).json();
    let all = json["differences"].as_array().expect("a list");
    assert!(all.len() > 15, "{}", all.len());
    for d in all {
        assert_eq!(d["base"], d["value"], "{d}");
        assert!(d["matters"].is_null(), "{d}");
    }
}

#[test]
fn one_alone_and_other_wrong_calls_are_refused() {
    let file = scenario("rescue-tender");
    let bench = Bench::new();
    for (wrong, why) in [
        (vec!["compare"], "SCENARIO"),
        (vec!["compare", &file], "cannot be compared"),
        (vec!["compare", &file, &file, "--band"], "uncertainty"),
        (vec!["compare", &file, &file, "--threads", "0"], "threads"),
        (vec!["compare", &file, &file, "--out", &file], "folder"),
        (
            vec!["--png", "compare", &file, &file],
            "ahead of the command",
        ),
    ] {
        let said = bench.call(&wrong).ends_with(2);
        assert_eq!(said.out, "", "{wrong:?}");
        said.says(why);
        let json = bench
            .call(&args(&[&wrong, &["--json"]]))
            .ends_with(2)
            .json();
        let message = json["error"]["message"].as_str().unwrap_or("");
        assert!(!message.is_empty(), "{wrong:?}: {json}");
    }
    compare(&bench, &[&file], &[]).says("ringfence run");
}

#[test]
fn a_broken_one_says_why_and_the_others_are_reported() {
    let file = scenario("rescue-tender");
    let bench = Bench::new();
    bench.write("broken.yaml", "about: [");
    let files = [&file, "missing.yaml", "broken.yaml", &file];
    let said = compare(&bench, &files, &STEP).ends_with(2);
    said.says("B was not run: there is no such file.")
        .says("C was not run: ")
        .says("no run")
        .says("D differs nowhere from A.");
    assert!(said.err.contains("broken.yaml:1"), "{}", said.err);
    let json = compare(&bench, &files, &args(&[&STEP, &["--json"]]))
        .ends_with(2)
        .json();
    assert!(json["scenarios"][0]["result"]["verdict"].is_string());
    assert_eq!(json["scenarios"][1]["file"], "missing.yaml");
    assert_eq!(json["scenarios"][1]["error"]["kind"], "input");
    assert!(json["scenarios"][2]["error"]["diagnostics"][0]["line"].is_number());
    difference(&json, 3, "peak", "boost");
    // the first that can be read is the base
    let json = compare(
        &bench,
        &["missing.yaml", &file, &file],
        &args(&[&STEP, &["--json"]]),
    )
    .ends_with(2)
    .json();
    assert_eq!(json["base"], 1);
    difference(&json, 2, "peak", "boost");
    let none = compare(&bench, &["missing.yaml", "broken.yaml"], &["--json"])
        .ends_with(2)
        .json();
    assert!(none["base"].is_null());
    assert_eq!(none["differences"].as_array().map(Vec::len), Some(0));
}

#[test]
fn overrides_hold_for_all_and_the_worst_counts() {
    let (a, b) = (scenario("rescue-tender"), scenario("factory-size"));
    let bench = Bench::new();
    let low = ["--set", "limits.shaft_speed=60000 rpm", "--json"];
    let json = compare(&bench, &[&a, &b], &args(&[&STEP, &low]))
        .ends_with(1)
        .json();
    for scenario in json["scenarios"].as_array().expect("a list") {
        assert_eq!(scenario["result"]["limits"][0]["limit"], 60000.0);
    }
    let quiet = compare(&bench, &[&a, &b], &args(&[&STEP, &low[..2], &["--quiet"]]));
    assert_eq!((quiet.code, quiet.out.as_str()), (1, ""));
}

#[test]
fn threads_change_no_byte_and_lines_fit() {
    let (a, b) = (scenario("rescue-tender"), scenario("factory-size"));
    let c = scenario("over-commanded-clamped");
    let bench = Bench::new();
    let files = [a.as_str(), &b, &c, &a, &b, &c, &a];
    let json = |threads: &str| {
        let more = args(&[&STEP, &["--json", "--threads", threads]]);
        compare(&bench, &files, &more).out
    };
    assert_eq!(json("1"), json("2"));
    for units in ["si", "us"] {
        for some in [&files[..2], &files[..3], &files[..5], &files] {
            let said = compare(&bench, some, &args(&[&STEP, &["--units", units]]));
            for line in said.out.lines().filter(|line| !line.contains('/')) {
                assert!(line.chars().count() <= 80, "{units}: {line:?}");
            }
        }
    }
    compare(&bench, &files[..2], &args(&[&STEP, &["--units", "us"]])).says("psi");
    let timed = compare(
        &bench,
        &files[..2],
        &args(&[&STEP, &["--json", "--timing"]]),
    )
    .json();
    assert!(timed["wall_s"].as_f64() > Some(0.0));
}
