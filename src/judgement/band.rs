//! What the stated uncertainty does to an answer, field by field as the JSON
//! output has it.
use super::result::Peaks;
use serde::{Deserialize, Serialize};

/// What a band rests on.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct BandBasis {
    /// How many scenarios were drawn.
    pub draws: u32,
    /// Seed of the draws.
    pub seed: u32,
    /// The numbers that were drawn.
    pub uncertain: Vec<UncertainNumber>,
}

/// One uncertain number.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct UncertainNumber {
    /// Its dotted path in the scenario.
    pub path: String,
    /// Half-width of its range, relative \[%\].
    pub spread_pct: f64,
    /// `normal` (the spread is two standard deviations) or `uniform`.
    pub shape: String,
}

/// The band of a run. Low and high are the 2.5 % and 97.5 % quantiles over the
/// draws, each quantity for itself.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct RunBand {
    /// What it rests on.
    #[serde(flatten)]
    pub basis: BandBasis,
    /// Share of the draws that exceeded a limit \[%\].
    pub exceeding_pct: f64,
    /// Share of the draws that left the model's validity before any limit was
    /// exceeded, or had no equilibrium to start from \[%\].
    pub outside_validity_pct: f64,
    /// Low end of each peak.
    pub peaks_low: Peaks,
    /// High end of each peak.
    pub peaks_high: Peaks,
    /// Each limit, in the order of the run's limits.
    pub limits: Vec<LimitBand>,
    /// The draw that came closest to a limit or went furthest past one.
    pub worst_draw: Option<WorstDraw>,
}

/// The band of one limit.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct LimitBand {
    /// Name of the limit.
    pub name: String,
    /// Unit of all but the share.
    pub unit: String,
    /// Worst value with the figures as stated.
    pub nominal_worst: Option<f64>,
    /// Low end of the worst value.
    pub worst_low: Option<f64>,
    /// High end of the worst value.
    pub worst_high: Option<f64>,
    /// Low end of the headroom.
    pub headroom_low: Option<f64>,
    /// High end of the headroom.
    pub headroom_high: Option<f64>,
    /// Share of the draws that exceeded the limit \[%\].
    pub exceeding_pct: f64,
}

/// A draw that a reader may want to see.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct WorstDraw {
    /// Its number, from 0.
    pub index: u32,
    /// The limit that it came closest to or went furthest past.
    pub limit: String,
    /// Overrides that replay it with `run`.
    pub replay: Vec<String>,
}
