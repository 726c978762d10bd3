//! A turbine map by itself: flow over expansion ratio and efficiency over
//! blade-speed ratio, side by side.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::{Crowd, spread};
use super::map_marks::{curve, list, list_height, mark, point, points};
use super::map_path::{reference_pressure, reference_temperature};
use super::palette::*;
use super::{PictureError, PictureOptions, render, sheet};
use crate::map::{Curve, Finding, Spot, TurbineSurvey, VaneSurvey};
use crate::report::units::{Units, fixed};

const SIZE_PX: (u32, u32) = (1240, 660);
/// So many vane positions have their efficiency drawn; more lie on each other.
const COLOURED: usize = 5;
/// Least distance of two labels up \[px\].
const LABEL_GAP: f64 = 16.0;

/// A turbine map with its interpolation, extrapolation and numbered findings.
///
/// # Errors
/// A map without points, a size that cannot be drawn, or a failure of the
/// plotting library.
pub fn turbine_map(
    about: &str,
    survey: &TurbineSurvey,
    findings: &[Finding],
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    if survey.vanes.iter().all(|vane| vane.flow_points.is_empty()) {
        return Err(PictureError::Empty { what: "the map" });
    }
    let below = list_height(findings);
    let size = (SIZE_PX.0, SIZE_PX.1 + below as u32);
    let subtitle = "Turbine map: measured points, and what is computed between and beyond them";
    let mut canvas = sheet::begin(options, size, about, &survey.data, subtitle)?;
    let inks = inks(survey.vanes.len());
    let bottom = canvas.height - 84.0 - below;
    let (middle, right) = (canvas.width * 0.5, canvas.width - 66.0);
    flow(
        &mut canvas,
        survey,
        findings,
        &inks,
        Area::new(84.0, 86.0, middle - 66.0, bottom),
        options.units,
    );
    efficiency(
        &mut canvas,
        survey,
        findings,
        &inks,
        Area::new(middle + 72.0, 86.0, right, bottom),
    );
    list(&mut canvas, findings, bottom + 50.0);
    render::render(&canvas, options.format)
}

/// Colours of the vane positions; grey for those whose efficiency is not drawn.
fn inks(vanes: usize) -> Vec<Ink> {
    let mut inks = vec![GREY; vanes];
    let shown = vanes.min(COLOURED);
    for place in 0..shown {
        let index = if shown > 1 {
            (place * (vanes - 1) + (shown - 1) / 2) / (shown - 1)
        } else {
            0
        };
        inks[index] = SERIES[place];
    }
    inks
}

fn flow(
    canvas: &mut Canvas,
    survey: &TurbineSurvey,
    findings: &[Finding],
    inks: &[Ink],
    area: Area,
    units: Units,
) {
    let curves = || survey.vanes.iter().flat_map(|vane| &vane.flow);
    let computed = || curves().flat_map(|curve| &curve.points);
    let measured = || survey.vanes.iter().flat_map(|vane| &vane.flow_points);
    let (_, ratio) = span(computed().map(|p| p[0]));
    let (_, most) = span(computed().chain(measured()).map(|p| units.mass_flow(p[1])));
    let frame = Frame {
        area,
        across: Scale::new(1.0, ratio, 7),
        up: Scale::new(0.0, most * 1.08, 8),
    };
    let at = |p: [f64; 2]| frame.at(p[0], units.mass_flow(p[1]));
    frame.grid(canvas);
    let mut crowd = Crowd::new(frame.area.grown(-3.0));
    let mut ends: Vec<Point> = Vec::new();
    for (vane, &ink) in survey.vanes.iter().zip(inks) {
        for drawn in &vane.flow {
            let points = curve(canvas, &frame, drawn, ink, at);
            crowd.avoid_line(&points);
        }
        points(canvas, vane.flow_points.iter().map(|p| at(*p)), ink);
        let last = vane.flow.last().and_then(|curve| curve.points.last());
        ends.push(last.map_or((area.right, area.bottom), |p| at(*p)));
    }
    let all: Vec<(&VaneSurvey, Ink)> = survey.vanes.iter().zip(inks.iter().copied()).collect();
    labels(canvas, &area, &all, &ends);
    for (index, finding) in findings.iter().enumerate() {
        if let Some(Spot::Flow(place)) = finding.spot {
            mark(canvas, &mut crowd, index + 1, at(place));
        }
    }
    frame.axis_below(canvas, "expansion ratio, total to static");
    let name = format!(
        "corrected flow, {} (at {} abs, {})",
        units.mass_flow_unit(),
        reference_pressure(units, survey.reference_pressure_pa),
        reference_temperature(units, survey.reference_temperature_k)
    );
    frame.axis_left(canvas, &name);
}

