//! Text says what happened and what to do, and fits its width.
use crate::made_up;
use ringfence::judgement::{Event, EventKind, RunResult, Verdict};
use ringfence::report::*;
use ringfence::simulation::Sample;

fn fits(text: &str, width: usize) {
    for line in text.lines() {
        assert!(line.chars().count() <= width, "{width}: {line:?}");
    }
}

/// Takes the colours out again.
fn plain(text: &str) -> String {
    let mut result = String::new();
    let mut rest = text;
    while let Some(start) = rest.find('\u{1b}') {
        result.push_str(&rest[..start]);
        let end = rest[start..].find('m').expect("the end of an escape") + start;
        rest = &rest[end + 1..];
    }
    result + rest
}

fn judged(samples: &[Sample]) -> RunResult {
    made_up::result(samples)
}

#[test]
fn text_fits_and_colour_changes_nothing_else() {
    for samples in [made_up::runaway(), made_up::calm()] {
        let result = judged(&samples);
        for units in [Units::Si, Units::Us] {
            for width in [60, 80, 120] {
                let moments = made_up::moments(&samples, units);
                let run = run_text(&result, &moments, units, width, false);
                fits(&run, width);
                assert_eq!(plain(&run_text(&result, &moments, units, width, true)), run);
                for ceiling in [
                    made_up::ceiling(),
                    made_up::one_altitude(),
                    made_up::five_altitudes(),
                ] {
                    let text = ceiling_text(&ceiling, units, width, false);
                    fits(&text, width);
                    assert_eq!(plain(&ceiling_text(&ceiling, units, width, true)), text);
                }
                fits(&cautions_text(width), width);
            }
        }
    }
    let calm = judged(&made_up::calm());
    assert!(run_text(&calm, &[], Units::Si, 80, true).contains('\u{1b}'));
}

/// The text with line breaks taken out.
fn flowing(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The text of a made-up run with its moments.
fn told(samples: &[Sample], units: Units) -> String {
    let moments = made_up::moments(samples, units);
    flowing(&run_text(&judged(samples), &moments, units, 80, false))
}

#[test]
fn a_pinned_run_says_what_happened_and_what_to_do() {
    let text = told(&made_up::runaway(), Units::Si);
    for part in [
        "Limit exceeded: the boost reading stuck at its top for longer than 0.50 s",
        "drive pressure past 520 kPa abs at ",
        "shaft speed past 146.0 krpm",
        "The reading stops at 332 kPa abs, the top of its range; true boost (332) goes on rising",
        "past the threshold of the over-boost fuel cut, which reads the same pinned sensor",
        "Keep the command at or below 318 kPa abs",
        "controller.protections.command_clamp",
        "Do not drive this calibration",
    ] {
        assert!(text.contains(part), "{part:?} is missing from {text}");
    }
    let us = told(&made_up::runaway(), Units::Us);
    // 318 kPa over 6.894757 kPa/psi is 46.1 psi; 760 degC is 1400 degF.
    assert!(us.contains("at or below 46.1 psi abs"), "{us}");
    assert!(us.contains("turbine inlet °F 1400"), "{us}");
    // 520 kPa over 6.894757 kPa/psi
    assert!(us.contains("drive pressure past 75.4 psi abs at "), "{us}");
}

#[test]
fn a_held_run_names_the_closest_limit_and_no_cure() {
    let text = told(&made_up::calm(), Units::Si);
    assert!(
        text.contains("Every limit held. Closest was turbine inlet: +32 K left of 760 °C"),
        "{text}"
    );
    assert!(text.contains("Never pinned."));
    for part in ["exceeded", "blind for", "command_clamp", "Do not drive"] {
        assert!(!text.contains(part), "{part:?} in {text}");
    }
}

#[test]
fn an_exceeded_but_readable_run_blames_the_limit_alone() {
    let mut result = judged(&made_up::calm());
    let limit = &mut result.limits[0];
    (limit.held, limit.headroom, limit.headroom_pct) = (false, Some(-3000.0), Some(-2.1));
    (limit.worst, limit.first_exceeded_s) = (Some(149_000.0), Some(5.25));
    result.verdict = Verdict::Exceeded;
    let text = flowing(&run_text(&result, &[], Units::Si, 80, false));
    assert!(text.contains("shaft speed went first, past 146.0 krpm at 5.25 s. Worst 149.0 krpm at 2680 rpm, 3.0 krpm too high."), "{text}");
    assert!(
        text.contains("Shaft speed: near 2680 rpm lower the boost command"),
        "{text}"
    );
    assert!(!text.contains("pinned-sensor watch, so that"));
}

/// A fault is not told as another one.
#[test]
fn a_fault_without_words_of_its_own_is_told_by_its_name() {
    let samples = made_up::calm();
    let said = |name: &'static str| {
        let mut events = made_up::happened(&samples);
        let (kind, at) = (EventKind::FaultSetsIn(name), samples[100]);
        events.insert(0, Event { kind, at });
        let told = course(&judged(&samples), &events, &samples, Units::Si);
        told.into_iter().map(|m| m.text + " ").collect::<String>()
    };
    let unknown = said("torn_belt");
    assert!(unknown.contains("Torn belt sets in."), "{unknown}");
    assert!(!unknown.contains("freezes"), "{unknown}");
    let frozen = said("shaft_speed_frozen");
    assert!(
        frozen.contains("The shaft-speed pick-up freezes."),
        "{frozen}"
    );
}

