//! `ringfence tolerance`: how likely production spread exceeds a limit, and why.
use std::time::Instant;

use serde::Serialize;

use super::args::{Study, ToleranceArgs};
use super::exit::Status;
use super::failure::Failure;
use super::folder::{File, Folder, PAGE};
use super::load::{self, Ready};
use super::progress::Bar;
use super::run::{FILE_WIDTH, drawn, json_bytes};
use super::screen::Screen;
use crate::judgement::{ToleranceResult, ToleranceVerdict, Verdict};
use crate::quantity::Fraction;
use crate::report::page::tolerance_page;
use crate::report::{PictureOptions, Pictures, cautions_text, tolerance_chart, tolerance_text};
use crate::scenario::written_number;
use crate::study::tolerance::{Asked, End, Met, Tolerance, tolerance as study};

/// Allowed confidence \[-\].
const CONFIDENCE: std::ops::RangeInclusive<f64> = 0.5..=0.999;
/// Allowed level \[-\].
const LEVEL: std::ops::RangeInclusive<f64> = 0.0001..=0.5;

/// The result, with how long it took where that was asked for.
#[derive(Serialize)]
struct Timed<'a> {
    #[serde(flatten)]
    result: &'a ToleranceResult,
    #[serde(skip_serializing_if = "Option::is_none")]
    wall_s: Option<f64>,
}

/// Draws engines and says how many exceed a limit.
pub fn tolerance(args: &ToleranceArgs, screen: &Screen) -> Result<Status, Failure> {
    args.study.apply_threads();
    let asked = asked(args)?;
    let folder = args.study.out.as_deref().map(Folder::prepare).transpose()?;
    let ready = load::from_disk(&args.scenario, &args.set.sets)?;
    every_number_is_there(&ready)?;
    let begun = Instant::now();
    let (runs, search) = (Bar::new(screen, "engines"), Bar::new(screen, "command"));
    let answer = study(&ready.loaded, &ready.setup, asked, &runs, &search)
        .ok_or_else(|| nothing_stated(&ready, asked))?;
    let wall_s = args.study.timing.then(|| begun.elapsed().as_secs_f64());
    let timed = Timed {
        result: &answer.result,
        wall_s,
    };
    if let Some(folder) = &folder {
        let mut written = files(&ready, &answer, &args.study)?;
        let pictures = Pictures::of(&written, "");
        let sources = ready.sources(&args.set.sets);
        let page = tolerance_page(&answer.result, args.study.units(), &pictures, &sources);
        written.push((PAGE.to_owned(), page.into_bytes()));
        written.push(("tolerance.json".to_owned(), json_bytes(&timed)?));
        folder.write(written)?;
    }
    if screen.json {
        screen.document(&timed)?;
    } else {
        let (units, colour) = (args.study.units(), screen.colour());
        let mut text = tolerance_text(&answer.result, units, screen.width, colour);
        if let Some(wall_s) = wall_s {
            text.push_str(&format!("  Computed in {wall_s:.3} s.\n"));
        }
        if let Some(folder) = &folder {
            text.push_str(&format!("\n  Report in {}\n", folder.name()));
        }
        screen.text(&text)?;
    }
    Ok(status(answer.result.verdict))
}

/// A spread may stand for a number that another ambient or another form has taken
/// away; no engine can be drawn with it then.
fn every_number_is_there(ready: &Ready) -> Result<(), Failure> {
    let spreads = &ready.loaded.scenario.production;
    let missing = spreads
        .iter()
        .find(|(path, _)| written_number(&ready.loaded, path).is_none());
    missing.map_or(Ok(()), |(path, _)| {
        Err(Failure::call(
            format!(
                "{}: production.{path}: this scenario has no `{path}`",
                ready.file
            ),
            path,
            "spreads of numbers that the scenario gives",
            format!(
                "give `{path}`, or take its spread away in a file that extends this one: \
                 `production: {{{path}: null}}`"
            ),
        ))
    })
}

fn status(verdict: ToleranceVerdict) -> Status {
    match verdict {
        ToleranceVerdict::KeptBelow => Status::Held,
        ToleranceVerdict::Above | ToleranceVerdict::Undecided => Status::Exceeded,
        ToleranceVerdict::OutsideValidity => Status::Failed,
    }
}

