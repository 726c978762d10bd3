//! Diminishing returns: power against shaft speed as the command rises, with
//! the slope along the fastest row and the knee of each.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::Crowd;
use super::palette::*;
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::{GainCurve, TablesResult};
use crate::report::units::{Units, fixed, signed};

const SIZE_PX: (u32, u32) = (1000, 700);
/// Most curves; the fastest row is always among them.
const MOST_CURVES: usize = 5;
/// Slopes told along the fastest row.
const SLOPES: usize = 4;

/// Power over shaft speed from open vanes to the ceiling.
///
/// # Errors
/// A result without such curves, a size that cannot be drawn, or a failure of
/// the plotting library.
pub fn gain_chart(
    result: &TablesResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    let critical = result.critical_gain.and_then(|at| result.gain.get(at));
    let Some(critical) = critical.filter(|curve| curve.points.len() > 1) else {
        return Err(PictureError::Empty {
            what: "the gain of power",
        });
    };
    let units = options.units;
    let curves = chosen(result, critical);
    let place = match critical.altitude_m {
        Some(m) => units.altitude_text(m),
        None => format!(
            "{} abs ambient",
            units.pressure_text(critical.ambient_kpa_abs)
        ),
    };
    let subtitle = format!(
        "Power against shaft speed at full load, from open vanes to the ceiling, at {place}"
    );
    let mut canvas = sheet::begin(options, SIZE_PX, &result.scenario, &result.data, &subtitle)?;
    let frame = frame(&canvas, &curves, units);
    frame.grid(&mut canvas);
    let mut crowd = Crowd::new(frame.area.grown(-3.0));
    for curve in &curves {
        crowd.avoid_line(&line(&frame, curve, units));
    }
    for (at, curve) in curves.iter().enumerate() {
        draw(
            &mut canvas,
            &frame,
            curve,
            at,
            std::ptr::eq(*curve, critical),
            units,
        );
    }
    slopes(&mut canvas, &frame, &mut crowd, critical, units);
    for (at, curve) in curves.iter().enumerate() {
        let fast = std::ptr::eq(*curve, critical);
        marks(&mut canvas, &frame, &mut crowd, curve, (at, fast), units);
    }
    legend(&mut canvas, &frame);
    frame.axis_below(&mut canvas, "shaft speed, thousand rpm");
    frame.axis_left(&mut canvas, &format!("power, {}", units.power_unit()));
    render::render(&canvas, options.format)
}

/// The rows at the place of the fastest one, evenly chosen.
fn chosen<'a>(result: &'a TablesResult, critical: &'a GainCurve) -> Vec<&'a GainCurve> {
    let there: Vec<&GainCurve> = result
        .gain
        .iter()
        .filter(|c| c.altitude_m == critical.altitude_m && c.ambient_k == critical.ambient_k)
        .filter(|c| c.ambient_kpa_abs == critical.ambient_kpa_abs && c.points.len() > 1)
        .collect();
    if there.len() <= MOST_CURVES {
        return there;
    }
    let last = there.len() - 1;
    let mut curves: Vec<&GainCurve> = (0..MOST_CURVES)
        .map(|n| there[n * last / (MOST_CURVES - 1)])
        .collect();
    if !curves.iter().any(|c| std::ptr::eq(*c, critical)) {
        curves[MOST_CURVES - 1] = critical;
    }
    curves
}

fn frame(canvas: &Canvas, curves: &[&GainCurve], units: Units) -> Frame {
    let points = || curves.iter().flat_map(|c| &c.points);
    let (slow, fast) = span(points().map(|p| p.shaft_speed_rpm * 1e-3));
    let (low, high) = span(points().map(|p| units.power(p.power_kw)));
    let (wide, tall) = ((fast - slow).max(5.0), (high - low).max(5.0));
    Frame {
        area: Area::new(84.0, 76.0, canvas.width - 30.0, canvas.height - 112.0),
        across: Scale::new(slow - wide * 0.04, fast + wide * 0.16, 9),
        up: Scale::new(low - tall * 0.06, high + tall * 0.12, 9),
    }
}

fn line(frame: &Frame, curve: &GainCurve, units: Units) -> Vec<Point> {
    curve
        .points
        .iter()
        .map(|p| frame.at(p.shaft_speed_rpm * 1e-3, units.power(p.power_kw)))
        .collect()
}

