//! Traces made by hand, with outcomes computed by hand.
use ringfence::judgement::{
    BASELINE_CHANNELS, Baseline, BaselineDifference as Difference, BaselineRow, Channel, Tolerance,
};
use ringfence::simulation::Sample;

/// A trace at every tenth of a second, from 0 s to 2 s.
pub fn trace(boost_kpa_abs: impl Fn(f64) -> f64) -> Vec<Sample> {
    (0..=20)
        .map(|tick| f64::from(tick) / 10.0)
        .map(|time_s| Sample {
            time_s,
            boost_true_kpa_abs: boost_kpa_abs(time_s),
            boost_command_kpa_abs: Some(200.0),
            ..Sample::default()
        })
        .collect()
}

/// From 100 kPa up at 10 kPa in each second.
fn ramp(time_s: f64) -> f64 {
    100.0 + 10.0 * time_s
}

fn baseline(boost_kpa_abs: impl Fn(f64) -> f64) -> Baseline {
    Baseline::of(&trace(boost_kpa_abs), &[Channel::BoostTrue], 0.2)
}

fn allowed(absolute: f64, relative: f64, shift_s: f64) -> impl Fn(Channel) -> Tolerance {
    move |_| Tolerance {
        absolute,
        relative,
        shift_s,
    }
}

#[test]
fn a_trace_is_within_its_own_baseline_without_any_tolerance() {
    let found = baseline(ramp).differences(&trace(ramp), &allowed(0.0, 0.0, 0.0));
    assert_eq!(found, []);
}

#[test]
fn rows_stand_at_the_spacing_and_at_the_exact_end() {
    let held = Baseline::of(&trace(ramp), &[Channel::BoostTrue], 0.75);
    let rows: Vec<(f64, f64)> = (held.rows().iter())
        .map(|row| (row.time_s, row.values[0].expect("a value")))
        .collect();
    // 0.75 s lies between two samples
    assert_eq!(
        rows,
        [(0.0, 100.0), (0.75, 107.5), (1.5, 115.0), (2.0, 120.0)]
    );
}

#[test]
fn an_absolute_tolerance_counts_in_the_unit_of_the_channel() {
    // 3 kPa off from 1 s on, which is first seen at the row of 1 s
    let off = |time_s: f64| ramp(time_s) + if time_s > 0.95 { 3.0 } else { 0.0 };
    let held = baseline(ramp);
    assert_eq!(held.divergences(&trace(off), &allowed(3.0, 0.0, 0.0)), []);
    let found = held.divergences(&trace(off), &allowed(2.9, 0.0, 0.0));
    let [left] = found.as_slice() else {
        panic!("one channel, not {found:?}")
    };
    assert_eq!(left.channel, Channel::BoostTrue);
    assert_eq!((left.first_s, left.expected, left.got), (1.0, 110.0, 113.0));
    assert_eq!(left.allowed, 2.9);
    assert_eq!(
        (left.worst_s, left.worst_expected, left.worst_got),
        (1.0, 110.0, 113.0)
    );
    // the rows from 1.0 s to 1.8 s stand for 0.2 s each, the last for 0.1 s
    assert!((left.outside_s - 1.1).abs() < 1e-9, "{}", left.outside_s);
}

#[test]
fn a_relative_tolerance_grows_with_the_stored_value_and_adds_to_the_absolute() {
    // 2 % of it off everywhere: 2.0 kPa at the begin, 2.4 kPa at the end
    let off = |time_s: f64| 1.02 * ramp(time_s);
    let held = baseline(ramp);
    let found =
        |absolute, relative| held.divergences(&trace(off), &allowed(absolute, relative, 0.0));
    assert_eq!(found(0.0, 0.02), []);
    assert_eq!(found(0.0, 0.0199).len(), 1);
    assert_eq!(found(1.0, 0.0117), []); // 1 + 1.4 kPa at the end
    // 1 + 1.2 kPa allowed at 120 kPa, 2.4 off; met until 1 + 0.01 v = 0.02 v, v = 100 kPa
    let left = &found(1.0, 0.01)[0];
    assert_eq!(left.first_s, 0.2);
    assert_eq!(left.worst_s, 2.0);
    assert!((left.allowed - 2.02).abs() < 1e-9);
}

