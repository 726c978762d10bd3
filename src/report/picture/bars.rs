//! Bars over the time strips: when a protection acted, when it was blind.
use super::axis::{Frame, TICK_SIZE};
use super::canvas::{Area, Canvas, Label};
use super::hatch::{Lean, hatch_area};
use super::palette::*;
use super::track::spans;
use crate::report::names;
use crate::simulation::{PROTECTIONS, Sample};

/// Upper edge of the bars \[px\].
pub(super) const TOP: f64 = 76.0;
/// Height of a row \[px\].
pub(super) const BAR: f64 = 19.0;

/// One row of the bars on top: a protection, when it acted, when it was blind.
pub(super) struct Row {
    name: &'static str,
    acting: Vec<(f64, f64)>,
    blind: Vec<(f64, f64)>,
}

/// The protections that acted or were blind.
pub(super) fn protection_rows(samples: &[Sample]) -> Vec<Row> {
    (0..PROTECTIONS.len())
        .map(|bit| Row {
            name: names::protection_label(PROTECTIONS[bit]),
            acting: spans(samples, |s| s.active_protections & (1 << bit) != 0),
            blind: spans(samples, |s| s.blind_protections & (1 << bit) != 0),
        })
        .filter(|row| !(row.acting.is_empty() && row.blind.is_empty()))
        .collect()
}

/// Draws the rows from `TOP` down.
pub(super) fn protection_bars(canvas: &mut Canvas, rows: &[Row], frame: &Frame) {
    let mut y = TOP + BAR / 2.0;
    if rows.is_empty() {
        let text = "no protection acted, none was blind";
        canvas.text(Label::new(text, (frame.area.left, y), TICK_SIZE, GREY));
        return;
    }
    for row in rows {
        canvas.line(
            &[(frame.area.left, y), (frame.area.right, y)],
            stroke(LIGHT_GREY, 1.0, Dash::Solid),
        );
        let bar = |(from, to): (f64, f64)| {
            let (left, right) = (frame.x(from), frame.x(to));
            Area::new(left, y - 6.0, right.max(left + 3.0), y + 6.0)
        };
        for &span in &row.blind {
            let area = bar(span);
            canvas.fill_area(area, WHITE, 1.0);
            hatch_area(
                canvas,
                area,
                Lean::Down,
                7.0,
                stroke(VERMILLION, 1.2, Dash::Solid),
            );
            canvas.outline(area, stroke(VERMILLION, 1.4, Dash::Solid));
            let label = Label::new(
                "blind",
                ((area.left + area.right) / 2.0, y),
                13.0,
                VERMILLION,
            )
            .middle()
            .bold();
            if label.area().width() + 10.0 < area.width() {
                let text = label.area();
                let ground = Area::new(
                    text.left - 4.0,
                    area.top + 1.0,
                    text.right + 4.0,
                    area.bottom - 1.0,
                );
                canvas.fill_area(ground, WHITE, 1.0);
                canvas.text(label);
            }
        }
        for &span in &row.acting {
            let area = bar(span);
            canvas.fill_area(area, BLACK, 0.85);
            let label = Label::new("acting", ((area.left + area.right) / 2.0, y), 13.0, WHITE)
                .middle()
                .bold();
            if label.area().width() + 10.0 < area.width() {
                canvas.text(label);
            }
        }
        canvas.text(Label::new(
            row.name,
            (frame.area.right + 34.0, y),
            TICK_SIZE,
            BLACK,
        ));
        y += BAR;
    }
}
