//! Hatching, so that an area reads without colour.
use super::canvas::{Area, Canvas, Point, corners};
use super::palette::{Ink, Stroke};

/// Which way the lines of a hatch run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lean {
    /// From lower left to upper right.
    Up,
    /// From upper left to lower right.
    Down,
}

/// Hatches an area.
pub(super) fn hatch_area(canvas: &mut Canvas, area: Area, lean: Lean, gap: f64, stroke: Stroke) {
    hatch(canvas, &corners(area), lean, gap, stroke);
}

/// Hatches the inside of a polygon: lines at 45 degrees, cut where they cross
/// its edges, every second piece being inside.
pub(super) fn hatch(canvas: &mut Canvas, polygon: &[Point], lean: Lean, gap: f64, stroke: Stroke) {
    let sign = match lean {
        Lean::Up => 1.0,
        Lean::Down => -1.0,
    };
    // Along a hatch line `level` is constant, `along` grows.
    let level = |point: Point| point.0 + sign * point.1;
    let along = |point: Point| point.0 - sign * point.1;
    let lowest = polygon
        .iter()
        .map(|&p| level(p))
        .fold(f64::INFINITY, f64::min);
    let highest = polygon
        .iter()
        .map(|&p| level(p))
        .fold(f64::NEG_INFINITY, f64::max);
    if !(lowest.is_finite() && highest.is_finite()) {
        return;
    }
    // Lines stand on a grid common to the sheet, so neighbours join.
    let mut at = (lowest / gap).ceil() * gap + 0.013;
    while at < highest {
        let mut crossings: Vec<f64> = (0..polygon.len())
            .filter_map(|index| {
                let (a, b) = (polygon[index], polygon[(index + 1) % polygon.len()]);
                let (la, lb) = (level(a), level(b));
                ((la < at) != (lb < at)).then(|| {
                    let share = (at - la) / (lb - la);
                    along(a) + (along(b) - along(a)) * share
                })
            })
            .collect();
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            let point = |s: f64| ((at + s) / 2.0, sign * (at - s) / 2.0);
            canvas.line(&[point(pair[0]), point(pair[1])], stroke);
        }
        at += gap;
    }
}

/// A pale tint with a hatch in the same ink.
pub(super) fn tinted(
    canvas: &mut Canvas,
    area: Area,
    lean: Lean,
    gap: f64,
    stroke: Stroke,
    ink: Ink,
) {
    canvas.fill_area(area, ink, 0.06);
    hatch_area(canvas, area, lean, gap, stroke);
}
