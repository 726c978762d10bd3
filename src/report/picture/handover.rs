//! Which limit holds the ceiling down where: regions of engine speed and
//! altitude, and the borders at which one limit hands over to another.
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::CeilingResult;

const SIZE_PX: (u32, u32) = (1000, 700);

/// The limit that binds at each cell of a ceiling, over engine speed and altitude.
///
/// # Errors
/// A result without cells, a size that cannot be drawn, or a failure of the
/// plotting library.
pub fn handover_chart(
    result: &CeilingResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    let canvas = sheet::begin(options, SIZE_PX, &result.scenario, &result.data, "")?;
    render::render(&canvas, options.format)
}
