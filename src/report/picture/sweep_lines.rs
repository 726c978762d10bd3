//! A sweep over one row of numbers: the headroom to each limit as a line, the
//! zero line, the exceeded side hatched, and where the safe values end.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::{Crowd, spread};
use super::hatch::{Lean, tinted};
use super::palette::*;
use super::sheet::shortened;
use super::sweep::{View, headroom, held, ink, look, mark};
use super::sweep_data::SweepVerdict;

const PANEL: f64 = 204.0;
/// The scale up ends here, as far as the limits go \[%\]: what lies beyond is
/// far from being a limit or far from being safe, and is told in words.
const MOST_PCT: f64 = 60.0;
const LEAST_PCT: f64 = -40.0;
/// Values of a row that all get their mark.
const MARKED_MOST: usize = 32;
/// Ends of safe stretches that are told in words.
const ENDS_MOST: usize = 4;

pub(super) fn draw(canvas: &mut Canvas, view: &View<'_>) {
    let places = view.across.places.as_deref().unwrap_or_default();
    let frame = frame(canvas, view, places);
    frame.grid(canvas);
    let mut crowd = Crowd::new(frame.area.grown(-3.0));
    exceeded_side(canvas, &frame, &mut crowd);
    let mut ends = Vec::new();
    for limit in 0..view.limits() {
        let points = points(&frame, view, places, limit);
        let pieces: Vec<Vec<Point>> = clipped(&points, &frame.area);
        for piece in &pieces {
            canvas.line(piece, look(limit, 2.2));
            crowd.avoid_line(piece);
        }
        marks(canvas, &frame, &points, limit);
        ends.push(pieces.last().and_then(|piece| piece.last()).copied());
    }
    failures(canvas, &frame, &mut crowd, view, places);
    safe_ends(canvas, &frame, &mut crowd, view, places);
    labels(canvas, &frame, &mut crowd, view, &ends);
    frame.axis_below(canvas, &view.across.name);
    frame.axis_left(canvas, "headroom to each limit, %");
}

fn frame(canvas: &Canvas, view: &View<'_>, places: &[f64]) -> Frame {
    let (left, right) = span(places.iter().copied());
    let values = (0..view.limits())
        .flat_map(|limit| view.cases.iter().filter_map(move |c| headroom(c, limit)));
    let (low, high) = span(values);
    // Without any headroom the span is empty, and this leaves 0 to 10 %.
    let (low, high) = (low.clamp(LEAST_PCT, 0.0), high.clamp(10.0, MOST_PCT));
    let (wide, tall) = (right - left, high - low);
    Frame {
        area: Area::new(84.0, 76.0, canvas.width - PANEL, canvas.height - 84.0),
        across: Scale::new(left - wide * 0.02, right + wide * 0.02, 9),
        up: Scale::new(low - tall * 0.14, high + tall * 0.03, 9),
    }
}

fn exceeded_side(canvas: &mut Canvas, frame: &Frame, crowd: &mut Crowd) {
    let zero = frame.y(0.0);
    let side = Area::new(frame.area.left, zero, frame.area.right, frame.area.bottom);
    let line = stroke(MID_GREY, 0.8, Dash::Solid);
    tinted(canvas, side, Lean::Up, 12.0, line, VERMILLION);
    let edge = [(side.left, zero), (side.right, zero)];
    canvas.line(&edge, stroke(BLACK, 2.2, Dash::Solid));
    crowd.avoid_line(&edge);
    let at = (side.left + 10.0, side.bottom - 13.0);
    let label = Label::new("below zero: limit exceeded", at, 14.0, BLACK).bold();
    crowd.take(label.area());
    canvas.text_on_ground(label);
}

/// The line of a limit; not a number where there is no headroom.
fn points(frame: &Frame, view: &View<'_>, places: &[f64], limit: usize) -> Vec<Point> {
    let y = |case| headroom(case, limit).map_or(f64::NAN, |pct| frame.y(pct));
    let cases = view.cases.iter();
    cases
        .zip(places)
        .map(|(c, p)| (frame.x(*p), y(c)))
        .collect()
}

/// The pieces of a line inside an area. Steep pieces are cut where they leave.
fn clipped(points: &[Point], area: &Area) -> Vec<Vec<Point>> {
    let mut pieces: Vec<Vec<Point>> = Vec::new();
    let mut open = false;
    for pair in points.windows(2) {
        let Some((from, to)) = inside(pair[0], pair[1], area) else {
            open = false;
            continue;
        };
        match pieces.last_mut().filter(|_| open) {
            Some(piece) => piece.push(to),
            None => pieces.push(vec![from, to]),
        }
        open = to == pair[1];
    }
    pieces
}

