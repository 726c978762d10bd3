//! One case of a sweep.
use std::path::Path;

use super::fence::fenced;
use super::plan::Plan;
use crate::judgement::{CaseVerdict, RunResult, StopKind, SweepRow, Verdict};
use crate::scenario::build::Setup;
use crate::scenario::{Diagnostics, Loaded, VaryFailure, reads_files, varied};
use crate::study::single::judged;

/// Builds, runs and judges the case with a number. Whatever goes wrong is part of the
/// row.
///
/// `file` and `overrides` are what the scenario was loaded from: where a varied path
/// may name a file, it is loaded anew.
pub fn run_case(
    loaded: &Loaded,
    file: &Path,
    overrides: &[(String, String)],
    plan: &Plan,
    case: u64,
) -> SweepRow {
    let (written, values): (Vec<_>, Vec<_>) = plan.values(case).into_iter().unzip();
    let paths = plan.axes.iter().map(|axis| axis.path.clone());
    let sets: Vec<(String, String)> = paths.zip(written).collect();
    let row = SweepRow {
        index: case,
        values,
        verdict: CaseVerdict::Failed,
        first_exceeded: None,
        first_exceeded_s: None,
        peaks: None,
        headroom_pct: Vec::new(),
        reason: None,
    };
    let answer = fenced(|| {
        let setup = match setup(loaded, file, overrides, &sets) {
            Ok(setup) => setup,
            Err(reason) => return Err((CaseVerdict::Refused, reason)),
        };
        judged(&setup).map_err(|failure| (CaseVerdict::Failed, failure.to_string()))
    });
    match answer {
        Ok(Ok(result)) => of_run(row, &result),
        Ok(Err((verdict, reason))) => SweepRow {
            verdict,
            reason: Some(one_line(&reason)),
            ..row
        },
        Err(said) => SweepRow {
            reason: Some(one_line(&format!("a fault of the program: {said}"))),
            ..row
        },
    }
}

fn setup(
    loaded: &Loaded,
    file: &Path,
    overrides: &[(String, String)],
    sets: &[(String, String)],
) -> Result<Setup, String> {
    if sets.iter().any(|(path, _)| reads_files(path)) {
        let all: Vec<(String, String)> = overrides.iter().chain(sets).cloned().collect();
        let loaded = loaded.load_anew(file, &all).map_err(|d| first(&d))?;
        return Setup::new(&loaded.scenario).map_err(|failure| failure.to_string());
    }
    match varied(loaded, sets) {
        Ok((_, setup)) => Ok(setup),
        Err(VaryFailure::Refused(diagnostics)) => Err(first(&diagnostics)),
        Err(VaryFailure::Unfit(failure)) => Err(failure.to_string()),
    }
}

/// The first fault in one sentence.
fn first(diagnostics: &Diagnostics) -> String {
    diagnostics
        .diagnostics
        .first()
        .map_or_else(String::new, |one| {
            format!(
                "{}: {}, read {}; allowed: {}",
                one.path, one.message, one.read, one.allowed
            )
        })
}

fn of_run(row: SweepRow, result: &RunResult) -> SweepRow {
    // of limits broken at the same instant the first in the list counts
    let first = result
        .limits
        .iter()
        .filter(|limit| !limit.held)
        .min_by(|a, b| {
            let when = |time_s: Option<f64>| time_s.unwrap_or(f64::INFINITY);
            when(a.first_exceeded_s).total_cmp(&when(b.first_exceeded_s))
        });
    let stopped = &result.why_stopped;
    SweepRow {
        verdict: match (result.verdict, stopped.kind) {
            (Verdict::Held | Verdict::HeldInsideBand, _) => CaseVerdict::Held,
            (Verdict::Exceeded, _) => CaseVerdict::Exceeded,
            (Verdict::OutsideValidity, StopKind::ComputationFailed) => CaseVerdict::Failed,
            (Verdict::OutsideValidity, _) => CaseVerdict::OutsideValidity,
        },
        first_exceeded: first.map(|limit| limit.name.clone()),
        first_exceeded_s: first.and_then(|limit| limit.first_exceeded_s),
        peaks: Some(result.peaks),
        headroom_pct: result
            .limits
            .iter()
            .filter_map(|limit| Some((limit.name.clone(), limit.headroom_pct?)))
            .collect(),
        reason: (stopped.kind != StopKind::Finished).then(|| one_line(&stopped.text)),
        ..row
    }
}

/// A row is a line: no reason may break it.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
