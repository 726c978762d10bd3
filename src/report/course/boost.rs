//! Boost and its command: reached, passed over, missed, out of reach.
use super::Weight;
use super::tale::{
    Order, Span, Tale, Told, closed, engine, episodes, highest, lowest, seconds, times,
};
use crate::judgement::EventKind;
use crate::report::advice::LONGEST_SPOOL_UP_S;
use crate::simulation::Sample;

/// Passing over the command by less is no overshoot worth a word \[kPa\]: the
/// distance within which a command counts as reached.
const OVERSHOOT_KPA: f64 = 5.0;
/// Boost that falls behind by less, or for a shorter time, is left out.
const BEHIND_KPA: f64 = 10.0;
const BEHIND_S: f64 = 0.5;
/// A command this near above the top is just crossing it \[kPa\].
const CROSSING_KPA: f64 = 1.0;
/// So many times behind the command are told one by one.
const FEW: usize = 2;
/// A command that falls faster leaves boost above it without an overshoot \[kPa/s\].
const FALLING_KPA_S: f64 = 5.0;

/// Everything about the command.
pub(super) fn told(tale: &Tale) -> Vec<Told> {
    let mut told = Vec::new();
    told.extend(above_readable(tale));
    told.extend(at_the_stop(tale));
    told.extend(reached(tale));
    told.extend(behind(tale));
    told.extend(past_unread(tale));
    told.extend(never_reached(tale));
    told
}

/// The command goes above what the sensor can read.
fn above_readable(tale: &Tale) -> Option<Told> {
    let spans = tale.spans(
        EventKind::CommandAboveReadable,
        EventKind::CommandReadableAgain,
    );
    let first = spans.first()?;
    let readable = tale.result.sensor.readable_ceiling_kpa_abs?;
    let command = first.from.boost_command_kpa_abs?;
    let peak = highest(tale.during(first), command_of)?;
    let higher = match peak.boost_command_kpa_abs {
        Some(peak_kpa) if peak_kpa > command + CROSSING_KPA => format!(
            "It goes up to {}, at {}.",
            tale.abs(peak_kpa),
            seconds(peak.time_s)
        ),
        _ => String::new(),
    };
    let how_long = match first.to {
        _ if spans.len() > 1 => format!("It does so {} in all.", times(spans.len())),
        Some(to) => format!("It comes back down at {}.", seconds(to.time_s)),
        None => String::new(),
    };
    let unmet = if tale.samples.iter().any(|s| s.pinned) {
        String::new()
    } else {
        "Boost does not come that far in this run.".to_owned()
    };
    let sentence = if command - readable < CROSSING_KPA {
        format!(
            "The command goes above {}, the most that the boost sensor can read.",
            tale.abs(readable)
        )
    } else {
        format!(
            "The command, {}, is {} above the most that the boost sensor can read.",
            tale.abs(command),
            tale.difference(command - readable)
        )
    };
    let sentences = vec![sentence, higher, unmet, how_long];
    let told = Told::new(first.from.time_s, Order::Command, 120, sentences);
    Some(told.with(Weight::Warning))
}

fn command_of(s: &Sample) -> f64 {
    s.boost_command_kpa_abs.unwrap_or(f64::NEG_INFINITY)
}

/// How far true boost is below the command; nothing without a command.
fn short_by_kpa(s: &Sample) -> f64 {
    s.boost_command_kpa_abs
        .map_or(0.0, |command| command - s.boost_true_kpa_abs)
}

/// The vanes stand at their closed stop: on the way up, or out of reach.
fn at_the_stop(tale: &Tale) -> Vec<Told> {
    let spans = tale.spans(
        EventKind::CommandUnreachable,
        EventKind::CommandReachableAgain,
    );
    let (long, short): (Vec<Span>, Vec<Span>) =
        (spans.into_iter()).partition(|span| span.lasts_s() > LONGEST_SPOOL_UP_S);
    let mut told: Vec<Told> = long.iter().map(|span| out_of_reach(tale, span)).collect();
    told.extend(short.first().and_then(|span| spool_up(tale, span)));
    told
}

