//! Where scenario files come from: the disk, or a set embedded in the program.

use std::collections::BTreeMap;
use std::fs;
use std::io::{ErrorKind, Read as _};
use std::path::{Component, Path, PathBuf};

/// Why a file could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReadFailure {
    /// There is no such file.
    Missing,
    /// The path names a folder.
    Folder,
    /// The file has more bytes than allowed; carries the limit.
    TooLarge(u64),
    /// Anything else, in the words of the operating system.
    Other(String),
}

/// A place to read scenario files and their tables from.
pub trait FileSource {
    /// Reads a whole file, refusing more than `limit` bytes.
    fn read(&self, path: &Path, limit: u64) -> Result<Vec<u8>, ReadFailure>;

    /// The path with links and dots resolved, as far as this source knows.
    fn resolve(&self, path: &Path) -> PathBuf;
}

/// The file system.
#[derive(Debug, Clone, Copy, Default)]
pub struct Disk;

impl FileSource for Disk {
    fn read(&self, path: &Path, limit: u64) -> Result<Vec<u8>, ReadFailure> {
        let metadata = fs::metadata(path).map_err(|error| match error.kind() {
            ErrorKind::NotFound | ErrorKind::NotADirectory => ReadFailure::Missing,
            _ => ReadFailure::Other(error.to_string()),
        })?;
        if metadata.is_dir() {
            return Err(ReadFailure::Folder);
        }
        if metadata.len() > limit {
            return Err(ReadFailure::TooLarge(limit));
        }
        // A pipe or device tells no length, so the limit holds while reading as well.
        let file = fs::File::open(path).map_err(|error| ReadFailure::Other(error.to_string()))?;
        let mut bytes = Vec::new();
        file.take(limit + 1)
            .read_to_end(&mut bytes)
            .map_err(|error| ReadFailure::Other(error.to_string()))?;
        if bytes.len() as u64 > limit {
            return Err(ReadFailure::TooLarge(limit));
        }
        Ok(bytes)
    }

    fn resolve(&self, path: &Path) -> PathBuf {
        // Where the file is missing its nearest folder is resolved, so that the
        // path is still compared like with like.
        let tidy = tidy(path);
        let mut missing = Vec::new();
        let mut here = tidy.as_path();
        loop {
            let existing = if here.as_os_str().is_empty() {
                Path::new(".")
            } else {
                here
            };
            if let Ok(resolved) = fs::canonicalize(existing) {
                return missing
                    .iter()
                    .rev()
                    .fold(resolved, |path, name| path.join(name));
            }
            match (here.parent(), here.file_name()) {
                (Some(parent), Some(name)) => {
                    missing.push(name.to_owned());
                    here = parent;
                }
                _ => return tidy,
            }
        }
    }
}

/// Files held in memory: the demonstration inside the program, and tests.
#[derive(Debug, Clone, Default)]
pub struct Embedded {
    files: BTreeMap<PathBuf, Vec<u8>>,
}

impl Embedded {
    /// A set without files.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a file under a relative path.
    #[must_use]
    pub fn with(mut self, path: impl AsRef<Path>, content: impl Into<Vec<u8>>) -> Self {
        self.files.insert(tidy(path.as_ref()), content.into());
        self
    }
}

impl FileSource for Embedded {
    fn read(&self, path: &Path, limit: u64) -> Result<Vec<u8>, ReadFailure> {
        let bytes = self.files.get(&tidy(path)).ok_or(ReadFailure::Missing)?;
        if bytes.len() as u64 > limit {
            return Err(ReadFailure::TooLarge(limit));
        }
        Ok(bytes.clone())
    }

    fn resolve(&self, path: &Path) -> PathBuf {
        tidy(path)
    }
}

/// A path as messages show it: tidy, with `/` on every system.
pub fn shown(path: &Path) -> String {
    tidy(path)
        .display()
        .to_string()
        .replace(std::path::MAIN_SEPARATOR, "/")
}

/// A path without `.` and with `..` worked out by its text alone.
pub fn tidy(path: &Path) -> PathBuf {
    let mut out = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir => {
                let poppable = matches!(out.components().next_back(), Some(Component::Normal(_)));
                if poppable {
                    out.pop();
                } else {
                    out.push("..");
                }
            }
            other => out.push(other),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dots_are_worked_out() {
        assert_eq!(tidy(Path::new("a/./b/../c.yaml")), Path::new("a/c.yaml"));
        assert_eq!(tidy(Path::new("../x/../../y")), Path::new("../../y"));
    }

    #[test]
    fn an_embedded_file_obeys_the_limit() {
        let files = Embedded::new().with("a.yaml", "12345");
        assert_eq!(files.read(Path::new("./a.yaml"), 5).unwrap(), b"12345");
        assert_eq!(
            files.read(Path::new("a.yaml"), 4),
            Err(ReadFailure::TooLarge(4))
        );
        assert_eq!(
            files.read(Path::new("b.yaml"), 4),
            Err(ReadFailure::Missing)
        );
    }
}
