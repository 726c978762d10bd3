//! Map files by themselves, without a scenario around them.

use std::path::Path;

use super::check::map_diagnostics;
use super::diagnostic::{Diagnostics, MOST};
use super::guard;
use super::source::{Disk, FileSource as _, shown};
use crate::map::{MapKind, MapProblem, RawSpeedLines, TurbineMapData};

/// A map that could be read.
#[derive(Debug, Clone, PartialEq)]
pub enum MapFile {
    /// Speed lines of any shape.
    Compressor(RawSpeedLines),
    /// Vane positions.
    Turbine(TurbineMapData),
}

/// Reads a map file from disk; which machine it describes is told by its columns.
pub fn read_map(path: &Path) -> Result<MapFile, Diagnostics> {
    let name = shown(path);
    let bytes = Disk.read(path, guard::LARGEST).map_err(|failure| {
        let [message, read, allowed, hint] = guard::failure_words(&failure);
        guard::whole_file(&name, &message, &read, &allowed, &hint)
    })?;
    let text = guard::plain(&name, &bytes)?;
    let refused = |kind: MapKind, problems: Vec<MapProblem>| {
        let mut diagnostics = map_diagnostics(kind.word(), &name, &text, problems);
        let not_shown = diagnostics.len().saturating_sub(MOST);
        diagnostics.truncate(MOST);
        Diagnostics {
            diagnostics,
            not_shown,
        }
    };
    match MapKind::of(&text).unwrap_or(MapKind::Compressor) {
        kind @ MapKind::Compressor => RawSpeedLines::parse(&text)
            .map(MapFile::Compressor)
            .map_err(|problems| refused(kind, problems)),
        kind @ MapKind::Turbine => TurbineMapData::parse(&text)
            .map(MapFile::Turbine)
            .map_err(|problems| refused(kind, problems)),
    }
}