fn out_of_reach(tale: &Tale, span: &Span) -> Told {
    let s = &span.from;
    let first = format!(
        "The vanes stand at their closed stop, {}, and boost is {} short of the command, {}: out of \
         reach here.",
        closed(s.vane_closed_pct),
        tale.difference(short_by_kpa(s)),
        tale.abs(command_of(s))
    );
    let most =
        highest(tale.during(span), |s| s.boost_true_kpa_abs).map_or_else(String::new, |best| {
            format!(
                "It stays so {}; boost gets to {} at most.",
                tale.till(span),
                tale.abs(best.boost_true_kpa_abs)
            )
        });
    Told::new(s.time_s, Order::Boost, 110, vec![first, most]).with(Weight::Warning)
}

fn spool_up(tale: &Tale, span: &Span) -> Option<Told> {
    let (from, to) = (&span.from, span.to?);
    (to.boost_true_kpa_abs > from.boost_true_kpa_abs + OVERSHOOT_KPA).then(|| {
        let sentence = format!(
            "The vanes come to their closed stop, {}, and leave it at {}; meanwhile boost builds {}.",
            closed(from.vane_closed_pct),
            seconds(to.time_s),
            tale.abs_way(from.boost_true_kpa_abs, to.boost_true_kpa_abs)
        );
        Told::new(from.time_s, Order::Boost, 20, vec![sentence])
    })
}

/// When boost comes up to its command for the first time: not where the command
/// falls to it.
fn first_reached(tale: &Tale) -> Option<Span> {
    let spans = tale.spans(EventKind::CommandReached, EventKind::CommandMissed);
    spans.into_iter().find(|span| {
        (tale.before(span.from.time_s))
            .is_some_and(|before| command_of(before) <= command_of(&span.from))
    })
}

/// From there on the loop no longer does what it is built for: a fault sets in, the
/// reading is pinned, a protection takes over.
fn disturbed_s(tale: &Tale, after_s: f64) -> f64 {
    (tale.events.iter())
        .filter(|event| event.at.time_s >= after_s)
        .find(|event| {
            matches!(
                event.kind,
                EventKind::FaultSetsIn(_) | EventKind::ReadingPinned | EventKind::ProtectionActs(_)
            )
        })
        .map_or(f64::INFINITY, |event| event.at.time_s)
}

/// Boost comes up to its command, and goes past it.
fn reached(tale: &Tale) -> Option<Told> {
    let span = first_reached(tale)?;
    let s = &span.from;
    let undisturbed_s = span.until_s.min(disturbed_s(tale, s.time_s));
    let command = s.boost_command_kpa_abs?;
    let first = format!(
        "Boost comes up to its command: true boost {}, command {}, at {} with the vanes {}.",
        tale.bare(s.boost_true_kpa_abs),
        tale.abs(command),
        engine(s),
        closed(s.vane_closed_pct)
    );
    let over = first_swing(tale.within(s.time_s, undisturbed_s))
        .filter(|peak| -short_by_kpa(peak) >= OVERSHOOT_KPA)
        .map_or_else(String::new, |peak| {
            format!(
                "It goes {} past it, at {}.",
                tale.difference(-short_by_kpa(peak)),
                seconds(peak.time_s)
            )
        });
    Some(Told::new(s.time_s, Order::Boost, 50, vec![first, over]))
}

/// The highest point above the command before boost comes back to it or the
/// command falls away from it.
fn first_swing(samples: &[Sample]) -> Option<&Sample> {
    let above = samples.iter().position(|s| short_by_kpa(s) < 0.0)?;
    let rest = &samples[above..];
    let falls = |pair: &[Sample]| {
        let fall = command_of(&pair[0]) - command_of(&pair[1]);
        fall > FALLING_KPA_S * (pair[1].time_s - pair[0].time_s)
    };
    let back = rest.iter().position(|s| short_by_kpa(s) >= 0.0);
    let fallen = rest.windows(2).position(falls).map(|index| index + 1);
    let end = [back, fallen]
        .into_iter()
        .flatten()
        .min()
        .unwrap_or(rest.len());
    lowest(&rest[..end], short_by_kpa)
}

