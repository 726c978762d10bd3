//! Causes whose shares are known beforehand.
use super::stand::{limit, run, study, worst};
use ringfence::study::tolerance::{Asked, explain};

const OFFSET: &str = "sensors.boost.offset";
const AFTER: &str = "sensors.boost.offset_after_clamp";

/// Held by the loop until the reading meets the command, which lies above the boost that
/// the hold starts from.
const SETTLED: (&str, &str) = (
    "procedure",
    "[{hold: {engine_speed: 2000 rpm, fuel: full, duration: 1.5 s}}]",
);
const COMMAND: (&str, &str) = ("controller.command.full_load", "310 kPa abs");
/// The converter's steps would be a third cause.
const FINE: (&str, &str) = ("sensors.boost.converter_bits", "16");

/// Both offsets move the reading one to one, so what the loop holds moves by as much
/// the other way, and every quantity with it: by finite differences.
#[test]
fn two_offsets_of_the_sensor_do_the_same() {
    let peak = |path: &str, kpa: &str| {
        worst(
            &run(&[SETTLED, COMMAND, FINE, (path, kpa)]),
            "cylinder_pressure",
        )
    };
    let stated = peak(OFFSET, "0 kPa");
    let (one, other) = (peak(OFFSET, "-2 kPa"), peak(AFTER, "-2 kPa"));
    assert!(one > stated + 10.0, "{one} {stated}");
    assert!(
        ((one - stated) / (other - stated) - 1.0).abs() < 0.05,
        "{one} {other} {stated}"
    );
}

/// Two equal and independent normal causes with standard deviations 2 : 1 make 80 % and
/// 20 % of the variance. In ranks the correlation ρ of a normal pair becomes
/// 6/π·asin(ρ/2) (M. G. Kendall, Rank Correlation Methods, from memory): 80.9 % and
/// 19.1 %. A correlation from n draws is known to 1/√n: of its square, at 600 draws,
/// 4 % on either side.
#[test]
fn causes_of_two_to_one_share_four_to_one() {
    let production = format!("{{{OFFSET}: 2 kPa, {AFTER}: 1 kPa}}");
    let sets = [SETTLED, COMMAND, FINE, ("production", production.as_str())];
    let asked = Asked {
        draws: 600,
        // so low that no command is searched
        level: 0.0001,
        ..Asked::default()
    };
    let answer = study(&sets, asked);
    let found = limit(&answer, "cylinder_pressure");
    assert_eq!(found.causes[0].path, OFFSET);
    assert!(
        (found.causes[0].share_pct - 80.9).abs() < 4.0,
        "{:?}",
        found.causes
    );
    assert!(
        (found.causes[1].share_pct - 19.1).abs() < 4.0,
        "{:?}",
        found.causes
    );
    // a sensor that reads high leaves more room
    assert!(
        found
            .causes
            .iter()
            .all(|cause| cause.rank_coefficient > 0.0)
    );
    assert!(
        found.explained_pct > Some(95.0),
        "{:?}",
        found.explained_pct
    );
}

/// The same from numbers alone, with a cause that does nothing.
#[test]
fn a_cause_that_does_nothing_has_no_share() {
    let sets = [(
        "production",
        "{shaft.inertia: 4 %, intake.volume: 2 %, exhaust.volume: 9 %}",
    )];
    let loaded = super::stand::load(&sets);
    let inputs = ringfence::study::tolerance::inputs(&loaded, false);
    let drawn: Vec<Vec<f64>> = (0..2000)
        .map(|k| ringfence::study::tolerance::engine(&inputs, 1, k).deviations)
        .collect();
    let column =
        |at: usize, unit: f64| -> Vec<f64> { drawn.iter().map(|off| off[at] / unit).collect() };
    // as shares of what is written: 0.9 kg cm2, 16 l, 4.2 l
    let columns = [column(0, 0.9), column(1, 16.0), column(2, 4.2)];
    let both: Vec<f64> = columns[0]
        .iter()
        .zip(&columns[1])
        .map(|(a, b)| -(a + b))
        .collect();
    let shares = explain(&columns, &both).expect("it varies").shares();
    assert!((shares[0] - 0.809).abs() < 0.025, "{shares:?}");
    assert!((shares[1] - 0.191).abs() < 0.025, "{shares:?}");
    assert!(shares[2] < 0.005, "{shares:?}");
}
