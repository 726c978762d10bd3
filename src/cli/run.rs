//! `ringfence run`: the scenario's procedure, judged.
use std::path::{Path, PathBuf};
use std::time::Instant;

use rayon::prelude::*;
use serde::Serialize;

use super::args::{Override, Run};
use super::band;
use super::exit::Status;
use super::failure::{ErrorDocument, Failure};
use super::folder::{File, Folder, PAGE};
use super::load::{self, Ready};
use super::progress::Bar;
use super::screen::Screen;
use crate::judgement::{RunResult, Verdict};
use crate::report::page::run_page;
use crate::report::{
    self, Moment, PictureError, PictureFormat, PictureOptions, Pictures, Units, cautions_text,
    course, run_text, trace_csv,
};
use crate::study::band::run_band;
use crate::study::progress::{Progress, Silent};
use crate::study::road::ceiling_along;
use crate::study::single::{SingleRun, single};

/// Width of text in files.
pub const FILE_WIDTH: usize = 80;

#[derive(Serialize)]
#[serde(untagged)]
enum Entry<'a> {
    Run(&'a RunResult),
    Error(ErrorDocument<'a>),
}

#[derive(Serialize)]
struct Many<'a> {
    runs: Vec<Entry<'a>>,
}

/// A result and the words of its course.
type Told = (RunResult, Vec<Moment>);

/// Runs every scenario and reports each; a bad one does not stop the rest.
pub fn run(args: &Run, screen: &Screen) -> Result<Status, Failure> {
    args.study.apply_threads();
    let folders = folders(&args.scenarios, args.study.out.as_deref())?;
    let bar = Bar::new(screen, "scenarios");
    bar.begin(args.scenarios.len());
    let outcomes: Vec<Result<Told, Failure>> = args
        .scenarios
        .par_iter()
        .zip(&folders)
        .map(|(path, folder)| {
            let outcome = one(path, args, folder.as_ref(), screen);
            bar.advance();
            outcome
        })
        .collect();
    bar.end();
    let worst = outcomes
        .iter()
        .map(|outcome| match outcome {
            Ok((result, _)) => status(result),
            Err(failure) => failure.status(),
        })
        .fold(Status::Held, Status::worst);
    if screen.json {
        print_json(&outcomes, screen)?;
    } else {
        print_text(&outcomes, &folders, args, screen)?;
    }
    Ok(worst)
}

/// The exit status of a result.
pub fn status(result: &RunResult) -> Status {
    match result.verdict {
        Verdict::Held | Verdict::HeldInsideBand => Status::Held,
        Verdict::Exceeded => Status::Exceeded,
        Verdict::OutsideValidity => Status::Failed,
    }
}

fn one(path: &Path, args: &Run, folder: Option<&Folder>, screen: &Screen) -> Result<Told, Failure> {
    let study = &args.study;
    let ready = load::from_disk(path, &args.set.sets)?;
    let banded = band::asked(&args.band, &ready)?;
    let mut run = simulate(&ready, study.timing)?;
    along_the_road(&ready, &mut run, args, screen)?;
    if let Some((basis, draws)) = banded {
        // several scenarios have a bar of their own
        let bar = (args.scenarios.len() == 1).then(|| Bar::new(screen, "draws"));
        let progress: &dyn Progress = bar.as_ref().map_or(&Silent, |bar| bar);
        run_band(&mut run.result, basis, &draws, progress);
    }
    if let Some(folder) = folder {
        let style = Style {
            units: study.units(),
            formats: study.formats(),
            ..Style::default()
        };
        let mut all = files(&ready, &run, &style)?;
        all.push(page(&ready, &run, &all, &style, &args.set.sets));
        folder.write(all)?;
    }
    let moments = told(&run, study.units());
    Ok((run.result, moments))
}

/// What happened in a run, in words.
pub fn told(run: &SingleRun, units: Units) -> Vec<Moment> {
    course(&run.result, &run.events, &run.samples, units)
}

/// The ceilings along the road, where the scenario asks for them.
fn along_the_road(
    ready: &Ready,
    run: &mut SingleRun,
    args: &Run,
    screen: &Screen,
) -> Result<(), Failure> {
    // several scenarios have a bar of their own
    let bar = (args.scenarios.len() == 1).then(|| Bar::new(screen, "ceilings"));
    let progress: &dyn Progress = bar.as_ref().map_or(&Silent, |bar| bar);
    ceiling_along(&ready.loaded.scenario, &ready.setup, run, progress).map_err(|error| {
        Failure::Computation {
            file: ready.file.clone(),
            message: error.to_string(),
        }
    })
}

/// Runs a scenario that is ready.
pub fn simulate(ready: &Ready, timing: bool) -> Result<SingleRun, Failure> {
    let begun = Instant::now();
    let mut run = single(&ready.setup).map_err(|error| Failure::Computation {
        file: ready.file.clone(),
        message: error.to_string(),
    })?;
    if timing {
        run.result.solver.wall_s = Some(begun.elapsed().as_secs_f64());
    }
    Ok(run)
}

