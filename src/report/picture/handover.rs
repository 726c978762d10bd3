//! Which limit holds the ceiling down where: regions of engine speed and
//! altitude, and the borders at which one limit hands over to another.
use super::canvas::{Area, Canvas, Label, text_width};
use super::handover_grid::{Kind, Panel, panels};
use super::hatch::{Lean, hatch_area};
use super::palette::*;
use super::sheet::shortened;
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::{CeilingCell, CeilingResult};
use crate::report::names;
use crate::report::units::{Units, fixed};

const SIZE_PX: (u32, u32) = (1000, 700);
/// Sheet of a single strip; the legend has room for eight rows.
const STRIP_PX: (u32, u32) = (1000, 430);
const PANEL_PX: f64 = 190.0;
/// Room for row names and the name of the axis left of a panel \[px\].
const LEFT: f64 = 96.0;
/// Room for column names and the name of the axis below a panel \[px\].
const BELOW: f64 = 54.0;
/// One altitude is a strip no taller than this \[px\].
const STRIP: f64 = 220.0;
const TEXT: f64 = 15.0;
const LEAST_TEXT: f64 = 9.0;
/// More panels than these have no room on a sheet.
const PANELS_MOST: usize = 4;

/// The limit that binds at each cell of a ceiling, over engine speed and altitude,
/// a panel for each ambient temperature where there are several.
///
/// # Errors
/// A result without cells, a size that cannot be drawn, or a failure of the
/// plotting library.
pub fn handover_chart(
    result: &CeilingResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    let all = panels(result);
    if all.is_empty() {
        return Err(PictureError::Empty {
            what: "the ceiling",
        });
    }
    let shown = &all[..all.len().min(PANELS_MOST)];
    let mut subtitle =
        "Which limit holds the boost command down, and where limits hand over".to_owned();
    if all.len() > PANELS_MOST {
        let dropped = format!("; the coldest {PANELS_MOST} of {} temperatures", all.len());
        subtitle.push_str(&dropped);
    }
    let size = match shown {
        [one] if one.rows.len() == 1 => STRIP_PX,
        _ => SIZE_PX,
    };
    let mut canvas = sheet::begin(options, size, &result.scenario, &result.data, &subtitle)?;
    for (index, panel) in shown.iter().enumerate() {
        let area = place(&canvas, shown.len(), index, panel);
        draw(&mut canvas, area, panel, shown.len() > 1, options.units);
    }
    legend(&mut canvas, shown, options.units);
    render::render(&canvas, options.format)
}

/// Where the cells of a panel stand.
fn place(canvas: &Canvas, count: usize, index: usize, panel: &Panel<'_>) -> Area {
    let (columns, rows) = match count {
        1 => (1, 1),
        2 => (1, 2),
        _ => (2, 2),
    };
    let (top, bottom) = (70.0, canvas.height - 30.0);
    let wide = (canvas.width - PANEL_PX) / f64::from(columns);
    let tall = (bottom - top) / f64::from(rows);
    let (column, row) = (index as i32 % columns, index as i32 / columns);
    let (x, y) = (wide * f64::from(column), top + tall * f64::from(row));
    let mut area = Area::new(x + LEFT, y + 26.0, x + wide - 8.0, y + tall - BELOW);
    if panel.rows.len() == 1 && area.height() > STRIP {
        area.bottom = area.top + STRIP;
    }
    area
}

fn draw(canvas: &mut Canvas, area: Area, panel: &Panel<'_>, named: bool, units: Units) {
    let regions = panel.regions();
    for row in 0..panel.rows.len() {
        for column in 0..panel.columns.len() {
            let place = panel.cell_area(area, column, row);
            ground(canvas, place, panel.kind(column, row));
            canvas.outline(place, stroke(WHITE, 1.2, Dash::Solid));
        }
    }
    for row in 0..panel.rows.len() {
        for column in 0..panel.columns.len() {
            let place = panel.cell_area(area, column, row);
            let heart = regions.contains(&(column, row));
            if let Some(cell) = panel.cell(column, row) {
                words(canvas, place, cell, heart, units);
                reduced_fuel(canvas, place, cell);
            }
        }
    }
    for ((x0, y0), (x1, y1)) in panel.borders(area) {
        canvas.line(&[(x0, y0), (x1, y1)], stroke(BLACK, 4.0, Dash::Solid));
    }
    canvas.outline(area, stroke(BLACK, 1.2, Dash::Solid));
    axes(canvas, area, panel, units);
    if named {
        let name = shortened(&panel.name(units), TEXT, true, area.width());
        let at = (area.left, area.top - 13.0);
        canvas.text(Label::new(name, at, TEXT, BLACK).bold());
    }
}

