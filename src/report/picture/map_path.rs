//! The run on the compressor map: speed lines, efficiency islands, surge line.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::Crowd;
use super::palette::*;
use super::track::{Track, first_pinned, stretches};
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::RunResult;
use crate::map::{EfficiencyGrid, MapDrawing};
use crate::report::units::{Units, fixed};
use crate::simulation::Sample;

/// Shorter pieces of an island's line are left out.
const CRUMB_PX: f64 = 16.0;
const SIZE_PX: (u32, u32) = (1000, 700);

/// The path of a run on the compressor map.
///
/// # Errors
/// An empty run or map, a size that cannot be drawn, or a failure of the
/// plotting library.
pub fn map_path(
    samples: &[Sample],
    map: &MapDrawing,
    result: &RunResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    if samples.is_empty() {
        return Err(PictureError::Empty { what: "the run" });
    }
    if map.lines.iter().all(|line| line.points.is_empty()) {
        return Err(PictureError::Empty { what: "the map" });
    }
    let units = options.units;
    let subtitle = format!("Path on the compressor map · {}", result.procedure);
    let mut canvas = sheet::begin(options, SIZE_PX, &result.scenario, &result.data, &subtitle)?;
    let frame = frame(&canvas, samples, map, units);
    frame.grid(&mut canvas);
    let mut crowd = Crowd::new(frame.area.grown(-3.0));
    zero_flow(&mut canvas, &frame, &mut crowd, samples);
    let track = Track::new(samples, |s| {
        frame.at(
            units.mass_flow(s.compressor_corrected_flow_kg_s),
            s.compressor_pressure_ratio,
        )
    });
    crowd.avoid_line(&track.points);
    key(&mut canvas, &frame, &mut crowd, samples, map);
    speed_lines(&mut canvas, &frame, &mut crowd, map, units);
    islands(&mut canvas, &frame, &mut crowd, &map.efficiency, units);
    surge_line(&mut canvas, &frame, &mut crowd, map, units);
    path(&mut canvas, &mut crowd, samples, &track);
    frame.axis_below(
        &mut canvas,
        &format!(
            "corrected compressor flow, {} (at {} abs, {})",
            units.mass_flow_unit(),
            reference_pressure(units, map.reference_pressure_pa),
            reference_temperature(units, map.reference_temperature_k),
        ),
    );
    frame.axis_left(&mut canvas, "pressure ratio");
    render::render(&canvas, options.format)
}

pub(super) fn reference_pressure(units: Units, pressure_pa: f64) -> String {
    let value = units.pressure(pressure_pa / 1000.0);
    format!("{} {}", fixed(value, 1), units.pressure_unit())
}

pub(super) fn reference_temperature(units: Units, temperature_k: f64) -> String {
    let value = units.temperature(temperature_k);
    format!("{} {}", fixed(value, 0), units.temperature_unit())
}

fn frame(canvas: &Canvas, samples: &[Sample], map: &MapDrawing, units: Units) -> Frame {
    let points = || {
        map.lines
            .iter()
            .flat_map(|line| &line.points)
            .chain(&map.surge)
    };
    let (least_flow, flow) = span(
        points()
            .map(|p| p[0])
            .chain(samples.iter().map(|s| s.compressor_corrected_flow_kg_s)),
    );
    let (least_ratio, ratio) = span(
        points()
            .map(|p| p[1])
            .chain(samples.iter().map(|s| s.compressor_pressure_ratio)),
    );
    Frame {
        area: Area::new(84.0, 76.0, canvas.width - 30.0, canvas.height - 84.0),
        across: Scale::new(
            units.mass_flow(least_flow.min(0.0)) * 1.15,
            units.mass_flow(flow) * 1.10,
            9,
        ),
        up: Scale::new(
            least_ratio.min(1.0) - (ratio - 1.0) * 0.03,
            ratio + (ratio - 1.0) * 0.08,
            8,
        ),
    }
}

/// Where a run blows backwards, the line that it crosses.
fn zero_flow(canvas: &mut Canvas, frame: &Frame, crowd: &mut Crowd, samples: &[Sample]) {
    if !blows_backwards(samples) {
        return;
    }
    let x = frame.x(0.0);
    let line = [(x, frame.area.top), (x, frame.area.bottom)];
    canvas.line(&line, stroke(GREY, 1.4, Dash::Solid));
    let place = (x - 8.0, frame.area.bottom - 14.0);
    let label = Label::new("flow backwards", place, 14.0, GREY).end();
    crowd.take(label.area());
    canvas.text_on_ground(label);
}

fn blows_backwards(samples: &[Sample]) -> bool {
    samples
        .iter()
        .any(|s| s.compressor_corrected_flow_kg_s < 0.0)
}

