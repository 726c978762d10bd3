//! What went wrong, for people and for programs.
use serde::Serialize;

use super::exit::Status;
use crate::report::FolderError;
use crate::scenario::{Diagnostic, Diagnostics};

/// What standard output is called.
pub const STANDARD_OUTPUT: &str = "standard output";

/// Why a command could not do its work.
#[derive(Debug)]
pub enum Failure {
    /// A scenario is wrong.
    Input(Diagnostics),
    /// The parts of a checked scenario do not fit each other.
    Build {
        /// The scenario as the user named it.
        file: String,
        /// What does not fit.
        message: String,
    },
    /// The arguments could not be parsed; the text says all.
    Usage {
        /// What the parser said.
        message: String,
    },
    /// The call is wrong.
    Call(Box<Call>),
    /// Files could not be written after the work.
    Folder(FolderError),
    /// A run could not start or a picture could not be drawn.
    Computation {
        /// The scenario as the user named it.
        file: String,
        /// What failed.
        message: String,
    },
    /// Rows could not be written while the work was going on.
    Rows {
        /// Where they went.
        place: String,
        /// What the operating system said.
        error: std::io::Error,
        /// What is kept of them, one sentence without a full stop.
        kept: String,
    },
    /// The screen did not take the output.
    Screen(std::io::Error),
}

/// What is wrong with a call.
#[derive(Debug, Clone, Serialize)]
pub struct Call {
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// What was read.
    pub read: String,
    /// What is allowed.
    pub allowed: String,
    /// What to do.
    pub hint: String,
}

/// The one JSON document of a failed call.
#[derive(Debug, Serialize)]
pub struct ErrorDocument<'a> {
    error: ErrorBody<'a>,
}

#[derive(Debug, Serialize)]
struct ErrorBody<'a> {
    kind: &'static str,
    message: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    read: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    allowed: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hint: Option<&'a str>,
    diagnostics: &'a [Diagnostic],
    not_shown: usize,
}

impl Failure {
    /// A wrong call.
    pub fn call(
        message: impl Into<String>,
        read: impl Into<String>,
        allowed: impl Into<String>,
        hint: impl Into<String>,
    ) -> Self {
        Self::Call(Box::new(Call {
            message: message.into(),
            read: read.into(),
            allowed: allowed.into(),
            hint: hint.into(),
        }))
    }

    /// The exit status that belongs to it.
    pub fn status(&self) -> Status {
        match self {
            Self::Computation { .. } | Self::Rows { .. } => Status::Failed,
            _ => Status::Wrong,
        }
    }

    /// Whether standard output itself is what failed.
    pub fn is_of_the_screen(&self) -> bool {
        match self {
            Self::Screen(_) => true,
            Self::Rows { place, .. } => place == STANDARD_OUTPUT,
            _ => false,
        }
    }

    /// For people.
    pub fn render(&self, colour: bool) -> String {
        match self {
            Self::Input(diagnostics) => diagnostics.render(colour),
            Self::Usage { message } => format!("{message}\n"),
            Self::Call(call) => format!(
                "{}: {}\n  read:    {}\n  allowed: {}\n  hint:    {}\n",
                word(colour),
                call.message,
                call.read,
                call.allowed,
                call.hint
            ),
            _ => format!("{}: {}\n", word(colour), self.message()),
        }
    }

    /// For programs.
    pub fn document(&self) -> ErrorDocument<'_> {
        let (kind, file) = match self {
            Self::Input(_) => ("input", None),
            Self::Build { file, .. } => ("input", Some(file.as_str())),
            Self::Usage { .. } | Self::Call(_) => ("call", None),
            Self::Rows { place, .. } => ("output", Some(place.as_str())),
            Self::Folder(_) | Self::Screen(_) => ("output", None),
            Self::Computation { file, .. } => ("computation", Some(file.as_str())),
        };
        let call = match self {
            Self::Call(call) => Some(call),
            _ => None,
        };
        let (diagnostics, not_shown) = match self {
            Self::Input(d) => (d.diagnostics.as_slice(), d.not_shown),
            _ => (&[][..], 0),
        };
        ErrorDocument {
            error: ErrorBody {
                kind,
                message: self.message(),
                file,
                read: call.map(|call| call.read.as_str()),
                allowed: call.map(|call| call.allowed.as_str()),
                hint: call.map(|call| call.hint.as_str()),
                diagnostics,
                not_shown,
            },
        }
    }

    /// One sentence or two, without a full stop.
    pub fn message(&self) -> String {
        match self {
            Self::Input(diagnostics) => match diagnostics.diagnostics.first() {
                Some(first) if diagnostics.diagnostics.len() + diagnostics.not_shown == 1 => {
                    first.message.clone()
                }
                _ => format!(
                    "{} errors in the input",
                    diagnostics.diagnostics.len() + diagnostics.not_shown
                ),
            },
            Self::Build { file, message } | Self::Computation { file, message } => {
                format!("{file}: {message}")
            }
            Self::Usage { message } => message.clone(),
            Self::Call(call) => call.message.clone(),
            Self::Folder(error) => error.to_string(),
            Self::Rows { place, error, kept } => {
                format!("{place}: the rows could not be written: {error}; {kept}")
            }
            Self::Screen(error) => format!("the output could not be written: {error}"),
        }
    }
}

fn word(colour: bool) -> &'static str {
    if colour {
        "\u{1b}[1;31merror\u{1b}[0m"
    } else {
        "error"
    }
}

impl From<Diagnostics> for Failure {
    fn from(diagnostics: Diagnostics) -> Self {
        Self::Input(diagnostics)
    }
}

impl From<FolderError> for Failure {
    fn from(error: FolderError) -> Self {
        Self::Folder(error)
    }
}
