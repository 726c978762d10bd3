//! Stored courses of runs: read before a run is judged, or written after all runs.
//!
//! Nothing is written while runs are still going on, and each file whole or not at
//! all, in the order of the cases.
use std::path::{Path, PathBuf};

use serde::Serialize;

use super::super::args::{Study, Verify};
use super::super::failure::Failure;
use super::super::folder::File;
use super::super::load::Ready;
use super::super::run::drawn;
use super::Case;
use crate::judgement::{Baseline, BaselineDifference, Channel, Verdict};
use crate::report::{BaselinePicture, PictureOptions, ReportFolder, baseline_strips};
use crate::scenario::file::BaselineEntry;
use crate::scenario::{Renewal, read_baseline, renewed_baseline};
use crate::study::verify::{Stored, Verified};

/// A flag that would store what is not in the file.
pub fn refuse(args: &Verify) -> Result<(), Failure> {
    match args.set.sets.first() {
        Some(set) if args.write_baselines => Err(Failure::call(
            "a baseline is of the scenario as its file says, without overrides",
            format!("--write-baselines with --set {}={}", set.path, set.value),
            "--write-baselines without --set",
            "write the value into the file, or leave out one of the two",
        )),
        _ => Ok(()),
    }
}

/// The stored course lies beside its scenario, whose path is kept as text: one that is
/// no text would lead elsewhere.
pub fn refuse_path(path: &Path, ready: &Ready) -> Result<(), Failure> {
    let expect = ready.loaded.scenario.expect.as_ref();
    if path.to_str().is_some() || expect.is_none_or(|expect| expect.baseline.is_none()) {
        return Ok(());
    }
    Err(Failure::call(
        "a scenario with a baseline has a path that is no UTF-8",
        path.display().to_string(),
        "a path whose every part is UTF-8",
        "rename the file or its folder, or call from inside the folder",
    ))
}

/// A baseline that a run is held against, and what its scenario says of it.
pub struct Held {
    baseline: Baseline,
    entry: BaselineEntry,
}

impl Held {
    /// The baseline that a scenario names, if it names one.
    pub fn read(ready: &Ready) -> Result<Option<Self>, Failure> {
        let scenario = &ready.loaded.scenario;
        let entry = scenario.expect.as_ref().and_then(|e| e.baseline.as_ref());
        let baseline = read_baseline(&ready.loaded)?;
        Ok(baseline
            .zip(entry.cloned())
            .map(|(baseline, entry)| Self { baseline, entry }))
    }

    /// Does something with it in the form in which studies take it.
    pub fn against<T>(&self, work: impl FnOnce(Stored) -> T) -> T {
        work(Stored {
            baseline: &self.baseline,
            tolerance: &|channel: Channel| self.entry.tolerance.of(channel),
        })
    }
}

/// What becomes of a baseline after a run.
pub struct Renewed {
    path: PathBuf,
    what: What,
}

enum What {
    Same,
    New(String),
    Changed(String),
    /// The run is no reference.
    NotWritten,
}

/// The same for programs.
#[derive(Serialize)]
pub struct RenewedDocument<'a> {
    file: String,
    written: &'a str,
}

impl Renewed {
    /// What has to become of the baseline that a scenario names, if it names one.
    pub fn after(ready: &Ready, verified: &Verified) -> Result<Option<Self>, Failure> {
        let renewed = renewed_baseline(&ready.loaded, &verified.run.samples)?;
        Ok(renewed.map(|(path, renewal)| Self {
            path,
            what: match renewal {
                _ if !is_a_reference(verified) => What::NotWritten,
                Renewal::Same => What::Same,
                Renewal::New(text) => What::New(text),
                Renewal::Changed(text) => What::Changed(text),
            },
        }))
    }

    /// For people, behind the word "baseline".
    pub fn words(&self) -> &'static str {
        match self.what {
            What::Same => "the same",
            What::New(_) => "new",
            What::Changed(_) => "changed",
            What::NotWritten => "not written",
        }
    }

    /// For programs.
    pub fn document(&self) -> RenewedDocument<'_> {
        RenewedDocument {
            file: self.path.display().to_string(),
            written: match self.what {
                What::Same => "same",
                What::New(_) => "new",
                What::Changed(_) => "changed",
                What::NotWritten => "not_written",
            },
        }
    }

    fn write(&self) -> Result<(), Failure> {
        let (What::New(text) | What::Changed(text)) = &self.what else {
            return Ok(());
        };
        let name = self.path.file_name().unwrap_or_default();
        let file = (
            name.to_string_lossy().into_owned(),
            text.clone().into_bytes(),
        );
        let folder = match self.path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        Ok(ReportFolder::write(folder, &[file])?)
    }
}

