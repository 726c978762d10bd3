//! The shipped pairs: what theory says of their differences.
use super::*;

/// A smaller turbo has less inertia and less flow to fill: boost sooner, and its
/// smaller wheel turns faster for it. With less fuel and boost it makes less power.
#[test]
fn the_smaller_turbo_is_sooner_and_faster_and_makes_less() {
    let (large, small) = (scenario("rescue-tender"), scenario("factory-size"));
    let bench = Bench::new();
    let json = compare(&bench, &[&large, &small], &["--json"])
        .ends_with(0)
        .json();
    let sign = |kind, name| {
        difference(&json, 1, kind, name)["difference"]
            .as_f64()
            .expect("a number")
            .signum()
    };
    assert_eq!(sign("time", "time_to_boost"), -1.0);
    assert_eq!(sign("peak", "shaft_speed"), 1.0);
    assert_eq!(sign("peak", "boost"), -1.0);
    assert_eq!(sign("peak", "power"), -1.0);
    assert_eq!(sign("headroom", "choke_margin"), -1.0);
    let said = compare(&bench, &[&large, &small], &[]).ends_with(0);
    said.says("A holds every limit.")
        .says("B holds every limit.")
        .says("through the procedure of A: pull")
        .says(" s sooner, ")
        .says("B's shaft runs ")
        .says("These differ from A's: shaft speed A 150.0");
    // the other way round every sign turns
    let back = compare(&bench, &[&small, &large], &["--json"])
        .ends_with(0)
        .json();
    let number = |json: &Value, kind, name| {
        difference(json, 1, kind, name)["difference"]
            .as_f64()
            .expect("a number")
    };
    for (kind, name) in [
        ("time", "time_to_boost"),
        ("peak", "shaft_speed"),
        ("headroom", "shaft_speed"),
    ] {
        let (there, home) = (number(&json, kind, name), number(&back, kind, name));
        assert!((there + home).abs() <= 1e-9 * there.abs(), "{kind} {name}");
    }
    assert_eq!(json["boost_target_kpa_abs"], back["boost_target_kpa_abs"]);
}

/// Two controllers on one turbo: the clamp turns every limit that goes into one
/// that holds, and leaves the spool-up alone.
#[test]
fn the_clamp_holds_what_the_over_command_breaks() {
    let (over, clamped) = (
        scenario("over-commanded"),
        scenario("over-commanded-clamped"),
    );
    let bench = Bench::new();
    let said = compare(&bench, &[&over, &clamped], &[]).ends_with(1);
    said.says("A exceeds limits: pinned reading past 0.50 s")
        .says("B holds limits that A goes past: shaft speed, tip speed, drive pressure,")
        .says("! a limit");
    let json = compare(&bench, &[&over, &clamped], &["--json"])
        .ends_with(1)
        .json();
    for limit in ["shaft_speed", "tip_speed", "drive_pressure", "pinned_time"] {
        let d = difference(&json, 1, "headroom", limit);
        assert_eq!(d["matters"], "limit_crossed", "{d}");
        assert!(d["base"].as_f64() < Some(0.0) && d["value"].as_f64() > Some(0.0));
    }
    // up to the clamp the command is the same, so the boost comes nearly as soon
    let time = difference(&json, 1, "time", "time_to_boost");
    let later_s = time["difference"].as_f64().expect("a number");
    assert!((0.0..0.2).contains(&later_s), "{later_s}");
    let said = compare(&bench, &[&clamped, &over], &[]).ends_with(1);
    said.says("B goes past limits that A holds: shaft speed,");
}

/// The time is that of the trace: the first row at or above the target, counted from
/// the step to full load.
#[test]
fn the_time_to_boost_is_that_of_the_trace() {
    let (large, small) = (scenario("rescue-tender"), scenario("factory-size"));
    let bench = Bench::new();
    let json = compare(&bench, &[&large, &small], &args(&[&STEP, &["--json"]])).json();
    let target = json["boost_target_kpa_abs"].as_f64().expect("a target");
    let (mut lowest_command, mut ambient) = (f64::INFINITY, 0.0);
    for (index, file) in [&large, &small].into_iter().enumerate() {
        bench.call(&args(&[&["run", file, "--out", "run"], &STEP]));
        let mut rows = csv::Reader::from_path(bench.path("run/trace.csv")).expect("a trace");
        let columns = rows.headers().expect("a header").clone();
        let at = |name: &str| columns.iter().position(|c| c == name).expect("a column");
        let (time, boost) = (at("time_s"), at("boost_true_kpa_abs"));
        let (command, air) = (at("boost_command_kpa_abs"), at("ambient_kpa_abs"));
        let (mut reached_s, mut highest) = (None, 0.0_f64);
        for row in rows.records() {
            let row = row.expect("a row");
            let number = |column: usize| row[column].parse::<f64>().expect("a number");
            highest = highest.max(number(command));
            ambient = number(air);
            // the step comes at 1 s
            if reached_s.is_none() && number(time) >= 1.0 && number(boost) >= target {
                reached_s = Some(number(time) - 1.0);
            }
        }
        lowest_command = lowest_command.min(highest);
        let told_s = json["scenarios"][index]["time_to_boost_s"].as_f64();
        let (told_s, reached_s) = (told_s.expect("told"), reached_s.expect("reached"));
        // one period of the controller: the trace is rounded
        assert!(
            (told_s - reached_s).abs() <= 0.0101,
            "{told_s} and {reached_s}"
        );
        assert!(told_s > 0.05, "it takes some time: {told_s}");
    }
    let wanted = ambient + 0.9 * (lowest_command - ambient);
    // three decimals in the trace
    assert!((target - wanted).abs() < 0.005, "{target} and {wanted}");
}
