//! Each kind of check against a finished run.
use super::course::{Course, SAME_TIME_S, above, level};
use super::facts::CheckResult;
use super::{Asked, Bounds, Expectations, Reserve, Seen, When, Window};
use crate::judgement::channel::Channel;
use crate::judgement::events::{Event, EventKind};
use crate::judgement::limit::LimitKind;
use crate::judgement::result::RunResult;
use crate::simulation::{PROTECTIONS, Sample};

/// Holds a run against what is expected of it; one answer for each check, in order.
pub fn judge_expectations(
    expectations: &Expectations,
    result: &RunResult,
    samples: &[Sample],
    events: &[Event],
) -> Vec<CheckResult> {
    let course = Course {
        result,
        samples,
        events,
    };
    let judged = expectations.checks.iter().map(|check| {
        let (seen, held) = match seen(&check.asked, &course) {
            Ok(seen) => {
                let held = held(&check.asked, &seen);
                (seen, held)
            }
            Err(seen) => (seen, false),
        };
        CheckResult::new(check, seen, held)
    });
    judged.collect()
}

/// What is seen of a check; an error where nothing can be said but that it failed.
fn seen(asked: &Asked, course: &Course) -> Result<Seen, Seen> {
    match *asked {
        Asked::Verdict(_) => Ok(ended(course)),
        Asked::Peak { of, bounds, window } => peak(course, of, bounds, window),
        Asked::Value { of, at, bounds } => value(course, of, at, bounds),
        Asked::Never { of, bounds, window } => never(course, of, bounds, window),
        Asked::Settles {
            of,
            to,
            within,
            window,
            ..
        } => settles(course, |s| above(of, to, s), within, window),
        Asked::Overshoot {
            of,
            over,
            at_most,
            window,
        } => furthest(course, |s| above(of, over, s), at_most, window),
        Asked::Undershoot {
            of,
            under,
            at_most,
            window,
        } => furthest(course, |s| Some(-above(of, under, s)?), at_most, window),
        Asked::Limit { kind, .. } => limit(course, kind),
        Asked::Acts {
            protection,
            within_s,
            of,
        } => {
            let window = Window {
                from: of,
                until: None,
            };
            acts(course, protection, within_s, window)
        }
        Asked::Silent { protection, window } => acts(course, protection, None, window),
        Asked::Order(ref events) => order(course, events),
        // its answers are made by `judge_baseline`, which knows what is stored
        Asked::Baseline(_) => Err(Seen::NoValue),
    }
}

/// Whether what was seen is what was asked for.
fn held(asked: &Asked, seen: &Seen) -> bool {
    match (asked, seen) {
        (Asked::Verdict(wanted), Seen::Ended { verdict, .. }) => wanted == verdict,
        (Asked::Peak { bounds, .. } | Asked::Value { bounds, .. }, Seen::Value { value, .. }) => {
            !bounds.is_outside(*value)
        }
        (
            Asked::Never { .. } | Asked::Overshoot { .. } | Asked::Undershoot { .. },
            Seen::Value {
                first_outside_s, ..
            },
        ) => first_outside_s.is_none(),
        (Asked::Settles { in_s, .. }, Seen::Settled { took_s, .. }) => {
            *took_s <= in_s + SAME_TIME_S
        }
        (Asked::Limit { reserve, .. }, seen) => reserve_is_left(*reserve, seen),
        (Asked::Acts { within_s, .. }, Seen::Acted { from_s, time_s }) => {
            within_s.is_none_or(|within_s| time_s - from_s <= within_s + SAME_TIME_S)
        }
        (Asked::Silent { .. }, Seen::NeverActed { .. }) => true,
        (Asked::Order(_), Seen::InOrder) => true,
        _ => false,
    }
}

fn ended(course: &Course) -> Seen {
    let result = course.result;
    let exceeded = result.limits.iter().filter(|limit| !limit.held);
    Seen::Ended {
        verdict: result.verdict,
        exceeded: exceeded.map(|limit| limit.name.clone()).collect(),
        stopped: course
            .ended_early()
            .then(|| result.why_stopped.text.clone()),
    }
}

