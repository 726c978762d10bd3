//! The stored course of a run, and where a later run of the same scenario leaves it.
//!
//! A baseline holds some channels at evenly spaced rows. A later trace is held
//! against each row within a [`Tolerance`] of value and time; what lies outside is a
//! [`Difference`]. Between the rows nothing is seen: peaks and reactions are the
//! matter of checks, which look at every tick.
mod course;
mod held;
mod tolerance;

use super::channel::Channel;
use crate::simulation::Sample;
use course::Course;

pub use tolerance::Tolerance;

/// The channels that a baseline holds if nothing else is asked: what is ordered, what
/// is measured, and what the machine does.
pub const BASELINE_CHANNELS: [Channel; 13] = [
    Channel::EngineSpeed,
    Channel::Fuel,
    Channel::BoostCommand,
    Channel::BoostTrue,
    Channel::BoostSensed,
    Channel::VaneCommand,
    Channel::VaneClosed,
    Channel::DrivePressure,
    Channel::ShaftSpeed,
    Channel::CompressorFlow,
    Channel::CompressorOutlet,
    Channel::TurbineInlet,
    Channel::Torque,
];

/// Spacings that a baseline takes by itself \[s\]: the finest with few enough rows.
const SPACINGS_S: [f64; 9] = [0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0];
/// More rows than these make a file that nobody reads in a change.
const MOST_ROWS: f64 = 160.0;
/// A tick's time carries rounding.
const SAME_TIME_S: f64 = 1e-6;
/// Decimals of the times in a baseline.
pub const TIME_DECIMALS: usize = 3;

/// Channels of a run at some times, rounded as their file holds them.
#[derive(Debug, Clone, PartialEq)]
pub struct Baseline {
    spacing_s: f64,
    channels: Vec<Channel>,
    rows: Vec<BaselineRow>,
}

/// All channels at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct BaselineRow {
    /// Time since the start of the procedure \[s\].
    pub time_s: f64,
    /// A value for each channel, in its unit; `None` where it has none.
    pub values: Vec<Option<f64>>,
}

/// How far a channel is from its baseline at one row. Values are in the channel's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distance {
    /// Time of the row \[s\].
    pub time_s: f64,
    /// The baseline.
    pub expected: f64,
    /// The value of the trace that comes nearest within the shift.
    pub got: f64,
    /// How far off it may be.
    pub allowed: f64,
}

/// Where a channel of a trace leaves its baseline. Values are in the channel's unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Divergence {
    /// The channel.
    pub channel: Channel,
    /// Time of the first row outside \[s\].
    pub first_s: f64,
    /// The baseline there.
    pub expected: f64,
    /// The value of the trace that comes nearest within the shift.
    pub got: f64,
    /// How far off it may be there.
    pub allowed: f64,
    /// Time of the row outside that is furthest off \[s\].
    pub worst_s: f64,
    /// The baseline there.
    pub worst_expected: f64,
    /// The nearest value of the trace there.
    pub worst_got: f64,
    /// How long the trace is outside \[s\]; each row stands for the time halfway to
    /// its neighbours.
    pub outside_s: f64,
}

/// One thing in which a trace differs from its baseline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Difference {
    /// A channel leaves its baseline.
    Left(Divergence),
    /// A channel has a value on one side alone: a command without a controller,
    /// lambda without fuel.
    OneSided {
        /// The channel.
        channel: Channel,
        /// Time of the first such row \[s\].
        first_s: f64,
        /// The baseline there, in the channel's unit.
        expected: Option<f64>,
        /// The trace there, in the channel's unit.
        got: Option<f64>,
    },
    /// The trace ends earlier or later.
    Ends {
        /// End of the baseline \[s\].
        expected_s: f64,
        /// End of the trace \[s\].
        got_s: f64,
        /// How far apart the two may be \[s\].
        allowed_s: f64,
    },
}

impl Difference {
    /// When it is first seen \[s\].
    pub fn first_s(&self) -> f64 {
        match *self {
            Self::Left(Divergence { first_s, .. }) | Self::OneSided { first_s, .. } => first_s,
            Self::Ends {
                expected_s, got_s, ..
            } => expected_s.min(got_s),
        }
    }

    /// The channel; none where the whole trace differs.
    pub fn channel(&self) -> Option<Channel> {
        match *self {
            Self::Left(Divergence { channel, .. }) | Self::OneSided { channel, .. } => {
                Some(channel)
            }
            Self::Ends { .. } => None,
        }
    }
}

