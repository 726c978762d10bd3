//! A trace held against its baseline.
use super::super::channel::Channel;
use super::course::Course;
use super::{Baseline, Difference, Distance, Divergence, TIME_DECIMALS, Tolerance};
use crate::simulation::Sample;

impl Baseline {
    /// Where channels of a trace leave the baseline, by the time at which each first
    /// does, then in the order of the channels.
    pub fn divergences(
        &self,
        samples: &[Sample],
        tolerance: &dyn Fn(Channel) -> Tolerance,
    ) -> Vec<Divergence> {
        (self.differences(samples, tolerance).into_iter())
            .filter_map(|difference| match difference {
                Difference::Left(divergence) => Some(divergence),
                _ => None,
            })
            .collect()
    }

    /// All that differs: as [`Baseline::divergences`], and values or ends that one
    /// side alone has. What lies beyond the end of the trace is not compared.
    pub fn differences(
        &self,
        samples: &[Sample],
        tolerance: &dyn Fn(Channel) -> Tolerance,
    ) -> Vec<Difference> {
        let mut all = Vec::new();
        for &channel in &self.channels {
            let rows = self.compared(samples, channel, tolerance(channel));
            all.extend(self.left(channel, &rows).map(Difference::Left));
            all.extend(one_sided(channel, &rows));
        }
        all.extend(self.ends(samples, tolerance));
        // a stable sort: channels keep their order, the end comes behind them
        all.sort_by(|a, b| a.first_s().total_cmp(&b.first_s()));
        all
    }

    /// How far a channel is from its baseline at the rows where both have a value.
    pub fn distances(
        &self,
        samples: &[Sample],
        channel: Channel,
        tolerance: Tolerance,
    ) -> Vec<Distance> {
        let rows = self.compared(samples, channel, tolerance);
        rows.into_iter().filter_map(|row| row.distance()).collect()
    }

    /// The rows of a channel, each with the trace around it.
    fn compared(&self, samples: &[Sample], channel: Channel, tolerance: Tolerance) -> Vec<Row> {
        let Some(last) = samples.last() else {
            return Vec::new();
        };
        let end_s = last.time_s + tolerance.shift_s + time_rounding_s();
        let course = Course::of(samples, channel);
        let row = |(index, (time_s, expected)): (usize, (f64, Option<f64>))| {
            let shift_s = tolerance.shift_s;
            let window = course.window(time_s - shift_s, time_s + shift_s);
            let range = window.range;
            let got = match (expected, range) {
                (Some(expected), Some((low, high))) => Some(expected.max(low).min(high)),
                // a value may begin or end a little later than it did
                (None, Some((low, _))) if !window.gap => Some(low),
                _ => None,
            };
            Row {
                index,
                time_s,
                expected,
                got,
                tolerance,
            }
        };
        (self.course(channel).into_iter().enumerate())
            .take_while(|(_, (time_s, _))| *time_s <= end_s)
            .map(row)
            .collect()
    }

    fn left(&self, channel: Channel, rows: &[Row]) -> Option<Divergence> {
        let mut left: Option<Divergence> = None;
        for row in rows {
            let Some(distance) = row.distance().filter(Distance::is_outside) else {
                continue;
            };
            let left = left.get_or_insert(Divergence {
                channel,
                first_s: distance.time_s,
                expected: distance.expected,
                got: distance.got,
                allowed: distance.allowed,
                worst_s: distance.time_s,
                worst_expected: distance.expected,
                worst_got: distance.got,
                outside_s: 0.0,
            });
            // a sum of figures with few decimals has few decimals
            let sum_s = left.outside_s + self.stands_for_s(row.index);
            left.outside_s = super::rounded(sum_s, TIME_DECIMALS + 1);
            if distance.off().abs() > (left.worst_got - left.worst_expected).abs() {
                left.worst_s = distance.time_s;
                left.worst_expected = distance.expected;
                left.worst_got = distance.got;
            }
        }
        left
    }

    fn ends(
        &self,
        samples: &[Sample],
        tolerance: &dyn Fn(Channel) -> Tolerance,
    ) -> Option<Difference> {
        let expected_s = self.rows.last()?.time_s;
        let got_s = samples.last().map_or(0.0, |sample| sample.time_s);
        let shifts = self.channels.iter().map(|c| tolerance(*c).shift_s);
        let allowed_s = shifts.fold(0.0, f64::max) + time_rounding_s();
        ((got_s - expected_s).abs() > allowed_s + 1e-9).then_some(Difference::Ends {
            expected_s,
            got_s,
            allowed_s,
        })
    }

    /// Half the time to the row before and half that to the row behind \[s\].
    fn stands_for_s(&self, index: usize) -> f64 {
        let time_s = |index: usize| self.rows.get(index).map(|row| row.time_s);
        let now_s = self.rows[index].time_s;
        let before_s = index.checked_sub(1).and_then(time_s).unwrap_or(now_s);
        (time_s(index + 1).unwrap_or(now_s) - before_s) / 2.0
    }
}

/// The times of a baseline are rounded by this much \[s\].
fn time_rounding_s() -> f64 {
    0.5 * 10_f64.powi(-(TIME_DECIMALS as i32))
}

/// One row of one channel.
struct Row {
    index: usize,
    time_s: f64,
    expected: Option<f64>,
    /// What comes nearest in the trace around it; without an expected value, what
    /// stands there throughout.
    got: Option<f64>,
    tolerance: Tolerance,
}

impl Row {
    fn distance(&self) -> Option<Distance> {
        let expected = self.expected?;
        Some(Distance {
            time_s: self.time_s,
            expected,
            got: self.got?,
            allowed: self.tolerance.allowed(expected),
        })
    }
}

impl Distance {
    /// How far off, with its sign.
    pub fn off(&self) -> f64 {
        self.got - self.expected
    }

    /// Further off than allowed.
    pub fn is_outside(&self) -> bool {
        // sums of figures with few decimals carry rounding of their own
        let rounding = 1e-9 * (self.allowed + self.expected.abs());
        self.off().abs() > self.allowed + rounding
    }
}

/// The first row at which one side alone has a value.
fn one_sided(channel: Channel, rows: &[Row]) -> Option<Difference> {
    rows.iter()
        .find(|row| row.expected.is_some() != row.got.is_some())
        .map(|row| Difference::OneSided {
            channel,
            first_s: row.time_s,
            expected: row.expected,
            got: row.got,
        })
}