fn peak(course: &Course, of: Channel, bounds: Bounds, window: Window) -> Result<Seen, Seen> {
    let part = course.part(window)?;
    let (value, time_s) =
        highest(part.samples, |s| level(of, bounds.gauge, s)).ok_or(Seen::NoValue)?;
    // what was not simulated could still have brought the peak that decides
    let decided = bounds.is_above(value) || (bounds.at_most.is_none() && !bounds.is_below(value));
    if part.cut && !decided {
        return Err(course.cut_short());
    }
    Ok(Seen::Value {
        value,
        time_s,
        first_outside_s: None,
    })
}

fn value(course: &Course, of: Channel, at: When, bounds: Bounds) -> Result<Seen, Seen> {
    let at_s = course.time_s(at)?;
    let sample = (course.samples.get(course.first_at(at_s))).ok_or_else(|| course.cut_short())?;
    Ok(Seen::Value {
        value: level(of, bounds.gauge, sample).ok_or(Seen::NoValue)?,
        time_s: sample.time_s,
        first_outside_s: None,
    })
}

/// The value furthest out on a side that was left, or else nearest to a bound.
fn never(course: &Course, of: Channel, bounds: Bounds, window: Window) -> Result<Seen, Seen> {
    let part = course.part(window)?;
    let beyond = |s: &Sample| {
        let value = level(of, bounds.gauge, s)?;
        let over = bounds.at_most.map(|bound| value - bound);
        let under = bounds.at_least.map(|bound| bound - value);
        over.into_iter().chain(under).reduce(f64::max)
    };
    let (_, time_s) = highest(part.samples, beyond).ok_or(Seen::NoValue)?;
    let outside = |s: &&Sample| level(of, bounds.gauge, s).is_some_and(|v| bounds.is_outside(v));
    let first_outside_s = part.samples.iter().find(outside).map(|s| s.time_s);
    if part.cut && first_outside_s.is_none() {
        return Err(course.cut_short());
    }
    let worst = part.samples.iter().find(|s| s.time_s == time_s);
    Ok(Seen::Value {
        value: worst
            .and_then(|s| level(of, bounds.gauge, s))
            .ok_or(Seen::NoValue)?,
        time_s,
        first_outside_s,
    })
}

/// The first time from which a distance stays small to the end of the window. A
/// sample without a value counts as outside.
fn settles(
    course: &Course,
    off: impl Fn(&Sample) -> Option<f64>,
    within: f64,
    window: Window,
) -> Result<Seen, Seen> {
    let part = course.part(window)?;
    if part.samples.iter().all(|s| off(s).is_none()) {
        return Err(Seen::NoValue);
    }
    let band = Bounds {
        at_most: Some(within),
        ..Bounds::default()
    };
    let outside = |s: &Sample| off(s).is_none_or(|off| band.is_above(off.abs()));
    let settled = part.samples.iter().rposition(outside).map_or(0, |i| i + 1);
    let Some(first) = part.samples.get(settled) else {
        let last = part.samples.iter().rev().find_map(|s| Some((s, off(s)?)));
        let (last, off) = last.ok_or(Seen::NoValue)?;
        return Ok(Seen::NeverSettled {
            off,
            time_s: last.time_s,
        });
    };
    if part.cut {
        return Err(course.cut_short());
    }
    Ok(Seen::Settled {
        from_s: part.from_s,
        took_s: (first.time_s - part.from_s).max(0.0),
    })
}

/// How far a distance goes at most.
fn furthest(
    course: &Course,
    off: impl Fn(&Sample) -> Option<f64>,
    at_most: f64,
    window: Window,
) -> Result<Seen, Seen> {
    let part = course.part(window)?;
    let (value, time_s) = highest(part.samples, &off).ok_or(Seen::NoValue)?;
    let allowed = Bounds {
        at_most: Some(at_most),
        ..Bounds::default()
    };
    let outside = |s: &&Sample| off(s).is_some_and(|off| allowed.is_above(off));
    let first_outside_s = part.samples.iter().find(outside).map(|s| s.time_s);
    if part.cut && first_outside_s.is_none() {
        return Err(course.cut_short());
    }
    Ok(Seen::Value {
        value,
        time_s,
        first_outside_s,
    })
}

