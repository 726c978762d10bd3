//! The answer of one case of a sweep, and what many of them come to.
use super::result::Peaks;

/// One case.
#[derive(Debug, Clone, PartialEq)]
pub struct SweepRow {
    /// Its number, from 0.
    pub index: u64,
    /// What was varied, in the order of the axes.
    pub values: Vec<SweepEntry>,
    /// How it ended.
    pub verdict: CaseVerdict,
    /// The limit that was exceeded first.
    pub first_exceeded: Option<String>,
    /// When that was \[s\].
    pub first_exceeded_s: Option<f64>,
    /// Highest values; null where nothing ran.
    pub peaks: Option<Peaks>,
    /// Headroom to each limit that was judged, by its name \[%\].
    pub headroom_pct: Vec<(String, f64)>,
    /// Why it did not come to its end.
    pub reason: Option<String>,
}

/// One varied value.
#[derive(Debug, Clone, PartialEq)]
pub enum SweepEntry {
    /// A number, in the unit of its column.
    Number(f64),
    /// Words, or a value that is no number.
    Word(String),
}

/// How a case ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CaseVerdict {
    /// Every limit held.
    Held,
    /// A limit was exceeded.
    Exceeded,
    /// It left what the model can describe before any limit was exceeded.
    OutsideValidity,
    /// It could not be started or computed.
    Failed,
    /// The scenario does not allow these values.
    Refused,
}

impl CaseVerdict {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Held,
        Self::Exceeded,
        Self::OutsideValidity,
        Self::Failed,
        Self::Refused,
    ];

    /// As it is written.
    pub fn name(self) -> &'static str {
        match self {
            Self::Held => "held",
            Self::Exceeded => "exceeded",
            Self::OutsideValidity => "outside_validity",
            Self::Failed => "failed",
            Self::Refused => "refused",
        }
    }

    /// Read back.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|verdict| verdict.name() == name)
    }

    /// Whether there is no answer: neither held nor exceeded.
    pub fn is_without_answer(self) -> bool {
        !matches!(self, Self::Held | Self::Exceeded)
    }
}

/// What the cases of a sweep come to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SweepSummary {
    /// Title of the scenario.
    pub scenario: String,
    /// What the scenario says of its data.
    pub data: String,
    /// How many cases were asked for.
    pub asked: u64,
    /// How many came out each way, in the order of [`CaseVerdict::ALL`].
    pub counts: [u64; 5],
    /// What varies, and how each value fared.
    pub axes: Vec<AxisSummary>,
    /// How far one thing may go, by the value of the other; with two axes only.
    pub edges: Vec<Edge>,
    /// The limits that were exceeded first, with their counts.
    pub first_exceeded: Vec<(String, u64)>,
    /// Reasons of cases without an answer: their count and the first such case.
    pub reasons: Vec<Reason>,
    /// Further cases without an answer, with other reasons.
    pub other_reasons: u64,
}

/// One thing that varies.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AxisSummary {
    /// Path in the scenario.
    pub path: String,
    /// Name of its column.
    pub column: String,
    /// Unit of the numbers; empty for words and bare numbers.
    pub unit: String,
    /// Whether the values are numbers.
    pub numeric: bool,
    /// Each value, rising where they are numbers; empty where they are too many.
    pub values: Vec<ValueSummary>,
}

/// One value of an axis, over all others.
#[derive(Debug, Clone, PartialEq)]
pub struct ValueSummary {
    /// The value as it stands in its column.
    pub entry: SweepEntry,
    /// Cases with it.
    pub cases: u64,
    /// Those of them that held.
    pub held: u64,
}

/// How far one thing may go at one value of the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// The value of the other.
    pub at: SweepEntry,
    /// The highest value up to which every case held; none where the lowest did not.
    pub held_up_to: Option<SweepEntry>,
    /// The next value, which did not hold; none where all held.
    pub not_held: Option<SweepEntry>,
    /// What was exceeded first there.
    pub by: Option<String>,
}

/// Why cases have no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reason {
    /// In one sentence.
    pub text: String,
    /// How many cases.
    pub cases: u64,
    /// The first of them.
    pub first: u64,
}

impl SweepSummary {
    /// How many cases came out so.
    pub fn count(&self, verdict: CaseVerdict) -> u64 {
        self.counts[verdict as usize]
    }

    /// How many cases are finished.
    pub fn done(&self) -> u64 {
        self.counts.iter().sum()
    }

    /// How many finished cases have no answer.
    pub fn without_answer(&self) -> u64 {
        CaseVerdict::ALL
            .into_iter()
            .filter(|verdict| verdict.is_without_answer())
            .map(|verdict| self.count(verdict))
            .sum()
    }
}
