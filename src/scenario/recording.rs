//! Reads a recorded course from its text form and names what is wrong with it.

use super::file::DataSource;
use super::read::{Read, Reader};
use super::tree::{Content, parse as node_of};
use crate::map::MapProblem;
use crate::procedure::Recording;
use crate::quantity::{FuelQuantity, Length, RotationalSpeed};

/// Columns with the units that each may carry; the last may be left out.
const COLUMNS: [(&str, &[&str]); 4] = [
    ("time", &["s", "ms", "min"]),
    ("engine_speed", &["rpm", "krpm", "rad/s"]),
    ("fuel", &["mg", "g"]),
    ("altitude", &["m", "km", "ft"]),
];
/// Most rows of a recording: three hours at 100 a second.
const MOST_ROWS: usize = 1_080_000;
/// More faults than these in one file help nobody.
const MOST_FAULTS: usize = 20;
/// Range of each column in SI, as text and as figures.
const ALLOWED: [(&str, f64, f64); 4] = [
    ("from -86400 s to 86400 s", -86_400.0, 86_400.0),
    ("from 100 rpm to 10000 rpm", 10.471, 1047.2),
    ("from 0 mg to 2000 mg", 0.0, 2e-3),
    ("from -500 m to 6000 m", -500.0, 6000.0),
];

/// A column of the file: which one it is, and what its unit is worth in SI.
#[derive(Debug, Clone, Copy)]
struct Column {
    kind: usize,
    factor: f64,
}

/// Reads a recording. `engine_range` are the ends of the full-load table.
pub fn parse(
    text: &str,
    engine_range: Option<(RotationalSpeed, RotationalSpeed)>,
) -> Result<Recording, Vec<MapProblem>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut problems = Vec::new();
    data_line(text, &mut problems);
    let mut lines = text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.trim().is_empty() && !line.starts_with('#'));
    let Some((names_line, names)) = lines.next() else {
        return Err(vec![problem(
            text.lines().count().max(1),
            None,
            "table",
            "no row of column names",
            &header_row(),
            "after the `#` lines comes the row of column names",
        )]);
    };
    let Some(columns) = columns(names_line + 1, names, &mut problems) else {
        return Err(problems);
    };
    let mut figures: [Vec<f64>; 4] = Default::default();
    for (index, line) in lines {
        let row = row(index + 1, line, &columns, engine_range, &mut problems);
        if let (Some(&last), Some(now)) = (figures[0].last(), row[0])
            && now <= last
        {
            problems.push(problem(
                index + 1,
                columns.iter().position(|c| c.kind == 0).map(|k| k + 1),
                "time",
                &format!("{now} s"),
                &format!("above {last} s, the time of the row before it"),
                "sort the rows by time and remove repeated ones",
            ));
        }
        for (kind, value) in row.into_iter().enumerate() {
            figures[kind].extend(value);
        }
        if problems.len() >= MOST_FAULTS {
            break;
        }
        if figures[0].len() > MOST_ROWS {
            problems.push(problem(
                index + 1,
                None,
                "table",
                &format!("more than {MOST_ROWS} rows"),
                &format!("at most {MOST_ROWS} rows"),
                "keep every tenth row: the course is straight between them",
            ));
            break;
        }
    }
    if problems.is_empty() && figures[0].len() < 2 {
        problems.push(problem(
            names_line + 1,
            None,
            "table",
            &format!("{} rows of figures", figures[0].len()),
            "two rows or more",
            "a course needs a beginning and an end",
        ));
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let [time_s, speed_rad_s, fuel_kg, altitude_m] = figures;
    let altitude_m = (!altitude_m.is_empty()).then_some(altitude_m);
    Recording::new(time_s, speed_rad_s, fuel_kg, altitude_m).map_err(|error| {
        vec![problem(
            1,
            None,
            "table",
            &error.to_string(),
            &header_row(),
            "",
        )]
    })
}

fn problem(
    line: usize,
    column: Option<usize>,
    field: &str,
    read: &str,
    allowed: &str,
    hint: &str,
) -> MapProblem {
    MapProblem {
        line,
        column,
        field: field.to_owned(),
        read: read.to_owned(),
        allowed: allowed.to_owned(),
        hint: hint.to_owned(),
    }
}

/// The row of column names as it may be written.
fn header_row() -> String {
    let columns: Vec<String> = COLUMNS
        .iter()
        .map(|(name, units)| format!("{name} [{}]", units.join("|")))
        .collect();
    format!("{}; altitude may be left out", columns.join(", "))
}

