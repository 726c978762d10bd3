//! The text form of a baseline: written so that a change of it can be reviewed, and
//! read back with every fault named.

mod parse;

use std::path::{Path, PathBuf};

use super::build::limits::data_words;
use super::check::cell;
use super::diagnostic::{Diagnostic, Diagnostics, MOST};
use super::document::Fault;
use super::file::BaselineEntry;
use super::guard;
use super::layer::Layers;
use super::load::Loaded;
use super::place::Part;
use super::source::{Disk, FileSource as _, ReadFailure, shown, tidy};
use super::tree::Node;
use crate::judgement::{BASELINE_CHANNELS, Baseline, Channel, TIME_DECIMALS};
use crate::map::MapProblem;
use crate::simulation::Sample;
pub use parse::parse;

/// The line by which a file is known as a baseline.
const HEAD: &str = "# baseline of ringfence";
/// Where a scenario names its file.
const FIELD: &str = "expect.baseline.file";
/// Where it says how far channels may be off.
const TOLERANCE: &str = "expect.baseline.tolerance";
/// The name of the first column.
const TIME: &str = "time_s";
/// What to do about a file that is missing or broken.
const RENEW: &str = "write it with `ringfence verify SCENARIO --write-baselines`";
/// The key of the line that says how far apart the rows are.
const SPACING: &str = "spacing_s";

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
         # {SPACING}: {}\n\
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

/// Reads the baseline that a scenario names; `None` where it names none.
///
/// # Errors
/// The file is missing, leads outside the folder of the scenario, is no baseline, or
/// lacks a channel or a row that is stored.
pub fn read_baseline(loaded: &Loaded) -> Result<Option<Baseline>, Diagnostics> {
    let Some((node, entry)) = named(loaded) else {
        return Ok(None);
    };
    let (path, layers) = beside(loaded, node)?;
    let place = |node, part, field: &str, fault| layers.texts.diagnostic(node, part, field, fault);
    let bytes = Disk.read(&path, guard::LARGEST).map_err(|failure| {
        let [message, read, allowed, hint] = guard::failure_words(&failure);
        let hint = match failure {
            ReadFailure::Missing => RENEW.to_owned(),
            _ => hint,
        };
        let fault = Fault::new(format!("{}: {message}", shown(&path)), allowed, hint);
        let fault = fault.reading(format!("{} ({read})", node.describe()));
        place(node, Part::Value, FIELD, fault)
    })?;
    let name = shown(&path);
    let text = guard::plain(&name, &bytes)?;
    let baseline = parse(&text).map_err(|problems| in_file(&name, &text, problems))?;
    for channel in channels(entry) {
        if baseline.channels().contains(&channel) {
            continue;
        }
        let path = format!("{TOLERANCE}.{}", channel.name());
        let fault = Fault::new(
            format!("the baseline has no column for `{}`", channel.name()),
            format!("a column `{}` in {name}", channel.column()),
            RENEW,
        );
        let fault = fault.reading(channel.name());
        return Err(match loaded.document.root.at(&path) {
            Some(own) => place(own, Part::Key, &path, fault),
            None => place(node, Part::Value, FIELD, fault),
        }
        .into());
    }
    if let Some(time_s) = missing_row_s(&baseline) {
        let fault = Fault::new(
            format!("the baseline has no row at {time_s:.TIME_DECIMALS$} s"),
            format!(
                "a row every {} s in {name}, and one at the end",
                baseline.spacing_s()
            ),
            RENEW,
        );
        let fault = fault.reading(node.describe());
        return Err(place(node, Part::Value, FIELD, fault).into());
    }
    Ok(Some(baseline))
}

/// The first time at which a row is missing \[s\]: all but the last are one spacing
/// apart, from the start on. A run is not held against what was cut out.
fn missing_row_s(baseline: &Baseline) -> Option<f64> {
    let (last, rows) = baseline.rows().split_last()?;
    // both times are rounded to the decimals of the file
    let rounding_s = 1.1 * 0.1_f64.powi(TIME_DECIMALS as i32);
    let due_s = |count: usize| count as f64 * baseline.spacing_s();
    let wrong = rows
        .iter()
        .enumerate()
        .find(|(count, row)| (row.time_s - due_s(*count)).abs() > rounding_s);
    match wrong {
        Some((count, _)) => Some(due_s(count)),
        None => (last.time_s > due_s(rows.len()) + rounding_s).then(|| due_s(rows.len())),
    }
}

