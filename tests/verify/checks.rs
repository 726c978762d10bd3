//! Every kind of check through the whole program: one that holds, one that fails.
use super::{HOLD, PINNED, case, checks, folder, judged, says};

/// Name, whether it holds.
fn outcome(check: &serde_json::Value) -> (String, bool) {
    let name = check["name"].as_str().expect("a name").to_owned();
    (name, check["held"].as_bool().expect("held or not"))
}

#[test]
fn every_kind_holds_where_it_should() {
    let lines = [
        "peak: {of: shaft_speed, at_most: 150000 rpm, at_least: 50 krpm}",
        "value: {of: boost_true, at: 1 s, at_least: 0.5 bar gauge, at_most: 2 bar gauge}",
        "never: {of: lambda, below: 1.2}",
        "settles: {of: engine_speed, within: 1 rpm, in: 0 s, to: 2000 rpm}",
        "overshoot: {of: turbine_inlet, at_most: 20 K, over: 800 degC}",
        "undershoot: {of: boost_true, at_most: 10 kPa, under: 100 kPa abs, from: 1 s}",
        "limit: {name: shaft_speed, reserve: 3 %}",
        "limit: {name: drive_pressure, reserve: 20 kPa}",
        "silent: {protection: over_boost}",
    ];
    let checks = judged(HOLD, &lines, 0);
    assert_eq!(checks.len(), lines.len());
    for check in &checks {
        assert_eq!(check["held"], true, "{check}");
        assert_eq!(check["must_fail"], false, "{check}");
    }
}

#[test]
fn every_kind_fails_where_it_should_and_says_by_how_much() {
    let lines = [
        "peak: {of: shaft_speed, at_most: 20 krpm}",
        "value: {of: boost_true, at: 1 s, at_least: 4 bar gauge}",
        "never: {of: lambda, below: 5}",
        "settles: {of: boost_sensed, within: 1 kPa, in: 1 s, to: 400 kPa abs}",
        "overshoot: {of: turbine_inlet, at_most: 20 K, over: 100 degC}",
        "undershoot: {of: boost_true, at_most: 1 kPa, under: 400 kPa abs}",
        "limit: {name: shaft_speed, reserve: 90 %}",
        "limit: {name: drive_pressure, reserve: 500 kPa}",
        "acts: {protection: over_boost, within: 500 ms}",
        "order: {events: [surge_begins]}",
    ];
    let parts = [
        ["shaft speed peaked at", "krpm above 20.0 krpm"],
        ["true boost was", "below 400.0 kPa gauge"],
        ["lambda came to", "it went below first at 0.00 s"],
        ["boost reading never settled", "below 400.0 kPa abs"],
        [
            "turbine inlet temperature went",
            "more than the 20.0 K allowed",
        ],
        ["below 400.0 kPa abs at", "more than the 1.0 kPa allowed"],
        ["which leaves", "90.0 % is wanted"],
        ["to the limit of 520 kPa abs", "; 500 kPa is wanted"],
        ["over_boost never acted", "it was due by 0.50 s"],
        ["surge_begins", "never happened"],
    ];
    let checks = judged(HOLD, &lines, 1);
    assert_eq!(checks.len(), lines.len());
    for (check, parts) in checks.iter().zip(parts) {
        assert_eq!(check["held"], false, "{check}");
        let message = check["message"].as_str().expect("words");
        for part in parts {
            assert!(message.contains(part), "{part} in {message}");
        }
    }
}

#[test]
fn a_pinned_reading_is_noticed_in_time_and_in_order() {
    let chain = "order: {events: [command_above_readable, reading_pinned, \
                 protection_acts.pinned_sensor]}";
    let lines = [
        chain,
        "acts: {protection: pinned_sensor, within: 310 ms, of: reading_pinned}",
        "{name: too soon, acts: {protection: pinned_sensor, within: 50 ms, of: reading_pinned}}",
        "{name: silent at first, silent: {protection: pinned_sensor, until: reading_pinned}}",
        "{name: never silent, silent: {protection: pinned_sensor}}",
        "{name: round, order: {events: [reading_pinned, command_above_readable]}}",
    ];
    let found: Vec<_> = judged(PINNED, &lines, 1).iter().map(outcome).collect();
    let wanted = [
        ("order", true),
        ("acts pinned_sensor", true),
        ("too soon", false),
        ("silent at first", true),
        ("never silent", false),
        ("round", false),
    ];
    assert_eq!(found, wanted.map(|(name, held)| (name.to_owned(), held)));
}

