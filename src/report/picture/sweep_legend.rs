//! What tints, hatch and lines of a sweep over two things mean.
use super::axis::Frame;
use super::canvas::{Area, Canvas, Label};
use super::hatch::{Lean, hatch_area};
use super::palette::*;
use super::sheet::shortened;
use super::sweep::{View, headroom, held};
use super::sweep_data::SweepVerdict;
use super::sweep_field::DEPTH;

/// Width that the legend takes, right of the chart \[px\].
pub(super) const PANEL: f64 = 216.0;
/// Height of a row \[px\].
const ROW: f64 = 22.0;

/// The legend, right of the chart, with the limits that have no line because no
/// case holds them.
pub(super) fn legend(
    canvas: &mut Canvas,
    frame: &Frame,
    view: &View<'_>,
    levels: &[f64],
    lines: bool,
) {
    let (left, top) = (frame.area.right + 20.0, frame.area.top + 8.0);
    canvas.text(Label::new("least headroom", (left, top), 14.0, GREY));
    let mut y = tints(canvas, (left, top), view, levels);
    let edge = stroke(BLACK, 4.0, Dash::Solid);
    let elsewhere = stroke(BLACK, 1.4, Dash::Short);
    if lines {
        for (text, look) in [
            ("edge of what is safe", edge),
            ("limit met elsewhere", elsewhere),
        ] {
            y += ROW;
            canvas.line(&[(left, y), (left + 34.0, y)], look);
            beside(canvas, left, y, text);
        }
    }
    let failed = |case: &&&super::sweep_data::SweepCase| case.verdict == SweepVerdict::Failed;
    let failed = view.cases.iter().filter(failed).count();
    if failed > 0 {
        y += ROW;
        canvas.cross((left + 17.0, y), 6.0, stroke(BLACK, 2.0, Dash::Solid));
        match failed {
            1 => beside(canvas, left, y, "failed, no result"),
            many => beside(canvas, left, y, &format!("{many} failed, no result")),
        }
    }
    everywhere_exceeded(canvas, (left, y + 10.0), frame.area.bottom, view);
}

/// The levels, the highest first, and the hatch; returns how far down they reach.
fn tints(canvas: &mut Canvas, (left, top): (f64, f64), view: &View<'_>, levels: &[f64]) -> f64 {
    let swatch = |canvas: &mut Canvas, y: f64| {
        let place = Area::new(left, y - 9.0, left + 34.0, y + 9.0);
        canvas.outline(place, stroke(GREY, 0.8, Dash::Solid));
        place
    };
    let mut y = top;
    let safe = view.cases.iter().any(|case| held(case));
    for step in (0..=levels.len()).rev().filter(|_| safe) {
        y += ROW;
        let place = swatch(canvas, y);
        for _ in 0..=step {
            canvas.fill_area(place, BLUE, DEPTH);
        }
        let from = step.checked_sub(1).map_or(0.0, |before| levels[before]);
        let text = match levels.get(step) {
            Some(to) => format!("{} to {} %", level(from), level(*to)),
            None if from > 0.0 => format!("above {} %", level(from)),
            None => "0 % and more".to_owned(),
        };
        beside(canvas, left, y, &text);
    }
    y += ROW;
    let place = swatch(canvas, y);
    hatch_area(
        canvas,
        place,
        Lean::Up,
        11.0,
        stroke(MID_GREY, 0.9, Dash::Solid),
    );
    beside(canvas, left, y, "a limit exceeded");
    y
}

fn beside(canvas: &mut Canvas, left: f64, y: f64, text: &str) {
    let text = shortened(text, 14.0, false, PANEL - 66.0);
    canvas.text(Label::new(text, (left + 42.0, y), 14.0, BLACK));
}

/// Limits that no case holds, as far as there is room above `bottom`.
fn everywhere_exceeded(canvas: &mut Canvas, (left, top): (f64, f64), bottom: f64, view: &View<'_>) {
    let over = |limit: &usize| {
        let known = view.cases.iter().filter_map(|c| headroom(c, *limit));
        let known: Vec<f64> = known.collect();
        !known.is_empty() && known.iter().all(|pct| *pct < 0.0)
    };
    let mut rows: Vec<&str> = (0..view.limits())
        .filter(over)
        .map(|l| view.label(l))
        .collect();
    let room = ((bottom - top) / ROW) as usize;
    if rows.is_empty() || room < 2 {
        return;
    }
    rows.insert(0, "exceeded everywhere");
    if rows.len() > room {
        rows.truncate(room - 1);
        rows.push("and more");
    }
    for (index, text) in rows.into_iter().enumerate() {
        let ink = if index == 0 { GREY } else { BLACK };
        let text = shortened(text, 14.0, false, PANEL - 26.0);
        let at = (left, top + ROW * (index + 1) as f64);
        canvas.text(Label::new(text, at, 14.0, ink));
    }
}

/// A level as text: round by itself.
pub(super) fn level(pct: f64) -> String {
    format!("{}", (pct * 1e3).round() / 1e3)
}
