//! Reads a map from its text form and names everything that is wrong with it.

use super::check::{self, problem};
use super::read_header::read_header;
use super::{CompressorMapData, MapPoint, MapProblem, SpeedLine};
use crate::quantity::{MassFlow, RotationalSpeed};

/// Columns in the order of [`MapPoint`], with the units that each may carry.
const COLUMNS: [(&str, &[&str]); 4] = [
    ("corrected_speed", &["rpm", "krpm"]),
    ("corrected_flow", &["kg/s", "g/s", "kg/h", "lb/min"]),
    ("pressure_ratio", &["-"]),
    ("efficiency", &["-", "%"]),
];

/// Where a column stands in the file and what its unit is worth in SI.
#[derive(Debug, Clone, Copy)]
struct Column {
    index: usize,
    factor: f64,
}

/// One row of figures, in SI, with its line in the text.
#[derive(Debug, Clone, Copy)]
struct Row {
    line: usize,
    figures: [f64; 4],
}

impl CompressorMapData {
    /// Reads a map; all problems of the text are returned at once.
    pub fn parse(text: &str) -> Result<Self, Vec<MapProblem>> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        if let Some(refused) = not_a_text(text) {
            return Err(vec![refused]);
        }
        let mut problems = Vec::new();
        let header = read_header(text, &mut problems);
        let lines = read_table(text, &mut problems);
        problems.sort_by_key(|p| (p.line, p.column));
        match (header, lines) {
            (Some(header), Some(lines)) if problems.is_empty() => Ok(Self { header, lines }),
            _ => Err(problems),
        }
    }
}

/// Refuses what is empty or no text at all, before its parts are looked at.
fn not_a_text(text: &str) -> Option<MapProblem> {
    let binary = |c: char| c.is_control() && !matches!(c, '\n' | '\r' | '\t');
    let (line, read) = if text.trim().is_empty() {
        (1, "nothing".to_owned())
    } else {
        let (number, character) = text
            .lines()
            .enumerate()
            .find_map(|(l, content)| content.chars().find(|&c| binary(c)).map(|c| (l + 1, c)))?;
        (number, format!("the control character {character:?}"))
    };
    Some(problem(
        line,
        None,
        "file",
        read,
        "a CSV text with a `# key: value` header and a table of speed lines".to_owned(),
        "export the map as plain CSV text; a spreadsheet's own file is not one",
    ))
}

/// One row of cells, with its line in the text.
struct Record {
    line: usize,
    cells: Vec<String>,
}

/// Splits the table into cells. Every record is one line of the text (no line
/// breaks inside quotes), so that its line is known for certain.
fn records(text: &str) -> Vec<Record> {
    let numbered: Vec<(usize, &str)> = text
        .lines()
        .enumerate()
        .filter(|(_, content)| !content.trim().is_empty() && !content.starts_with('#'))
        .collect();
    let table: Vec<&str> = numbered.iter().map(|(_, content)| *content).collect();
    csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .quoting(false)
        .from_reader(table.join("\n").as_bytes())
        .records()
        .map_while(Result::ok)
        .zip(&numbered)
        .map(|(record, (number, _))| Record {
            line: number + 1,
            cells: record
                .iter()
                .map(|cell| cell.trim().trim_matches('"').trim().to_owned())
                .collect(),
        })
        .collect()
}

/// Reads the table; `None` where nothing can be said of its lines.
fn read_table(text: &str, problems: &mut Vec<MapProblem>) -> Option<Vec<SpeedLine>> {
    let records = records(text);
    let Some((names, records)) = records.split_first() else {
        problems.push(problem(
            text.lines().count(),
            None,
            "table",
            "no header row".to_owned(),
            header_row(),
            "after the `# key: value` lines comes the row of column names",
        ));
        return None;
    };
    let names_line = names.line;
    let columns = read_columns(names, problems)?;
    let width = names.cells.len();
    let mut rows = Vec::new();
    for record in records {
        rows.push(read_row(record, width, &columns, problems));
    }
    let (lines, places) = group(&rows);
    let place = |l: usize, p: usize| {
        let rows: Option<&Vec<usize>> = places.get(l);
        rows.and_then(|rows| rows.get(p))
            .copied()
            .unwrap_or(names_line)
    };
    let mut found = check::lines(&lines, place);
    for p in &mut found {
        p.column = p.column.map(|k| columns[k - 1].index + 1);
    }
    // A figure that could not be read is not a number here: that has been said.
    found.retain(|p| {
        let said =
            |q: &MapProblem| q.line == p.line && (q.column.is_none() || q.column == p.column);
        p.line == names_line || !problems.iter().any(said)
    });
    problems.extend(found);
    Some(lines)
}