/// Speeds below and altitudes beside the cells, as many as there is room for.
fn axes(canvas: &mut Canvas, area: Area, panel: &Panel<'_>, units: Units) {
    let mut end = f64::NEG_INFINITY;
    for (column, speed) in panel.columns.iter().enumerate() {
        let place = panel.cell_area(area, column, 0);
        let at = ((place.left + place.right) / 2.0, area.bottom + 14.0);
        let label = Label::new(fixed(*speed, 0), at, 14.0, BLACK).middle();
        if label.area().left > end + 6.0 {
            end = label.area().right;
            canvas.text(label);
        }
    }
    let middle = ((area.left + area.right) / 2.0, area.bottom + 35.0);
    canvas.text(Label::new("engine speed, rpm", middle, 15.0, BLACK).middle());
    let mut end = f64::INFINITY;
    for row in 0..panel.rows.len() {
        let place = panel.cell_area(area, 0, row);
        let y = (place.top + place.bottom) / 2.0;
        if y < end - 16.0 {
            end = y;
            let text = shortened(&panel.row_name(row, units), 14.0, false, LEFT - 42.0);
            canvas.text(Label::new(text, (area.left - 8.0, y), 14.0, BLACK).end());
        }
    }
    let at = (area.left - LEFT + 20.0, (area.top + area.bottom) / 2.0);
    let name = shortened(panel.rows_name(), 15.0, false, area.height());
    canvas.text(Label::new(name, at, 15.0, BLACK).middle().upright());
}

/// Tint and hatch of a limit: each differs from all others without colour.
fn ground(canvas: &mut Canvas, area: Area, kind: Kind<'_>) {
    let limit = match kind {
        Kind::Limit(key) => names::LIMITS.iter().position(|name| name.key == key),
        Kind::NoWindow | Kind::NothingBinds => return,
        Kind::NotAsked => return canvas.fill_area(area, LIGHT_GREY, 1.0),
    };
    let Some(limit) = limit else { return };
    let ink = SERIES[limit % SERIES.len()];
    canvas.fill_area(area, ink, 0.12);
    let patterns: [&[(Lean, f64)]; 12] = [
        &[(Lean::Up, 12.0)],
        &[(Lean::Up, 6.0)],
        &[(Lean::Down, 12.0)],
        &[(Lean::Down, 6.0)],
        &[(Lean::Up, 16.0), (Lean::Down, 16.0)],
        &[(Lean::Up, 24.0)],
        &[(Lean::Up, 8.0), (Lean::Down, 8.0)],
        &[(Lean::Down, 24.0)],
        &[],
        &[(Lean::Up, 24.0), (Lean::Down, 24.0)],
        &[(Lean::Down, 18.0)],
        &[(Lean::Up, 24.0), (Lean::Down, 8.0)],
    ];
    for &(lean, gap) in patterns[limit % patterns.len()] {
        hatch_area(canvas, area, lean, gap, stroke(ink, 0.8, Dash::Solid));
    }
}

/// The ceiling in a cell and its limit: by name in the middle of a region, by code
/// elsewhere. What has no room is left out, the code last of all.
fn words(canvas: &mut Canvas, place: Area, cell: &CeilingCell, heart: bool, units: Units) {
    let key = cell.binding_above.as_deref();
    let code = key.map(names::limit_code).unwrap_or_default();
    let mut rows = Vec::new();
    match cell.ceiling_kpa_abs {
        Some(kpa) => {
            let decimals = units.pressure_decimals();
            rows.push(fixed(units.pressure(kpa), decimals));
            let name = key.map(names::limit_label).unwrap_or("nothing binds");
            rows.push(if heart { name } else { code }.to_owned());
        }
        None => rows.push("no window".to_owned()),
    }
    if cell.fuel_scale < 1.0 {
        rows.push(format!("fuel ×{}", fixed(cell.fuel_scale, 2)));
    }
    rows.retain(|row| !row.is_empty());
    let (wide, tall) = (place.width() - 8.0, place.height() - 6.0);
    let size = |rows: &[String]| {
        let widths = rows.iter().map(|row| text_width(row, TEXT, true));
        let widest = widths.fold(1.0, f64::max);
        (TEXT * wide / widest)
            .min(tall / (1.25 * rows.len() as f64))
            .min(TEXT)
    };
    // What there is room for: all, the name as a code, fewer rows, the code alone.
    if heart && size(&rows) < LEAST_TEXT + 2.0 && rows.len() > 1 && !code.is_empty() {
        rows[1] = code.to_owned();
    }
    while rows.len() > 1 && size(&rows) < LEAST_TEXT {
        rows.pop();
    }
    if rows.len() == 1 && heart && cell.ceiling_kpa_abs.is_some() && !code.is_empty() {
        rows = vec![code.to_owned()];
    }
    let size = size(&rows);
    if size < LEAST_TEXT && cell.ceiling_kpa_abs.is_none() {
        return no_window(canvas, place);
    }
    if size < LEAST_TEXT && !heart {
        return;
    }
    let size = size.max(LEAST_TEXT);
    let middle = (
        (place.left + place.right) / 2.0,
        (place.top + place.bottom) / 2.0,
    );
    for (index, row) in rows.iter().enumerate() {
        let down = (index as f64 - (rows.len() - 1) as f64 / 2.0) * size * 1.25;
        let label = Label::new(row.clone(), (middle.0, middle.1 + down), size, BLACK).middle();
        canvas.text_on_ground(if index == 0 { label } else { label.bold() });
    }
}

