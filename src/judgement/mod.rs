//! Samples against limits: worst values, time exceeded, headroom, verdict.
mod assess;
mod band;
mod baseline;
mod channel;
mod compare;
mod events;
mod expect;
mod judge;
mod limit;
mod result;
mod road;
mod surge_watch;
mod sweep;
mod tables;
mod tolerance;
pub use assess::{JudgedTrace, SingleRun, TOOL, Titles, assess, steady_block};
pub use band::{BandBasis, LimitBand, RunBand, UncertainNumber, WorstDraw};
pub use baseline::{
    BASELINE_CHANNELS, Baseline, BaselineRow, Difference as BaselineDifference, Distance,
    Divergence, TIME_DECIMALS, Tolerance,
};
pub use channel::Channel;
pub use compare::{
    BOOST_REACHED_SHARE, Candidate, Compared, Comparison, Difference, DifferenceKind,
    HEADROOM_CLOSE_PCT, HEADROOM_USED_SHARE, Matters, PEAKS, boost_target_kpa_abs, limit,
    limit_names, time_to_boost_s,
};
pub use events::{Event, EventKind, Machine, events};
pub use expect::*;
pub use judge::{Bench, Judge};
pub use limit::{Limit, LimitKind, RATIO_ABOVE_KPA_GAUGE, drive_to_boost_gauge};
pub use result::*;
pub use road::{RoadResult, RoadWork};
pub use sweep::*;
pub use tables::*;
pub use tolerance::*;
