//! Traces made by hand, with outcomes counted by hand.
use ringfence::judgement::{
    Asked, Bounds, Channel, Check, CheckResult, Event, EventKind, Expectations, Instant, LimitKind,
    LimitResult, Peaks, ProtectionResult, Reserve, RunResult, Seen, SensorResult, StopKind, Target,
    Verdict, When, WhyStopped, Window, judge_expectations,
};
use ringfence::simulation::Sample;

/// The bit of the pinned-sensor watch.
const PINNED_SENSOR: u8 = 1 << 1;

/// A sample every 0.1 s of these readings; the command is 300 kPa, ambient 100 kPa.
pub fn trace(readings: &[f64]) -> Vec<Sample> {
    let at = |(index, reading): (usize, &f64)| Sample {
        time_s: index as f64 * 0.1,
        ambient_kpa_abs: 100.0,
        boost_command_kpa_abs: Some(300.0),
        boost_true_kpa_abs: *reading,
        boost_sensed_kpa_abs: *reading,
        lambda: f64::INFINITY,
        ..Sample::default()
    };
    readings.iter().enumerate().map(at).collect()
}

pub fn result(kind: StopKind) -> RunResult {
    RunResult {
        tool: String::new(),
        version: String::new(),
        scenario: String::new(),
        data: String::new(),
        procedure: String::new(),
        verdict: Verdict::Held,
        why_stopped: WhyStopped {
            kind,
            quantity: None,
            value: None,
            bound: None,
            unit: None,
            time_s: 0.0,
            last_good_s: 0.0,
            text: "stopped".to_owned(),
        },
        start: String::new(),
        peaks: Peaks::default(),
        at_peak_shaft_speed: Instant::default(),
        limits: vec![LimitResult {
            name: "shaft_speed".to_owned(),
            unit: "rpm".to_owned(),
            limit: 150e3,
            worst: Some(147e3),
            headroom: Some(3e3),
            headroom_pct: Some(2.0),
            held: true,
            time_s: Some(0.3),
            time_exceeded_s: 0.0,
            first_exceeded_s: None,
            engine_speed_rpm: None,
            lower: false,
        }],
        sensor: SensorResult::default(),
        protections: vec![ProtectionResult {
            name: "pinned_sensor".to_owned(),
            first_s: None,
            active_s: 0.0,
            blind_s: 0.0,
        }],
        maps: Default::default(),
        steady: None,
        balance: Default::default(),
        band: None,
        road: None,
        solver: Default::default(),
    }
}

pub fn event(samples: &[Sample], kind: EventKind, index: usize) -> Event {
    Event {
        kind,
        at: samples[index],
    }
}

pub fn judged(asked: Asked, samples: &[Sample], events: &[Event], kind: StopKind) -> CheckResult {
    let check = Check {
        name: "it".to_owned(),
        asked,
        must_fail: false,
    };
    let expectations = Expectations {
        says: None,
        checks: vec![check],
    };
    judge_expectations(&expectations, &result(kind), samples, events).remove(0)
}

/// A check on the whole of a run that came to its end, without events.
pub fn plain(asked: Asked, readings: &[f64]) -> CheckResult {
    judged(asked, &trace(readings), &[], StopKind::Finished)
}

pub fn settles(within: f64, in_s: f64, window: Window) -> Asked {
    Asked::Settles {
        of: Channel::BoostSensed,
        to: Target::Command,
        within,
        in_s,
        window,
    }
}

pub fn from(time_s: f64) -> Window {
    Window {
        from: Some(When::Time(time_s)),
        until: None,
    }
}

fn took_s(check: &CheckResult) -> f64 {
    match check.seen {
        Seen::Settled { took_s, .. } => took_s,
        ref other => panic!("{other:?}"),
    }
}

#[test]
fn it_settles_when_it_is_back_for_good() {
    // inside from 0.2 s, out again at 0.4 s, inside from 0.5 s on
    let readings = [280.0, 290.0, 297.0, 303.0, 305.0, 304.0, 300.0];
    let check = plain(settles(4.0, 0.5, Window::default()), &readings);
    assert!((took_s(&check) - 0.5).abs() < 1e-9 && check.held);
    assert!(!plain(settles(4.0, 0.45, Window::default()), &readings).held);
    // counted from 0.3 s
    let check = plain(settles(4.0, 0.2, from(0.3)), &readings);
    assert!((took_s(&check) - 0.2).abs() < 1e-9 && check.held);
    // the window ends before it strays
    let until = Window {
        from: None,
        until: Some(When::Time(0.3)),
    };
    let check = plain(settles(4.0, 0.2, until), &readings);
    assert!((took_s(&check) - 0.2).abs() < 1e-9 && check.held);
    // inside from the start
    assert_eq!(
        took_s(&plain(settles(20.0, 0.0, from(0.0)), &readings)),
        0.0
    );
    let never = plain(settles(4.0, 9.0, Window::default()), &[280.0, 300.0, 310.0]);
    assert!(matches!(never.seen, Seen::NeverSettled { off, .. } if off == 10.0));
}