/// What has become of a baseline.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Renewal {
    /// What is stored says the same.
    Same,
    /// Nothing was stored.
    New(String),
    /// Something else was stored.
    Changed(String),
}

/// The text that the file of a scenario's baseline has to hold after a run, and where
/// it lies; `None` where the scenario names none. Nothing is written.
///
/// # Errors
/// The path leads outside the folder of the scenario, or to a file that is no baseline
/// and so is not to be written over.
pub fn renewed_baseline(
    loaded: &Loaded,
    samples: &[Sample],
) -> Result<Option<(PathBuf, Renewal)>, Diagnostics> {
    let Some((node, entry)) = named(loaded) else {
        return Ok(None);
    };
    let (path, layers) = beside(loaded, node)?;
    let fresh = baseline_of(entry, samples);
    let about = &loaded.scenario.about;
    let text = baseline_text(&fresh, &about.title, data_words(&about.data));
    let refuse = |message: String, read: String, allowed: String| {
        let hint = "name another file, or take this one away";
        let fault = Fault::new(format!("{}: {message}", shown(&path)), allowed, hint);
        layers
            .texts
            .diagnostic(node, Part::Value, FIELD, fault.reading(read))
    };
    let bytes = match Disk.read(&path, guard::LARGEST) {
        Err(ReadFailure::Missing) => return Ok(Some((path, Renewal::New(text)))),
        Err(failure) => {
            let [message, read, allowed, _] = guard::failure_words(&failure);
            return Err(refuse(message, read, allowed).into());
        }
        Ok(bytes) => bytes,
    };
    let stored = String::from_utf8_lossy(&bytes);
    let stored = stored.trim_start_matches('\u{feff}');
    if !stored.starts_with(HEAD) {
        let first = stored.lines().next().unwrap_or("").to_owned();
        let message = "this file is no baseline and is not written over".to_owned();
        let allowed = format!("a new file, or one whose first line begins with `{HEAD}`");
        return Err(refuse(message, format!("{first:?}"), allowed).into());
    }
    let comments = |text: &str| -> Vec<String> {
        let lines = text.lines().filter(|line| line.starts_with('#'));
        lines.map(|line| line.trim_end().to_owned()).collect()
    };
    let same = parse(stored)
        .is_ok_and(|kept| kept.channels() == fresh.channels() && kept.says_the_same(samples))
        && comments(stored) == comments(&text);
    let renewal = if same {
        Renewal::Same
    } else {
        Renewal::Changed(text)
    };
    Ok(Some((path, renewal)))
}

/// Where a scenario names its baseline, and what it says of it.
fn named(loaded: &Loaded) -> Option<(&Node, &BaselineEntry)> {
    let entry = loaded.scenario.expect.as_ref()?.baseline.as_ref()?;
    Some((loaded.document.root.at(FIELD)?, entry))
}

/// The file's path, and what places a fault of it in the scenario.
fn beside<'a>(loaded: &Loaded, node: &Node) -> Result<(PathBuf, Layers<'a>), Diagnostics> {
    let top = loaded.files.first().map_or("", String::as_str);
    let folder = Path::new(top).parent().unwrap_or(Path::new(""));
    let mut layers = Layers::new(&Disk, folder);
    layers.texts = loaded.document.texts.clone();
    let path = layers.beside(node, FIELD, "a baseline")?;
    Ok((tidy(&path), layers))
}

/// Problems as diagnostics of the file.
fn in_file(name: &str, text: &str, problems: Vec<MapProblem>) -> Diagnostics {
    let one = |problem: MapProblem| {
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
    };
    let mut diagnostics: Vec<Diagnostic> = problems.into_iter().map(one).collect();
    let not_shown = diagnostics.len().saturating_sub(MOST);
    diagnostics.truncate(MOST);
    Diagnostics {
        diagnostics,
        not_shown,
    }
}
