//! A scenario written as one file: all layers and overrides in it, with other
//! values at some paths, and the files that have to lie beside it.
use super::factor::Document;
use super::layer;
use super::load::Loaded;
use super::tree::{Content, Entry, Node};
use super::vary::VARIED;
use serde_yaml::{Mapping, Value};
use std::path::PathBuf;

/// Fields that name a file beside the scenario, and what it is called there.
const FILES: [(&str, &str); 2] = [
    ("compressor.form.speed_lines", "compressor.csv"),
    ("turbine.form.measured.file", "turbine.csv"),
];

/// A scenario as text.
#[derive(Debug, Clone, PartialEq)]
pub struct Written {
    /// The file, without comments.
    pub yaml: String,
    /// What lies beside it: a plain name, and the path that it is copied from.
    pub files: Vec<(String, PathBuf)>,
}

/// Writes a scenario with the value, as YAML, at each path; `null` takes the
/// field away. The files that it names are called by plain names beside it. A stored
/// course is left out: it is that of the values before.
pub fn written(loaded: &Loaded, values: &[(String, String)]) -> Written {
    let mut document = loaded.document.clone();
    for (path, value) in values {
        layer::set(&mut document.root, &mut document.texts, VARIED, path, value);
    }
    if document.root.at("expect.baseline").is_some() {
        let Document { root, texts, .. } = &mut document;
        layer::set(root, texts, VARIED, "expect.baseline", "null");
    }
    let mut named: Vec<(String, String)> = FILES
        .iter()
        .map(|(path, name)| ((*path).to_owned(), (*name).to_owned()))
        .collect();
    if let Some(Content::List(parts)) = document.root.at("procedure").map(|n| &n.content) {
        let playback = |at| {
            (
                format!("procedure.{at}.playback.file"),
                format!("drive-{at}.csv"),
            )
        };
        named.extend((0..parts.len()).map(playback));
    }
    let mut files = Vec::new();
    for (path, name) in named {
        let Some(node) = document.root.at(&path) else {
            continue;
        };
        let Content::Text(text) = &node.content else {
            continue;
        };
        files.push((name.clone(), document.texts.folder(&node.origin).join(text)));
        layer::set(
            &mut document.root,
            &mut document.texts,
            VARIED,
            &path,
            &name,
        );
    }
    let value = value(&document.root);
    Written {
        // a tree of text, numbers and lists has no way to fail
        yaml: serde_yaml::to_string(&value).unwrap_or_default(),
        files,
    }
}

fn value(node: &Node) -> Value {
    match &node.content {
        Content::Nothing | Content::Tagged(_) => Value::Null,
        Content::Flag(flag) => Value::Bool(*flag),
        // as it was written: a whole number stays one
        Content::Number(number) if number.fract() == 0.0 && number.abs() < 1e15 => {
            Value::Number((*number as i64).into())
        }
        Content::Number(number) => Value::Number((*number).into()),
        Content::Text(text) => Value::String(text.clone()),
        Content::List(items) => Value::Sequence(items.iter().map(value).collect()),
        Content::Map(entries) => Value::Mapping(mapping(entries)),
    }
}

fn mapping(entries: &[Entry]) -> Mapping {
    entries
        .iter()
        .map(|entry| (Value::String(entry.key.clone()), value(&entry.value)))
        .collect()
}