/// A level of a pressure is absolute, the distance of two is neither that nor gauge.
#[test]
fn a_limit_on_a_pressure_is_absolute_and_its_excess_is_a_difference() {
    let mut result = judged(&made_up::calm());
    let limit = (result.limits.iter_mut())
        .find(|limit| limit.name == "drive_pressure")
        .expect("a limit");
    (limit.held, limit.headroom, limit.headroom_pct) = (false, Some(-47.0), Some(-11.1));
    (limit.worst, limit.first_exceeded_s) = (Some(567.0), Some(5.25));
    let tight = limit.clone();
    result.verdict = Verdict::Exceeded;
    let text = flowing(&run_text(&result, &[], Units::Si, 80, false));
    assert!(text.contains("drive pressure went first, past 520 kPa abs at 5.25 s. Worst 567 kPa abs at 2680 rpm, 47 kPa too high."), "{text}");
    (result.limits, result.verdict) = (vec![tight], Verdict::Held);
    let limit = &mut result.limits[0];
    (limit.held, limit.headroom, limit.headroom_pct) = (true, Some(24.0), Some(5.7));
    let text = flowing(&run_text(&result, &[], Units::Si, 80, false));
    assert!(
        text.contains("Closest was drive pressure: +24 kPa left of 520 kPa abs, at"),
        "{text}"
    );
}

#[test]
fn the_ceiling_says_how_high_and_where_it_ends() {
    let text = flowing(&ceiling_text(&made_up::ceiling(), Units::Si, 80, false));
    for part in [
        "Command at most, depending on engine speed, 262 to 317 kPa abs at 400 m, 272 to 293 kPa abs at 2600 m",
        "No window at 1400 rpm, 2600 m: the vanes bring at most 258 kPa abs.",
        "fuel ×0.93",
        "it held",
    ] {
        assert!(text.contains(part), "{part:?} is missing from {text}");
    }
    let mut flat = made_up::one_altitude();
    for cell in &mut flat.cells {
        (cell.ceiling_kpa_abs, cell.ceiling_kpa_gauge) = (Some(305.0), Some(208.4));
    }
    let text = flowing(&ceiling_text(&flat, Units::Si, 80, false));
    assert!(
        text.contains(
            "Command at most 305 kPa abs (208 kPa gauge) at every engine speed: every limit holds."
        ),
        "{text}"
    );
}
