//! `ringfence compare`: one procedure on several scenarios, side by side.
use std::time::Instant;

use serde::Serialize;

use super::args::Compare;
use super::exit::Status;
use super::failure::{ErrorDocument, Failure};
use super::folder::{File, Folder, PAGE};
use super::load::{self, Ready, unfit};
use super::progress::Bar;
use super::run::{FILE_WIDTH, drawn, json_bytes, status};
use super::screen::Screen;
use crate::judgement::{Candidate, Compared, Comparison, Difference};
use crate::report::page::compare_page;
use crate::report::{
    PictureOptions, Pictures, Side, Sources, cautions_text, compare_text, compared_ladder,
    compared_lid, compared_strips, comparison_csv,
};
use crate::study::compare::{Driven, Misfit, Rival, WhyNot, drive};

/// The JSON document: the comparison, with all that is known of what failed.
#[derive(Serialize)]
struct Document<'a> {
    tool: &'a str,
    version: &'a str,
    procedure: Option<&'a str>,
    base: Option<usize>,
    boost_target_kpa_abs: Option<f64>,
    scenarios: Vec<Entry<'a>>,
    differences: &'a [Difference],
    #[serde(skip_serializing_if = "Option::is_none")]
    wall_s: Option<f64>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Entry<'a> {
    Ran(&'a Compared),
    Failed {
        file: &'a str,
        #[serde(flatten)]
        error: ErrorDocument<'a>,
    },
}

/// Runs every scenario and holds it against the first; a bad one does not stop the
/// rest.
pub fn compare(args: &Compare, screen: &Screen) -> Result<Status, Failure> {
    refuse(args)?;
    args.study.apply_threads();
    let folder = args.study.out.as_deref().map(Folder::prepare).transpose()?;
    let begun = Instant::now();
    let loaded: Vec<Result<Ready, Failure>> = args
        .scenarios
        .iter()
        .map(|path| load::from_disk(path, &args.set.sets))
        .collect();
    let rivals: Vec<Rival> = loaded.iter().flatten().map(rival).collect();
    let mut driven = drive(&rivals, args.own_procedure, &Bar::new(screen, "scenarios")).into_iter();
    let outcomes: Vec<Result<Driven, Failure>> = loaded
        .iter()
        .map(|ready| match ready {
            Ok(ready) => match driven.next() {
                Some(Ok(driven)) => Ok(driven),
                Some(Err(why)) => Err(not_driven(&ready.file, &why)),
                None => Err(Failure::Computation {
                    file: ready.file.clone(),
                    message: "it was not driven".to_owned(),
                }),
            },
            // told below, where the loaded ones are taken apart
            Err(failure) => Err(Failure::Usage {
                message: failure.message(),
            }),
        })
        .collect();
    let failures: Vec<Option<&Failure>> = loaded
        .iter()
        .zip(&outcomes)
        .map(|(ready, outcome)| ready.as_ref().err().or(outcome.as_ref().err()))
        .collect();
    let comparison = held_against_the_first(args, &loaded, &outcomes, &failures);
    let wall_s = args.study.timing.then(|| begun.elapsed().as_secs_f64());
    let document = document(&comparison, &failures, wall_s);
    if let Some(folder) = folder.as_ref().filter(|_| comparison.base.is_some()) {
        let mut written = files(args, &comparison, &outcomes)?;
        let pictures = Pictures::of(&written, "");
        let sources = sources(args, &loaded);
        let page = compare_page(&comparison, args.study.units(), &pictures, &sources);
        written.push((PAGE.to_owned(), page.into_bytes()));
        written.push(("comparison.json".to_owned(), json_bytes(&document)?));
        folder.write(written)?;
    }
    if screen.json {
        screen.document(&document)?;
    } else {
        tell(
            args,
            screen,
            &comparison,
            &failures,
            folder.as_ref(),
            wall_s,
        )?;
    }
    Ok(worst(&comparison, &failures))
}

/// What all were read from; a file that several use is told once.
fn sources(args: &Compare, loaded: &[Result<Ready, Failure>]) -> Sources {
    let mut all = Sources::default();
    for ready in loaded.iter().flatten() {
        all.add(ready.sources(&args.set.sets));
    }
    all
}

/// Calls that cannot be answered.
fn refuse(args: &Compare) -> Result<(), Failure> {
    if args.band {
        return Err(Failure::call(
            "a comparison does not carry the stated uncertainty",
            "--band",
            "compare without --band",
            "ask each scenario by itself: `ringfence run SCENARIO --band`",
        ));
    }
    if let [only] = args.scenarios.as_slice() {
        return Err(Failure::call(
            "one scenario alone cannot be compared",
            only.display().to_string(),
            "two scenario files or more",
            "name another beside it, or use `ringfence run`",
        ));
    }
    Ok(())
}

fn rival(ready: &Ready) -> Rival<'_> {
    Rival {
        scenario: &ready.loaded.scenario,
        setup: &ready.setup,
    }
}

