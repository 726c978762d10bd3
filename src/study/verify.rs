//! A run held against what its scenario expects.
use super::single::{SingleRun, single};
use crate::judgement::{
    Baseline, Channel, CheckResult, Expectations, StopKind, Tolerance, judge_baseline,
    judge_expectations,
};
use crate::scenario::build::Setup;
use crate::simulation::StartFailure;

/// A run with the answer to each check.
#[derive(Debug, Clone, PartialEq)]
pub struct Verified {
    /// Result, trace and events.
    pub run: SingleRun,
    /// The checks, in the order of the scenario.
    pub checks: Vec<CheckResult>,
}

/// A stored course, and how far each channel may be from it.
#[derive(Clone, Copy)]
pub struct Stored<'a> {
    /// The course.
    pub baseline: &'a Baseline,
    /// How far each channel may be off.
    pub tolerance: &'a dyn Fn(Channel) -> Tolerance,
}

/// Why nothing can be said of a scenario's expectations.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotVerified {
    /// The run could not start.
    #[error("{0}")]
    Start(#[from] StartFailure),
    /// The numbers failed on the way.
    #[error("{0}")]
    Computation(String),
}

impl Verified {
    /// Whether every check is as it should be: held, or failed where it must.
    pub fn passed(&self) -> bool {
        self.checks.iter().all(CheckResult::is_right)
    }
}

/// Runs a scenario and judges what is expected of it; where there is a stored course,
/// its answers come last.
///
/// # Errors
/// A run that cannot start, or one whose numbers fail. A run that leaves what the
/// model can describe is judged: an expectation may name that as its end.
pub fn verify(
    setup: &Setup,
    expected: &Expectations,
    stored: Option<Stored>,
) -> Result<Verified, NotVerified> {
    let run = single(setup)?;
    let stopped = &run.result.why_stopped;
    if stopped.kind == StopKind::ComputationFailed {
        return Err(NotVerified::Computation(stopped.text.clone()));
    }
    let mut checks = judge_expectations(expected, &run.result, &run.samples, &run.events);
    if let Some(Stored {
        baseline,
        tolerance,
    }) = stored
    {
        checks.extend(judge_baseline(baseline, &run.samples, tolerance));
    }
    Ok(Verified { run, checks })
}
