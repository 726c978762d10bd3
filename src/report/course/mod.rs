//! What happened in a run, moment by moment, in words made from its trace.
//!
//! Each teller of this folder looks at one matter (the reading, the limits, the
//! fuel …) and says what the trace shows of it. A cause is named only where the
//! trace shows it. The moments are then thinned to what a reader can take in.
mod boost;
mod ending;
mod faults;
mod fuel;
mod limits;
mod pinned;
mod protections;
mod start;
mod surge;
mod tale;

use super::units::Units;
use crate::judgement::{Event, RunResult};
use crate::simulation::Sample;
use tale::{Tale, Told};

/// Most moments of a usual run. Broken limits are told even beyond it.
const MOST_MOMENTS: usize = 12;

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
    /// What happens, a few short sentences. They do not say when: that is
    /// [`Moment::time_s`], and stands before them.
    pub text: String,
    /// How much it matters.
    pub weight: Weight,
}

/// The moments of a run that a reader has to know, in the order of time and, at
/// the same time, of cause. `samples` is the whole trace that the events were
/// seen in.
pub fn course(
    result: &RunResult,
    events: &[Event],
    samples: &[Sample],
    units: Units,
) -> Vec<Moment> {
    let Some(tale) = Tale::new(result, events, samples, units) else {
        return Vec::new();
    };
    let mut told = Vec::new();
    told.extend(faults::told(&tale));
    told.extend(boost::told(&tale));
    told.extend(pinned::told(&tale));
    told.extend(fuel::told(&tale));
    told.extend(protections::told(&tale));
    told.extend(limits::broken(&tale));
    told.extend(surge::told(&tale));
    let quiet = told.is_empty();
    told.extend(limits::closest(&tale));
    told.push(start::told(&tale));
    told.push(ending::told(&tale, quiet));
    thinned(told)
        .into_iter()
        .map(|told| Moment {
            time_s: told.time_s,
            text: told.text,
            weight: told.weight,
        })
        .collect()
}

/// What matters most, in the order of time; of the same worth what comes first.
fn thinned(mut told: Vec<Told>) -> Vec<Told> {
    let place = |a: &Told, b: &Told| (a.time_s.total_cmp(&b.time_s)).then(a.order.cmp(&b.order));
    told.sort_by(|a, b| b.worth.cmp(&a.worth).then(place(a, b)));
    let mut count = 0;
    told.retain(|told| {
        count += 1;
        count <= MOST_MOMENTS || told.weight == Weight::Broken
    });
    told.sort_by(place);
    told
}
