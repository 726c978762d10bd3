//! A compressor map by itself: its points, what is computed between and beyond
//! them, and what is suspicious.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::Crowd;
use super::map_marks::{curve, list, list_height, mark, point, points};
use super::map_path::{islands, reference_pressure, reference_temperature, surge_line};
use super::palette::*;
use super::{PictureError, PictureOptions, render, sheet};
use crate::map::{CompressorSurvey, CurveKind, Finding, Spot};
use crate::report::units::{Units, fixed};

const SIZE_PX: (u32, u32) = (1000, 700);

/// A compressor map with its interpolation, extrapolation and numbered findings.
///
/// # Errors
/// A map without points, a size that cannot be drawn, or a failure of the
/// plotting library.
pub fn compressor_map(
    about: &str,
    survey: &CompressorSurvey,
    findings: &[Finding],
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    let map = &survey.map;
    if map.lines.iter().all(|line| line.points.is_empty()) {
        return Err(PictureError::Empty { what: "the map" });
    }
    let units = options.units;
    let below = list_height(findings);
    let size = (SIZE_PX.0, SIZE_PX.1 + below as u32);
    let subtitle = "Compressor map: measured points, and what is computed between and beyond them";
    let mut canvas = sheet::begin(options, size, about, &map.data, subtitle)?;
    let frame = frame(&canvas, survey, below, units);
    let at = |p: [f64; 2]| frame.at(units.mass_flow(p[0]), p[1]);
    frame.grid(&mut canvas);
    let mut crowd = Crowd::new(frame.area.grown(-3.0));
    crowd.take(key_ground(&frame));
    for kind in [CurveKind::Between, CurveKind::Beyond, CurveKind::Measured] {
        for drawn in survey.curves.iter().filter(|curve| curve.kind == kind) {
            let points = curve(&mut canvas, &frame, drawn, BLUE, at);
            if kind == CurveKind::Measured {
                crowd.avoid_line(&points);
            }
        }
    }
    speeds(&mut canvas, &frame, &mut crowd, survey, at);
    islands(&mut canvas, &frame, &mut crowd, &map.efficiency, units);
    surge_line(&mut canvas, &frame, &mut crowd, map, units);
    for line in &map.lines {
        points(&mut canvas, line.points.iter().map(|p| at(*p)), BLACK);
    }
    key(&mut canvas, &frame);
    for (index, finding) in findings.iter().enumerate() {
        if let Some(Spot::Map(place)) = finding.spot {
            mark(&mut canvas, &mut crowd, index + 1, at(place));
        }
    }
    frame.axis_below(
        &mut canvas,
        &format!(
            "corrected flow, {} (at {} abs, {})",
            units.mass_flow_unit(),
            reference_pressure(units, map.reference_pressure_pa),
            reference_temperature(units, map.reference_temperature_k),
        ),
    );
    frame.axis_left(&mut canvas, "pressure ratio");
    list(&mut canvas, findings, frame.area.bottom + 50.0);
    render::render(&canvas, options.format)
}

fn frame(canvas: &Canvas, survey: &CompressorSurvey, below: f64, units: Units) -> Frame {
    let measured = || survey.map.lines.iter().flat_map(|line| &line.points);
    let computed = || {
        let stable = |kind| kind != CurveKind::Beyond;
        let curves = survey.curves.iter().filter(move |c| stable(c.kind));
        curves.flat_map(|curve| &curve.points)
    };
    let (_, flow) = span(measured().chain(computed()).map(|p| p[0]));
    let (_, ratio) = span(measured().chain(computed()).map(|p| p[1]));
    let top = ratio + (ratio - 1.0) * 0.14;
    Frame {
        area: Area::new(
            84.0,
            76.0,
            canvas.width - 30.0,
            canvas.height - 84.0 - below,
        ),
        across: Scale::new(0.0, units.mass_flow(flow) * 1.12, 9),
        up: Scale::new(1.0 - (top - 1.0) * 0.03, top, 8),
    }
}

/// Every label stands at the choke end of its line.
fn speeds(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    survey: &CompressorSurvey,
    at: impl Fn([f64; 2]) -> Point,
) {
    let lines = &survey.map.lines;
    for (index, line) in lines.iter().enumerate() {
        let Some(&end) = line.points.last() else {
            continue;
        };
        let (x, y) = at(end);
        let text = fixed(line.corrected_speed_rpm / 1000.0, 0);
        let unit = if index + 1 == lines.len() {
            " krpm"
        } else {
            ""
        };
        let label = Label::new(text + unit, (x + 9.0, y - 3.0), 14.0, BLUE);
        let area = label.area();
        if frame.area.grown(26.0).holds((area.right, area.bottom)) {
            crowd.take(area);
            canvas.text_on_ground(label);
        }
    }
}

/// Rows of the key, the point's among them.
const KEY_ROWS: usize = 5;

/// Where the key stands: in the upper left corner, where a map is empty.
fn key_ground(frame: &Frame) -> Area {
    let (left, top) = (frame.area.left + 6.0, frame.area.top + 2.0);
    Area::new(left, top, left + 258.0, top + 20.0 * KEY_ROWS as f64 + 6.0)
}

/// What the lines mean.
fn key(canvas: &mut Canvas, frame: &Frame) {
    let rows = [
        (
            "speed line through its points",
            stroke(BLUE, 2.0, Dash::Solid),
        ),
        ("between two lines", stroke(MID_GREY, 1.0, Dash::Solid)),
        ("beyond the measured map", stroke(BLUE, 1.3, Dash::Long)),
        ("efficiency", stroke(GREEN, 1.3, Dash::Short)),
    ];
    let ground = key_ground(frame);
    let left = ground.left + 8.0;
    let mut y = ground.top + 14.0;
    canvas.fill_area(ground, WHITE, 1.0);
    point(canvas, (left + 18.0, y), BLACK);
    canvas.text(Label::new("measured point", (left + 46.0, y), 14.0, BLACK));
    for (text, look) in rows {
        y += 20.0;
        canvas.line(&[(left, y), (left + 36.0, y)], look);
        canvas.text(Label::new(text, (left + 46.0, y), 14.0, BLACK));
    }
}