impl Baseline {
    /// The rows of a trace at a spacing \[s\], and at its exact end. Values between two
    /// samples are on the straight line between them.
    pub fn of(samples: &[Sample], channels: &[Channel], spacing_s: f64) -> Self {
        let (Some(first), Some(last)) = (samples.first(), samples.last()) else {
            return Self::from_rows(spacing_s, channels.to_vec(), Vec::new());
        };
        let courses: Vec<Course> = channels.iter().map(|c| Course::of(samples, *c)).collect();
        let shown = |time_s: f64| rounded(time_s, TIME_DECIMALS);
        let row = |time_s: f64| BaselineRow {
            time_s: shown(time_s),
            values: courses
                .iter()
                .zip(channels)
                .map(|(course, c)| Some(rounded(course.at(time_s)?, c.decimals())))
                .collect(),
        };
        // what the file would show at the time of the end is the end
        let times = (0..)
            .map(|count| first.time_s + f64::from(count) * spacing_s)
            .take_while(|time_s| *time_s < last.time_s - SAME_TIME_S)
            .take_while(|time_s| shown(*time_s) < shown(last.time_s));
        let rows = times.chain([last.time_s]).map(row).collect();
        Self::from_rows(spacing_s, channels.to_vec(), rows)
    }

    /// A baseline of rows in the order of their times, as its file holds them. Each
    /// row has a value for each channel.
    pub fn from_rows(spacing_s: f64, channels: Vec<Channel>, rows: Vec<BaselineRow>) -> Self {
        Self {
            spacing_s,
            channels,
            rows,
        }
    }

    /// The spacing that suits a run of this length \[s\]: 50 ms, or as much more as
    /// keeps the rows few.
    pub fn spacing_for(duration_s: f64) -> f64 {
        SPACINGS_S
            .into_iter()
            .find(|spacing_s| duration_s / spacing_s <= MOST_ROWS)
            .unwrap_or(60.0)
    }

    /// Time between two rows \[s\].
    pub fn spacing_s(&self) -> f64 {
        self.spacing_s
    }

    /// The channels, in the order of the columns.
    pub fn channels(&self) -> &[Channel] {
        &self.channels
    }

    /// The rows, in the order of time.
    pub fn rows(&self) -> &[BaselineRow] {
        &self.rows
    }

    /// Times and values of a channel; empty where the baseline does not hold it.
    pub fn course(&self, channel: Channel) -> Vec<(f64, Option<f64>)> {
        let Some(column) = self.channels.iter().position(|c| *c == channel) else {
            return Vec::new();
        };
        (self.rows.iter())
            .map(|row| (row.time_s, row.values[column]))
            .collect()
    }

    /// Whether a trace has about as many rows at this spacing, before any is made: a
    /// spacing that does not belong to the rows may mean very many.
    fn may_have_as_many_rows(&self, fresh: &[Sample]) -> bool {
        let (Some(first), Some(last)) = (fresh.first(), fresh.last()) else {
            return self.rows.is_empty();
        };
        // the first row and the end stand beside the steps; the end may be a step
        let steps = (last.time_s - first.time_s) / self.spacing_s;
        (self.rows.len() as f64 - steps).abs() <= 2.0
    }

    /// Whether another says the same: the same times and channels, and each value as
    /// near as rounding can put it. Platforms differ in the last bits, and a value in
    /// the middle between two roundings then falls to either.
    pub fn says_the_same(&self, fresh: &[Sample]) -> bool {
        if !self.may_have_as_many_rows(fresh) {
            return false;
        }
        let now = Self::of(fresh, &self.channels, self.spacing_s);
        let near = |(kept, new): (&Option<f64>, &Option<f64>), decimals: usize| match (kept, new) {
            (Some(kept), Some(new)) => (kept - new).abs() < 1.5 * 10_f64.powi(-(decimals as i32)),
            (kept, new) => kept.is_none() && new.is_none(),
        };
        self.rows.len() == now.rows.len()
            && self.rows.iter().zip(&now.rows).all(|(kept, new)| {
                (kept.time_s - new.time_s).abs() < 1.5e-3
                    && (kept.values.iter().zip(&new.values))
                        .zip(&self.channels)
                        .all(|(pair, channel)| near(pair, channel.decimals()))
            })
    }
}

impl Channel {
    /// Decimals of its values in a baseline: a tenth of the tolerance or finer, and
    /// far coarser than what differs between platforms.
    pub fn decimals(self) -> usize {
        match self {
            Self::ShaftSpeed | Self::CylinderPressure => 0,
            Self::EngineSpeed | Self::TurbineInlet | Self::Torque | Self::DrivePressure => 1,
            Self::Fuel
            | Self::BoostCommand
            | Self::BoostTrue
            | Self::BoostSensed
            | Self::VaneCommand
            | Self::VaneClosed
            | Self::Integrator
            | Self::TipSpeed
            | Self::CompressorOutlet
            | Self::Intake
            | Self::Power
            | Self::SurgeMargin => 2,
            Self::Lambda => 4,
            Self::CompressorFlow => 5,
        }
    }
}

/// A value with so many decimals; never a negative zero.
fn rounded(value: f64, decimals: usize) -> f64 {
    let scale = 10_f64.powi(decimals as i32);
    (value * scale).round() / scale + 0.0
}