/// Boost falls behind the command after it had been there.
fn behind(tale: &Tale) -> Vec<Told> {
    let spans = tale.spans(EventKind::CommandMissed, EventKind::CommandReached);
    let worst = |span: &Span| highest(tale.during(span), short_by_kpa).copied();
    let behind: Vec<(Span, Sample)> = spans
        .into_iter()
        .filter(|span| span.from.boost_command_kpa_abs.is_some() && span.lasts_s() >= BEHIND_S)
        .filter_map(|span| Some((span, worst(&span)?)))
        .filter(|(_, worst)| short_by_kpa(worst) >= BEHIND_KPA)
        .collect();
    if behind.len() <= FEW {
        return behind
            .iter()
            .map(|(span, worst)| one_behind(tale, span, worst))
            .collect();
    }
    let all: Vec<Sample> = behind.iter().map(|(_, worst)| *worst).collect();
    let worst = highest(&all, short_by_kpa);
    let all = episodes(
        behind.iter().map(|(span, _)| *span).collect(),
        f64::INFINITY,
    );
    let (Some(worst), Some(all)) = (worst, all.first()) else {
        return Vec::new();
    };
    let sentence = format!(
        "From here boost falls behind its command {}, by {} at most, at {}.",
        times(all.spans.len()),
        tale.difference(short_by_kpa(worst)),
        seconds(worst.time_s)
    );
    vec![Told::new(
        all.from().time_s,
        Order::Boost,
        30,
        vec![sentence],
    )]
}

fn one_behind(tale: &Tale, span: &Span, worst: &Sample) -> Told {
    let end = match span.to {
        // that moment has words of its own
        Some(to) if first_reached(tale).is_some_and(|r| r.from.time_s == to.time_s) => {
            String::new()
        }
        Some(to) => format!("; it is back at {}", seconds(to.time_s)),
        // the reading does not come back, boost does
        None if tale.during(span).iter().any(is_past_unread) => String::new(),
        None => "; it does not come back before the end".to_owned(),
    };
    let sentence = format!(
        "Boost falls behind its command, by {} at most, at {}{end}.",
        tale.difference(short_by_kpa(worst)),
        seconds(worst.time_s)
    );
    Told::new(span.from.time_s, Order::Boost, 30, vec![sentence])
}

/// True boost is past its command while the reading falls short of it.
fn is_past_unread(s: &Sample) -> bool {
    let short = command_of(s) - s.boost_sensed_kpa_abs >= OVERSHOOT_KPA;
    s.boost_command_kpa_abs.is_some() && short && -short_by_kpa(s) >= OVERSHOOT_KPA
}

/// The controller asks for more of what it has too much of.
fn past_unread(tale: &Tale) -> Option<Told> {
    let first = tale.samples.iter().find(|s| is_past_unread(s))?;
    let past = |s: &Sample| {
        if is_past_unread(s) {
            -short_by_kpa(s)
        } else {
            0.0
        }
    };
    let most = highest(tale.samples, past)?;
    let what = format!(
        "True boost, {}, is past its command, {}, and the reading says {}: the controller still \
         asks for more.",
        tale.bare(first.boost_true_kpa_abs),
        tale.bare(first.boost_command_kpa_abs?),
        tale.abs(first.boost_sensed_kpa_abs)
    );
    let further = (most.time_s > first.time_s).then(|| {
        format!(
            "By {} at most, at {}.",
            tale.difference(past(most)),
            seconds(most.time_s)
        )
    });
    let told = Told::new(
        first.time_s,
        Order::Boost,
        125,
        vec![what, further.unwrap_or_default()],
    );
    Some(told.with(Weight::Warning))
}

/// The run ends before boost has ever come up to its command.
fn never_reached(tale: &Tale) -> Option<Told> {
    let reached = |kind| tale.events.iter().any(|event| event.kind == kind);
    let out_of_reach = tale
        .spans(
            EventKind::CommandUnreachable,
            EventKind::CommandReachableAgain,
        )
        .iter()
        .any(|span| span.to.is_none());
    if reached(EventKind::CommandReached) || reached(EventKind::ReadingPinned) || out_of_reach {
        return None;
    }
    let short = short_by_kpa(tale.last);
    (short > OVERSHOOT_KPA).then(|| {
        let sentence = format!(
            "Boost has not come up to its command in the whole run; at its end {} are missing.",
            tale.difference(short)
        );
        Told::new(tale.last.time_s, Order::Boost, 70, vec![sentence]).with(Weight::Warning)
    })
}