fn speed_lines(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    map: &MapDrawing,
    units: Units,
) {
    for (index, line) in map.lines.iter().enumerate() {
        let points: Vec<Point> = line
            .points
            .iter()
            .map(|p| frame.at(units.mass_flow(p[0]), p[1]))
            .collect();
        canvas.line(&points, stroke(GREY, 1.4, Dash::Solid));
        crowd.avoid_line(&points);
        // Every label stands at the choke end of its line, outside the map.
        let Some(&end) = points.last() else { continue };
        let text = fixed(line.corrected_speed_rpm / 1000.0, 0);
        let last = index + 1 == map.lines.len();
        let text = if last { format!("{text} krpm") } else { text };
        let label = Label::new(text, (end.0 + 7.0, end.1 + 4.0), 14.0, GREY);
        if frame
            .area
            .grown(24.0)
            .holds((label.area().right, label.area().bottom))
        {
            crowd.take(label.area());
            canvas.text_on_ground(label);
        }
    }
}

pub(super) fn surge_line(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    map: &MapDrawing,
    units: Units,
) {
    let points: Vec<Point> = map
        .surge
        .iter()
        .map(|p| frame.at(units.mass_flow(p[0]), p[1]))
        .collect();
    canvas.line(&points, stroke(VERMILLION, 2.8, Dash::Alternating));
    crowd.avoid_line(&points);
    let Some(&middle) = points.get(points.len() * 2 / 3) else {
        return;
    };
    let label = Label::new("surge line", (middle.0 - 14.0, middle.1), 15.0, VERMILLION)
        .bold()
        .end();
    crowd.take(label.area());
    canvas.text_on_ground(label);
}

/// Islands at every few per cent, labelled once each.
pub(super) fn islands(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    grid: &EfficiencyGrid,
    units: Units,
) {
    let (least, most) = span(grid.values.iter().filter_map(|value| *value));
    if most.partial_cmp(&least) != Some(std::cmp::Ordering::Greater)
        || grid.columns < 3
        || grid.rows < 3
        || grid.values.len() != grid.columns * grid.rows
    {
        return;
    }
    let top = (most * 50.0).floor() / 50.0;
    let levels: Vec<f64> = [0.0, 0.02, 0.04, 0.08, 0.14]
        .iter()
        .map(|down| top - down)
        .filter(|&level| level > least)
        .collect();
    let filled = filled(&grid.values, grid.columns, grid.rows);
    let Ok(lines) =
        contour::ContourBuilder::new(grid.columns, grid.rows, true).lines(&filled, &levels)
    else {
        return;
    };
    let flow_step = (grid.flow_kg_s[1] - grid.flow_kg_s[0]) / (grid.columns - 1) as f64;
    let ratio_step = (grid.pressure_ratio[1] - grid.pressure_ratio[0]) / (grid.rows - 1) as f64;
    for line in &lines {
        let mut longest: Vec<Point> = Vec::new();
        for ring in line.geometry().iter() {
            let mut piece: Vec<Point> = Vec::new();
            let flush = |piece: &mut Vec<Point>, canvas: &mut Canvas, longest: &mut Vec<Point>| {
                let length: f64 = piece
                    .windows(2)
                    .map(|pair| (pair[1].0 - pair[0].0).hypot(pair[1].1 - pair[0].1))
                    .sum();
                // Crumbs at the edge of the map say nothing.
                if length > CRUMB_PX {
                    canvas.line(piece, stroke(GREEN, 1.3, Dash::Short));
                }
                if piece.len() > longest.len() {
                    longest.clone_from(piece);
                }
                piece.clear();
            };
            for point in ring.coords() {
                // Values stand in the middle of the library's cells.
                let (column, row) = (point.x - 0.5, point.y - 0.5);
                if inside(grid, column, row) {
                    let flow = grid.flow_kg_s[0] + column * flow_step;
                    let ratio = grid.pressure_ratio[0] + row * ratio_step;
                    piece.push(frame.at(units.mass_flow(flow), ratio));
                } else {
                    flush(&mut piece, canvas, &mut longest);
                }
            }
            flush(&mut piece, canvas, &mut longest);
        }
        island_label(canvas, crowd, line.threshold(), &longest);
    }
}

fn island_label(canvas: &mut Canvas, crowd: &mut Crowd, level: f64, points: &[Point]) {
    // The lower part of an island is where the map is emptiest.
    let mut low: Vec<Point> = points.iter().copied().step_by(3).collect();
    low.sort_by(|a, b| b.1.total_cmp(&a.1));
    let text = format!("{} %", fixed(level * 100.0, 0));
    let labels = low
        .into_iter()
        .map(|point| Label::new(text.clone(), point, 13.0, GREEN).middle());
    if let Some(label) = crowd.best(labels) {
        crowd.take(label.area());
        canvas.text_on_ground(label);
    }
}