#[test]
fn a_target_may_be_gauge() {
    let asked = Asked::Settles {
        of: Channel::BoostTrue,
        to: Target::Level {
            value: 200.0,
            gauge: true,
        },
        within: 1.0,
        in_s: 0.1,
        window: Window::default(),
    };
    assert!(plain(asked, &[280.0, 300.5, 299.5]).held);
}

#[test]
fn over_and_undershoot_count_from_the_target() {
    let readings = [280.0, 306.0, 298.0];
    let over = |at_most, window| Asked::Overshoot {
        of: Channel::BoostTrue,
        over: Target::Command,
        at_most,
        window,
    };
    assert!(plain(over(6.0, Window::default()), &readings).held);
    let check = plain(over(5.9, Window::default()), &readings);
    assert!(!check.held);
    assert_eq!(check.time_s, Some(0.1));
    // never above after 0.2 s: the distance is negative, and told as it is
    let check = plain(over(0.0, from(0.2)), &readings);
    assert!(check.held);
    assert!(matches!(check.seen, Seen::Value { value, .. } if value == -2.0));
    let under = Asked::Undershoot {
        of: Channel::BoostTrue,
        under: Target::Level {
            value: 200.0,
            gauge: true,
        },
        at_most: 19.0,
        window: Window::default(),
    };
    let check = plain(under, &readings);
    assert!(!check.held);
    assert!(matches!(check.seen, Seen::Value { value, .. } if value == 20.0));
}

#[test]
fn a_moment_between_two_samples_is_the_later_one() {
    let at = |time_s| Asked::Value {
        of: Channel::BoostTrue,
        at: When::Time(time_s),
        bounds: Bounds {
            at_least: Some(200.0),
            at_most: Some(200.0),
            gauge: true,
        },
    };
    let readings = [280.0, 300.0, 310.0];
    assert!(plain(at(0.1), &readings).held);
    assert!(plain(at(0.05), &readings).held);
    assert!(!plain(at(0.11), &readings).held);
    let late = plain(at(0.3), &readings);
    assert!(matches!(late.seen, Seen::CutShort { ended_s } if (ended_s - 0.2).abs() < 1e-9));
}

#[test]
fn never_names_the_first_time_and_the_worst_value() {
    let asked = Asked::Never {
        of: Channel::BoostTrue,
        bounds: Bounds {
            at_least: Some(270.0),
            at_most: Some(305.0),
            gauge: false,
        },
        window: Window::default(),
    };
    let check = plain(asked.clone(), &[280.0, 306.0, 309.0, 260.0]);
    let Seen::Value {
        value,
        first_outside_s,
        ..
    } = check.seen
    else {
        panic!("{:?}", check.seen)
    };
    // 260 lies 10 below, 309 only 4 above
    assert_eq!(value, 260.0);
    assert!(first_outside_s.is_some_and(|first| (first - 0.1).abs() < 1e-9));
    assert!(
        plain(asked, &[270.0, 305.0]).held,
        "the bounds belong to it"
    );
}

#[test]
fn what_has_no_value_fails() {
    let asked = Asked::Never {
        of: Channel::Lambda,
        bounds: Bounds {
            at_least: Some(1.0),
            ..Bounds::default()
        },
        window: Window::default(),
    };
    let check = plain(asked, &[280.0, 300.0]);
    assert!(!check.held && check.seen == Seen::NoValue);
    assert_eq!(check.got, None);
    // no sample between two periods
    let narrow = Window {
        from: Some(When::Time(0.01)),
        until: Some(When::Time(0.09)),
    };
    let check = plain(settles(4.0, 1.0, narrow), &[300.0, 300.0]);
    assert!(!check.held && check.seen == Seen::NoValue);
}

