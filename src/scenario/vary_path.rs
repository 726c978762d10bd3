//! Paths that may be varied: which there are, and what can be read there.
use super::diagnostic::Diagnostics;
use super::factor::Document;
use super::file::ScenarioFile;
use super::layer;
use super::load::Loaded;
use super::read::{Read as _, Reader};
use super::schema;
use super::tree::{Content, Node};
use super::vary::VARIED;

/// Sections are nested no deeper than this.
const DEEPEST: usize = 8;
/// So many names are offered for one that nobody knows.
const OFFERED: usize = 3;
/// A name less alike than this was not meant.
const ALIKE: f64 = 0.8;

/// Whether a scenario has a field there, or may have.
pub fn knows_path(loaded: &Loaded, path: &str) -> bool {
    let later = schema::comes_later(path);
    !path.is_empty()
        && path != "extends"
        && !later
        && (loaded.document.root.at(path).is_some() || schema::knows(path))
}

/// The fields that are most likely meant by a path that is none, best first.
pub fn near_paths(loaded: &Loaded, path: &str) -> Vec<String> {
    let mut known = Vec::new();
    below_schema("", 0, &mut known);
    below_node(&loaded.document.root, "", &mut known);
    known.sort();
    known.dedup();
    let mut scored: Vec<(f64, String)> = known
        .into_iter()
        .map(|other| (likeness(path, &other), other))
        .filter(|(score, _)| *score > ALIKE)
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.len().cmp(&b.1.len())));
    let offered = scored.into_iter().take(OFFERED);
    offered.map(|(_, other)| other).collect()
}

/// Faults in reading a value at a path, whatever stands elsewhere; none where it can
/// be read. Whether it is allowed there is another question.
pub fn readable_at(loaded: &Loaded, path: &str, value: &str) -> Option<Diagnostics> {
    let Document {
        mut root,
        mut texts,
        ..
    } = loaded.document.clone();
    layer::set(&mut root, &mut texts, VARIED, path, value);
    ScenarioFile::read(&root, &mut Reader::new(&mut texts));
    let mut found = texts.into_diagnostics();
    let below = format!("{path}.");
    found.diagnostics.retain(|one| {
        one.file == VARIED && (one.path == path || one.path.starts_with(&below))
            || below.starts_with(&format!("{}.", one.path))
    });
    (!found.diagnostics.is_empty()).then_some(found)
}

/// How likely one path was meant by another: alike as a whole, or alike in its last
/// keys where the sections were left out.
fn likeness(path: &str, other: &str) -> f64 {
    if other.ends_with(&format!(".{path}")) {
        return 2.0;
    }
    let count = path.split('.').count();
    let keys: Vec<&str> = other.split('.').collect();
    let tail = keys[keys.len().saturating_sub(count)..].join(".");
    let alike = |a: &str, b: &str| strsim::normalized_damerau_levenshtein(a, b);
    // a whole path outranks a tail that is as much alike
    alike(path, other).max(0.99 * alike(path, &tail))
}

fn below_schema(path: &str, depth: usize, into: &mut Vec<String>) {
    if depth >= DEEPEST {
        return;
    }
    for key in schema::keys_below(path) {
        let below = super::syntax::join(path, key);
        if !schema::comes_later(&below) && below != "extends" {
            below_schema(&below, depth + 1, into);
            into.push(below);
        }
    }
}

fn below_node(node: &Node, path: &str, into: &mut Vec<String>) {
    match &node.content {
        Content::Map(entries) => {
            for entry in entries {
                let below = super::syntax::join(path, &entry.key);
                below_node(&entry.value, &below, into);
                into.push(below);
            }
        }
        Content::List(items) => {
            for (index, item) in items.iter().enumerate() {
                below_node(item, &super::syntax::join(path, &index.to_string()), into);
            }
        }
        _ => {}
    }
}
