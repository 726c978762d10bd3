//! Speed lines of a compressor map as checked data, and their text form.
//!
//! ```text
//! # about: what this map is
//! # data: invented            (invented, measured or published)
//! # reference_pressure: 100 kPa abs
//! # reference_temperature: 298.15 K
//! # source: where the figures come from
//! corrected_speed [rpm], corrected_flow [kg/s], pressure_ratio [-], efficiency [-]
//! 60000, 0.045, 1.32, 0.64
//! ```
//!
//! One row per point: lines slowest first, inside a line from surge to choke.
//! Speed in `rpm` or `krpm`; flow in `kg/s`, `g/s`, `kg/h` or `lb/min`;
//! efficiency (isentropic, total to total) in `-` or `%`.
mod check;
mod problem;
mod read;
mod read_header;
mod write;

pub use problem::MapProblem;

use super::corrected::ReferenceConditions;

/// Where the figures of a map come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DataOrigin {
    /// Made up for a demonstration.
    Invented,
    /// Measured by whoever wrote the file.
    Measured,
    /// Taken from a publication.
    Published,
}

impl DataOrigin {
    /// The word used in map files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Invented => "invented",
            Self::Measured => "measured",
            Self::Published => "published",
        }
    }
}

/// What a map says of itself.
#[derive(Debug, Clone, PartialEq)]
pub struct MapHeader {
    /// What the map is, one line.
    pub about: String,
    /// Invented, measured or published.
    pub data: DataOrigin,
    /// Conditions to which flow and speed are corrected.
    pub reference: ReferenceConditions,
    /// Where the figures come from, one line.
    pub source: String,
}

/// One point of a speed line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MapPoint {
    /// Corrected flow \[kg/s\].
    pub corrected_flow_kg_s: f64,
    /// Pressure ratio, total to total \[-\].
    pub pressure_ratio: f64,
    /// Isentropic efficiency, total to total \[-\].
    pub efficiency: f64,
}

/// Points at one corrected speed, from surge to choke.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeedLine {
    /// Corrected speed \[rad/s\].
    pub corrected_speed_rad_s: f64,
    /// Points, flow rising.
    pub points: Vec<MapPoint>,
}

impl SpeedLine {
    /// Index of the point where the stable branch begins: the last of the
    /// highest pressure ratios. Left of it the ratio rises with flow, where a
    /// duct without inertia has no unique flow.
    pub fn stable_from(&self) -> usize {
        let mut peak = 0;
        for (p, point) in self.points.iter().enumerate() {
            if point.pressure_ratio >= self.points[peak].pressure_ratio {
                peak = p;
            }
        }
        peak
    }
}

/// A checked compressor map: at least three lines of at least three points,
/// slowest first, each falling in pressure ratio right of its peak.
#[derive(Debug, Clone, PartialEq)]
pub struct CompressorMapData {
    header: MapHeader,
    lines: Vec<SpeedLine>,
}

impl CompressorMapData {
    /// Checks lines that did not come from a file (points are then named by
    /// line 0 in the problems).
    pub fn new(header: MapHeader, lines: Vec<SpeedLine>) -> Result<Self, Vec<MapProblem>> {
        let mut problems = check::header(&header);
        problems.extend(check::lines(&lines, |_, _| 0));
        if problems.is_empty() {
            Ok(Self { header, lines })
        } else {
            Err(problems)
        }
    }

    /// What the map says of itself.
    pub fn header(&self) -> &MapHeader {
        &self.header
    }

    /// Speed lines, slowest first.
    pub fn lines(&self) -> &[SpeedLine] {
        &self.lines
    }
}
