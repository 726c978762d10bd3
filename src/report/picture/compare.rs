//! What the pictures of a comparison share: sides, their names and looks.
use super::canvas::{Canvas, Label, text_width};
use super::lid::lid_many;
use super::palette::*;
use super::{PictureError, PictureOptions, sheet};
use crate::judgement::RunResult;
use crate::report::{letter, short_name};
use crate::simulation::Sample;

/// One scenario of a comparison as a picture needs it.
#[derive(Debug, Clone)]
pub struct Side<'a> {
    /// The letter that stands for it.
    pub(super) letter: String,
    /// Letter and name of its file.
    pub(super) label: String,
    pub(super) samples: &'a [Sample],
    pub(super) result: &'a RunResult,
}

impl<'a> Side<'a> {
    /// A side by its place in the comparison, its file, its trace and its result.
    pub fn new(index: usize, file: &str, samples: &'a [Sample], result: &'a RunResult) -> Self {
        let letter = letter(index);
        Self {
            label: format!("{letter} {}", short_name(file)),
            letter,
            samples,
            result,
        }
    }
}

/// The sides that a picture has room for: more lines than looks are none.
pub(super) fn drawn<'a, 'b>(sides: &'b [Side<'a>]) -> Result<&'b [Side<'a>], PictureError> {
    if sides.is_empty() || sides.iter().any(|side| side.samples.is_empty()) {
        return Err(PictureError::Empty { what: "a run" });
    }
    Ok(&sides[..sides.len().min(SERIES.len())])
}

/// How the lines of a side look.
pub(super) fn look(place: usize) -> Stroke {
    stroke(
        SERIES[place % SERIES.len()],
        2.4,
        SERIES_DASH[place % SERIES_DASH.len()],
    )
}

/// The title of a picture, and what is said of sides that had no room.
pub(super) fn title(sides: &[Side]) -> String {
    let shown = sides.len().min(SERIES.len());
    let names: Vec<&str> = sides[..shown].iter().map(|s| s.label.as_str()).collect();
    let more = match sides.len() - shown {
        0 => String::new(),
        more => format!(", and {more} more"),
    };
    names.join(", ") + &more
}

/// The procedures that were driven, once each.
pub(super) fn procedures(sides: &[Side]) -> String {
    let mut names: Vec<&str> = Vec::new();
    for side in sides {
        if !names.contains(&side.result.procedure.as_str()) {
            names.push(&side.result.procedure);
        }
    }
    names.join(" | ")
}

/// Starts a sheet for several sides.
pub(super) fn begin(
    sides: &[Side],
    size: (u32, u32),
    what: &str,
    options: &PictureOptions,
) -> Result<Canvas, PictureError> {
    let subtitle = format!("{what} · {}", procedures(sides));
    let data = sheet::data_of(sides.iter().map(|side| side.result));
    sheet::begin(options, size, &title(sides), data, &subtitle)
}

/// Names of the sides with a piece of their line each, from a height down; returns
/// the height below.
pub(super) fn key(canvas: &mut Canvas, sides: &[Side], left: f64, top: f64) -> f64 {
    let (mut x, mut y) = (left, top);
    for (place, side) in sides.iter().enumerate() {
        let label = sheet::shortened(&side.label, 15.0, true, 300.0);
        let width = 54.0 + text_width(&label, 15.0, true) + 26.0;
        if x > left && x + width > canvas.width - 24.0 {
            (x, y) = (left, y + 21.0);
        }
        let look = look(place);
        canvas.line(&[(x, y), (x + 46.0, y)], look);
        canvas.text(Label::new(label, (x + 54.0, y), 15.0, look.ink).bold());
        x += width;
    }
    y + 21.0
}

/// The lid with the paths of all sides.
///
/// # Errors
/// No run, an empty one, a size that cannot be drawn, or a failure of the plotting
/// library.
pub fn compared_lid(sides: &[Side], options: &PictureOptions) -> Result<Vec<u8>, PictureError> {
    let shown = drawn(sides)?;
    let runs: Vec<(&str, &[Sample], &RunResult)> = shown
        .iter()
        .map(|side| (side.label.as_str(), side.samples, side.result))
        .collect();
    let options = PictureOptions {
        title: options.title.clone().or_else(|| Some(title(sides))),
        ..options.clone()
    };
    lid_many(&runs, &options)
}