/// The part of a stretch between the top and the bottom of an area.
fn inside(a: Point, b: Point, area: &Area) -> Option<(Point, Point)> {
    if !(a.1.is_finite() && b.1.is_finite()) {
        return None;
    }
    let at = |y: f64| (y - a.1) / (b.1 - a.1);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    if a.1 == b.1 {
        return (area.top..=area.bottom).contains(&a.1).then_some((a, b));
    }
    let (first, second) = (at(area.top), at(area.bottom));
    from = from.max(first.min(second));
    to = to.min(first.max(second));
    let point = |share: f64| match share {
        0.0 => a,
        1.0 => b,
        _ => (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share),
    };
    (from < to).then(|| (point(from), point(to)))
}

fn marks(canvas: &mut Canvas, frame: &Frame, points: &[Point], limit: usize) {
    let each = points.len().div_ceil(MARKED_MOST);
    for point in points.iter().step_by(each.max(1)) {
        if point.1.is_finite() && frame.area.holds(*point) {
            mark(canvas, *point, limit);
        }
    }
}

/// Cases that failed: crosses on the axis.
fn failures(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    view: &View<'_>,
    places: &[f64],
) {
    let y = frame.area.bottom - 34.0;
    let failed: Vec<f64> = view
        .cases
        .iter()
        .zip(places)
        .filter(|(case, _)| case.verdict == SweepVerdict::Failed)
        .map(|(_, place)| frame.x(*place))
        .collect();
    for &x in &failed {
        canvas.cross((x, y), 6.0, stroke(WHITE, 5.0, Dash::Solid));
        canvas.cross((x, y), 6.0, stroke(BLACK, 2.2, Dash::Solid));
        crowd.take(Area::new(x - 7.0, y - 7.0, x + 7.0, y + 7.0));
    }
    if let Some(&x) = failed.first() {
        let text = match failed.len() {
            1 => "× failed, no result".to_owned(),
            many => format!("× {many} cases failed, no result"),
        };
        crowd.place_above(canvas, Label::new(text, (x, y), 14.0, BLACK), 14.0);
    }
}

/// Marks where safe values end, in words.
fn safe_ends(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    view: &View<'_>,
    places: &[f64],
) {
    let mut ends = Vec::new();
    for (index, pair) in view.cases.windows(2).enumerate() {
        match (held(pair[0]), held(pair[1])) {
            (true, false) => ends.push((index, index + 1, "safe up to")),
            (false, true) => ends.push((index + 1, index, "safe from")),
            _ => {}
        }
    }
    ends.truncate(ENDS_MOST);
    for &(safe, ..) in &ends {
        let x = frame.x(places[safe]);
        let line = [(x, frame.area.top), (x, frame.area.bottom)];
        canvas.line(&line, stroke(BLACK, 1.6, Dash::Long));
        crowd.avoid_line(&line);
        let zero = (x, frame.y(0.0));
        canvas.diamond(zero, 6.5, BLACK);
    }
    for (safe, beyond, words) in ends {
        let mut rows = vec![format!("{words} {}", view.across.full_texts[safe])];
        let next = view.cases[beyond];
        let side = if beyond > safe { "above" } else { "below" };
        rows.push(match (&next.first_exceeded, next.verdict) {
            (_, SweepVerdict::Failed) => format!("{side} it a case failed"),
            (Some(name), _) => format!("{side} it: {} first", view.label_of(name)),
            (None, _) => format!("{side} it a limit exceeded"),
        });
        block(canvas, frame, crowd, frame.x(places[safe]), &rows);
    }
}

