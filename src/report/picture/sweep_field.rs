//! A sweep over two rows of numbers: levels of the least headroom, the line on
//! which each limit is met, the exceeded side hatched.
use super::axis::{Frame, Scale, round_step, span};
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::Crowd;
use super::hatch::{Lean, hatch, hatch_area};
use super::palette::*;
use super::sheet::shortened;
use super::sweep::{View, ink, least, look};
use super::sweep_axis::ShownAxis;
use super::sweep_data::{SweepCase, SweepVerdict};
use super::sweep_grid::{Field, Piece};
use super::sweep_legend::{PANEL, legend, level};

/// Levels are spread up to here \[%\]: more headroom than that is plenty.
const PLENTY_PCT: f64 = 60.0;
/// Each further level is this much darker.
pub(super) const DEPTH: f64 = 0.11;
/// Grids of more cases than these show no dots.
const DOTS_MOST: usize = 700;
/// Shorter lines than this say nothing \[px\].
const CRUMB_PX: f64 = 14.0;

pub(super) fn draw(canvas: &mut Canvas, view: &View<'_>, up: &ShownAxis) {
    let across = view.across.places.as_deref().unwrap_or_default();
    let rows = up.places.as_deref().unwrap_or_default();
    let axes = [across, rows];
    let frame = frame(canvas, axes);
    let mut crowd = Crowd::new(frame.area.grown(-4.0));
    let (mut levels, mut lines) = (Vec::new(), Vec::new());
    if let Some(field) = Field::new(view, across.len(), rows.len()) {
        levels = ground(canvas, &frame, axes, &field);
        lines = limit_lines(&frame, axes, &field);
    }
    dots(canvas, &frame, view, axes);
    for (limit, pieces) in &lines {
        for piece in pieces {
            crowd.avoid_line(&piece.points);
            canvas.line(&piece.points, line_look(*limit, piece.edge));
        }
    }
    // Above the lines: nothing is known there.
    without_result(canvas, &frame, &mut crowd, view, axes);
    canvas.outline(frame.area, stroke(BLACK, 1.2, Dash::Solid));
    limit_names(canvas, &mut crowd, view, &lines);
    level_names(canvas, &mut crowd, &levels);
    let shown: Vec<f64> = levels.iter().map(|(level, _)| *level).collect();
    legend(canvas, &frame, view, &shown, !lines.is_empty());
    let fitted = |name: &str, room| shortened(name, super::axis::NAME_SIZE, false, room);
    frame.axis_below(canvas, &fitted(&view.across.name, frame.area.width()));
    frame.axis_left(canvas, &fitted(&up.name, frame.area.height()));
}

fn frame(canvas: &Canvas, axes: [&[f64]; 2]) -> Frame {
    let scale = |axis: &[f64]| {
        let (low, high) = span(axis.iter().copied());
        Scale::new(low, high, 9)
    };
    Frame {
        area: Area::new(88.0, 76.0, canvas.width - PANEL, canvas.height - 84.0),
        across: scale(axes[0]),
        up: scale(axes[1]),
    }
}

/// Tints the levels, hatches what is exceeded; returns the lines of the levels.
fn ground(
    canvas: &mut Canvas,
    frame: &Frame,
    axes: [&[f64]; 2],
    field: &Field,
) -> Vec<(f64, Vec<Piece>)> {
    canvas.fill_area(frame.area, BLUE, DEPTH);
    let shown = levels(field);
    for level in &shown {
        for outline in field.regions(frame, axes, &field.least, *level) {
            canvas.fill(&outline, BLUE, DEPTH);
        }
    }
    let lines = shown
        .into_iter()
        .map(|level| (level, field.lines(frame, axes, &field.least, level)));
    let lines: Vec<_> = lines.collect();
    for piece in lines.iter().flat_map(|(_, pieces)| pieces) {
        canvas.line(&piece.points, stroke(WHITE, 1.6, Dash::Solid));
    }
    exceeded_side(canvas, frame, axes, field);
    lines
}

