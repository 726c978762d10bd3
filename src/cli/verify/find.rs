//! Which scenarios a call names: files as they are, and of folders those that expect
//! something.
use std::collections::HashSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::super::failure::Failure;
use crate::scenario::expects;

/// What was found.
pub struct Found {
    /// The files of all cases, in order.
    pub files: Vec<PathBuf>,
    /// How many scenario files in the folders expect nothing.
    pub left_out: usize,
}

/// Files that were met, however they were named.
#[derive(Default)]
struct Met(HashSet<PathBuf>);

impl Met {
    /// Whether a file was not met before. Its folder is what counts, found by whatever
    /// way; a link to a file is a file of its own, for it may stand beside other parts.
    fn is_new(&mut self, file: &Path) -> bool {
        let folder = match file.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let place = match (folder.canonicalize(), file.file_name()) {
            (Ok(folder), Some(name)) => folder.join(name),
            // what is not there is told when it is read
            _ => file.to_owned(),
        };
        self.0.insert(place)
    }
}

/// The files that a call names, each once and as it was named first.
pub fn find(named: &[PathBuf]) -> Result<Found, Failure> {
    let mut found = Found {
        files: Vec::new(),
        left_out: 0,
    };
    let (mut met, mut met_others) = (Met::default(), Met::default());
    let mut add = |found: &mut Found, file: PathBuf| {
        if met.is_new(&file) {
            found.files.push(file);
        }
    };
    for path in named {
        if !path.is_dir() {
            add(&mut found, path.clone());
            continue;
        }
        let mut inside = Vec::new();
        below(path, &mut inside)?;
        // a file that cannot be read at all is a case, so that it is told
        let (cases, others): (Vec<_>, Vec<_>) = inside
            .into_iter()
            .partition(|file| expects(file).unwrap_or(true));
        if cases.is_empty() {
            return Err(Failure::call(
                "no scenario in this folder expects anything",
                path.display().to_string(),
                "a folder with at least one .yaml file that has a section `expect`",
                "`ringfence explain expect` tells how to write one",
            ));
        }
        found.left_out += (others.iter())
            .filter(|file| met_others.is_new(file))
            .count();
        for file in cases {
            add(&mut found, file);
        }
    }
    Ok(found)
}

/// The .yaml files of a folder and of those below it, sorted by name: files first.
/// Links to folders are not followed, for they may lead round in a circle.
fn below(folder: &Path, files: &mut Vec<PathBuf>) -> Result<(), Failure> {
    let entries = fs::read_dir(folder)
        .and_then(Iterator::collect::<io::Result<Vec<_>>>)
        .map_err(|error| unreadable(folder, &error))?;
    let mut folders = Vec::new();
    let mut here = Vec::new();
    for entry in entries {
        let kind = entry
            .file_type()
            .map_err(|error| unreadable(folder, &error))?;
        let path = entry.path();
        if kind.is_dir() {
            folders.push(path);
        } else if path.extension().is_some_and(|ending| ending == "yaml") {
            here.push(path);
        }
    }
    here.sort();
    folders.sort();
    files.append(&mut here);
    folders.iter().try_for_each(|folder| below(folder, files))
}

fn unreadable(folder: &Path, error: &io::Error) -> Failure {
    Failure::call(
        format!("the folder cannot be read: {error}"),
        folder.display().to_string(),
        "a folder that you may read",
        "name the scenario files one by one",
    )
}
