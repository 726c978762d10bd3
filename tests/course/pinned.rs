//! The reading at the top of its range.
use crate::drive::{drive, krpm, psi};
use ringfence::report::Weight;

const LOAD_STEP: &str = "[{load_step: {engine_speed: 2000 rpm, fuel_from: 50 mg, fuel_to: full, at: 1 s, duration: 9 s}}]";

#[test]
fn a_runaway_is_told_from_command_to_blind_protection() {
    let run = drive("over-commanded", &[]);
    let top = run.result.sensor.readable_ceiling_kpa_abs.expect("a top");
    run.says_at(
        0.0,
        &[&format!(
            "The command, 345 kPa abs, is {:.0} kPa above the most that the boost sensor can read.",
            345.0 - top
        )],
    );
    let pins = run.first(|s| s.pinned);
    run.says_at(
        pins.time_s,
        &[
            &format!(
                "The reading stops at {:.0} kPa abs",
                pins.boost_sensed_kpa_abs
            ),
            &format!("true boost ({:.0}) goes on rising", pins.boost_true_kpa_abs),
            &format!(
                "Engine at {:.0} rpm, vanes {:.0} % closed.",
                pins.engine_speed_rpm, pins.vane_closed_pct
            ),
            "from here the controller cannot see",
        ],
    );
    run.says_us(&[&format!(
        "The reading stops at {:.1} psi abs",
        psi(pins.boost_sensed_kpa_abs)
    )]);
    let half = run.first(|s| s.time_s - pins.time_s > 0.5);
    let told = run.says_at(
        half.time_s,
        &["pinned for longer than the 0.50 s that are allowed"],
    );
    assert_eq!(told.weight, Weight::Broken);
    let shaft = run.first(|s| s.shaft_speed_rpm > 150_000.0);
    let cylinder = run.first(|s| s.cylinder_pressure_kpa_abs > 22_000.0);
    let tip = run.first(|s| s.tip_speed_m_s > 520.0);
    let peak = |value: fn(&ringfence::simulation::Sample) -> f64| run.most(0.0, 11.0, value);
    run.says_at(
        shaft.time_s,
        &[
            &format!(
                "Shaft speed passes its limit, 150.0 krpm, at {:.0} rpm.",
                shaft.engine_speed_rpm
            ),
            &format!(
                "cylinder pressure passes 22000 kPa abs at {:.2} s",
                cylinder.time_s
            ),
            &format!("tip speed passes 520 m/s at {:.2} s", tip.time_s),
            &format!(
                "At worst: {}, {:.0} kPa abs and {:.0} m/s.",
                krpm(peak(|s| s.shaft_speed_rpm)),
                peak(|s| s.cylinder_pressure_kpa_abs),
                peak(|s| s.tip_speed_m_s)
            ),
        ],
    );
    let drive_pressure = run.first(|s| s.drive_pressure_kpa_abs > 520.0);
    run.says_at(
        drive_pressure.time_s,
        &[
            "Drive pressure passes its limit, 520 kPa abs",
            "It stays there to the end.",
        ],
    );
    // the over-boost cut counts from 380 kPa abs and is the bit 5 of the protections
    let blind = run.first(|s| s.blind_protections & 1 << 5 != 0 && s.boost_true_kpa_abs > 380.0);
    run.says_at(
        blind.time_s,
        &[
            "past the threshold of the over-boost fuel cut, which reads the same pinned sensor",
            &format!(
                "It stays blind for {:.2} s, to the end.",
                11.0 - blind.time_s
            ),
        ],
    );
}

