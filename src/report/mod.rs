//! Tables, text and pictures of results. This room reads results and nothing
//! else: it computes no physics, prints nothing, and touches the file system
//! only in [`ReportFolder`].
mod advice;
mod baseline_words;
pub(crate) mod body;
mod cautions;
mod comparison_csv;
mod course;
mod folder;
mod groups;
pub mod names;
pub mod page;
pub mod picture;
mod shell;
mod sweep_rows;
pub(crate) mod table;
mod tables_csv;
mod text_band;
mod text_ceiling;
mod text_check;
mod text_compare;
mod text_compare_words;
mod text_road;
mod text_run;
mod text_surge;
mod text_sweep;
mod text_tables;
mod text_tables_parts;
mod text_tolerance;
mod text_verify;
mod tolerance_advice;
mod trace_csv;
pub(crate) mod units;

pub use advice::COMMAND_MARGIN_KPA;
pub use baseline_words::baseline_line;
pub use body::Body;
pub use cautions::{CAUTIONS, PICTURE_CAPTION, cautions_text};
pub use comparison_csv::{COMPARISON_COLUMNS, comparison_csv};
pub use course::{Moment, Weight, course};
pub use folder::{FolderError, ReportFolder};
pub use page::{Page, Pictures, Sources};
pub use picture::{
    BaselinePicture, PictureError, PictureFormat, PictureOptions, Side, SweepAxis, SweepCase,
    SweepChart, SweepLimit, SweepValues, SweepVerdict, baseline_strips, ceiling_chart,
    command_lines, compared_ladder, compared_lid, compared_strips, compressor_map, gain_chart,
    handover_chart, headroom_ladder, lid, lid_many, map_path, road_chart, sweep_chart, time_strips,
    tolerance_chart, turbine_map, vane_lines,
};
pub use sweep_rows::{
    RowFormat, fixed_columns, read_sweep_line, sweep_columns, sweep_header, sweep_line,
};
pub use tables_csv::{command_csv, gain_csv, proof_csv, vanes_csv};
pub use text_ceiling::ceiling_text;
pub use text_check::{channel_label, check_text, named_text};
pub use text_compare::{compare_text, letter, short_name};
pub use text_run::run_text;
pub use text_sweep::{SMALL_SWEEP, lines, sweep_text};
pub use text_tables::tables_text;
pub use text_tolerance::tolerance_text;
pub use text_verify::{CaseCount, CaseLine, verify_text};
pub use trace_csv::{TRACE_COLUMNS, trace_csv};
pub use units::Units;
