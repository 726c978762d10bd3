//! The ceiling over engine speed: one curve per altitude, the window under
//! it, the binding limit at each point.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::{Crowd, spread};
use super::hatch::{Lean, hatch};
use super::palette::*;
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::{Band, CeilingCell, CeilingResult};
use crate::report::groups::{Group, groups};
use crate::report::names;
use crate::report::units::{Units, fixed};

const SIZE_PX: (u32, u32) = (1000, 700);
/// More windows than these over each other are told by their lines alone.
const HATCHED_MOST: usize = 3;
const PANEL: f64 = 214.0;
/// How far the whiskers of each further curve stand to the right.
const WHISKER_SHIFT: f64 = 5.0;

/// The highest boost command that holds, over engine speed.
///
/// # Errors
/// A result without cells, a size that cannot be drawn, or a failure of the
/// plotting library.
pub fn ceiling_chart(
    result: &CeilingResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    if result.cells.is_empty() {
        return Err(PictureError::Empty {
            what: "the ceiling",
        });
    }
    let units = options.units;
    let subtitle = "Highest boost command that holds every limit, over engine speed";
    let mut canvas = sheet::begin(options, SIZE_PX, &result.scenario, &result.data, subtitle)?;
    let frame = frame(&canvas, result, units);
    frame.grid(&mut canvas);
    let mut crowd = Crowd::new(frame.area.grown(-3.0));
    let groups = groups(result);
    let mut floors = Vec::new();
    for (index, group) in groups.iter().enumerate() {
        floors.extend(window(
            &mut canvas,
            &frame,
            group,
            index,
            groups.len(),
            units,
        ));
    }
    readable_line(&mut canvas, &frame, &mut crowd, result, units);
    for group in &groups {
        crowd.avoid_line(&curve(&frame, group, units).concat());
    }
    for (index, group) in groups.iter().enumerate() {
        ceiling_curve(&mut canvas, &frame, &mut crowd, group, index, units);
    }
    for (index, group) in groups.iter().enumerate() {
        notes(&mut canvas, &frame, &mut crowd, group, index, units);
    }
    for (point, ink) in floors {
        crowd.place(&mut canvas, Label::new("floor", point, 14.0, ink), 8.0);
    }
    let legend_top = legend(&mut canvas, &frame, result, groups.len() <= HATCHED_MOST);
    altitude_labels(&mut canvas, &frame, &groups, legend_top, units);
    frame.axis_below(&mut canvas, "engine speed, rpm");
    frame.axis_left(
        &mut canvas,
        &format!("boost command, {} abs", units.pressure_unit()),
    );
    render::render(&canvas, options.format)
}

fn frame(canvas: &Canvas, result: &CeilingResult, units: Units) -> Frame {
    let (slow, fast) = span(result.cells.iter().map(|cell| cell.engine_speed_rpm));
    let (low, high) = span(
        result
            .cells
            .iter()
            .flat_map(|cell| {
                [
                    cell.ceiling_kpa_abs,
                    cell.floor_kpa_abs,
                    cell.reachable_kpa_abs
                        .filter(|_| cell.ceiling_kpa_abs.is_none()),
                    cell.band.and_then(|band| band.low_kpa_abs),
                    cell.band.and_then(|band| band.high_kpa_abs),
                ]
            })
            .flatten()
            .chain(result.readable_ceiling_kpa_abs)
            .map(|kpa| units.pressure(kpa)),
    );
    let wide = (fast - slow).max(200.0);
    let tall = (high - low).max(units.pressure(40.0));
    Frame {
        area: Area::new(84.0, 76.0, canvas.width - PANEL, canvas.height - 84.0),
        across: Scale::new(slow - wide * 0.06, fast + wide * 0.06, 8),
        up: Scale::new(low - tall * 0.22, high + tall * 0.14, 9),
    }
}

/// The ceiling as lines, broken where a cell has no window.
fn curve(frame: &Frame, group: &Group<'_>, units: Units) -> Vec<Vec<Point>> {
    let mut pieces = vec![Vec::new()];
    for cell in &group.cells {
        match cell.ceiling_kpa_abs {
            Some(kpa) => {
                let point = frame.at(cell.engine_speed_rpm, units.pressure(kpa));
                if let Some(piece) = pieces.last_mut() {
                    piece.push(point);
                }
            }
            None => pieces.push(Vec::new()),
        }
    }
    pieces.retain(|piece| !piece.is_empty());
    pieces
}

