//! Reads a baseline from its text and names what is wrong with it.

use super::super::check::spacing_bounds_s;
use super::super::document::nearest;
use super::{HEAD, RENEW, SPACING, TIME};
use crate::judgement::{Baseline, BaselineRow, Channel};
use crate::map::MapProblem;

/// More faults than these in one file help nobody.
const MOST_FAULTS: usize = 20;
/// Longest time of a row \[s\]: a day.
const LONGEST_S: f64 = 86_400.0;

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
    let found = text.lines().enumerate().find_map(|(index, line)| {
        let (name, value) = line.strip_prefix('#')?.split_once(':')?;
        (name.trim() == SPACING).then(|| (index + 1, value.trim()))
    });
    let (line, read) = found.unwrap_or((1, "no such line"));
    let spacing_s = read.parse::<f64>().ok();
    // a spacing that no scenario may ask for could ask for rows without end
    let [least_s, greatest_s] = spacing_bounds_s();
    let sound = spacing_s.filter(|s| (least_s..=greatest_s).contains(s));
    if sound.is_none() {
        problems.push(problem(
            line,
            None,
            SPACING,
            read,
            format!("a line `# {SPACING}: 0.1`, from {least_s} to {greatest_s}"),
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
