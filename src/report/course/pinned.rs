//! The reading at the top of its range: what it hides and for how long.
use super::Weight;
use super::tale::{
    Episode, Order, Span, Tale, Told, closed, closed_way, engine, episodes, highest, krpm, seconds,
    times,
};
use crate::control::Protection;
use crate::judgement::EventKind;
use crate::report::units::fixed;
use crate::simulation::Sample;

/// Readings that are free for less than this are told as pinned all the time \[s\].
const APART_S: f64 = 0.5;
/// A shorter time at the top is a touch, where no limit says how long it may be
/// \[s\]: pinned-sensor watches wait about that long (common practice).
const TOUCH_S: f64 = 0.3;
/// True boost that rises by less does not "go on rising" \[kPa\].
const RISING_KPA: f64 = 2.0;
/// An integrator that moves by less has not wound up \[% closed\].
const WOUND_UP_PCT: f64 = 2.0;
/// So many touches are told one by one.
const FEW: usize = 2;

/// Each time that the reading is pinned.
pub(super) fn told(tale: &Tale) -> Vec<Told> {
    let spans = tale.spans(EventKind::ReadingPinned, EventKind::ReadingFree);
    let (touches, held): (Vec<Episode>, Vec<Episode>) =
        (episodes(spans, APART_S).into_iter()).partition(|episode| is_touch(tale, episode));
    let mut told: Vec<Told> = (held.iter())
        .flat_map(|episode| [stops(tale, episode), ends(tale, episode)])
        .collect();
    if touches.len() <= FEW {
        told.extend(touches.iter().map(|episode| touch(tale, episode)));
    } else {
        let spans = touches.into_iter().flat_map(|e| e.spans).collect();
        told.extend((episodes(spans, f64::INFINITY).iter()).map(|episode| touch(tale, episode)));
    }
    told
}

/// The longest time for which the reading may be pinned, where a limit says so.
fn allowed_s(tale: &Tale) -> Option<f64> {
    (tale.result.limits.iter())
        .find(|limit| limit.name == "pinned_time")
        .map(|limit| limit.limit)
}

/// Whether the command asks for more than the reading shows.
fn asks_for_more(s: &Sample) -> bool {
    s.boost_command_kpa_abs
        .is_some_and(|command| command > s.boost_sensed_kpa_abs)
}

/// Whether it is over soon, and the controller still sees that boost is enough.
fn is_touch(tale: &Tale, episode: &Episode) -> bool {
    let short = episode.longest_s() <= allowed_s(tale).unwrap_or(TOUCH_S);
    let over = episode.last().to.is_some();
    short && over && !(episode.spans.iter()).any(|span| asks_for_more(&span.from))
}

fn touch(tale: &Tale, episode: &Episode) -> Told {
    let s = episode.from();
    let allowed = allowed_s(tale).map_or_else(String::new, |allowed| {
        format!(" (allowed: {})", seconds(allowed))
    });
    let why = match s.boost_command_kpa_abs {
        Some(command) if s.boost_true_kpa_abs > command => {
            format!(
                "Boost is {} past its command.",
                tale.difference(s.boost_true_kpa_abs - command)
            )
        }
        _ => String::new(),
    };
    let top = tale.abs(s.boost_sensed_kpa_abs);
    let longest = seconds(episode.longest_s());
    let what = if episode.spans.len() == 1 {
        format!("The reading touches the top of its range, {top}, for {longest}{allowed}.")
    } else {
        format!(
            "The reading touches the top of its range, {top}, {} till {}, for {longest} at \
             most{allowed}.",
            times(episode.spans.len()),
            seconds(episode.until_s())
        )
    };
    let harmless = if no_limit_broken(tale, s.time_s, episode.until_s()) {
        "It comes free again, and no limit is past its bound meanwhile.".to_owned()
    } else {
        String::new()
    };
    let alone = acting(tale, episode).is_none();
    let sentences = vec![what, why, if alone { harmless } else { String::new() }];
    Told::new(s.time_s, Order::Reading, 75, sentences).with(Weight::Warning)
}

/// Whether every limit is inside its bound between two times.
fn no_limit_broken(tale: &Tale, from_s: f64, until_s: f64) -> bool {
    use crate::judgement::LimitKind;
    LimitKind::ALL.into_iter().all(|kind| {
        let spans = tale.spans(
            EventKind::LimitExceeded(kind),
            EventKind::LimitHeldAgain(kind),
        );
        (spans.iter()).all(|span| span.until_s <= from_s || span.from.time_s > until_s)
    })
}

/// A fallback that acts at some time of the episode.
fn acting(tale: &Tale, episode: &Episode) -> Option<Sample> {
    let samples = tale.within(episode.from().time_s, episode.until_s());
    samples.iter().find(|s| falls_back(s)).copied()
}

