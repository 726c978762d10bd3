//! Production tolerance as a picture: how likely each limit is exceeded, and why.
use super::axis::{Frame, Scale};
use super::canvas::{Area, Canvas, Label};
use super::hatch::{Lean, hatch_area};
use super::palette::*;
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::{LimitTolerance, Probability, ToleranceResult};
use crate::report::names;
use crate::report::text_tolerance::{
    cause_name, causes_title, costly, explained_limits, percent, shown_causes,
};
use crate::report::units::Units;

const WIDTH_PX: u32 = 1000;
/// Upper edge of the probabilities \[px\].
const TOP: f64 = 108.0;
/// Height of a row \[px\].
const ROW: f64 = 30.0;
/// From the last probability to the first cause: the scale and its name \[px\].
const BETWEEN: f64 = 108.0;
/// Height of a cause, and of the title above the causes of a limit \[px\].
const CAUSE: f64 = 24.0;
/// Left edge of all bars \[px\].
const LEFT: f64 = 196.0;

/// Probability of exceeding each limit with its interval, the level that is to be kept,
/// and the strongest causes of the limits that are exceeded most.
///
/// # Errors
/// A result without limits, a size that cannot be drawn, or a failure of the plotting
/// library.
pub fn tolerance_chart(
    result: &ToleranceResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    if result.limits.is_empty() {
        return Err(PictureError::Empty {
            what: "the list of limits",
        });
    }
    let explained = explained_limits(result);
    let causes: usize = explained.iter().map(|l| 1 + shown_causes(l).count()).sum();
    let rows = result.limits.len() + 1;
    let height = TOP + rows as f64 * ROW + BETWEEN + causes as f64 * CAUSE + 60.0;
    let subtitle = format!(
        "Share of {} drawn engines past a limit, with {} intervals · {}",
        result.draws,
        percent(result.confidence_pct),
        result.procedure
    );
    let size = (WIDTH_PX, height.max(400.0) as u32);
    let mut canvas = sheet::begin(options, size, &result.scenario, &result.data, &subtitle)?;
    let frame = frame(result, canvas.width, rows);
    probabilities(&mut canvas, &frame, result);
    let top = frame.area.bottom + BETWEEN;
    draw_causes(&mut canvas, &explained, top, options.units);
    render::render(&canvas, options.format)
}

fn frame(result: &ToleranceResult, width: f64, rows: usize) -> Frame {
    let all = || result.limits.iter().map(|limit| &limit.probability);
    let most = all()
        .chain([&result.any_limit])
        .map(|p| p.high_pct)
        .fold(2.0 * result.keep_below_pct, f64::max);
    Frame {
        area: Area::new(LEFT, TOP, width - 250.0, TOP + rows as f64 * ROW),
        across: Scale::new(0.0, (most * 1.05).min(100.0), 7),
        up: Scale::new(0.0, rows as f64, rows),
    }
}

fn probabilities(canvas: &mut Canvas, frame: &Frame, result: &ToleranceResult) {
    let Area {
        top, right, bottom, ..
    } = frame.area;
    for tick in frame.across.ticks() {
        let x = frame.x(tick);
        canvas.line(
            &[(x, top), (x, bottom)],
            stroke(LIGHT_GREY, 1.0, Dash::Solid),
        );
    }
    let mut limits: Vec<&LimitTolerance> = result.limits.iter().collect();
    limits.sort_by_key(|limit| std::cmp::Reverse(limit.probability.exceeding));
    row(canvas, frame, 0, ("any limit", true), &result.any_limit);
    for (index, limit) in limits.iter().enumerate() {
        let name = names::limit_label(&limit.name);
        row(canvas, frame, index + 1, (name, false), &limit.probability);
    }
    let level = frame.x(result.keep_below_pct);
    let dashes = stroke(BLACK, 2.0, Dash::Long);
    canvas.line(&[(level, top - 6.0), (level, bottom)], dashes);
    let text = format!("keep below {}", percent(result.keep_below_pct));
    canvas.text(Label::new(text, (level + 6.0, top - 14.0), 14.0, BLACK).bold());
    canvas.text(Label::new("share", (right + 84.0, top - 14.0), 14.0, GREY).end());
    canvas.text(Label::new(
        "from – to",
        (right + 104.0, top - 14.0),
        14.0,
        GREY,
    ));
    frame.axis_below(canvas, "probability that an engine exceeds the limit, %");
}