/// Lines of text beside an upright line, where they cover least.
fn block(canvas: &mut Canvas, frame: &Frame, crowd: &mut Crowd, x: f64, rows: &[String]) {
    let room = frame.area.width() * 0.45;
    let rows: Vec<String> = rows
        .iter()
        .map(|row| shortened(row, 15.0, true, room))
        .collect();
    let width = |row: &String| super::canvas::text_width(row, 15.0, true);
    let wide = rows.iter().map(width).fold(0.0, f64::max);
    let tall = 19.0 * rows.len() as f64;
    let fits = |left: f64| left > frame.area.left && left + wide < frame.area.right;
    let lefts: Vec<f64> = [x - 10.0 - wide, x + 10.0]
        .into_iter()
        .filter(|&left| fits(left))
        .collect();
    let steps = ((frame.area.height() - tall - 16.0) / 12.0).max(1.0) as usize;
    let spots = lefts.iter().flat_map(|&left| {
        (0..steps).map(move |step| (left, frame.area.top + 16.0 + 12.0 * step as f64))
    });
    let least = spots.min_by(|a, b| {
        let cost = |&(left, top): &Point| {
            crowd.cost(&Area::new(left, top - 10.0, left + wide, top - 10.0 + tall))
        };
        cost(a).total_cmp(&cost(b))
    });
    let Some((left, top)) = least else { return };
    for (index, row) in rows.iter().enumerate() {
        let at = (left, top + 19.0 * index as f64);
        let label = Label::new(row.clone(), at, 15.0, BLACK).bold();
        crowd.take(label.area());
        canvas.text_on_ground(label);
    }
}

/// Names of the limits at the right ends of their lines; those that end above or
/// below the chart at the place where they leave it, those outside in a list.
fn labels(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    view: &View<'_>,
    ends: &[Option<Point>],
) {
    let right = frame.area.right;
    let name = |limit: usize, room| shortened(view.label(limit), 15.0, true, room);
    let (floor, ceiling) = (frame.area.bottom - 1.0, frame.area.top + 1.0);
    let at_end = |point: Point| {
        point.0 > right - frame.area.width() * 0.2 && (ceiling..floor).contains(&point.1)
    };
    let beside: Vec<(usize, Point)> = ends
        .iter()
        .enumerate()
        .filter_map(|(limit, end)| Some((limit, (*end)?)))
        .filter(|(_, point)| at_end(*point))
        .collect();
    let outside: Vec<usize> = (0..ends.len())
        .filter(|&limit| {
            ends[limit].is_none() && view.cases.iter().any(|c| headroom(c, limit).is_some())
        })
        .collect();
    let list_tall = match outside.len() {
        0 => 0.0,
        many => 20.0 * many as f64 + 34.0,
    };
    let heights: Vec<f64> = beside.iter().map(|(_, point)| point.1).collect();
    let (top, bottom) = (frame.area.top + 6.0, frame.area.bottom - 6.0 - list_tall);
    let placed = spread(&heights, 19.0, top, bottom.max(top));
    for ((limit, point), y) in beside.into_iter().zip(placed) {
        let tie = [
            (point.0 + 6.0, point.1),
            (right + 8.0, point.1),
            (right + 18.0, y),
        ];
        canvas.line(&tie, stroke(ink(limit), 1.0, Dash::Solid));
        canvas.line(&[(right + 18.0, y), (right + 42.0, y)], look(limit, 2.2));
        mark(canvas, (right + 30.0, y), limit);
        let text = name(limit, PANEL - 60.0);
        canvas.text(Label::new(text, (right + 48.0, y), 15.0, text_ink(limit)).bold());
    }
    for (limit, end) in ends.iter().enumerate() {
        let Some(point) = end.filter(|point| !at_end(*point)) else {
            continue;
        };
        let label = Label::new(name(limit, 200.0), point, 15.0, text_ink(limit)).bold();
        crowd.place(canvas, label, 10.0);
    }
    list(canvas, frame, view, &outside, list_tall);
}

/// Limits whose lines lie wholly outside the scale, with where they lie.
fn list(canvas: &mut Canvas, frame: &Frame, view: &View<'_>, outside: &[usize], tall: f64) {
    if outside.is_empty() {
        return;
    }
    let left = frame.area.right + 18.0;
    let mut y = frame.area.bottom - tall + 22.0;
    canvas.text(Label::new("beyond the scale", (left, y), 14.0, GREY));
    for &limit in outside {
        y += 20.0;
        let values = view.cases.iter().filter_map(|c| headroom(c, limit));
        let arrow = match values.fold(f64::INFINITY, f64::min) > 0.0 {
            true => "↑",
            false => "↓",
        };
        let text = shortened(view.label(limit), 14.0, false, PANEL - 44.0);
        canvas.text(Label::new(arrow, (left, y), 14.0, BLACK).bold());
        canvas.text(Label::new(text, (left + 18.0, y), 14.0, BLACK));
    }
}

fn text_ink(limit: usize) -> Ink {
    match ink(limit) {
        SKY => BLUE,
        ink => ink,
    }
}