#[test]
fn what_the_pinned_reading_has_hidden_is_told_at_its_end() {
    let run = drive("over-commanded", &[]);
    let (pins, last) = (run.first(|s| s.pinned), run.last());
    let peak = |value: fn(&ringfence::simulation::Sample) -> f64| {
        run.most(pins.time_s, last.time_s, value)
    };
    run.says_at(
        last.time_s,
        &[
            &format!(
                "The reading is still pinned at the end, after {:.2} s.",
                last.time_s - pins.time_s
            ),
            &format!(
                "true boost got to {:.0} and drive pressure to {:.0} kPa abs unseen, shaft to {}",
                peak(|s| s.boost_true_kpa_abs),
                peak(|s| s.drive_pressure_kpa_abs),
                krpm(peak(|s| s.shaft_speed_rpm))
            ),
            &format!(
                "vanes from {:.0} to {:.0} % closed",
                pins.vane_closed_pct, last.vane_closed_pct
            ),
            &format!(
                "wound up from {:.0} to {:.0} %",
                pins.integrator_pct, last.integrator_pct
            ),
        ],
    );
    run.never_says(&["free again", "comes free", "is back", "recover"]);
}

#[test]
fn a_reading_that_comes_free_says_when_and_whether_the_integrator_comes_back() {
    let back_off = "[{load_step: {engine_speed: 2000 rpm, fuel_from: full, fuel_to: 90 mg, at: 5 s, duration: 12 s}}]";
    let run = drive("over-commanded", &[("procedure", back_off)]);
    let pins = run.first(|s| s.pinned);
    let free = run.first(|s| s.time_s > pins.time_s && !s.pinned);
    let moment = run.says_at(
        free.time_s,
        &[
            &format!(
                "The reading is free again after {:.2} s.",
                free.time_s - pins.time_s
            ),
            &format!(
                "wound up from {:.0} to {:.0} %",
                pins.integrator_pct, free.integrator_pct
            ),
        ],
    );
    let back = (run.samples.iter())
        .find(|s| s.time_s > free.time_s && s.integrator_pct <= pins.integrator_pct);
    let said = match back {
        Some(back) => format!("is back {:.2} s later.", back.time_s - free.time_s),
        None => "is not back by the end.".to_owned(),
    };
    assert!(moment.text.ends_with(&said), "{said:?} {}", run.shown());
    run.never_says(&["still pinned"]);
}

#[test]
fn a_short_touch_on_an_overshoot_is_no_blindness() {
    let run = drive(
        "rescue-tender",
        &[
            ("controller.command.full_load", "326 kPa abs"),
            ("controller.command.rate_limit", "200 kPa/s"),
            ("procedure", LOAD_STEP),
        ],
    );
    let pins = run.first(|s| s.pinned);
    let free = run.first(|s| s.time_s > pins.time_s && !s.pinned);
    let past = pins.boost_true_kpa_abs - pins.boost_command_kpa_abs.expect("a command");
    let moment = run.says_at(
        pins.time_s,
        &[
            "The reading touches the top of its range",
            &format!("for {:.2} s (allowed: 0.50 s).", free.time_s - pins.time_s),
            &format!("Boost is {past:.0} kPa past its command."),
            "It comes free again, and no limit is past its bound meanwhile.",
        ],
    );
    assert_eq!(moment.weight, Weight::Warning);
    let held =
        |s: &&ringfence::simulation::Sample| s.time_s >= pins.time_s && s.time_s <= free.time_s;
    assert!((run.samples.iter().filter(held)).all(|s| {
        s.shaft_speed_rpm <= 150_000.0
            && s.drive_pressure_kpa_abs <= 520.0
            && s.turbine_inlet_k <= 1043.15
    }));
    run.never_says(&["cannot see", "unseen", "the reading stops"]);
}

/// A harder overshoot stays pinned for longer than is allowed; the command is below
/// the reading all the while, so that the controller is not blind.
#[test]
fn a_long_pin_under_a_lower_command_is_not_called_blind() {
    let run = drive(
        "rescue-tender",
        &[
            ("controller.command.full_load", "318 kPa abs"),
            ("controller.command.rate_limit", "200 kPa/s"),
            ("controller.feedback.integral", "0.5 %/(kPa s)"),
            ("procedure", LOAD_STEP),
        ],
    );
    let pins = run.first(|s| s.pinned);
    let free = run.first(|s| s.time_s > pins.time_s && !s.pinned);
    assert!(
        free.time_s - pins.time_s > 0.5,
        "the scenario pins for long"
    );
    run.says_at(
        pins.time_s,
        &[
            "The reading stops at",
            "The command is lower: the controller still sees boost above it.",
        ],
    );
    let peak = run.most(pins.time_s, free.time_s, |s| s.boost_true_kpa_abs);
    run.says(&format!(
        "true boost ({:.0}) goes on to {peak:.0} and falls",
        pins.boost_true_kpa_abs
    ));
    run.says_at(free.time_s, &["The reading is free again"]);
    run.never_says(&["cannot see", "unseen", "goes on rising"]);
}