#[test]
fn a_delay_within_the_shift_is_no_difference_and_one_beyond_it_is() {
    // a step of 50 kPa at 1 s, and the same half a second later
    let step = |at_s: f64| move |time_s: f64| if time_s < at_s - 1e-9 { 100.0 } else { 150.0 };
    let held = baseline(step(1.0));
    let late = trace(step(1.5));
    assert_eq!(held.differences(&late, &allowed(0.5, 0.0, 0.5)), []);
    let found = held.divergences(&late, &allowed(0.5, 0.0, 0.3));
    // at 1.0 s the later step is out of reach: it has risen first at 1.5 s, and begins
    // to rise at 1.4 s; at 1.2 s the window ends there
    let left = &found[0];
    assert_eq!((left.first_s, left.expected, left.got), (1.0, 150.0, 100.0));
    assert!((left.outside_s - 0.2).abs() < 1e-9, "{}", left.outside_s);
    // one that comes earlier counts alike
    assert_eq!(
        held.divergences(&trace(step(0.5)), &allowed(0.5, 0.0, 0.5)),
        []
    );
    let early = held.divergences(&trace(step(0.5)), &allowed(0.5, 0.0, 0.3));
    assert_eq!((early[0].first_s, early[0].got), (0.8, 150.0));
}

#[test]
fn between_samples_a_trace_is_straight() {
    // a row at 0.05 s lies in the middle of 100 and 101 kPa
    let row = |value| BaselineRow {
        time_s: 0.05,
        values: vec![Some(value)],
    };
    let held = |value| Baseline::from_rows(0.1, vec![Channel::BoostTrue], vec![row(value)]);
    let trace = trace(ramp);
    let tight = allowed(1e-6, 0.0, 0.0);
    assert_eq!(held(100.5).divergences(&trace, &tight), []);
    assert_eq!(held(100.6).divergences(&trace, &tight)[0].got, 100.5);
    // with a shift of 40 ms it reaches from 100.1 to 100.9 kPa
    let shifted = allowed(1e-6, 0.0, 0.04);
    assert_eq!(held(100.9).divergences(&trace, &shifted), []);
    let left = held(101.0).divergences(&trace, &shifted)[0];
    assert!((left.got - 100.9).abs() < 1e-9, "{}", left.got);
}

#[test]
fn the_worst_row_is_the_one_furthest_off() {
    // a bump of 8 kPa at 1.2 s on top of 2 kPa from 0.6 s on
    let off = |time_s: f64| {
        let bump = if (time_s - 1.2).abs() < 0.05 {
            6.0
        } else {
            0.0
        };
        ramp(time_s) + bump + if time_s > 0.55 { 2.0 } else { 0.0 }
    };
    let left = baseline(ramp).divergences(&trace(off), &allowed(1.0, 0.0, 0.0))[0];
    assert_eq!((left.first_s, left.got - left.expected), (0.6, 2.0));
    assert_eq!(
        (left.worst_s, left.worst_got - left.worst_expected),
        (1.2, 8.0)
    );
}

#[test]
fn an_earlier_end_is_a_difference_and_what_is_missing_is_not_compared() {
    let held = baseline(ramp);
    let short: Vec<Sample> = trace(ramp)[..=15].to_vec();
    let found = held.differences(&short, &allowed(0.5, 0.0, 0.02));
    let [
        Difference::Ends {
            expected_s, got_s, ..
        },
    ] = found.as_slice()
    else {
        panic!("the end alone, not {found:?}")
    };
    assert_eq!((*expected_s, *got_s), (2.0, 1.5));
    // and a later one
    let held = Baseline::of(&short, &[Channel::BoostTrue], 0.2);
    let found = held.differences(&trace(ramp), &allowed(0.5, 0.0, 0.02));
    assert!(
        matches!(found.as_slice(), [Difference::Ends { .. }]),
        "{found:?}"
    );
    // within the shift it is none
    assert_eq!(held.differences(&trace(ramp), &allowed(0.5, 0.0, 0.5)), []);
    // no trace at all is one that ends at once
    let found = held.differences(&[], &allowed(0.5, 0.0, 0.0));
    assert!(
        matches!(found.as_slice(), [Difference::Ends { got_s: 0.0, .. }]),
        "{found:?}"
    );
}

