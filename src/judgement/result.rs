//! The answer of a run, field by field as the JSON output has it.
//!
//! Every number carries its unit in its name; what is not known is null.
use super::band::{BandBasis, RunBand};
use super::road::RoadResult;
use serde::{Deserialize, Serialize};

/// The result of one run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RunResult {
    /// Program name and version.
    pub tool: String,
    /// Version of the program.
    pub version: String,
    /// Title of the scenario.
    pub scenario: String,
    /// What the scenario says of its data: invented, measured or published.
    pub data: String,
    /// Name of the procedure, its parts joined by " + ".
    pub procedure: String,
    /// How the run ended against its limits.
    pub verdict: Verdict,
    /// Why the run stopped.
    pub why_stopped: WhyStopped,
    /// How the run was started.
    pub start: String,
    /// Highest values (lowest for `lambda`) over the run.
    pub peaks: Peaks,
    /// Everything at the instant of the highest shaft speed.
    pub at_peak_shaft_speed: Instant,
    /// Each limit with its worst value.
    pub limits: Vec<LimitResult>,
    /// What the boost sensor could and could not see.
    pub sensor: SensorResult,
    /// Each protection of the controller: when it acted, when it was blind.
    pub protections: Vec<ProtectionResult>,
    /// Time outside the measured maps.
    pub maps: MapsResult,
    /// The equilibrium, for a `hold`.
    pub steady: Option<Steady>,
    /// Conservation at the plant boundary.
    pub balance: Balance,
    /// What the stated uncertainty does to it; null where that was not asked.
    pub band: Option<RunBand>,
    /// What the vehicle did and the ceilings along its road; null where none was
    /// driven.
    pub road: Option<RoadResult>,
    /// The integrator's figures.
    pub solver: SolverResult,
}

/// How a run ended against its limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Every limit held.
    Held,
    /// Every limit held, some of them only inside the stated uncertainty.
    HeldInsideBand,
    /// A limit was exceeded.
    Exceeded,
    /// The run left what the model can describe before any limit was exceeded.
    OutsideValidity,
}

/// Why a run stopped, as data.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WhyStopped {
    /// `finished`, `outside_validity` or `computation_failed`.
    pub kind: StopKind,
    /// The state or quantity that stopped the run; null when it finished.
    pub quantity: Option<String>,
    /// Its value, in `unit`.
    pub value: Option<f64>,
    /// The bound that it crossed, in `unit`.
    pub bound: Option<f64>,
    /// Unit of `value` and `bound`.
    pub unit: Option<String>,
    /// When \[s\].
    pub time_s: f64,
    /// The last good point \[s\].
    pub last_good_s: f64,
    /// One sentence for people.
    pub text: String,
}

/// The kinds of end of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StopKind {
    /// The procedure came to its end.
    Finished,
    /// A quantity left the model's range.
    OutsideValidity,
    /// The numbers failed.
    ComputationFailed,
}

/// Extreme values over a run. All are maxima but `lambda`, a minimum.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct Peaks {
    pub shaft_speed_rpm: f64,
    pub tip_speed_m_s: f64,
    pub boost_kpa_abs: f64,
    pub boost_sensed_kpa_abs: f64,
    pub boost_command_kpa_abs: Option<f64>,
    pub drive_pressure_kpa_abs: f64,
    pub drive_to_boost_gauge: Option<f64>,
    pub vane_closed_pct: f64,
    pub turbine_inlet_k: f64,
    pub compressor_outlet_k: f64,
    pub cylinder_pressure_kpa_abs: f64,
    pub lambda: Option<f64>,
    pub power_kw: f64,
    pub torque_nm: f64,
}

/// The same quantities as [`Peaks`] at one instant.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct Instant {
    pub time_s: f64,
    pub engine_speed_rpm: f64,
    #[serde(flatten)]
    pub values: Peaks,
}

/// One limit and the worst that the run did to it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LimitResult {
    /// Name of the limit, a key of `explain`.
    pub name: String,
    /// Unit of `limit`, `worst` and `headroom`.
    pub unit: String,
    /// The limit.
    pub limit: f64,
    /// The worst value reached; null where the limit never applied.
    pub worst: Option<f64>,
    /// Distance from the limit, positive while held.
    pub headroom: Option<f64>,
    /// Headroom over the limit's distance from its natural zero \[%\].
    pub headroom_pct: Option<f64>,
    /// Whether the limit was held.
    pub held: bool,
    /// When the worst value was reached \[s\].
    pub time_s: Option<f64>,
    /// How long the limit was exceeded \[s\].
    pub time_exceeded_s: f64,
    /// First instant beyond the limit \[s\].
    pub first_exceeded_s: Option<f64>,
    /// Engine speed at the worst value \[rpm\].
    pub engine_speed_rpm: Option<f64>,
    /// Whether the limit is a lower bound (lambda, surge and choke margin).
    pub lower: bool,
}

/// What the boost sensor could see.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct SensorResult {
    /// Highest reading that the chain can give \[kPa abs\].
    pub readable_ceiling_kpa_abs: Option<f64>,
    /// How long the reading stood at its clamp \[s\].
    pub pinned_s: f64,
    /// Longest single time at the clamp \[s\].
    pub pinned_longest_s: f64,
    /// How long the command lay above the readable ceiling \[s\].
    pub command_above_readable_s: f64,
    /// How long the true boost stayed more than the stated band below the
    /// command with the vanes at their closed stop \[s\].
    pub command_unreached_s: f64,
}

/// One protection over a run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ProtectionResult {
    /// Name, see [`crate::simulation::PROTECTIONS`].
    pub name: String,
    /// When it first acted \[s\]; null if never.
    pub first_s: Option<f64>,
    /// How long it acted \[s\].
    pub active_s: f64,
    /// How long it should have acted on the true state but could not see it \[s\].
    pub blind_s: f64,
}

