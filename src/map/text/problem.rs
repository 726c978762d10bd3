//! What is wrong with a map file, and where.

use std::fmt;

/// One thing that is wrong with a map; all of them are reported at once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MapProblem {
    /// Line of the text, from 1; 0 where the data did not come from a text.
    pub line: usize,
    /// Column of the table, from 1, where one is to blame.
    pub column: Option<usize>,
    /// Header key or table column concerned.
    pub field: String,
    /// What was read.
    pub read: String,
    /// What is allowed.
    pub allowed: String,
    /// What to do about it.
    pub hint: String,
}

/// Shorthand for a problem.
pub(in crate::map) fn problem(
    line: usize,
    column: Option<usize>,
    field: &str,
    read: String,
    allowed: String,
    hint: &str,
) -> MapProblem {
    MapProblem {
        line,
        column,
        field: field.to_owned(),
        read,
        allowed,
        hint: hint.to_owned(),
    }
}

impl fmt::Display for MapProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}", self.line)?;
        if let Some(column) = self.column {
            write!(f, ", column {column}")?;
        }
        write!(
            f,
            ": {}: read {}, allowed {} ({})",
            self.field, self.read, self.allowed, self.hint
        )
    }
}

impl std::error::Error for MapProblem {}
