//! Headrooms between the cases of a grid: each limit by straight lines between
//! its neighbours across and up, the least of all limits from those. Regions and
//! lines of a level come from the `contour` crate.
use super::axis::Frame;
use super::canvas::Point;
use super::map_path::filled;
use super::sweep::{View, headroom};

/// Points along an axis after refinement, about.
const FINE: usize = 120;

/// Values on a grid that is finer than that of the cases.
pub(super) struct Field {
    columns: usize,
    rows: usize,
    /// Fine steps between two cases, across and up.
    parts: (usize, usize),
    /// A field for each limit that has a headroom anywhere.
    pub(super) limits: Vec<(usize, Vec<f64>)>,
    /// The least of all.
    pub(super) least: Vec<f64>,
}

/// A piece of a line with whether it is an edge of the safe region.
pub(super) struct Piece {
    pub(super) points: Vec<Point>,
    pub(super) edge: bool,
}

impl Field {
    /// `None` where no case has a headroom.
    pub(super) fn new(view: &View<'_>, columns: usize, rows: usize) -> Option<Self> {
        let parts = (
            (FINE / (columns - 1)).clamp(1, 24),
            (FINE / (rows - 1)).clamp(1, 24),
        );
        let fine = ((columns - 1) * parts.0 + 1, (rows - 1) * parts.1 + 1);
        let mut limits = Vec::new();
        for limit in 0..view.limits() {
            let known = view.cases.iter().map(|case| headroom(case, limit));
            let known: Vec<Option<f64>> = known.collect();
            if known.iter().any(Option::is_some) {
                let coarse = filled(&known, columns, rows);
                limits.push((limit, refined(&coarse, columns, fine, parts)));
            }
        }
        let least = (0..fine.0 * fine.1).map(|place| {
            let all = limits.iter().map(|(_, values)| values[place]);
            all.fold(f64::INFINITY, f64::min)
        });
        let least = least.collect();
        (!limits.is_empty()).then_some(Field {
            columns: fine.0,
            rows: fine.1,
            parts,
            limits,
            least,
        })
    }

    /// Where a place of the fine grid lies in the picture. Places of the library
    /// stand half a step off, and half a step beyond the edges.
    fn place(&self, frame: &Frame, axes: [&[f64]; 2], x: f64, y: f64) -> Point {
        let along = |axis: &[f64], place: f64, most: usize, parts: usize| {
            let coarse = (place - 0.5).clamp(0.0, (most - 1) as f64) / parts as f64;
            let before = (coarse as usize).min(axis.len() - 2);
            axis[before] + (axis[before + 1] - axis[before]) * (coarse - before as f64)
        };
        frame.at(
            along(axes[0], x, self.columns, self.parts.0),
            along(axes[1], y, self.rows, self.parts.1),
        )
    }

    /// The outlines of where a field is at or above a level, holes joined to
    /// their outer edge.
    pub(super) fn regions(
        &self,
        frame: &Frame,
        axes: [&[f64]; 2],
        values: &[f64],
        level: f64,
    ) -> Vec<Vec<Point>> {
        let builder = contour::ContourBuilder::new(self.columns, self.rows, true);
        let Ok(found) = builder.contours(values, &[level]) else {
            return Vec::new();
        };
        let polygons = found.iter().flat_map(|contour| contour.geometry().iter());
        polygons
            .map(|polygon| {
                let place = |x, y| self.place(frame, axes, x, y);
                let outer = polygon.exterior().coords();
                let mut outline: Vec<Point> = outer.map(|c| place(c.x, c.y)).collect();
                for hole in polygon.interiors() {
                    let back = outline.first().copied();
                    outline.extend(hole.coords().map(|c| place(c.x, c.y)));
                    outline.extend(back);
                }
                outline
            })
            .collect()
    }

    /// The lines of a level, without the edges of the grid; each piece by whether
    /// every other limit holds there.
    pub(super) fn lines(
        &self,
        frame: &Frame,
        axes: [&[f64]; 2],
        values: &[f64],
        level: f64,
    ) -> Vec<Piece> {
        let builder = contour::ContourBuilder::new(self.columns, self.rows, true);
        let Ok(found) = builder.lines(values, &[level]) else {
            return Vec::new();
        };
        let mut pieces: Vec<Piece> = Vec::new();
        for ring in found.iter().flat_map(|line| line.geometry().iter()) {
            let coords: Vec<Point> = ring.coords().map(|c| (c.x, c.y)).collect();
            let mut open = false;
            for pair in coords.windows(2) {
                let (a, b) = (pair[0], pair[1]);
                if self.beyond(a) || self.beyond(b) {
                    open = false;
                    continue;
                }
                let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
                let edge = self.others_hold(values, middle);
                let [from, to] = [a, b].map(|p| self.place(frame, axes, p.0, p.1));
                match pieces.last_mut().filter(|piece| open && piece.edge == edge) {
                    Some(piece) => piece.points.push(to),
                    None => pieces.push(Piece {
                        points: vec![from, to],
                        edge,
                    }),
                }
                open = true;
            }
        }
        pieces
    }

    /// Whether no other limit than the one of these values is exceeded at a place.
    fn others_hold(&self, values: &[f64], place: Point) -> bool {
        let own = |other: &[f64]| std::ptr::eq(other.as_ptr(), values.as_ptr());
        self.limits
            .iter()
            .all(|(_, other)| own(other) || self.at(other, place) >= 0.0)
    }

    /// Whether a place of the library lies beyond the outermost cases.
    fn beyond(&self, (x, y): Point) -> bool {
        x < 0.5 || y < 0.5 || x > self.columns as f64 - 0.5 || y > self.rows as f64 - 0.5
    }

    /// A field between the points of the fine grid.
    fn at(&self, values: &[f64], (x, y): Point) -> f64 {
        let split = |place: f64, most: usize| {
            let place = (place - 0.5).clamp(0.0, (most - 1) as f64);
            let before = (place as usize).min(most - 2);
            (before, place - before as f64)
        };
        let ((column, right), (row, up)) = (split(x, self.columns), split(y, self.rows));
        let value = |c: usize, r: usize| values[r * self.columns + c];
        let low = mixed(value(column, row), value(column + 1, row), right);
        let high = mixed(value(column, row + 1), value(column + 1, row + 1), right);
        mixed(low, high, up)
    }
}

fn mixed(a: f64, b: f64, share: f64) -> f64 {
    a * (1.0 - share) + b * share
}

fn refined(
    coarse: &[f64],
    columns: usize,
    fine: (usize, usize),
    parts: (usize, usize),
) -> Vec<f64> {
    let rows = coarse.len() / columns;
    let mut values = Vec::with_capacity(fine.0 * fine.1);
    for y in 0..fine.1 {
        let (row, up) = ((y / parts.1).min(rows - 2), y as f64 / parts.1 as f64);
        for x in 0..fine.0 {
            let (column, right) = ((x / parts.0).min(columns - 2), x as f64 / parts.0 as f64);
            let value = |c: usize, r: usize| coarse[r * columns + c];
            let right = right - column as f64;
            let low = mixed(value(column, row), value(column + 1, row), right);
            let high = mixed(value(column, row + 1), value(column + 1, row + 1), right);
            values.push(mixed(low, high, up - row as f64));
        }
    }
    values
}
