//! A file of rows that grows while the sweep goes on, and a state beside it.
//!
//! The first line of the state tells which sweep it is; then each row has its check
//! sum. Rows are on disk before their sums are: what has a sum is good, what has none
//! is done again.
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, BufRead, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use super::mark::Mark;
use crate::cli::failure::Failure;
use crate::report::sweep_header;

/// Rows wait in memory no longer than this.
const LONGEST_WAIT: Duration = Duration::from_secs(1);
/// Nor more of them than this \[bytes\].
const MOST_WAITING: usize = 1 << 20;
/// No row is longer \[bytes\].
const LONGEST_LINE: u64 = 1 << 20;
/// A check sum in the state: eight digits and the end of the line.
const SUM_BYTES: u64 = 9;

/// The state beside a file of rows.
pub fn state_path(rows: &Path) -> PathBuf {
    let mut name = rows.as_os_str().to_owned();
    name.push(".state");
    PathBuf::from(name)
}

/// A file of rows, locked for this process.
pub struct Store {
    path: PathBuf,
    rows: File,
    state: File,
    waiting: Vec<u8>,
    sums: Vec<u8>,
    /// Rows with a sum.
    safe: u64,
    safe_bytes: u64,
    waiting_rows: u64,
    last: Instant,
}

impl Store {
    /// Opens a new file, or one of the same sweep to go on with. Each row that is
    /// there already goes to `seen`, which tells whether it can be read.
    pub fn open(
        path: &Path,
        mark: &Mark,
        mut seen: impl FnMut(u64, &str) -> bool,
    ) -> Result<Self, Failure> {
        let state_at = state_path(path);
        let io = |error| cannot_open(path, &error);
        if path.exists() && !state_at.exists() {
            return Err(foreign(path, "its .state is not beside it"));
        }
        let state = open(&state_at).map_err(io)?;
        lock(&state, path)?;
        begin_state(&state, mark, path)?;
        let rows = open(path).map_err(io)?;
        let mut reader = Reader::new(path, &rows, &state, mark)?;
        while let Some(line) = reader.next_row()? {
            if !seen(reader.number - 1, &line) {
                return Err(damaged(path, reader.line));
            }
        }
        let (safe, mut safe_bytes) = (reader.number, reader.good_bytes);
        if safe == mark.rows() {
            reader.expect_end()?;
        }
        if safe_bytes == 0
            && let Some(header) = header(mark)
        {
            rows.set_len(0).map_err(io)?;
            (&rows).seek(SeekFrom::Start(0)).map_err(io)?;
            (&rows).write_all(header.as_bytes()).map_err(io)?;
            safe_bytes = header.len() as u64;
        }
        cut(&rows, safe_bytes).map_err(io)?;
        cut(&state, mark.line().len() as u64 + 1 + safe * SUM_BYTES).map_err(io)?;
        Ok(Self {
            path: path.to_owned(),
            rows,
            state,
            waiting: Vec::new(),
            sums: Vec::new(),
            safe,
            safe_bytes,
            waiting_rows: 0,
            last: Instant::now(),
        })
    }

    /// How many rows are there.
    pub fn rows(&self) -> u64 {
        self.safe + self.waiting_rows
    }

    /// Adds a row.
    pub fn append(&mut self, line: &str) -> Result<(), Failure> {
        self.waiting.extend_from_slice(line.as_bytes());
        self.waiting.push(b'\n');
        self.sums
            .extend_from_slice(format!("{:08x}\n", sum(line)).as_bytes());
        self.waiting_rows += 1;
        if self.waiting.len() >= MOST_WAITING {
            return self.keep();
        }
        self.keep_sometimes()
    }

    /// Brings rows to disk if they have waited long enough.
    pub fn keep_sometimes(&mut self) -> Result<(), Failure> {
        if self.last.elapsed() >= LONGEST_WAIT {
            return self.keep();
        }
        Ok(())
    }

