//! Surge, and machines outside their measured maps.
use super::Weight;
use super::tale::{Episode, Order, Span, Tale, Told, capital, episodes, lowest, seconds, times};
use crate::judgement::{EventKind, LimitKind, Machine};
use crate::report::units::fixed;

/// Cycles that are less than this apart are one surge \[s\].
const APART_S: f64 = 1.0;
/// A limit on the surge margin falls with the surge that follows within this
/// time \[s\].
const SAME_S: f64 = 0.3;
/// A shorter time outside a map is not worth a word \[s\].
const BRIEF_S: f64 = 0.5;

/// Surge and maps left.
pub(super) fn told(tale: &Tale) -> Vec<Told> {
    let mut told: Vec<Told> = surges(tale)
        .iter()
        .map(|episode| surge(tale, episode))
        .collect();
    for machine in [Machine::Compressor, Machine::Turbine] {
        told.extend(map_left(tale, machine));
    }
    told
}

fn surges(tale: &Tale) -> Vec<Episode> {
    episodes(
        tale.spans(EventKind::SurgeBegins, EventKind::SurgeEnds),
        APART_S,
    )
}

/// Whether a surge tells of a limit on the margin too: each time that the limit is
/// passed belongs to a surge.
pub(super) fn tells(tale: &Tale, limit: &[Span]) -> bool {
    let surges = surges(tale);
    (limit.iter()).all(|span| {
        surges.iter().any(|surge| {
            span.from.time_s <= surge.until_s() && span.from.time_s >= surge.from().time_s - SAME_S
        })
    })
}

/// Whether a limit on the surge margin is passed during a surge.
fn breaks_a_limit(tale: &Tale, episode: &Episode) -> bool {
    let kind = LimitKind::SurgeMargin;
    let spans = tale.spans(
        EventKind::LimitExceeded(kind),
        EventKind::LimitHeldAgain(kind),
    );
    (spans.iter())
        .any(|span| span.from.time_s <= episode.until_s() && span.until_s >= episode.from().time_s)
}

fn surge(tale: &Tale, episode: &Episode) -> Told {
    let s = episode.from();
    let mut sentences = match tale.result.maps.surge {
        Some(_) => simulated(tale, episode),
        None => vec![line_crossed(tale, episode)],
    };
    let broken = breaks_a_limit(tale, episode);
    let bound = (tale.result.limits.iter()).find(|limit| limit.name == "surge_margin");
    if let Some(limit) = bound.filter(|_| broken) {
        sentences.push(format!(
            "That is past the limit of {} % on the surge margin.",
            fixed(limit.limit, 1)
        ));
    }
    let worth = if broken { 150 } else { 112 };
    let told = Told::new(s.time_s, Order::Surge, worth, sentences);
    told.with(if broken {
        Weight::Broken
    } else {
        Weight::Warning
    })
}

/// Cycles, how fast and how deep.
fn simulated(tale: &Tale, episode: &Episode) -> Vec<String> {
    let begin = episode.from().time_s;
    let count = episode.spans.len();
    let first = if count == 1 {
        format!(
            "The compressor surges once, for {}.",
            seconds(episode.longest_s())
        )
    } else {
        let last = episode.last().from.time_s;
        format!(
            "The compressor surges: {count} cycles till {}, some {} a second.",
            seconds(episode.until_s()),
            fixed((count - 1) as f64 / (last - begin), 0)
        )
    };
    let samples = tale.within(begin, episode.until_s());
    let deep = lowest(samples, |s| s.compressor_flow_kg_s).map_or_else(String::new, |low| {
        let flow = low.compressor_flow_kg_s;
        if flow < 0.0 {
            format!(
                "The flow turns back through the wheel, up to {} {}.",
                fixed(tale.units.mass_flow(-flow), flow_decimals(tale)),
                tale.units.mass_flow_unit()
            )
        } else {
            "The flow swings without turning back.".to_owned()
        }
    });
    vec![first, deep]
}

fn flow_decimals(tale: &Tale) -> usize {
    match tale.units {
        crate::report::Units::Si => 2,
        crate::report::Units::Us => 1,
    }
}

/// Without inertia in the duct the flow only tells that surge would begin.
fn line_crossed(tale: &Tale, episode: &Episode) -> String {
    let from_start = if episode.from().time_s <= tale.first.time_s {
        "is below its surge line from the start"
    } else {
        "falls below its surge line"
    };
    let how_long = match (episode.spans.len(), episode.last().to) {
        (1, Some(_)) => format!("for {}", seconds(episode.longest_s())),
        (1, None) => "to the end".to_owned(),
        (count, _) => format!("{} till {}", times(count), seconds(episode.until_s())),
    };
    format!(
        "The flow of the compressor {from_start}, {how_long}; the cycles are not simulated here."
    )
}

/// A machine outside what was measured of it.
fn map_left(tale: &Tale, machine: Machine) -> Option<Told> {
    let all = tale.spans(EventKind::MapLeft(machine), EventKind::MapRegained(machine));
    let spans: Vec<Span> = (all.into_iter())
        .filter(|span| span.lasts_s() >= BRIEF_S)
        .collect();
    let first = spans.first()?;
    let total_s: f64 = spans.iter().map(Span::lasts_s).sum();
    let how = if first.from.time_s <= tale.first.time_s {
        "is outside its measured map from the start"
    } else {
        "leaves its measured map"
    };
    let often = if spans.len() == 1 {
        tale.till(first)
    } else {
        format!("{}, {} in all", times(spans.len()), seconds(total_s))
    };
    let sentence = format!(
        "{} {how}, {often}: its figures there are extrapolated.",
        capital(&format!("the {}", machine.name()))
    );
    Some(Told::new(first.from.time_s, Order::Map, 40, vec![sentence]))
}
