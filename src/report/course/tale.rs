//! A run as the tellers see it, and how they say numbers.
use super::Weight;
use crate::judgement::{Event, EventKind, RunResult};
use crate::report::units::{Units, fixed};
use crate::simulation::Sample;

/// Longest text of a moment, in characters: three lines of a terminal.
const LONGEST_TEXT: usize = 240;

/// Everything that is known of a run.
pub(super) struct Tale<'a> {
    pub(super) result: &'a RunResult,
    pub(super) events: &'a [Event],
    pub(super) samples: &'a [Sample],
    pub(super) units: Units,
    pub(super) first: &'a Sample,
    pub(super) last: &'a Sample,
}

/// What stands before what at the same time: cause before effect.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Order {
    Start,
    Fault,
    Command,
    Fuel,
    Boost,
    Reading,
    Protection,
    Blind,
    Limit,
    Surge,
    Map,
    End,
}

/// What a teller says.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Told {
    pub(super) time_s: f64,
    pub(super) order: Order,
    /// What is kept when there is too much to tell: the higher.
    pub(super) worth: u8,
    pub(super) weight: Weight,
    pub(super) text: String,
}

/// Whether all of these sentences have room in one moment.
pub(super) fn fit(sentences: &[String]) -> bool {
    let said = sentences.iter().filter(|s| !s.is_empty());
    said.map(|s| s.chars().count() + 1).sum::<usize>() <= LONGEST_TEXT + 1
}

impl Told {
    /// A moment of some sentences; the last are left out where they get too long.
    pub(super) fn new(time_s: f64, order: Order, worth: u8, sentences: Vec<String>) -> Self {
        let mut text = String::new();
        for sentence in sentences.into_iter().filter(|s| !s.is_empty()) {
            let length = text.chars().count() + 1 + sentence.chars().count();
            if !text.is_empty() && length > LONGEST_TEXT {
                break;
            }
            if !text.is_empty() {
                text.push(' ');
            }
            text.push_str(&sentence);
        }
        Self {
            time_s,
            order,
            worth,
            weight: Weight::Plain,
            text,
        }
    }

    /// The same with a weight.
    pub(super) fn with(self, weight: Weight) -> Self {
        Self { weight, ..self }
    }
}

/// From an event to the one that ends it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Span {
    /// Where it begins.
    pub(super) from: Sample,
    /// The first sample at which it is over; none where the trace ends before.
    pub(super) to: Option<Sample>,
    /// The end, or the end of the trace \[s\].
    pub(super) until_s: f64,
}

impl Span {
    /// How long it lasts \[s\].
    pub(super) fn lasts_s(&self) -> f64 {
        self.until_s - self.from.time_s
    }
}

/// Spans that follow each other closely and are told as one.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Episode {
    pub(super) spans: Vec<Span>,
}

impl Episode {
    /// Where it begins.
    pub(super) fn from(&self) -> &Sample {
        &self.spans[0].from
    }

    /// Its last span.
    pub(super) fn last(&self) -> &Span {
        &self.spans[self.spans.len() - 1]
    }

    /// When the last span ends \[s\].
    pub(super) fn until_s(&self) -> f64 {
        self.last().until_s
    }

    /// Its longest span \[s\].
    pub(super) fn longest_s(&self) -> f64 {
        (self.spans.iter().map(Span::lasts_s)).fold(0.0, f64::max)
    }
}

/// Spans that are less than `gap_s` apart together.
pub(super) fn episodes(spans: Vec<Span>, gap_s: f64) -> Vec<Episode> {
    let mut episodes: Vec<Episode> = Vec::new();
    for span in spans {
        match episodes.last_mut() {
            Some(episode) if span.from.time_s - episode.until_s() < gap_s => {
                episode.spans.push(span);
            }
            _ => episodes.push(Episode { spans: vec![span] }),
        }
    }
    episodes
}

/// The sample with the highest value; the first of several.
pub(super) fn highest(samples: &[Sample], value: impl Fn(&Sample) -> f64) -> Option<&Sample> {
    samples.iter().reduce(|best, sample| {
        if value(sample) > value(best) {
            sample
        } else {
            best
        }
    })
}

/// The sample with the lowest value; the first of several.
pub(super) fn lowest(samples: &[Sample], value: impl Fn(&Sample) -> f64) -> Option<&Sample> {
    highest(samples, |sample| -value(sample))
}

impl<'a> Tale<'a> {
    /// A run with at least one sample.
    pub(super) fn new(
        result: &'a RunResult,
        events: &'a [Event],
        samples: &'a [Sample],
        units: Units,
    ) -> Option<Self> {
        Some(Self {
            result,
            events,
            samples,
            units,
            first: samples.first()?,
            last: samples.last()?,
        })
    }