    /// Brings all rows to disk, then their sums.
    pub fn keep(&mut self) -> Result<(), Failure> {
        self.last = Instant::now();
        if self.waiting.is_empty() {
            return Ok(());
        }
        let written = self
            .rows
            .write_all(&self.waiting)
            .and_then(|()| self.rows.sync_data())
            .and_then(|()| self.state.write_all(&self.sums))
            .and_then(|()| self.state.sync_data());
        if let Err(error) = written {
            // what was half written has no sum; the next call would cut it off too
            let _ = self.rows.set_len(self.safe_bytes);
            return Err(Failure::Rows {
                place: self.path.display().to_string(),
                error,
                kept: format!(
                    "{} rows are kept; make room and run the same command again",
                    self.safe
                ),
            });
        }
        self.safe += self.waiting_rows;
        self.safe_bytes += self.waiting.len() as u64;
        self.waiting_rows = 0;
        self.waiting.clear();
        self.sums.clear();
        Ok(())
    }
}

/// Reads rows and compares each with its sum.
pub struct Reader<'a> {
    path: PathBuf,
    rows: BufReader<&'a File>,
    sums: BufReader<&'a File>,
    most: u64,
    /// Rows read so far.
    pub number: u64,
    line: u64,
    good_bytes: u64,
    /// Whether a row without an end was met.
    torn: bool,
}

impl<'a> Reader<'a> {
    /// At the first row; the first line of the state has been looked at.
    pub fn new(path: &Path, rows: &'a File, state: &'a File, mark: &Mark) -> Result<Self, Failure> {
        let io = |error| cannot_open(path, &error);
        let (mut at_rows, mut at_sums) = (rows, state);
        at_rows.seek(SeekFrom::Start(0)).map_err(io)?;
        let behind_mark = mark.line().len() as u64 + 1;
        at_sums.seek(SeekFrom::Start(behind_mark)).map_err(io)?;
        let mut reader = Self {
            path: path.to_owned(),
            rows: BufReader::new(rows),
            sums: BufReader::new(state),
            most: mark.rows(),
            number: 0,
            line: 0,
            good_bytes: 0,
            torn: false,
        };
        if let Some(header) = header(mark) {
            match reader.whole_line()? {
                Some(line) if format!("{line}\n") == header => {
                    reader.good_bytes = header.len() as u64;
                }
                Some(_) => return Err(damaged(path, 1)),
                // nothing, or the beginning of the header: begun and killed
                None => {}
            }
        }
        Ok(reader)
    }

    /// The next row that has its sum; none at the end of what is good.
    pub fn next_row(&mut self) -> Result<Option<String>, Failure> {
        if self.torn || self.number >= self.most {
            return Ok(None);
        }
        let mut sum_line = [0; SUM_BYTES as usize];
        if !filled(&mut self.sums, &mut sum_line).map_err(|e| cannot_open(&self.path, &e))? {
            return Ok(None);
        }
        let Some(line) = self.whole_line()? else {
            return Ok(None);
        };
        if sum_line != *format!("{:08x}\n", sum(&line)).as_bytes() {
            return Err(damaged(&self.path, self.line));
        }
        self.number += 1;
        self.good_bytes += line.len() as u64 + 1;
        Ok(Some(line))
    }

    /// Refuses anything behind the last row.
    pub fn expect_end(&mut self) -> Result<(), Failure> {
        let mut more = [0];
        match self.rows.read(&mut more) {
            Ok(0) => Ok(()),
            Ok(_) => Err(damaged(&self.path, self.line + 1)),
            Err(error) => Err(cannot_open(&self.path, &error)),
        }
    }

    /// A line that has its end, without it.
    fn whole_line(&mut self) -> Result<Option<String>, Failure> {
        let mut bytes = Vec::new();
        let mut some = (&mut self.rows).take(LONGEST_LINE);
        some.read_until(b'\n', &mut bytes)
            .map_err(|error| cannot_open(&self.path, &error))?;
        self.line += 1;
        if bytes.len() as u64 == LONGEST_LINE {
            return Err(damaged(&self.path, self.line));
        }
        if bytes.pop() != Some(b'\n') {
            self.torn = true;
            return Ok(None);
        }
        let text = String::from_utf8(bytes).map_err(|_| damaged(&self.path, self.line))?;
        Ok(Some(text))
    }
}