/// One row: the share as a bar, hatched where anything is past the limit, the interval
/// as a whisker.
fn row(canvas: &mut Canvas, frame: &Frame, index: usize, name: (&str, bool), p: &Probability) {
    let y = frame.area.top + (index as f64 + 0.5) * ROW;
    let label = Label::new(name.0, (frame.area.left - 14.0, y), 15.0, BLACK).end();
    canvas.text(if name.1 { label.bold() } else { label });
    let end = frame.x(p.probability_pct.min(frame.across.high));
    if p.exceeding > 0 {
        let area = Area::new(frame.area.left, y - 8.0, end, y + 8.0);
        let line = stroke(VERMILLION, 1.6, Dash::Solid);
        canvas.fill_area(area, VERMILLION, 0.16);
        hatch_area(canvas, area, Lean::Up, 9.0, line);
        canvas.outline(area, line);
    }
    let (low, high) = (
        frame.x(p.low_pct),
        frame.x(p.high_pct.min(frame.across.high)),
    );
    let whisker = stroke(BLUE, 2.2, Dash::Solid);
    canvas.line(&[(low, y), (high, y)], whisker);
    for x in [low, high] {
        canvas.line(&[(x, y - 6.0), (x, y + 6.0)], whisker);
    }
    canvas.disc((end, y), 4.0, BLUE);
    let right = frame.area.right;
    let share = percent(p.probability_pct);
    canvas.text(
        Label::new(share, (right + 84.0, y), 15.0, BLACK)
            .end()
            .bold(),
    );
    let from_to = format!("{} – {}", percent(p.low_pct), percent(p.high_pct));
    canvas.text(Label::new(from_to, (right + 104.0, y), 14.0, BLACK));
}

fn draw_causes(canvas: &mut Canvas, limits: &[&LimitTolerance], top: f64, units: Units) {
    let mut y = top - 26.0;
    if limits.is_empty() {
        let text = "causes: no headroom varied, or too few draws to rank them";
        canvas.text(Label::new(text, (24.0, y), 14.0, GREY));
        return;
    }
    let whole = 240.0;
    let text = "What makes the difference: share of what is explained of the headroom's spread";
    canvas.text(Label::new(text, (24.0, y), 14.0, GREY));
    for limit in limits {
        y += CAUSE;
        let title = causes_title(limit, units).replace('-', "−");
        canvas.text(Label::new(title, (24.0, y), 15.0, BLACK).bold());
        for cause in shown_causes(limit) {
            y += CAUSE;
            let share = percent(cause.share_pct.round());
            canvas.text(Label::new(share, (LEFT - 14.0, y), 14.0, BLACK).end());
            let end = LEFT + whole * (cause.share_pct / 100.0).clamp(0.0, 1.0);
            let rail = stroke(LIGHT_GREY, 1.0, Dash::Solid);
            canvas.line(&[(LEFT, y), (LEFT + whole, y)], rail);
            canvas.fill_area(Area::new(LEFT, y - 7.0, end, y + 7.0), BLUE, 0.75);
            let side = format!("when {}", costly(cause));
            canvas.text(Label::new(side, (LEFT + whole + 14.0, y), 14.0, BLACK));
            let left = LEFT + whole + 92.0;
            let path =
                sheet::shortened(&cause_name(cause), 14.0, false, canvas.width - 24.0 - left);
            canvas.text(Label::new(path, (left, y), 14.0, BLACK));
        }
    }
}
