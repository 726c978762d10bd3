//! The shipped verification suite: it passes, it bites, and it speaks of the same
//! engine as the demonstration.
//!
//! That a case fails without its protection is the counterparts' own matter (they
//! pass only then); here the same is asked from outside, with overrides.
use assert_cmd::Command;
use ringfence::scenario::{load, written};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

const SUITE: &str = "scenarios/verify";

/// Runs `ringfence verify` with arguments and gives its status and its document.
fn verify(args: &[&str]) -> (i32, Value) {
    let output = Command::cargo_bin("ringfence")
        .expect("the program is built")
        .args(["verify", "--json"])
        .args(args)
        .output()
        .expect("the program runs");
    let document = serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&output.stderr)));
    (output.status.code().expect("an exit status"), document)
}

/// `case: check` of every check that is not as it should be, counterparts left out:
/// an override that takes a protection away makes them something else.
fn wrong(document: &Value) -> Vec<String> {
    let cases = document["cases"].as_array().expect("cases");
    let mut wrong = Vec::new();
    for case in cases {
        let name = case_name(case);
        if name.contains("-without-") {
            continue;
        }
        for check in case["checks"].as_array().into_iter().flatten() {
            let check_name = check["name"].as_str().expect("a name");
            if !check["held"].as_bool().expect("held or not") && !is_baseline(check) {
                wrong.push(format!("{name}: {check_name}"));
            }
        }
    }
    wrong
}

/// The name of a case: its file without folder and ending.
fn case_name(case: &Value) -> String {
    let file = case["file"].as_str().expect("a file");
    let name = file.rsplit(['/', '\\']).next().expect("a last part");
    name.trim_end_matches(".yaml").to_owned()
}

fn is_baseline(check: &Value) -> bool {
    check["kind"] == "baseline"
}

#[test]
fn the_suite_passes_with_the_built_in_controller() {
    let (status, document) = verify(&[SUITE]);
    assert_eq!(status, 0, "{document:#}");
    let cases = document["cases"].as_array().expect("cases");
    let counterparts = cases
        .iter()
        .filter(|case| case_name(case).contains("-without-"))
        .count();
    assert!(cases.len() - counterparts >= 14, "{} cases", cases.len());
    assert!(counterparts >= 6, "{counterparts} counterparts");
    for case in cases {
        assert_eq!(case["result"], "pass", "{case:#}");
        let must_fail = |check: &Value| check["must_fail"] == true;
        let checks = case["checks"].as_array().expect("checks");
        assert_eq!(
            checks.iter().any(must_fail),
            case_name(case).contains("-without-"),
            "{case:#}"
        );
    }
}

/// Each protection with the check that fails in its case when it is taken away.
#[test]
fn every_protection_that_is_taken_away_is_missed() {
    for (protection, missed) in [
        ("command_clamp", "clamped: reading stays readable"),
        ("pinned_sensor", "detected: pinned reading noticed"),
        ("frozen_sensor", "sensor-frozen: frozen reading noticed"),
        ("drive_pressure", "drive-limited: shaft speed held"),
        ("shaft_speed", "hot-pass: shaft speed in reserve"),
        ("over_boost", "over-boost: shaft speed held"),
    ] {
        let away = format!("controller.protections.{protection}=null");
        let (status, document) = verify(&[SUITE, "--set", &away]);
        assert_eq!(status, 1, "{protection}: {document:#}");
        let wrong = wrong(&document);
        assert!(wrong.iter().any(|w| w == missed), "{protection}: {wrong:?}");
    }
}

#[test]
fn so_is_what_is_no_protection_by_name() {
    for (away, missed) in [
        (
            "controller.feedback.integrator_authority=100 %",
            "authority: shaft speed held",
        ),
        (
            "controller.feedback.without_fuel=acts",
            "gear-shift: no back pressure from closed vanes",
        ),
        ("controller.smoke_limit=null", "load-step: no smoke"),
    ] {
        let (status, document) = verify(&[SUITE, "--set", away]);
        assert_eq!(status, 1, "{away}: {document:#}");
        let wrong = wrong(&document);
        assert!(wrong.iter().any(|w| w == missed), "{away}: {wrong:?}");
    }
}

/// The limiter of the leak case must not come in time by itself, for thin air.
#[test]
fn a_leak_that_is_none_does_not_call_the_limiter_in_time() {
    let case = &format!("{SUITE}/boost-leak.yaml");
    let none = "faults=[{boost_leak: {area: 0.001 mm2, onset: 3.3 s}}]";
    let (status, document) = verify(&[case, "--set", none]);
    assert_eq!(status, 1, "{document:#}");
    let wrong = wrong(&document);
    assert_eq!(wrong, ["boost-leak: limiter acts in time"], "{document:#}");
}

