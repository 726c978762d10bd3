//! `ringfence` alone: the demonstration. The safe ceiling of the built-in
//! scenario; the same engine commanded above its sensor; the same with the
//! command clamped. Every sentence is made from the results.
mod ceiling_story;
mod clamp_story;
mod over;
mod run_story;

use std::path::Path;
use std::time::Instant;

use serde::Serialize;

use super::args::{Demo, Study};
use super::exit::Status;
use super::failure::Failure;
use super::folder::{File, Folder, PAGE};
use super::load::{self, Ready};
use super::run::{FILE_WIDTH, Style, drawn, files, json_bytes};
use super::screen::Screen;
use super::{ceiling, run};
use crate::judgement::{CeilingResult, RunResult, TOOL};
use crate::report::page::words;
use crate::report::table::Paint;
use crate::report::{
    self, Body, COMMAND_MARGIN_KPA, Page, PictureOptions, Pictures, Units, cautions_text,
    ceiling_text, run_text,
};
use over::{Pair, Shown, Trial};

/// Where the report goes unless `--out` says otherwise.
const FOLDER: &str = "ringfence-report";
/// Titles of the parts of the story.
const HOW_HIGH: &str = "1  How high may the boost command go?";
const ABOVE: &str = "2  The same engine, commanded above its sensor";
const CLAMPED: &str = "3  The same command, clamped";
/// Said at the end of the page.
const MORE: &str = "over-report.html and clamped-report.html in the same folder tell of either \
                    run in full.";

/// Everything that the demonstration found.
struct Findings {
    ready: Ready,
    ceiling: CeilingResult,
    over: Trial,
    clamped: Trial,
}

/// Computes, tells the story, writes the report.
pub fn demo(args: &Demo, screen: &Screen) -> Result<Status, Failure> {
    let study = &args.study;
    study.apply_threads();
    let out = study.out.as_deref().unwrap_or(Path::new(FOLDER));
    let folder = Folder::prepare(out)?;
    let begun = Instant::now();
    let ready = load::demo(&[])?;
    let ceiling = ceiling::compute(&ready, screen)?;
    let Pair { over, clamped } = over::over_and_clamped(&ready, &ceiling)?;
    let found = Findings {
        ready,
        ceiling,
        over,
        clamped,
    };
    let wall_s = study.timing.then(|| begun.elapsed().as_secs_f64());
    folder.replace(report_files(&found, study)?)?;
    if screen.json {
        screen.document(&found.document(wall_s))?;
    } else {
        let mut text = found.story(study.units(), screen.width, screen.colour());
        text.push_str(&closing(&folder, wall_s));
        screen.text(&text)?;
    }
    Ok(Status::Held)
}

#[derive(Serialize)]
struct Document<'a> {
    tool: &'static str,
    version: &'static str,
    ceiling: &'a CeilingResult,
    over_commanded: RunDocument<'a>,
    clamped: RunDocument<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wall_s: Option<f64>,
}

#[derive(Serialize)]
struct RunDocument<'a> {
    overrides: Vec<String>,
    result: &'a RunResult,
}

