//! Files beside the scenario: the speed lines of the compressor.

use std::collections::BTreeMap;

use super::super::diagnostic::Diagnostic;
use super::super::guard;
use super::super::layer::Layers;
use super::super::tree::{Content, Node};
use crate::map::{CompressorMapData, MapProblem};
use crate::procedure::Recording;

const FIELD: &str = "compressor.form.speed_lines";

/// What was read from files beside the scenario.
#[derive(Debug, Clone, Default)]
pub struct Tables {
    /// The compressor map, if the scenario names one and it is sound.
    pub speed_lines: Option<CompressorMapData>,
    /// The recorded courses by the index of their part of the procedure.
    pub recordings: BTreeMap<usize, Recording>,
    /// Names of the files.
    pub files: Vec<String>,
}

/// Reads the tables that a scenario names and reports what is wrong with them.
pub fn tables(document: &Node, layers: &mut Layers) -> Tables {
    let mut tables = Tables::default();
    let Some(node) = document.at(FIELD) else {
        return tables;
    };
    // Anything but text is reported by the reader of the section.
    if !matches!(node.content, Content::Text(_)) {
        return tables;
    }
    let (path, bytes) = match layers.read_beside(node, FIELD, "a CSV file with speed lines") {
        Ok(read) => read,
        Err(diagnostic) => {
            layers.texts.record(node.origin.file, *diagnostic);
            return tables;
        }
    };
    let name = super::super::source::shown(&path);
    let after_all = layers.texts.texts.len();
    match guard::plain(&name, &bytes) {
        Ok(text) => match CompressorMapData::parse(&text) {
            Ok(map) => tables.speed_lines = Some(map),
            Err(problems) => {
                let lines: BTreeMap<usize, &str> = text
                    .lines()
                    .enumerate()
                    .map(|(index, line)| (index + 1, line))
                    .collect();
                for problem in problems {
                    let line = lines.get(&problem.line.max(1)).copied().unwrap_or("");
                    layers
                        .texts
                        .record(after_all, in_table(&name, line, problem));
                }
            }
        },
        Err(mut diagnostic) => {
            diagnostic.path = FIELD.to_owned();
            layers.texts.record(after_all, *diagnostic);
        }
    }
    tables.files.push(name);
    tables
}

/// A problem of a map as a diagnostic of its CSV file.
fn in_table(file: &str, line_text: &str, problem: MapProblem) -> Diagnostic {
    let (column, width) = cell(line_text, problem.column);
    Diagnostic {
        line: problem.line.max(1),
        column,
        path: format!("{FIELD}: {}", problem.field),
        source_line: line_text.to_owned(),
        width,
        ..guard::whole_file(
            file,
            &format!("the compressor map is not usable: {}", problem.field),
            &problem.read,
            &problem.allowed,
            &problem.hint,
        )
    }
}

/// Column in characters, from one, and width of a cell; the whole line without a cell.
pub(super) fn cell(line: &str, column: Option<usize>) -> (usize, usize) {
    let Some(wanted) = column else {
        return (1, line.chars().count().max(1));
    };
    let mut start = 1;
    for (index, cell) in line.split(',').enumerate() {
        let length = cell.chars().count();
        if index + 1 == wanted {
            let blank = cell
                .chars()
                .take_while(|letter| letter.is_whitespace())
                .count();
            return (start + blank, cell.trim().chars().count().max(1));
        }
        start += length + 1;
    }
    (1, line.chars().count().max(1))
}
