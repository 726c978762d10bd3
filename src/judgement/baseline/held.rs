//! A trace held against its baseline.
use super::super::channel::Channel;
use super::course::Course;
use super::{Baseline, Difference, Divergence, TIME_DECIMALS, Tolerance};
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
        let end_s = samples.last().map_or(0.0, |s| s.time_s);
        if !samples.is_empty() {
            for (column, &channel) in self.channels.iter().enumerate() {
                let course = Course::of(samples, channel);
                let mut watch = Watch::new(channel, tolerance(channel));
                for (index, row) in self.rows.iter().enumerate() {
                    if row.time_s <= end_s + watch.tolerance.shift_s + time_rounding_s() {
                        let stands_for_s = self.stands_for_s(index);
                        watch.see(row.time_s, row.values[column], &course, stands_for_s);
                    }
                }
                all.extend(watch.left.map(Difference::Left));
                all.extend(watch.one_sided);
            }
        }
        all.extend(self.ends(end_s, tolerance));
        // a stable sort: channels keep their order, the end comes behind them
        all.sort_by(|a, b| a.first_s().total_cmp(&b.first_s()));
        all
    }

    fn ends(
        &self,
        got_s: f64,
        tolerance: &dyn Fn(Channel) -> Tolerance,
    ) -> Option<Difference> {
        let expected_s = self.rows.last()?.time_s;
        let shifts = self.channels.iter().map(|c| tolerance(*c).shift_s);
        let allowed_s = shifts.fold(0.0, f64::max).max(time_rounding_s());
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

/// What has been seen of one channel.
struct Watch {
    channel: Channel,
    tolerance: Tolerance,
    left: Option<Divergence>,
    one_sided: Option<Difference>,
}

impl Watch {
    fn new(channel: Channel, tolerance: Tolerance) -> Self {
        Self {
            channel,
            tolerance,
            left: None,
            one_sided: None,
        }
    }

    /// One row of the baseline against the trace around it.
    fn see(&mut self, time_s: f64, expected: Option<f64>, course: &Course, stands_for_s: f64) {
        let shift_s = self.tolerance.shift_s;
        let window = course.window(time_s - shift_s, time_s + shift_s);
        match (expected, window.range) {
            (Some(expected), Some((low, high))) => {
                let allowed = self.tolerance.allowed(expected);
                // sums of figures with few decimals carry rounding of their own
                let rounding = 1e-9 * (allowed + expected.abs());
                let near = expected.clamp(low, high);
                if (near - expected).abs() > allowed + rounding {
                    let got = course.at(time_s).unwrap_or(near);
                    self.outside(time_s, expected, got, allowed, stands_for_s);
                }
            }
            (None, Some((low, _))) if !window.gap => {
                let got = course.at(time_s).or(Some(low));
                self.alone(time_s, None, got);
            }
            (Some(expected), None) => self.alone(time_s, Some(expected), None),
            (None, _) => {}
        }
    }

    fn outside(&mut self, time_s: f64, expected: f64, got: f64, allowed: f64, stands_for_s: f64) {
        let left = self.left.get_or_insert(Divergence {
            channel: self.channel,
            first_s: time_s,
            expected,
            got,
            allowed,
            worst_s: time_s,
            worst_expected: expected,
            worst_got: got,
            outside_s: 0.0,
        });
        left.outside_s += stands_for_s;
        if (got - expected).abs() > (left.worst_got - left.worst_expected).abs() {
            left.worst_s = time_s;
            left.worst_expected = expected;
            left.worst_got = got;
        }
    }

    fn alone(&mut self, first_s: f64, expected: Option<f64>, got: Option<f64>) {
        self.one_sided.get_or_insert(Difference::OneSided {
            channel: self.channel,
            first_s,
            expected,
            got,
        });
    }
}
