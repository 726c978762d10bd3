//! A finished run as checks look at it: moments, windows, values over time.
use super::{Bounds, Seen, Target, When, Window};
use crate::judgement::channel::Channel;
use crate::judgement::events::Event;
use crate::judgement::result::{RunResult, StopKind};
use crate::simulation::Sample;

/// Two times closer than this are the same \[s\]; far below any controller period.
pub const SAME_TIME_S: f64 = 1e-9;
/// A value beyond a bound by less than this share of it is at the bound: the way from
/// a unit and back leaves some 1e-15.
const ROUNDING: f64 = 1e-9;

/// A run with everything that is known of it.
#[derive(Clone, Copy)]
pub struct Course<'a> {
    pub result: &'a RunResult,
    pub samples: &'a [Sample],
    pub events: &'a [Event],
}

/// The samples of a window.
pub struct Part<'a> {
    pub from_s: f64,
    pub samples: &'a [Sample],
    /// Whether the run ended before the window did.
    pub cut: bool,
}

impl<'a> Course<'a> {
    /// The last instant that was simulated \[s\].
    pub fn end_s(&self) -> f64 {
        self.samples.last().map_or(0.0, |last| last.time_s)
    }

    /// Whether the run ended ahead of its procedure.
    pub fn ended_early(&self) -> bool {
        self.result.why_stopped.kind != StopKind::Finished
    }

    /// What is seen of something that comes after the end of the run.
    pub fn cut_short(&self) -> Seen {
        Seen::CutShort {
            ended_s: self.end_s(),
        }
    }

    /// When a moment is \[s\].
    pub fn time_s(&self, when: When) -> Result<f64, Seen> {
        match when {
            When::Time(time_s) => Ok(time_s),
            When::Event(kind) => self
                .events
                .iter()
                .find(|event| event.kind == kind)
                .map(|event| event.at.time_s)
                .ok_or(if self.ended_early() {
                    self.cut_short()
                } else {
                    Seen::NoEvent(kind)
                }),
        }
    }

    /// The samples from a moment to another, both included.
    pub fn part(&self, window: Window) -> Result<Part<'a>, Seen> {
        let from_s = window.from.map_or(Ok(0.0), |when| self.time_s(when))?;
        let until_s = match window.until {
            Some(when) => self.time_s(when)?,
            None => f64::INFINITY,
        };
        if until_s < from_s {
            return Err(Seen::NoWindow { from_s, until_s });
        }
        if from_s > self.end_s() + SAME_TIME_S {
            return Err(self.cut_short());
        }
        let first = self.first_at(from_s);
        let behind = (self.samples).partition_point(|s| s.time_s <= until_s + SAME_TIME_S);
        Ok(Part {
            from_s,
            samples: &self.samples[first..behind.max(first)],
            cut: self.ended_early() && until_s > self.end_s() + SAME_TIME_S,
        })
    }

    /// The index of the first sample at a time or after it.
    pub fn first_at(&self, time_s: f64) -> usize {
        (self.samples).partition_point(|s| s.time_s < time_s - SAME_TIME_S)
    }
}

/// The value of a channel, counted from the ambient of the moment where that is wanted.
pub fn level(of: Channel, gauge: bool, s: &Sample) -> Option<f64> {
    let from = if gauge { s.ambient_kpa_abs } else { 0.0 };
    Some(of.value(s)? - from)
}

/// How far a channel lies above its target.
pub fn above(of: Channel, target: Target, s: &Sample) -> Option<f64> {
    match target {
        Target::Command => Some(of.value(s)? - s.boost_command_kpa_abs?),
        Target::Level { value, gauge } => Some(level(of, gauge, s)? - value),
    }
}

impl Bounds {
    /// Whether a value lies above the upper bound.
    pub fn is_above(&self, value: f64) -> bool {
        self.at_most
            .is_some_and(|bound| value > bound + slack(bound))
    }

    /// Whether a value lies below the lower bound.
    pub fn is_below(&self, value: f64) -> bool {
        self.at_least
            .is_some_and(|bound| value < bound - slack(bound))
    }

    /// Whether it lies outside of either.
    pub fn is_outside(&self, value: f64) -> bool {
        self.is_above(value) || self.is_below(value)
    }
}

fn slack(bound: f64) -> f64 {
    ROUNDING * bound.abs().max(1.0)
}
