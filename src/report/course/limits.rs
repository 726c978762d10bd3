//! Limits: passed, and if none is, how close the tightest came.
use super::Weight;
use super::tale::{Order, Span, Tale, Told, capital, fit, listed, seconds, times};
use crate::judgement::{EventKind, LimitKind, LimitResult, StopKind};
use crate::report::names;

/// Limits that fall within this time of each other are told together \[s\].
const TOGETHER_S: f64 = 0.5;
/// Less headroom is close \[%\].
const CLOSE_PCT: f64 = 2.0;

/// A limit that was exceeded.
struct Broken<'a> {
    kind: LimitKind,
    limit: &'a LimitResult,
    spans: Vec<Span>,
}

impl Broken<'_> {
    fn first_s(&self) -> f64 {
        self.spans[0].from.time_s
    }
}

/// The limits that were exceeded, those that fall together in one moment, or in as
/// many as their words need: none is left out.
pub(super) fn broken(tale: &Tale) -> Vec<Told> {
    let mut all: Vec<Broken> = LimitKind::ALL
        .into_iter()
        .filter_map(|kind| broken_one(tale, kind))
        .collect();
    all.sort_by(|a, b| a.first_s().total_cmp(&b.first_s()));
    let mut groups: Vec<Vec<Broken>> = Vec::new();
    let mut told = Vec::new();
    for broken in all {
        if broken.kind == LimitKind::PinnedTime {
            told.push(pinned_too_long(&broken));
            continue;
        }
        match groups.last_mut() {
            Some(group) if broken.first_s() - group[0].first_s() <= TOGETHER_S => {
                group.push(broken);
            }
            _ => groups.push(vec![broken]),
        }
    }
    for group in &groups {
        told.extend((pieces(tale, group).into_iter()).map(|piece| passed(tale, piece)));
    }
    told
}

/// A group in pieces that have room in a moment each.
fn pieces<'a, 'b>(tale: &Tale, group: &'b [Broken<'a>]) -> Vec<&'b [Broken<'a>]> {
    let (mut pieces, mut from) = (Vec::new(), 0);
    for until in 2..=group.len() {
        if !fit(&sentences(tale, &group[from..until])) {
            pieces.push(&group[from..until - 1]);
            from = until - 1;
        }
    }
    pieces.push(&group[from..]);
    pieces
}

fn broken_one<'a>(tale: &Tale<'a>, kind: LimitKind) -> Option<Broken<'a>> {
    let (begins, ends) = (
        EventKind::LimitExceeded(kind),
        EventKind::LimitHeldAgain(kind),
    );
    let spans = tale.spans(begins, ends);
    let limit = (tale.result.limits.iter()).find(|limit| limit.name == kind.name())?;
    let surges = kind == LimitKind::SurgeMargin && super::surge::tells(tale, &spans);
    (!spans.is_empty() && !surges).then_some(Broken { kind, limit, spans })
}

/// A level of a limit with its unit.
fn level(tale: &Tale, limit: &LimitResult, value: f64) -> String {
    tale.units.level_text(&limit.unit, value)
}

fn pinned_too_long(broken: &Broken) -> Told {
    let sentence = format!(
        "The reading has been pinned for longer than the {} that are allowed.",
        seconds(broken.limit.limit)
    );
    Told::new(broken.first_s(), Order::Limit, 150, vec![sentence]).with(Weight::Broken)
}

fn passed(tale: &Tale, group: &[Broken]) -> Told {
    let told = Told::new(
        group[0].first_s(),
        Order::Limit,
        150,
        sentences(tale, group),
    );
    told.with(Weight::Broken)
}

/// The first of a group, those that follow it, and how far each goes.
fn sentences(tale: &Tale, group: &[Broken]) -> Vec<String> {
    let first = &group[0];
    let s = &first.spans[0].from;
    let mut sentences = vec![format!(
        "{} {} its limit, {}, at {}.",
        capital(names::limit_label(first.kind.name())),
        passes(first.limit),
        level(tale, first.limit, first.limit.limit),
        tale.place(s)
    )];
    if group.len() > 1 {
        let others: Vec<String> = group[1..].iter().map(|b| follower(tale, b)).collect();
        sentences.push(format!("Then {}.", listed(&others)));
    }
    sentences.push(worst(tale, group));
    if let [only] = group {
        sentences.push(held_again(only));
    }
    sentences
}

/// Which way a limit is broken.
fn passes(limit: &LimitResult) -> &'static str {
    if limit.lower { "falls below" } else { "passes" }
}

fn follower(tale: &Tale, broken: &Broken) -> String {
    format!(
        "{} {} {} at {}",
        names::limit_label(broken.kind.name()),
        passes(broken.limit),
        level(tale, broken.limit, broken.limit.limit),
        seconds(broken.first_s())
    )
}

/// How far each goes.
fn worst(tale: &Tale, group: &[Broken]) -> String {
    let worst: Vec<String> = group
        .iter()
        .filter_map(|b| Some(level(tale, b.limit, b.limit.worst?)))
        .collect();
    let when = match group {
        [only] => (only.limit.time_s).map_or_else(String::new, |s| format!(", at {}", seconds(s))),
        _ => String::new(),
    };
    format!("At worst: {}{when}.", listed(&worst))
}

/// When it is inside again, or how often it came and went.
fn held_again(broken: &Broken) -> String {
    let last = &broken.spans[broken.spans.len() - 1];
    match (broken.spans.len(), last.to) {
        (1, None) => "It stays there to the end.".to_owned(),
        (1, Some(to)) => format!("It is inside again from {} on.", seconds(to.time_s)),
        (count, Some(to)) => format!(
            "It does so {}; inside for good from {} on.",
            times(count),
            seconds(to.time_s)
        ),
        (count, None) => format!("It does so {}, the last time to the end.", times(count)),
    }
}

/// The closest approach to the tightest limit, where every one holds.
pub(super) fn closest(tale: &Tale) -> Option<Told> {
    let limits = &tale.result.limits;
    let finished = tale.result.why_stopped.kind == StopKind::Finished;
    if !finished || limits.iter().any(|limit| !limit.held) {
        return None;
    }
    let pct = |limit: &&LimitResult| limit.headroom_pct.unwrap_or(f64::INFINITY);
    let limit = (limits.iter())
        .filter(|limit| limit.headroom_pct.is_some_and(f64::is_finite))
        .min_by(|a, b| pct(a).total_cmp(&pct(b)))?;
    let time_s = limit.time_s?;
    let close = limit.headroom_pct? < CLOSE_PCT;
    let left = tale.units.limit_text(&limit.unit, limit.headroom?, true);
    let nothing = !left.contains(|c| matches!(c, '1'..='9'));
    let sentence = format!(
        "The closest that any limit comes: {} {}, {} left to {}, at {}.",
        names::limit_label(&limit.name),
        level(tale, limit, limit.worst?),
        if nothing { "hardly anything" } else { &left },
        level(tale, limit, limit.limit),
        tale.place(tale.at(time_s))
    );
    let told = Told::new(time_s, Order::Limit, 60, vec![sentence]);
    Some(if close {
        told.with(Weight::Warning)
    } else {
        told
    })
}
