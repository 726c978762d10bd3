//! The text form of a baseline: written so that a change of it can be reviewed, and
//! read back with every fault named.

use std::path::{Path, PathBuf};

use super::check::cell;
use super::diagnostic::{Diagnostic, Diagnostics, MOST};
use super::document::{Fault, nearest};
use super::file::BaselineEntry;
use super::guard;
use super::layer::Layers;
use super::load::Loaded;
use super::place::Part;
use super::source::{Disk, FileSource as _, ReadFailure, shown};
use super::tree::Node;
use crate::judgement::{BASELINE_CHANNELS, Baseline, BaselineRow, Channel, TIME_DECIMALS};
use crate::map::MapProblem;
use crate::simulation::Sample;

/// The line by which a file is known as a baseline.
const HEAD: &str = "# baseline of ringfence";
/// Where a scenario names its file.
const FIELD: &str = "expect.baseline.file";
/// The name of the first column.
const TIME: &str = "time_s";
/// What to do about a file that is missing or broken.
const RENEW: &str = "write it with `ringfence verify SCENARIO --write-baselines`";
/// More faults than these in one file help nobody.
const MOST_FAULTS: usize = 20;
/// Longest time of a row \[s\]: a day.
const LONGEST_S: f64 = 86_400.0;

/// The baseline of a run as its scenario asks for it.
pub fn baseline_of(entry: &BaselineEntry, samples: &[Sample]) -> Baseline {
    let duration_s = match (samples.first(), samples.last()) {
        (Some(first), Some(last)) => last.time_s - first.time_s,
        _ => 0.0,
    };
    let spacing_s = entry
        .spacing
        .map_or_else(|| Baseline::spacing_for(duration_s), |spacing| spacing.s());
    Baseline::of(samples, &channels(entry), spacing_s)
}

/// The channels that a scenario stores: those of any, and those that it names.
fn channels(entry: &BaselineEntry) -> Vec<Channel> {
    let stored = |channel: &Channel| {
        BASELINE_CHANNELS.contains(channel) || entry.tolerance.written(*channel).is_some()
    };
    Channel::ALL.into_iter().filter(stored).collect()
}

/// A baseline as the text of its file. The title and the origin of the data are those
/// of its scenario.
pub fn baseline_text(baseline: &Baseline, title: &str, data: &str) -> String {
    let title = title.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut text = format!(
        "{HEAD}: the course that later runs of its scenario are held against\n\
         # scenario: {title}\n\
         # data: {data}\n\
         # spacing_s: {}\n\
         # renew: ringfence verify SCENARIO --write-baselines\n\
         {TIME}",
        baseline.spacing_s()
    );
    for channel in baseline.channels() {
        text.push(',');
        text.push_str(channel.column());
    }
    text.push('\n');
    for row in baseline.rows() {
        text.push_str(&format!("{:.*}", TIME_DECIMALS, row.time_s));
        for (value, channel) in row.values.iter().zip(baseline.channels()) {
            text.push(',');
            if let Some(value) = value {
                text.push_str(&format!("{value:.*}", channel.decimals()));
            }
        }
        text.push('\n');
    }
    text
}

/// Where the baseline of a scenario lies, without reading it.
///
/// # Errors
/// The path leads outside the folder of the scenario.
pub fn baseline_path(loaded: &Loaded) -> Result<Option<PathBuf>, Diagnostics> {
    let Some(node) = loaded.document.root.at(FIELD) else {
        return Ok(None);
    };
    let (path, _) = beside(loaded, node)?;
    Ok(Some(path))
}

