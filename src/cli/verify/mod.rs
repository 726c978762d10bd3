//! `ringfence verify`: scenarios held against what they expect.
mod baselines;
mod find;
mod junit;
mod page;

use std::path::Path;
use std::time::Instant;

use rayon::prelude::*;
use serde::Serialize;

use super::args::Verify;
use super::exit::Status;
use super::failure::{ErrorDocument, Failure};
use super::folder::Folder;
use super::load;
use super::progress::Bar;
use super::run::{FILE_WIDTH, json_bytes};
use super::screen::Screen;
use crate::judgement::{CheckResult, TOOL, Verdict};
use crate::report::{CaseCount, CaseLine, Sources, Units, cautions_text, check_text, verify_text};
use crate::study::progress::Progress as _;
use crate::study::verify::{Verified, verify as run_and_judge};
use baselines::{Held, Renewed, RenewedDocument, Worst};
use find::{Found, find};

/// One scenario with what came of it.
struct Case {
    file: String,
    says: Option<String>,
    sources: Sources,
    outcome: Result<Verified, Failure>,
    /// What it was held against, where it names a stored course.
    stored: Option<Held>,
    /// What becomes of that course, where it is to be written.
    renewed: Option<Renewed>,
    wall_s: f64,
}

#[derive(Serialize)]
struct Document<'a> {
    tool: &'a str,
    version: &'a str,
    cases: Vec<CaseDocument<'a>>,
    passed: usize,
    failed: usize,
    errors: usize,
    without_expect: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    wall_s: Option<f64>,
}

#[derive(Serialize)]
struct CaseDocument<'a> {
    file: &'a str,
    scenario: Option<&'a str>,
    says: Option<&'a str>,
    result: &'static str,
    verdict: Option<Verdict>,
    simulated_s: Option<f64>,
    checks: Vec<CheckDocument<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    baseline: Option<RenewedDocument<'a>>,
    #[serde(flatten)]
    error: Option<ErrorDocument<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wall_s: Option<f64>,
}

#[derive(Serialize)]
struct CheckDocument<'a> {
    #[serde(flatten)]
    check: &'a CheckResult,
    message: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    worst: Option<Worst>,
}

/// Judges every scenario; a bad one does not stop the others.
pub fn verify(args: &Verify, screen: &Screen) -> Result<Status, Failure> {
    refuse(args)?;
    args.study.apply_threads();
    let folder = args.study.out.as_deref().map(Folder::prepare).transpose()?;
    if let Some(path) = &args.junit {
        junit::can_be_written(path)?;
    }
    let begun = Instant::now();
    let Found { files, left_out } = find(&args.scenarios)?;
    let bar = Bar::new(screen, "scenarios");
    bar.begin(files.len());
    let mut cases: Vec<Case> = files
        .par_iter()
        .map(|path| {
            let case = case(path, args);
            bar.advance();
            case
        })
        .collect();
    bar.end();
    baselines::write(&mut cases);
    let count = count(&cases, left_out);
    let wall_s = args.study.timing.then(|| begun.elapsed().as_secs_f64());
    let document = document(&cases, count, args.study.timing, wall_s);
    let xml = || junit::report(&cases, args.study.timing);
    if let Some(folder) = &folder {
        let text = format!(
            "{}\n{}{}",
            text(&cases, count, args.study.units(), FILE_WIDTH, false),
            reasons(&cases),
            cautions_text(FILE_WIDTH)
        );
        let mut files = vec![
            ("verify.txt".to_owned(), text.into_bytes()),
            ("verify.json".to_owned(), json_bytes(&document)?),
            ("junit.xml".to_owned(), xml()?),
        ];
        let drawn = baselines::pictures(&cases, &args.study)?;
        files.push(page::page(args, &cases, count, &drawn));
        files.extend(drawn.into_iter().map(|(_, file)| file));
        folder.write(files)?;
    }
    if let Some(path) = &args.junit {
        junit::write(path, xml()?)?;
    }
    if screen.json {
        screen.document(&document)?;
    } else {
        for failure in cases.iter().filter_map(|case| case.outcome.as_ref().err()) {
            screen.failure(failure);
        }
        let mut text = text(
            &cases,
            count,
            args.study.units(),
            screen.width,
            screen.colour(),
        );
        if let Some(wall_s) = wall_s {
            text.push_str(&format!("Computed in {wall_s:.3} s.\n"));
        }
        if let Some(folder) = &folder {
            text.push_str(&format!("Report in {}\n", folder.name()));
        }
        screen.text(&text)?;
    }
    Ok(cases
        .iter()
        .map(Case::status)
        .fold(Status::Held, Status::worst))
}

