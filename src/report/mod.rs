//! Tables, text and pictures of results. This room reads results and nothing
//! else: it computes no physics, prints nothing, and touches the file system
//! only in [`ReportFolder`].
mod advice;
mod cautions;
mod folder;
mod groups;
pub mod names;
pub mod picture;
pub(crate) mod table;
mod text_band;
mod text_ceiling;
mod text_road;
mod text_run;
mod text_surge;
mod text_tolerance;
mod tolerance_advice;
mod trace_csv;
pub(crate) mod units;

pub use advice::COMMAND_MARGIN_KPA;
pub use cautions::{CAUTIONS, PICTURE_CAPTION, cautions_text};
pub use folder::{FolderError, ReportFolder};
pub use picture::{
    PictureError, PictureFormat, PictureOptions, ceiling_chart, compressor_map, headroom_ladder,
    lid, lid_many, map_path, road_chart, time_strips, tolerance_chart, turbine_map,
};
pub use text_ceiling::ceiling_text;
pub use text_run::run_text;
pub use text_tolerance::tolerance_text;
pub use trace_csv::{TRACE_COLUMNS, trace_csv};
pub use units::Units;
