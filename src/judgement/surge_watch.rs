//! Counts the cycles of a surge that is simulated.
use super::result::SurgeResult;
use crate::simulation::Sample;

/// Onsets further apart belong to different bouts of surge \[s\]: deep surge of a
/// vehicle's engine repeats several times a second.
const SAME_BOUT_S: f64 = 0.5;

/// What has been seen of surge so far.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SurgeWatch {
    seen: SurgeResult,
    in_surge: bool,
    /// When the flow last fell below the surge line \[s\].
    last_onset_s: Option<f64>,
    /// Whole cycles inside bouts, and how long they took \[s\].
    periods: u32,
    periods_s: f64,
}

impl SurgeWatch {
    /// Sees a sample that stands for `span_s`.
    pub fn see(&mut self, s: &Sample, span_s: f64) {
        let in_surge = s.surge_margin_pct < 0.0;
        if in_surge && !self.in_surge {
            self.onset(s.time_s);
        }
        self.in_surge = in_surge;
        if in_surge {
            self.seen.last_s = Some(s.time_s);
        }
        let flow = s.compressor_flow_kg_s;
        if flow < 0.0 {
            self.seen.reverse_flow_s += span_s;
        }
        let lowest = self.seen.lowest_flow_kg_s;
        self.seen.lowest_flow_kg_s = Some(lowest.map_or(flow, |lowest| lowest.min(flow)));
    }

    /// The flow falls below the surge line.
    fn onset(&mut self, time_s: f64) {
        self.seen.cycles += 1;
        self.seen.first_s.get_or_insert(time_s);
        if let Some(last_s) = self.last_onset_s
            && time_s - last_s < SAME_BOUT_S
        {
            self.periods += 1;
            self.periods_s += time_s - last_s;
        }
        self.last_onset_s = Some(time_s);
    }

    /// The result.
    pub fn result(&self) -> SurgeResult {
        let periods = f64::from(self.periods);
        SurgeResult {
            frequency_hz: (self.periods > 0).then(|| periods / self.periods_s),
            ..self.seen
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A flow that swings at 8 Hz about the surge line for one second.
    #[test]
    fn cycles_of_a_known_swing_are_counted() {
        let mut watch = SurgeWatch::default();
        for tick in 0..200 {
            let time_s = f64::from(tick) * 0.01;
            let swing = (std::f64::consts::TAU * 8.0 * time_s).cos();
            let flow = if time_s < 1.0 { swing } else { 1.0 };
            let sample = Sample {
                time_s,
                surge_margin_pct: 100.0 * flow,
                compressor_flow_kg_s: flow,
                ..Sample::default()
            };
            watch.see(&sample, 0.01);
        }
        let result = watch.result();
        assert_eq!(result.cycles, 8);
        // each onset is seen to a tick, so that seven periods are to two
        let frequency = result.frequency_hz.unwrap_or(0.0);
        assert!((frequency - 8.0).abs() < 8.0 * 0.02 / 0.875, "{frequency}");
        assert!((result.reverse_flow_s - 0.5).abs() < 0.05);
    }
}
