//! One channel of a trace as a function of time.
use super::super::channel::Channel;
use super::SAME_TIME_S;
use crate::simulation::Sample;

/// A channel at the samples of a trace, straight between them.
pub struct Course {
    times_s: Vec<f64>,
    values: Vec<Option<f64>>,
}

/// What a channel does over a span of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Least and greatest value, where there is any.
    pub range: Option<(f64, f64)>,
    /// Somewhere there is no value.
    pub gap: bool,
}

impl Course {
    /// The course of a channel.
    pub fn of(samples: &[Sample], channel: Channel) -> Self {
        Self {
            times_s: samples.iter().map(|s| s.time_s).collect(),
            // what is no finite number is no value, and a difference where there was one
            values: (samples.iter())
                .map(|s| channel.value(s).filter(|value| value.is_finite()))
                .collect(),
        }
    }

    /// The value at a time; at the ends that of the end. `None` where one of the
    /// neighbours has none.
    pub fn at(&self, time_s: f64) -> Option<f64> {
        let last = self.times_s.len().checked_sub(1)?;
        let after = (self.times_s)
            .partition_point(|t| *t < time_s - SAME_TIME_S)
            .min(last);
        let (t1, v1) = (self.times_s[after], self.values[after]);
        if after == 0 || t1 <= time_s + SAME_TIME_S {
            return v1;
        }
        let (t0, v0) = (self.times_s[after - 1], self.values[after - 1]?);
        Some(v0 + (v1? - v0) * (time_s - t0) / (t1 - t0))
    }

    /// What it does from one time to another, with both of them.
    pub fn window(&self, from_s: f64, to_s: f64) -> Window {
        let begin = self.times_s.partition_point(|t| *t < from_s - SAME_TIME_S);
        let end = self.times_s.partition_point(|t| *t <= to_s + SAME_TIME_S);
        let inside = self.values[begin..end.max(begin)].iter().copied();
        let mut window = Window {
            range: None,
            gap: false,
        };
        for value in inside.chain([self.at(from_s), self.at(to_s)]) {
            let Some(value) = value else {
                window.gap = true;
                continue;
            };
            let (low, high) = window.range.unwrap_or((value, value));
            window.range = Some((low.min(value), high.max(value)));
        }
        window
    }
}
