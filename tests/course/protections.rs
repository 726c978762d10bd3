//! Each of the six protections: what makes it act, what it orders, what follows.
use crate::drive::{Driven, drive, krpm, psi};
use ringfence::report::Weight;
use ringfence::simulation::{PROTECTIONS, Sample};

/// Whether a protection of this name acts.
fn acts(s: &Sample, name: &str) -> bool {
    let bit = PROTECTIONS
        .iter()
        .position(|p| *p == name)
        .expect("a protection");
    s.active_protections & (1 << bit) != 0
}

fn first_act<'a>(run: &'a Driven, name: &str) -> &'a Sample {
    run.first(|s| acts(s, name))
}

/// Vanes and fuel from the tick before to the act, as a fallback is told.
fn fallback(run: &Driven, act: &Sample) -> String {
    let before = run.before(act);
    format!(
        "vanes ordered from {:.0} to {:.0} % closed, fuel from {:.0} to {:.0} mg ({:.0} %)",
        before.vane_command_pct,
        act.vane_command_pct,
        before.fuel_mg_per_injection,
        act.fuel_mg_per_injection,
        100.0 * act.fuel_mg_per_injection / before.fuel_mg_per_injection
    )
}

/// What a second later has come of it.
fn a_second_later(run: &Driven, act: &Sample) -> String {
    let later = run.at(act.time_s + 1.0);
    assert!(later.boost_true_kpa_abs < act.boost_true_kpa_abs);
    format!(
        "1.00 s later true boost is down from {:.0} to {:.0} kPa abs, the shaft from {:.1} to {}.",
        act.boost_true_kpa_abs,
        later.boost_true_kpa_abs,
        act.shaft_speed_rpm / 1000.0,
        krpm(later.shaft_speed_rpm)
    )
}

#[test]
fn a_pinned_sensor_watch_says_after_how_long_it_acts_and_what_follows() {
    let watch = "{within: 1 kPa, for: 0.3 s, vanes: 20 %, fuel: 70 %}";
    let run = drive(
        "over-commanded",
        &[("controller.protections.pinned_sensor", watch)],
    );
    let (pins, act) = (run.first(|s| s.pinned), first_act(&run, "pinned_sensor"));
    let moment = run.says_at(
        act.time_s,
        &[
            &format!(
                "The pinned-sensor watch acts {:.2} s after the reading stopped",
                act.time_s - pins.time_s
            ),
            &fallback(&run, act),
            &a_second_later(&run, act),
        ],
    );
    assert_eq!(moment.weight, Weight::Warning);
    let later = run.at(act.time_s + 1.0);
    run.says_us(&[&format!(
        "down from {:.1} to {:.1} psi abs",
        psi(act.boost_true_kpa_abs),
        psi(later.boost_true_kpa_abs)
    )]);
    let free = run.first(|s| s.time_s > pins.time_s && !s.pinned);
    run.says_at(free.time_s, &["The reading is free again"]);
    run.never_says(&[
        "still pinned",
        "wound up",
        "passes its limit",
        "longer than",
    ]);
}

#[test]
fn a_frozen_sensor_watch_says_how_long_the_reading_stood() {
    let run = drive(
        "rescue-tender",
        &[
            ("faults", "[{boost_sensor: {fault: frozen, onset: 3 s}}]"),
            (
                "controller.protections.frozen_sensor",
                "{for: 0.4 s, vanes: 20 %, fuel: 70 %}",
            ),
        ],
    );
    let act = first_act(&run, "frozen_sensor");
    let still = |s: &&Sample| s.boost_sensed_kpa_abs == act.boost_sensed_kpa_abs;
    let since = run.samples.iter().find(still).expect("itself").time_s;
    run.says_at(
        act.time_s,
        &[
            &format!(
                "because the reading has not moved for {:.2} s",
                act.time_s - since
            ),
            &fallback(&run, act),
        ],
    );
    let frozen = run.at(3.0);
    run.says_at(
        3.0,
        &[&format!(
            "The boost sensor goes wrong: its reading stands still at {:.0} kPa abs.",
            frozen.boost_sensed_kpa_abs
        )],
    );
}

