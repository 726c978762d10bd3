//! A run held against its stored course: answers like those of the checks, one for each
//! difference.
use super::facts::CheckResult;
use super::{Asked, Check, Seen, Stored};
use crate::judgement::baseline::{Baseline, Difference, Tolerance};
use crate::judgement::channel::Channel;
use crate::simulation::Sample;

/// The kind of these answers, and the begin of their names.
pub const BASELINE: &str = "baseline";

/// One answer that all is met, or one for each difference, the first first.
pub fn judge_baseline(
    baseline: &Baseline,
    samples: &[Sample],
    tolerance: &dyn Fn(Channel) -> Tolerance,
) -> Vec<CheckResult> {
    let differences = baseline.differences(samples, tolerance);
    if differences.is_empty() {
        let seen = Seen::Follows {
            channels: baseline.channels().len(),
            rows: baseline.rows().len(),
        };
        return vec![answer(Stored::Whole, seen, true)];
    }
    (differences.into_iter())
        .map(|difference| {
            let part = match difference.channel() {
                Some(channel) => Stored::Course(channel),
                None => Stored::End,
            };
            answer(part, Seen::Differs(difference), false)
        })
        .collect()
}

fn answer(part: Stored, seen: Seen, held: bool) -> CheckResult {
    let name = match part {
        Stored::Whole => BASELINE.to_owned(),
        Stored::Course(channel) => format!("{BASELINE} {}", channel.name()),
        Stored::End => format!("{BASELINE} end"),
    };
    let check = Check {
        name,
        asked: Asked::Baseline(part),
        must_fail: false,
    };
    CheckResult::new(&check, seen, held)
}

impl CheckResult {
    /// The difference from the stored course that it tells; `None` for other checks.
    pub fn difference(&self) -> Option<&Difference> {
        match &self.seen {
            Seen::Differs(difference) => Some(difference),
            _ => None,
        }
    }
}

/// The stored value, the one that came, and how far apart they may be.
pub(super) type Figures = (Option<f64>, Option<f64>, Option<f64>);

/// The figures of a difference, in the unit of the channel or in seconds.
pub(super) fn figures(difference: &Difference) -> Figures {
    match *difference {
        Difference::Left(left) => (Some(left.expected), Some(left.got), Some(left.allowed)),
        Difference::OneSided { expected, got, .. } => (expected, got, None),
        Difference::Ends {
            expected_s,
            got_s,
            allowed_s,
        } => (Some(expected_s), Some(got_s), Some(allowed_s)),
    }
}
