//! The answer of `tables`: what is written, how it was proved, what more costs.
use super::Verdict;
use serde::{Deserialize, Serialize};

/// Command and feed-forward tables with their proof.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TablesResult {
    /// Program name.
    pub tool: String,
    /// Version of the program.
    pub version: String,
    /// Title of the scenario.
    pub scenario: String,
    /// What the scenario says of its data.
    pub data: String,
    /// Rows of both tables \[rpm\].
    pub engine_speeds_rpm: Vec<f64>,
    /// Columns of both tables \[mg per injection\].
    pub fuels_mg: Vec<f64>,
    /// The boost command, a row for each engine speed.
    pub command_kpa_abs: Vec<Vec<f64>>,
    /// The feed-forward vane position, a row for each engine speed \[% closed\].
    pub vane_closed_pct: Vec<Vec<f64>>,
    /// What decides each command: a limit, `most_power`, `most_closed`, `part_load`,
    /// `open_vanes`, `beyond_full_load` or `no_window`.
    pub binding: Vec<Vec<String>>,
    /// Share of the scenario's full-load fuel that each row keeps.
    pub fuel_scale: Vec<f64>,
    /// Engine speeds of the full-load fuel table \[rpm\].
    pub full_load_engine_speeds_rpm: Vec<f64>,
    /// The full-load fuel that goes with the tables \[mg per injection\].
    pub full_load_mg: Vec<f64>,
    /// The full-load window of each row.
    pub full_load: Vec<FullLoadRow>,
    /// The places and days that the tables are made for.
    pub places: Vec<TablesPlace>,
    /// What is kept from each limit.
    pub reserve: Vec<LimitReserve>,
    /// Highest reading of the boost sensor \[kPa abs\].
    pub readable_ceiling_kpa_abs: f64,
    /// The tables driven in the scenario.
    pub proof: TablesProof,
    /// Power against shaft speed as the command rises, for each row and place.
    pub gain: Vec<GainCurve>,
    /// Index into `gain` of the row that turns the shaft fastest.
    pub critical_gain: Option<usize>,
}

/// A place and a day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct TablesPlace {
    pub altitude_m: Option<f64>,
    pub ambient_kpa_abs: f64,
    pub ambient_k: f64,
    /// What the barometric correction takes off the table there \[kPa\].
    pub taken_off_kpa: f64,
}

/// What is kept from one limit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct LimitReserve {
    pub limit: String,
    pub unit: String,
    /// As the scenario states it.
    pub stated: f64,
    /// The bound that the tables are held to.
    pub held_to: f64,
    /// Least headroom that is kept \[% of the limit from its natural zero\].
    pub reserve_pct: f64,
}

/// The window of the command at full load, in terms of the table.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct FullLoadRow {
    pub engine_speed_rpm: f64,
    /// Full-load fuel after the derate.
    pub fuel_mg: f64,
    pub floor_kpa_abs: Option<f64>,
    pub ceiling_kpa_abs: Option<f64>,
    pub command_kpa_abs: Option<f64>,
    /// Index of the place that allows least.
    pub least_place: Option<usize>,
    /// The ceiling of each place by itself, in its own pressure; null where it has none.
    pub place_ceiling_kpa_abs: Vec<Option<f64>>,
    pub binding: String,
}

/// The tables driven in the scenario.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TablesProof {
    /// Whether every run held every limit with its reserve.
    pub verdict: Verdict,
    /// Whether every run held the limits as stated, without reserve.
    pub limits_held: bool,
    /// How often cells were changed and the proof driven again.
    pub repairs: usize,
    /// What was changed, in words.
    pub changes: Vec<String>,
    /// Every run of the last round.
    pub runs: Vec<ProofRun>,
}

/// One run of the proof.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct ProofRun {
    /// `pull`, `load step` or `shift`.
    pub procedure: String,
    /// The speed that it ends at.
    pub engine_speed_rpm: f64,
    pub altitude_m: Option<f64>,
    pub ambient_kpa_abs: f64,
    pub ambient_k: f64,
    /// Corner of the stated sensor error.
    pub sensor_offset_kpa: f64,
    pub sensor_after_clamp_kpa: f64,
    pub verdict: Verdict,
    /// The limit that its reserve was first taken from; null where none was.
    pub first_broken: Option<String>,
    /// Where that happened.
    pub broken_at_rpm: Option<f64>,
    pub broken_at_s: Option<f64>,
    /// Worst headroom of each limit as stated \[%\]; null where it never applied.
    pub worst: Vec<WorstHeadroom>,
}

/// The least headroom of one limit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct WorstHeadroom {
    pub limit: String,
    pub headroom_pct: Option<f64>,
}

/// Power against shaft speed at full load as the command rises.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct GainCurve {
    pub engine_speed_rpm: f64,
    pub altitude_m: Option<f64>,
    pub ambient_kpa_abs: f64,
    pub ambient_k: f64,
    /// Whether this is the place that allows least at this speed.
    pub least: bool,
    pub points: Vec<GainPoint>,
    pub knee: Option<Knee>,
    /// The command of the table at this place \[kPa abs\].
    pub chosen_kpa_abs: Option<f64>,
}

/// One equilibrium on the way from the floor to the ceiling.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct GainPoint {
    pub command_kpa_abs: f64,
    pub vane_closed_pct: f64,
    pub shaft_speed_rpm: f64,
    pub power_kw: f64,
    pub drive_pressure_kpa_abs: f64,
    /// Power gained for each further 1000 rpm since the point before; null at the first.
    pub slope_kw_per_krpm: Option<f64>,
}

/// Where more shaft speed stops paying.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct Knee {
    pub command_kpa_abs: f64,
    pub shaft_speed_rpm: f64,
    pub power_kw: f64,
    /// The best slope on the way up.
    pub best_slope_kw_per_krpm: f64,
    /// Beyond the knee every slope is below this.
    pub least_slope_kw_per_krpm: f64,
}