/// A run that does not do what is expected, or that leaves the model without being
/// expected to, is nothing to hold later runs against.
fn is_a_reference(verified: &Verified) -> bool {
    let left = verified.run.result.verdict == Verdict::OutsideValidity;
    let expected = verified.checks.iter().any(|check| check.kind == "verdict");
    verified.passed() && (!left || expected)
}

/// Writes the baselines of all cases. A case whose file cannot be written, or is that
/// of another case too, could not be judged.
pub fn write(cases: &mut [Case]) {
    let paths: Vec<Option<PathBuf>> = cases
        .iter()
        .map(|case| Some(case.renewed.as_ref()?.path.clone()))
        .collect();
    for index in 0..cases.len() {
        let Some(path) = &paths[index] else { continue };
        let twin =
            (0..cases.len()).find(|&other| other != index && paths[other].as_ref() == Some(path));
        let done = match twin {
            Some(twin) => Err(shared(path, &cases[twin].file)),
            None => cases[index].renewed.as_ref().map_or(Ok(()), Renewed::write),
        };
        if let Err(failure) = done {
            cases[index].outcome = Err(failure);
            cases[index].renewed = None;
        }
    }
}

fn shared(path: &Path, other: &str) -> Failure {
    Failure::call(
        "two scenarios name the same file for their baseline",
        format!("{}, which {other} names too", path.display()),
        "a file of its own for each scenario",
        "name another in `expect.baseline.file` of one of them",
    )
}

/// The furthest that a channel is off, and for how long it is off in all.
#[derive(Serialize)]
pub struct Worst {
    expected: f64,
    got: f64,
    time_s: f64,
    outside_s: f64,
}

impl Worst {
    /// Of a channel that leaves its baseline.
    pub fn of(difference: &BaselineDifference) -> Option<Self> {
        match difference {
            BaselineDifference::Left(left) => Some(Self {
                expected: left.worst_expected,
                got: left.worst_got,
                time_s: left.worst_s,
                outside_s: left.outside_s,
            }),
            _ => None,
        }
    }
}

/// A picture for each case that differs from its baseline, with the place of the case.
pub fn pictures(cases: &[Case], study: &Study) -> Result<Vec<(usize, File)>, Failure> {
    let mut files: Vec<(usize, File)> = Vec::new();
    for (index, case) in cases.iter().enumerate() {
        let (Ok(verified), Some(held)) = (&case.outcome, &case.stored) else {
            continue;
        };
        let checks = verified.checks.iter();
        let differences: Vec<BaselineDifference> = checks
            .filter_map(|check| check.difference().copied())
            .collect();
        if differences.is_empty() {
            continue;
        }
        let stem = Path::new(&case.file).file_stem().unwrap_or_default();
        let stem = format!("baseline-{}", stem.to_string_lossy());
        for &format in study.formats() {
            let options = PictureOptions {
                format,
                units: study.units(),
                ..PictureOptions::default()
            };
            let picture = held.against(|stored| {
                let picture = BaselinePicture {
                    samples: &verified.run.samples,
                    result: &verified.run.result,
                    baseline: stored.baseline,
                    differences: &differences,
                    tolerance: stored.tolerance,
                };
                baseline_strips(&picture, &options)
            });
            let name = free(&files, &stem, format.extension());
            files.push((index, (name, drawn(&case.file, picture)?)));
        }
    }
    Ok(files)
}

/// A name that is not taken: scenarios of two folders may be called alike.
fn free(files: &[(usize, File)], stem: &str, ending: &str) -> String {
    (1..)
        .map(|count| match count {
            1 => format!("{stem}.{ending}"),
            _ => format!("{stem}-{count}.{ending}"),
        })
        .find(|name| files.iter().all(|(_, (taken, _))| taken != name))
        .unwrap_or_default()
}
