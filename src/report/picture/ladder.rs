//! Headroom as a ladder: one bar a limit, the tightest on top.
use super::axis::{Frame, Scale};
use super::canvas::{Area, Canvas, Label};
use super::hatch::{Lean, hatch_area};
use super::palette::*;
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::{LimitResult, RunResult};
use crate::report::names;
use crate::report::units::{Units, fixed};

const WIDTH_PX: u32 = 1000;
/// The scale ends here on either side; longer bars carry a slit.
const WIDEST_PCT: f64 = 60.0;

/// The headroom of every limit of a run, as bars in per cent of the limit's
/// distance from its natural zero; the numerals are in the limit's own unit.
///
/// # Errors
/// A result without limits, a size that cannot be drawn, or a failure of the
/// plotting library.
pub fn headroom_ladder(
    result: &RunResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    if result.limits.is_empty() {
        return Err(PictureError::Empty {
            what: "the list of limits",
        });
    }
    let mut rungs: Vec<&LimitResult> = result.limits.iter().collect();
    rungs.sort_by(|a, b| order(a).total_cmp(&order(b)));
    let height = (210 + 40 * rungs.len() as u32).clamp(400, 700);
    let subtitle = format!("Headroom, tightest first · {}", result.procedure);
    let size = (WIDTH_PX, height);
    let mut canvas = sheet::begin(options, size, &result.scenario, &result.data, &subtitle)?;
    let frame = Frame {
        area: Area::new(196.0, 102.0, canvas.width - 300.0, canvas.height - 84.0),
        across: scale(rungs.iter().map(|rung| order(rung))),
        up: Scale::new(0.0, rungs.len() as f64, rungs.len()),
    };
    rails(&mut canvas, &frame);
    for (index, rung) in rungs.iter().enumerate() {
        draw_rung(&mut canvas, &frame, rung, index, options.units);
    }
    frame.axis_below(
        &mut canvas,
        "headroom, % of the limit (pressures and temperatures above ambient)",
    );
    render::render(&canvas, options.format)
}

/// The scale across for these headrooms \[%\].
pub(super) fn scale(headrooms_pct: impl Iterator<Item = f64> + Clone) -> Scale {
    let most_negative = headrooms_pct.clone().fold(0.0, f64::min);
    let most = headrooms_pct
        .filter(|value| value.is_finite())
        .fold(10.0, f64::max);
    let low = if most_negative < 0.0 {
        (most_negative * 1.12).max(-WIDEST_PCT)
    } else {
        0.0
    };
    Scale::new(low, (most * 1.06).min(WIDEST_PCT), 7)
}

pub(super) fn order(limit: &LimitResult) -> f64 {
    limit
        .headroom_pct
        .filter(|value| value.is_finite())
        .unwrap_or(f64::INFINITY)
}

pub(super) fn rails(canvas: &mut Canvas, frame: &Frame) {
    let pale = stroke(LIGHT_GREY, 1.0, Dash::Solid);
    for tick in frame.across.ticks() {
        let x = frame.x(tick);
        canvas.line(&[(x, frame.area.top), (x, frame.area.bottom)], pale);
    }
    let zero = frame.x(0.0);
    canvas.line(
        &[(zero, frame.area.top - 6.0), (zero, frame.area.bottom)],
        stroke(BLACK, 2.2, Dash::Solid),
    );
    canvas.text(
        Label::new("limit", (zero, frame.area.top - 15.0), 14.0, BLACK)
            .middle()
            .bold(),
    );
    let (right, y) = (frame.area.right, frame.area.top - 15.0);
    canvas.text(Label::new("headroom", (right + 118.0, y), 14.0, GREY).end());
    canvas.text(Label::new("worst / limit", (right + 136.0, y), 14.0, GREY));
}

fn draw_rung(canvas: &mut Canvas, frame: &Frame, rung: &LimitResult, index: usize, units: Units) {
    let step = frame.area.height() / frame.up.high;
    let y = frame.area.top + (index as f64 + 0.5) * step;
    let half = (step * 0.30).min(12.0);
    let name = Label::new(
        names::limit_label(&rung.name),
        (frame.area.left - 14.0, y),
        15.0,
        BLACK,
    )
    .end();
    canvas.text(if rung.held { name } else { name.bold() });
    let right = frame.area.right;
    let (Some(headroom), Some(pct)) = (rung.headroom, rung.headroom_pct) else {
        canvas.text(Label::new("never applied", (right + 136.0, y), 14.0, GREY));
        return;
    };
    bar(
        canvas,
        frame,
        (y, half),
        pct,
        rung.held.then_some((BLUE, 0.75)),
    );
    figures(canvas, frame, rung, headroom, y, units);
}

/// A bar of headroom at a height, filled with an ink where the limit is held and
/// hatched where it is not.
pub(super) fn bar(
    canvas: &mut Canvas,
    frame: &Frame,
    (y, half): (f64, f64),
    pct: f64,
    held: Option<(Ink, f64)>,
) {
    let shown = pct.clamp(frame.across.low, frame.across.high);
    let (zero, end) = (frame.x(0.0), frame.x(shown));
    let area = Area::new(zero.min(end), y - half, zero.max(end), y + half);
    if let Some((ink, alpha)) = held {
        canvas.fill_area(area, ink, alpha);
    } else {
        let edge = stroke(VERMILLION, 1.8, Dash::Solid);
        canvas.fill_area(area, VERMILLION, 0.14);
        hatch_area(canvas, area, Lean::Up, 9.0, edge);
        canvas.outline(area, edge);
    }
    if pct != shown {
        // The bar runs on beyond the scale: a slit says so.
        let x = end - 12.0 * (end - zero).signum();
        canvas.line(
            &[(x - 4.0, y + half + 2.0), (x + 4.0, y - half - 2.0)],
            stroke(WHITE, 4.0, Dash::Solid),
        );
    }
}

/// Headroom, worst value and limit beside a bar.
pub(super) fn figures(
    canvas: &mut Canvas,
    frame: &Frame,
    rung: &LimitResult,
    headroom: f64,
    y: f64,
    units: Units,
) {
    let right = frame.area.right;
    let ink = if rung.held { BLACK } else { VERMILLION };
    let text = units.headroom_text(&rung.unit, headroom).replace('-', "−");
    canvas.text(Label::new(text, (right + 118.0, y), 15.0, ink).end().bold());
    let worst = rung.worst.map_or_else(
        || "–".to_owned(),
        |value| {
            let (value, _, decimals) = units.limit_value(&rung.unit, value, false);
            fixed(value, decimals)
        },
    );
    let text = format!(
        "{worst} / {}",
        units.limit_text(&rung.unit, rung.limit, false)
    );
    canvas.text(Label::new(text, (right + 136.0, y), 14.0, BLACK));
}
