//! A performance map as a picture needs it: lines, surge line, efficiency field.

/// What a picture of a compressor map is drawn from. Corrected flow across,
/// pressure ratio up.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MapDrawing {
    /// Reference pressure of the corrected quantities \[Pa abs\].
    pub reference_pressure_pa: f64,
    /// Reference temperature of the corrected quantities \[K\].
    pub reference_temperature_k: f64,
    /// What the map says of its data: invented, measured or published.
    pub data: String,
    /// Speed lines, slowest first, each from surge to choke.
    pub lines: Vec<LineDrawing>,
    /// The surge line, (corrected flow \[kg/s\], pressure ratio).
    pub surge: Vec<[f64; 2]>,
    /// Efficiency on a regular grid over the measured part.
    pub efficiency: EfficiencyGrid,
}

/// One speed line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LineDrawing {
    /// Corrected speed \[rpm\].
    pub corrected_speed_rpm: f64,
    /// (corrected flow \[kg/s\], pressure ratio) from surge to choke.
    pub points: Vec<[f64; 2]>,
}

/// Efficiency sampled on a regular grid; row-major in pressure ratio, then flow.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct EfficiencyGrid {
    /// First and last corrected flow \[kg/s\].
    pub flow_kg_s: [f64; 2],
    /// First and last pressure ratio.
    pub pressure_ratio: [f64; 2],
    /// Number of columns (flow).
    pub columns: usize,
    /// Number of rows (pressure ratio).
    pub rows: usize,
    /// Efficiency, or `None` outside surge line, choke side and speed range.
    pub values: Vec<Option<f64>>,
}

impl EfficiencyGrid {
    /// A grid over ranges of corrected flow \[kg/s\] and pressure ratio, two columns
    /// and two rows at least, from the efficiency at a flow and a ratio.
    pub fn over(
        flow_kg_s: [f64; 2],
        pressure_ratio: [f64; 2],
        [columns, rows]: [usize; 2],
        efficiency: impl Fn(f64, f64) -> Option<f64>,
    ) -> Self {
        let at = |range: [f64; 2], index: usize, count: usize| {
            range[0] + (range[1] - range[0]) * index as f64 / (count - 1) as f64
        };
        let values = (0..rows)
            .flat_map(|row| (0..columns).map(move |column| (row, column)))
            .map(|(row, column)| {
                efficiency(
                    at(flow_kg_s, column, columns),
                    at(pressure_ratio, row, rows),
                )
            })
            .collect();
        Self {
            flow_kg_s,
            pressure_ratio,
            columns,
            rows,
            values,
        }
    }
}

/// What a drawn curve is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CurveKind {
    /// Along a measured line, between its points.
    Measured,
    /// Between two measured lines.
    Between,
    /// Beyond what was measured.
    Beyond,
}

/// A curve of a surveyed map, across and up.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// What it is.
    pub kind: CurveKind,
    /// Points in the order in which they are joined.
    pub points: Vec<[f64; 2]>,
}

/// A compressor map with what interpolation and extrapolation make of it.
#[derive(Debug, Clone, PartialEq)]
pub struct CompressorSurvey {
    /// The measured part: lines as read, surge line, efficiency.
    pub map: MapDrawing,
    /// Speed lines as they are computed, (corrected flow \[kg/s\], pressure ratio);
    /// empty where nothing can be computed.
    pub curves: Vec<Curve>,
}

/// A turbine map with what interpolation and extrapolation make of it.
#[derive(Debug, Clone, PartialEq)]
pub struct TurbineSurvey {
    /// Reference pressure of the corrected quantities \[Pa abs\].
    pub reference_pressure_pa: f64,
    /// Reference temperature of the corrected quantities \[K\].
    pub reference_temperature_k: f64,
    /// What the map says of its data.
    pub data: String,
    /// Vane positions, the most open first.
    pub vanes: Vec<VaneSurvey>,
}

/// One vane position of a turbine map.
#[derive(Debug, Clone, PartialEq)]
pub struct VaneSurvey {
    /// Vane position \[per cent closed\].
    pub vane_closed_pct: f64,
    /// Measured points, (expansion ratio, corrected flow \[kg/s\]).
    pub flow_points: Vec<[f64; 2]>,
    /// Flow as it is computed over the expansion ratio.
    pub flow: Vec<Curve>,
    /// Measured points, (blade-speed ratio, efficiency).
    pub efficiency_points: Vec<[f64; 2]>,
    /// Efficiency as it is computed over the blade-speed ratio, at the middle
    /// one of the measured speeds.
    pub efficiency: Vec<Curve>,
    /// That speed, corrected \[rpm\].
    pub efficiency_at_rpm: f64,
}
