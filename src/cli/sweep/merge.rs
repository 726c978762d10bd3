//! `ringfence merge`: parts of a sweep made whole.
use std::fs::{File, TryLockError};
use std::io::{BufWriter, Write as _};
use std::path::{Path, PathBuf};

use serde::Serialize;

use super::mark::Mark;
use super::place::{file_can_stand, file_format, has_room};
use super::store::{Reader, busy, cannot_open, header, read_mark, state_path, sum};
use crate::cli::args::Merge;
use crate::cli::exit::Status;
use crate::cli::failure::Failure;
use crate::cli::screen::Screen;

#[derive(Serialize)]
struct Joined {
    file: String,
    parts: usize,
    cases: u64,
}

/// One part that is finished.
struct Part {
    path: PathBuf,
    rows: File,
    state: File,
    mark: Mark,
}

/// Joins the parts, or leaves everything as it is.
pub fn merge(args: &Merge, screen: &Screen) -> Result<Status, Failure> {
    let mut parts = args
        .parts
        .iter()
        .map(|path| part(path))
        .collect::<Result<Vec<_>, _>>()?;
    parts.sort_by_key(|part| part.mark.part);
    let whole = belong_together(&parts)?;
    out_is_free(&args.out, &whole)?;
    has_room(&args.out, whole.cases)?;
    write(&parts, &whole, &args.out)?;
    let joined = Joined {
        file: args.out.display().to_string(),
        parts: parts.len(),
        cases: whole.cases,
    };
    if screen.json {
        screen.document(&joined)?;
    } else {
        screen.text(&format!(
            "  {} parts with {} cases joined in {}\n",
            joined.parts, joined.cases, joined.file
        ))?;
    }
    Ok(Status::Held)
}

fn part(path: &Path) -> Result<Part, Failure> {
    let opened = |at: &Path| {
        File::open(at).map_err(|error| no_part(path, &format!("{}: {error}", at.display())))
    };
    let rows = opened(path)?;
    let state = opened(&state_path(path))?;
    match state.try_lock_shared() {
        Ok(()) => {}
        Err(TryLockError::WouldBlock) => return Err(busy(path)),
        Err(TryLockError::Error(error)) => return Err(cannot_open(path, &error)),
    }
    let mark = read_mark(&state).map_err(|error| cannot_open(path, &error))?;
    match mark.and_then(|(_, mark)| mark) {
        Some(mark) => Ok(Part {
            path: path.to_owned(),
            rows,
            state,
            mark,
        }),
        None => Err(no_part(path, "its .state is damaged")),
    }
}

/// The mark of the whole, where all parts are there once.
fn belong_together(parts: &[Part]) -> Result<Mark, Failure> {
    let [first, ..] = parts else {
        return Err(no_part(Path::new(""), "no part at all"));
    };
    let whole = first.mark.whole();
    let of = first.mark.of;
    for part in parts {
        if let Some(difference) = whole.difference(&part.mark.whole()) {
            let text = format!(
                "not from the sweep of {}: {difference}",
                first.path.display()
            );
            return Err(no_part(&part.path, &text));
        }
        if part.mark.of != of {
            let text = format!("a part of {}, the first one is of {of}", part.mark.of);
            return Err(no_part(&part.path, &text));
        }
    }
    for pair in parts.windows(2) {
        if pair[0].mark.part == pair[1].mark.part {
            let text = format!("part {}/{of} is there twice", pair[1].mark.part);
            return Err(no_part(&pair[1].path, &text));
        }
    }
    let missing = (1..=of).find(|number| parts.iter().all(|part| part.mark.part != *number));
    match missing {
        Some(number) => Err(no_part(
            &first.path,
            &format!("part {number}/{of} is missing"),
        )),
        None => Ok(whole),
    }
}

/// A new file, or the same whole from an earlier call.
fn out_is_free(out: &Path, whole: &Mark) -> Result<(), Failure> {
    let refused = |read: String| {
        Err(Failure::call(
            "the parts cannot be joined there",
            read,
            "a new file with the ending of the parts, or the same sweep joined before",
            "name another file with --out",
        ))
    };
    if file_format(out) != whole.format() {
        return refused(out.display().to_string());
    }
    file_can_stand(out)?;
    if !out.exists() {
        return Ok(());
    }
    let mark = File::open(state_path(out)).and_then(|state| read_mark(&state));
    match mark {
        Ok(Some((_, Some(mark)))) if mark == *whole => Ok(()),
        _ => refused(format!("{}: another file stands there", out.display())),
    }
}

/// Rows and state beside their places first, then both put there.
fn write(parts: &[Part], whole: &Mark, out: &Path) -> Result<(), Failure> {
    let io = |error| Failure::Rows {
        place: out.display().to_string(),
        error,
        kept: "nothing was changed there".to_owned(),
    };
    let folder = out.parent().filter(|folder| !folder.as_os_str().is_empty());
    let folder = folder.unwrap_or(Path::new("."));
    let (rows_file, state_file) = (beside(folder).map_err(io)?, beside(folder).map_err(io)?);
    let mut rows = BufWriter::new(rows_file.as_file());
    let mut state = BufWriter::new(state_file.as_file());
    writeln!(state, "{}", whole.line()).map_err(io)?;
    if let Some(header) = header(whole) {
        rows.write_all(header.as_bytes()).map_err(io)?;
    }
    for part in parts {
        let mut reader = Reader::new(&part.path, &part.rows, &part.state, &part.mark)?;
        while let Some(line) = reader.next_row()? {
            writeln!(rows, "{line}").map_err(io)?;
            writeln!(state, "{:08x}", sum(&line)).map_err(io)?;
        }
        let (there, wanted) = (reader.number, part.mark.rows());
        if there < wanted {
            let text = format!("not finished: {there} of {wanted} rows");
            return Err(no_part(&part.path, &text));
        }
        reader.expect_end()?;
    }
    rows.flush().and_then(|()| state.flush()).map_err(io)?;
    drop((rows, state));
    rows_file.persist(out).map_err(|error| io(error.error))?;
    let state_at = state_path(out);
    state_file
        .persist(state_at)
        .map_err(|error| io(error.error))?;
    Ok(())
}

fn beside(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".part-");
    // a temporary file is private by default; rows are for reading
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(std::fs::Permissions::from_mode(0o644));
    }
    builder.tempfile_in(folder)
}

fn no_part(path: &Path, why: &str) -> Failure {
    Failure::call(
        "these are not all parts of one sweep",
        format!("{}: {why}", path.display()),
        "every part I/N of one sweep once, finished, its .state beside it",
        "run the missing or unfinished part with --shard I/N",
    )
}