#[test]
fn a_protection_has_until_the_time_given_and_no_longer() {
    let mut samples = trace(&[300.0; 8]);
    samples[5].active_protections = PINNED_SENSOR;
    let events = [event(&samples, EventKind::ReadingPinned, 2)];
    let acts = |within_s, of| Asked::Acts {
        protection: "pinned_sensor",
        within_s,
        of,
    };
    let pinned = Some(When::Event(EventKind::ReadingPinned));
    let held = |asked| judged(asked, &samples, &events, StopKind::Finished).held;
    assert!(held(acts(Some(0.3), pinned)));
    assert!(!held(acts(Some(0.29), pinned)));
    assert!(held(acts(None, None)));
    assert!(!held(acts(None, Some(When::Time(0.6)))), "it acted before");
    // already acting
    assert!(held(acts(Some(0.0), Some(When::Time(0.5)))));
    let free = Some(When::Event(EventKind::ReadingFree));
    let missing = judged(acts(None, free), &samples, &events, StopKind::Finished);
    assert_eq!(missing.seen, Seen::NoEvent(EventKind::ReadingFree));
    let other = Asked::Acts {
        protection: "over_boost",
        within_s: None,
        of: None,
    };
    assert_eq!(
        judged(other, &samples, &events, StopKind::Finished).seen,
        Seen::NotThere
    );
}

#[test]
fn silence_is_judged_inside_its_window() {
    let mut samples = trace(&[300.0; 4]);
    samples[2].active_protections = PINNED_SENSOR;
    let silent = |window| Asked::Silent {
        protection: "pinned_sensor",
        window,
    };
    let held = |window| judged(silent(window), &samples, &[], StopKind::Finished).held;
    assert!(!held(Window::default()));
    assert!(held(from(0.25)));
    assert!(!held(from(0.2)));
}

#[test]
fn events_of_one_sample_are_in_order() {
    let samples = trace(&[300.0; 4]);
    let events = [
        event(&samples, EventKind::ReadingPinned, 1),
        event(&samples, EventKind::VanesAtStop, 1),
        event(&samples, EventKind::FuelCut, 3),
    ];
    let seen = |kinds: &[EventKind]| {
        judged(
            Asked::Order(kinds.to_vec()),
            &samples,
            &events,
            StopKind::Finished,
        )
        .seen
    };
    use EventKind as E;
    assert_eq!(
        seen(&[E::VanesAtStop, E::ReadingPinned, E::FuelCut]),
        Seen::InOrder
    );
    let wrong = seen(&[E::FuelCut, E::ReadingPinned]);
    assert!(matches!(wrong, Seen::OutOfOrder { first, then }
        if first.0 == E::FuelCut && then.0 == E::ReadingPinned));
    assert_eq!(
        seen(&[E::FuelCut, E::SurgeBegins]),
        Seen::NoEvent(E::SurgeBegins)
    );
}

#[test]
fn a_reserve_is_a_share_or_an_amount() {
    let limit = |reserve| Asked::Limit {
        kind: LimitKind::ShaftSpeed,
        reserve,
    };
    let held = |reserve| plain(limit(reserve), &[300.0]).held;
    assert!(held(None));
    assert!(held(Some(Reserve::Share(2.0))) && !held(Some(Reserve::Share(2.1))));
    assert!(held(Some(Reserve::Amount(3e3))) && !held(Some(Reserve::Amount(3.1e3))));
    let other = Asked::Limit {
        kind: LimitKind::TipSpeed,
        reserve: None,
    };
    assert_eq!(plain(other, &[300.0]).seen, Seen::NotThere);
}

#[test]
fn what_a_run_did_not_reach_is_not_held() {
    let samples = trace(&[280.0, 300.0, 300.0]);
    let early = |asked| judged(asked, &samples, &[], StopKind::OutsideValidity);
    let peak = |bounds, window| Asked::Peak {
        of: Channel::BoostTrue,
        bounds,
        window,
    };
    let below = |bound| Bounds {
        at_most: Some(bound),
        ..Bounds::default()
    };
    let inside = Window {
        from: None,
        until: Some(When::Time(0.2)),
    };
    assert!(early(peak(below(310.0), inside)).held);
    let check = early(peak(below(310.0), Window::default()));
    assert!(!check.held && matches!(check.seen, Seen::CutShort { .. }));
    // what was passed is told, not that the run was short
    let check = early(peak(below(290.0), Window::default()));
    assert!(matches!(check.seen, Seen::Value { value, .. } if value == 300.0));
    let check = early(settles(4.0, 1.0, Window::default()));
    assert!(matches!(check.seen, Seen::CutShort { .. }));
    let reversed = Window {
        from: Some(When::Time(0.2)),
        until: Some(When::Time(0.1)),
    };
    let check = early(peak(below(310.0), reversed));
    assert!(matches!(check.seen, Seen::NoWindow { .. }));
}