/// Whether the pinned-sensor or the frozen-sensor watch has taken over.
fn falls_back(s: &Sample) -> bool {
    let watches = Protection::PinnedSensor.bit() | Protection::FrozenSensor.bit();
    s.active_protections & watches != 0
}

/// The reading stops.
fn stops(tale: &Tale, episode: &Episode) -> Told {
    let span = &episode.spans[0];
    let s = &span.from;
    let verb = if s.time_s <= tale.first.time_s {
        "stands from the start"
    } else {
        "stops"
    };
    let what = format!(
        "The reading {verb} at {}, the top of its range; {}.",
        tale.abs(s.boost_sensed_kpa_abs),
        beyond(tale, span)
    );
    let place = format!(
        "Engine at {}, vanes {}.",
        engine(s),
        closed(s.vane_closed_pct)
    );
    let blind = match s.boost_command_kpa_abs {
        None => "There is no command here: no loop follows the reading.".to_owned(),
        Some(_) if asks_for_more(s) => {
            "The command is still higher: from here the controller cannot see.".to_owned()
        }
        Some(_) => "The command is lower: the controller still sees boost above it.".to_owned(),
    };
    Told::new(s.time_s, Order::Reading, 130, vec![what, place, blind]).with(Weight::Warning)
}

/// What true boost does while the reading stands.
fn beyond(tale: &Tale, span: &Span) -> String {
    let begin = span.from.boost_true_kpa_abs;
    let soon = tale.at((span.from.time_s + APART_S).min(span.until_s));
    let peak = highest(tale.during(span), |s| s.boost_true_kpa_abs)
        .map_or(begin, |peak| peak.boost_true_kpa_abs);
    if peak <= begin + RISING_KPA {
        format!("true boost is {}", tale.bare(begin))
    } else if soon.boost_true_kpa_abs > begin {
        format!("true boost ({}) goes on rising", tale.bare(begin))
    } else {
        format!(
            "true boost ({}) goes on to {} and falls",
            tale.bare(begin),
            tale.bare(peak)
        )
    }
}

/// The reading is free again, or the run ends with it pinned; what it has hidden.
fn ends(tale: &Tale, episode: &Episode) -> Told {
    let (begin, end) = (episode.from(), episode.until_s());
    let lasted = seconds(end - begin.time_s);
    let gaps = if episode.spans.len() > 1 {
        ", with short gaps"
    } else {
        ""
    };
    let over = match episode.last().to {
        Some(_) => format!("The reading is free again after {lasted}{gaps}."),
        None => format!("The reading is still pinned at the end, after {lasted}{gaps}."),
    };
    let sentences = vec![over, hidden(tale, episode), wound_up(tale, episode)];
    let told = Told::new(end, Order::Reading, 125, sentences);
    match episode.last().to {
        Some(_) => told,
        None => told.with(Weight::Warning),
    }
}

/// What happened while the reading stood still.
fn hidden(tale: &Tale, episode: &Episode) -> String {
    let begin = episode.from();
    let samples = tale.within(begin.time_s, episode.until_s());
    let most = |value: fn(&Sample) -> f64| highest(samples, value).map_or(f64::NAN, value);
    let unseen = if samples.iter().all(asks_for_more) {
        " unseen"
    } else {
        ""
    };
    let last = samples.last().unwrap_or(begin);
    let (from, to) = (begin.vane_closed_pct, last.vane_closed_pct);
    let vanes = if fixed(from, 0) == fixed(to, 0) {
        format!("vanes still {}", closed(to))
    } else {
        format!("vanes {}", closed_way(from, to))
    };
    format!(
        "Meanwhile true boost got to {} and drive pressure to {}{unseen}, shaft to {}, {vanes}.",
        tale.bare(most(|s| s.boost_true_kpa_abs)),
        tale.abs(most(|s| s.drive_pressure_kpa_abs)),
        krpm(most(|s| s.shaft_speed_rpm))
    )
}

/// How far the integrator has wound up, and how long it takes to come back.
fn wound_up(tale: &Tale, episode: &Episode) -> String {
    let begin = episode.from();
    let end = tale.at(episode.until_s());
    let wound = end.integrator_pct - begin.integrator_pct;
    if begin.boost_command_kpa_abs.is_none() || falls_back(end) || wound < WOUND_UP_PCT {
        return String::new();
    }
    let way = format!(
        "The integrator wound up from {} to {} %",
        fixed(begin.integrator_pct, 0),
        fixed(end.integrator_pct, 0)
    );
    if episode.last().to.is_none() {
        return format!("{way}.");
    }
    let back = tale
        .within(end.time_s, tale.last.time_s)
        .iter()
        .find(|s| s.integrator_pct <= begin.integrator_pct);
    match back {
        Some(back) => format!(
            "{way} and is back {} later.",
            seconds(back.time_s - end.time_s)
        ),
        None => format!("{way} and is not back by the end."),
    }
}
