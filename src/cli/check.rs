//! `ringfence check`: reads scenarios and maps without running them.
use std::collections::BTreeSet;
use std::path::Path;

use serde::Serialize;

use super::args::{Check, Override, UnitChoice};
use super::check_map::{MapCheck, is_map};
use super::exit::Status;
use super::failure::{ErrorDocument, Failure};
use super::folder::{File, Folder, PAGE};
use super::load::{self, Ready};
use super::screen::Screen;
use crate::report::table::Paint;
use crate::report::{Body, COMMAND_MARGIN_KPA, Page, Pictures, Units};

/// What a check found out about a sound scenario.
#[derive(Debug, Serialize)]
struct Summary {
    scenario: String,
    data: String,
    procedure: String,
    readable_ceiling_kpa_abs: f64,
    command_highest_kpa_abs: Option<f64>,
    findings: Vec<Finding>,
    maps: Vec<MapCheck>,
}

/// What was found out about one file.
enum Outcome {
    Scenario(Box<Summary>),
    Map(Box<MapCheck>),
}

/// Something that is allowed but unwise.
#[derive(Debug, Serialize)]
struct Finding {
    /// A name that `explain` knows.
    code: &'static str,
    /// Whether it counts, or is only worth a look.
    severity: Severity,
    #[serde(skip)]
    text: String,
    value_kpa_abs: f64,
    bound_kpa_abs: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
enum Severity {
    Finding,
    Note,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Entry<'a> {
    Scenario(&'a Summary),
    Map(&'a MapCheck),
    Error(ErrorDocument<'a>),
}

#[derive(Serialize)]
struct Many<'a> {
    checks: Vec<Entry<'a>>,
}

/// Checks every file.
pub fn check(args: &Check, screen: &Screen) -> Result<Status, Failure> {
    let units = args.units.map_or(Units::Si, UnitChoice::units);
    let folder = args.out.as_deref().map(Folder::prepare).transpose()?;
    let mut outcomes: Vec<Result<Outcome, Failure>> = args
        .files
        .iter()
        .map(|path| outcome(path, &args.set.sets, units))
        .collect();
    if let Some(folder) = &folder {
        let mut files = pictures(&args.files, &mut outcomes, units)?;
        files.push(page(args, &outcomes, &files, units));
        folder.write(files)?;
    }
    let mut worst = Status::Held;
    for (path, outcome) in args.files.iter().zip(&outcomes) {
        worst = worst.worst(match outcome {
            Ok(outcome) => outcome.status(),
            Err(failure) => failure.status(),
        });
        if !screen.json {
            match outcome {
                Ok(Outcome::Scenario(summary)) => {
                    screen.text(&text(path, summary, units, screen))?;
                }
                Ok(Outcome::Map(map)) => screen.text(&map.text(screen))?,
                Err(failure) => screen.failure(failure),
            }
        }
    }
    if screen.json {
        print_json(&outcomes, screen)?;
    } else if let Some(folder) = &folder {
        screen.text(&format!("Pictures: {}\n", folder.name()))?;
    }
    Ok(worst)
}

fn outcome(path: &Path, sets: &[Override], units: Units) -> Result<Outcome, Failure> {
    if is_map(path) {
        return MapCheck::of_file(path).map(|map| Outcome::Map(Box::new(map)));
    }
    summary(path, sets, units).map(|summary| Outcome::Scenario(Box::new(summary)))
}

impl Outcome {
    fn status(&self) -> Status {
        let found = match self {
            Self::Scenario(summary) => summary.has_findings(),
            Self::Map(map) => map.has_findings(),
        };
        if found {
            Status::Exceeded
        } else {
            Status::Held
        }
    }
}

impl Summary {
    fn has_findings(&self) -> bool {
        let counts = |finding: &Finding| finding.severity == Severity::Finding;
        self.findings.iter().any(counts) || self.maps.iter().any(MapCheck::has_findings)
    }
}

/// Pictures of all maps, each under a name of its own.
fn pictures(
    paths: &[std::path::PathBuf],
    outcomes: &mut [Result<Outcome, Failure>],
    units: Units,
) -> Result<Vec<File>, Failure> {
    let mut taken = BTreeSet::new();
    let mut files = Vec::new();
    for (path, outcome) in paths.iter().zip(outcomes) {
        let stem = path.file_stem().map_or_else(
            || "map".to_owned(),
            |stem| stem.to_string_lossy().into_owned(),
        );
        match outcome {
            Ok(Outcome::Map(map)) => {
                files.extend(map.draw(&own_name(&mut taken, stem), units)?);
            }
            Ok(Outcome::Scenario(summary)) => {
                for map in &mut summary.maps {
                    let name = format!("{stem}-{}", map.kind());
                    files.extend(map.draw(&own_name(&mut taken, name), units)?);
                }
            }
            Err(_) => {}
        }
    }
    Ok(files)
}

/// The name, with a number behind it where it is taken.
fn own_name(taken: &mut BTreeSet<String>, stem: String) -> String {
    let mut name = stem.clone();
    let mut number = 2;
    while !taken.insert(name.clone()) {
        name = format!("{stem}-{number}");
        number += 1;
    }
    name
}

fn summary(path: &Path, sets: &[Override], units: Units) -> Result<Summary, Failure> {
    let ready = load::from_disk(path, sets)?;
    let readable_kpa = ready.readable_kpa();
    let command_kpa = ready.highest_command_kpa();
    let mut findings = Vec::new();
    findings.extend(command_kpa.and_then(|kpa| command(&ready, kpa, readable_kpa, units)));
    findings.extend(over_boost(&ready, readable_kpa, units));
    Ok(Summary {
        scenario: ready.setup.titles.scenario.clone(),
        data: ready.setup.titles.data.clone(),
        procedure: ready.setup.titles.procedure.clone(),
        readable_ceiling_kpa_abs: readable_kpa,
        command_highest_kpa_abs: command_kpa,
        findings,
        maps: MapCheck::of_scenario(&ready.loaded.scenario, &ready.loaded.files),
    })
}

fn command(ready: &Ready, command_kpa: f64, readable_kpa: f64, units: Units) -> Option<Finding> {
    let clamped = ready
        .setup
        .rig
        .controller
        .protections
        .command_clamp
        .is_some();
    let (command, readable) = (
        units.pressure_text(command_kpa),
        units.pressure_text(readable_kpa),
    );
    let advised = units.pressure_text(readable_kpa - COMMAND_MARGIN_KPA);
    if command_kpa > readable_kpa && clamped {
        Some(Finding {
            code: "command_above_readable",
            severity: Severity::Note,
            text: format!(
                "The boost command goes up to {command} abs, above the {readable} abs that the \
                 sensor can read; only the command clamp holds it back."
            ),
            value_kpa_abs: command_kpa,
            bound_kpa_abs: readable_kpa,
        })
    } else if command_kpa > readable_kpa {
        Some(Finding {
            code: "command_above_readable",
            severity: Severity::Finding,
            text: format!(
                "The boost command goes up to {command} abs, but the sensor reads no more than \
                 {readable} abs. The controller can never see such a target met and keeps closing \
                 the vanes. Command at most {advised} abs."
            ),
            value_kpa_abs: command_kpa,
            bound_kpa_abs: readable_kpa,
        })
    } else if command_kpa > readable_kpa - COMMAND_MARGIN_KPA && !clamped {
        Some(Finding {
            code: "command_near_readable",
            severity: Severity::Note,
            text: format!(
                "The boost command goes up to {command} abs, close to the {readable} abs that the \
                 sensor can read. Common practice stays at or below {advised} abs."
            ),
            value_kpa_abs: command_kpa,
            bound_kpa_abs: readable_kpa - COMMAND_MARGIN_KPA,
        })
    } else {
        None
    }
}

fn over_boost(ready: &Ready, readable_kpa: f64, units: Units) -> Option<Finding> {
    let above_kpa = ready.setup.rig.controller.protections.over_boost?.above_pa * 1e-3;
    (above_kpa >= readable_kpa).then(|| Finding {
        code: "over_boost_above_readable",
        severity: Severity::Note,
        text: format!(
            "The over-boost fuel cut waits for a reading above {} abs, but no reading goes above \
             {} abs: it can never act.",
            units.pressure_text(above_kpa),
            units.pressure_text(readable_kpa)
        ),
        value_kpa_abs: above_kpa,
        bound_kpa_abs: readable_kpa,
    })
}

fn text(path: &Path, summary: &Summary, units: Units, screen: &Screen) -> String {
    let colour = screen.colour();
    let (word, paint) = if summary.has_findings() {
        ("finding", Paint::Bad)
    } else {
        ("ok", Paint::Good)
    };
    let mut body = Body::default();
    body.plain(summary.line(units));
    summary.say(&mut body);
    format!(
        "{}  {}\n{}",
        paint.apply(word, colour),
        path.display(),
        body.text(screen.width, colour)
    )
}

impl Summary {
    /// The scenario in a line.
    fn line(&self, units: Units) -> String {
        let command = self
            .command_highest_kpa_abs
            .map_or_else(String::new, |kpa| {
                format!(", command up to {} abs", units.pressure_text(kpa))
            });
        format!(
            "{} · {} data · {} · sensor reads up to {} abs{command}",
            self.scenario,
            self.data,
            self.procedure,
            units.pressure_text(self.readable_ceiling_kpa_abs)
        )
    }

    /// What was found.
    fn say(&self, body: &mut Body) {
        for finding in &self.findings {
            let word = match finding.severity {
                Severity::Finding => "finding",
                Severity::Note => "note",
            };
            body.item("-", format!("{word} {}: {}", finding.code, finding.text));
        }
        for map in &self.maps {
            map.findings(&format!("{}, ", map.name()), body);
        }
    }

    /// The scenario and its maps on a page.
    fn show(&self, page: &mut Page, units: Units, pictures: &Pictures) {
        let mut body = Body::default();
        match self.has_findings() {
            true => body.verdict("Finding", self.line(units), Paint::Bad),
            false => body.verdict("Nothing suspicious", self.line(units), Paint::Good),
        }
        self.say(&mut body);
        page.body(body);
        for map in &self.maps {
            map.show_picture(page, pictures);
        }
    }
}

/// All that was checked as one page.
fn page(args: &Check, outcomes: &[Result<Outcome, Failure>], files: &[File], units: Units) -> File {
    let pictures = Pictures::of(files, "");
    let title = match args.files.as_slice() {
        [only] => only.display().to_string(),
        more => format!("{} files", more.len()),
    };
    let mut page = Page::new("Report of a check", &title);
    for (path, outcome) in args.files.iter().zip(outcomes) {
        if outcomes.len() > 1 {
            page.heading(&path.display().to_string());
        }
        match outcome {
            Ok(Outcome::Scenario(summary)) => summary.show(&mut page, units, &pictures),
            Ok(Outcome::Map(map)) => map.show(&mut page, &pictures),
            Err(failure) => {
                let mut body = Body::default();
                body.verdict("Wrong", failure.message(), Paint::Bad);
                body.code(failure.render(false).lines().map(str::to_owned).collect());
                page.body(body);
            }
        }
    }
    (PAGE.to_owned(), page.html().into_bytes())
}

fn print_json(outcomes: &[Result<Outcome, Failure>], screen: &Screen) -> Result<(), Failure> {
    let mut checks: Vec<Entry> = outcomes
        .iter()
        .map(|outcome| match outcome {
            Ok(Outcome::Scenario(summary)) => Entry::Scenario(summary),
            Ok(Outcome::Map(map)) => Entry::Map(map),
            Err(failure) => Entry::Error(failure.document()),
        })
        .collect();
    if checks.len() == 1
        && let Some(entry) = checks.pop()
    {
        return screen.document(&entry);
    }
    screen.document(&Many { checks })
}
