//! A turbine's flow and efficiency at several vane positions, and their text
//! form.
//!
//! ```text
//! # about: what this map is
//! # data: invented            (invented, measured, published or estimated)
//! # reference_pressure: 100 kPa abs
//! # reference_temperature: 873.15 K
//! # source: where the figures come from
//! # wheel_diameter: 60 mm
//! # burned: 60 %
//! vane_position [%], corrected_speed [rpm], expansion_ratio [-], corrected_flow [kg/s], efficiency [-]
//! 0, 40000, 1.10, 0.0712, 0.561
//! ```
//!
//! One row per point: the most open vane position first, inside it the slowest
//! line first, inside a line the lowest expansion ratio first. Vane position
//! counts closed, in `%` or `-`; speed in `rpm` or `krpm`; expansion ratio from
//! inlet total to outlet static pressure; flow in `kg/s`, `g/s`, `kg/h` or
//! `lb/min`; efficiency (isentropic, total to static) in `-` or `%`.
//!
//! `wheel_diameter` is that of the measured wheel: blade-speed ratio needs it.
//! `burned` is the share of combustion products in the gas of the stand, 0 %
//! (air) if left out: it gives that gas its heat capacity.
mod check;
mod read;
mod stand;
mod write;

pub(in crate::map) use check::percent;
pub use stand::StandGas;

use super::text::header::check_reference;
use super::text::{MapHeader, MapProblem};

/// One point of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VanePoint {
    /// Expansion ratio, total to static \[-\].
    pub expansion_ratio: f64,
    /// Corrected flow \[kg/s\].
    pub corrected_flow_kg_s: f64,
    /// Isentropic efficiency, total to static \[-\].
    pub efficiency: f64,
}

/// Points at one corrected speed, expansion ratio rising.
#[derive(Debug, Clone, PartialEq)]
pub struct TurbineSpeedLine {
    /// Corrected speed \[rad/s\].
    pub corrected_speed_rad_s: f64,
    /// Points, expansion ratio rising.
    pub points: Vec<VanePoint>,
}

/// Lines at one vane position, slowest first.
#[derive(Debug, Clone, PartialEq)]
pub struct VaneLines {
    /// Vane position, 0 open to 1 closed \[-\].
    pub vane_closed: f64,
    /// Speed lines, slowest first.
    pub lines: Vec<TurbineSpeedLine>,
}

/// A readable turbine map: at least two vane positions, the most open first,
/// each with lines of at least three points. Its shape may still be odd.
#[derive(Debug, Clone, PartialEq)]
pub struct TurbineMapData {
    header: MapHeader,
    wheel_diameter_m: f64,
    burned: f64,
    vanes: Vec<VaneLines>,
    /// Line of the text of each point; empty where there was no text.
    places: Vec<Vec<Vec<usize>>>,
}

impl TurbineMapData {
    /// Checks lines that did not come from a file (points are then named by
    /// line 0 in the problems).
    pub fn new(
        header: MapHeader,
        wheel_diameter_m: f64,
        burned: f64,
        vanes: Vec<VaneLines>,
    ) -> Result<Self, Vec<MapProblem>> {
        let mut problems = check_reference(&header);
        problems.extend(check::header(0, 0, wheel_diameter_m, burned));
        problems.extend(check::vanes(&vanes, |_, _, _| 0));
        if problems.is_empty() {
            Ok(Self {
                header,
                wheel_diameter_m,
                burned,
                vanes,
                places: Vec::new(),
            })
        } else {
            Err(problems)
        }
    }

    /// What the map says of itself.
    pub fn header(&self) -> &MapHeader {
        &self.header
    }

    /// Tip diameter of the measured wheel \[m\].
    pub fn wheel_diameter_m(&self) -> f64 {
        self.wheel_diameter_m
    }

    /// Share of combustion products in the gas of the stand \[-\].
    pub fn burned(&self) -> f64 {
        self.burned
    }

    /// Vane positions, the most open first.
    pub fn vanes(&self) -> &[VaneLines] {
        &self.vanes
    }

    /// Line of the text in which a point stands; 0 without a text.
    pub fn place(&self, vane: usize, line: usize, point: usize) -> usize {
        let places = self.places.get(vane).and_then(|v| v.get(line));
        places.and_then(|p| p.get(point)).copied().unwrap_or(0)
    }
}
