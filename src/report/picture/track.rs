//! A run as a path: points, time ticks, where the reading pins.
use super::axis::round_step;
use super::canvas::{Canvas, Label, Point, text_width};
use super::crowd::Crowd;
use super::palette::{Ink, WHITE};
use crate::report::units::fixed;
use crate::simulation::Sample;

/// A run drawn as a path.
pub(super) struct Track {
    pub(super) times_s: Vec<f64>,
    pub(super) points: Vec<Point>,
}

impl Track {
    pub(super) fn new(samples: &[Sample], place: impl Fn(&Sample) -> Point) -> Self {
        let (times_s, points) = samples
            .iter()
            .map(|sample| (sample.time_s, place(sample)))
            .unzip();
        Track { times_s, points }
    }

    /// Where the run is at a time.
    pub(super) fn at(&self, time_s: f64) -> Option<Point> {
        let after = self.times_s.partition_point(|&time| time < time_s);
        let before = after.saturating_sub(1);
        let (&t0, &t1) = (self.times_s.get(before)?, self.times_s.get(after)?);
        let share = if t1 > t0 {
            (time_s - t0) / (t1 - t0)
        } else {
            0.0
        };
        let ((x0, y0), (x1, y1)) = (self.points[before], self.points[after]);
        let point = (x0 + (x1 - x0) * share, y0 + (y1 - y0) * share);
        (point.0.is_finite() && point.1.is_finite()).then_some(point)
    }

    /// The first and the last place that exist.
    pub(super) fn ends(&self) -> Option<(Point, Point)> {
        let mut real = self
            .points
            .iter()
            .copied()
            .filter(|(x, y)| x.is_finite() && y.is_finite());
        let first = real.next()?;
        Some((first, real.next_back().unwrap_or(first)))
    }

    /// Full times to mark: about a dozen over the run.
    pub(super) fn ticks_s(&self) -> (Vec<f64>, usize) {
        let (Some(&first), Some(&last)) = (self.times_s.first(), self.times_s.last()) else {
            return (Vec::new(), 0);
        };
        let step = round_step((last - first) / 12.0);
        let places = (0..3)
            .find(|&p| (step * 10_f64.powi(p)).fract().abs() < 1e-6)
            .unwrap_or(3);
        let from = (first / step).floor() as i64 + 1;
        let to = (last / step - 1e-6).ceil() as i64;
        (
            (from..to).map(|count| count as f64 * step).collect(),
            places as usize,
        )
    }

    /// Dots with their times. Dots that crowd lose their label, dots under one
    /// of the marks in `beside` are left out.
    pub(super) fn draw_ticks(
        &self,
        canvas: &mut Canvas,
        crowd: &mut Crowd,
        ink: Ink,
        text_ink: Ink,
        beside: &[Point],
    ) {
        let (ticks, places) = self.ticks_s();
        let mut last: Option<Point> = None;
        let end = self.ends().map(|(_, end)| end);
        for tick in ticks {
            let Some(point) = self.at(tick) else { continue };
            let distance = beside
                .iter()
                .map(|&(x, y)| (point.0 - x).hypot(point.1 - y))
                .fold(f64::INFINITY, f64::min);
            if distance < 14.0 {
                continue;
            }
            canvas.disc(point, 5.5, WHITE);
            canvas.disc(point, 4.0, ink);
            let text = format!("{} s", fixed(tick, places));
            let room = text_width(&text, 14.0, false) * 0.8;
            let near = |other: Option<Point>, room: f64| {
                other.is_some_and(|(x, y)| (point.0 - x).hypot(point.1 - y) < room)
            };
            if near(last, room) || near(end, room) || distance < 24.0 {
                continue;
            }
            last = Some(point);
            crowd.place(canvas, Label::new(text, point, 14.0, text_ink), 9.0);
        }
    }
}

/// The first sample whose reading is pinned.
pub(super) fn first_pinned(samples: &[Sample]) -> Option<&Sample> {
    samples.iter().find(|sample| sample.pinned)
}

/// Spans of time in which something holds, from sample to sample.
pub(super) fn spans(samples: &[Sample], holds: impl Fn(&Sample) -> bool) -> Vec<(f64, f64)> {
    let mut result: Vec<(f64, f64)> = Vec::new();
    let mut open: Option<f64> = None;
    for sample in samples {
        match (open, holds(sample)) {
            (None, true) => open = Some(sample.time_s),
            (Some(start), false) => {
                result.push((start, sample.time_s));
                open = None;
            }
            _ => {}
        }
    }
    if let (Some(start), Some(last)) = (open, samples.last()) {
        result.push((start, last.time_s));
    }
    result
}

/// Runs of neighbouring samples that agree, as ranges that share their ends.
pub(super) fn stretches(
    samples: &[Sample],
    kind: impl Fn(&Sample) -> bool,
) -> Vec<(usize, usize, bool)> {
    let mut result = Vec::new();
    let mut start = 0;
    for index in 1..samples.len() {
        let changes = kind(&samples[index]) != kind(&samples[start]);
        let last = index + 1 == samples.len();
        if changes || last {
            result.push((start, index, kind(&samples[start])));
            start = index;
        }
    }
    result
}
