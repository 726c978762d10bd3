//! A check that has to fail shows something only where it saw something.
use super::traces::{event, from, judged, plain, settles, trace};
use super::{PINNED, case, folder, says};
use ringfence::judgement::{
    Asked, Bounds, Channel, CheckResult, EventKind, LimitKind, Reserve, StopKind, Verdict, When,
    Window,
};
use ringfence::report::{Units, check_text};

fn peak(at_most: f64, window: Window) -> Asked {
    Asked::Peak {
        of: Channel::BoostTrue,
        bounds: Bounds {
            at_most: Some(at_most),
            ..Bounds::default()
        },
        window,
    }
}

fn since(kind: EventKind) -> Window {
    Window {
        from: Some(When::Event(kind)),
        until: None,
    }
}

/// The same check where it has to fail.
fn listed(mut check: CheckResult) -> CheckResult {
    check.must_fail = true;
    check
}

#[test]
fn what_was_seen_to_fail_is_right() {
    let samples = trace(&[280.0, 300.0, 310.0]);
    let events = [
        event(&samples, EventKind::ReadingPinned, 2),
        event(&samples, EventKind::FuelCut, 1),
    ];
    let acts = |protection| Asked::Acts {
        protection,
        within_s: None,
        of: None,
    };
    let gone = EventKind::ProtectionActs("over_boost");
    for asked in [
        Asked::Verdict(Verdict::Exceeded),
        peak(290.0, Window::default()),
        settles(1.0, 0.1, Window::default()),
        Asked::Limit {
            kind: LimitKind::ShaftSpeed,
            reserve: Some(Reserve::Share(3.0)),
        },
        // it is there and never acts; it is not there
        acts("pinned_sensor"),
        acts("over_boost"),
        Asked::Silent {
            protection: "over_boost",
            window: Window::default(),
        },
        Asked::Order(vec![EventKind::ReadingPinned, EventKind::FuelCut]),
        Asked::Order(vec![EventKind::FuelCut, gone]),
    ] {
        let check = listed(judged(asked, &samples, &events, StopKind::Finished));
        assert!(!check.held && check.is_right(), "{check:?}");
        let text = check_text(&check, Units::Si);
        assert!(text.ends_with(", as it must"), "{text}");
    }
}

#[test]
fn what_saw_nothing_is_wrong_and_says_so() {
    let samples = trace(&[280.0, 300.0, 310.0]);
    let gone = EventKind::ProtectionActs("over_boost");
    let narrow = Window {
        from: Some(When::Time(0.01)),
        until: Some(When::Time(0.09)),
    };
    let reversed = Window {
        until: Some(When::Time(0.1)),
        ..from(0.2)
    };
    for (asked, words) in [
        (peak(290.0, since(gone)), "over_boost never happened"),
        (peak(290.0, since(EventKind::FuelCut)), "never happened"),
        (peak(290.0, narrow), "has no value there"),
        (peak(290.0, reversed), "before it begins"),
        (Asked::Order(vec![EventKind::FuelCut]), "never happened"),
        (
            Asked::Limit {
                kind: LimitKind::TipSpeed,
                reserve: None,
            },
            "has no limit",
        ),
    ] {
        let check = listed(judged(asked, &samples, &[], StopKind::Finished));
        assert!(!check.held && !check.is_right(), "{check:?}");
        let text = check_text(&check, Units::Si);
        assert!(
            text.contains("should have failed (`must_fail`) and saw nothing"),
            "{text}"
        );
        assert!(text.contains(words), "{text}");
    }
    // a run that ended before
    let early = judged(
        peak(400.0, from(0.0)),
        &samples,
        &[],
        StopKind::OutsideValidity,
    );
    assert!(!listed(early).is_right());
    // what held is as wrong as it was
    assert!(!listed(plain(peak(400.0, from(0.0)), &[300.0])).is_right());
}

/// Through the whole program: the window of the check begins with what is gone.
#[test]
fn a_case_does_not_pass_by_a_window_that_never_began() {
    let bench = folder();
    case(
        &bench,
        "watched",
        PINNED,
        "  checks:
    - overshoot: {of: boost_true, at_most: 200 kPa, from: protection_acts.pinned_sensor}
",
    );
    bench.call(&["verify", "suite/watched.yaml"]).ends_with(0);
    bench.write(
        "suite/without.yaml",
        "extends: watched.yaml\ncontroller: {protections: {pinned_sensor: null}}\n\
         expect: {must_fail: [overshoot boost_true]}\n",
    );
    let said = bench.call(&["verify", "suite/without.yaml"]).ends_with(1);
    says(&said, &["FAIL", "saw nothing"]);
}
