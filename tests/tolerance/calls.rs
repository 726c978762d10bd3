//! The program as it is called.
use assert_cmd::Command;
use serde_json::Value;
use std::path::Path;

const AT_REST: &str = "procedure=[{hold: {engine_speed: 2000 rpm, duration: 0.02 s}}]";

fn call(words: &[&str], status: i32) -> (String, String) {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/rescue-tender.yaml");
    let mut command = Command::new(assert_cmd::cargo::cargo_bin!("ringfence"));
    let said = command
        .arg("tolerance")
        .arg(file)
        .args(["--set", AT_REST])
        .args(words)
        .env("COLUMNS", "80")
        .assert()
        .code(status);
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).expect("UTF-8");
    let output = said.get_output();
    (text(&output.stdout), text(&output.stderr))
}

#[test]
fn text_json_files_and_picture_say_the_same() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().join("report");
    let out = out.to_str().expect("a name");
    let few = ["--draws", "40", "--keep-below", "20%"];
    let (text, _) = call(&few, 0);
    for part in [
        "Kept below 20 %",
        "What to do",
        "any limit",
        "The worst engine",
        "--set",
    ] {
        assert!(text.contains(part), "{part} in\n{text}");
    }
    assert!(
        text.lines()
            .filter(|l| !l.contains("--set"))
            .all(|l| l.chars().count() <= 80)
    );
    let (json, _) = call(&[&few[..], &["--json", "--out", out, "--png"]].concat(), 0);
    let json: Value = serde_json::from_str(&json).expect("one document");
    let read = |name: &str| std::fs::read(Path::new(out).join(name)).expect("a file");
    let written: Value = serde_json::from_slice(&read("tolerance.json")).expect("JSON");
    assert_eq!(written, json);
    assert_eq!(json["draws"], 40);
    assert_eq!(json["keep_below_pct"], 20.0);
    assert_eq!(json["confidence_pct"], 95.0);
    assert!(json["wall_s"].is_null());
    let table = String::from_utf8(read("tolerance.csv")).expect("UTF-8");
    assert_eq!(table.lines().count(), 41);
    for part in [
        "draw,verdict,",
        "off sensors.boost.offset [kPa]",
        "headroom shaft_speed [rpm]",
    ] {
        assert!(table.contains(part), "{part}");
    }
    assert!(
        String::from_utf8(read("verdict.txt"))
            .expect("UTF-8")
            .contains("Cautions")
    );
    assert!(read("tolerance.svg").starts_with(b"<svg"));
    // the signature of the PNG standard (ISO/IEC 15948, 5.2)
    assert_eq!(
        read("tolerance.png")[..8],
        [137, 80, 78, 71, 13, 10, 26, 10]
    );
}

#[test]
fn a_level_that_is_not_shown_ends_with_1() {
    let (text, _) = call(&["--draws", "20"], 1);
    assert!(text.contains("--draws 368"), "{text}");
    let low = ["--draws", "20", "--set", "limits.shaft_speed=60000 rpm"];
    let (text, _) = call(&low, 1);
    assert!(text.contains("Not kept below 1 %"), "{text}");
}

#[test]
fn engines_that_the_model_cannot_follow_end_with_3() {
    let wide = "production={sensors.boost.clamp.high: 0.5 V}";
    let (text, _) = call(&["--draws", "40", "--keep-below", "20%", "--set", wide], 3);
    assert!(text.contains("no scenario may hold"), "{text}");
}

#[test]
fn the_worst_engine_replays_its_figures() {
    let (json, _) = call(&["--draws", "20", "--json"], 1);
    let json: Value = serde_json::from_str(&json).expect("one document");
    let worst = &json["worst_draw"];
    let replay: Vec<&str> = worst["replay"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|set| set.as_str().expect("text"))
        .collect();
    let mut sets: Vec<(&str, &str)> = replay.iter().map(|s| s.split_once('=').unwrap()).collect();
    sets.push(AT_REST.split_once('=').unwrap());
    let run = super::stand::run(&sets);
    let name = worst["limit"].as_str().expect("a name");
    let again = run
        .limits
        .iter()
        .find(|l| l.name == name)
        .unwrap()
        .headroom
        .unwrap();
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().to_str().expect("a name");
    call(&["--draws", "20", "--out", out], 1);
    let mut table = csv::Reader::from_path(folder.path().join("tolerance.csv")).unwrap();
    let column = table
        .headers()
        .unwrap()
        .iter()
        .position(|h| h.starts_with(&format!("headroom {name}")))
        .expect("a column");
    let index = worst["index"].as_u64().expect("a number") as usize;
    let row = table.records().nth(index).unwrap().unwrap();
    let written: f64 = row[column].parse().unwrap();
    // four digits behind the point are written
    assert!((written - again).abs() < 1e-4, "{written} {again}");
}

#[test]
fn a_wrong_call_ends_with_2_and_says_what_is_allowed() {
    for (words, part) in [
        (vec!["--draws", "0"], "10"),
        (vec!["--draws", "9"], "10"),
        (vec!["--draws", "1000000"], "100000"),
        (vec!["--keep-below", "0%"], "from 0.01 % to 50 %"),
        (vec!["--keep-below", "120%"], "from 0.01 % to 50 %"),
        (vec!["--keep-below", "1"], "%"),
        (vec!["--confidence", "100%"], "from 50 % to 99.9 %"),
        (vec!["--confidence", "2 kPa"], "%"),
        (vec!["--set", "production={}"], "production"),
        (vec!["--band"], "--band"),
        (
            vec!["--set", "production={sensors.boost.ofset: 2 kPa}"],
            "did you mean `sensors.boost.offset`?",
        ),
        (
            vec!["--set", "production={sensors.boost.offset: 3 %}"],
            "no share of it is a spread",
        ),
        (
            vec!["--set", "production={sensors.boost.offset: 3 K}"],
            "kPa",
        ),
        (
            vec![
                "--set",
                "ambient={pressure: 96.6 kPa abs, temperature: 17 degC}",
                "--set",
                "ceiling.altitudes=null",
            ],
            "this scenario has no `ambient.temperature_offset`",
        ),
    ] {
        let (out, err) = call(&words, 2);
        assert_eq!(out, "", "{words:?}");
        assert!(err.contains(part), "{words:?}: {err}");
        let json: Vec<&str> = [&words[..], &["--json"]].concat();
        let (out, _) = call(&json, 2);
        let said: Value = serde_json::from_str(&out).expect("one document");
        assert!(said["error"]["message"].is_string(), "{words:?}: {said}");
    }
}

/// Every other command leaves production aside.
#[test]
fn a_run_does_not_know_production() {
    let with = super::stand::run(&[super::stand::AT_REST]);
    let without = super::stand::run(&[super::stand::AT_REST, ("production", "{}")]);
    assert_eq!(with, without);
}