/// Reads the baseline that a scenario names; `None` where it names none.
///
/// # Errors
/// The file is missing, leads outside the folder of the scenario, or is no baseline.
pub fn read_baseline(loaded: &Loaded) -> Result<Option<Baseline>, Diagnostics> {
    let Some(node) = loaded.document.root.at(FIELD) else {
        return Ok(None);
    };
    let (path, layers) = beside(loaded, node)?;
    let bytes = Disk.read(&path, guard::LARGEST).map_err(|failure| {
        let [message, read, allowed, hint] = guard::failure_words(&failure);
        let hint = match failure {
            ReadFailure::Missing => RENEW.to_owned(),
            _ => hint,
        };
        let fault = Fault::new(format!("{}: {message}", shown(&path)), allowed, hint);
        let fault = fault.reading(format!("{} ({read})", node.describe()));
        layers.texts.diagnostic(node, Part::Value, FIELD, fault)
    })?;
    let name = shown(&path);
    let text = guard::plain(&name, &bytes)?;
    parse(&text).map(Some).map_err(|problems| {
        let mut diagnostics: Vec<Diagnostic> = problems
            .into_iter()
            .map(|problem| in_file(&name, &text, problem))
            .collect();
        let not_shown = diagnostics.len().saturating_sub(MOST);
        diagnostics.truncate(MOST);
        Diagnostics {
            diagnostics,
            not_shown,
        }
    })
}

/// The file's path, and what places a fault of it in the scenario.
fn beside<'a>(loaded: &Loaded, node: &Node) -> Result<(PathBuf, Layers<'a>), Diagnostics> {
    let top = loaded.files.first().map_or("", String::as_str);
    let folder = Path::new(top).parent().unwrap_or(Path::new(""));
    let mut layers = Layers::new(&Disk, folder);
    layers.texts = loaded.document.texts.clone();
    let path = layers.beside(node, FIELD, "a baseline")?;
    Ok((path, layers))
}

/// A problem as a diagnostic of the file.
fn in_file(name: &str, text: &str, problem: MapProblem) -> Diagnostic {
    let line_text = text.lines().nth(problem.line.max(1) - 1).unwrap_or("");
    let (column, width) = cell(line_text, problem.column);
    Diagnostic {
        line: problem.line.max(1),
        column,
        path: format!("{FIELD}: {}", problem.field),
        source_line: line_text.to_owned(),
        width,
        ..guard::whole_file(
            name,
            &format!("the baseline is not usable: {}", problem.field),
            &problem.read,
            &problem.allowed,
            &problem.hint,
        )
    }
}

fn problem(
    line: usize,
    column: Option<usize>,
    field: &str,
    read: impl Into<String>,
    allowed: impl Into<String>,
    hint: &str,
) -> MapProblem {
    MapProblem {
        line,
        column,
        field: field.to_owned(),
        read: read.into(),
        allowed: allowed.into(),
        hint: hint.to_owned(),
    }
}

/// Reads a baseline from its text.
///
/// # Errors
/// Everything that is wrong with it, by line.
pub fn parse(text: &str) -> Result<Baseline, Vec<MapProblem>> {
    let mut problems = Vec::new();
    let spacing_s = header(text, &mut problems);
    let mut lines = text
        .lines()
        .enumerate()
        .map(|(index, line)| (index + 1, line))
        .filter(|(_, line)| !line.trim().is_empty() && !line.starts_with('#'));
    let Some((names_line, names)) = lines.next() else {
        problems.push(problem(
            text.lines().count().max(1),
            None,
            "table",
            "no row of column names",
            format!("{TIME} and columns such as {}", Channel::BoostTrue.column()),
            RENEW,
        ));
        return Err(problems);
    };
    let Some(channels) = columns(names_line, names, &mut problems) else {
        return Err(problems);
    };
    let mut rows: Vec<BaselineRow> = Vec::new();
    for (line, cells) in lines {
        let before_s = rows.last().map(|row| row.time_s);
        rows.extend(row(line, cells, &channels, before_s, &mut problems));
        if problems.len() >= MOST_FAULTS {
            break;
        }
    }
    if problems.is_empty() && rows.is_empty() {
        problems.push(problem(
            names_line,
            None,
            "table",
            "no row of figures",
            "one row or more",
            RENEW,
        ));
    }
    match spacing_s {
        Some(spacing_s) if problems.is_empty() => {
            Ok(Baseline::from_rows(spacing_s, channels, rows))
        }
        _ => Err(problems),
    }
}

