//! The same scenario with some of its numbers multiplied, without reading its
//! files again.
use std::path::PathBuf;

use super::check::{self, Checker, Tables};
use super::checked::Scenario;
use super::diagnostic::Diagnostics;
use super::document::{SourceText, Texts};
use super::file::ScenarioFile;
use super::load::{self, Loaded};
use super::read::{Read as _, Reader};
use super::schema;
use super::tree::{Content, Node, Origin};
use super::{build::BuildFailure, build::Setup, layer};
use crate::control::ControllerForms;

/// What a scenario was made from, after all layers and overrides.
#[derive(Debug, Clone)]
pub(super) struct Document {
    /// The tree.
    pub root: Node,
    /// The texts that its nodes come from.
    pub texts: Texts,
    /// What was read from files beside it.
    pub tables: Tables,
    /// The controllers that it may choose from.
    pub forms: ControllerForms,
}

/// Why a scenario with some numbers multiplied is none.
#[derive(Debug, Clone, thiserror::Error)]
pub enum FactorFailure {
    /// There is no number at a path.
    #[error("`{path}` is not a number that this scenario gives")]
    NoNumber {
        /// The path.
        path: String,
    },
    /// A value left what is allowed.
    #[error("{}", changes(.changed))]
    Refused {
        /// Path, value and factor of what is to blame: one where one alone is
        /// enough, else all.
        changed: Vec<Changed>,
        /// What the checks said.
        diagnostics: Diagnostics,
    },
    /// The changed parts do not fit each other.
    #[error("{}: {failure}", changes(.changed))]
    Unfit {
        /// As in `Refused`.
        changed: Vec<Changed>,
        /// What does not fit.
        failure: BuildFailure,
    },
}

/// One number that was multiplied.
#[derive(Debug, Clone, PartialEq)]
pub struct Changed {
    /// Its dotted path.
    pub path: String,
    /// What was written.
    pub written: String,
    /// What it was multiplied with.
    pub factor: f64,
    /// What stands there now: an override that gives the same.
    pub value: String,
}

fn changes(changed: &[Changed]) -> String {
    let words: Vec<String> = changed
        .iter()
        .map(|c| format!("{} ({} × {:.4})", c.path, c.written, c.factor))
        .collect();
    words.join(", ")
}

/// The scenario with the number at each path multiplied by its factor, built.
///
/// The number is multiplied as it is written: `20 degC` × 1.1 is `22 degC`,
/// `2 bar gauge` × 1.1 is `2.2 bar gauge`. Every check runs again.
pub fn with_factors(loaded: &Loaded, factors: &[(String, f64)]) -> Result<Setup, FactorFailure> {
    scaled(loaded, factors).map(|(_, setup)| setup)
}

/// As [`with_factors`], with the checked scenario beside what runs.
pub fn scaled(
    loaded: &Loaded,
    factors: &[(String, f64)],
) -> Result<(Scenario, Setup), FactorFailure> {
    let failure = match attempt(loaded, factors) {
        Err(failure) if factors.len() > 1 => failure,
        done => return done,
    };
    // one number alone is the better answer to "which of them?"
    for one in factors {
        attempt(loaded, std::slice::from_ref(one))?;
    }
    Err(failure)
}

/// What stands at each path once it is multiplied.
pub fn changed(loaded: &Loaded, factors: &[(String, f64)]) -> Result<Vec<Changed>, FactorFailure> {
    factors
        .iter()
        .map(|(path, factor)| {
            let written = written(&loaded.document.root, path);
            written
                .and_then(|written| {
                    Some(Changed {
                        path: path.clone(),
                        value: multiplied(&written, *factor)?,
                        written,
                        factor: *factor,
                    })
                })
                .ok_or_else(|| FactorFailure::NoNumber { path: path.clone() })
        })
        .collect()
}

fn attempt(loaded: &Loaded, factors: &[(String, f64)]) -> Result<(Scenario, Setup), FactorFailure> {
    let changed = changed(loaded, factors)?;
    let Document {
        mut root,
        mut texts,
        tables,
        forms,
    } = loaded.document.clone();
    for change in &changed {
        place(&mut root, &mut texts, change);
    }
    let file = ScenarioFile::read(&root, &mut Reader::new(&mut texts));
    let mut checker = Checker::new(&root, &mut texts);
    check::all(&mut checker);
    check::form(&mut checker, &forms);
    let scenario = match load::meaning(file, tables, texts, &forms) {
        Ok(scenario) => scenario,
        Err(diagnostics) => {
            return Err(FactorFailure::Refused {
                changed,
                diagnostics,
            });
        }
    };
    match Setup::new(&scenario) {
        Ok(setup) => Ok((scenario, setup)),
        Err(failure) => Err(FactorFailure::Unfit { changed, failure }),
    }
}

/// The number at a path as it is written, or as its default is.
pub(super) fn written(root: &Node, path: &str) -> Option<String> {
    match root.at(path).map(|node| &node.content) {
        Some(Content::Text(text)) => Some(text.trim().to_owned()),
        Some(Content::Number(number)) => Some(number.to_string()),
        Some(_) => None,
        None => schema::default_text(path),
    }
}

/// Puts the changed number into the tree; a fault in it shows the new value.
fn place(root: &mut Node, texts: &mut Texts, change: &Changed) {
    let text = format!("{}={}", change.path, change.value);
    let file = texts.add(SourceText {
        name: format!("{} × {:.4}", change.written, change.factor),
        text,
        start: change.path.len() + 1,
        folder: PathBuf::new(),
    });
    let origin = Origin {
        file,
        address: Vec::new(),
    };
    let content = match change.value.parse::<f64>() {
        Ok(number) => Content::Number(number),
        Err(_) => Content::Text(change.value.clone()),
    };
    layer::put(root, texts, &change.path, Node { content, origin });
}

/// A text that begins with a number, with that number multiplied.
fn multiplied(written: &str, factor: f64) -> Option<String> {
    let (number, rest) = leading_number(written)?;
    Some(format!("{}{rest}", number * factor))
}

/// The number that a text begins with, and what stands behind it.
pub(super) fn leading_number(written: &str) -> Option<(f64, &str)> {
    let end = (1..=written.len())
        .rev()
        .filter(|&end| written.is_char_boundary(end))
        .find(|&end| {
            let number = &written[..end];
            number.ends_with(|c: char| c.is_ascii_digit() || c == '.')
                && number.parse::<f64>().is_ok_and(f64::is_finite)
        })?;
    Some((written[..end].parse().ok()?, &written[end..]))
}

#[cfg(test)]
mod tests {
    use super::multiplied;

    #[test]
    fn the_number_is_multiplied_and_the_unit_stays() {
        for (written, factor, expected) in [
            ("40 %", 0.5, "20 %"),
            ("0.644", 2.0, "1.288"),
            ("1.5e-4 kg m2", 2.0, "0.0003 kg m2"),
            ("17.8cm2", 0.5, "8.9cm2"),
            ("-3 K", 2.0, "-6 K"),
            ("2.5 bar gauge", 2.0, "5 bar gauge"),
        ] {
            assert_eq!(
                multiplied(written, factor).as_deref(),
                Some(expected),
                "{written}"
            );
        }
        assert_eq!(multiplied("invented", 2.0), None);
        assert_eq!(multiplied("full", 2.0), None);
    }
}