fn draw(
    canvas: &mut Canvas,
    frame: &Frame,
    curve: &GainCurve,
    at: usize,
    fast: bool,
    units: Units,
) {
    let ink = SERIES[at % SERIES.len()];
    let dash = SERIES_DASH[at % SERIES_DASH.len()];
    let look = if fast {
        stroke(BLACK, 3.4, Dash::Solid)
    } else {
        stroke(ink, 2.2, dash)
    };
    canvas.line(&line(frame, curve, units), look);
}

/// Slopes along the fastest row, each over its piece.
fn slopes(canvas: &mut Canvas, frame: &Frame, crowd: &mut Crowd, curve: &GainCurve, units: Units) {
    let points = &curve.points;
    let last = points.len() - 1;
    for piece in 0..SLOPES {
        let (from, to) = (piece * last / SLOPES, (piece + 1) * last / SLOPES);
        let (a, b) = (&points[from], &points[to]);
        let krpm = (b.shaft_speed_rpm - a.shaft_speed_rpm) * 1e-3;
        if krpm <= 0.0 {
            continue;
        }
        let slope = units.power((b.power_kw - a.power_kw) / krpm);
        let text = format!("{} {} per 1000 rpm", signed(slope, 1), units.power_unit());
        let text = text.replace('-', "−");
        let middle = &points[(from + to) / 2];
        let at = frame.at(middle.shaft_speed_rpm * 1e-3, units.power(middle.power_kw));
        for end in [a, b] {
            let p = frame.at(end.shaft_speed_rpm * 1e-3, units.power(end.power_kw));
            canvas.line(
                &[(p.0, p.1 - 7.0), (p.0, p.1 + 7.0)],
                stroke(BLACK, 1.4, Dash::Solid),
            );
        }
        crowd.place_above(canvas, Label::new(text, at, 14.0, BLACK), 14.0);
    }
}

/// Name, knee and the command of the table.
fn marks(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    curve: &GainCurve,
    (at, fast): (usize, bool),
    units: Units,
) {
    let ink = if fast {
        BLACK
    } else {
        SERIES[at % SERIES.len()]
    };
    if let Some(knee) = &curve.knee {
        let point = frame.at(knee.shaft_speed_rpm * 1e-3, units.power(knee.power_kw));
        canvas.ring(point, 7.0, 2.6, ink);
        if fast {
            let text = format!(
                "knee: {} abs, {} krpm",
                units.pressure_text(knee.command_kpa_abs),
                fixed(knee.shaft_speed_rpm * 1e-3, 0)
            );
            crowd.place(canvas, Label::new(text, point, 14.0, ink).bold(), 16.0);
        }
    }
    if let Some(point) = at_command(frame, curve, units) {
        canvas.diamond(point, 6.5, ink);
    }
    let end = line(frame, curve, units)
        .last()
        .copied()
        .unwrap_or_default();
    let text = format!("{} rpm", fixed(curve.engine_speed_rpm, 0));
    let label = Label::new(text, end, 15.0, ink);
    crowd.place(canvas, if fast { label.bold() } else { label }, 12.0);
}

/// Where the command of the table stands on its curve.
fn at_command(frame: &Frame, curve: &GainCurve, units: Units) -> Option<Point> {
    let command = curve.chosen_kpa_abs?;
    let points = &curve.points;
    let above = points.partition_point(|p| p.command_kpa_abs < command);
    let (a, b) = match above {
        0 => (points.first()?, points.first()?),
        n if n == points.len() => (points.last()?, points.last()?),
        n => (&points[n - 1], &points[n]),
    };
    let wide = b.command_kpa_abs - a.command_kpa_abs;
    let share = if wide > 0.0 {
        (command - a.command_kpa_abs) / wide
    } else {
        0.0
    };
    let between = |x: f64, y: f64| x + share * (y - x);
    Some(frame.at(
        between(a.shaft_speed_rpm, b.shaft_speed_rpm) * 1e-3,
        units.power(between(a.power_kw, b.power_kw)),
    ))
}

fn legend(canvas: &mut Canvas, frame: &Frame) {
    let y = frame.area.bottom + 62.0;
    let left = frame.area.left;
    canvas.ring((left + 8.0, y), 7.0, 2.6, BLACK);
    canvas.text(Label::new(
        "knee: beyond it each further 1000 rpm brings under a third of the best",
        (left + 24.0, y),
        14.0,
        BLACK,
    ));
    canvas.diamond((left + 560.0, y), 6.5, BLACK);
    canvas.text(Label::new(
        "command of the table",
        (left + 576.0, y),
        14.0,
        BLACK,
    ));
}
