//! What a drive up a road did, field by field as the JSON output has it.
use super::result::CeilingCell;
use crate::simulation::DriveOutcome;
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;

/// A drive up a road.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct RoadResult {
    /// Distance driven \[m\].
    pub distance_m: f64,
    /// Altitude at the end over that at the beginning \[m\].
    pub climbed_m: f64,
    /// Gear changes completed.
    pub gear_changes: u32,
    /// Mean engine speed with a gear engaged \[rpm\].
    pub mean_engine_speed_rpm: f64,
    /// Where the work of the crankshaft went.
    pub work: RoadWork,
    /// Altitude at which the command first stood above the safe ceiling, read
    /// between the cells \[m\]; null where it never did or no ceiling was asked
    /// for.
    pub command_above_ceiling_from_m: Option<f64>,
    /// The safe ceilings along the road, from the lowest altitude to the highest;
    /// empty where none were asked for.
    pub cells: Vec<CeilingCell>,
}

/// Work of the crankshaft and where it went \[kJ\].
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct RoadWork {
    pub crankshaft_kj: f64,
    pub kinetic_kj: f64,
    pub potential_kj: f64,
    pub drag_kj: f64,
    pub rolling_kj: f64,
    pub driveline_kj: f64,
    pub gear_change_kj: f64,
    /// What is missing, over the work of the crankshaft \[-\].
    pub residual: f64,
}

impl RoadResult {
    /// Of a drive whose crankshaft did so much work \[J\].
    pub fn of(drive: &DriveOutcome, crankshaft_j: f64) -> Self {
        let e = &drive.energy;
        Self {
            distance_m: drive.distance_m,
            climbed_m: drive.climbed_m,
            gear_changes: drive.gear_changes,
            mean_engine_speed_rpm: drive.mean_speed_rad_s * 30.0 / PI,
            work: RoadWork {
                crankshaft_kj: crankshaft_j * 1e-3,
                kinetic_kj: e.kinetic_j * 1e-3,
                potential_kj: e.potential_j * 1e-3,
                drag_kj: e.drag_j * 1e-3,
                rolling_kj: e.rolling_j * 1e-3,
                driveline_kj: e.driveline_j * 1e-3,
                gear_change_kj: e.gear_change_j * 1e-3,
                residual: (crankshaft_j - e.sum_j()) / crankshaft_j.abs().max(f64::MIN_POSITIVE),
            },
            ..Self::default()
        }
    }
}
