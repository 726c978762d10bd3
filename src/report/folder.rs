//! A folder of report files, written whole or not at all.
use std::io::Write;
use std::path::{Path, PathBuf};

/// Why a report folder could not be written.
#[derive(Debug, thiserror::Error)]
pub enum FolderError {
    /// The operating system refused.
    #[error("cannot {action} {path}: {source}")]
    Io {
        /// What was tried.
        action: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// What the operating system said.
        source: std::io::Error,
    },
    /// A file name that would leave the folder.
    #[error("{name:?} is not a plain file name inside the report folder")]
    Name {
        /// The name as given.
        name: String,
    },
}

/// The folder that a report goes to.
#[derive(Debug, Clone, Copy, Default)]
pub struct ReportFolder;

impl ReportFolder {
    /// Writes all files into `dir`, which is made if it is missing.
    ///
    /// Every file is first written whole beside its place and only when all
    /// of them are on disk are they renamed, so a full disk or a bad path
    /// leaves the folder as it was. Files of other names are left alone.
    ///
    /// # Errors
    /// A name with a separator in it, or a refusal of the operating system.
    pub fn write(dir: &Path, files: &[(String, Vec<u8>)]) -> Result<(), FolderError> {
        for (name, _) in files {
            let plain = Path::new(name)
                .file_name()
                .is_some_and(|last| last == name.as_str())
                && !name.contains(['/', '\\']);
            if !plain {
                return Err(FolderError::Name { name: name.clone() });
            }
        }
        std::fs::create_dir_all(dir).map_err(io("make the folder", dir))?;
        let mut ready = Vec::with_capacity(files.len());
        for (name, bytes) in files {
            let path = dir.join(name);
            let mut builder = tempfile::Builder::new();
            builder.prefix(".part-");
            // A temporary file is private by default; a report is for reading.
            #[cfg(unix)]
            {
                use std::os::unix::fs::PermissionsExt;
                builder.permissions(std::fs::Permissions::from_mode(0o644));
            }
            let mut file = builder.tempfile_in(dir).map_err(io("write into", dir))?;
            file.write_all(bytes)
                .and_then(|()| file.flush())
                .map_err(io("write", &path))?;
            ready.push((file, path));
        }
        for (file, path) in ready {
            file.persist(&path).map_err(|error| FolderError::Io {
                action: "put into place",
                path: path.clone(),
                source: error.error,
            })?;
        }
        Ok(())
    }
}

fn io(action: &'static str, path: &Path) -> impl FnOnce(std::io::Error) -> FolderError {
    let path = path.to_owned();
    move |source| FolderError::Io {
        action,
        path,
        source,
    }
}
