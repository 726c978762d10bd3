//! Where rows go, looked at before any work.
use std::path::{Path, PathBuf};

use crate::cli::failure::Failure;
use crate::cli::folder::Folder;
use crate::report::RowFormat;

/// Room that is wanted beside the rows: a verdict and pictures.
const SPARE_BYTES: u64 = 4 << 20;
/// Room for one row and its mark in the state; reasons are longer, numbers shorter.
const ROW_BYTES: u64 = 400;

/// Where rows go.
pub enum Place {
    /// To standard output, as JSON lines.
    Lines,
    /// Nowhere: only what they come to is told.
    Told,
    /// Into a file.
    File(PathBuf, RowFormat),
    /// Into a file in a report folder.
    Folder(Folder, PathBuf),
}

impl Place {
    /// Looks at what was asked for.
    pub fn of(out: Option<&Path>, json: bool) -> Result<Self, Failure> {
        let Some(out) = out else {
            return Ok(if json { Self::Lines } else { Self::Told });
        };
        match file_format(out) {
            Some(format) => {
                file_can_stand(out)?;
                Ok(Self::File(out.to_owned(), format))
            }
            None => Ok(Self::Folder(Folder::prepare(out)?, out.join("sweep.csv"))),
        }
    }

    /// The file of rows, if there is one.
    pub fn rows(&self) -> Option<(&Path, RowFormat)> {
        match self {
            Self::File(path, format) => Some((path, *format)),
            Self::Folder(_, path) => Some((path, RowFormat::Csv)),
            _ => None,
        }
    }

    /// How rows are written.
    pub fn format(&self) -> RowFormat {
        match self {
            Self::Lines => RowFormat::JsonLines,
            _ => self.rows().map_or(RowFormat::Csv, |(_, format)| format),
        }
    }
}

/// The format by the ending of a name.
pub fn file_format(path: &Path) -> Option<RowFormat> {
    RowFormat::from_extension(path.extension()?.to_str()?)
}

/// Whether a file may be written there: a folder that is there, and lets us.
pub fn file_can_stand(path: &Path) -> Result<(), Failure> {
    let folder = folder_of(path);
    if path.is_dir() {
        return Err(refused(path, "a folder stands where the file should go"));
    }
    if !folder.is_dir() {
        return Err(refused(folder, "there is no such folder"));
    }
    let probe = tempfile::Builder::new()
        .prefix(".part-")
        .tempfile_in(folder);
    match probe {
        Ok(_) => Ok(()),
        Err(error) => Err(refused(
            folder,
            &format!("nothing can be written there: {error}"),
        )),
    }
}

/// Whether so many rows fit on the disk.
pub fn has_room(path: &Path, rows: u64) -> Result<(), Failure> {
    let folder = path.ancestors().skip(1).find(|above| above.is_dir());
    let folder = folder.filter(|f| !f.as_os_str().is_empty());
    let folder = folder.unwrap_or(Path::new("."));
    // where the system does not tell, the disk may still have room
    match fs4::available_space(folder) {
        Ok(free) => fits(path, rows, free),
        Err(_) => Ok(()),
    }
}

fn fits(path: &Path, rows: u64, free: u64) -> Result<(), Failure> {
    let wanted = SPARE_BYTES.saturating_add(rows.saturating_mul(ROW_BYTES));
    if free >= wanted {
        return Ok(());
    }
    let mib = |bytes: u64| bytes.div_ceil(1 << 20);
    Err(Failure::call(
        format!("the disk is too full for {rows} rows"),
        format!("{} MiB free for {}", free >> 20, path.display()),
        format!("{} MiB or more", mib(wanted)),
        "make room, name another disk with --out, or run fewer cases",
    ))
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

fn refused(path: &Path, message: &str) -> Failure {
    Failure::call(
        message,
        path.display().to_string(),
        "a file in a folder that is there and that you may write to",
        "make the folder first, or name another one with --out",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_disk_without_room_for_the_rows_is_refused() {
        let path = Path::new("a.csv");
        assert!(fits(path, 1000, 5 << 20).is_ok());
        for (rows, free) in [(1, 1 << 20), (10_000_000, 1 << 30), (u64::MAX, 1 << 40)] {
            let refused = fits(path, rows, free).unwrap_err();
            assert_eq!(refused.status().number(), 2);
            assert!(refused.render(false).contains("too full"));
        }
    }
}