/// The window between floor and ceiling. A floor that does not exist, because
/// open vanes give more, leaves the window open downwards. Returns where the
/// floor lines begin.
fn window(
    canvas: &mut Canvas,
    frame: &Frame,
    group: &Group<'_>,
    index: usize,
    of: usize,
    units: Units,
) -> Vec<(Point, Ink)> {
    let mut floors = Vec::new();
    let ink = SERIES[index % SERIES.len()];
    let lean = if index.is_multiple_of(2) {
        Lean::Up
    } else {
        Lean::Down
    };
    let gap = if of > 1 { 22.0 } else { 16.0 };
    for run in group.cells.split(|cell| cell.ceiling_kpa_abs.is_none()) {
        let top = run.iter().filter_map(|cell| {
            cell.ceiling_kpa_abs
                .map(|kpa| frame.at(cell.engine_speed_rpm, units.pressure(kpa)))
        });
        let polygon: Vec<Point> = top.chain(floor_edge(frame, run, units)).collect();
        if run.len() > 1 && of <= HATCHED_MOST {
            canvas.fill(&polygon, ink, 0.05);
            hatch(
                canvas,
                &polygon,
                lean,
                gap,
                stroke(pale(ink), 0.9, Dash::Solid),
            );
        }
        let edge = floor_edge(frame, run, units);
        for floor in edge.split(|point| point.1 > frame.area.bottom - 0.5) {
            let dash = dash_of(index);
            canvas.line(floor, stroke(ink, 1.4, dash));
            floors.extend(floor.last().map(|&point| (point, ink)));
        }
    }
    floors
}

/// The lower edge of a window, from right to left. Where only one of two
/// neighbours has a floor the edge steps half way between them.
fn floor_edge(frame: &Frame, run: &[&CeilingCell], units: Units) -> Vec<Point> {
    let y = |cell: &CeilingCell| {
        cell.floor_kpa_abs
            .map_or(frame.area.bottom, |kpa| frame.y(units.pressure(kpa)))
    };
    let mut edge = Vec::new();
    for (index, cell) in run.iter().enumerate().rev() {
        edge.push((frame.x(cell.engine_speed_rpm), y(cell)));
        let Some(before) = index.checked_sub(1).map(|index| run[index]) else {
            continue;
        };
        if before.floor_kpa_abs.is_some() != cell.floor_kpa_abs.is_some() {
            let middle = frame.x((before.engine_speed_rpm + cell.engine_speed_rpm) / 2.0);
            edge.extend([(middle, y(cell)), (middle, y(before))]);
        }
    }
    edge
}

/// The dash of a curve: with more curves than inks an ink comes again with another.
fn dash_of(index: usize) -> Dash {
    SERIES_DASH[(index + index / SERIES.len()) % SERIES_DASH.len()]
}

fn pale(ink: Ink) -> Ink {
    let mix = |value: u8| (f64::from(value) * 0.35 + 255.0 * 0.65) as u8;
    Ink(mix(ink.0), mix(ink.1), mix(ink.2))
}

fn readable_line(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    result: &CeilingResult,
    units: Units,
) {
    let Some(kpa) = result.readable_ceiling_kpa_abs else {
        return;
    };
    let y = frame.y(units.pressure(kpa));
    let line = [(frame.area.left, y), (frame.area.right, y)];
    canvas.line(&line, stroke(PURPLE, 2.2, Dash::Alternating));
    crowd.avoid_line(&line);
    let text = format!("readable ceiling {} abs", units.pressure_text(kpa));
    let label = Label::new(text, (frame.area.left + 10.0, y - 13.0), 15.0, PURPLE).bold();
    crowd.take(label.area());
    canvas.text_on_ground(label);
}

fn ceiling_curve(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    group: &Group<'_>,
    index: usize,
    units: Units,
) {
    let ink = SERIES[index % SERIES.len()];
    for piece in curve(frame, group, units) {
        canvas.line(&piece, stroke(ink, 2.8, dash_of(index)));
    }
    for cell in &group.cells {
        let x = frame.x(cell.engine_speed_rpm);
        if let Some(band) = cell.band {
            whisker(canvas, frame, crowd, (x, band, index), units);
        }
        let point = marker_point(frame, cell, units);
        crowd.take(Area::new(
            point.0 - 6.0,
            point.1 - 6.0,
            point.0 + 6.0,
            point.1 + 6.0,
        ));
        if cell.ceiling_kpa_abs.is_none() {
            canvas.cross(point, 6.0, stroke(ink, 2.6, Dash::Solid));
        } else if cell.fuel_scale < 1.0 {
            canvas.disc(point, 8.5, WHITE);
            canvas.ring(point, 7.0, 2.4, ink);
        } else {
            canvas.disc(point, 6.5, WHITE);
            canvas.disc(point, 5.0, ink);
        }
    }
}

