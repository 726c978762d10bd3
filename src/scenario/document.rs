//! The files of one scenario, parsed and layered into one tree.

use std::path::{Path, PathBuf};

use super::diagnostic::{Diagnostic, Diagnostics, MOST};
use super::place::{self, Part};
use super::tree::{Node, Origin};

/// One text that nodes of the document come from.
#[derive(Debug, Clone)]
pub struct SourceText {
    /// The name the user knows it by.
    pub name: String,
    /// All of it.
    pub text: String,
    /// Where its YAML starts: 0 in files, behind the `=` in an override.
    pub start: usize,
    /// The folder that relative paths written in it start from.
    pub folder: PathBuf,
}

impl SourceText {
    /// The text of a line, counted from one.
    pub fn line(&self, line: usize) -> &str {
        self.text.lines().nth(line.saturating_sub(1)).unwrap_or("")
    }

    /// The place of a key inside the `PATH` of an override.
    fn key_in_override(&self, part: Part, path: &str) -> Option<place::Place> {
        let written = self.text.get(..self.start.checked_sub(1)?)?;
        let key = path.rsplit('.').next()?;
        let rest = written.strip_prefix(path)?;
        if part != Part::Key || !(rest.is_empty() || rest.starts_with('.')) {
            return None;
        }
        let column = path[..path.len() - key.len()].chars().count() + 1;
        Some(place::Place {
            line: 1,
            column,
            scalar: Some(key.to_owned()),
        })
    }

    fn find(&self, address: &[usize], part: Part) -> place::Place {
        let mut place =
            place::find(&self.text[self.start..], address, part).unwrap_or(place::Place {
                line: 1,
                column: 1,
                scalar: None,
            });
        if place.line == 1 {
            place.column += self.text[..self.start].chars().count();
        }
        place
    }
}

/// What a check has to say about a place. An empty `read` is filled with what stands there.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Fault {
    /// What is wrong, in one sentence.
    pub message: String,
    /// What was read.
    pub read: String,
    /// What is allowed.
    pub allowed: String,
    /// What to do.
    pub hint: String,
}

impl Fault {
    /// A fault whose `read` is taken from the place it is reported at.
    pub fn new(
        message: impl Into<String>,
        allowed: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self {
            message: message.into(),
            read: String::new(),
            allowed: allowed.into(),
            hint: hint.into(),
        }
    }

    /// The same with its own words for what was read.
    #[must_use]
    pub fn reading(self, read: impl Into<String>) -> Self {
        Self {
            read: read.into(),
            ..self
        }
    }
}

/// All texts, and the faults found so far.
#[derive(Debug, Clone, Default)]
pub struct Texts {
    /// The texts; an [`Origin`] holds an index into them.
    pub texts: Vec<SourceText>,
    found: Vec<(usize, Diagnostic)>,
    not_shown: usize,
}

impl Texts {
    /// Adds a text and returns its index.
    pub fn add(&mut self, text: SourceText) -> usize {
        self.texts.push(text);
        self.texts.len() - 1
    }

    /// Places a fault in its file.
    pub fn diagnostic(&self, node: &Node, part: Part, path: &str, fault: Fault) -> Diagnostic {
        let Origin { file, address } = &node.origin;
        let Some(source) = self.texts.get(*file) else {
            return Diagnostic {
                path: path.to_owned(),
                ..super::guard::whole_file(
                    "?",
                    &fault.message,
                    &fault.read,
                    &fault.allowed,
                    &fault.hint,
                )
            };
        };
        let place = match source.key_in_override(part, path) {
            Some(place) => place,
            None => source.find(address, part),
        };
        let read = [
            fault.read,
            place.scalar.clone().unwrap_or_default(),
            node.describe(),
        ]
        .into_iter()
        .find(|read| !read.trim().is_empty())
        .unwrap_or_else(|| "nothing".to_owned());
        Diagnostic {
            file: source.name.clone(),
            line: place.line,
            column: place.column,
            path: if path.is_empty() {
                "file".to_owned()
            } else {
                path.to_owned()
            },
            message: fault.message,
            read: shorten(&read),
            allowed: fault.allowed,
            hint: fault.hint,
            source_line: source.line(place.line).to_owned(),
            width: place.scalar.map_or(1, |scalar| {
                scalar.lines().next().map_or(1, |l| l.chars().count())
            }),
        }
    }

    /// Records a fault.
    pub fn report(&mut self, node: &Node, part: Part, path: &str, fault: Fault) {
        if self.found.len() >= MOST {
            self.not_shown += 1;
            return;
        }
        let diagnostic = self.diagnostic(node, part, path, fault);
        self.record(node.origin.file, diagnostic);
    }

    /// Records a finished diagnostic of some file.
    pub fn record(&mut self, file: usize, diagnostic: Diagnostic) {
        if self.found.len() >= MOST {
            self.not_shown += 1;
        } else if !self.found.iter().any(|(_, known)| *known == diagnostic) {
            self.found.push((file, diagnostic));
        }
    }

    /// Nothing has been found so far.
    pub fn is_clean(&self) -> bool {
        self.found.is_empty()
    }

    /// All faults, ordered by file, line and column.
    pub fn into_diagnostics(mut self) -> Diagnostics {
        self.found.sort_by(|(a_file, a), (b_file, b)| {
            (a_file, a.line, a.column, &a.path).cmp(&(b_file, b.line, b.column, &b.path))
        });
        Diagnostics {
            diagnostics: self
                .found
                .into_iter()
                .map(|(_, diagnostic)| diagnostic)
                .collect(),
            not_shown: self.not_shown,
        }
    }

    /// The folder that a relative path written at a node starts from.
    pub fn folder(&self, origin: &Origin) -> &Path {
        self.texts
            .get(origin.file)
            .map_or(Path::new(""), |text| text.folder.as_path())
    }
}

/// Cuts long readings; a diagnostic is no place for a page of text.
fn shorten(text: &str) -> String {
    const LONGEST: usize = 120;
    let line = text.trim().lines().next().unwrap_or("");
    if line.chars().count() > LONGEST {
        format!("{} …", line.chars().take(LONGEST).collect::<String>())
    } else {
        line.to_owned()
    }
}

/// The nearest of the known words, if one is near enough to be meant.
pub fn nearest<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    known
        .iter()
        .map(|candidate| {
            (
                strsim::jaro_winkler(&word.to_lowercase(), candidate),
                *candidate,
            )
        })
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, candidate)| candidate)
}
