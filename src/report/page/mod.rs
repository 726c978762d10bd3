//! A report as one page that a browser shows and prints: text, tables and pictures
//! in a single file that loads nothing else.
//!
//! | file | what it holds |
//! | --- | --- |
//! | `html` | blocks, tables and pictures as markup |
//! | `shapes` | the marks that tell good from bad without colour |
//! | `picture` | a drawn picture and its words |
//! | `run`, `run_tables` | the page of a run |
//! | `verify` | the page of a verification |
//! | `whole` | the pages of the other commands |
//! | `style.css` | how it looks, on a screen and on paper |
mod html;
mod picture;
mod run;
mod run_tables;
mod shapes;
mod verify;
mod whole;

pub use picture::{Pictures, Words, words};
pub use run::run_page;
pub use verify::{CaseStory, verify_page};
pub use whole::{ceiling_page, compare_page, sweep_page, tables_page, tolerance_page};

use super::body::{Block, Body};
use super::course::Moment;
use super::shell::set_option;
use picture::Picture;

/// A report as a page: parts in the order in which they are added. The cautions and
/// the version come at its end by themselves.
#[derive(Debug, Clone)]
pub struct Page {
    kind: String,
    title: String,
    parts: Vec<Part>,
}

#[derive(Debug, Clone)]
enum Part {
    Block(Block),
    Picture(Picture),
    Course(Vec<Moment>),
    Text { name: String, text: String },
}

/// What a report was computed from.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sources {
    /// The files, with their text where it is for reading.
    pub files: Vec<(String, Option<String>)>,
    /// What was laid over them, `PATH=VALUE` each.
    pub overrides: Vec<String>,
}

impl Sources {
    /// Adds what something else was computed from; a file that is there already is
    /// told once.
    pub fn add(&mut self, other: Sources) {
        for file in other.files {
            if !self.files.contains(&file) {
                self.files.push(file);
            }
        }
        self.overrides = other.overrides;
    }
}

impl Page {
    /// An empty page. `kind` says what kind of report it is, in a word or two.
    pub fn new(kind: &str, title: &str) -> Self {
        Self {
            kind: kind.to_owned(),
            title: title.to_owned(),
            parts: Vec::new(),
        }
    }

    /// Adds text and tables.
    pub fn body(&mut self, body: Body) {
        self.parts.extend(body.blocks.into_iter().map(Part::Block));
    }

    /// Adds a paragraph.
    pub fn plain(&mut self, text: &str) {
        let mut body = Body::default();
        body.plain(text);
        self.body(body);
    }

    /// Begins a section.
    pub fn heading(&mut self, text: &str) {
        self.parts
            .push(Part::Block(Block::Heading(text.to_owned())));
    }

    /// Adds the picture of that file, if it was drawn.
    pub fn picture(&mut self, pictures: &Pictures, name: &str, words: &Words) {
        let found = pictures.find(name, words);
        self.parts.extend(found.map(Part::Picture));
    }

    /// Adds what happened, moment by moment.
    pub fn course(&mut self, moments: Vec<Moment>) {
        self.parts.push(Part::Course(moments));
    }

    /// Adds what it was computed from.
    pub fn sources(&mut self, sources: &Sources) {
        let mut body = Body::default();
        body.heading("What it was computed from");
        let names: Vec<&str> = sources
            .files
            .iter()
            .map(|(name, _)| name.as_str())
            .collect();
        body.plain(format!("Files: {}.", names.join(", ")));
        if !sources.overrides.is_empty() {
            body.plain("Laid over them:");
            let sets = sources.overrides.iter();
            body.code(sets.map(|set| set_option(set)).collect());
        }
        self.body(body);
        for (name, text) in &sources.files {
            if let Some(text) = text {
                self.parts.push(Part::Text {
                    name: name.clone(),
                    text: text.clone(),
                });
            }
        }
    }
}