fn limit(course: &Course, kind: LimitKind) -> Result<Seen, Seen> {
    let limits = &course.result.limits;
    let limit = (limits.iter().find(|limit| limit.name == kind.name())).ok_or(Seen::NotThere)?;
    if limit.held && course.ended_early() {
        return Err(course.cut_short());
    }
    Ok(match (limit.worst, limit.headroom, limit.time_s) {
        (Some(value), Some(headroom), Some(time_s)) => Seen::Worst {
            value,
            limit: limit.limit,
            headroom,
            headroom_pct: limit.headroom_pct.filter(|pct| pct.is_finite()),
            time_s,
        },
        _ => Seen::NeverApplied,
    })
}

/// A limit that was never put to the test is held, but nothing is known of a reserve.
fn reserve_is_left(reserve: Option<Reserve>, seen: &Seen) -> bool {
    let Seen::Worst {
        headroom,
        headroom_pct,
        ..
    } = *seen
    else {
        return matches!(seen, Seen::NeverApplied) && reserve.is_none();
    };
    let (left, wanted) = match reserve {
        None => (Some(headroom), 0.0),
        Some(Reserve::Amount(wanted)) => (Some(headroom), wanted),
        Some(Reserve::Share(wanted)) => (headroom_pct, wanted),
    };
    let wanted = Bounds {
        at_least: Some(wanted),
        ..Bounds::default()
    };
    left.is_some_and(|left| !wanted.is_below(left))
}

/// The first sample in a window at which a protection acts. A run that ends early
/// before it was due tells nothing.
fn acts(
    course: &Course,
    protection: &str,
    within_s: Option<f64>,
    window: Window,
) -> Result<Seen, Seen> {
    let bit = bit(course, protection)?;
    let part = course.part(window)?;
    let from_s = part.from_s;
    let due_s = within_s.map_or(f64::INFINITY, |within_s| from_s + within_s);
    match part
        .samples
        .iter()
        .find(|s| s.active_protections & bit != 0)
    {
        Some(acting) => Ok(Seen::Acted {
            from_s,
            time_s: acting.time_s,
        }),
        None if part.cut && due_s > course.end_s() => Err(course.cut_short()),
        None => Ok(Seen::NeverActed { from_s }),
    }
}

/// The bit of a protection that the controller has.
fn bit(course: &Course, protection: &str) -> Result<u8, Seen> {
    let fitted = &course.result.protections;
    let place = PROTECTIONS.iter().position(|name| *name == protection);
    match place {
        Some(place) if fitted.iter().any(|p| p.name == protection) => Ok(1 << place),
        _ => Err(Seen::NotThere),
    }
}

/// The protection that an event is of.
fn protection_of(kind: EventKind) -> Option<&'static str> {
    use EventKind as E;
    match kind {
        E::ProtectionActs(name)
        | E::ProtectionRests(name)
        | E::ProtectionBlind(name)
        | E::ProtectionSees(name) => Some(name),
        _ => None,
    }
}

/// Whether the first times of events follow each other; those of one sample do.
fn order(course: &Course, events: &[EventKind]) -> Result<Seen, Seen> {
    let mut before: Option<(EventKind, f64)> = None;
    for &kind in events {
        if protection_of(kind).is_some_and(|name| bit(course, name).is_err()) {
            return Err(Seen::NoProtectionFor(kind));
        }
        let time_s = course.time_s(When::Event(kind))?;
        if let Some(first) = before
            && time_s < first.1 - SAME_TIME_S
        {
            return Ok(Seen::OutOfOrder {
                first,
                then: (kind, time_s),
            });
        }
        before = Some((kind, time_s));
    }
    Ok(Seen::InOrder)
}

/// The highest value with the first time of it.
fn highest(samples: &[Sample], value: impl Fn(&Sample) -> Option<f64>) -> Option<(f64, f64)> {
    let known = samples.iter().filter_map(|s| Some((value(s)?, s.time_s)));
    known.fold(None, |best: Option<(f64, f64)>, now| match best {
        Some(best) if best.0 >= now.0 => Some(best),
        _ => Some(now),
    })
}
