//! Which way the ceiling goes when the sensor changes.
//!
//! One cell with short transients; the clamp is set low, so that what the sensor
//! can read is what binds. The search goes in steps of 2 kPa: changes are larger.
use crate::shipped::scenario;
use ringfence::judgement::{CeilingCell, Titles};
use ringfence::scenario::build::Setup;
use ringfence::study::ceiling::{CeilingPlan, ceiling};
use ringfence::study::progress::Silent;

const STEP_KPA: f64 = 2.0;

/// The cell at 2200 rpm with some fields changed.
fn cell(changes: &[(&str, &str)]) -> CeilingCell {
    let mut overrides = vec![
        ("ceiling.engine_speeds", "[2200 rpm]"),
        ("ceiling.altitudes", "[400 m]"),
        ("ceiling.step", "2 kPa"),
        ("ceiling.transients.pull.duration", "2 s"),
        ("ceiling.transients.afterwards", "8 s"),
        ("sensors.boost.error.offset", "0 kPa"),
        ("sensors.boost.error.after_clamp", "0 kPa"),
        // reads up to 263 kPa: (3.8 − 0.4) V of 4.2 V over 300 kPa, from 20 kPa
        ("sensors.boost.clamp.high", "3.8 V"),
        // a loop of its own: how it overshoots must not hang on the demonstration's
        ("controller.command.rate_limit", "60 kPa/s"),
        ("controller.feedback.proportional", "0.30 %/kPa"),
        // nothing else may bind
        ("limits.drive_to_boost", "10"),
        ("limits.drive_pressure", "2000 kPa abs"),
        ("limits.turbine_inlet", "1020 degC"),
        ("limits.surge_margin", "0 %"),
    ];
    overrides.extend_from_slice(changes);
    let scenario = scenario("scenarios/rescue-tender.yaml", &overrides);
    let setup = Setup::new(&scenario).expect("it builds");
    let plan = CeilingPlan::of(&scenario, &setup).expect("it is a plan");
    let titles = Titles {
        scenario: "trial".to_string(),
        data: "invented".to_string(),
        procedure: "ceiling".to_string(),
    };
    ceiling(&plan, &titles, &Silent).cells.remove(0)
}

fn top_kpa(cell: &CeilingCell) -> f64 {
    cell.ceiling_kpa_abs
        .unwrap_or_else(|| panic!("no window: {cell:?}"))
}

#[test]
fn the_ceiling_follows_what_the_sensor_can_read() {
    let usual = cell(&[]);
    let top = top_kpa(&usual);
    println!("usual {top} kPa, bound by {:?}", usual.binding_above);
    assert!(top < 263.0, "the readable ceiling binds: {usual:?}");

    // reads low after the clamp: the highest reading falls with it, so that a
    // command must too
    let after = top_kpa(&cell(&[("sensors.boost.offset_after_clamp", "-6 kPa")]));
    println!("reads 6 kPa low after the clamp: {after}");
    assert!(after < top, "{after} against {top}");
    assert!((top - after - 6.0).abs() <= 2.0 * STEP_KPA);

    // reads low ahead of the clamp: it pins at a higher true boost, the highest
    // reading stays; the shaft is faster at the same reading
    let ahead = top_kpa(&cell(&[("sensors.boost.offset", "-6 kPa")]));
    println!("reads 6 kPa low ahead of the clamp: {ahead}");
    assert!(ahead <= top, "{ahead} against {top}");

    // a lower clamp: 0.1 V is 7.1 kPa of this line
    let lower = top_kpa(&cell(&[("sensors.boost.clamp.high", "3.7 V")]));
    println!("clamp 0.1 V lower: {lower}");
    assert!(lower < top, "{lower} against {top}");
    assert!((top - lower - 7.1).abs() <= 2.0 * STEP_KPA);
}

/// Where the shaft is what binds, the true boost that it allows is the same whatever
/// the sensor says: one that reads high, or sits ahead of the cooler, moves the
/// command by as much as it reads more, and the shaft goes on binding.
#[test]
fn a_reading_above_the_boost_moves_the_command_with_it() {
    let shaft = [
        ("limits.shaft_speed", "125000 rpm"),
        ("sensors.boost.clamp.high", "4.6 V"),
        ("limits.lambda", "1.0"),
        // fuel must not follow the reading
        ("controller.smoke_limit", "null"),
    ];
    let with = |more: &[(&str, &str)]| cell(&[&shaft, more].concat());
    let binds = |cell: &CeilingCell| {
        assert_eq!(
            cell.binding_above.as_deref(),
            Some("shaft_speed"),
            "{cell:?}"
        );
        top_kpa(cell)
    };
    let usual = binds(&with(&[]));
    let reads_high = with(&[
        ("sensors.boost.offset", "14 kPa"),
        ("sensors.boost.error.offset", "2 kPa"),
    ]);
    // the corner at which it fails one step above comes on top of the sensor's own error
    let low_corner = "sensors.boost.offset=12.000 kPa".to_string();
    assert!(
        reads_high.replay.contains(&low_corner),
        "{:?}",
        reads_high.replay
    );
    let high = binds(&with(&[("sensors.boost.offset", "14 kPa")]));
    println!("usual {usual}, 14 kPa high {high}");
    assert!(
        (high - usual - 14.0).abs() <= STEP_KPA,
        "{high} against {usual}"
    );
    // the shaft at the ceiling is that of the true boost: 0.3 % for each step of it
    let shaft_rpm = |cell: CeilingCell| cell.shaft_speed_rpm.expect("an equilibrium");
    let off = shaft_rpm(with(&[("sensors.boost.offset", "14 kPa")])) / shaft_rpm(with(&[])) - 1.0;
    assert!(off.abs() < 0.003, "{off}");
    let outlet = binds(&with(&[("sensors.boost.place", "compressor_outlet")]));
    println!("ahead of the cooler {outlet}");
    assert!(outlet > usual + STEP_KPA, "{outlet} against {usual}");
}