/// The mark at the head of a state, if it has one.
pub fn read_mark(mut state: &File) -> io::Result<Option<(String, Option<Mark>)>> {
    state.seek(SeekFrom::Start(0))?;
    let mut bytes = Vec::new();
    BufReader::new(state.take(LONGEST_LINE)).read_until(b'\n', &mut bytes)?;
    if bytes.pop() != Some(b'\n') {
        return Ok(None);
    }
    let line = String::from_utf8_lossy(&bytes).into_owned();
    let mark = Mark::read(&line);
    Ok(Some((line, mark)))
}

/// The first line of the rows, with its end.
pub fn header(mark: &Mark) -> Option<String> {
    let header = sweep_header(&mark.columns, mark.format()?)?;
    Some(format!("{header}\n"))
}

/// The check sum of a row.
pub fn sum(line: &str) -> u32 {
    crc32fast::hash(line.as_bytes())
}

/// Reads until the buffer is full; whether it was.
fn filled(from: &mut impl Read, buffer: &mut [u8]) -> io::Result<bool> {
    match from.read_exact(buffer) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == io::ErrorKind::UnexpectedEof => Ok(false),
        Err(error) => Err(error),
    }
}

fn open(path: &Path) -> io::Result<File> {
    OpenOptions::new()
        .read(true)
        .write(true)
        .create(true)
        .truncate(false)
        .open(path)
}

fn cut(mut file: &File, bytes: u64) -> io::Result<()> {
    if file.metadata()?.len() != bytes {
        file.set_len(bytes)?;
    }
    file.seek(SeekFrom::Start(bytes))?;
    Ok(())
}

fn lock(state: &File, path: &Path) -> Result<(), Failure> {
    match state.try_lock() {
        Ok(()) => Ok(()),
        Err(TryLockError::WouldBlock) => Err(busy(path)),
        Err(TryLockError::Error(error)) => Err(cannot_open(path, &error)),
    }
}

/// Someone else is writing.
pub fn busy(path: &Path) -> Failure {
    Failure::call(
        "another sweep is writing there at this moment",
        path.display().to_string(),
        "one sweep at a time for each output",
        "wait for it, or name another file with --out",
    )
}

/// Writes the mark into a new state, or compares it with the one that is there.
fn begin_state(mut state: &File, mark: &Mark, path: &Path) -> Result<(), Failure> {
    let io = |error| cannot_open(path, &error);
    let there = read_mark(state).map_err(io)?;
    let Some((_, there)) = there else {
        // new, or killed while the first line was written: then there are no rows yet
        if path.metadata().is_ok_and(|rows| rows.len() > 0) {
            return Err(foreign(path, "its .state is damaged"));
        }
        state.set_len(0).map_err(io)?;
        state.seek(SeekFrom::Start(0)).map_err(io)?;
        let line = format!("{}\n", mark.line());
        state.write_all(line.as_bytes()).map_err(io)?;
        return state.sync_data().map_err(io);
    };
    let there = there.ok_or_else(|| foreign(path, "its .state is damaged"))?;
    match mark.difference(&there) {
        None => Ok(()),
        Some(difference) => Err(foreign(path, &difference)),
    }
}

fn foreign(path: &Path, why: &str) -> Failure {
    Failure::call(
        "the output there is not from this sweep",
        format!("{}: {why}", path.display()),
        "a new file, or the rows of the very same sweep to go on with",
        "name another place with --out, or remove the rows and their .state",
    )
}

/// A row that is not as it was written.
pub fn damaged(path: &Path, line: u64) -> Failure {
    Failure::call(
        format!("line {line} is not as the sweep wrote it"),
        path.display().to_string(),
        "rows as they were written, with their .state beside them",
        "remove the rows and their .state, and run the sweep anew",
    )
}

/// A file that cannot be opened or read.
pub fn cannot_open(path: &Path, error: &io::Error) -> Failure {
    Failure::call(
        format!("the rows cannot be opened: {error}"),
        path.display().to_string(),
        "a file that you may read and write, in a folder that you may write to",
        "name another place with --out",
    )
}
