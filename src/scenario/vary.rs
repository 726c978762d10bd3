//! The same scenario with other values at some paths, without reading its files
//! again.
use super::build::{BuildFailure, Setup};
use super::check::{self, Checker};
use super::checked::Scenario;
use super::diagnostic::Diagnostics;
use super::factor::Document;
use super::file::ScenarioFile;
use super::layer;
use super::load::{self, Loaded};
use super::read::{Read as _, Reader};

/// Why a scenario with other values is none.
#[derive(Debug, Clone, thiserror::Error)]
pub enum VaryFailure {
    /// A value is not allowed there, or the path leads nowhere.
    #[error("{0}")]
    Refused(Diagnostics),
    /// The changed parts do not fit each other.
    #[error("{0}")]
    Unfit(BuildFailure),
}

/// What is said of where a varied value comes from.
pub const VARIED: &str = "--vary";

/// The scenario with the value, as YAML, at each path; checked and built.
///
/// Files beside the scenario are not read again: where [`reads_files`] says that a
/// path may name one, load the scenario anew with overrides instead.
///
/// # Errors
/// A value that is not allowed, a path that leads nowhere, parts that no longer fit.
pub fn varied(
    loaded: &Loaded,
    values: &[(String, String)],
) -> Result<(Scenario, Setup), VaryFailure> {
    let Document {
        mut root,
        mut texts,
        tables,
        forms,
    } = loaded.document.clone();
    for (path, value) in values {
        layer::set(&mut root, &mut texts, VARIED, path, value);
    }
    let file = ScenarioFile::read(&root, &mut Reader::new(&mut texts));
    let mut checker = Checker::new(&root, &mut texts);
    check::all(&mut checker);
    check::form(&mut checker, &forms);
    let scenario = load::meaning(file, tables, texts, &forms).map_err(VaryFailure::Refused)?;
    let setup = Setup::new(&scenario).map_err(VaryFailure::Unfit)?;
    Ok((scenario, setup))
}

/// Whether what stands at a path, above it or below it may name a file.
pub fn reads_files(path: &str) -> bool {
    let named = ["compressor.form", "turbine.form", "procedure"];
    named.iter().any(|field| {
        let short = path.len().min(field.len());
        path.get(..short) == field.get(..short)
            && [path, field]
                .iter()
                .all(|p| matches!(p.as_bytes().get(short), None | Some(b'.')))
            && !below_a_number(path)
    })
}

/// Sizes of a form that is written in the scenario itself.
fn below_a_number(path: &str) -> bool {
    ["compressor.form.wheel.", "turbine.form.two_throats."]
        .iter()
        .any(|form| path.starts_with(form))
}

#[cfg(test)]
mod tests {
    use super::reads_files;

    #[test]
    fn only_forms_and_procedures_name_files() {
        for path in [
            "compressor",
            "compressor.form",
            "compressor.form.speed_lines",
            "turbine.form.vanes",
            "procedure",
            "procedure.0.playback.file",
        ] {
            assert!(reads_files(path), "{path}");
        }
        for path in [
            "compressor.wheel_diameter",
            "compressor.formed",
            "ambient.altitude",
            "turbine.form.two_throats.peak_efficiency",
        ] {
            assert!(!reads_files(path), "{path}");
        }
    }
}
