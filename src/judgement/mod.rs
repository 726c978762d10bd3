//! Samples against limits: worst values, time exceeded, headroom, verdict.
mod assess;
mod band;
mod judge;
mod limit;
mod result;
mod road;
mod surge_watch;
mod tables;
pub use assess::{JudgedTrace, TOOL, Titles, assess, steady_block};
pub use band::{BandBasis, LimitBand, RunBand, UncertainNumber, WorstDraw};
pub use judge::{Bench, Judge};
pub use limit::{Limit, LimitKind, RATIO_ABOVE_KPA_GAUGE, drive_to_boost_gauge};
pub use result::*;
pub use road::{RoadResult, RoadWork};
pub use tables::*;
