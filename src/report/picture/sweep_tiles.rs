//! A sweep over words: a tile for each case, nothing between them. One thing
//! gives a row of tiles for each limit, two a tile with the tightest limit.
use super::axis::NAME_SIZE;
use super::canvas::{Area, Canvas, Label, text_width};
use super::hatch::{Lean, hatch_area};
use super::palette::*;
use super::sheet::shortened;
use super::sweep::{View, headroom, held, least};
use super::sweep_data::{SweepCase, SweepVerdict};
use crate::report::units::signed;

const TEXT: f64 = 15.0;
/// Below this no numeral is legible \[px\].
const LEAST_TEXT: f64 = 8.0;

/// What a tile shows.
struct Tile {
    rows: Vec<String>,
    look: Look,
}

#[derive(Clone, Copy, PartialEq)]
enum Look {
    Safe,
    Exceeded,
    Failed,
    Unknown,
}

pub(super) fn draw(canvas: &mut Canvas, view: &View<'_>) {
    let rows: Vec<String> = match &view.up {
        Some(up) => up.texts.clone(),
        None => (0..view.limits())
            .rev()
            .map(|l| view.label(l).to_owned())
            .collect(),
    };
    let longest = rows.iter().map(|row| text_width(row, TEXT, false));
    let left = 54.0 + longest.fold(20.0, f64::max).min(canvas.width * 0.24);
    let area = Area::new(left, 76.0, canvas.width - 24.0, canvas.height - 112.0);
    let columns = view.across.len();
    let (wide, tall) = (
        area.width() / columns as f64,
        area.height() / rows.len().max(1) as f64,
    );
    for (row, name) in rows.iter().enumerate() {
        let y = area.bottom - (row as f64 + 0.5) * tall;
        for column in 0..columns {
            let tile = tile(view, row, column);
            let corner = (area.left + column as f64 * wide, y - tall / 2.0);
            let place = Area::new(corner.0, corner.1, corner.0 + wide, corner.1 + tall);
            paint(canvas, place, &tile);
        }
        if row % every(rows.len(), tall) == 0 {
            let text = shortened(name, TEXT, false, left - 52.0);
            canvas.text(Label::new(text, (area.left - 8.0, y), TEXT, BLACK).end());
        }
    }
    canvas.outline(area, stroke(BLACK, 1.6, Dash::Solid));
    below(canvas, view, area, wide);
    let beside = view
        .up
        .as_ref()
        .map_or("limit; headroom in %", |up| &up.name);
    let beside = shortened(beside, NAME_SIZE, false, area.height());
    let at = (22.0, (area.top + area.bottom) / 2.0);
    canvas.text(Label::new(beside, at, NAME_SIZE, BLACK).middle().upright());
    legend(canvas, view, area);
}

/// Each how many rows or columns a name has room.
fn every(count: usize, room: f64) -> usize {
    let each = (18.0 / room).ceil().max(1.0);
    (each as usize).min(count.max(1))
}

fn tile(view: &View<'_>, row: usize, column: usize) -> Tile {
    let columns = view.across.len();
    let failed = |case: &SweepCase| case.verdict == SweepVerdict::Failed;
    if view.up.is_none() {
        let case = view.cases[column];
        let pct = headroom(case, view.limits() - 1 - row);
        let look = match pct {
            _ if failed(case) => Look::Failed,
            None => Look::Unknown,
            Some(pct) if pct < 0.0 => Look::Exceeded,
            Some(_) => Look::Safe,
        };
        let rows = pct.map(number).into_iter().collect();
        return Tile { rows, look };
    }
    let case = view.cases[row * columns + column];
    let tightest = least(case);
    let look = match case.verdict {
        SweepVerdict::Failed => Look::Failed,
        SweepVerdict::Exceeded => Look::Exceeded,
        SweepVerdict::Held if held(case) && tightest.is_some() => Look::Safe,
        SweepVerdict::Held => Look::Unknown,
    };
    let first = case.first_exceeded.as_deref();
    let limit = tightest.map(|(limit, _)| view.label(limit));
    let name = first.map(|name| view.label_of(name)).or(limit);
    let rows = match tightest {
        Some((_, pct)) if look != Look::Failed => {
            [Some(format!("{} %", number(pct))), name.map(str::to_owned)]
        }
        _ => [
            None,
            name.filter(|_| look == Look::Exceeded).map(str::to_owned),
        ],
    };
    Tile {
        rows: rows.into_iter().flatten().collect(),
        look,
    }
}

/// A headroom in per cent: with a decimal where it is small.
fn number(pct: f64) -> String {
    let text = match pct.abs() {
        size if size < 10.0 => signed(pct, 1),
        size if size < 1e4 => signed(pct, 0),
        _ => format!("{pct:+.0e}"),
    };
    text.replace('-', "−")
}