/// The head and the spacing of the rows \[s\].
fn header(text: &str, problems: &mut Vec<MapProblem>) -> Option<f64> {
    let first = text.lines().next().unwrap_or("");
    if !first.starts_with(HEAD) {
        problems.push(problem(
            1,
            None,
            "head",
            format!("{first:?}"),
            format!("a first line that begins with `{HEAD}`"),
            "was this the right file?",
        ));
    }
    let key = "spacing_s";
    let found = text.lines().enumerate().find_map(|(index, line)| {
        let (name, value) = line.strip_prefix('#')?.split_once(':')?;
        (name.trim() == key).then(|| (index + 1, value.trim()))
    });
    let (line, read) = found.unwrap_or((1, "no such line"));
    let spacing_s = read.parse::<f64>().ok();
    let sound = spacing_s.filter(|s| *s > 0.0 && *s <= LONGEST_S);
    if sound.is_none() {
        problems.push(problem(
            line,
            None,
            key,
            read,
            format!("a line `# {key}: 0.1`, above 0 and up to {LONGEST_S}"),
            RENEW,
        ));
    }
    sound
}

/// The channels of the columns behind the time.
fn columns(line: usize, names: &str, problems: &mut Vec<MapProblem>) -> Option<Vec<Channel>> {
    let before = problems.len();
    let known: Vec<&str> = Channel::ALL.map(Channel::column).to_vec();
    let mut channels: Vec<Channel> = Vec::new();
    for (index, name) in names.split(',').map(str::trim).enumerate() {
        let mut refuse = |read: &str, allowed: &str, hint: &str| {
            problems.push(problem(
                line,
                Some(index + 1),
                "column",
                read,
                allowed,
                hint,
            ));
        };
        if index == 0 {
            if name != TIME {
                refuse(name, TIME, "the first column is the time");
            }
            continue;
        }
        match Channel::ALL.into_iter().find(|c| c.column() == name) {
            Some(channel) if channels.contains(&channel) => {
                refuse(name, "each column once", "remove one of the two");
            }
            Some(channel) => channels.push(channel),
            None => {
                let hint = match nearest(name, &known) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => RENEW.to_owned(),
                };
                let read = if name.is_empty() { "no name" } else { name };
                refuse(read, &known.join(", "), &hint);
            }
        }
    }
    if channels.is_empty() && problems.len() == before {
        problems.push(problem(
            line,
            None,
            "column",
            "the time alone",
            format!("one of {}, or more", known.join(", ")),
            RENEW,
        ));
    }
    (problems.len() == before).then_some(channels)
}

/// One row of figures.
fn row(
    line: usize,
    text: &str,
    channels: &[Channel],
    before_s: Option<f64>,
    problems: &mut Vec<MapProblem>,
) -> Option<BaselineRow> {
    let cells: Vec<&str> = text.split(',').map(str::trim).collect();
    let wanted = channels.len() + 1;
    if cells.len() != wanted {
        let hint = "cells are separated by commas and decimals by points";
        problems.push(problem(
            line,
            None,
            "table",
            format!("{} cells", cells.len()),
            format!("{wanted} cells as in the row of column names"),
            hint,
        ));
        return None;
    }
    let before = problems.len();
    let figure = |cell: &str| cell.parse::<f64>().ok().filter(|value| value.is_finite());
    let time_s = figure(cells[0]).filter(|t| (0.0..=LONGEST_S).contains(t));
    match (time_s, before_s) {
        (Some(time_s), Some(before_s)) if time_s <= before_s => problems.push(problem(
            line,
            Some(1),
            TIME,
            format!("{time_s} s"),
            format!("above {before_s} s, the time of the row before it"),
            "sort the rows by time and remove repeated ones",
        )),
        (None, _) => problems.push(problem(
            line,
            Some(1),
            TIME,
            format!("{:?}", cells[0]),
            format!("a number of seconds from 0 to {LONGEST_S}"),
            RENEW,
        )),
        _ => {}
    }
    let mut values = Vec::with_capacity(channels.len());
    for (index, (cell, channel)) in cells[1..].iter().zip(channels).enumerate() {
        let value = figure(cell);
        if value.is_none() && !cell.is_empty() {
            problems.push(problem(
                line,
                Some(index + 2),
                channel.column(),
                format!("{cell:?}"),
                "a finite number, or nothing where there is no value",
                "write plain numbers with a decimal point",
            ));
        }
        values.push(value);
    }
    (problems.len() == before).then_some(BaselineRow {
        time_s: time_s?,
        values,
    })
}
