//! Files beside the scenario: the maps of compressor and turbine.

use std::collections::BTreeMap;

use super::super::diagnostic::Diagnostic;
use super::super::document::Fault;
use super::super::guard;
use super::super::layer::Layers;
use super::super::place::Part;
use super::super::read::{Read as _, Reader};
use super::super::tree::{Content, Node};
use crate::map::{CompressorMapData, MapProblem, TurbineMapData};
use crate::procedure::Recording;
use crate::quantity::Length;

const SPEED_LINES: Wanted = Wanted {
    field: "compressor.form.speed_lines",
    what: "a CSV file with speed lines",
    machine: "compressor",
};
const VANES: Wanted = Wanted {
    field: "turbine.form.measured.file",
    what: "a CSV file with vane positions",
    machine: "turbine",
};
/// How far the wheel of a turbine map and that of the scenario may differ:
/// figures are rounded, and a map of another wheel is another map.
const SAME_WHEEL: f64 = 0.01;

/// A file that a scenario may name.
struct Wanted {
    field: &'static str,
    what: &'static str,
    machine: &'static str,
}

/// What was read from files beside the scenario.
#[derive(Debug, Clone, Default)]
pub struct Tables {
    /// The compressor map, if the scenario names one and it is sound.
    pub speed_lines: Option<CompressorMapData>,
    /// The recorded courses by the index of their part of the procedure.
    pub recordings: BTreeMap<usize, Recording>,
    /// The turbine map, if the scenario names one and it is sound.
    pub vanes: Option<TurbineMapData>,
    /// Names of the files.
    pub files: Vec<String>,
}

/// Reads the tables that a scenario names and reports what is wrong with them.
pub fn tables(document: &Node, layers: &mut Layers) -> Tables {
    let mut files = Vec::new();
    let speed_lines = read(document, layers, &SPEED_LINES, &mut files, |text| {
        CompressorMapData::parse(text)
    });
    let vanes = read(document, layers, &VANES, &mut files, |text| {
        TurbineMapData::parse(text)
    });
    if let Some(vanes) = &vanes {
        same_wheel(document, layers, vanes);
    }
    Tables {
        recordings: BTreeMap::new(),
        speed_lines,
        vanes,
        files,
    }
}

/// Reads one of them, if it is named.
fn read<T>(
    document: &Node,
    layers: &mut Layers,
    wanted: &Wanted,
    files: &mut Vec<String>,
    parse: impl Fn(&str) -> Result<T, Vec<MapProblem>>,
) -> Option<T> {
    let node = document.at(wanted.field)?;
    match &node.content {
        Content::Text(_) => {}
        // the reader of the section takes a number for a short text
        Content::Number(number) => {
            let fault = Fault::new(
                "a number is no file",
                format!("text: the name of {}", wanted.what),
                "write the name of the file, with its ending",
            )
            .reading(number.to_string());
            layers.texts.report(node, Part::Value, wanted.field, fault);
            return None;
        }
        // anything else is reported by the reader of the section
        _ => return None,
    }
    let (path, bytes) = match layers.read_beside(node, wanted.field, wanted.what) {
        Ok(read) => read,
        Err(diagnostic) => {
            layers.texts.record(node.origin.file, *diagnostic);
            return None;
        }
    };
    let name = super::super::source::shown(&path);
    files.push(name.clone());
    let after_all = layers.texts.texts.len();
    let text = match guard::plain(&name, &bytes) {
        Ok(text) => text,
        Err(mut diagnostic) => {
            diagnostic.path = wanted.field.to_owned();
            layers.texts.record(after_all, *diagnostic);
            return None;
        }
    };
    match parse(&text) {
        Ok(map) => Some(map),
        Err(problems) => {
            for diagnostic in in_tables(wanted, &name, &text, problems) {
                layers.texts.record(after_all, diagnostic);
            }
            None
        }
    }
}

/// The map's wheel has to be that of the scenario: flow and blade-speed ratio
/// belong to it.
fn same_wheel(document: &Node, layers: &mut Layers, vanes: &TurbineMapData) {
    const PATH: &str = "turbine.wheel_diameter";
    let Some(node) = document.at(PATH) else {
        return;
    };
    let Some(given) = Length::read(node, &mut Reader::silent()) else {
        return;
    };
    let measured_m = vanes.wheel_diameter_m();
    if (given.m() / measured_m - 1.0).abs() > SAME_WHEEL {
        let fault = Fault::new(
            "the turbine map was measured with another wheel",
            format!("{} mm, as the map's header says", measured_m * 1e3),
            "a map of another wheel is not to be scaled by its diameter alone",
        );
        layers.texts.report(node, Part::Value, PATH, fault);
    }
}

/// Problems of a map as diagnostics of its CSV file.
fn in_tables(
    wanted: &Wanted,
    name: &str,
    text: &str,
    problems: Vec<MapProblem>,
) -> Vec<Diagnostic> {
    let lines: BTreeMap<usize, &str> = text
        .lines()
        .enumerate()
        .map(|(index, line)| (index + 1, line))
        .collect();
    problems
        .into_iter()
        .map(|problem| {
            let line = lines.get(&problem.line.max(1)).copied().unwrap_or("");
            in_table(wanted, name, line, problem)
        })
        .collect()
}

/// Problems of a map file that no scenario names.
pub fn map_diagnostics(
    machine: &'static str,
    name: &str,
    text: &str,
    problems: Vec<MapProblem>,
) -> Vec<Diagnostic> {
    let wanted = Wanted {
        field: "map",
        what: "",
        machine,
    };
    in_tables(&wanted, name, text, problems)
}

/// A problem of a map as a diagnostic of its CSV file.
fn in_table(wanted: &Wanted, file: &str, line_text: &str, problem: MapProblem) -> Diagnostic {
    let (column, width) = cell(line_text, problem.column);
    Diagnostic {
        line: problem.line.max(1),
        column,
        path: format!("{}: {}", wanted.field, problem.field),
        source_line: line_text.to_owned(),
        width,
        ..guard::whole_file(
            file,
            &format!(
                "the {} map is not usable: {}",
                wanted.machine, problem.field
            ),
            &problem.read,
            &problem.allowed,
            &problem.hint,
        )
    }
}

/// Column in characters, from one, and width of a cell; the whole line without a cell.
pub(in crate::scenario) fn cell(line: &str, column: Option<usize>) -> (usize, usize) {
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