/// A ring in the corner of a cell whose ceiling holds at reduced fuel alone.
fn reduced_fuel(canvas: &mut Canvas, place: Area, cell: &CeilingCell) {
    if cell.fuel_scale < 1.0 && cell.ceiling_kpa_abs.is_some() {
        let radius = (place.width().min(place.height()) * 0.12).clamp(1.5, 5.0);
        let corner = (place.right - radius - 3.0, place.top + radius + 3.0);
        canvas.disc(corner, radius + 1.5, WHITE);
        canvas.ring(corner, radius, radius * 0.4, BLACK);
    }
}

/// A cross where the words have no room.
fn no_window(canvas: &mut Canvas, place: Area) {
    let size = (place.width().min(place.height()) * 0.3).min(7.0);
    let middle = (
        (place.left + place.right) / 2.0,
        (place.top + place.bottom) / 2.0,
    );
    canvas.cross(
        middle,
        size,
        stroke(BLACK, (size * 0.3).max(0.5), Dash::Solid),
    );
}

fn legend(canvas: &mut Canvas, panels: &[Panel<'_>], units: Units) {
    let left = canvas.width - PANEL_PX + 14.0;
    let room = PANEL_PX - 74.0;
    let mut y = 92.0;
    let heading = |canvas: &mut Canvas, text: String, y: f64| {
        canvas.text(Label::new(text, (left, y), 14.0, GREY));
    };
    heading(
        canvas,
        format!("ceiling, {} abs,", units.pressure_unit()),
        y,
    );
    y += 18.0;
    heading(canvas, "and the binding limit".to_owned(), y);
    let has = |kind: Kind<'_>| panels.iter().any(|panel| panel.holds(kind));
    let mut rows: Vec<(Kind<'_>, &str, &str)> = names::LIMITS
        .iter()
        .map(|name| (Kind::Limit(name.key), name.code, name.label))
        .collect();
    rows.push((Kind::NothingBinds, "", "nothing binds"));
    rows.push((Kind::NoWindow, "", "no window"));
    rows.push((Kind::NotAsked, "", "not asked for"));
    for (kind, code, text) in rows.into_iter().filter(|row| has(row.0)) {
        y += 30.0;
        let place = Area::new(left, y - 11.0, left + 38.0, y + 11.0);
        ground(canvas, place, kind);
        canvas.outline(place, stroke(GREY, 0.8, Dash::Solid));
        if kind == Kind::NoWindow {
            no_window(canvas, place);
        }
        if !code.is_empty() {
            let at = (left + 19.0, y);
            canvas.text_on_ground(Label::new(code, at, 14.0, BLACK).bold().middle());
        }
        let text = shortened(text, 14.0, false, room);
        canvas.text(Label::new(text, (left + 46.0, y), 14.0, BLACK));
    }
    y += 30.0;
    canvas.line(
        &[(left, y), (left + 38.0, y)],
        stroke(BLACK, 4.0, Dash::Solid),
    );
    canvas.text(Label::new(
        "limits hand over",
        (left + 46.0, y),
        14.0,
        BLACK,
    ));
    if panels.iter().any(Panel::derated) {
        y += 26.0;
        canvas.ring((left + 19.0, y), 5.0, 2.0, BLACK);
        canvas.text(Label::new("at reduced fuel", (left + 46.0, y), 14.0, BLACK));
    }
}
