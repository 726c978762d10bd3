//! Time strips of several runs laid over each other: boost, drive pressure, vanes,
//! shaft speed.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Point};
use super::compare::{Side, begin, drawn, key, look};
use super::palette::*;
use super::strips::end_labels;
use super::{PictureError, PictureOptions, render};
use crate::judgement::{Comparison, limit};
use crate::report::units::{Units, fixed};
use crate::simulation::Sample;

const SIZE_PX: (u32, u32) = (1000, 860);
const LEFT: f64 = 84.0;
const LABELS: f64 = 150.0;
const GAP: f64 = 13.0;

/// One strip: what it shows of a sample, and a level across it.
struct Strip {
    name: String,
    weight: f64,
    value: fn(Units, &Sample) -> f64,
    level: Option<(String, f64, Stroke)>,
}

/// The strips of several runs.
///
/// # Errors
/// No run, an empty one, a size that cannot be drawn, or a failure of the plotting
/// library.
pub fn compared_strips(
    sides: &[Side],
    comparison: &Comparison,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    let shown = drawn(sides)?;
    let mut canvas = begin(sides, SIZE_PX, "Strips over time", options)?;
    let top = key(&mut canvas, shown, 24.0, 82.0) + 2.0;
    let bottom = canvas.height - 80.0;
    let strips = strips(shown, comparison, options.units);
    let (first_s, last_s) = span(shown.iter().flat_map(|s| s.samples).map(|s| s.time_s));
    let time = Scale::new(first_s, last_s.max(first_s + 1e-3), 10);
    let weights: f64 = strips.iter().map(|strip| strip.weight).sum();
    let room = bottom - top - GAP * (strips.len() - 1) as f64;
    let mut from = top;
    for (place, strip) in strips.iter().enumerate() {
        let height = room * strip.weight / weights;
        let frame = Frame {
            area: Area::new(LEFT, from, canvas.width - LABELS, from + height),
            across: time.clone(),
            up: scale(strip, shown, options.units, height),
        };
        draw(&mut canvas, strip, &frame, shown, options.units);
        if place + 1 == strips.len() {
            frame.axis_below(&mut canvas, "time, s");
        }
        from += height + GAP;
    }
    render::render(&canvas, options.format)
}

fn strips(sides: &[Side], comparison: &Comparison, units: Units) -> Vec<Strip> {
    let unit = units.pressure_unit();
    let grey = stroke(GREY, 1.4, Dash::Solid);
    // a limit is drawn where it is the same for all
    let shared = |name: &str| {
        let set: Option<Vec<f64>> = sides
            .iter()
            .map(|side| limit(side.result, name).map(|l| l.limit))
            .collect();
        set.filter(|set| set.windows(2).all(|pair| pair[0] == pair[1]))
            .and_then(|set| set.first().copied())
    };
    let level = |name: &str, shown: f64, decimals| {
        let text = format!("{name} {}", fixed(shown, decimals));
        (text, shown, stroke(BLACK, 1.6, Dash::Solid))
    };
    let target = comparison.boost_target_kpa_abs.map(|kpa| {
        let text = format!("timed at {}", units.pressure_text(kpa));
        (text, units.pressure(kpa), grey)
    });
    let drive = shared("drive_pressure")
        .map(|kpa| level("limit", units.pressure(kpa), units.pressure_decimals()));
    let shaft = shared("shaft_speed").map(|rpm| level("limit", rpm / 1000.0, 1));
    let strip = |name: String, weight, value, level| Strip {
        name,
        weight,
        value,
        level,
    };
    vec![
        strip(
            format!("true boost, {unit} abs"),
            1.5,
            |units, s| units.pressure(s.boost_true_kpa_abs),
            target,
        ),
        strip(
            format!("drive, {unit} abs"),
            1.2,
            |units, s| units.pressure(s.drive_pressure_kpa_abs),
            drive,
        ),
        strip(
            "vanes, % closed".to_owned(),
            1.0,
            |_, s| s.vane_closed_pct,
            None,
        ),
        strip(
            "shaft, krpm".to_owned(),
            1.2,
            |_, s| s.shaft_speed_rpm / 1000.0,
            shaft,
        ),
    ]
}

fn scale(strip: &Strip, sides: &[Side], units: Units, height: f64) -> Scale {
    let values = sides.iter().flat_map(|side| side.samples);
    let (low, high) = span(
        values
            .map(|sample| (strip.value)(units, sample))
            .chain(strip.level.iter().map(|level| level.1)),
    );
    let air = ((high - low) * 0.09).max(high.abs() * 0.005).max(1e-6);
    let wanted = (height / 23.0).floor().clamp(4.0, 7.0);
    Scale::new(low - air, high + air, wanted as usize)
}

fn draw(canvas: &mut Canvas, strip: &Strip, frame: &Frame, sides: &[Side], units: Units) {
    frame.grid(canvas);
    let area = frame.area;
    canvas.outline(area, stroke(MID_GREY, 1.0, Dash::Solid));
    frame.axis_left(canvas, &strip.name);
    let mut ends: Vec<(String, Point, Stroke)> = Vec::new();
    if let Some((name, value, look)) = &strip.level {
        let y = frame.y(*value);
        canvas.line(&[(area.left, y), (area.right, y)], *look);
        ends.push((name.clone(), (area.right, y), *look));
    }
    for (place, side) in sides.iter().enumerate() {
        let points: Vec<Point> = side
            .samples
            .iter()
            .map(|sample| frame.at(sample.time_s, (strip.value)(units, sample)))
            .filter(|(x, y)| x.is_finite() && y.is_finite())
            .collect();
        canvas.line(&points, look(place));
        if let Some(&end) = points.last() {
            ends.push((side.letter.clone(), end, look(place)));
        }
    }
    end_labels(canvas, area, ends);
}
