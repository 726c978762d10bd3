//! The road: command, true boost and safe ceiling over altitude.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::Crowd;
use super::hatch::{Lean, hatch, tinted};
use super::palette::*;
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::{CeilingCell, RoadResult, RunResult};
use crate::report::names;
use crate::report::units::{Units, fixed};
use crate::simulation::Sample;

const SIZE_PX: (u32, u32) = (1000, 700);
const PANEL: f64 = 200.0;
/// The drive is drawn as the mean over so many pieces of altitude: gear changes
/// would bury it.
const PIECES: usize = 120;

/// Command, boost and ceiling over altitude along the road of a climb.
///
/// # Errors
/// A run without a road or ceilings, a size that cannot be drawn, or a failure of
/// the plotting library.
pub fn road_chart(
    samples: &[Sample],
    result: &RunResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    let road = result
        .road
        .as_ref()
        .filter(|road| !road.cells.is_empty() && !samples.is_empty())
        .ok_or(PictureError::Empty { what: "the road" })?;
    let units = options.units;
    let subtitle = format!(
        "Boost command and true boost as driven, and the safe ceiling at {} rpm, over altitude",
        fixed(road.cells[0].engine_speed_rpm, 0)
    );
    let mut canvas = sheet::begin(options, SIZE_PX, &result.scenario, &result.data, &subtitle)?;
    let readable_kpa = result.sensor.readable_ceiling_kpa_abs;
    let command = drive(samples, |s| s.boost_command_kpa_abs);
    let boost = drive(samples, |s| Some(s.boost_true_kpa_abs));
    let frame = frame(&canvas, road, readable_kpa, [&command, &boost], units);
    frame.grid(&mut canvas);
    let mut crowd = Crowd::new(frame.area.grown(-3.0));
    unreadable(&mut canvas, &frame, &mut crowd, readable_kpa, units);
    derated(&mut canvas, &frame, &mut crowd, road, units);
    let points = |course: &[(f64, f64)]| -> Vec<Point> {
        course
            .iter()
            .map(|&(m, kpa)| frame.at(m, units.pressure(kpa)))
            .collect()
    };
    let (command, boost) = (points(&command), points(&boost));
    canvas.line(&boost, stroke(SKY, 5.0, Dash::Solid));
    canvas.line(&command, stroke(BLACK, 1.8, Dash::Long));
    crowd.avoid_line(&command);
    crossing(&mut canvas, &frame, &mut crowd, road, &command);
    ceiling(&mut canvas, &frame, &mut crowd, road, units);
    legend(&mut canvas, &frame, road);
    frame.axis_below(&mut canvas, "altitude, m");
    frame.axis_left(
        &mut canvas,
        &format!("boost, {} abs", units.pressure_unit()),
    );
    render::render(&canvas, options.format)
}

/// Mean of a quantity with a gear engaged over pieces of altitude \[m, kPa\].
fn drive(samples: &[Sample], value: impl Fn(&Sample) -> Option<f64>) -> Vec<(f64, f64)> {
    let known = || {
        samples
            .iter()
            .filter(|s| s.gear != Some(0))
            .filter_map(|s| Some((s.altitude_m?, value(s)?)))
    };
    let (low, high) = span(known().map(|(m, _)| m));
    let mut sums = vec![(0.0, 0.0, 0u32); PIECES];
    for (m, kpa) in known() {
        let piece = ((m - low) / (high - low).max(1e-9) * PIECES as f64) as usize;
        let sum = &mut sums[piece.min(PIECES - 1)];
        *sum = (sum.0 + m, sum.1 + kpa, sum.2 + 1);
    }
    sums.into_iter()
        .filter(|sum| sum.2 > 0)
        .map(|(m, kpa, count)| (m / f64::from(count), kpa / f64::from(count)))
        .collect()
}

fn frame(
    canvas: &Canvas,
    road: &RoadResult,
    readable_kpa: Option<f64>,
    courses: [&[(f64, f64)]; 2],
    units: Units,
) -> Frame {
    let (left, right) = span(road.cells.iter().filter_map(|cell| cell.altitude_m));
    let driven = courses.into_iter().flatten().map(|&(_, kpa)| kpa);
    let sought = road.cells.iter().filter_map(|cell| cell.ceiling_kpa_abs);
    let (low, high) = span(
        driven
            .chain(sought)
            .chain(readable_kpa)
            .map(|kpa| units.pressure(kpa)),
    );
    let (wide, tall) = (
        (right - left).max(100.0),
        (high - low).max(units.pressure(40.0)),
    );
    Frame {
        area: Area::new(84.0, 76.0, canvas.width - PANEL, canvas.height - 84.0),
        across: Scale::new(left - wide * 0.05, right + wide * 0.05, 8),
        up: Scale::new(low - tall * 0.10, high + tall * 0.12, 9),
    }
}

fn unreadable(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    readable_kpa: Option<f64>,
    units: Units,
) {
    let Some(kpa) = readable_kpa else { return };
    let y = frame.y(units.pressure(kpa));
    let band = Area::new(frame.area.left, frame.area.top, frame.area.right, y);
    let line = stroke(MID_GREY, 0.9, Dash::Solid);
    tinted(canvas, band, Lean::Up, 11.0, line, PURPLE);
    let edge = [(frame.area.left, y), (frame.area.right, y)];
    canvas.line(&edge, stroke(PURPLE, 2.2, Dash::Alternating));
    crowd.take(band);
    let text = format!("unreadable above {} abs", units.pressure_text(kpa));
    let at = (frame.area.right - 10.0, (band.top + y) / 2.0);
    canvas.text_on_ground(Label::new(text, at, 14.0, BLACK).end());
}

