//! Faults, and runs that leave the model.
use crate::drive::{Driven, drive, krpm, psi};
use ringfence::report::Weight;
use ringfence::simulation::Sample;

const PULL: (&str, &str) = (
    "procedure",
    "[{pull: {from: 1500 rpm, to: 2700 rpm, duration: 8 s, settle: 3 s}}]",
);

fn error_kpa(s: &Sample) -> f64 {
    s.boost_true_kpa_abs - s.boost_command_kpa_abs.expect("a command")
}

#[test]
fn a_boost_leak_tells_the_shaft_and_that_boost_reads_as_before() {
    let run = drive("boost-leak", &[]);
    let leaks = run.at(4.0);
    let low = -run.most(4.0, 5.0, |s| -s.boost_true_kpa_abs);
    let fastest = run.most(4.0, 12.0, |s| s.shaft_speed_rpm);
    let reads = run.most(4.0, 12.0, |s| {
        s.boost_sensed_kpa_abs - s.boost_command_kpa_abs.expect("a command")
    });
    let moment = run.says_at(
        4.0,
        &[
            "The boost hose leaks.",
            &format!(
                "True boost falls from {:.0} to {low:.0} kPa abs within ",
                leaks.boost_true_kpa_abs
            ),
            &format!(
                "the shaft goes from {:.1} to {} by ",
                leaks.shaft_speed_rpm / 1000.0,
                krpm(fastest)
            ),
            &format!(
                "boost never reads more than {:.0} kPa above its command",
                reads.ceil()
            ),
        ],
    );
    assert_eq!(moment.weight, Weight::Warning);
    run.says_us(&[&format!(
        "True boost falls from {:.1} to {:.1} psi abs",
        psi(leaks.boost_true_kpa_abs),
        psi(low)
    )]);
    run.says("Shaft speed passes its limit, 150.0 krpm");
    run.never_says(&["pinned", "cannot see", "closest"]);
}

/// Where boost does read high after the fault, the words do not say otherwise.
#[test]
fn a_leak_in_a_pinned_run_does_not_look_normal() {
    let run = drive(
        "over-commanded",
        &[("faults", "[{boost_leak: {area: 60 mm2, onset: 4 s}}]")],
    );
    assert!(run.samples.iter().any(|s| s.time_s > 4.0 && s.pinned));
    run.says_at(4.0, &["The boost hose leaks."]);
    run.never_says(&["never reads more"]);
}

/// Fuel that goes leaves boost far above its command, leak or not.
#[test]
fn a_leak_before_the_fuel_goes_does_not_look_normal() {
    let step = "[{load_step: {engine_speed: 2000 rpm, fuel_from: full, fuel_to: 20 mg, at: 9 s, duration: 11 s}}]";
    let faults = "[{boost_leak: {area: 100 mm2, onset: 2 s}}]";
    let run = drive(
        "rescue-tender",
        &[
            ("faults", faults),
            ("procedure", step),
            ("controller.command.rate_limit", "2000 kPa/s"),
        ],
    );
    let reads = |s: &Sample| s.boost_sensed_kpa_abs - s.boost_command_kpa_abs.expect("a command");
    assert!(run.most(2.0, 11.0, reads) > run.most(0.0, 2.0, reads).max(10.0) + 1.0);
    assert!(
        run.samples
            .iter()
            .all(|s| !s.pinned && s.active_protections == 0)
    );
    run.says_at(
        2.0,
        &["The boost hose leaks.", "From here the shaft goes from"],
    );
    run.never_says(&["never reads more"]);
}

/// What the first fault is said to do ends where the second sets in.
#[test]
fn two_faults_have_a_time_each() {
    let faults = "[{blocked_cooler: {factor: 4, onset: 4 s}}, \
                  {boost_sensor: {fault: {stuck_at: 250 kPa abs}, onset: 6 s}}]";
    let run = drive("rescue-tender", &[("faults", faults)]);
    let fastest = run.most(4.0, 6.0, |s| s.shaft_speed_rpm);
    assert!(run.most(6.0, 11.0, |s| s.shaft_speed_rpm) > fastest + 5000.0);
    let from = run.at(4.0).shaft_speed_rpm / 1000.0;
    run.says_at(
        4.0,
        &[
            "The charge cooler blocks.",
            &format!("the shaft goes from {from:.1} to {} by ", krpm(fastest)),
        ],
    );
    run.says_at(6.0, &["its reading stands still at 250 kPa abs"]);
}

