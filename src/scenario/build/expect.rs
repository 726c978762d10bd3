//! What is expected of a run, in the units of its channels.
use crate::judgement::{
    Asked, Bounds, Channel, Check, Expectations, Target, Verdict, When, Window,
};
use crate::scenario::amount::{self, Level};
use crate::scenario::checked::{Expect, ExpectCheck, ExpectedVerdict};
use crate::scenario::file::{Amount, Moment};

/// Everything that is expected. What the checks have let pass can be built; a check
/// that cannot is left out.
pub fn expectations(expect: &Expect) -> Expectations {
    let verdict = expect.verdict.as_ref().map(|verdict| Check {
        name: "verdict".to_owned(),
        asked: Asked::Verdict(match verdict {
            ExpectedVerdict::Held => Verdict::Held,
            ExpectedVerdict::Exceeded => Verdict::Exceeded,
            ExpectedVerdict::OutsideValidity => Verdict::OutsideValidity,
        }),
        must_fail: expect.must_fail.iter().any(|name| name == "verdict"),
    });
    let checks = expect.checks.iter().flatten().filter_map(|check| {
        let name = check.called();
        Some(Check {
            asked: asked(check)?,
            must_fail: expect.must_fail.contains(&name),
            name,
        })
    });
    Expectations {
        says: expect.says.clone(),
        checks: verdict.into_iter().chain(checks).collect(),
    }
}

fn asked(check: &ExpectCheck) -> Option<Asked> {
    if let Some(peak) = &check.peak {
        let of = peak.of.0;
        return Some(Asked::Peak {
            of,
            bounds: bounds(of, peak.at_least.as_ref(), peak.at_most.as_ref())?,
            window: window(peak.from, peak.until),
        });
    }
    if let Some(value) = &check.value {
        let of = value.of.0;
        return Some(Asked::Value {
            of,
            at: when(value.at),
            bounds: bounds(of, value.at_least.as_ref(), value.at_most.as_ref())?,
        });
    }
    if let Some(never) = &check.never {
        let of = never.of.0;
        return Some(Asked::Never {
            of,
            bounds: bounds(of, never.below.as_ref(), never.above.as_ref())?,
            window: window(never.from, never.until),
        });
    }
    near_target(check).or_else(|| of_names(check))
}

/// The kinds that are held against a target.
fn near_target(check: &ExpectCheck) -> Option<Asked> {
    if let Some(settles) = &check.settles {
        let of = settles.of.0;
        return Some(Asked::Settles {
            of,
            to: target(of, settles.to.as_ref())?,
            within: amount::difference(of, &settles.within).ok()?,
            in_s: settles.r#in.s(),
            window: window(settles.after, settles.until),
        });
    }
    if let Some(over) = &check.overshoot {
        let of = over.of.0;
        return Some(Asked::Overshoot {
            of,
            over: target(of, over.over.as_ref())?,
            at_most: amount::difference(of, &over.at_most).ok()?,
            window: window(over.from, over.until),
        });
    }
    let under = check.undershoot.as_ref()?;
    let of = under.of.0;
    Some(Asked::Undershoot {
        of,
        under: target(of, under.under.as_ref())?,
        at_most: amount::difference(of, &under.at_most).ok()?,
        window: window(under.from, under.until),
    })
}

/// The kinds that go by the name of a limit, a protection, events.
fn of_names(check: &ExpectCheck) -> Option<Asked> {
    if let Some(limit) = &check.limit {
        let kind = limit.name.0;
        let reserve = limit.reserve.as_ref();
        return Some(Asked::Limit {
            kind,
            reserve: match reserve.map(|written| amount::reserve(kind, written)) {
                Some(reserve) => Some(reserve.ok()?),
                None => None,
            },
        });
    }
    if let Some(acts) = &check.acts {
        return Some(Asked::Acts {
            protection: acts.protection.0,
            within_s: acts.within.map(|within| within.s()),
            of: acts.of.map(when),
        });
    }
    if let Some(silent) = &check.silent {
        return Some(Asked::Silent {
            protection: silent.protection.0,
            window: window(silent.from, silent.until),
        });
    }
    let order = check.order.as_ref()?;
    Some(Asked::Order(
        order.events.iter().map(|event| event.0).collect(),
    ))
}

fn when(moment: Moment) -> When {
    match moment {
        Moment::Time(time) => When::Time(time.s()),
        Moment::Event(kind) => When::Event(kind),
    }
}

fn window(from: Option<Moment>, until: Option<Moment>) -> Window {
    Window {
        from: from.map(when),
        until: until.map(when),
    }
}

fn bounds(of: Channel, low: Option<&Amount>, high: Option<&Amount>) -> Option<Bounds> {
    let read = |written: Option<&Amount>| written.and_then(|w| amount::level(of, w).ok());
    let (low, high) = (read(low), read(high));
    Some(Bounds {
        gauge: low.or(high)?.gauge,
        at_least: low.map(|level| level.value),
        at_most: high.map(|level| level.value),
    })
}

fn target(of: Channel, written: Option<&Amount>) -> Option<Target> {
    let Some(written) = written else {
        return Some(Target::Command);
    };
    let Level { value, gauge } = amount::level(of, written).ok()?;
    Some(Target::Level { value, gauge })
}
