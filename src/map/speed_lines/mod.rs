//! Speed lines of a compressor map as checked data, and their text form.
//!
//! ```text
//! # about: what this map is
//! # data: invented            (invented, measured, published or estimated)
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
pub(in crate::map) mod check;
mod read;
mod write;

use super::text::header::check_reference;
pub use super::text::{DataOrigin, MapHeader, MapProblem};

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

/// Speed lines as a text gives them: sound figures in order, but of any shape.
/// Enough to look at; [`CompressorMapData`] is what can be computed with.
#[derive(Debug, Clone, PartialEq)]
pub struct RawSpeedLines {
    header: MapHeader,
    lines: Vec<SpeedLine>,
    /// Line of the text of each point; empty where there was no text.
    places: Vec<Vec<usize>>,
    /// Why they make no compressor, if they do not.
    shape: Vec<MapProblem>,
}

impl RawSpeedLines {
    /// What the map says of itself.
    pub fn header(&self) -> &MapHeader {
        &self.header
    }

    /// Speed lines, slowest first.
    pub fn lines(&self) -> &[SpeedLine] {
        &self.lines
    }

    /// Line of the text in which a point stands; 0 without a text.
    pub fn place(&self, line: usize, point: usize) -> usize {
        let places = self.places.get(line);
        places.and_then(|p| p.get(point)).copied().unwrap_or(0)
    }

    /// Why these lines make no compressor that could be computed with.
    pub fn shape_problems(&self) -> &[MapProblem] {
        &self.shape
    }

    /// The lines that have a stable branch, to be drawn whatever their shape;
    /// `None` with fewer than two of them. Not to be computed with.
    pub fn drawable(&self) -> Option<CompressorMapData> {
        let lines: Vec<SpeedLine> = self
            .lines
            .iter()
            .filter(|line| line.stable_from() + 1 < line.points.len())
            .cloned()
            .collect();
        (lines.len() > 1).then(|| CompressorMapData {
            raw: Self {
                lines,
                ..self.clone()
            },
        })
    }
}

/// A checked compressor map: at least three lines of at least three points,
/// slowest first, each falling in pressure ratio right of its peak and above the
/// slower ones.
#[derive(Debug, Clone, PartialEq)]
pub struct CompressorMapData {
    raw: RawSpeedLines,
}

impl CompressorMapData {
    /// Checks lines that did not come from a file (points are then named by
    /// line 0 in the problems).
    pub fn new(header: MapHeader, lines: Vec<SpeedLine>) -> Result<Self, Vec<MapProblem>> {
        let mut problems = check_reference(&header);
        let wrong = check::lines(&lines, |_, _| 0);
        problems.extend(wrong.figures);
        problems.extend(wrong.shape);
        if problems.is_empty() {
            Ok(Self {
                raw: RawSpeedLines {
                    header,
                    lines,
                    places: Vec::new(),
                    shape: Vec::new(),
                },
            })
        } else {
            Err(problems)
        }
    }

    /// Lines that were read, if they can be computed with.
    pub fn from_raw(raw: RawSpeedLines) -> Result<Self, Vec<MapProblem>> {
        if raw.shape.is_empty() {
            Ok(Self { raw })
        } else {
            Err(raw.shape)
        }
    }

    /// The lines with their places in the text.
    pub fn raw(&self) -> &RawSpeedLines {
        &self.raw
    }

    /// What the map says of itself.
    pub fn header(&self) -> &MapHeader {
        &self.raw.header
    }

    /// Speed lines, slowest first.
    pub fn lines(&self) -> &[SpeedLine] {
        &self.raw.lines
    }
}
