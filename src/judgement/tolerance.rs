//! What production spread does to a run, field by field as the JSON output has it.
use super::band::WorstDraw;
use super::result::Verdict;
use serde::{Deserialize, Serialize};

/// The answer of `tolerance`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ToleranceResult {
    /// Program name.
    pub tool: String,
    /// Version of the program.
    pub version: String,
    /// Title of the scenario.
    pub scenario: String,
    /// What the scenario says of its data.
    pub data: String,
    /// Name of the procedure.
    pub procedure: String,
    /// What is shown about any limit against the level.
    pub verdict: ToleranceVerdict,
    /// How many engines were drawn.
    pub draws: u32,
    /// Seed of the draws.
    pub seed: u32,
    /// Confidence of every interval \[%\].
    pub confidence_pct: f64,
    /// The level that the probability is to be kept below \[%\].
    pub keep_below_pct: f64,
    /// How the run ended with the figures as written; null where it could not start.
    pub stated: Option<Verdict>,
    /// The numbers that were drawn.
    pub varied: Vec<VariedNumber>,
    /// Draws that left the model's validity, or had no equilibrium to start from.
    pub outside_validity: u32,
    /// Draws whose values no scenario may hold.
    pub not_built: u32,
    /// Probability that any limit is exceeded.
    pub any_limit: Probability,
    /// Each limit, in the order of the run's limits.
    pub limits: Vec<LimitTolerance>,
    /// The command that keeps the probability below the level.
    pub command: CommandAdvice,
    /// The draw that went furthest past a limit or came closest to one.
    pub worst_draw: Option<WorstDraw>,
}

/// What the draws show about the probability that any limit is exceeded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ToleranceVerdict {
    /// The whole interval lies below the level.
    KeptBelow,
    /// The level lies inside the interval: more draws would decide.
    Undecided,
    /// The whole interval lies above the level.
    Above,
    /// It would be below, were it not for draws that the model cannot follow.
    OutsideValidity,
}

/// One number that was drawn.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct VariedNumber {
    /// Its dotted path.
    pub path: String,
    /// `production`, or `uncertainty` with `--with-uncertainty`.
    pub section: String,
    /// What is written there.
    pub written: String,
    /// Half-width of its range, as written.
    pub spread: String,
    /// `normal` (the spread is two standard deviations) or `uniform`.
    pub shape: String,
    /// Nothing further off is drawn; null where there is no such bound.
    pub within: Option<String>,
}

/// A probability known from draws.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Probability {
    /// Draws in which it happened.
    pub exceeding: u32,
    /// Draws that ended before it could be seen; they count in the high end only.
    pub unknown: u32,
    /// Share of the draws in which it happened \[%\].
    pub probability_pct: f64,
    /// Low end of the interval \[%\].
    pub low_pct: f64,
    /// High end of the interval \[%\].
    pub high_pct: f64,
}

/// One limit over the draws.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct LimitTolerance {
    /// Name of the limit.
    pub name: String,
    /// Unit of limit, worst values and headroom.
    pub unit: String,
    /// The limit.
    pub limit: f64,
    /// Whether it is a lower bound.
    pub lower: bool,
    /// Probability that it is exceeded.
    #[serde(flatten)]
    pub probability: Probability,
    /// Worst value with the figures as written.
    pub stated_worst: Option<f64>,
    /// Worst value of a typical engine: the median over the draws.
    pub worst_median: Option<f64>,
    /// Worst value that 95 % of the engines keep to.
    pub worst_95: Option<f64>,
    /// Headroom of a typical engine.
    pub headroom_median: Option<f64>,
    /// Headroom that 95 % of the engines have.
    pub headroom_95: Option<f64>,
    /// Share of the headroom's variance, in ranks, that the causes explain together
    /// \[%\]; null where the headroom did not vary or the draws are too few.
    pub explained_pct: Option<f64>,
    /// The causes, strongest first.
    pub causes: Vec<Cause>,
}

/// One cause of the spread of a headroom.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Cause {
    /// Dotted path of the number.
    pub path: String,
    /// `production` or `uncertainty`.
    pub section: String,
    /// Its share of the variance that is explained \[%\].
    pub share_pct: f64,
    /// Standardized rank regression coefficient of the headroom: negative where more
    /// of the number costs headroom.
    pub rank_coefficient: f64,
}

/// The highest command that keeps the probability below the level.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CommandAdvice {
    /// What the search ended with.
    pub outcome: CommandOutcome,
    /// Step of the search \[kPa\].
    pub step_kpa: f64,
    /// Fewest draws that can show the level at all, with no limit exceeded.
    pub draws_needed: u32,
    /// What the full-load command may be moved by at every engine speed \[kPa\].
    pub shift_kpa: Option<f64>,
    /// Highest full-load command over the engine speeds as written, with the
    /// barometric correction \[kPa abs\].
    pub stated_kpa_abs: Option<f64>,
    /// The same with the shift \[kPa abs\].
    pub command_kpa_abs: Option<f64>,
    /// Probability that any limit is exceeded there.
    pub any_limit: Option<Probability>,
    /// The limit that the first failing draw meets one step above; or
    /// `outside_validity`, or `not_built`.
    pub fails_above: Option<String>,
    /// Override that shows the advised command in a run.
    pub replay: Vec<String>,
}

/// How the search for a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CommandOutcome {
    /// It holds there, and fails one step above.
    Found,
    /// It still holds at the highest that was tried.
    HoldsThroughout,
    /// Not even the lowest that was tried holds.
    NoneHolds,
    /// These draws cannot show the level, whatever the command.
    TooFewDraws,
    /// Nothing is commanded.
    NoCommand,
}
