//! A sweep over two rows of numbers: levels of the least headroom, the line on
//! which each limit is met, the exceeded side hatched.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Label, Point, text_width};
use super::crowd::Crowd;
use super::hatch::{Lean, hatch, hatch_area};
use super::palette::*;
use super::sheet::shortened;
use super::sweep::{View, ink, least, look};
use super::sweep_axis::ShownAxis;
use super::sweep_data::{SweepCase, SweepVerdict};
use super::sweep_grid::{Field, Piece};

const PANEL: f64 = 216.0;
/// Levels of the least headroom \[%\], zero aside.
const LEVELS_PCT: [f64; 6] = [2.0, 5.0, 10.0, 20.0, 30.0, 50.0];
/// Each further level is this much darker.
const DEPTH: f64 = 0.11;
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
    without_result(canvas, &frame, &mut crowd, view, axes);
    dots(canvas, &frame, view, axes);
    for (limit, pieces) in &lines {
        for piece in pieces {
            crowd.avoid_line(&piece.points);
            canvas.line(&piece.points, line_look(*limit, piece.edge));
        }
    }
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
    let exceeded: Vec<f64> = field.least.iter().map(|pct| -pct).collect();
    // Just beyond zero: a limit that is exactly met is held.
    for outline in field.regions(frame, axes, &exceeded, 1e-9) {
        canvas.fill(&outline, VERMILLION, 0.06);
        let line = stroke(MID_GREY, 0.9, Dash::Solid);
        hatch(canvas, &outline, Lean::Up, 11.0, line);
    }
    let (_, most) = span(field.least.iter().copied());
    for level in std::iter::once(0.0).chain(LEVELS_PCT) {
        for outline in field.regions(frame, axes, &field.least, level) {
            canvas.fill(&outline, BLUE, DEPTH);
        }
    }
    let shown = LEVELS_PCT.into_iter().filter(|level| *level < most);
    let lines = shown.map(|level| (level, field.lines(frame, axes, &field.least, level)));
    let lines: Vec<_> = lines.collect();
    for piece in lines.iter().flat_map(|(_, pieces)| pieces) {
        canvas.line(&piece.points, stroke(WHITE, 1.6, Dash::Solid));
    }
    lines
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
            canvas.fill_area(place, VERMILLION, 0.06);
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
            let label = Label::new(text, middle(&line), 15.0, dark(ink(*limit)));
            let label = if edge { label.bold() } else { label };
            crowd.place(canvas, label, 8.0);
        }
    }
}

/// The point half way along a line.
fn middle(points: &[Point]) -> Point {
    let half = length(points) / 2.0;
    let mut done = 0.0;
    for pair in points.windows(2) {
        done += length(pair);
        if done >= half {
            return pair[1];
        }
    }
    points[points.len() - 1]
}

fn dark(ink: Ink) -> Ink {
    match ink {
        SKY => BLUE,
        ink => ink,
    }
}

fn level_names(canvas: &mut Canvas, crowd: &mut Crowd, levels: &[(f64, Vec<Piece>)]) {
    for (level, pieces) in levels {
        let longest = pieces
            .iter()
            .max_by(|a, b| length(&a.points).total_cmp(&length(&b.points)));
        let Some(longest) = longest.filter(|piece| length(&piece.points) > 40.0) else {
            continue;
        };
        let text = format!("{level:.0} %");
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

/// What tints, hatch and lines mean, right of the chart.
fn legend(canvas: &mut Canvas, frame: &Frame, view: &View<'_>, levels: &[f64], lines: bool) {
    let left = frame.area.right + 20.0;
    let mut y = frame.area.top + 8.0;
    canvas.text(Label::new("least headroom", (left, y), 14.0, GREY));
    let swatch = |canvas: &mut Canvas, y: f64| {
        let place = Area::new(left, y - 9.0, left + 34.0, y + 9.0);
        canvas.outline(place, stroke(GREY, 0.8, Dash::Solid));
        place
    };
    for step in (0..=levels.len()).rev() {
        y += 22.0;
        let place = swatch(canvas, y);
        for _ in 0..=step {
            canvas.fill_area(place, BLUE, DEPTH);
        }
        let from = step.checked_sub(1).map_or(0.0, |before| levels[before]);
        let text = match levels.get(step) {
            Some(to) => format!("{from:.0} to {to:.0} %"),
            None if from > 0.0 => format!("above {from:.0} %"),
            None => "0 % and more".to_owned(),
        };
        canvas.text(Label::new(text, (left + 42.0, y), 14.0, BLACK));
    }
    y += 22.0;
    let place = swatch(canvas, y);
    canvas.fill_area(place, VERMILLION, 0.06);
    let line = stroke(MID_GREY, 0.9, Dash::Solid);
    hatch_area(canvas, place, Lean::Up, 11.0, line);
    canvas.text(Label::new(
        "a limit exceeded",
        (left + 42.0, y),
        14.0,
        BLACK,
    ));
    let mut row = |canvas: &mut Canvas, text: &str, look: Option<Stroke>| {
        y += 22.0;
        match look {
            Some(look) => canvas.line(&[(left, y), (left + 34.0, y)], look),
            None => canvas.cross((left + 17.0, y), 6.0, stroke(BLACK, 2.0, Dash::Solid)),
        }
        let room = PANEL - 66.0;
        let text = shortened(text, 14.0, false, room);
        canvas.text(Label::new(text, (left + 42.0, y), 14.0, BLACK));
    };
    if lines {
        row(
            canvas,
            "edge of what is safe",
            Some(stroke(BLACK, 4.0, Dash::Solid)),
        );
        row(
            canvas,
            "limit met elsewhere",
            Some(stroke(BLACK, 1.4, Dash::Short)),
        );
    }
    let failed = view
        .cases
        .iter()
        .filter(|c| c.verdict == SweepVerdict::Failed);
    match failed.count() {
        0 => {}
        1 => row(canvas, "failed, no result", None),
        many => row(canvas, &format!("{many} failed, no result"), None),
    }
    debug_assert!(text_width("edge of what is safe", 14.0, false) < PANEL - 66.0);
}
