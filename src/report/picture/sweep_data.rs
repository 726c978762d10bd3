//! What the picture of a parameter sweep is drawn from: axes, limits, cases.
//! Plain data; where they come from is no matter here.

/// A sweep, ready to be drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SweepChart {
    /// Title of the scenario.
    pub title: String,
    /// What the scenario says of its data, such as "invented".
    pub data: String,
    /// What varies: one thing or two.
    pub axes: Vec<SweepAxis>,
    /// The limits that cases were judged against.
    pub limits: Vec<SweepLimit>,
    /// One case for each point of the grid, the first axis slowest.
    pub cases: Vec<SweepCase>,
}

/// One thing that varies.
#[derive(Debug, Clone, PartialEq)]
pub struct SweepAxis {
    /// Path in the scenario, such as `ambient.altitude`.
    pub path: String,
    /// What a reader calls it; the path where empty.
    pub label: String,
    /// Its values.
    pub values: SweepValues,
}

/// Values along an axis, in the order in which they were run.
#[derive(Debug, Clone, PartialEq)]
pub enum SweepValues {
    /// Numbers, all in one unit.
    Numbers {
        /// The unit as it is written in a scenario, such as `kPa abs`, `m` or
        /// `degC`; empty where there is none. Pressures, temperatures, flows,
        /// powers, torques, speeds and altitudes are shown in the system that
        /// is asked for, others as they are. `degC` and `degF` are temperatures
        /// on their scale: give a rise in `K`.
        unit: String,
        /// The numbers, rising or falling, evenly spaced or not.
        values: Vec<f64>,
    },
    /// Words, such as the names of forms or files.
    Words(Vec<String>),
}

impl SweepValues {
    /// How many values there are.
    pub fn len(&self) -> usize {
        match self {
            SweepValues::Numbers { values, .. } => values.len(),
            SweepValues::Words(words) => words.len(),
        }
    }

    /// Whether there is no value.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// A limit that cases were judged against.
#[derive(Debug, Clone, PartialEq)]
pub struct SweepLimit {
    /// Name in the results, such as `shaft_speed`.
    pub name: String,
    /// What a reader calls it; the words of the reports where empty.
    pub label: String,
}

/// How a case ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SweepVerdict {
    /// Every limit held.
    Held,
    /// At least one limit was exceeded.
    Exceeded,
    /// It could not be built, started or computed to its end.
    Failed,
}

/// What came out at one point of the grid.
#[derive(Debug, Clone, PartialEq)]
pub struct SweepCase {
    /// How it ended.
    pub verdict: SweepVerdict,
    /// Headroom to each limit, in the order of [`SweepChart::limits`] \[%\];
    /// negative where exceeded, `None` where there is none.
    pub headroom_pct: Vec<Option<f64>>,
    /// Name of the limit that was exceeded first.
    pub first_exceeded: Option<String>,
}