/// A folder for each scenario: the one that was named, or one inside it for
/// each of several.
fn folders(scenarios: &[PathBuf], out: Option<&Path>) -> Result<Vec<Option<Folder>>, Failure> {
    let Some(out) = out else {
        return Ok(vec![None; scenarios.len()]);
    };
    if scenarios.len() == 1 {
        return Ok(vec![Some(Folder::prepare(out)?)]);
    }
    let mut taken: Vec<String> = Vec::new();
    for path in scenarios {
        let stem = path
            .file_stem()
            .map_or_else(|| "run".into(), |stem| stem.to_string_lossy());
        let name = (1..)
            .map(|count| match count {
                1 => stem.to_string(),
                _ => format!("{stem}-{count}"),
            })
            .find(|name| !taken.contains(name))
            .unwrap_or_default();
        taken.push(name);
    }
    taken
        .iter()
        .map(|name| Folder::prepare(&out.join(name)).map(Some))
        .collect()
}

/// How the files of a run are written.
#[derive(Debug, Clone, Default)]
pub struct Style<'a> {
    /// Units of text and pictures.
    pub units: Units,
    /// Formats of the pictures.
    pub formats: &'a [PictureFormat],
    /// What all names begin with.
    pub prefix: &'a str,
    /// Title of the pictures; the scenario's if left out.
    pub title: Option<String>,
}

/// All files of a run.
pub fn files(ready: &Ready, run: &SingleRun, style: &Style) -> Result<Vec<File>, Failure> {
    let Style { units, prefix, .. } = *style;
    let mut files = vec![
        (format!("{prefix}result.json"), json_bytes(&run.result)?),
        (
            format!("{prefix}trace.csv"),
            trace_csv(&run.samples).into_bytes(),
        ),
        (
            format!("{prefix}verdict.txt"),
            format!(
                "{}\n{}",
                run_text(&run.result, &told(run, units), units, FILE_WIDTH, false),
                cautions_text(FILE_WIDTH)
            )
            .into_bytes(),
        ),
    ];
    for &format in style.formats {
        let options = PictureOptions {
            format,
            units,
            title: style.title.clone(),
            ..PictureOptions::default()
        };
        let (samples, result) = (run.samples.as_slice(), &run.result);
        let pictures = [
            ("lid", report::lid(samples, result, &options)),
            ("strips", report::time_strips(samples, result, &options)),
            (
                "map",
                report::map_path(samples, &ready.setup.map, result, &options),
            ),
            ("ladder", report::headroom_ladder(result, &options)),
        ];
        for (name, picture) in pictures {
            let name = format!("{prefix}{name}.{}", format.extension());
            files.push((name, drawn(&ready.file, picture)?));
        }
        if result
            .road
            .as_ref()
            .is_some_and(|road| !road.cells.is_empty())
        {
            let name = format!("{prefix}road.{}", format.extension());
            let picture = report::road_chart(samples, result, &options);
            files.push((name, drawn(&ready.file, picture)?));
        }
    }
    Ok(files)
}

/// The page of a run, with the pictures that are among its files. `sets` is what was
/// laid over the scenario.
pub fn page(
    ready: &Ready,
    run: &SingleRun,
    files: &[File],
    style: &Style,
    sets: &[Override],
) -> File {
    let pictures = Pictures::of(files, style.prefix);
    let sources = ready.sources(sets);
    let page = run_page(
        run,
        style.title.as_deref(),
        style.units,
        &pictures,
        &sources,
    );
    (format!("{}{PAGE}", style.prefix), page.into_bytes())
}

/// A picture, or why there is none.
pub fn drawn(file: &str, picture: Result<Vec<u8>, PictureError>) -> Result<Vec<u8>, Failure> {
    picture.map_err(|error| Failure::Computation {
        file: file.to_owned(),
        message: error.to_string(),
    })
}

/// A JSON file.
pub fn json_bytes(value: &impl Serialize) -> Result<Vec<u8>, Failure> {
    let mut bytes = serde_json::to_vec_pretty(value)
        .map_err(|error| Failure::Screen(std::io::Error::other(error)))?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn print_json(outcomes: &[Result<Told, Failure>], screen: &Screen) -> Result<(), Failure> {
    let mut entries: Vec<Entry> = outcomes
        .iter()
        .map(|outcome| match outcome {
            Ok((result, _)) => Entry::Run(result),
            Err(failure) => Entry::Error(failure.document()),
        })
        .collect();
    if entries.len() == 1
        && let Some(entry) = entries.pop()
    {
        return screen.document(&entry);
    }
    screen.document(&Many { runs: entries })
}

fn print_text(
    outcomes: &[Result<Told, Failure>],
    folders: &[Option<Folder>],
    args: &Run,
    screen: &Screen,
) -> Result<(), Failure> {
    let several = outcomes.len() > 1;
    let units = args.study.units();
    for ((path, outcome), folder) in args.scenarios.iter().zip(outcomes).zip(folders) {
        if several {
            screen.text(&format!("== {} ==\n", path.display()))?;
        }
        match outcome {
            Ok((result, moments)) => {
                let mut text = run_text(result, moments, units, screen.width, screen.colour());
                if let Some(wall_s) = result.solver.wall_s {
                    text.push_str(&format!("  Computed in {wall_s:.3} s.\n"));
                }
                if let Some(folder) = folder {
                    text.push_str(&format!("\n  Report in {}\n", folder.name()));
                }
                if several {
                    text.push('\n');
                }
                screen.text(&text)?;
            }
            Err(failure) => screen.failure(failure),
        }
    }
    Ok(())
}
