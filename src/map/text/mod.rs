//! What the text forms of all maps share: header lines, a table with units in
//! its column names, and how faults are told.
pub(super) mod figures;
pub(super) mod header;
pub(super) mod problem;
pub(super) mod table;
pub(super) mod write;

pub use header::{DataOrigin, MapHeader};
pub use problem::MapProblem;

pub(super) use problem::problem;

/// Which machine a map describes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MapKind {
    /// Speed lines of a compressor.
    Compressor,
    /// Vane positions of a turbine.
    Turbine,
}

impl MapKind {
    /// The kind of a map text, told by the names of its columns; `None` where
    /// there is no row of column names.
    pub fn of(text: &str) -> Option<Self> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let names = text
            .lines()
            .find(|line| !line.trim().is_empty() && !line.starts_with('#'))?;
        let of_turbine = names.contains("vane") || names.contains("expansion");
        Some(if of_turbine {
            Self::Turbine
        } else {
            Self::Compressor
        })
    }

    /// The word for people and programs.
    pub fn word(self) -> &'static str {
        match self {
            Self::Compressor => "compressor",
            Self::Turbine => "turbine",
        }
    }
}
