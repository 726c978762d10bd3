//! The command that keeps the probability below a level.
use super::stand::{run, study, worst};
use ringfence::judgement::CommandOutcome;
use ringfence::study::tolerance::{Asked, Tolerance};

/// Above the boost that the hold starts from, with room for a lower one.
const COMMAND: (&str, &str) = ("controller.command.full_load", "310 kPa abs");
const SETTLED: (&str, &str) = (
    "procedure",
    "[{hold: {engine_speed: 2000 rpm, fuel: full, duration: 2 s}}]",
);
const STEP: (&str, &str) = ("ceiling.step", "2 kPa");

fn asked() -> Asked {
    Asked {
        draws: 60,
        level: 0.15,
        ..Asked::default()
    }
}

/// Cylinder pressure at rest with the whole command moved.
fn peak_kpa(shift_kpa: f64) -> f64 {
    let shift = format!("{shift_kpa} kPa");
    let sets = [
        SETTLED,
        COMMAND,
        ("controller.command.full_load_shift", shift.as_str()),
    ];
    worst(&run(&sets), "cylinder_pressure")
}

fn with_limit(kpa: f64, spread: &str) -> Tolerance {
    let limits = format!("{{cylinder_pressure: {kpa} kPa abs}}");
    let production = format!("{{sensors.boost.offset: {spread}}}");
    let sets = [
        SETTLED,
        COMMAND,
        STEP,
        ("limits", limits.as_str()),
        ("production", &production),
    ];
    study(&sets, asked())
}

/// With next to no spread the answer is the last step ahead of the limit, above and
/// below the command as written.
#[test]
fn without_spread_the_limit_alone_decides() {
    for (room_kpa, steps) in [(9.0, 4.0), (-9.0, -5.0)] {
        let answer = with_limit(peak_kpa(room_kpa), "0.001 kPa");
        let command = &answer.result.command;
        assert_eq!(command.outcome, CommandOutcome::Found);
        assert_eq!(command.shift_kpa, Some(2.0 * steps));
        assert_eq!(command.fails_above.as_deref(), Some("cylinder_pressure"));
        assert_eq!(
            command.replay,
            [format!(
                "controller.command.full_load_shift={} kPa",
                2.0 * steps
            )]
        );
        let (stated, found) = (command.stated_kpa_abs, command.command_kpa_abs);
        assert!((found.unwrap() - stated.unwrap() - 2.0 * steps).abs() < 1e-9);
    }
}

/// A sensor that may read low by more leaves less room. The share at the command that
/// is named keeps the level; with the command as the scenario's own and the same
/// engines the same share comes out, and one step above the level is not kept.
#[test]
fn the_command_that_is_named_keeps_the_level_and_the_next_does_not() {
    let limit_kpa = peak_kpa(9.0);
    let answer = with_limit(limit_kpa, "6 kPa");
    let command = &answer.result.command;
    let shift = command.shift_kpa.expect("a command");
    assert!(shift < 8.0, "{shift}");
    let there = command.any_limit.expect("a probability");
    assert!(there.high_pct <= 15.0, "{there:?}");
    let limits = format!("{{cylinder_pressure: {limit_kpa} kPa abs}}");
    let again = |shift: f64| {
        let shift = format!("{shift} kPa");
        let sets = [
            SETTLED,
            COMMAND,
            STEP,
            ("limits", limits.as_str()),
            ("production", "{sensors.boost.offset: 6 kPa}"),
            ("controller.command.full_load_shift", &shift),
        ];
        study(&sets, asked()).result
    };
    let named = again(shift);
    assert_eq!(named.any_limit, there);
    assert_eq!(named.command.shift_kpa, Some(0.0));
    assert!(again(shift + 2.0).any_limit.high_pct > 15.0);
}

/// (1 − 0.01)^n = 0.025 at n = 367.04: with 300 draws no command can be shown.
#[test]
fn too_few_draws_name_how_many_are_needed() {
    let few = Asked {
        draws: 300,
        ..Asked::default()
    };
    let sets = [
        super::stand::AT_REST,
        ("production", "{shaft.inertia: 5 %}"),
    ];
    let command = study(&sets, few).result.command;
    assert_eq!(command.outcome, CommandOutcome::TooFewDraws);
    assert_eq!(command.draws_needed, 368);
    assert_eq!(command.shift_kpa, None);
}

/// A limit that no command keeps, and vanes that no command moves.
#[test]
fn where_no_command_helps_it_says_so() {
    let sets = [
        SETTLED,
        ("limits", "{turbine_inlet: 300 degC}"),
        ("production", "{shaft.inertia: 5 %}"),
    ];
    let command = study(&sets, asked()).result.command;
    assert_eq!(command.outcome, CommandOutcome::NoneHolds);
    assert_eq!(command.fails_above.as_deref(), Some("turbine_inlet"));
    let held = [
        super::stand::AT_REST,
        ("open_loop", "{vanes: {closed: 30 %}}"),
        ("production", "{shaft.inertia: 5 %}"),
    ];
    let command = study(&held, asked()).result.command;
    assert_eq!(command.outcome, CommandOutcome::NoCommand);
}

/// Below the boost that the hold starts from: the exhaust gets hotter on the way.
const LOW: (&str, &str) = ("controller.command.full_load", "270 kPa abs");

/// Exhaust is cooler with more air: a limit that only a higher command keeps.
#[test]
fn where_more_air_is_wanted_a_higher_command_is_named() {
    let inlet_k = |shift: &str| {
        let shift = ("controller.command.full_load_shift", shift);
        worst(&run(&[SETTLED, LOW, shift]), "turbine_inlet")
    };
    let (stated, more) = (inlet_k("0 kPa"), inlet_k("8 kPa"));
    assert!(more < stated, "{more} {stated}");
    let limits = format!("{{turbine_inlet: {} K}}", (more + stated) / 2.0);
    let sets = [
        SETTLED,
        LOW,
        STEP,
        ("limits", limits.as_str()),
        ("production", "{sensors.boost.offset: 0.001 kPa}"),
    ];
    let command = study(&sets, asked()).result.command;
    assert!(command.shift_kpa > Some(0.0), "{command:?}");
    assert!(command.any_limit.is_some_and(|any| any.exceeding == 0));
}