/// The band of one point: a thin line with a cap at each end. Where the low end
/// is no window at all the line runs down to the axis without a cap. Curves are
/// set off sideways so that their whiskers do not cover each other.
fn whisker(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    (x, band, index): (f64, Band, usize),
    units: Units,
) {
    let Some(high_kpa) = band.high_kpa_abs else {
        return;
    };
    let line = stroke(SERIES[index % SERIES.len()], 1.2, Dash::Solid);
    let x = x + WHISKER_SHIFT * index as f64;
    let y = |kpa| frame.y(units.pressure(kpa));
    let high = (x, y(high_kpa));
    let low = (x, band.low_kpa_abs.map_or(frame.area.bottom, y));
    canvas.line(&[low, high], line);
    let caps = [Some(high), band.low_kpa_abs.map(|_| low)];
    for (x, y) in caps.into_iter().flatten() {
        canvas.line(&[(x - 3.5, y), (x + 3.5, y)], line);
    }
    crowd.avoid_line(&[low, high]);
}

fn marker_point(frame: &Frame, cell: &CeilingCell, units: Units) -> Point {
    let kpa = cell.ceiling_kpa_abs.or(cell.reachable_kpa_abs);
    let x = frame.x(cell.engine_speed_rpm);
    (
        x,
        kpa.map_or(frame.area.bottom - 26.0, |kpa| frame.y(units.pressure(kpa))),
    )
}

/// The binding limit by its code, and the derate where there is one.
fn notes(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    group: &Group<'_>,
    index: usize,
    units: Units,
) {
    let ink = SERIES[index % SERIES.len()];
    for cell in &group.cells {
        let point = marker_point(frame, cell, units);
        let code = cell.binding_above.as_deref().map(names::limit_code);
        let mut text = code.unwrap_or_default().to_owned();
        if cell.ceiling_kpa_abs.is_none() {
            text = "no window".to_owned();
        } else if cell.fuel_scale < 1.0 {
            let scale = format!("fuel ×{}", fixed(cell.fuel_scale, 2));
            text = if text.is_empty() {
                scale
            } else {
                format!("{text}, {scale}")
            };
        }
        if !text.is_empty() {
            crowd.place_above(canvas, Label::new(text, point, 15.0, ink).bold(), 16.0);
        }
    }
}

fn altitude_labels(
    canvas: &mut Canvas,
    frame: &Frame,
    groups: &[Group<'_>],
    legend_top: f64,
    units: Units,
) {
    let ends: Vec<(usize, Point)> = groups
        .iter()
        .enumerate()
        .filter_map(|(index, group)| {
            group
                .cells
                .last()
                .map(|cell| (index, marker_point(frame, cell, units)))
        })
        .collect();
    let heights: Vec<f64> = ends.iter().map(|(_, point)| point.1).collect();
    let placed = spread(&heights, 19.0, frame.area.top + 4.0, legend_top - 24.0);
    for ((index, point), y) in ends.into_iter().zip(placed) {
        let ink = SERIES[index % SERIES.len()];
        let from = frame.area.right + 22.0;
        let dash = dash_of(index);
        canvas.line(
            &[
                (point.0 + 9.0, point.1),
                (frame.area.right + 6.0, point.1),
                (from, y),
            ],
            stroke(ink, 1.1, Dash::Solid),
        );
        canvas.line(&[(from, y), (from + 30.0, y)], stroke(ink, 2.8, dash));
        canvas.text(Label::new(groups[index].name(units), (from + 36.0, y), 15.0, ink).bold());
    }
}

/// Returns the height at which it begins.
fn legend(canvas: &mut Canvas, frame: &Frame, result: &CeilingResult, hatched: bool) -> f64 {
    let used = names::LIMITS.iter().filter(|name| {
        result
            .cells
            .iter()
            .any(|cell| cell.binding_above.as_deref() == Some(name.key))
    });
    let left = frame.area.right + 22.0;
    let mut rows: Vec<(String, String)> = used
        .map(|name| (name.code.to_owned(), name.label.to_owned()))
        .collect();
    if result.cells.iter().any(|cell| cell.fuel_scale < 1.0) {
        rows.push(("○".to_owned(), "at reduced fuel".to_owned()));
    }
    if result
        .cells
        .iter()
        .any(|cell| cell.ceiling_kpa_abs.is_none())
    {
        rows.push(("×".to_owned(), "no window".to_owned()));
    }
    if result.cells.iter().any(|cell| cell.band.is_some()) {
        rows.push(("I".to_owned(), "band, 95 % of draws".to_owned()));
    }
    if hatched {
        rows.push(("///".to_owned(), "floor to ceiling".to_owned()));
    }
    let mut y = frame.area.bottom - 20.0 * rows.len() as f64;
    let top = y - 6.0;
    canvas.text(Label::new("binding limit", (left, y - 6.0), 14.0, GREY));
    for (code, text) in rows {
        y += 20.0;
        canvas.text(Label::new(code, (left, y), 15.0, BLACK).bold());
        canvas.text(Label::new(text, (left + 32.0, y), 14.0, BLACK));
    }
    top
}
