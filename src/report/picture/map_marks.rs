//! What pictures of a map by itself share: points, curves, numbered findings.
use super::axis::Frame;
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::Crowd;
use super::palette::*;
use super::sheet::shortened;
use crate::map::{Curve, CurveKind, Finding};

/// Findings that are listed under a picture; the others are only counted.
const LISTED: usize = 14;
/// Height of a line of that list \[px\].
const ROW: f64 = 21.0;
/// Size of its text \[px\].
const TEXT: f64 = 14.0;
/// Radius of a numbered mark \[px\].
const MARK: f64 = 9.5;

/// Height that the list of findings takes under a picture \[px\].
pub(super) fn list_height(findings: &[Finding]) -> f64 {
    if findings.is_empty() {
        return 0.0;
    }
    let more = usize::from(findings.len() > LISTED);
    14.0 + ROW * (findings.len().min(LISTED) + more) as f64
}

/// Measured points; of several on the same pixel one is drawn.
pub(super) fn points(canvas: &mut Canvas, places: impl Iterator<Item = Point>, ink: Ink) {
    let mut drawn = std::collections::BTreeSet::new();
    for at in places {
        if drawn.insert((at.0.round() as i64, at.1.round() as i64)) {
            point(canvas, at, ink);
        }
    }
}

/// A measured point: a disc with a white rim.
pub(super) fn point(canvas: &mut Canvas, at: Point, ink: Ink) {
    canvas.disc(at, 4.0, WHITE);
    canvas.disc(at, 2.9, ink);
}

/// A curve as far as it lies inside the frame, looking by its kind.
pub(super) fn curve(
    canvas: &mut Canvas,
    frame: &Frame,
    curve: &Curve,
    ink: Ink,
    at: impl Fn([f64; 2]) -> Point,
) -> Vec<Point> {
    let look = match curve.kind {
        CurveKind::Measured => stroke(ink, 2.0, Dash::Solid),
        CurveKind::Between => stroke(MID_GREY, 1.0, Dash::Solid),
        CurveKind::Beyond => stroke(ink, 1.3, Dash::Long),
    };
    let mut inside = Vec::new();
    for piece in clipped(&frame.area, curve.points.iter().map(|p| at(*p))) {
        canvas.line(&piece, look);
        inside.extend(piece);
    }
    inside
}

/// The pieces of a line that lie inside an area, cut where they leave it.
fn clipped(area: &Area, points: impl Iterator<Item = Point>) -> Vec<Vec<Point>> {
    let mut pieces = Vec::new();
    let mut piece: Vec<Point> = Vec::new();
    let mut before: Option<Point> = None;
    for point in points.filter(|(x, y)| x.is_finite() && y.is_finite()) {
        let inside = area.holds(point);
        if let Some(last) = before
            && area.holds(last) != inside
        {
            let (within, without) = if inside { (point, last) } else { (last, point) };
            piece.push(edge(area, within, without));
        }
        if inside {
            piece.push(point);
        } else if !piece.is_empty() {
            pieces.push(std::mem::take(&mut piece));
        }
        before = Some(point);
    }
    pieces.push(piece);
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

/// Where the way from inside to outside crosses the edge.
fn edge(area: &Area, within: Point, without: Point) -> Point {
    let (mut near, mut far) = (within, without);
    for _ in 0..24 {
        let middle = (0.5 * (near.0 + far.0), 0.5 * (near.1 + far.1));
        if area.holds(middle) {
            near = middle;
        } else {
            far = middle;
        }
    }
    near
}

/// A numbered ring beside its place, tied to it by a line.
pub(super) fn mark(canvas: &mut Canvas, crowd: &mut Crowd, number: usize, at: Point) {
    let turns = [-0.25, 0.25, -0.75, 0.75, 0.0, 1.0, -0.5, 0.5];
    let places = [24.0, 36.0, 54.0].into_iter().flat_map(|away| {
        turns.into_iter().map(move |turn: f64| {
            let angle = turn * std::f64::consts::PI;
            (at.0 + away * angle.cos(), at.1 + away * angle.sin())
        })
    });
    let candidates = places.map(|place| {
        // as wide as the ring
        Label::new("00", place, 17.0, BLACK).middle()
    });
    let Some(chosen) = crowd.best(candidates) else {
        return;
    };
    let (x, y) = chosen.at;
    let length = (x - at.0).hypot(y - at.1).max(1.0);
    let rim = (
        x - (x - at.0) / length * MARK,
        y - (y - at.1) / length * MARK,
    );
    canvas.line(&[at, rim], stroke(WHITE, 4.0, Dash::Solid));
    canvas.line(&[at, rim], stroke(BLACK, 1.4, Dash::Solid));
    canvas.disc(at, 2.0, BLACK);
    numbered(canvas, number, (x, y));
    crowd.take(Area::new(x - MARK, y - MARK, x + MARK, y + MARK).grown(2.0));
}

/// A ring with a number in it.
fn numbered(canvas: &mut Canvas, number: usize, at: Point) {
    canvas.ring(at, MARK, 1.8, BLACK);
    let size = if number < 10 { 13.0 } else { 11.0 };
    canvas.text(
        Label::new(number.to_string(), at, size, BLACK)
            .bold()
            .middle(),
    );
}

/// The list of findings, numbered as their marks are.
pub(super) fn list(canvas: &mut Canvas, findings: &[Finding], top: f64) {
    let room = canvas.width - 48.0 - 30.0;
    let mut y = top + 14.0;
    for (index, finding) in findings.iter().take(LISTED).enumerate() {
        numbered(canvas, index + 1, (34.0, y));
        let line = match finding.line {
            0 => String::new(),
            line => format!("file line {line}, "),
        };
        let text = format!(
            "{} · {line}{}: {}",
            finding.rule.title(),
            finding.place,
            finding.found
        );
        let text = shortened(&text, TEXT, false, room);
        canvas.text(Label::new(text, (54.0, y), TEXT, BLACK));
        y += ROW;
    }
    if findings.len() > LISTED {
        let text = format!("and {} more", findings.len() - LISTED);
        canvas.text(Label::new(text, (52.0, y), TEXT, GREY));
    }
}