/// Time outside the measured maps.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct MapsResult {
    pub compressor_extrapolated_pct: f64,
    pub turbine_extrapolated_pct: f64,
    pub surge_s: f64,
    /// What surge did; without inertia in the duct it is not simulated.
    #[serde(default)]
    pub surge: Option<SurgeResult>,
}

/// Surge, where it is simulated: each time that the flow falls below the surge
/// line is a cycle.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct SurgeResult {
    pub cycles: u32,
    /// Of cycles that follow each other; none with a single one.
    pub frequency_hz: Option<f64>,
    pub first_s: Option<f64>,
    pub last_s: Option<f64>,
    pub reverse_flow_s: f64,
    pub lowest_flow_kg_s: Option<f64>,
}

/// The equilibrium of a `hold`.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct Steady {
    pub intake_pressure_pa: f64,
    pub intake_temperature_k: f64,
    pub exhaust_pressure_pa: f64,
    pub exhaust_temperature_k: f64,
    pub shaft_speed_rad_s: f64,
    pub compressor_flow_kg_s: f64,
    pub turbine_flow_kg_s: f64,
    pub wastegate_flow_kg_s: f64,
    pub fuel_flow_kg_s: f64,
    pub compressor_efficiency: f64,
    pub turbine_efficiency: f64,
    pub compressor_inlet_pressure_pa: f64,
    pub compressor_inlet_temperature_k: f64,
    pub compressor_outlet_pressure_pa: f64,
    pub compressor_outlet_temperature_k: f64,
    pub turbine_outlet_pressure_pa: f64,
    pub compressor_power_w: f64,
    pub turbine_power_w: f64,
    pub bearing_power_w: f64,
    pub exhaust_burned_fraction: f64,
    pub vane_closed_pct: f64,
    pub lambda: f64,
    pub torque_nm: f64,
    pub eigenvalues_1_s: Vec<[f64; 2]>,
}

/// Conservation at the plant boundary, relative to what went through it.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct Balance {
    pub mass_residual: f64,
    pub energy_residual: Option<f64>,
    pub burned_residual: f64,
}

/// Figures of the integrator.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct SolverResult {
    pub method: String,
    pub tolerance: f64,
    pub steps: u64,
    pub rejected: u64,
    pub evaluations: u64,
    pub simulated_s: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wall_s: Option<f64>,
}

/// The answer of `ceiling`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CeilingResult {
    /// Program name.
    pub tool: String,
    /// Version of the program.
    pub version: String,
    /// Title of the scenario.
    pub scenario: String,
    /// What the scenario says of its data.
    pub data: String,
    /// Step of the search \[kPa\]: the ceiling holds, one step above fails.
    pub step_kpa: f64,
    /// Readable ceiling of the boost sensor \[kPa abs\].
    pub readable_ceiling_kpa_abs: Option<f64>,
    /// One answer for each speed, altitude and temperature.
    pub cells: Vec<CeilingCell>,
    /// The assembled table, proved by pulls through it, per altitude.
    pub table_proved: Option<TableProof>,
    /// What the bands of the cells rest on; null where none was asked for.
    pub band: Option<BandBasis>,
}

/// The window of commands at one engine speed in one ambient.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct CeilingCell {
    pub engine_speed_rpm: f64,
    pub altitude_m: Option<f64>,
    /// How much warmer than the standard atmosphere it is; null where the ambient
    /// is given by its pressure.
    pub temperature_offset_k: Option<f64>,
    pub ambient_kpa_abs: f64,
    pub ambient_k: f64,
    /// Whether some command holds at the fuel asked for.
    pub feasible: bool,
    pub ceiling_kpa_abs: Option<f64>,
    pub ceiling_kpa_gauge: Option<f64>,
    pub floor_kpa_abs: Option<f64>,
    /// Highest boost that the vanes can bring at this speed and fuel.
    pub reachable_kpa_abs: Option<f64>,
    /// Share of the full-load fuel at which the window exists; 1 when feasible.
    pub fuel_scale: f64,
    pub binding_above: Option<String>,
    pub binding_below: Option<String>,
    pub next_above: Option<String>,
    pub margins: Vec<Margin>,
    /// What fails one step above: the transient and the corner of the sensor error.
    pub fails_above: Option<String>,
    /// Overrides that replay the failure one step above with `run`.
    pub replay: Vec<String>,
    pub band: Option<Band>,
    pub power_kw: Option<f64>,
    pub shaft_speed_rpm: Option<f64>,
    pub vane_closed_pct: Option<f64>,
    pub drive_pressure_kpa_abs: Option<f64>,
}

/// Headroom to one limit at the ceiling.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct Margin {
    pub limit: String,
    pub headroom: f64,
    pub headroom_pct: f64,
}

/// Low and high ceiling under the stated uncertainty: the 2.5 % and 97.5 %
/// quantiles over the draws.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Band {
    /// Low end; null where so many draws have no window at all.
    pub low_kpa_abs: Option<f64>,
    /// High end; null as well where next to no draw has a window.
    pub high_kpa_abs: Option<f64>,
    /// Share of the draws in which no command holds at the fuel of the cell \[%\].
    pub no_window_pct: f64,
}

/// The assembled ceiling table driven through once more.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct TableProof {
    pub verdict: Verdict,
    pub procedure: String,
    /// The limits that the proof exceeded, with the altitude.
    pub exceeded: Vec<String>,
    /// What has to be taken off the whole table for the proof to hold \[kPa\];
    /// null where not even the most that was tried does.
    pub reserve_kpa: Option<f64>,
}