/// The header row as it may be written.
fn header_row() -> String {
    let columns: Vec<String> = COLUMNS
        .iter()
        .map(|(name, units)| format!("{name} [{}]", units.join("|")))
        .collect();
    columns.join(", ")
}

fn read_columns(names: &Record, problems: &mut Vec<MapProblem>) -> Option<[Column; 4]> {
    let line = names.line;
    let mut columns: [Option<Column>; 4] = [None; 4];
    let before = problems.len();
    for (index, text) in names.cells.iter().enumerate() {
        let mut refuse = |field: &str, allowed: String, hint: &str| {
            let read = format!("{text:?}");
            problems.push(problem(line, Some(index + 1), field, read, allowed, hint));
        };
        let (name, unit) = match text.split_once('[') {
            Some((name, unit)) => (name.trim(), unit.trim_end().trim_end_matches(']').trim()),
            None => (text.as_str(), ""),
        };
        let Some(k) = COLUMNS.iter().position(|(known, _)| *known == name) else {
            let nearest = COLUMNS
                .iter()
                .map(|(known, _)| (strsim::osa_distance(known, name), *known))
                .min();
            let hint = match nearest {
                Some((distance, known)) if distance <= 4 => format!("did you mean `{known}`?"),
                _ => "columns are separated by commas; remove columns of other content".to_owned(),
            };
            refuse("column", header_row(), &hint);
            continue;
        };
        let (known, units) = COLUMNS[k];
        if !units.contains(&unit) {
            let hint = format!("write for example `{known} [{}]`", units[0]);
            refuse(known, units.join(", "), &hint);
        } else if columns[k].is_some() {
            refuse(
                known,
                "each column once".to_owned(),
                "remove one of the two",
            );
        }
        columns[k] = Some(Column {
            index,
            factor: factor(k, unit),
        });
    }
    for (k, (name, units)) in COLUMNS.iter().enumerate() {
        if columns[k].is_none() {
            problems.push(problem(
                line,
                None,
                name,
                "no such column".to_owned(),
                format!("{name} [{}]", units.join("|")),
                "the table needs speed, flow, pressure ratio and efficiency",
            ));
        }
    }
    if problems.len() > before {
        return None;
    }
    let [Some(a), Some(b), Some(c), Some(d)] = columns else {
        return None;
    };
    Some([a, b, c, d])
}

/// Worth of one unit in SI, by the column's kind.
fn factor(column: usize, unit: &str) -> f64 {
    let one = format!("1 {unit}");
    match (column, unit) {
        (0, _) => one.parse::<RotationalSpeed>().map(RotationalSpeed::rad_s),
        (1, _) => one.parse::<MassFlow>().map(MassFlow::kg_s),
        (_, "%") => Ok(0.01),
        _ => Ok(1.0),
    }
    // Only reached with a unit that has been refused already.
    .unwrap_or(f64::NAN)
}

fn read_row(
    record: &Record,
    width: usize,
    columns: &[Column; 4],
    problems: &mut Vec<MapProblem>,
) -> Row {
    let line = record.line;
    if record.cells.len() != width {
        problems.push(problem(
            line,
            None,
            "table",
            format!("{} cells", record.cells.len()),
            format!("{width} cells as in the row of column names"),
            "cells are separated by commas and decimals by points",
        ));
    }
    let mut figures = [f64::NAN; 4];
    for (k, column) in columns.iter().enumerate() {
        let Some(text) = record.cells.get(column.index) else {
            continue;
        };
        match text.parse::<f64>() {
            Ok(value) if value.is_finite() => figures[k] = value * column.factor,
            _ => problems.push(problem(
                line,
                Some(column.index + 1),
                COLUMNS[k].0,
                format!("{text:?}"),
                "a finite number".to_owned(),
                "write plain numbers with a decimal point, units stand in the column name",
            )),
        }
    }
    Row { line, figures }
}

/// Rows of equal speed that follow each other make a line.
fn group(rows: &[Row]) -> (Vec<SpeedLine>, Vec<Vec<usize>>) {
    let mut lines: Vec<SpeedLine> = Vec::new();
    let mut places: Vec<Vec<usize>> = Vec::new();
    for row in rows {
        let [speed, flow, ratio, efficiency] = row.figures;
        let same = lines
            .last()
            .is_some_and(|line| speed.is_nan() || line.corrected_speed_rad_s == speed);
        if !same {
            lines.push(SpeedLine {
                corrected_speed_rad_s: speed,
                points: Vec::new(),
            });
            places.push(Vec::new());
        }
        if let (Some(line), Some(place)) = (lines.last_mut(), places.last_mut()) {
            line.points.push(MapPoint {
                corrected_flow_kg_s: flow,
                pressure_ratio: ratio,
                efficiency,
            });
            place.push(row.line);
        }
    }
    (lines, places)
}
