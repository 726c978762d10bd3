//! Where report files go. A folder is looked at before any work, so that a bad
//! path costs nobody a computation, and written whole afterwards.
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::failure::Failure;
use crate::report::ReportFolder;

/// The list of files by which a folder is known as ours.
const CONTENTS: &str = "CONTENTS.txt";
/// Its first line.
const HEAD: &str = "Report folder of ringfence. Its files:";

/// The report for people, in one file.
pub const PAGE: &str = "report.html";

/// A name and what stands in the file.
pub type File = (String, Vec<u8>);

/// A folder that can be written.
#[derive(Debug, Clone)]
pub struct Folder {
    path: PathBuf,
}

impl Folder {
    /// Makes sure that files can go there, without leaving anything behind.
    pub fn prepare(path: &Path) -> Result<Self, Failure> {
        let standing = nearest_existing(path);
        if !standing.is_dir() {
            return Err(refused(
                &standing,
                "a file stands where the report folder should go",
            ));
        }
        if path.is_dir() && !is_ours_or_empty(path).map_err(|e| not_writable(path, &e))? {
            return Err(refused(
                path,
                "the folder holds files that are not from a report",
            ));
        }
        tempfile::Builder::new()
            .prefix(".part-")
            .tempfile_in(&standing)
            .map_err(|error| not_writable(&standing, &error))?;
        Ok(Self {
            path: path.to_owned(),
        })
    }

    /// As the user named it.
    pub fn name(&self) -> String {
        self.path.display().to_string()
    }

    /// Makes the folder and marks it as ours, for files that grow while the work goes
    /// on.
    pub fn claim(&self, names: &[String]) -> Result<(), Failure> {
        let mut expected = self.listed();
        expected.extend(names.iter().cloned());
        self.write_listed(Vec::new(), expected)
    }

    /// Writes all files; those of an earlier report stay.
    pub fn write(&self, files: Vec<File>) -> Result<(), Failure> {
        let earlier = self.listed();
        self.write_listed(files, earlier)
    }

    /// Writes all files in place of those of an earlier report.
    pub fn replace(&self, files: Vec<File>) -> Result<(), Failure> {
        let earlier = self.listed();
        let stale: Vec<String> = earlier
            .into_iter()
            .filter(|name| files.iter().all(|(new, _)| new != name))
            .collect();
        self.write_listed(files, Vec::new())?;
        for name in stale {
            let path = self.path.join(name);
            match fs::remove_file(&path) {
                Err(error) if error.kind() != io::ErrorKind::NotFound => {
                    return Err(not_writable(&path, &error));
                }
                _ => {}
            }
        }
        Ok(())
    }

    fn write_listed(&self, mut files: Vec<File>, earlier: Vec<String>) -> Result<(), Failure> {
        let mut names: Vec<String> = files.iter().map(|(name, _)| name.clone()).collect();
        names.extend(earlier);
        names.sort();
        names.dedup();
        let contents = format!("{HEAD}\n{}\n", names.join("\n"));
        files.push((CONTENTS.to_owned(), contents.into_bytes()));
        ReportFolder::write(&self.path, &files)?;
        Ok(())
    }

    /// The files of an earlier report that are still there.
    fn listed(&self) -> Vec<String> {
        let text = fs::read_to_string(self.path.join(CONTENTS)).unwrap_or_default();
        text.lines()
            .skip(1)
            .filter(|name| Path::new(name).file_name().is_some_and(|n| n == *name))
            .filter(|name| self.path.join(name).is_file())
            .map(str::to_owned)
            .collect()
    }
}

fn is_ours_or_empty(path: &Path) -> io::Result<bool> {
    let empty = fs::read_dir(path)?.next().is_none();
    let ours = || {
        fs::read_to_string(path.join(CONTENTS)).is_ok_and(|text| text.lines().next() == Some(HEAD))
    };
    Ok(empty || ours())
}

/// The path itself or the nearest folder above it that is there.
fn nearest_existing(path: &Path) -> PathBuf {
    path.ancestors()
        .filter(|above| !above.as_os_str().is_empty())
        .find(|above| above.exists())
        .map_or_else(|| PathBuf::from("."), Path::to_owned)
}

fn refused(path: &Path, message: &str) -> Failure {
    Failure::call(
        message,
        path.display().to_string(),
        "a new or empty folder, or one that ringfence wrote",
        "name another folder with --out DIR",
    )
}

fn not_writable(path: &Path, error: &io::Error) -> Failure {
    Failure::call(
        format!("nothing can be written there: {error}"),
        path.display().to_string(),
        "a folder that you may write to",
        "name another folder with --out DIR, or change into one that you own",
    )
}