/// Whether all four neighbours of a place on the grid are measured.
fn inside(grid: &EfficiencyGrid, column: f64, row: f64) -> bool {
    if column < 0.0 || row < 0.0 {
        return false;
    }
    let corners = [
        (column.floor(), row.floor()),
        (column.ceil(), row.floor()),
        (column.floor(), row.ceil()),
        (column.ceil(), row.ceil()),
    ];
    corners.iter().all(|&(c, r)| {
        let (c, r) = (c as usize, r as usize);
        c < grid.columns && r < grid.rows && grid.values[r * grid.columns + c].is_some()
    })
}

/// A grid with its empty part filled from the edges outward, so that level lines
/// cut the edge of the map instead of following it.
pub(super) fn filled(values: &[Option<f64>], columns: usize, rows: usize) -> Vec<f64> {
    let mut values = values.to_vec();
    loop {
        let mut next = values.clone();
        let mut changed = false;
        for row in 0..rows {
            for column in 0..columns {
                if values[row * columns + column].is_some() {
                    continue;
                }
                let (mut sum, mut count) = (0.0, 0.0);
                for r in row.saturating_sub(1)..=(row + 1).min(rows - 1) {
                    for c in column.saturating_sub(1)..=(column + 1).min(columns - 1) {
                        if let Some(value) = values[r * columns + c] {
                            sum += value;
                            count += 1.0;
                        }
                    }
                }
                if count > 0.0 {
                    next[row * columns + column] = Some(sum / count);
                    changed = true;
                }
            }
        }
        values = next;
        if !changed {
            return values
                .into_iter()
                .map(|value| value.unwrap_or(0.0))
                .collect();
        }
    }
}

fn path(canvas: &mut Canvas, crowd: &mut Crowd, samples: &[Sample], track: &Track) {
    for (from, to, outside) in stretches(samples, |s| s.compressor_extrapolated) {
        let points = &track.points[from..=to];
        canvas.line(points, stroke(WHITE, 5.5, Dash::Solid));
        let dash = if outside { Dash::Short } else { Dash::Solid };
        canvas.line(points, stroke(BLUE, 3.0, dash));
    }
    let pin = first_pinned(samples).and_then(|pin| track.at(pin.time_s));
    track.draw_ticks(canvas, crowd, BLUE, BLACK, pin.as_slice());
    if let Some(pin) = first_pinned(samples)
        && let Some(point) = track.at(pin.time_s)
    {
        canvas.diamond(point, 8.0, PURPLE);
        let text = format!("reading pins, {} s", fixed(pin.time_s, 1));
        crowd.place(canvas, Label::new(text, point, 15.0, PURPLE).bold(), 16.0);
    }
    let Some((start, end)) = track.ends() else {
        return;
    };
    let (from, to) = (samples[0].time_s, samples[samples.len() - 1].time_s);
    canvas.ring(start, 6.5, 2.4, BLUE);
    canvas.square(end, 6.0, BLUE);
    crowd.place(
        canvas,
        Label::new(format!("end {} s", fixed(to, 1)), end, 15.0, BLUE).bold(),
        13.0,
    );
    crowd.place(
        canvas,
        Label::new(format!("start {} s", fixed(from, 1)), start, 14.0, BLACK),
        12.0,
    );
}

/// What the lines mean, in the upper left corner: left of the surge line a
/// map is empty.
fn key(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    samples: &[Sample],
    map: &MapDrawing,
) {
    let mut rows = vec![
        ("path of the run", stroke(BLUE, 3.0, Dash::Solid)),
        ("compressor efficiency", stroke(GREEN, 1.3, Dash::Short)),
        ("corrected speed, krpm", stroke(GREY, 1.4, Dash::Solid)),
    ];
    if samples.iter().any(|s| s.compressor_extrapolated) {
        rows.insert(
            1,
            (
                "path outside the measured map",
                stroke(BLUE, 3.0, Dash::Short),
            ),
        );
    }
    let left = frame.area.left + 14.0;
    let mut y = frame.area.top + 16.0;
    let lines = (rows.len() + 1) as f64;
    let ground = Area::new(left - 8.0, y - 14.0, left + 262.0, y + 20.0 * lines - 8.0);
    crowd.take(ground);
    canvas.fill_area(ground, WHITE, 0.9);
    for (text, look) in rows {
        canvas.line(&[(left, y), (left + 36.0, y)], look);
        canvas.text(Label::new(text, (left + 46.0, y), 14.0, BLACK));
        y += 20.0;
    }
    let source = if map.data.is_empty() {
        "not stated"
    } else {
        map.data.as_str()
    };
    canvas.text(Label::new(
        format!("map data: {source}"),
        (left + 46.0, y),
        14.0,
        BLACK,
    ));
}
