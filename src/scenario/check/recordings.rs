//! Recorded courses beside the scenario.

use super::super::diagnostic::Diagnostic;
use super::super::document::Fault;
use super::super::guard;
use super::super::layer::Layers;
use super::super::place::Part;
use super::super::read::{Read, Reader};
use super::super::recording;
use super::super::tree::{Content, Node};
use super::tables::{Tables, cell};
use crate::map::MapProblem;
use crate::quantity::RotationalSpeed;

/// Reads the recordings that the procedure names and reports what is wrong with
/// them.
pub fn recordings(document: &Node, layers: &mut Layers, tables: &mut Tables) {
    let Some(Content::List(parts)) = document.at("procedure").map(|node| &node.content) else {
        return;
    };
    for index in 0..parts.len() {
        let field = format!("procedure.{index}.playback.file");
        let Some(node) = document.at(&field) else {
            continue;
        };
        // Anything but text is reported by the reader of the section.
        if matches!(node.content, Content::Text(_)) {
            one(document, node, &field, index, layers, tables);
        }
    }
}

fn one(
    document: &Node,
    node: &Node,
    field: &str,
    index: usize,
    layers: &mut Layers,
    tables: &mut Tables,
) {
    let (path, bytes) = match layers.read_beside(node, field, "a CSV file with a recorded course") {
        Ok(read) => read,
        Err(diagnostic) => {
            layers.texts.record(node.origin.file, *diagnostic);
            return;
        }
    };
    let name = super::super::source::shown(&path);
    let after_all = layers.texts.texts.len();
    match guard::plain(&name, &bytes) {
        Ok(text) => match recording::parse(&text, engine_range(document)) {
            Ok(recorded) => {
                let given = document.at("ambient.pressure").is_some();
                if recorded.altitudes_m().is_some()
                    && given
                    && document.at("ambient.altitude").is_none()
                {
                    let fault = Fault::new(
                        "a recording with altitude needs an ambient that is given by altitude",
                        "`ambient.altitude`, or a recording without the column `altitude`",
                        "give the ambient by `altitude` and `temperature_offset`",
                    );
                    layers.texts.report(node, Part::Value, field, fault);
                }
                tables.recordings.insert(index, recorded);
            }
            Err(problems) => {
                for problem in problems {
                    let line = text.lines().nth(problem.line.max(1) - 1).unwrap_or("");
                    layers
                        .texts
                        .record(after_all, in_recording(&name, field, line, problem));
                }
            }
        },
        Err(mut diagnostic) => {
            diagnostic.path = field.to_owned();
            layers.texts.record(after_all, *diagnostic);
        }
    }
    if !tables.files.contains(&name) {
        tables.files.push(name);
    }
}

/// Ends of the full-load table, where it can be read.
fn engine_range(document: &Node) -> Option<(RotationalSpeed, RotationalSpeed)> {
    let node = document.at("fuel.full_load.engine_speed")?;
    let axis = Vec::<RotationalSpeed>::read(node, &mut Reader::silent())?;
    Some((*axis.first()?, *axis.last()?))
}

/// A problem of a recording as a diagnostic of its file.
fn in_recording(file: &str, field: &str, line_text: &str, problem: MapProblem) -> Diagnostic {
    let (column, width) = cell(line_text, problem.column);
    Diagnostic {
        line: problem.line.max(1),
        column,
        path: format!("{field}: {}", problem.field),
        source_line: line_text.to_owned(),
        width,
        ..guard::whole_file(
            file,
            &format!("the recording is not usable: {}", problem.field),
            &problem.read,
            &problem.allowed,
            &problem.hint,
        )
    }
}