/// A scenario that could not be driven, as the program tells it.
fn not_driven(file: &str, why: &WhyNot) -> Failure {
    match why {
        WhyNot::Misfit(misfit) => {
            let (read, allowed) = match misfit {
                Misfit::Speed {
                    asked_rpm,
                    low_rpm,
                    high_rpm,
                } => (
                    format!("{asked_rpm:.0} rpm"),
                    format!("from {low_rpm:.0} rpm to {high_rpm:.0} rpm, as `fuel.full_load` says"),
                ),
                Misfit::Altitude => (
                    "ambient.pressure".to_owned(),
                    "an ambient that is given by `ambient.altitude`".to_owned(),
                ),
                Misfit::Wastegate => (
                    "a step of `wastegate`".to_owned(),
                    "a turbine with a wastegate".to_owned(),
                ),
                Misfit::Area => (
                    "a step of `turbine_area`".to_owned(),
                    "a turbine without vanes".to_owned(),
                ),
            };
            Failure::call(
                format!("{file}: {misfit}"),
                read,
                allowed,
                "name a first scenario whose procedure suits all, or keep each one's with \
                 --own-procedure",
            )
        }
        WhyNot::Build(error) => unfit(file, error),
        WhyNot::Start(error) => Failure::Computation {
            file: file.to_owned(),
            message: error.to_string(),
        },
    }
}

fn held_against_the_first(
    args: &Compare,
    loaded: &[Result<Ready, Failure>],
    outcomes: &[Result<Driven, Failure>],
    failures: &[Option<&Failure>],
) -> Comparison {
    let first = loaded.iter().flatten().next().map(rival);
    let candidates: Vec<Candidate> = args
        .scenarios
        .iter()
        .zip(loaded)
        .zip(outcomes.iter().zip(failures))
        .map(|((path, ready), (outcome, failure))| {
            let own = ready.as_ref().ok();
            Candidate {
                file: path.display().to_string(),
                own_procedure: own.map(|ready| ready.setup.titles.procedure.clone()),
                procedure_differs: own
                    .zip(first)
                    .is_some_and(|(own, first)| rival(own).drives_otherwise(&first)),
                full_load_from_s: outcome.as_ref().ok().and_then(|d| d.full_load_from_s),
                run: match outcome {
                    Ok(driven) => Ok((&driven.run.result, driven.run.samples.as_slice())),
                    Err(_) => Err(failure.map_or_else(String::new, Failure::message)),
                },
            }
        })
        .collect();
    Comparison::of(&candidates, args.own_procedure)
}

fn document<'a>(
    comparison: &'a Comparison,
    failures: &[Option<&'a Failure>],
    wall_s: Option<f64>,
) -> Document<'a> {
    Document {
        tool: &comparison.tool,
        version: &comparison.version,
        procedure: comparison.procedure.as_deref(),
        base: comparison.base,
        boost_target_kpa_abs: comparison.boost_target_kpa_abs,
        scenarios: comparison
            .scenarios
            .iter()
            .zip(failures)
            .map(|(compared, failure)| match failure {
                None => Entry::Ran(compared),
                Some(failure) => Entry::Failed {
                    file: &compared.file,
                    error: failure.document(),
                },
            })
            .collect(),
        differences: &comparison.differences,
        wall_s,
    }
}

fn worst(comparison: &Comparison, failures: &[Option<&Failure>]) -> Status {
    let results = comparison
        .scenarios
        .iter()
        .filter_map(|s| s.result.as_ref());
    failures
        .iter()
        .flatten()
        .map(|failure| failure.status())
        .chain(results.map(status))
        .fold(Status::Held, Status::worst)
}

fn tell(
    args: &Compare,
    screen: &Screen,
    comparison: &Comparison,
    failures: &[Option<&Failure>],
    folder: Option<&Folder>,
    wall_s: Option<f64>,
) -> Result<(), Failure> {
    for failure in failures.iter().flatten() {
        screen.failure(failure);
    }
    if comparison.base.is_none() {
        return Ok(());
    }
    let units = args.study.units();
    let mut text = compare_text(comparison, units, screen.width, screen.colour());
    if let Some(wall_s) = wall_s {
        text.push_str(&format!("  Computed in {wall_s:.3} s.\n"));
    }
    if let Some(folder) = folder {
        text.push_str(&format!("\n  Report in {}\n", folder.name()));
    }
    screen.text(&text)
}

/// Table, verdict and pictures.
fn files(
    args: &Compare,
    comparison: &Comparison,
    outcomes: &[Result<Driven, Failure>],
) -> Result<Vec<File>, Failure> {
    let study = &args.study;
    let verdict = format!(
        "{}\n{}",
        compare_text(comparison, study.units(), FILE_WIDTH, false),
        cautions_text(FILE_WIDTH)
    );
    let mut files = vec![
        (
            "comparison.csv".to_owned(),
            comparison_csv(comparison).into_bytes(),
        ),
        ("verdict.txt".to_owned(), verdict.into_bytes()),
    ];
    let sides: Vec<Side> = outcomes
        .iter()
        .enumerate()
        .filter_map(|(index, outcome)| {
            let run = &outcome.as_ref().ok()?.run;
            let file = &comparison.scenarios[index].file;
            Some(Side::new(index, file, &run.samples, &run.result))
        })
        .collect();
    let file = &comparison.scenarios[0].file;
    for &format in study.formats() {
        let options = PictureOptions {
            format,
            units: study.units(),
            ..PictureOptions::default()
        };
        for (name, picture) in [
            ("strips", compared_strips(&sides, comparison, &options)),
            ("lid", compared_lid(&sides, &options)),
            ("ladder", compared_ladder(&sides, &options)),
        ] {
            files.push((
                format!("{name}.{}", format.extension()),
                drawn(file, picture)?,
            ));
        }
    }
    Ok(files)
}
