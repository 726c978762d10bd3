//! Pictures of results. White ground, colours that colour-blind readers tell
//! apart, dashes and labels that do without colour.
mod axis;
mod bars;
mod baseline;
mod canvas;
mod ceiling;
mod compare;
mod compare_ladder;
mod compare_strips;
mod compressor_map;
mod crowd;
mod gain;
mod handover;
mod handover_grid;
mod hatch;
mod ladder;
mod lid;
mod lid_limits;
mod map_marks;
mod map_path;
mod palette;
mod render;
mod road;
mod sheet;
mod strips;
mod sweep;
mod sweep_axis;
mod sweep_data;
mod sweep_field;
mod sweep_grid;
mod sweep_legend;
mod sweep_lines;
mod sweep_tiles;
mod tables;
mod tolerance;
mod track;
mod turbine_map;

pub use baseline::{BaselinePicture, baseline_strips};
pub use ceiling::ceiling_chart;
pub use compare::{Side, compared_lid};
pub use compare_ladder::compared_ladder;
pub use compare_strips::compared_strips;
pub use compressor_map::compressor_map;
pub use gain::gain_chart;
pub use handover::handover_chart;
pub use ladder::headroom_ladder;
pub use lid::{lid, lid_many};
pub use map_path::map_path;
pub use road::road_chart;
pub use strips::time_strips;
pub use sweep::sweep_chart;
pub use sweep_data::{SweepAxis, SweepCase, SweepChart, SweepLimit, SweepValues, SweepVerdict};
pub use tables::{command_lines, vane_lines};
pub use tolerance::tolerance_chart;
pub use turbine_map::turbine_map;

use super::units::Units;

/// File format of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PictureFormat {
    /// Scalable; the default.
    #[default]
    Svg,
    /// Pixels at twice the stated size.
    Png,
}

impl PictureFormat {
    /// The ending of a file name, without the dot.
    pub fn extension(self) -> &'static str {
        match self {
            PictureFormat::Svg => "svg",
            PictureFormat::Png => "png",
        }
    }
}

/// How a picture is to look.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PictureOptions {
    /// File format.
    pub format: PictureFormat,
    /// Units of axes and labels.
    pub units: Units,
    /// Width and height \[px\]; where absent each picture takes its own,
    /// 1000 × 700 for most.
    pub size_px: Option<(u32, u32)>,
    /// Title; where absent the scenario's.
    pub title: Option<String>,
}

/// Why a picture could not be drawn.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// The embedded font could not be used.
    #[error("the embedded font cannot be read")]
    Font,
    /// Nothing to draw.
    #[error("nothing to draw: {what} is empty")]
    Empty {
        /// What holds nothing.
        what: &'static str,
    },
    /// Parts that do not belong together.
    #[error("cannot be drawn: {what}")]
    Mismatch {
        /// What does not fit.
        what: &'static str,
    },
    /// A size too small to be legible or too large to be drawn.
    #[error(
        "a picture of {width} × {height} px cannot be drawn: allowed is {least} × {least} to {most} × {most}"
    )]
    Size {
        /// Width asked for \[px\].
        width: u32,
        /// Height asked for \[px\].
        height: u32,
        /// Least width and height \[px\].
        least: u32,
        /// Greatest width and height \[px\].
        most: u32,
    },
    /// The plotting library failed.
    #[error("drawing failed: {reason}")]
    Drawing {
        /// What it said.
        reason: String,
    },
}