/// Hatches where limits are exceeded, one after the other: the lines of the hatch
/// stand on a common grid, and each region ends exactly on the line of its limit.
fn exceeded_side(canvas: &mut Canvas, frame: &Frame, axes: [&[f64]; 2], field: &Field) {
    let mut outlines = Vec::new();
    for (_, values) in &field.limits {
        let over: Vec<f64> = values.iter().map(|pct| -pct).collect();
        // Just beyond zero: a limit that is exactly met is held.
        outlines.extend(field.regions(frame, axes, &over, 1e-9));
    }
    for outline in &outlines {
        canvas.fill(outline, WHITE, 1.0);
    }
    for outline in &outlines {
        let line = stroke(MID_GREY, 0.9, Dash::Solid);
        hatch(canvas, outline, Lean::Up, 11.0, line);
    }
}

/// Three or four round levels of the least headroom above zero \[%\].
fn levels(field: &Field) -> Vec<f64> {
    let (_, most) = span(field.least.iter().copied());
    let top = most.min(PLENTY_PCT);
    if top < 0.1 {
        return Vec::new();
    }
    let step = round_step(top / 4.0);
    (1..=4)
        .map(|count| f64::from(count) * step)
        .filter(|level| *level < top)
        .collect()
}

/// Where each limit is just met.
fn limit_lines(frame: &Frame, axes: [&[f64]; 2], field: &Field) -> Vec<(usize, Vec<Piece>)> {
    let lines = field.limits.iter().map(|(limit, values)| {
        let mut pieces = field.lines(frame, axes, values, 0.0);
        pieces.retain(|piece| length(&piece.points) > 0.5);
        (*limit, pieces)
    });
    lines.filter(|(_, pieces)| !pieces.is_empty()).collect()
}

fn line_look(limit: usize, edge: bool) -> Stroke {
    match edge {
        true => stroke(ink(limit), 4.0, Dash::Solid),
        false => {
            let thin = look(limit, 1.4);
            let dash = match thin.dash {
                Dash::Solid => Dash::Short,
                dash => dash,
            };
            Stroke { dash, ..thin }
        }
    }
}

fn length(points: &[Point]) -> f64 {
    let steps = points.windows(2);
    steps
        .map(|p| (p[1].0 - p[0].0).hypot(p[1].1 - p[0].1))
        .sum()
}

/// The part of the picture that stands for a case: half way to its neighbours.
fn around(frame: &Frame, axes: [&[f64]; 2], column: usize, row: usize) -> Area {
    let ends = |axis: &[f64], index: usize| {
        let before = axis[index.saturating_sub(1)];
        let after = axis[(index + 1).min(axis.len() - 1)];
        ((before + axis[index]) / 2.0, (axis[index] + after) / 2.0)
    };
    let ((left, right), (low, high)) = (ends(axes[0], column), ends(axes[1], row));
    let (a, b) = (frame.at(left, high), frame.at(right, low));
    Area::new(a.0, a.1, b.0, b.1)
}

/// Cases of which the field knows nothing or not all: crosses for those that
/// failed, a hatch for those that exceeded something without a headroom to it.
fn without_result(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    view: &View<'_>,
    axes: [&[f64]; 2],
) {
    for (index, case) in view.cases.iter().enumerate() {
        let (column, row) = (index % axes[0].len(), index / axes[0].len());
        let place = around(frame, axes, column, row);
        let blank = case.verdict == SweepVerdict::Failed || least(case).is_none();
        if blank {
            canvas.fill_area(place, WHITE, 1.0);
        }
        if exceeded_unseen(case) {
            let line = stroke(MID_GREY, 0.9, Dash::Solid);
            canvas.fill_area(place, WHITE, 1.0);
            hatch_area(canvas, place, Lean::Up, 11.0, line);
        }
        if case.verdict == SweepVerdict::Failed {
            let middle = (
                (place.left + place.right) / 2.0,
                (place.top + place.bottom) / 2.0,
            );
            let size = (place.width().min(place.height()) * 0.3).clamp(0.8, 7.0);
            let width = (size * 0.3).clamp(0.5, 2.0);
            canvas.cross(middle, size, stroke(BLACK, width, Dash::Solid));
            crowd.take(place);
        }
    }
}

