//! Command and vane tables as lines over engine speed, one for each fuel, with
//! the window of the command at full load.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::spread;
use super::hatch::{Lean, hatch, tinted};
use super::palette::*;
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::TablesResult;
use crate::report::units::fixed;

const SIZE_PX: (u32, u32) = (1000, 700);
const PANEL: f64 = 170.0;
/// More lines than these cannot be told apart; evenly chosen fuels are drawn.
const MOST_LINES: usize = 6;

/// The command table: a line for each fuel, the window at full load hatched,
/// what the sensor cannot read above.
///
/// # Errors
/// Tables without rows, a size that cannot be drawn, or a failure of the
/// plotting library.
pub fn command_lines(
    result: &TablesResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    let units = options.units;
    let subtitle =
        "Boost command over engine speed, a line for each fuel; hatched the window at full load";
    let mut canvas = begin(result, options, subtitle)?;
    let lines = used(result, &result.command_kpa_abs, |kpa| units.pressure(kpa));
    let full: Vec<(f64, f64)> = result
        .full_load
        .iter()
        .filter_map(|row| Some((row.engine_speed_rpm, units.pressure(row.command_kpa_abs?))))
        .collect();
    let edge = |value: fn(&crate::judgement::FullLoadRow) -> Option<f64>| -> Vec<(f64, f64)> {
        result
            .full_load
            .iter()
            .filter_map(|row| Some((row.engine_speed_rpm, units.pressure(value(row)?))))
            .collect()
    };
    let (floor, ceiling) = (
        edge(|row| row.floor_kpa_abs),
        edge(|row| row.ceiling_kpa_abs),
    );
    let readable = units.pressure(result.readable_ceiling_kpa_abs);
    let heights = lines
        .iter()
        .flat_map(|line| &line.points)
        .chain(&full)
        .chain(&ceiling)
        .map(|point| point.1);
    let (low, high) = span(heights);
    // the readable ceiling is shown where it is near enough to matter
    let near = readable - high < 0.35 * (high - low);
    let top = if near { readable.max(high) } else { high };
    let frame = frame(&canvas, result, (low, top));
    frame.grid(&mut canvas);
    if near && readable < frame.up.high {
        let y = frame.y(readable);
        let band = Area::new(frame.area.left, frame.area.top, frame.area.right, y);
        let grey = stroke(MID_GREY, 0.9, Dash::Solid);
        tinted(&mut canvas, band, Lean::Up, 11.0, grey, PURPLE);
        canvas.line(
            &[(frame.area.left, y), (frame.area.right, y)],
            stroke(PURPLE, 2.2, Dash::Alternating),
        );
        let text = format!(
            "unreadable above {} abs",
            units.pressure_text(result.readable_ceiling_kpa_abs)
        );
        let at = (frame.area.left + 10.0, (band.top + y) / 2.0);
        canvas.text_on_ground(Label::new(text, at, 14.0, BLACK));
    }
    window(&mut canvas, &frame, &floor, &ceiling);
    let mut labels = draw(&mut canvas, &frame, &lines);
    labels.extend(full_line(&mut canvas, &frame, &full));
    name(&mut canvas, &frame, labels);
    legend(&mut canvas, &frame, true);
    frame.axis_below(&mut canvas, "engine speed, rpm");
    let unit = format!("boost command, {} abs", units.pressure_unit());
    frame.axis_left(&mut canvas, &unit);
    render::render(&canvas, options.format)
}

/// The feed-forward vane table: a line for each fuel.
///
/// # Errors
/// As [`command_lines`].
pub fn vane_lines(
    result: &TablesResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    let subtitle = "Feed-forward vane position over engine speed, a line for each fuel";
    let mut canvas = begin(result, options, subtitle)?;
    let lines = used(result, &result.vane_closed_pct, |pct| pct);
    let full: Vec<(f64, f64)> = (0..result.engine_speeds_rpm.len())
        .filter_map(|row| {
            let mg = result.full_load[row].fuel_mg;
            let pct = along(&result.fuels_mg, &result.vane_closed_pct[row], mg);
            let there = result.full_load[row].command_kpa_abs.is_some();
            there.then_some((result.engine_speeds_rpm[row], pct))
        })
        .collect();
    let (low, high) = span(
        lines
            .iter()
            .flat_map(|line| &line.points)
            .chain(&full)
            .map(|point| point.1),
    );
    let frame = frame(&canvas, result, (low.min(0.0), high.max(20.0)));
    frame.grid(&mut canvas);
    let mut labels = draw(&mut canvas, &frame, &lines);
    labels.extend(full_line(&mut canvas, &frame, &full));
    name(&mut canvas, &frame, labels);
    legend(&mut canvas, &frame, false);
    frame.axis_below(&mut canvas, "engine speed, rpm");
    frame.axis_left(&mut canvas, "vane position, % closed");
    render::render(&canvas, options.format)
}

fn begin(
    result: &TablesResult,
    options: &PictureOptions,
    subtitle: &str,
) -> Result<Canvas, PictureError> {
    if result.engine_speeds_rpm.is_empty() || result.fuels_mg.is_empty() {
        return Err(PictureError::Empty { what: "the table" });
    }
    sheet::begin(options, SIZE_PX, &result.scenario, &result.data, subtitle)
}

fn frame(canvas: &Canvas, result: &TablesResult, (low, high): (f64, f64)) -> Frame {
    let (slow, fast) = span(result.engine_speeds_rpm.iter().copied());
    let (wide, tall) = ((fast - slow).max(200.0), (high - low).max(1.0));
    Frame {
        area: Area::new(84.0, 76.0, canvas.width - PANEL, canvas.height - 84.0),
        across: Scale::new(slow - wide * 0.04, fast + wide * 0.04, 8),
        up: Scale::new(low - tall * 0.06, high + tall * 0.10, 9),
    }
}

