//! A sheet on which shapes are collected in pixels of the finished picture;
//! [`super::render`] turns the list into SVG or PNG.
use super::lean::lean;
use super::palette::{Ink, Stroke, WHITE};
use plotters::style::{FontDesc, FontStyle, register_font};

/// A point on the sheet \[px\], down is positive.
pub(super) type Point = (f64, f64);

/// A box on the sheet \[px\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Area {
    pub(super) fn new(left: f64, top: f64, right: f64, bottom: f64) -> Self {
        Area {
            left,
            top,
            right,
            bottom,
        }
    }
    pub(super) fn width(&self) -> f64 {
        self.right - self.left
    }
    pub(super) fn height(&self) -> f64 {
        self.bottom - self.top
    }
    pub(super) fn overlap(&self, other: &Area) -> f64 {
        let across = self.right.min(other.right) - self.left.max(other.left);
        let down = self.bottom.min(other.bottom) - self.top.max(other.top);
        if across > 0.0 && down > 0.0 {
            across * down
        } else {
            0.0
        }
    }
    pub(super) fn holds(&self, point: Point) -> bool {
        (self.left..=self.right).contains(&point.0) && (self.top..=self.bottom).contains(&point.1)
    }
    pub(super) fn grown(&self, by: f64) -> Area {
        Area::new(
            self.left - by,
            self.top - by,
            self.right + by,
            self.bottom + by,
        )
    }
}

/// Where a text stands against its point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Side {
    Start,
    Middle,
    End,
}

/// A line of text, centred on its point in height.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Label {
    pub(super) text: String,
    pub(super) at: Point,
    pub(super) size: f64,
    pub(super) bold: bool,
    pub(super) ink: Ink,
    pub(super) side: Side,
    /// Reads upwards instead of to the right.
    pub(super) upright: bool,
}

/// One shape of the list.
#[derive(Debug, Clone)]
pub(super) enum Shape {
    Line {
        points: Vec<Point>,
        ink: Ink,
        width: f64,
    },
    Fill {
        points: Vec<Point>,
        ink: Ink,
        alpha: f64,
    },
    Disc {
        centre: Point,
        radius: f64,
        ink: Ink,
    },
    Text(Label),
}

/// The sheet.
#[derive(Debug, Clone)]
pub(super) struct Canvas {
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) shapes: Vec<Shape>,
}

impl Canvas {
    pub(super) fn new(width: u32, height: u32) -> Self {
        Canvas {
            width: f64::from(width),
            height: f64::from(height),
            shapes: Vec::new(),
        }
    }

    /// A line through points, cut into dashes where its stroke has them.
    pub(super) fn line(&mut self, points: &[Point], stroke: Stroke) {
        let points = lean(points);
        if points.len() < 2 {
            return;
        }
        for piece in dashed(&points, stroke.dash.lengths()) {
            self.shapes.push(Shape::Line {
                points: piece,
                ink: stroke.ink,
                width: stroke.width,
            });
        }
    }

    pub(super) fn fill(&mut self, points: &[Point], ink: Ink, alpha: f64) {
        self.shapes.push(Shape::Fill {
            points: points.to_vec(),
            ink,
            alpha,
        });
    }

    pub(super) fn fill_area(&mut self, area: Area, ink: Ink, alpha: f64) {
        self.fill(&corners(area), ink, alpha);
    }

    pub(super) fn outline(&mut self, area: Area, stroke: Stroke) {
        let mut points = corners(area).to_vec();
        points.push(points[0]);
        self.line(&points, stroke);
    }

    pub(super) fn disc(&mut self, centre: Point, radius: f64, ink: Ink) {
        self.shapes.push(Shape::Disc {
            centre,
            radius,
            ink,
        });
    }

    /// A ring with a white middle.
    pub(super) fn ring(&mut self, centre: Point, radius: f64, width: f64, ink: Ink) {
        self.disc(centre, radius, ink);
        self.disc(centre, radius - width, WHITE);
    }

    /// A square standing on its corner, with a white rim.
    pub(super) fn diamond(&mut self, centre: Point, radius: f64, ink: Ink) {
        for (size, ink) in [(radius + 2.0, WHITE), (radius, ink)] {
            let (x, y) = centre;
            self.fill(
                &[(x - size, y), (x, y - size), (x + size, y), (x, y + size)],
                ink,
                1.0,
            );
        }
    }

    /// A square with a white rim.
    pub(super) fn square(&mut self, centre: Point, radius: f64, ink: Ink) {
        for (size, ink) in [(radius + 1.5, WHITE), (radius, ink)] {
            let (x, y) = centre;
            self.fill_area(Area::new(x - size, y - size, x + size, y + size), ink, 1.0);
        }
    }