fn efficiency(
    canvas: &mut Canvas,
    survey: &TurbineSurvey,
    findings: &[Finding],
    inks: &[Ink],
    area: Area,
) {
    let shown: Vec<(&VaneSurvey, Ink)> = survey
        .vanes
        .iter()
        .zip(inks.iter().copied())
        .filter(|(_, ink)| *ink != GREY)
        .collect();
    let measured = || survey.vanes.iter().flat_map(|vane| &vane.efficiency_points);
    let (_, ratio) = span(measured().map(|p| p[0]));
    let (_, most) = span(measured().map(|p| p[1]));
    let frame = Frame {
        area,
        across: Scale::new(0.0, (ratio * 1.08).max(1.0), 7),
        up: Scale::new(0.0, (most * 118.0).max(60.0), 8),
    };
    let at = |p: [f64; 2]| frame.at(p[0], p[1] * 100.0);
    frame.grid(canvas);
    let mut crowd = Crowd::new(frame.area.grown(-3.0));
    key(canvas, &frame, &mut crowd, &shown);
    for (vane, ink) in &shown {
        for drawn in &vane.efficiency {
            let points = curve(canvas, &frame, drawn, *ink, at);
            crowd.avoid_line(&points);
        }
        points(canvas, vane.efficiency_points.iter().map(|p| at(*p)), *ink);
    }
    let end = |curves: &[Curve]| {
        let points = curves.iter().flat_map(|curve| &curve.points);
        let inside = points.map(|p| at(*p)).filter(|p| area.holds(*p));
        inside
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap_or((area.right, area.bottom))
    };
    let ends: Vec<Point> = shown
        .iter()
        .map(|(vane, _)| end(&vane.efficiency))
        .collect();
    labels(canvas, &area, &shown, &ends);
    for (index, finding) in findings.iter().enumerate() {
        if let Some(Spot::Efficiency(place)) = finding.spot {
            mark(canvas, &mut crowd, index + 1, at(place));
        }
    }
    frame.axis_below(canvas, "blade-speed ratio");
    frame.axis_left_at(canvas, "efficiency, total to static, %", area.left - 56.0);
}

/// Vane positions beside the ends of their curves, pushed apart where they are
/// dense.
fn labels(canvas: &mut Canvas, area: &Area, vanes: &[(&VaneSurvey, Ink)], ends: &[Point]) {
    let heights: Vec<f64> = ends.iter().map(|end| end.1).collect();
    let placed = spread(&heights, LABEL_GAP, area.top + 8.0, area.bottom - 8.0);
    for (((vane, ink), y), end) in vanes.iter().zip(placed).zip(ends) {
        let text = format!("{} %", fixed(vane.vane_closed_pct, 0));
        if (y - end.1).abs() > 3.0 {
            let tie = [(end.0 + 1.0, end.1), (area.right + 6.0, y)];
            canvas.line(&tie, stroke(*ink, 0.8, Dash::Solid));
        }
        canvas.text(Label::new(text, (area.right + 8.0, y), 14.0, *ink).bold());
    }
    let head = Label::new("closed", (area.right + 8.0, area.top - 10.0), 13.0, GREY);
    canvas.text(head);
}

/// What the lines mean, in the upper left corner, above the curves that begin at
/// standstill.
fn key(canvas: &mut Canvas, frame: &Frame, crowd: &mut Crowd, shown: &[(&VaneSurvey, Ink)]) {
    let speed = shown
        .first()
        .map_or(0.0, |(vane, _)| vane.efficiency_at_rpm / 1000.0);
    let at_speed = format!("curve at {} krpm", fixed(speed, 0));
    let rows = [
        (at_speed.as_str(), stroke(BLACK, 2.0, Dash::Solid)),
        ("beyond the measured map", stroke(BLACK, 1.3, Dash::Long)),
    ];
    let left = frame.area.left + 14.0;
    let mut y = frame.area.top + 16.0;
    let lines = (rows.len() + 1) as f64;
    let ground = Area::new(left - 8.0, y - 14.0, left + 230.0, y + 20.0 * lines - 8.0);
    crowd.take(ground);
    canvas.fill_area(ground, WHITE, 0.9);
    point(canvas, (left + 18.0, y), BLACK);
    let text = "measured, at all speeds";
    canvas.text(Label::new(text, (left + 46.0, y), 14.0, BLACK));
    for (text, look) in rows {
        y += 20.0;
        canvas.line(&[(left, y), (left + 36.0, y)], look);
        canvas.text(Label::new(text, (left + 46.0, y), 14.0, BLACK));
    }
}
