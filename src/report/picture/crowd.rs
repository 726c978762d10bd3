//! Finding room for labels among lines and other labels.
use super::canvas::{Area, Canvas, Label, Point, Side};
use super::palette::{Dash, GREY, stroke};

/// What labels must not cover.
#[derive(Debug, Clone)]
pub(super) struct Crowd {
    bounds: Area,
    taken: Vec<Area>,
    marks: Vec<Point>,
}

impl Crowd {
    /// An empty place for labels.
    pub(super) fn new(bounds: Area) -> Self {
        Crowd {
            bounds,
            taken: Vec::new(),
            marks: Vec::new(),
        }
    }

    /// Keeps labels off an area.
    pub(super) fn take(&mut self, area: Area) {
        self.taken.push(area);
    }

    /// Keeps labels off a line, as far as there is room elsewhere.
    pub(super) fn avoid_line(&mut self, points: &[Point]) {
        for pair in points.windows(2) {
            let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
            if !(x0 + y0 + x1 + y1).is_finite() {
                continue;
            }
            let pieces = ((x1 - x0).hypot(y1 - y0) / 6.0).ceil().clamp(1.0, 400.0);
            for piece in 0..pieces as usize {
                let share = piece as f64 / pieces;
                self.marks
                    .push((x0 + (x1 - x0) * share, y0 + (y1 - y0) * share));
            }
        }
        self.marks
            .extend(points.last().filter(|(x, y)| (x + y).is_finite()));
    }

    /// The candidate that covers least; the first of equals.
    pub(super) fn best(&self, candidates: impl IntoIterator<Item = Label>) -> Option<Label> {
        let mut best: Option<(f64, Label)> = None;
        for candidate in candidates {
            let cost = self.cost(&candidate.area());
            if best.as_ref().is_none_or(|(least, _)| cost < *least - 1e-9) {
                best = Some((cost, candidate));
            }
        }
        best.map(|(_, label)| label)
    }

    /// How much a label over an area would cover.
    pub(super) fn cost(&self, area: &Area) -> f64 {
        let spread = area.grown(2.0);
        let outside = (self.bounds.left - area.left).max(0.0)
            + (area.right - self.bounds.right).max(0.0)
            + (self.bounds.top - area.top).max(0.0)
            + (area.bottom - self.bounds.bottom).max(0.0);
        let covered: f64 = self.taken.iter().map(|other| spread.overlap(other)).sum();
        let crossed = self
            .marks
            .iter()
            .filter(|&&mark| spread.holds(mark))
            .count();
        outside * 200.0 + covered * 20.0 + crossed as f64 * 60.0
    }

    /// Puts a label near its point, at the place that covers least; one that
    /// lands far away is tied to its point by a thin line.
    pub(super) fn place(&mut self, canvas: &mut Canvas, label: Label, away: f64) {
        self.place_towards(canvas, label, away, &AROUND);
    }

    /// As [`Crowd::place`], by preference above or below the point.
    pub(super) fn place_above(&mut self, canvas: &mut Canvas, label: Label, away: f64) {
        self.place_towards(canvas, label, away, &ABOVE);
    }

    fn place_towards(
        &mut self,
        canvas: &mut Canvas,
        label: Label,
        away: f64,
        directions: &[(f64, f64)],
    ) {
        let point = label.at;
        if !(point.0.is_finite() && point.1.is_finite()) {
            return;
        }
        let mut best: Option<(f64, Label)> = None;
        for (ring, distance) in [away, away + 12.0, away + 30.0, away + 55.0, away + 90.0]
            .into_iter()
            .enumerate()
        {
            for (turn, &(dx, dy)) in directions.iter().enumerate() {
                let mut candidate = label.clone();
                candidate.at = (point.0 + dx * distance, point.1 + dy * distance);
                candidate.side = if dx > 0.3 {
                    Side::Start
                } else if dx < -0.3 {
                    Side::End
                } else {
                    Side::Middle
                };
                if dx.abs() <= 0.3 {
                    candidate.at.1 += dy * label.size * 0.4;
                }
                let cost = self.cost(&candidate.area()) + ring as f64 * 24.0 + turn as f64 * 1.5;
                if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                    best = Some((cost, candidate));
                }
            }
        }
        if let Some((_, chosen)) = best {
            let area = chosen.area();
            let end = (
                point.0.clamp(area.left, area.right),
                point.1.clamp(area.top, area.bottom),
            );
            if (end.0 - point.0).hypot(end.1 - point.1) > away + 8.0 {
                canvas.line(&[point, end], stroke(GREY, 0.9, Dash::Solid));
            }
            self.taken.push(area);
            canvas.text_on_ground(chosen);
        }
    }
}

const AROUND: [(f64, f64); 12] = [
    (1.0, 0.0),
    (0.75, -0.75),
    (0.75, 0.75),
    (0.0, -1.0),
    (0.0, 1.0),
    (-1.0, 0.0),
    (-0.75, -0.75),
    (-0.75, 0.75),
    (0.95, -0.35),
    (0.95, 0.35),
    (-0.95, -0.35),
    (-0.95, 0.35),
];

const ABOVE: [(f64, f64); 6] = [
    (0.0, -1.0),
    (0.0, 1.0),
    (0.75, -0.75),
    (-0.75, -0.75),
    (0.75, 0.75),
    (-0.75, 0.75),
];

/// Moves heights apart until neighbours are `gap` from each other, in their
/// order, inside `low..high`; returns them in the order given.
pub(super) fn spread(heights: &[f64], gap: f64, low: f64, high: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..heights.len()).collect();
    order.sort_by(|&a, &b| heights[a].total_cmp(&heights[b]));
    let mut placed: Vec<f64> = order
        .iter()
        .map(|&index| heights[index].clamp(low, high))
        .collect();
    for _ in 0..200 {
        let mut moved = false;
        for index in 1..placed.len() {
            let lack = gap - (placed[index] - placed[index - 1]);
            if lack > 0.05 {
                placed[index - 1] -= lack / 2.0;
                placed[index] += lack / 2.0;
                moved = true;
            }
        }
        if let Some(first) = placed.first_mut() {
            *first = first.max(low);
        }
        if let Some(last) = placed.last_mut() {
            *last = last.min(high);
        }
        if !moved {
            break;
        }
    }
    let mut result = vec![0.0; heights.len()];
    for (place, &index) in order.iter().enumerate() {
        result[index] = placed[place];
    }
    result
}
