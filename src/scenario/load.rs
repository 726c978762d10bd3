//! The way from a path to a checked scenario.

use std::path::Path;

use super::build;
use super::check::{self, Checker};
use super::checked::Scenario;
use super::diagnostic::Diagnostics;
use super::document::Texts;
use super::factor::Document;
use super::file::ScenarioFile;
use super::layer::Layers;
use super::read::{Read as _, Reader};
use super::source::{Disk, FileSource};
use crate::control::ControllerForms;

/// A scenario that passed every check.
#[derive(Debug, Clone)]
pub struct Loaded {
    /// The scenario.
    pub scenario: Scenario,
    /// The files it was read from, as the user knows them: the top file, what it
    /// extends, then its tables.
    pub files: Vec<String>,
    /// What it was made from, so that it can be made again with other numbers.
    pub(super) document: Document,
}

impl Loaded {
    /// The text of one of its files, as it was read; none for a table.
    pub fn text_of(&self, file: &str) -> Option<&str> {
        let mut texts = self.document.texts.texts.iter();
        texts
            .find(|text| text.name == file)
            .map(|text| text.text.as_str())
    }
}

/// Loads a scenario from disk. `overrides` are `PATH`, `VALUE` pairs laid over
/// it. Nothing outside `root` is read; without one that is the folder of the file.
pub fn load(
    path: &Path,
    overrides: &[(String, String)],
    root: Option<&Path>,
) -> Result<Loaded, Diagnostics> {
    load_from(&Disk, path, overrides, root)
}

impl Loaded {
    /// Loads a scenario from disk that may choose the same controllers.
    pub fn load_anew(
        &self,
        path: &Path,
        overrides: &[(String, String)],
    ) -> Result<Self, Diagnostics> {
        load_with(&self.document.forms, &Disk, path, overrides, None)
    }
}

/// Loads a scenario from any source of files, such as [`super::Embedded`].
pub fn load_from(
    source: &dyn FileSource,
    path: &Path,
    overrides: &[(String, String)],
    root: Option<&Path>,
) -> Result<Loaded, Diagnostics> {
    load_with(&ControllerForms::default(), source, path, overrides, root)
}

/// Loads a scenario that may choose its controller out of some forms.
pub fn load_with(
    forms: &ControllerForms,
    source: &dyn FileSource,
    path: &Path,
    overrides: &[(String, String)],
    root: Option<&Path>,
) -> Result<Loaded, Diagnostics> {
    let root = root.or(path.parent()).unwrap_or(Path::new(""));
    let mut layers = Layers::new(source, root);
    let mut document = layers.read_top(path)?;
    for (path, value) in overrides {
        layers.set(&mut document, path, value);
    }
    let file = ScenarioFile::read(&document, &mut Reader::new(&mut layers.texts));
    let mut tables = check::tables(&document, &mut layers);
    check::recordings(&document, &mut layers, &mut tables);
    check::baseline_inside(&document, &mut layers);
    let mut checker = Checker::new(&document, &mut layers.texts);
    check::all(&mut checker);
    check::form(&mut checker, forms);
    let texts = layers.texts;
    let mut files: Vec<String> = texts
        .texts
        .iter()
        .map(|text| text.name.clone())
        .filter(|name| name != "--set")
        .collect();
    files.extend(tables.files.iter().cloned());
    let made_from = Document {
        root: document,
        texts: texts.clone(),
        tables: tables.clone(),
        forms: forms.clone(),
    };
    let scenario = meaning(file, tables, texts, forms)?;
    expected_in_time(&scenario, &made_from)?;
    Ok(Loaded {
        scenario,
        files,
        document: made_from,
    })
}

/// The times of expectations can be checked only where the procedure can be built.
fn expected_in_time(scenario: &Scenario, made_from: &Document) -> Result<(), Diagnostics> {
    if scenario.expect.is_none() {
        return Ok(());
    }
    let mut texts = made_from.texts.clone();
    if let Some(duration_s) = build::duration_s(scenario) {
        check::times(&mut Checker::new(&made_from.root, &mut texts), duration_s);
    }
    if texts.is_clean() {
        Ok(())
    } else {
        Err(texts.into_diagnostics())
    }
}

/// Whether a file expects something, be it through a file that it extends.
///
/// # Errors
/// A file that cannot be read at all.
pub fn expects(path: &Path) -> Result<bool, Diagnostics> {
    let root = path.parent().unwrap_or(Path::new(""));
    let document = Layers::new(&Disk, root).read_top(path)?;
    Ok(document.get("expect").is_some())
}

/// The scenario, where nothing was found wrong with it.
pub(super) fn meaning(
    file: Option<ScenarioFile>,
    tables: check::Tables,
    texts: Texts,
    forms: &ControllerForms,
) -> Result<Scenario, Diagnostics> {
    match file {
        Some(file) if texts.is_clean() => {
            Scenario::new(file, tables, forms).ok_or_else(|| incomplete(&texts))
        }
        _ => Err(texts.into_diagnostics()),
    }
}

/// Said when a part is missing that no check has reported: a gap in the checks.
fn incomplete(texts: &Texts) -> Diagnostics {
    let name = texts.texts.first().map_or("?", |text| text.name.as_str());
    super::guard::whole_file(
        name,
        "the scenario is not complete",
        "a scenario with a part missing",
        "a scenario in which every part that is referred to is given",
        "compare with the file that `ringfence new` writes",
    )
    .into()
}
