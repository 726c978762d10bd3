//! The only place that writes to the terminal.
use std::io::{self, ErrorKind, IsTerminal as _, Write};

use anstream::{AutoStream, ColorChoice};
use serde::Serialize;

use super::args::Common;
use super::failure::Failure;

/// Text is never set wider than this, however wide the terminal.
const WIDEST: usize = 100;
/// Nor narrower: tables would lose what they are for.
const NARROWEST: usize = 60;
/// Where nothing tells the width.
const USUAL: usize = 80;

/// Standard output and standard error, as this call wants them.
#[derive(Debug, Clone, Copy)]
pub struct Screen {
    /// Whether the only output is one JSON document.
    pub json: bool,
    /// Whether text is unwanted.
    pub quiet: bool,
    /// Width for text \[characters\].
    pub width: usize,
    colour: bool,
    colour_errors: bool,
}

impl Screen {
    /// Looks at the terminal and the common flags.
    pub fn new(common: &Common) -> Self {
        let allowed = !common.no_colour;
        Self {
            json: common.json,
            quiet: common.quiet,
            width: width(),
            colour: allowed && AutoStream::choice(&io::stdout()) != ColorChoice::Never,
            colour_errors: allowed && AutoStream::choice(&io::stderr()) != ColorChoice::Never,
        }
    }

    /// For a call whose flags are not known but for `--json`.
    pub fn json_only() -> Self {
        Self {
            json: true,
            quiet: false,
            width: USUAL,
            colour: false,
            colour_errors: false,
        }
    }

    /// Whether text on standard output may have colour.
    pub fn colour(&self) -> bool {
        self.colour
    }

    /// Whether a progress bar is of use to anybody.
    pub fn shows_progress(&self) -> bool {
        !self.quiet && io::stderr().is_terminal()
    }

    /// Writes text, unless JSON or silence is wanted.
    pub fn text(&self, text: &str) -> Result<(), Failure> {
        if self.json || self.quiet {
            return Ok(());
        }
        self.always(text)
    }

    /// Writes what the call is for, whatever the flags.
    pub fn always(&self, text: &str) -> Result<(), Failure> {
        let choice = if self.colour {
            ColorChoice::AlwaysAnsi
        } else {
            ColorChoice::Never
        };
        let mut out = AutoStream::new(io::stdout(), choice).lock();
        pipe_may_close(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
            .map_err(Failure::Screen)
    }

    /// Writes one JSON document.
    pub fn document(&self, document: &impl Serialize) -> Result<(), Failure> {
        let mut text = serde_json::to_string_pretty(document)
            .map_err(|error| Failure::Screen(io::Error::other(error)))?;
        text.push('\n');
        let mut out = io::stdout().lock();
        pipe_may_close(out.write_all(text.as_bytes()).and_then(|()| out.flush()))
            .map_err(Failure::Screen)
    }

    /// Says what went wrong: as the JSON document, or on standard error.
    pub fn failure(&self, failure: &Failure) {
        if self.json && !failure.is_of_the_screen() {
            // nowhere is left to tell that this failed as well
            let _ = self.document(&failure.document());
        } else {
            self.complain(&failure.render(self.colour_errors));
        }
    }

    /// Writes to standard error.
    pub fn complain(&self, text: &str) {
        let choice = if self.colour_errors {
            ColorChoice::AlwaysAnsi
        } else {
            ColorChoice::Never
        };
        let mut out = AutoStream::new(io::stderr(), choice).lock();
        // nowhere is left to tell that this failed
        let _ = out.write_all(text.as_bytes());
    }
}

/// The reader may have seen enough: `ringfence run … | head` is no error.
fn pipe_may_close(result: io::Result<()>) -> io::Result<()> {
    match result {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

fn width() -> usize {
    let terminal = terminal_size::terminal_size_of(io::stdout()).map(|(width, _)| width.0.into());
    let told = || std::env::var("COLUMNS").ok()?.trim().parse().ok();
    terminal
        .or_else(told)
        .unwrap_or(USUAL)
        .clamp(NARROWEST, WIDEST)
}
