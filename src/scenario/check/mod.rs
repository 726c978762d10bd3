//! Checks of values against nature and against each other. Each check looks at
//! the parts that it needs and stays silent while one of them cannot be read:
//! that has been reported already.

mod air;
mod baseline;
mod ceiling;
mod controller;
mod elements;
mod engine;
mod expect;
mod faults;
mod form;
mod limits;
mod numbers;
mod procedure;
mod production;
mod published;
mod recordings;
mod road;
mod sensors;
mod tables;
mod turbo;
mod uncertainty;

pub use baseline::{baseline_inside, spacing_bounds_s};
pub use expect::times;
pub use form::form;
pub use recordings::recordings;
pub(super) use tables::cell;
pub use tables::{Tables, map_diagnostics, tables};
pub use turbo::wheel as wheel_sizes;

use super::document::{Fault, Texts};
use super::place::Part;
use super::read::{Read, Reader};
use super::tree::{Content, Node};
use crate::quantity::{AbsolutePressure, Length};

/// Runs every check.
pub fn all(checker: &mut Checker) {
    air::check(checker);
    baseline::check(checker);
    engine::check(checker);
    turbo::check(checker);
    elements::check(checker);
    sensors::check(checker);
    controller::check(checker);
    procedure::check(checker);
    published::check(checker);
    faults::check(checker);
    limits::check(checker);
    uncertainty::check(checker);
    production::check(checker);
    expect::check(checker);
}

/// Looks at parts of the document and reports faults by their path.
pub struct Checker<'a> {
    root: &'a Node,
    texts: &'a mut Texts,
}

impl<'a> Checker<'a> {
    /// A checker of a whole document.
    pub fn new(root: &'a Node, texts: &'a mut Texts) -> Self {
        Self { root, texts }
    }

    /// The part at a path, if it is there and sound.
    pub fn get<T: Read>(&self, path: &str) -> Option<T> {
        T::read(self.root.at(path)?, &mut Reader::silent())
    }

    /// Whether something is written at a path.
    pub fn has(&self, path: &str) -> bool {
        self.root.at(path).is_some()
    }

    /// The node at a path.
    pub fn node(&self, path: &str) -> Option<&'a Node> {
        self.root.at(path)
    }

    /// A value in the words of the file, or in its own where a default stands in.
    pub fn written(&self, path: &str, value: impl std::fmt::Display) -> String {
        match self.root.at(path).map(|node| &node.content) {
            Some(Content::Text(text)) => text.clone(),
            _ => value.to_string(),
        }
    }

    /// Whether an override was laid over a path, above it or below it. What somebody
    /// takes away by hand is not held against the rest of the file.
    pub fn is_overridden(&self, path: &str) -> bool {
        self.texts.texts.iter().any(|text| {
            // files start at their first character, overrides behind their path
            let Some(written) = text
                .start
                .checked_sub(1)
                .and_then(|end| text.text.get(..end))
            else {
                return false;
            };
            let (short, long) = if written.len() < path.len() {
                (written, path)
            } else {
                (path, written)
            };
            (long.strip_prefix(short)).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        })
    }

    /// How many elements the list at a path has.
    pub fn count(&self, path: &str) -> usize {
        match self.root.at(path).map(|node| &node.content) {
            Some(Content::List(items)) => items.len(),
            _ => 0,
        }
    }

    /// Reports a fault at a path, or at the nearest section above it that is written.
    pub fn refuse(&mut self, path: &str, fault: Fault) {
        let mut above = path;
        loop {
            if let Some(node) = self.root.at(above) {
                let part = if above == path {
                    Part::Value
                } else {
                    Part::Key
                };
                self.texts.report(node, part, path, fault);
                return;
            }
            above = above.rsplit_once('.').map_or("", |(above, _)| above);
        }
    }

    /// Reports a fault at a node that a path cannot name.
    pub fn refuse_node(&mut self, node: &Node, part: Part, path: &str, fault: Fault) {
        self.texts.report(node, part, path, fault);
    }

    /// Ambient pressure as far as the file gives it soundly.
    pub fn ambient(&self) -> Option<AbsolutePressure> {
        if let Some(pressure) = self.get::<AbsolutePressure>("ambient.pressure") {
            return Some(pressure);
        }
        let altitude = self.get::<Length>("ambient.altitude")?;
        standard_pressure(altitude)
    }

    /// Reports a fault at a section itself: at its key.
    pub fn refuse_section(&mut self, path: &str, fault: Fault) {
        match self.root.at(path) {
            Some(node) => self.texts.report(node, Part::Key, path, fault),
            None => self.refuse(path, fault),
        }
    }
}

/// Pressure of the standard atmosphere, where it is defined.
fn standard_pressure(altitude: Length) -> Option<AbsolutePressure> {
    crate::gas::atmosphere::pressure_pa(altitude.m())
        .ok()
        .map(AbsolutePressure::from_pa)
}