/// A line of one fuel, as far as the engine is given that fuel.
struct FuelLine {
    name: String,
    points: Vec<(f64, f64)>,
    look: Stroke,
}

/// The columns below full load, where each is in use.
fn used(result: &TablesResult, rows: &[Vec<f64>], show: impl Fn(f64) -> f64) -> Vec<FuelLine> {
    let columns: Vec<usize> = (0..result.fuels_mg.len())
        .filter(|&j| (0..rows.len()).filter(|&i| in_use(result, i, j)).count() > 1)
        .collect();
    let most = columns.len().min(MOST_LINES);
    (0..most)
        .map(|n| {
            let j = if most > 1 {
                columns[n * (columns.len() - 1) / (most - 1)]
            } else {
                columns[0]
            };
            FuelLine {
                name: format!("{} mg", fixed(result.fuels_mg[j], 0)),
                points: (0..rows.len())
                    .filter(|&i| in_use(result, i, j))
                    .map(|i| (result.engine_speeds_rpm[i], show(rows[i][j])))
                    .collect(),
                look: stroke(
                    SERIES[n % SERIES.len()],
                    2.2,
                    SERIES_DASH[(n + 1) % SERIES_DASH.len()],
                ),
            }
        })
        .collect()
}

fn in_use(result: &TablesResult, row: usize, column: usize) -> bool {
    result.fuels_mg[column] < result.full_load[row].fuel_mg - 1e-6
}

/// The value of a row of the table at a fuel.
fn along(axis: &[f64], values: &[f64], at: f64) -> f64 {
    let above = axis.partition_point(|x| *x < at);
    match (above.checked_sub(1), axis.get(above)) {
        (None, _) => values[0],
        (Some(below), None) => values[below],
        (Some(below), Some(next)) => {
            let share = (at - axis[below]) / (next - axis[below]);
            values[below] + share * (values[above] - values[below])
        }
    }
}

/// A name waiting for its place at the right: text, height, ink.
type Name = (String, f64, Ink);

fn draw(canvas: &mut Canvas, frame: &Frame, lines: &[FuelLine]) -> Vec<Name> {
    let mut names = Vec::new();
    for line in lines {
        let points: Vec<Point> = line.points.iter().map(|p| frame.at(p.0, p.1)).collect();
        canvas.line(&points, line.look);
        for point in &points {
            canvas.disc(*point, 3.6, line.look.ink);
        }
        if let Some(last) = points.last() {
            names.push((line.name.clone(), last.1, line.look.ink));
        }
    }
    names
}

fn full_line(canvas: &mut Canvas, frame: &Frame, full: &[(f64, f64)]) -> Option<Name> {
    let points: Vec<Point> = full.iter().map(|p| frame.at(p.0, p.1)).collect();
    canvas.line(&points, stroke(BLACK, 3.2, Dash::Solid));
    for point in &points {
        canvas.diamond(*point, 5.0, BLACK);
    }
    let last = points.last()?;
    Some(("full load".to_owned(), last.1, BLACK))
}

/// The names at the right ends of the lines, moved apart.
fn name(canvas: &mut Canvas, frame: &Frame, names: Vec<Name>) {
    let heights: Vec<f64> = names.iter().map(|n| n.1).collect();
    let (top, bottom) = (frame.area.top + 8.0, frame.area.bottom - 8.0);
    let placed = spread(&heights, 19.0, top, bottom);
    for ((text, y, ink), at) in names.into_iter().zip(placed) {
        let left = frame.area.right;
        let end = frame.x(frame.across.high);
        canvas.line(
            &[(end - 2.0, y), (left + 12.0, at)],
            stroke(MID_GREY, 0.8, Dash::Solid),
        );
        let label = Label::new(text, (left + 16.0, at), 15.0, ink);
        canvas.text(if ink == BLACK { label.bold() } else { label });
    }
}

fn window(canvas: &mut Canvas, frame: &Frame, floor: &[(f64, f64)], ceiling: &[(f64, f64)]) {
    if floor.len() < 2 || ceiling.len() != floor.len() {
        return;
    }
    let up: Vec<Point> = ceiling.iter().map(|p| frame.at(p.0, p.1)).collect();
    let mut polygon = up.clone();
    polygon.extend(floor.iter().rev().map(|p| frame.at(p.0, p.1)));
    canvas.fill(&polygon, SKY, 0.10);
    hatch(
        canvas,
        &polygon,
        Lean::Down,
        13.0,
        stroke(SKY, 0.9, Dash::Solid),
    );
    canvas.line(&up, stroke(VERMILLION, 1.8, Dash::Short));
    let down: Vec<Point> = floor.iter().map(|p| frame.at(p.0, p.1)).collect();
    canvas.line(&down, stroke(GREY, 1.2, Dash::Dots));
}

fn legend(canvas: &mut Canvas, frame: &Frame, windowed: bool) {
    let left = frame.area.right + 16.0;
    let mut y = frame.area.bottom - 6.0;
    let mut entries = vec![];
    if windowed {
        entries.push(("floor", stroke(GREY, 1.2, Dash::Dots)));
        entries.push(("ceiling", stroke(VERMILLION, 1.8, Dash::Short)));
    }
    for (text, line) in entries {
        y += 22.0;
        canvas.line(&[(left, y), (left + 30.0, y)], line);
        canvas.text(Label::new(text, (left + 38.0, y), 14.0, BLACK));
    }
}