/// Without its watch the case fails exactly as it says, and passes by that.
#[test]
fn a_protection_taken_away_must_be_missed() {
    let bench = folder();
    case(
        &bench,
        "watched",
        PINNED,
        "  checks:
    - acts: {protection: pinned_sensor, within: 350 ms, of: reading_pinned}
    - order: {events: [command_above_readable, reading_pinned]}
",
    );
    bench.call(&["verify", "suite/watched.yaml"]).ends_with(0);
    let without = |must_fail: &str| {
        let text = format!(
            "extends: watched.yaml\ncontroller: {{protections: {{pinned_sensor: null}}}}\n\
             expect: {{must_fail: [{must_fail}]}}\n"
        );
        bench.write("suite/without.yaml", text);
    };
    without("acts pinned_sensor");
    let found = checks(&bench, "without", 0);
    assert_eq!(found[0]["held"], false);
    assert_eq!(found[0]["must_fail"], true);
    assert_eq!(found[0]["got"], serde_json::Value::Null);
    // what is listed and holds is wrong as well
    without("acts pinned_sensor, order");
    let said = bench.call(&["verify", "suite/without.yaml"]).ends_with(1);
    says(&said, &["order: it held and should have failed"]);
    assert!(!said.out.contains("- acts"), "{}", said.out);
}

#[test]
fn a_protection_taken_away_by_hand_is_missed() {
    let bench = folder();
    case(
        &bench,
        "watched",
        PINNED,
        "  checks: [{acts: {protection: pinned_sensor, within: 350 ms, of: reading_pinned}}]\n",
    );
    let away = "controller.protections.pinned_sensor=null";
    let said = bench
        .call(&["verify", "suite/watched.yaml", "--set", away])
        .ends_with(1);
    says(&said, &["the controller has no pinned_sensor"]);
}

#[test]
fn a_verdict_is_expected_like_anything_else() {
    let bench = folder();
    let low = format!("{HOLD}limits: {{shaft_speed: 60000 rpm}}\n");
    case(&bench, "low", &low, "  verdict: exceeded\n");
    bench.call(&["verify", "suite/low.yaml"]).ends_with(0);
    case(&bench, "low", &low, "  verdict: held\n");
    let said = bench.call(&["verify", "suite/low.yaml"]).ends_with(1);
    says(
        &said,
        &["verdict: the verdict is exceeded, not held: shaft speed"],
    );
}

/// Vanes held nearly shut at full fuel: drive pressure leaves the model's range.
#[test]
fn a_run_that_ends_early_fails_what_comes_later() {
    let shut = "procedure: [{load_step: {engine_speed: 2600 rpm, fuel_from: 20 mg, \
                at: 0.5 s, duration: 6 s}}]
open_loop: {vanes: {closed: 95 %}}
limits:
  shaft_speed: 400000 rpm
  tip_speed: null
  drive_pressure: null
  drive_to_boost: null
  turbine_inlet: null
  compressor_outlet: null
  cylinder_pressure: null
  lambda: null
  surge_margin: null
  choke_margin: null
  pinned_time: null
";
    let bench = folder();
    case(
        &bench,
        "shut",
        shut,
        "  verdict: outside_validity
  checks:
    - {name: early, peak: {of: shaft_speed, at_most: 400 krpm, until: 0.2 s}}
    - {name: late, peak: {of: shaft_speed, at_most: 400 krpm}}
    - {name: reached, peak: {of: shaft_speed, at_least: 10 krpm}}
    - {name: moment, value: {of: boost_true, at: 5.9 s, at_least: 1 kPa abs}}
    - {name: bound, never: {of: boost_true, below: 1 kPa abs}}
    - limit: {name: shaft_speed}
    - silent: {protection: over_boost}
",
    );
    let found = checks(&bench, "shut", 1);
    let held: Vec<_> = found.iter().map(outcome).collect();
    let wanted = [
        ("verdict", true),
        ("early", true),
        ("late", false),
        ("reached", true),
        ("moment", false),
        ("bound", false),
        ("limit shaft_speed", false),
        ("silent over_boost", false),
    ];
    assert_eq!(held, wanted.map(|(name, held)| (name.to_owned(), held)));
    let message = found[2]["message"].as_str().expect("words");
    assert!(message.contains("the run ended at"), "{message}");
}

#[test]
fn every_field_of_a_check_is_there() {
    let checks = judged(HOLD, &["peak: {of: boost_true, at_most: 3 bar gauge}"], 0);
    let check = &checks[0];
    for (field, value) in [
        ("name", "peak boost_true"),
        ("kind", "peak"),
        ("what", "highest boost_true"),
        ("unit", "kPa"),
        ("reference", "gauge"),
    ] {
        assert_eq!(check[field], value, "{check}");
    }
    // 3 bar, exactly but for the way through pascal and back
    let expected = check["expected"].as_f64().expect("a number");
    assert!((expected - 300.0).abs() < 1e-9, "{expected}");
    assert!(check["got"].as_f64().is_some_and(|got| got < 300.0));
    assert_eq!(check["tolerance"], serde_json::Value::Null);
    assert_eq!(check["at_least"], serde_json::Value::Null);
}