fn asked(args: &ToleranceArgs) -> Result<Asked, Failure> {
    Ok(Asked {
        draws: args.draws,
        seed: args.seed,
        confidence: share("--confidence", &args.confidence, &CONFIDENCE)?,
        level: share("--keep-below", &args.keep_below, &LEVEL)?,
        with_uncertainty: args.with_uncertainty,
    })
}

/// A share from its text, inside what is allowed.
fn share(flag: &str, text: &str, allowed: &std::ops::RangeInclusive<f64>) -> Result<f64, Failure> {
    let from_to = format!(
        "from {} % to {} %",
        (allowed.start() * 1e4).round() / 1e2,
        (allowed.end() * 1e4).round() / 1e2
    );
    let read: Fraction = text
        .parse()
        .map_err(|error: crate::quantity::QuantityError| {
            Failure::call(
                format!("{flag}: {}", error.message()),
                error.read(),
                error.allowed(),
                error.hint(),
            )
        })?;
    if allowed.contains(&read.fraction()) {
        return Ok(read.fraction());
    }
    Err(Failure::call(
        format!("{flag} is out of range"),
        text,
        from_to,
        format!(
            "such as {flag} {}",
            if flag == "--confidence" { "95%" } else { "1%" }
        ),
    ))
}

fn nothing_stated(ready: &Ready, asked: Asked) -> Failure {
    let sections = match asked.with_uncertainty {
        true => "a scenario with a `production` or an `uncertainty` section",
        false => "a scenario with a `production` section",
    };
    Failure::call(
        format!("{}: the scenario states no production spread", ready.file),
        "no `production`",
        sections,
        "state what differs from engine to engine, such as `sensors.boost.offset: 2 kPa`",
    )
}

/// Table, text and pictures.
fn files(ready: &Ready, answer: &Tolerance, study: &Study) -> Result<Vec<File>, Failure> {
    let text = format!(
        "{}\n{}",
        tolerance_text(&answer.result, study.units(), FILE_WIDTH, false),
        cautions_text(FILE_WIDTH)
    );
    let mut files = vec![
        ("tolerance.csv".to_owned(), csv_bytes(answer)),
        ("verdict.txt".to_owned(), text.into_bytes()),
    ];
    for &format in study.formats() {
        let options = PictureOptions {
            format,
            units: study.units(),
            ..PictureOptions::default()
        };
        files.push((
            format!("tolerance.{}", format.extension()),
            drawn(&ready.file, tolerance_chart(&answer.result, &options))?,
        ));
    }
    Ok(files)
}

/// One row for each engine: how far each number lies off, the headroom to each limit,
/// the verdict. What is not known is an empty field.
fn csv_bytes(answer: &Tolerance) -> Vec<u8> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // writing to memory cannot fail, and every row has the header's length
    let mut written = writer.write_record(csv_header(answer)).is_ok();
    let limits = answer.result.limits.len();
    for (engine, trial) in answer.engines.iter().zip(&answer.trials) {
        let verdict = match trial.verdict() {
            _ if trial.end == End::NotBuilt => "not_built",
            Verdict::Exceeded => "exceeded",
            Verdict::OutsideValidity => "outside_validity",
            Verdict::Held | Verdict::HeldInsideBand => "held",
        };
        let mut row = vec![engine.index.to_string(), verdict.to_owned()];
        // ten digits: far more than any spread is known to
        row.extend(engine.deviations.iter().map(|off| format!("{off:.9e}")));
        let headroom = |at: usize| trial.limits.get(at).and_then(|met: &Met| met.headroom);
        row.extend((0..limits).map(|at| headroom(at).map_or(String::new(), |h| format!("{h:.4}"))));
        written &= writer.write_record(row).is_ok();
    }
    debug_assert!(written);
    writer.into_inner().unwrap_or_default()
}

fn csv_header(answer: &Tolerance) -> Vec<String> {
    let with_unit = |name: String, unit: &str| match unit {
        "" | "-" => name,
        unit => format!("{name} [{unit}]"),
    };
    let mut header = vec!["draw".to_owned(), "verdict".to_owned()];
    header.extend(answer.inputs.iter().map(|input| {
        let section = match input.named.section.as_str() {
            "production" => "",
            _ => " (uncertainty)",
        };
        with_unit(format!("off {}{section}", input.named.path), input.unit())
    }));
    header.extend(
        answer
            .result
            .limits
            .iter()
            .map(|limit| with_unit(format!("headroom {}", limit.name), &limit.unit)),
    );
    header
}