#[test]
fn an_open_loop_that_pins_blames_no_controller() {
    let run = drive("rescue-tender", &[("open_loop", "{vanes: {closed: 45 %}}")]);
    let pins = run.first(|s| s.pinned);
    run.says_at(
        pins.time_s,
        &[
            "The reading stops at",
            "There is no command here: no loop follows the reading.",
        ],
    );
    run.says("vanes still 45 % closed");
    run.says_at(
        run.last().time_s,
        &[&format!(
            "The end: 2700 rpm, true boost {:.0} kPa abs",
            run.last().boost_true_kpa_abs
        )],
    );
    run.never_says(&[
        "cannot see",
        "unseen",
        "wound up",
        "a command of",
        "comes up to its command",
    ]);
}

/// Pinned in an equilibrium, true boost stays where it is.
#[test]
fn a_reading_that_is_pinned_at_rest_says_where_boost_is() {
    let hold = "[{hold: {engine_speed: 2200 rpm, duration: 4 s}}]";
    let run = drive(
        "rescue-tender",
        &[
            ("open_loop", "{vanes: {closed: 42 %}}"),
            ("procedure", hold),
        ],
    );
    let boost = run.samples[0].boost_true_kpa_abs;
    assert!(
        (run.last().boost_true_kpa_abs - boost).abs() < 1.0,
        "it rests"
    );
    run.says_at(
        0.0,
        &[
            "The reading stands from the start at",
            &format!("true boost is {boost:.0}."),
        ],
    );
    run.never_says(&["goes on", "and falls"]);
}

/// The integrator of a controller that a fallback has replaced moves nothing.
#[test]
fn a_fallback_leaves_no_integrator_to_come_back() {
    let watch = "{for: 0.4 s, vanes: 20 %, fuel: 70 %}";
    let run = drive(
        "over-commanded",
        &[("controller.protections.frozen_sensor", watch)],
    );
    let pins = run.first(|s| s.pinned);
    let free = run.first(|s| s.time_s > pins.time_s && !s.pinned);
    assert!(
        free.integrator_pct > pins.integrator_pct + 5.0,
        "it had wound up"
    );
    run.says_at(free.time_s, &["The reading is free again"]);
    run.never_says(&["integrator"]);
}

#[test]
fn a_command_that_crosses_the_top_says_how_far_it_goes() {
    let run = drive("over-commanded", &[("procedure", LOAD_STEP)]);
    let top = run.result.sensor.readable_ceiling_kpa_abs.expect("a top");
    let crosses = run.first(|s| s.boost_command_kpa_abs.expect("commands") > top);
    let peak = run.most(0.0, 10.0, |s| s.boost_command_kpa_abs.expect("commands"));
    run.says_at(
        crosses.time_s,
        &[
            &format!(
                "The command goes above {top:.0} kPa abs, the most that the boost sensor can read."
            ),
            &format!("It goes up to {peak:.0} kPa abs"),
        ],
    );
}

#[test]
fn boost_past_its_command_is_told_where_the_reading_still_falls_short() {
    let run = drive("over-commanded", &[]);
    let past = run.first(|s| {
        let command = s.boost_command_kpa_abs.unwrap();
        s.boost_true_kpa_abs - command >= 5.0 && command - s.boost_sensed_kpa_abs >= 5.0
    });
    run.says_at(
        past.time_s,
        &[
            &format!(
                "True boost, {:.0}, is past its command, {:.0}",
                past.boost_true_kpa_abs,
                past.boost_command_kpa_abs.unwrap()
            ),
            "the controller still asks for more",
        ],
    );
    let clamped = drive("over-commanded-clamped", &[]);
    clamped.never_says(&["is past its command"]);
}