/// The line that says where the data come from.
fn data_line(text: &str, problems: &mut Vec<MapProblem>) {
    let found = text.lines().enumerate().find_map(|(index, line)| {
        let word = line.strip_prefix('#')?.trim().strip_prefix("data:")?;
        Some((index + 1, word.trim()))
    });
    let known = |word: &str| {
        node_of(word, 0).is_ok_and(|node| {
            matches!(node.content, Content::Text(_))
                && DataSource::read(&node, &mut Reader::silent()).is_some()
        })
    };
    let (line, read) = match found {
        Some((_, word)) if known(word) => return,
        Some((line, word)) => (line, format!("{word:?}")),
        None => (1, "no such line".to_owned()),
    };
    problems.push(problem(
        line,
        None,
        "data",
        &read,
        "a line `# data: invented`, or measured, published, estimated, mixed",
        "say where the recording comes from",
    ));
}

fn columns(line: usize, names: &str, problems: &mut Vec<MapProblem>) -> Option<Vec<Column>> {
    let before = problems.len();
    let mut columns: Vec<Column> = Vec::new();
    for (index, cell) in names.split(',').enumerate() {
        let cell = cell.trim().trim_matches('"');
        let (name, unit) = match cell.split_once('[') {
            Some((name, unit)) => (name.trim(), unit.trim_end().trim_end_matches(']').trim()),
            None => (cell, ""),
        };
        let mut refuse = |field: &str, allowed: &str, hint: &str| {
            let read = format!("{cell:?}");
            problems.push(problem(line, Some(index + 1), field, &read, allowed, hint));
        };
        let Some(kind) = COLUMNS.iter().position(|(known, _)| *known == name) else {
            refuse("column", &header_row(), "remove columns of other content");
            continue;
        };
        let (known, units) = COLUMNS[kind];
        if columns.iter().any(|c| c.kind == kind) {
            refuse(known, "each column once", "remove one of the two");
        } else if !units.contains(&unit) {
            let hint = format!("write for example `{known} [{}]`", units[0]);
            refuse(known, &units.join(", "), &hint);
        }
        columns.push(Column {
            kind,
            factor: factor(kind, unit),
        });
    }
    for (kind, (name, units)) in COLUMNS.iter().enumerate().take(3) {
        if !columns.iter().any(|c| c.kind == kind) && problems.len() == before {
            problems.push(problem(
                line,
                None,
                name,
                "no such column",
                &format!("{name} [{}]", units.join("|")),
                "a recording needs time, engine speed and fuel",
            ));
        }
    }
    (problems.len() == before).then_some(columns)
}

/// Worth of one unit in SI, by the column's kind.
fn factor(kind: usize, unit: &str) -> f64 {
    let one = format!("1 {unit}");
    match (kind, unit) {
        (0, "ms") => 1e-3,
        (0, "min") => 60.0,
        (0, _) => 1.0,
        (1, _) => one.parse().map_or(f64::NAN, RotationalSpeed::rad_s),
        (2, _) => one.parse().map_or(f64::NAN, FuelQuantity::kg),
        _ => one.parse().map_or(f64::NAN, Length::m),
    }
}

/// The figures of a row in SI, by the kind of their column.
fn row(
    line: usize,
    text: &str,
    columns: &[Column],
    engine_range: Option<(RotationalSpeed, RotationalSpeed)>,
    problems: &mut Vec<MapProblem>,
) -> [Option<f64>; 4] {
    let cells: Vec<&str> = text.split(',').map(str::trim).collect();
    let mut figures = [None; 4];
    if cells.len() != columns.len() {
        problems.push(problem(
            line,
            None,
            "table",
            &format!("{} cells", cells.len()),
            &format!("{} cells as in the row of column names", columns.len()),
            "cells are separated by commas and decimals by points",
        ));
        return figures;
    }
    for (index, (cell, column)) in cells.iter().zip(columns).enumerate() {
        let name = COLUMNS[column.kind].0;
        let mut refuse = |allowed: &str, hint: &str| {
            let read = format!("{cell:?}");
            problems.push(problem(line, Some(index + 1), name, &read, allowed, hint));
        };
        let value = match cell.parse::<f64>() {
            Ok(value) if value.is_finite() => value * column.factor,
            _ => {
                refuse(
                    "a finite number",
                    "write plain numbers with a decimal point, units stand in the column name",
                );
                continue;
            }
        };
        let (allowed, low, high) = ALLOWED[column.kind];
        let outside = engine_range.filter(|(slow, fast)| {
            // a recording in whole turns may lie a rounding beyond the ends
            column.kind == 1 && !(slow.rad_s() - 1e-9..=fast.rad_s() + 1e-9).contains(&value)
        });
        if !(low..=high).contains(&value) {
            refuse(allowed, "was this the right unit?");
        } else if let Some((slow, fast)) = outside {
            refuse(
                &format!("from {slow} to {fast}, the full-load table"),
                "cut the recording, or extend `fuel.full_load`",
            );
        } else {
            figures[column.kind] = Some(value);
        }
    }
    figures
}
