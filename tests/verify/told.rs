//! How answers are told: words, units and bounds that fit what was found.
use super::traces::{from, plain, result, settles, trace};
use super::{HOLD, case, folder, says};
use ringfence::judgement::{
    Asked, Bounds, Channel, Check, CheckResult, Expectations, LimitKind, Reserve, StopKind, Target,
    Window, judge_expectations,
};
use ringfence::report::{Units, check_text};

fn told(check: &CheckResult) -> String {
    check_text(check, Units::Si)
}

fn shaft_speed(reserve: Option<Reserve>) -> Asked {
    Asked::Limit {
        kind: LimitKind::ShaftSpeed,
        reserve,
    }
}

/// The way from a unit and back leaves values beyond their bound by some 1e-15 of it;
/// these lie further out than that and well inside the 1e-9 that is forgiven.
#[test]
fn what_holds_by_rounding_is_not_told_as_beyond_its_bound() {
    let readings = [280.0, 306.0, 304.0, 300.0];
    let late = plain(settles(4.0, 0.2 - 5e-10, Window::default()), &readings);
    assert!(late.held);
    assert!(
        told(&late).ends_with("; 0.20 s is allowed"),
        "{}",
        told(&late)
    );
    let over = Asked::Overshoot {
        of: Channel::BoostTrue,
        over: Target::Command,
        at_most: 6.0 - 5e-10,
        window: Window::default(),
    };
    let over = plain(over, &readings);
    assert!(over.held);
    assert!(
        told(&over).ends_with("; 6.0 kPa is allowed"),
        "{}",
        told(&over)
    );
    let peak = |at_most| Asked::Peak {
        of: Channel::BoostTrue,
        bounds: Bounds {
            at_most: Some(at_most),
            ..Bounds::default()
        },
        window: Window::default(),
    };
    let near = plain(peak(306.0 - 1e-8), &readings);
    assert!(near.held);
    assert!(
        told(&near).ends_with(", just the 306.0 kPa abs allowed"),
        "{}",
        told(&near)
    );
    let beyond = plain(peak(305.9), &readings);
    assert!(
        told(&beyond).ends_with(", 0.1 kPa above 305.9 kPa abs"),
        "{}",
        told(&beyond)
    );
    // a limit
    let mut at_limit = result(StopKind::Finished);
    at_limit.limits[0].headroom = Some(-5e-10);
    at_limit.limits[0].worst = Some(150e3 + 5e-10);
    let expectations = Expectations {
        says: None,
        checks: vec![Check {
            name: "it".to_owned(),
            asked: shaft_speed(None),
            must_fail: false,
        }],
    };
    let samples = trace(&readings);
    let check = judge_expectations(&expectations, &at_limit, &samples, &[]).remove(0);
    assert!(check.held);
    let text = told(&check);
    assert!(
        !text.contains("past") && text.contains("leaves 0.0 krpm to"),
        "{text}"
    );
}

#[test]
fn a_tolerance_has_a_unit_of_its_own() {
    let of = |asked| {
        let check = plain(asked, &[300.0, 300.0]);
        (check.tolerance, check.tolerance_unit, check.unit)
    };
    assert_eq!(
        of(settles(4.0, 1.0, from(0.0))),
        (Some(4.0), Some("kPa"), Some("s"))
    );
    let share = Some(Reserve::Share(3.0));
    assert_eq!(of(shaft_speed(share)), (Some(3.0), Some("%"), Some("rpm")));
    let amount = Some(Reserve::Amount(2e3));
    assert_eq!(
        of(shaft_speed(amount)),
        (Some(2e3), Some("rpm"), Some("rpm"))
    );
    assert_eq!(of(shaft_speed(None)), (None, None, Some("rpm")));
}

#[test]
fn the_end_of_the_procedure_is_told_as_it_is_written() {
    let bench = folder();
    let check = "  checks: [{value: {of: boost_true, at: 20 s, at_least: 1 kPa abs}}]\n";
    case(&bench, "late", &HOLD.replace("2 s", "9.2 s"), check);
    let said = bench.call(&["verify", "suite/late.yaml"]).ends_with(2);
    says(&said, &["from 0 s to 9.2 s"]);
    assert!(!said.err.contains("9.200"), "{}", said.err);
}

#[test]
fn a_case_that_could_not_be_judged_keeps_its_reason() {
    let bench = folder();
    let unknown = "  checks: [{peak: {of: shaft, at_most: 1 rpm}}]\n";
    case(&bench, "wrong", HOLD, unknown);
    bench
        .call(&[
            "verify",
            "suite/wrong.yaml",
            "missing.yaml",
            "--out",
            "report",
        ])
        .ends_with(2);
    let text = bench.read("report/verify.txt");
    let page = bench.read("report/report.html");
    assert!(page.contains("Not judged: suite/wrong.yaml"), "{page}");
    for part in [
        "suite/wrong.yaml:5:",
        "`shaft` is not the name of a channel",
        "there is no such file",
    ] {
        assert!(text.contains(part), "{part} in {text}");
        assert!(page.contains(part), "{part} in {page}");
    }
    assert!(
        text.contains("Cautions\n") && !text.contains('\u{1b}'),
        "{text}"
    );
    let (_, code) = page.split_once("<pre>").expect("a block of lines");
    let (code, _) = code.split_once("</pre>").expect("its end");
    assert!(code.lines().count() > 3, "{code}");
    assert!(code.contains("expect.checks.0.peak.of"), "{code}");
}
