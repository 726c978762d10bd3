//! Reads a table of figures whose column names carry units.

use super::{MapProblem, problem};
use crate::quantity::{MassFlow, RotationalSpeed};

/// A column that a table may have, with the units that it may carry.
pub(in crate::map) type ColumnNames = (&'static str, &'static [&'static str]);

/// The columns of one kind of map.
pub(in crate::map) struct Layout<const N: usize> {
    /// Names and units.
    pub columns: [ColumnNames; N],
    /// What the table needs, for a hint.
    pub needs: &'static str,
}

/// One row of figures, in SI, with its line in the text.
#[derive(Debug, Clone, Copy)]
pub(in crate::map) struct Row<const N: usize> {
    /// Line of the text, from 1.
    pub line: usize,
    /// Figures in the order of the layout; not a number where none could be read.
    pub figures: [f64; N],
}

/// A table that was read.
pub(in crate::map) struct Rows<const N: usize> {
    /// Line of the row of column names.
    pub names_line: usize,
    /// The rows.
    pub rows: Vec<Row<N>>,
    columns: [Column; N],
}

impl<const N: usize> Rows<N> {
    /// Problems found in the figures, with the columns of the file in place of
    /// those of the layout, without those of figures that could not be read.
    pub fn placed(
        &self,
        mut found: Vec<MapProblem>,
        said_already: &[MapProblem],
    ) -> Vec<MapProblem> {
        for p in &mut found {
            p.column = p.column.map(|k| self.columns[k - 1].index + 1);
        }
        found.retain(|p| {
            let said =
                |q: &MapProblem| q.line == p.line && (q.column.is_none() || q.column == p.column);
            p.line == self.names_line || !said_already.iter().any(said)
        });
        found
    }
}

/// Where a column stands in the file and what its unit is worth in SI.
#[derive(Debug, Clone, Copy)]
struct Column {
    index: usize,
    factor: f64,
}

/// Refuses what is empty or no text at all, before its parts are looked at.
pub(in crate::map) fn not_a_text(text: &str) -> Option<MapProblem> {
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
        "a CSV text with a `# key: value` header and a table of figures".to_owned(),
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

/// Reads the table; `None` where nothing can be said of its figures.
pub(in crate::map) fn read_rows<const N: usize>(
    layout: &Layout<N>,
    text: &str,
    problems: &mut Vec<MapProblem>,
) -> Option<Rows<N>> {
    let records = records(text);
    let Some((names, records)) = records.split_first() else {
        problems.push(problem(
            text.lines().count(),
            None,
            "table",
            "no header row".to_owned(),
            header_row(layout),
            "after the `# key: value` lines comes the row of column names",
        ));
        return None;
    };
    let columns = read_columns(layout, names, problems)?;
    let width = names.cells.len();
    let rows = records
        .iter()
        .map(|record| read_row(layout, record, width, &columns, problems))
        .collect();
    Some(Rows {
        names_line: names.line,
        rows,
        columns,
    })
}

/// The header row as it may be written.
fn header_row<const N: usize>(layout: &Layout<N>) -> String {
    let columns: Vec<String> = layout
        .columns
        .iter()
        .map(|(name, units)| format!("{name} [{}]", units.join("|")))
        .collect();
    columns.join(", ")
}

fn read_columns<const N: usize>(
    layout: &Layout<N>,
    names: &Record,
    problems: &mut Vec<MapProblem>,
) -> Option<[Column; N]> {
    let line = names.line;
    let mut columns: [Option<Column>; N] = [None; N];
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
        let Some(k) = layout.columns.iter().position(|(known, _)| *known == name) else {
            let nearest = layout
                .columns
                .iter()
                .map(|(known, _)| (strsim::osa_distance(known, name), *known))
                .min();
            let hint = match nearest {
                Some((distance, known)) if distance <= 4 => format!("did you mean `{known}`?"),
                _ => "columns are separated by commas; remove columns of other content".to_owned(),
            };
            refuse("column", header_row(layout), &hint);
            continue;
        };
        let (known, units) = layout.columns[k];
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
            factor: factor(unit),
        });
    }
    for (k, (name, units)) in layout.columns.iter().enumerate() {
        if columns[k].is_none() {
            problems.push(problem(
                line,
                None,
                name,
                "no such column".to_owned(),
                format!("{name} [{}]", units.join("|")),
                layout.needs,
            ));
        }
    }
    if problems.len() > before {
        return None;
    }
    let found: Vec<Column> = columns.into_iter().flatten().collect();
    found.try_into().ok()
}

/// Worth of one unit in SI; each unit belongs to one kind of quantity.
fn factor(unit: &str) -> f64 {
    let one = format!("1 {unit}");
    match unit {
        "%" => 0.01,
        "-" => 1.0,
        "rpm" | "krpm" => one
            .parse::<RotationalSpeed>()
            .map_or(f64::NAN, RotationalSpeed::rad_s),
        // Not a number only with a unit that has been refused already.
        _ => one.parse::<MassFlow>().map_or(f64::NAN, MassFlow::kg_s),
    }
}

fn read_row<const N: usize>(
    layout: &Layout<N>,
    record: &Record,
    width: usize,
    columns: &[Column; N],
    problems: &mut Vec<MapProblem>,
) -> Row<N> {
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
    let mut figures = [f64::NAN; N];
    for (k, column) in columns.iter().enumerate() {
        let Some(text) = record.cells.get(column.index) else {
            continue;
        };
        match text.parse::<f64>() {
            Ok(value) if value.is_finite() => figures[k] = value * column.factor,
            _ => problems.push(problem(
                line,
                Some(column.index + 1),
                layout.columns[k].0,
                format!("{text:?}"),
                "a finite number".to_owned(),
                "write plain numbers with a decimal point, units stand in the column name",
            )),
        }
    }
    Row { line, figures }
}