#[test]
fn a_value_that_one_side_alone_has_is_a_difference() {
    let channels = [Channel::BoostCommand, Channel::Lambda];
    let commanded = trace(ramp);
    let open = |from_s: f64| -> Vec<Sample> {
        let take = |s: &Sample| Sample {
            boost_command_kpa_abs: s.boost_command_kpa_abs.filter(|_| s.time_s < from_s - 1e-9),
            ..*s
        };
        commanded.iter().map(take).collect()
    };
    let within = allowed(1.0, 0.0, 0.02);
    let held = Baseline::of(&commanded, &channels, 0.2);
    let found = held.differences(&open(1.0), &within);
    let lost = Difference::OneSided {
        channel: Channel::BoostCommand,
        first_s: 1.0,
        expected: Some(200.0),
        got: None,
    };
    assert_eq!(found, [lost]);
    // a fifth of a second later is within a shift of that
    assert_eq!(held.differences(&open(1.9), &allowed(1.0, 0.0, 0.3)), []);
    let held = Baseline::of(&open(1.0), &channels, 0.2);
    let gained = Difference::OneSided {
        channel: Channel::BoostCommand,
        first_s: 1.0,
        expected: None,
        got: Some(200.0),
    };
    assert_eq!(held.differences(&commanded, &within), [gained]);
    assert_eq!(held.differences(&open(1.0), &within), []);
    // lambda without fuel is infinite, and no value on either side
    let infinite = |samples: Vec<Sample>| -> Vec<Sample> {
        let lambda = |s: Sample| Sample {
            lambda: f64::INFINITY,
            ..s
        };
        samples.into_iter().map(lambda).collect()
    };
    let held = Baseline::of(&infinite(trace(ramp)), &[Channel::Lambda], 0.2);
    assert_eq!(held.differences(&infinite(trace(ramp)), &within), []);
    assert_eq!(held.differences(&trace(ramp), &within).len(), 1);
}

#[test]
fn a_trace_that_is_no_number_is_a_difference_and_no_panic() {
    for broken in [f64::NAN, f64::INFINITY] {
        let lost = trace(|time_s| if time_s < 0.95 { ramp(time_s) } else { broken });
        for shift_s in [0.0, 0.02] {
            let found = baseline(ramp).differences(&lost, &allowed(0.5, 0.0, shift_s));
            let [
                Difference::OneSided {
                    first_s, got: None, ..
                },
            ] = found.as_slice()
            else {
                panic!("the value alone, not {found:?}")
            };
            assert_eq!(*first_s, 1.0);
        }
    }
}

#[test]
fn differences_come_by_time_and_then_by_channel() {
    let off = |from_s: f64| move |s: &Sample| if s.time_s > from_s - 0.05 { 50.0 } else { 0.0 };
    let (early, late) = (off(0.4), off(1.0));
    let changed: Vec<Sample> = trace(ramp)
        .iter()
        .map(|s| Sample {
            torque_nm: early(s),
            drive_pressure_kpa_abs: late(s),
            boost_true_kpa_abs: s.boost_true_kpa_abs + late(s),
            turbine_inlet_k: early(s),
            ..*s
        })
        .collect();
    let held = Baseline::of(&trace(ramp), &BASELINE_CHANNELS, 0.2);
    let found: Vec<(f64, Channel)> = (held.divergences(&changed, &Tolerance::of).iter())
        .map(|left| (left.first_s, left.channel))
        .collect();
    assert_eq!(
        found,
        [
            (0.4, Channel::TurbineInlet),
            (0.4, Channel::Torque),
            (1.0, Channel::BoostTrue),
            (1.0, Channel::DrivePressure),
        ]
    );
}

#[test]
fn a_long_run_takes_wider_rows() {
    let rows = |duration_s: f64| duration_s / Baseline::spacing_for(duration_s);
    assert_eq!(Baseline::spacing_for(4.0), 0.05);
    assert_eq!(Baseline::spacing_for(11.0), 0.1);
    for duration_s in [0.0, 1.0, 8.1, 30.0, 842.78, 3000.0] {
        assert!(rows(duration_s) <= 160.0, "{duration_s} s");
    }
}