/// Calls that cannot be answered.
fn refuse(args: &Verify) -> Result<(), Failure> {
    if args.band {
        return Err(Failure::call(
            "an expectation does not carry the stated uncertainty",
            "--band",
            "verify without --band",
            "ask each scenario by itself: `ringfence run SCENARIO --band`",
        ));
    }
    baselines::refuse(args)
}

fn case(path: &Path, args: &Verify) -> Case {
    let begun = Instant::now();
    let file = path.display().to_string();
    let mut case = Case {
        file: file.clone(),
        says: None,
        sources: Sources::default(),
        outcome: Err(nothing_expected(&file)),
        stored: None,
        renewed: None,
        wall_s: 0.0,
    };
    case.outcome = load::from_disk(path, &args.set.sets).and_then(|ready| {
        case.sources = ready.sources(&args.set.sets);
        let expected = ready.setup.expect.as_ref();
        let expected = expected.ok_or_else(|| nothing_expected(&file))?;
        case.says.clone_from(&expected.says);
        baselines::refuse_path(path, &ready)?;
        if !args.write_baselines {
            case.stored = Held::read(&ready)?;
        }
        let verified = match &case.stored {
            Some(held) => {
                held.against(|stored| run_and_judge(&ready.setup, expected, Some(stored)))
            }
            None => run_and_judge(&ready.setup, expected, None),
        };
        let verified = verified.map_err(|error| Failure::Computation {
            file: file.clone(),
            message: error.to_string(),
        })?;
        if args.write_baselines {
            case.renewed = Renewed::after(&ready, &verified)?;
        }
        Ok(verified)
    });
    case.wall_s = begun.elapsed().as_secs_f64();
    case
}

fn nothing_expected(file: &str) -> Failure {
    Failure::call(
        "the scenario expects nothing",
        format!("{file} without `expect`"),
        "a scenario with a section `expect`",
        "`ringfence explain expect` tells how to write one",
    )
}

impl Case {
    fn status(&self) -> Status {
        match &self.outcome {
            Ok(verified) if verified.passed() => Status::Held,
            Ok(_) => Status::Exceeded,
            Err(failure) => failure.status(),
        }
    }

    fn result(&self) -> &'static str {
        match &self.outcome {
            Ok(verified) if verified.passed() => "pass",
            Ok(_) => "fail",
            Err(_) => "error",
        }
    }

    fn line(&self) -> CaseLine<'_> {
        let verified = self.outcome.as_ref().ok();
        CaseLine {
            file: &self.file,
            checks: verified.map(|verified| verified.checks.as_slice()),
            simulated_s: verified.map(|verified| verified.run.result.solver.simulated_s),
            baseline: self.renewed.as_ref().map(Renewed::words),
        }
    }

    fn document(&self, timing: bool) -> CaseDocument<'_> {
        let verified = self.outcome.as_ref().ok();
        let run = verified.map(|verified| &verified.run.result);
        let checks = verified.iter().flat_map(|verified| &verified.checks);
        CaseDocument {
            file: &self.file,
            scenario: run.map(|run| run.scenario.as_str()),
            says: self.says.as_deref(),
            result: self.result(),
            verdict: run.map(|run| run.verdict),
            simulated_s: run.map(|run| run.solver.simulated_s),
            checks: checks
                .map(|check| CheckDocument {
                    check,
                    message: check_text(check, Units::Si),
                    worst: check.difference().and_then(Worst::of),
                })
                .collect(),
            baseline: self.renewed.as_ref().map(Renewed::document),
            error: self.outcome.as_ref().err().map(Failure::document),
            wall_s: timing.then_some(self.wall_s),
        }
    }
}

fn count(cases: &[Case], left_out: usize) -> CaseCount {
    let of = |result: &str| cases.iter().filter(|case| case.result() == result).count();
    CaseCount {
        passed: of("pass"),
        failed: of("fail"),
        errors: of("error"),
        left_out,
    }
}

fn document(cases: &[Case], count: CaseCount, timing: bool, wall_s: Option<f64>) -> Document<'_> {
    Document {
        tool: TOOL,
        version: env!("CARGO_PKG_VERSION"),
        cases: cases.iter().map(|case| case.document(timing)).collect(),
        passed: count.passed,
        failed: count.failed,
        errors: count.errors,
        without_expect: count.left_out,
        wall_s,
    }
}

/// Why cases could not be judged, in full; the screen has it on standard error.
fn reasons(cases: &[Case]) -> String {
    let failures = cases.iter().filter_map(|case| case.outcome.as_ref().err());
    failures
        .map(|failure| format!("{}\n", failure.render(false)))
        .collect()
}

fn text(cases: &[Case], count: CaseCount, units: Units, width: usize, colour: bool) -> String {
    let lines: Vec<CaseLine> = cases.iter().map(Case::line).collect();
    verify_text(&lines, count, units, width, colour)
}