impl Findings {
    fn document(&self, wall_s: Option<f64>) -> Document<'_> {
        let run = |trial: &Trial| -> Vec<String> {
            let sets = trial.sets.iter();
            sets.map(|set| format!("{}={}", set.path, set.value))
                .collect()
        };
        Document {
            tool: TOOL,
            version: env!("CARGO_PKG_VERSION"),
            ceiling: &self.ceiling,
            over_commanded: RunDocument {
                overrides: run(&self.over),
                result: &self.over.run.result,
            },
            clamped: RunDocument {
                overrides: run(&self.clamped),
                result: &self.clamped.run.result,
            },
            wall_s,
        }
    }

    /// The whole story in at most `width` columns.
    fn story(&self, units: Units, width: usize, colour: bool) -> String {
        let title = Paint::Bold.apply("ringfence: the demonstration", colour);
        format!(
            "{title}\n\n{}\n{}",
            self.body(units).text(width, colour),
            cautions_text(width)
        )
    }

    /// The story, block by block.
    fn body(&self, units: Units) -> Body {
        let shown = Shown { units };
        let mut body = Body::default();
        body.plain(self.opening(&shown));
        body.heading(HOW_HIGH);
        body.append(ceiling_story::tell(&self.ceiling, &shown));
        body.heading(ABOVE);
        body.append(run_story::tell_over(&self.over, &self.clamped, &shown));
        body.heading(CLAMPED);
        let clamped = clamp_story::tell_clamped(&self.over, &self.clamped, &shown);
        body.append(clamped);
        body.heading("What to do");
        for advice in self.advice(units) {
            body.item("-", advice);
        }
        body
    }

    /// The story with its pictures, each behind the part that it belongs to.
    fn page(&self, units: Units, files: &[File]) -> File {
        let pictures = Pictures::of(files, "");
        let mut page = Page::new("The demonstration", &self.ready.setup.titles.scenario);
        let (how_high, rest) = self.body(units).cut_after(HOW_HIGH);
        let (above, rest) = rest.cut_after(ABOVE);
        let (clamped, advice) = rest.cut_after(CLAMPED);
        page.body(how_high);
        page.picture(&pictures, "ceiling", &words::CEILING);
        page.picture(&pictures, "handover", &words::HANDOVER);
        page.body(above);
        page.picture(&pictures, "over-strips", &words::STRIPS);
        page.body(clamped);
        page.picture(&pictures, "lid", &words::LID);
        page.body(advice);
        page.heading("More of it");
        page.plain(MORE);
        page.sources(&self.ready.sources(&[]));
        (PAGE.to_owned(), page.html().into_bytes())
    }

    /// What is asked, of what.
    fn opening(&self, shown: &Shown) -> String {
        let engine = &self.ready.loaded.scenario.engine;
        let data = match self.ready.setup.titles.data.as_str() {
            "invented" => "Every figure of it is invented.".to_owned(),
            other => format!("Its data are {other}."),
        };
        let readable = self
            .ceiling
            .readable_ceiling_kpa_abs
            .map_or_else(String::new, |kpa| {
                format!(
                    " Its boost sensor reads up to {} abs and not one step more.",
                    shown.units.pressure_text(kpa)
                )
            });
        format!(
            "{}: a {}-cylinder diesel of {:.1} litres whose turbo has movable vanes ahead of the \
             turbine. Closing them makes more boost, more shaft speed and more drive pressure (the \
             exhaust pressure ahead of the turbine). {data}{readable} A controller moves the vanes \
             until the reading meets the boost command. So: how high may the command be, and what \
             happens above that?",
            self.ready.setup.titles.scenario,
            engine.cylinders,
            engine.displacement.l(),
        )
    }

    fn advice(&self, units: Units) -> Vec<String> {
        let mut advice = Vec::new();
        if self
            .ceiling
            .cells
            .iter()
            .any(|c| c.ceiling_kpa_abs.is_some())
        {
            advice.push(
                "Keep the command table at or below the ceiling, speed by speed, for the highest \
                 place the engine will see."
                    .to_owned(),
            );
        }
        if let Some(kpa) = self.ceiling.readable_ceiling_kpa_abs {
            advice.push(format!(
                "Whatever else allows more: never command above {} abs here, {} below what the \
                 sensor reads (a rule of the trade).",
                units.pressure_text(kpa - COMMAND_MARGIN_KPA),
                units.pressure_text(COMMAND_MARGIN_KPA),
            ));
        }
        advice.push(
            "Let the controller clamp its command and watch for a pinned reading. An over-boost \
             cut that reads the same sensor protects nothing above it."
                .to_owned(),
        );
        advice.push(
            "Now with your engine: `ringfence new my-engine.yaml`, change the figures, then \
             `ringfence ceiling my-engine.yaml`. `ringfence explain` tells what is behind each \
             word."
                .to_owned(),
        );
        advice
    }
}

fn closing(folder: &Folder, wall_s: Option<f64>) -> String {
    let mut text = format!(
        "\nReport: {}{}\n  Open report.html first.\n",
        folder.name(),
        std::path::MAIN_SEPARATOR
    );
    if let Some(wall_s) = wall_s {
        text.push_str(&format!("Computed in {wall_s:.2} s.\n"));
    }
    text
}

/// What the report folder holds.
fn report_files(found: &Findings, study: &Study) -> Result<Vec<File>, Failure> {
    let units = study.units();
    let formats = study.formats();
    let mut all = ceiling::files(&found.ready, &found.ceiling, study)?;
    all.push(("ceiling.json".to_owned(), json_bytes(&found.ceiling)?));
    let title = &found.ready.setup.titles.scenario;
    for (trial, prefix, what) in [
        (&found.over, "over-", "commanded above the sensor"),
        (&found.clamped, "clamped-", "the same, clamped"),
    ] {
        let style = Style {
            units,
            formats,
            prefix,
            title: Some(format!("{title}: {what}")),
        };
        let mut own = files(&trial.ready, &trial.run, &style)?;
        own.push(run::page(
            &trial.ready,
            &trial.run,
            &own,
            &style,
            &trial.sets,
        ));
        all.extend(own);
    }
    for &format in formats {
        let options = PictureOptions {
            format,
            units,
            ..PictureOptions::default()
        };
        let runs = [("over-commanded", &found.over), ("clamped", &found.clamped)]
            .map(|(name, t)| (name, t.run.samples.as_slice(), &t.run.result));
        let picture = drawn(&found.ready.file, report::lid_many(&runs, &options))?;
        all.push((format!("lid.{}", format.extension()), picture));
    }
    all.push(found.page(units, &all));
    all.push(("verdict.txt".to_owned(), verdict(found, units)));
    Ok(all)
}

fn verdict(found: &Findings, units: Units) -> Vec<u8> {
    let line = "-".repeat(FILE_WIDTH);
    let run = |trial: &Trial| {
        let moments = run::told(&trial.run, units);
        run_text(&trial.run.result, &moments, units, FILE_WIDTH, false)
    };
    [
        found.story(units, FILE_WIDTH, false),
        ceiling_text(&found.ceiling, units, FILE_WIDTH, false),
        format!("Commanded above the sensor\n\n{}", run(&found.over)),
        format!("The same command, clamped\n\n{}", run(&found.clamped)),
    ]
    .join(&format!("\n{line}\n\n"))
    .into_bytes()
}

/// Runs the scenario with overrides.
fn trial(sets: Vec<super::args::Override>) -> Result<Trial, Failure> {
    let ready = load::demo(&sets)?;
    let run = run::simulate(&ready, false)?;
    Ok(Trial { ready, sets, run })
}
