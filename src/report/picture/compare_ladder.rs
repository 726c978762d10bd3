//! Headroom of several runs as a ladder: a rung for each limit, a bar on it for each
//! run.
use super::axis::{Frame, Scale};
use super::canvas::{Area, Canvas, Label};
use super::compare::{Side, begin, drawn};
use super::ladder::{bar, figures, order, rails, scale};
use super::palette::*;
use super::{PictureError, PictureOptions, render};
use crate::judgement::{limit, limit_names};
use crate::report::names;
use crate::report::units::Units;

const WIDTH_PX: u32 = 1000;
/// Height of a bar with the gap below it \[px\].
const BAR: f64 = 19.0;
/// Inks of the bars, without the one that says that a limit is exceeded.
const INKS: [(Ink, f64); 6] = [
    (BLUE, 0.85),
    (SKY, 0.7),
    (GREEN, 0.85),
    (PURPLE, 0.6),
    (AMBER, 0.8),
    (GREY, 0.55),
];
/// Gap between rungs \[px\].
const BETWEEN: f64 = 13.0;

/// The headroom of every limit of several runs, each bar in per cent of the run's own
/// limit; the numerals are in the limit's own unit.
///
/// # Errors
/// No run, an empty one, no limits, a size that cannot be drawn, or a failure of the
/// plotting library.
pub fn compared_ladder(sides: &[Side], options: &PictureOptions) -> Result<Vec<u8>, PictureError> {
    let shown = drawn(sides)?;
    let mut names = limit_names(shown.iter().map(|side| side.result));
    if names.is_empty() {
        return Err(PictureError::Empty {
            what: "the list of limits",
        });
    }
    names.sort_by(|a, b| tightest(shown, a).total_cmp(&tightest(shown, b)));
    let rung = BAR * shown.len() as f64 + BETWEEN;
    let height = 206.0 + rung * names.len() as f64;
    let what = "Headroom, tightest first, each from its own limit";
    let mut canvas = begin(sides, (WIDTH_PX, height as u32), what, options)?;
    let all = shown.iter().flat_map(|side| &side.result.limits).map(order);
    let frame = Frame {
        area: Area::new(212.0, 112.0, canvas.width - 300.0, canvas.height - 84.0),
        across: scale(all),
        up: Scale::new(0.0, names.len() as f64, names.len()),
    };
    rails(&mut canvas, &frame);
    for (index, name) in names.iter().enumerate() {
        draw_rung(&mut canvas, &frame, shown, name, index, options.units);
    }
    let axis = "headroom, % of the limit (pressures and temperatures above ambient)";
    frame.axis_below(&mut canvas, axis);
    render::render(&canvas, options.format)
}

/// The least headroom of any side \[%\].
fn tightest(sides: &[Side], name: &str) -> f64 {
    sides
        .iter()
        .filter_map(|side| limit(side.result, name))
        .map(order)
        .fold(f64::INFINITY, f64::min)
}

fn draw_rung(
    canvas: &mut Canvas,
    frame: &Frame,
    sides: &[Side],
    name: &str,
    index: usize,
    units: Units,
) {
    let step = frame.area.height() / frame.up.high;
    let middle = frame.area.top + (index as f64 + 0.5) * step;
    let each = ((step - BETWEEN) / sides.len() as f64).max(4.0);
    let half = (each * 0.36).min(9.0);
    let left = frame.area.left;
    let limits: Vec<_> = sides.iter().map(|side| limit(side.result, name)).collect();
    let held = limits.iter().flatten().all(|l| l.held);
    let label = Label::new(names::limit_label(name), (left - 32.0, middle), 15.0, BLACK).end();
    canvas.text(if held { label } else { label.bold() });
    for (place, (side, limit)) in sides.iter().zip(limits).enumerate() {
        let y = middle + (place as f64 - (sides.len() - 1) as f64 / 2.0) * each;
        canvas.text(
            Label::new(&side.letter, (left - 10.0, y), 14.0, BLACK)
                .end()
                .bold(),
        );
        let aside = |canvas: &mut Canvas, text: &str| {
            let at = (frame.area.right + 136.0, y);
            canvas.text(Label::new(text, at, 14.0, GREY));
        };
        let Some(limit) = limit else {
            aside(canvas, "no limit set");
            continue;
        };
        let (Some(headroom), Some(pct)) = (limit.headroom, limit.headroom_pct) else {
            aside(canvas, "never applied");
            continue;
        };
        let ink = INKS[place % INKS.len()];
        bar(canvas, frame, (y, half), pct, limit.held.then_some(ink));
        figures(canvas, frame, limit, headroom, y, units);
    }
}
