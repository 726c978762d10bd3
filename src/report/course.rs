//! What happened in a run, moment by moment, in words made from its events.
use super::units::Units;
use crate::judgement::{Event, RunResult};
use crate::simulation::Sample;

/// How much a moment matters to a reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// Part of the story.
    Plain,
    /// The controller cannot see, or something comes close.
    Warning,
    /// A limit is exceeded, or the run ends early.
    Broken,
}

/// A moment of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// When \[s\].
    pub time_s: f64,
    /// What happens, one or two sentences.
    pub text: String,
    /// How much it matters.
    pub weight: Weight,
}

/// The moments of a run that a reader has to know, in the order of time. `samples`
/// is the whole trace that the events were seen in.
pub fn course(
    _result: &RunResult,
    events: &[Event],
    _samples: &[Sample],
    _units: Units,
) -> Vec<Moment> {
    events
        .iter()
        .map(|event| Moment {
            time_s: event.at.time_s,
            text: event.kind.name(),
            weight: Weight::Plain,
        })
        .collect()
}