fn paint(canvas: &mut Canvas, place: Area, tile: &Tile) {
    match tile.look {
        Look::Safe => canvas.fill_area(place, SKY, 0.16),
        Look::Exceeded => {
            canvas.fill_area(place, VERMILLION, 0.06);
            let gap = (place.width().min(place.height()) / 2.0).clamp(5.0, 11.0);
            hatch_area(
                canvas,
                place,
                Lean::Up,
                gap,
                stroke(MID_GREY, 0.9, Dash::Solid),
            );
        }
        Look::Failed => {
            let size = (place.width().min(place.height()) * 0.3).min(9.0);
            let at = (
                (place.left + place.right) / 2.0,
                (place.top + place.bottom) / 2.0,
            );
            canvas.cross(at, size, stroke(BLACK, (size * 0.25).max(0.6), Dash::Solid));
        }
        Look::Unknown => {}
    }
    if place.width().min(place.height()) > 4.0 {
        canvas.outline(place, stroke(WHITE, 1.6, Dash::Solid));
    }
    words(canvas, place, &tile.rows);
}

/// The rows of a tile, as many and as large as there is room for.
fn words(canvas: &mut Canvas, place: Area, rows: &[String]) {
    let room = place.width() - 6.0;
    let (x, y) = (
        (place.left + place.right) / 2.0,
        (place.top + place.bottom) / 2.0,
    );
    let first = match rows.first() {
        Some(first) => text_width(first, TEXT, true),
        None => return,
    };
    let size = (TEXT * room / first).min(TEXT).min(place.height() - 4.0);
    if size < LEAST_TEXT {
        return;
    }
    let second = rows.get(1).map_or(0.0, |row| {
        let wide = text_width(row, TEXT, false).max(1.0);
        (TEXT * room / wide).min(size - 1.0)
    });
    let two = second >= LEAST_TEXT + 1.0 && place.height() > 2.6 * size;
    let shown = if two { 2 } else { 1 };
    for (index, row) in rows.iter().take(shown).enumerate() {
        let down = (index as f64 - (shown - 1) as f64 / 2.0) * size * 1.3;
        let mut label = Label::new(row.clone(), (x, y + down), size, BLACK).middle();
        if index == 0 {
            label = label.bold();
        } else {
            label.size = second;
        }
        canvas.text_on_ground(label);
    }
}

/// The values below their columns; upright where they are too wide.
fn below(canvas: &mut Canvas, view: &View<'_>, area: Area, wide: f64) {
    let texts = &view.across.texts;
    let widest = texts.iter().map(|text| text_width(text, TEXT, false));
    let level = widest.fold(0.0, f64::max) + 6.0 <= wide;
    let each = if level { 1 } else { every(texts.len(), wide) };
    // A few wide words are cut, many narrow ones stand upright.
    let cut = !level && wide > 70.0;
    let mut foot = area.bottom + 14.0;
    for (column, text) in texts.iter().enumerate().step_by(each) {
        let x = area.left + (column as f64 + 0.5) * wide;
        if level || cut {
            let text = shortened(text, TEXT, false, wide - 6.0);
            canvas.text(Label::new(text, (x, foot), TEXT, BLACK).middle());
        } else {
            let text = shortened(text, 13.0, false, 46.0);
            let label = Label::new(text, (x, area.bottom + 5.0), 13.0, BLACK);
            canvas.text(label.end().upright());
        }
    }
    foot += if level || cut { 22.0 } else { 48.0 };
    let name = shortened(&view.across.name, NAME_SIZE, false, area.width());
    let middle = (area.left + area.right) / 2.0;
    canvas.text(Label::new(name, (middle, foot), NAME_SIZE, BLACK).middle());
}

fn legend(canvas: &mut Canvas, view: &View<'_>, area: Area) {
    let y = canvas.height - 42.0;
    let safe = match view.up {
        Some(_) => "least headroom and its limit",
        None => "held",
    };
    let exceeded = match view.up {
        Some(_) => "exceeded, first of all by",
        None => "exceeded",
    };
    let mut x = area.left;
    let mut cases = view.cases.iter();
    let any_failed = cases.any(|case| case.verdict == SweepVerdict::Failed);
    for (look, text) in [
        (Look::Safe, safe),
        (Look::Exceeded, exceeded),
        (Look::Failed, "failed, no result"),
    ] {
        if look == Look::Failed && !any_failed {
            continue;
        }
        let place = Area::new(x, y - 8.0, x + 26.0, y + 8.0);
        paint(
            canvas,
            place,
            &Tile {
                rows: Vec::new(),
                look,
            },
        );
        canvas.outline(place, stroke(GREY, 0.8, Dash::Solid));
        canvas.text(Label::new(text, (x + 32.0, y), 14.0, BLACK));
        x += 32.0 + text_width(text, 14.0, false) + 24.0;
    }
}
