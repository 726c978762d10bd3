//! The picture of a parameter sweep.
use super::sweep_data::SweepChart;
use super::{PictureError, PictureOptions, render, sheet};

const SIZE_PX: (u32, u32) = (1000, 700);

/// Headroom over what a sweep varies: lines over one thing, contours over two.
///
/// # Errors
/// A sweep without cases or axes, a size that cannot be drawn, or a failure of
/// the plotting library.
pub fn sweep_chart(chart: &SweepChart, options: &PictureOptions) -> Result<Vec<u8>, PictureError> {
    let canvas = sheet::begin(options, SIZE_PX, &chart.title, &chart.data, "")?;
    render::render(&canvas, options.format)
}