#[test]
fn sticking_vanes_tell_where_they_stand_and_where_they_are_ordered() {
    let run = drive(
        "rescue-tender",
        &[("faults", "[{sticking_vanes: {onset: 4 s}}]"), PULL],
    );
    let stuck = run.at(4.0);
    let still =
        |s: &&Sample| s.time_s >= 4.0 && (s.vane_closed_pct - stuck.vane_closed_pct).abs() > 1e-9;
    assert_eq!(run.samples.iter().find(still), None, "they stick");
    let order = (run.samples.iter().filter(|s| s.time_s >= 4.0))
        .max_by(|a, b| {
            let away = |s: &Sample| (s.vane_command_pct - stuck.vane_closed_pct).abs();
            away(a).total_cmp(&away(b))
        })
        .expect("samples");
    run.says_at(
        4.0,
        &[
            &format!("The vanes stick at {:.0} % closed.", stuck.vane_closed_pct),
            &format!("The order goes to {:.0} % closed", order.vane_command_pct),
            &format!(
                "True boost gets {:.0} kPa above its command",
                run.most(4.0, 11.0, error_kpa)
            ),
        ],
    );
}

#[test]
fn a_drifting_sensor_tells_how_far_it_is_off() {
    let drift = "[{boost_sensor: {fault: {drift: -5 kPa/s}, onset: 3 s}}]";
    let run = drive("rescue-tender", &[("faults", drift)]);
    let off = run.most(3.0, 11.0, |s| s.boost_true_kpa_abs - s.boost_sensed_kpa_abs);
    run.says_at(
        3.0,
        &[
            "The boost sensor goes wrong.",
            &format!("it shows {off:.0} kPa less than true boost"),
            &format!(
                "True boost gets {:.0} kPa above its command",
                run.most(3.0, 11.0, error_kpa)
            ),
        ],
    );
    run.never_says(&["stands still"]);
    // the distance that the fault makes is not told as an overshoot
    let before = run.most(0.0, 3.0, error_kpa);
    run.says(&format!("It goes {before:.0} kPa past it"));
}

#[test]
fn what_is_broken_from_the_start_has_no_before() {
    let faults = "[{boost_leak: {area: 100 mm2}}, {sticking_vanes: {onset: 0 s}}]";
    let run = drive("rescue-tender", &[("faults", faults)]);
    run.says_at(0.0, &["The boost hose leaks from the start."]);
    run.says_at(0.0, &["The vanes stick from the start at "]);
    run.never_says(&["From here the shaft", "comes up to its command"]);
}

#[test]
fn every_fault_has_sound_words() {
    let one = |fault: &str| drive("rescue-tender", &[("faults", fault), PULL]);
    let says = |run: Driven, part: &str| {
        run.says(part);
    };
    says(
        one("[{exhaust_leak: {area: 150 mm2, onset: 4 s}}]"),
        "The exhaust manifold leaks.",
    );
    says(
        one("[{blocked_filter: {factor: 6, onset: 4 s}}]"),
        "The air filter blocks.",
    );
    says(
        one("[{blocked_cooler: {factor: 4, onset: 4 s}}]"),
        "The charge cooler blocks.",
    );
    let sensor = "[{drive_pressure_sensor: {fault: {offset: -40 kPa}, onset: 4 s}}]";
    says(one(sensor), "The drive-pressure sensor goes wrong.");
    let frozen = one("[{shaft_speed_frozen: {onset: 1 s}}]");
    let off = frozen.most(1.0, 11.0, |s| {
        s.shaft_speed_rpm - s.shaft_speed_sensed_rpm.expect("a sensor")
    });
    says(
        frozen,
        &format!(
            "it shows {:.1} krpm less than the shaft turns",
            off / 1000.0
        ),
    );
    for kind in [
        "{gain: -6 %}",
        "{lag: 400 ms}",
        "{offset: 20 kPa}",
        "{stuck_at: 250 kPa abs}",
    ] {
        one(&format!(
            "[{{boost_sensor: {{fault: {kind}, onset: 4 s}}}}]"
        ));
    }
}

#[test]
fn a_run_that_leaves_the_model_ends_its_story_there() {
    let run = drive("beyond-the-model", &[]);
    let why = &run.result.why_stopped;
    let last = run.last();
    let ratio = last.drive_pressure_kpa_abs / last.boost_true_kpa_abs;
    let moment = run.si.last().expect("moments");
    assert_eq!(
        (moment.weight, moment.time_s),
        (Weight::Broken, why.time_s),
        "{}",
        run.shown()
    );
    for part in [
        format!("drive pressure is {ratio:.4} times boost, both absolute; it goes up to 3.0000."),
        format!(
            "The last good point is {:.2} s; there are no figures after it.",
            why.last_good_s
        ),
    ] {
        assert!(
            moment.text.contains(&part),
            "no {part:?} in {}",
            run.shown()
        );
    }
    // nobody has seen how the pull goes on
    run.says("Asked: full load, engine speed up by 200 rpm a second.");
    run.never_says(&["2700 rpm", "against a command", "closest"]);
}