#[test]
fn an_over_boost_cut_that_chatters_is_told_once() {
    let run = drive(
        "over-commanded",
        &[
            ("controller.protections.over_boost.above", "325 kPa abs"),
            ("controller.command.full_load", "328 kPa abs"),
        ],
    );
    let act = first_act(&run, "over_boost");
    let begins = (run.samples.windows(2))
        .filter(|pair| !acts(&pair[0], "over_boost") && acts(&pair[1], "over_boost"))
        .count();
    assert!(begins > 3, "it chatters");
    let before = run.before(act);
    run.says_at(
        act.time_s,
        &[
            &format!(
                "The over-boost fuel cut acts at a reading of {:.0} kPa abs",
                act.boost_sensed_kpa_abs
            ),
            &format!(
                "fuel from {:.0} to {:.0} mg",
                before.fuel_mg_per_injection, act.fuel_mg_per_injection
            ),
            &format!("It acts and rests {begins} times till "),
        ],
    );
    let told = run
        .si
        .iter()
        .filter(|m| m.text.contains("over-boost"))
        .count();
    assert_eq!(told, 1, "{}", run.shown());
}

/// The cut is told with what makes it, not once more before.
#[test]
fn a_cut_of_all_fuel_is_told_with_its_protection() {
    let run = drive(
        "over-commanded",
        &[
            (
                "controller.protections.over_boost",
                "{above: 325 kPa abs, for: 0.1 s, fuel_cut: 100 %}",
            ),
            ("controller.command.full_load", "328 kPa abs"),
        ],
    );
    let act = first_act(&run, "over_boost");
    assert!(act.fuel_mg_per_injection <= 0.0, "no fuel is left");
    run.says_at(act.time_s, &["The over-boost fuel cut acts", "to 0 mg"]);
    run.never_says(&["The fuel is cut"]);
}

#[test]
fn a_drive_pressure_limit_says_what_it_lets_through() {
    let limit = "{above: 250 kPa abs, gain: 0.3 %/kPa}";
    let run = drive(
        "rescue-tender",
        &[("controller.protections.drive_pressure", limit)],
    );
    let act = first_act(&run, "drive_pressure");
    let open = run.most(act.time_s, 11.0, |s| -s.vane_command_pct);
    run.says_at(
        act.time_s,
        &[
            &format!(
                "The drive-pressure limit acts at a drive pressure of {:.0} kPa abs",
                act.drive_pressure_sensed_kpa_abs.expect("a sensor")
            ),
            &format!(
                "vanes ordered back from {:.0} to {:.0} % closed",
                run.before(act).vane_command_pct,
                -open
            ),
            &format!(
                "Drive pressure gets to {:.0} kPa abs at most",
                run.most(act.time_s, 11.0, |s| s.drive_pressure_kpa_abs)
            ),
            "It goes on to the end.",
        ],
    );
}

#[test]
fn a_shaft_speed_limit_says_what_it_lets_through() {
    let limit = "{above: 130000 rpm, gain: 0.004 %/rpm}";
    let run = drive(
        "rescue-tender",
        &[("controller.protections.shaft_speed", limit)],
    );
    let act = first_act(&run, "shaft_speed");
    run.says_at(
        act.time_s,
        &[
            &format!(
                "The shaft-speed limit acts at a shaft speed of {}",
                krpm(act.shaft_speed_sensed_rpm.expect("a sensor"))
            ),
            &format!(
                "The shaft gets to {} at most",
                krpm(run.most(act.time_s, 11.0, |s| s.shaft_speed_rpm))
            ),
        ],
    );
}

#[test]
fn a_command_clamp_says_what_it_holds() {
    let run = drive("over-commanded-clamped", &[]);
    let command = run.samples[0].boost_command_kpa_abs.expect("a command");
    let top = run.result.sensor.readable_ceiling_kpa_abs.expect("a top");
    run.says_at(
        0.0,
        &[
            &format!("The command clamp holds the command at {command:.0} kPa abs, {:.0} kPa below the most", top - command),
            "It goes on to the end.",
        ],
    );
    run.never_says(&["cannot see", "above the most", "reading stops", "touches"]);
}

#[test]
fn the_lag_of_a_sensor_is_not_called_blindness() {
    let limit = "{above: 140000 rpm, gain: 0.004 %/rpm}";
    let run = drive(
        "over-commanded",
        &[("controller.protections.shaft_speed", limit)],
    );
    assert!(
        run.samples.iter().any(|s| s.blind_protections != 0),
        "there is a lag"
    );
    run.never_says(&["blind"]);
    // the command is above the sensor, and yet nothing is pinned
    run.says("Boost does not come that far in this run.");
    run.never_says(&["cannot see", "pinned"]);
}