    /// A cross of two strokes.
    pub(super) fn cross(&mut self, centre: Point, radius: f64, stroke: Stroke) {
        let (x, y) = centre;
        self.line(
            &[(x - radius, y - radius), (x + radius, y + radius)],
            stroke,
        );
        self.line(
            &[(x - radius, y + radius), (x + radius, y - radius)],
            stroke,
        );
    }

    pub(super) fn text(&mut self, label: Label) {
        self.shapes.push(Shape::Text(label));
    }

    /// Text on a white ground, for places where something lies beneath.
    pub(super) fn text_on_ground(&mut self, label: Label) {
        self.fill_area(label.area().grown(1.5), WHITE, 0.88);
        self.text(label);
    }
}

impl Label {
    pub(super) fn new(text: impl Into<String>, at: Point, size: f64, ink: Ink) -> Self {
        Label {
            text: text.into(),
            at,
            size,
            bold: false,
            ink,
            side: Side::Start,
            upright: false,
        }
    }
    pub(super) fn middle(mut self) -> Self {
        self.side = Side::Middle;
        self
    }
    pub(super) fn end(mut self) -> Self {
        self.side = Side::End;
        self
    }
    pub(super) fn bold(mut self) -> Self {
        self.bold = true;
        self
    }
    pub(super) fn upright(mut self) -> Self {
        self.upright = true;
        self
    }
    /// The box that the text covers.
    pub(super) fn area(&self) -> Area {
        let width = text_width(&self.text, self.size, self.bold);
        let half = self.size * 0.56;
        let before = match self.side {
            Side::Start => 0.0,
            Side::Middle => width / 2.0,
            Side::End => width,
        };
        let (x, y) = self.at;
        if self.upright {
            Area::new(x - half, y - width + before, x + half, y + before)
        } else {
            Area::new(x - before, y - half, x - before + width, y + half)
        }
    }
}

/// Name under which the embedded font is registered, and the families that a
/// viewer without it may use; all of them run about as wide.
pub(super) const FONT: &str = "DejaVu Sans Condensed, Arial, Helvetica, sans-serif";

/// Makes the embedded font known, once for the program.
pub(super) fn ensure_font() -> bool {
    static READY: std::sync::OnceLock<bool> = std::sync::OnceLock::new();
    *READY.get_or_init(|| {
        register_font(FONT, FontStyle::Normal, dejavu::sans_condensed::regular()).is_ok()
            && register_font(FONT, FontStyle::Bold, dejavu::sans_condensed::bold()).is_ok()
    })
}

/// The library asks for the height of a line, not for the em. Its SVG backend
/// divides by this to get the em.
pub(super) const SVG_LINE_PER_EM: f64 = 1.24;
/// Ascent and descent of the embedded font over its em, which is what the
/// bitmap backend scales by.
pub(super) const BITMAP_LINE_PER_EM: f64 = 1.164;

/// The embedded font at a height of line, which the library takes its own way.
pub(super) fn font(line_height: f64, bold: bool) -> FontDesc<'static> {
    let style = if bold {
        FontStyle::Bold
    } else {
        FontStyle::Normal
    };
    FontDesc::from((FONT, line_height, style))
}

/// How wide a text runs \[px\].
pub(super) fn text_width(text: &str, size: f64, bold: bool) -> f64 {
    ensure_font();
    // Measured large, because the library rounds to whole pixels.
    let font = font(100.0 * BITMAP_LINE_PER_EM, bold);
    let guess = text.chars().count() as f64 * 55.0;
    let width = font
        .layout_box(text)
        .map_or(guess, |((left, _), (right, _))| f64::from(right - left));
    width * size / 100.0
}

pub(super) fn corners(area: Area) -> [Point; 4] {
    [
        (area.left, area.top),
        (area.right, area.top),
        (area.right, area.bottom),
        (area.left, area.bottom),
    ]
}

/// Cuts a line into dashes; the pattern runs on over corners.
fn dashed(points: &[Point], lengths: &[f64]) -> Vec<Vec<Point>> {
    if lengths.is_empty() {
        return vec![points.to_vec()];
    }
    let mut pieces = Vec::new();
    let mut piece = vec![points[0]];
    let (mut index, mut left) = (0, lengths[0]);
    for pair in points.windows(2) {
        let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
        let length = (x1 - x0).hypot(y1 - y0);
        let mut done = 0.0;
        while length - done > left {
            done += left;
            let share = done / length;
            let here = (x0 + (x1 - x0) * share, y0 + (y1 - y0) * share);
            if index % 2 == 0 {
                piece.push(here);
                pieces.push(std::mem::take(&mut piece));
            } else {
                piece = vec![here];
            }
            index = (index + 1) % lengths.len();
            left = lengths[index];
        }
        left -= length - done;
        if index % 2 == 0 {
            piece.push((x1, y1));
        }
    }
    if piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}