/// Whether a case exceeded something that its headrooms do not show.
fn exceeded_unseen(case: &SweepCase) -> bool {
    case.verdict == SweepVerdict::Exceeded && least(case).is_none_or(|(_, pct)| pct >= 0.0)
}

/// A dot for each case that was run.
fn dots(canvas: &mut Canvas, frame: &Frame, view: &View<'_>, axes: [&[f64]; 2]) {
    if view.cases.len() > DOTS_MOST {
        return;
    }
    for (index, case) in view.cases.iter().enumerate() {
        if case.verdict != SweepVerdict::Failed {
            let at = frame.at(
                axes[0][index % axes[0].len()],
                axes[1][index / axes[0].len()],
            );
            canvas.disc(at, 1.3, MID_GREY);
        }
    }
}

/// The name of each limit on its line: on the edge of the safe region in bold,
/// where it has a part in it.
fn limit_names(
    canvas: &mut Canvas,
    crowd: &mut Crowd,
    view: &View<'_>,
    lines: &[(usize, Vec<Piece>)],
) {
    let main = |pieces: &[Piece], edge: bool| -> Option<Vec<Point>> {
        let of_kind = pieces.iter().filter(|piece| piece.edge == edge);
        let longest = of_kind.max_by(|a, b| length(&a.points).total_cmp(&length(&b.points)))?;
        (length(&longest.points) > CRUMB_PX).then(|| longest.points.clone())
    };
    // Edges first: they matter most and take the best places.
    for edge in [true, false] {
        for (limit, pieces) in lines {
            let bold = main(pieces, true);
            let line = match edge {
                true => bold,
                false if bold.is_some() => None,
                false => main(pieces, false),
            };
            let Some(line) = line else { continue };
            let text = shortened(view.label(*limit), 15.0, edge, 220.0);
            let label = Label::new(text, line[0], 15.0, dark(ink(*limit)));
            let mut label = if edge { label.bold() } else { label };
            label.at = roomy(crowd, &label, &line);
            crowd.place_above(canvas, label, 9.0);
        }
    }
}

/// Of some points along a line the one with the most room above or below it.
fn roomy(crowd: &Crowd, label: &Label, line: &[Point]) -> Point {
    let half = length(line) / 2.0;
    let cost = |point: &Point| {
        let beside = [-18.0, 18.0].map(|down| {
            let mut label = label.clone().middle();
            label.at = (point.0, point.1 + down);
            crowd.cost(&label.area())
        });
        beside[0].min(beside[1])
    };
    let mut done = 0.0;
    let mut best: Option<(f64, Point)> = None;
    let mut next = half * 0.2;
    for pair in line.windows(2) {
        done += length(pair);
        if done < next {
            continue;
        }
        next = done + half * 0.1;
        // The middle is best where all else is equal.
        let cost = cost(&pair[1]) + (done - half).abs() / half * 20.0;
        if best.is_none_or(|(least, _)| cost < least) {
            best = Some((cost, pair[1]));
        }
    }
    best.map_or(line[line.len() - 1], |(_, point)| point)
}

fn dark(ink: Ink) -> Ink {
    match ink {
        SKY => BLUE,
        ink => ink,
    }
}

fn level_names(canvas: &mut Canvas, crowd: &mut Crowd, levels: &[(f64, Vec<Piece>)]) {
    for (pct, pieces) in levels {
        let longest = pieces
            .iter()
            .max_by(|a, b| length(&a.points).total_cmp(&length(&b.points)));
        let Some(longest) = longest.filter(|piece| length(&piece.points) > 40.0) else {
            continue;
        };
        let text = format!("{} %", level(*pct));
        let spots = longest
            .points
            .iter()
            .step_by(longest.points.len().div_ceil(40));
        let labels = spots.map(|at| Label::new(text.clone(), *at, 13.0, BLACK).middle());
        if let Some(label) = crowd.best(labels) {
            crowd.take(label.area());
            canvas.text_on_ground(label);
        }
    }
}