/// Hatches the altitudes at which no command is safe at full fuel, each by the
/// numeral of the fuel that is.
fn derated(canvas: &mut Canvas, frame: &Frame, crowd: &mut Crowd, road: &RoadResult, units: Units) {
    let cells = &road.cells;
    let x = |index: usize| frame.x(cells[index].altitude_m.unwrap_or(0.0));
    for (index, cell) in cells.iter().enumerate() {
        if cell.fuel_scale >= 1.0 && cell.ceiling_kpa_abs.is_some() {
            continue;
        }
        // half way to the neighbours
        let from = match index {
            0 => frame.area.left,
            _ => (x(index - 1) + x(index)) / 2.0,
        };
        let to = match index + 1 < cells.len() {
            true => (x(index) + x(index + 1)) / 2.0,
            false => frame.area.right,
        };
        let top = cell
            .ceiling_kpa_abs
            .map_or(frame.area.top, |kpa| frame.y(units.pressure(kpa)));
        let strip = [
            (from, frame.area.bottom),
            (from, top + 26.0),
            (to, top + 26.0),
            (to, frame.area.bottom),
        ];
        canvas.fill(&strip, VERMILLION, 0.06);
        let line = stroke(MID_GREY, 0.8, Dash::Solid);
        hatch(canvas, &strip, Lean::Down, 13.0, line);
        let text = match cell.ceiling_kpa_abs {
            Some(_) => format!("fuel ×{}", fixed(cell.fuel_scale, 2)),
            None => "no window".to_owned(),
        };
        let at = ((from + to) / 2.0, frame.area.bottom - 40.0);
        let label = Label::new(text, at, 16.0, VERMILLION).bold().middle();
        crowd.take(label.area());
        canvas.text_on_ground(label);
    }
}

fn ceiling(canvas: &mut Canvas, frame: &Frame, crowd: &mut Crowd, road: &RoadResult, units: Units) {
    let place = |cell: &CeilingCell| {
        let kpa = cell.ceiling_kpa_abs?;
        Some(frame.at(cell.altitude_m?, units.pressure(kpa)))
    };
    for piece in road.cells.split(|cell| cell.ceiling_kpa_abs.is_none()) {
        let points: Vec<Point> = piece.iter().filter_map(place).collect();
        canvas.line(&points, stroke(VERMILLION, 3.2, Dash::Solid));
        crowd.avoid_line(&points);
    }
    for cell in &road.cells {
        let Some(point) = place(cell) else { continue };
        canvas.disc(point, 7.5, WHITE);
        if cell.fuel_scale < 1.0 {
            canvas.ring(point, 6.5, 2.4, VERMILLION);
        } else {
            canvas.disc(point, 5.5, VERMILLION);
        }
        let code = cell.binding_above.as_deref().map(names::limit_code);
        let kpa = fixed(
            units.pressure(cell.ceiling_kpa_abs.unwrap_or(0.0)),
            units.pressure_decimals(),
        );
        let text = format!("{kpa} {}", code.unwrap_or_default());
        let label = Label::new(text.trim_end(), point, 14.0, VERMILLION).bold();
        crowd.place_above(canvas, label, 16.0);
    }
}

/// Where the command begins to stand above the ceiling.
fn crossing(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    road: &RoadResult,
    command: &[Point],
) {
    let Some(m) = road.command_above_ceiling_from_m else {
        return;
    };
    let x = frame.x(m);
    let near = command
        .iter()
        .min_by(|a, b| (a.0 - x).abs().total_cmp(&(b.0 - x).abs()));
    let Some(&(_, y)) = near else { return };
    // upwards: below stand the derates
    let top = (y - 96.0).max(frame.area.top + 30.0);
    canvas.line(&[(x, y), (x, top)], stroke(BLACK, 1.2, Dash::Dots));
    canvas.diamond((x, y), 6.0, BLACK);
    let lines = [
        "command above the ceiling".to_owned(),
        format!("from {} m on", fixed(m, 0)),
    ];
    for (text, down) in lines.into_iter().zip([0.0, 18.0]) {
        let label = Label::new(text, (x + 8.0, top + down), 14.0, BLACK);
        crowd.take(label.area());
        canvas.text_on_ground(label);
    }
}

fn legend(canvas: &mut Canvas, frame: &Frame, road: &RoadResult) {
    let left = frame.area.right + 18.0;
    let mut y = frame.area.top + 10.0;
    let lines = [
        ("safe ceiling", stroke(VERMILLION, 3.2, Dash::Solid)),
        ("command as driven", stroke(BLACK, 1.8, Dash::Long)),
        ("true boost", stroke(SKY, 5.0, Dash::Solid)),
    ];
    for (text, line) in lines {
        canvas.line(&[(left, y), (left + 30.0, y)], line);
        canvas.text(Label::new(text, (left + 36.0, y), 14.0, BLACK));
        y += 22.0;
    }
    if road.cells.iter().any(|cell| cell.fuel_scale < 1.0) {
        canvas.ring((left + 15.0, y), 6.0, 2.4, VERMILLION);
        canvas.text(Label::new("at reduced fuel", (left + 36.0, y), 14.0, BLACK));
        y += 22.0;
    }
    y += 8.0;
    canvas.text(Label::new("binding limit", (left, y), 14.0, GREY));
    for name in names::LIMITS {
        let used = |cell: &CeilingCell| cell.binding_above.as_deref() == Some(name.key);
        if road.cells.iter().any(used) {
            y += 20.0;
            canvas.text(Label::new(name.code, (left, y), 14.0, BLACK).bold());
            canvas.text(Label::new(name.label, (left + 36.0, y), 14.0, BLACK));
        }
    }
}