#[test]
fn a_doubled_integral_gain_fails_an_expectation_by_name_and_amount() {
    let doubled = "controller.feedback.integral=0.8 %/(kPa s)";
    let (status, document) = verify(&[SUITE, "--set", doubled]);
    assert_eq!(status, 1, "{document:#}");
    let wrong = wrong(&document);
    let named = "sensor-lag-doubled: small overshoot";
    assert!(wrong.iter().any(|w| w == named), "{wrong:?}");
    let cases = document["cases"].as_array().expect("cases");
    let case = cases
        .iter()
        .find(|case| case_name(case) == "sensor-lag-doubled");
    let checks = case.expect("the case")["checks"].as_array();
    let check = checks
        .expect("checks")
        .iter()
        .find(|check| check["name"] == "small overshoot")
        .expect("the check");
    let (expected, got) = (&check["expected"], &check["got"]);
    assert_eq!(check["unit"], "kPa", "{check:#}");
    assert!(got.as_f64() > expected.as_f64(), "{check:#}");
}

#[test]
fn a_gain_changed_by_a_fifth_is_found_by_a_baseline_with_channel_time_and_size() {
    // the case in which everything that has a gain acts, but for the integrator
    let all_act = &format!("{SUITE}/sensor-stuck-low.yaml");
    for (file, changed) in [
        (SUITE, "controller.feedback.proportional=1.08 %/kPa"),
        (SUITE, "controller.feedback.proportional=0.72 %/kPa"),
        (SUITE, "controller.feedback.integral=0.48 %/(kPa s)"),
        (SUITE, "controller.feedback.integral=0.32 %/(kPa s)"),
        (
            all_act,
            "controller.protections.shaft_speed.gain=0.0084 %/rpm",
        ),
        (
            all_act,
            "controller.protections.drive_pressure.gain=0.36 %/kPa",
        ),
    ] {
        let (status, document) = verify(&[file, "--set", changed]);
        assert_eq!(status, 1, "{changed}: {document:#}");
        let cases = document["cases"].as_array().expect("cases");
        let checks = cases.iter().filter_map(|case| case["checks"].as_array());
        let left = checks
            .flatten()
            .find(|check| is_baseline(check) && check["held"] == false)
            .unwrap_or_else(|| panic!("{changed}: {document:#}"));
        for field in ["expected", "got", "time_s"] {
            assert!(left[field].is_number(), "{changed}: {field} of {left:#}");
        }
    }
}

/// The top sections of a scenario by name, as they are written, without remarks
/// between them.
fn sections(text: &str) -> BTreeMap<String, String> {
    let mut sections = BTreeMap::new();
    let mut name = String::new();
    for line in text.lines().filter(|line| !line.trim().is_empty()) {
        if line.starts_with('#') {
            continue;
        }
        if !line.starts_with(' ') {
            let (key, _) = line.split_once(':').expect("a section");
            key.clone_into(&mut name);
        }
        let section: &mut String = sections.entry(name.clone()).or_default();
        section.push_str(line);
        section.push('\n');
    }
    sections
}

#[test]
fn the_base_of_the_suite_is_the_demonstration_but_for_its_controller() {
    let read = |file: &str| fs::read_to_string(file).unwrap_or_else(|e| panic!("{file}: {e}"));
    let demonstration = read("scenarios/rescue-tender.yaml")
        .replace("rescue-tender/compressor.csv", "compressor.csv");
    let mut ours = sections(&read("scenarios/verify/tender/tender.yaml"));
    let mut theirs = sections(&demonstration);
    for own in ["about", "controller"] {
        assert!(ours.remove(own).is_some() && theirs.remove(own).is_some());
    }
    assert_eq!(ours, theirs);
    assert_eq!(
        read("scenarios/verify/tender/compressor.csv"),
        read("scenarios/rescue-tender/compressor.csv")
    );
}

#[test]
fn a_case_written_out_with_other_values_leaves_its_stored_course_behind() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/verify/clamped.yaml");
    let loaded = load(&path, &[], None).unwrap();
    let yaml = written(&loaded, &[]).yaml;
    assert!(yaml.contains("clamp acts"), "its checks stay");
    assert!(!yaml.contains("baseline"), "{yaml}");
}