    /// From each event of a kind to the next that ends it.
    pub(super) fn spans(&self, begins: EventKind, ends: EventKind) -> Vec<Span> {
        let mut spans: Vec<Span> = Vec::new();
        for event in self.events {
            if event.kind == begins {
                spans.push(Span {
                    from: event.at,
                    to: None,
                    until_s: self.last.time_s,
                });
            } else if event.kind == ends
                && let Some(span) = spans.last_mut()
                && span.to.is_none()
            {
                span.to = Some(event.at);
                span.until_s = event.at.time_s;
            }
        }
        spans
    }

    /// The samples between two times, both included.
    pub(super) fn within(&self, from_s: f64, until_s: f64) -> &'a [Sample] {
        // half a microsecond: no controller is that fast
        let from = (self.samples).partition_point(|s| s.time_s < from_s - 5e-7);
        let until = (self.samples).partition_point(|s| s.time_s <= until_s + 5e-7);
        &self.samples[from..until.max(from)]
    }

    /// The samples of a span while it is so; the one that ends it is left out.
    pub(super) fn during(&self, span: &Span) -> &'a [Sample] {
        let samples = self.within(span.from.time_s, span.until_s);
        match span.to {
            Some(_) => &samples[..samples.len().saturating_sub(1)],
            None => samples,
        }
    }

    /// The first sample at a time or later; the last beyond the end.
    pub(super) fn at(&self, time_s: f64) -> &'a Sample {
        let index = (self.samples).partition_point(|s| s.time_s < time_s - 5e-7);
        self.samples.get(index).unwrap_or(self.last)
    }

    /// The sample before the one at this time.
    pub(super) fn before(&self, time_s: f64) -> Option<&'a Sample> {
        let index = (self.samples).partition_point(|s| s.time_s < time_s - 5e-7);
        self.samples[..index].last()
    }

    /// A pressure without its unit.
    pub(super) fn bare(&self, kpa: f64) -> String {
        fixed(self.units.pressure(kpa), self.units.pressure_decimals())
    }

    /// An absolute pressure.
    pub(super) fn abs(&self, kpa: f64) -> String {
        format!("{} abs", self.units.pressure_text(kpa))
    }

    /// A difference of pressures.
    pub(super) fn difference(&self, kpa: f64) -> String {
        self.units.pressure_text(kpa)
    }

    /// A difference of pressures that is not passed: rounded up.
    pub(super) fn at_most(&self, kpa: f64) -> String {
        let decimals = self.units.pressure_decimals();
        let steps = 10_f64.powi(decimals as i32);
        let up = (self.units.pressure(kpa) * steps).ceil() / steps;
        format!("{} {}", fixed(up, decimals), self.units.pressure_unit())
    }

    /// Two absolute pressures as a way from one to the other.
    pub(super) fn abs_way(&self, from_kpa: f64, to_kpa: f64) -> String {
        format!("from {} to {}", self.bare(from_kpa), self.abs(to_kpa))
    }

    /// Two shaft speeds as a way from one to the other.
    pub(super) fn krpm_way(&self, from_rpm: f64, to_rpm: f64) -> String {
        format!("from {} to {}", fixed(from_rpm / 1000.0, 1), krpm(to_rpm))
    }

    /// Where the engine is: its speed, and the altitude where a road leads up.
    pub(super) fn place(&self, sample: &Sample) -> String {
        match sample.altitude_m {
            Some(altitude_m) if self.first.altitude_m != self.last.altitude_m => format!(
                "{} and {}",
                engine(sample),
                self.units.altitude_text(altitude_m)
            ),
            _ => engine(sample),
        }
    }

    /// When a span ends: a time, or the end of the run.
    pub(super) fn till(&self, span: &Span) -> String {
        match span.to {
            Some(to) => format!("till {}", seconds(to.time_s)),
            None => "to the end".to_owned(),
        }
    }
}

/// Whether a reader sees two figures differ.
pub(super) fn differ(a: f64, b: f64, decimals: usize) -> bool {
    fixed(a, decimals) != fixed(b, decimals)
}

/// A shaft speed.
pub(super) fn krpm(rpm: f64) -> String {
    format!("{} krpm", fixed(rpm / 1000.0, 1))
}

/// An engine speed.
pub(super) fn engine(sample: &Sample) -> String {
    format!("{} rpm", fixed(sample.engine_speed_rpm, 0))
}

/// A time or a duration.
pub(super) fn seconds(time_s: f64) -> String {
    format!("{} s", fixed(time_s, 2))
}

/// A share of the vanes' travel.
pub(super) fn closed(pct: f64) -> String {
    format!("{} % closed", fixed(pct, 0))
}

/// Vanes on their way from one position to another.
pub(super) fn closed_way(from_pct: f64, to_pct: f64) -> String {
    format!("from {} to {}", fixed(from_pct, 0), closed(to_pct))
}

/// Parts of a sentence with commas and a last "and".
pub(super) fn listed(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// How often: "twice", "7 times".
pub(super) fn times(count: usize) -> String {
    match count {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        _ => format!("{count} times"),
    }
}

/// With a capital at its beginning.
pub(super) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + chars.as_str()
    })
}
