//! From the list of shapes to bytes: SVG, or PNG smoothed by drawing it
//! larger and averaging.
use super::canvas::{
    BITMAP_LINE_PER_EM, Canvas, Label, Point, SVG_LINE_PER_EM, Shape, Side, ensure_font, font,
};
use super::palette::Ink;
use super::{PictureError, PictureFormat};
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// Steps per pixel of the sheet, because the backends take whole numbers.
const STEPS: u32 = 4;
/// Size of the PNG against the sheet.
const PNG_SCALE: u32 = 2;

/// Draws the sheet.
pub(super) fn render(canvas: &Canvas, format: PictureFormat) -> Result<Vec<u8>, PictureError> {
    if !ensure_font() {
        return Err(PictureError::Font);
    }
    match format {
        PictureFormat::Svg => svg(canvas),
        PictureFormat::Png => png(canvas),
    }
}

fn size(canvas: &Canvas) -> (u32, u32) {
    (canvas.width as u32 * STEPS, canvas.height as u32 * STEPS)
}

fn svg(canvas: &Canvas) -> Result<Vec<u8>, PictureError> {
    let (width, height) = size(canvas);
    let mut text = String::new();
    let area = SVGBackend::with_string(&mut text, (width, height)).into_drawing_area();
    play(canvas, &area, false)?;
    drop(area);
    // The view box keeps the fine steps, the picture its stated size, and
    // lines get round ends and joints.
    let written = format!("width=\"{width}\" height=\"{height}\"");
    let wanted = format!(
        "width=\"{}\" height=\"{}\" stroke-linecap=\"round\" stroke-linejoin=\"round\"",
        canvas.width as u32, canvas.height as u32
    );
    Ok(text.replacen(&written, &wanted, 1).into_bytes())
}

fn png(canvas: &Canvas) -> Result<Vec<u8>, PictureError> {
    let (width, height) = size(canvas);
    let mut pixels = vec![255_u8; width as usize * height as usize * 3];
    let area = BitMapBackend::with_buffer(&mut pixels, (width, height)).into_drawing_area();
    play(canvas, &area, true)?;
    drop(area);
    let by = (STEPS / PNG_SCALE) as usize;
    let small = averaged(&pixels, width as usize, height as usize, by);
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(
        &mut bytes,
        canvas.width as u32 * PNG_SCALE,
        canvas.height as u32 * PNG_SCALE,
    );
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header().map_err(drawing)?;
    writer.write_image_data(&small).map_err(drawing)?;
    writer.finish().map_err(drawing)?;
    Ok(bytes)
}

/// Averages squares of `by` × `by` pixels.
fn averaged(pixels: &[u8], width: usize, height: usize, by: usize) -> Vec<u8> {
    let (columns, rows) = (width / by, height / by);
    let mut small = Vec::with_capacity(columns * rows * 3);
    for row in 0..rows {
        for column in 0..columns {
            for channel in 0..3 {
                let mut sum = 0_usize;
                for down in 0..by {
                    for across in 0..by {
                        let pixel = (row * by + down) * width + column * by + across;
                        sum += pixels[pixel * 3 + channel] as usize;
                    }
                }
                small.push((sum / (by * by)) as u8);
            }
        }
    }
    small
}

fn drawing(error: impl std::fmt::Display) -> PictureError {
    PictureError::Drawing {
        reason: error.to_string(),
    }
}

fn fine(value: f64) -> i32 {
    (value * f64::from(STEPS)).round() as i32
}

fn fine_point(point: Point) -> (i32, i32) {
    (fine(point.0), fine(point.1))
}

fn colour(ink: Ink, alpha: f64) -> RGBAColor {
    RGBAColor(ink.0, ink.1, ink.2, alpha)
}

fn play<B: DrawingBackend>(
    canvas: &Canvas,
    area: &DrawingArea<B, plotters::coord::Shift>,
    bitmap: bool,
) -> Result<(), PictureError> {
    area.fill(&plotters::style::WHITE).map_err(drawing)?;
    for shape in &canvas.shapes {
        match shape {
            Shape::Line { points, ink, width } if bitmap => {
                thick_line(area, points, *ink, *width)?;
            }
            Shape::Line { points, ink, width } => {
                let style = colour(*ink, 1.0).stroke_width(fine(*width).max(1) as u32);
                let points: Vec<_> = points.iter().map(|&point| fine_point(point)).collect();
                area.draw(&PathElement::new(points, style))
                    .map_err(drawing)?;
            }
            Shape::Fill { points, ink, alpha } => {
                let points: Vec<_> = points.iter().map(|&point| fine_point(point)).collect();
                area.draw(&Polygon::new(points, colour(*ink, *alpha).filled()))
                    .map_err(drawing)?;
            }
            Shape::Disc {
                centre,
                radius,
                ink,
            } => {
                let style = colour(*ink, 1.0).filled();
                area.draw(&Circle::new(fine_point(*centre), fine(*radius), style))
                    .map_err(drawing)?;
            }
            Shape::Text(label) => text(area, label, bitmap)?,
        }
    }
    area.present().map_err(drawing)
}

/// A line in a bitmap as filled pieces with round joints: the library's own
/// thick lines have no joints and spikes at sharp corners.
fn thick_line<B: DrawingBackend>(
    area: &DrawingArea<B, plotters::coord::Shift>,
    points: &[Point],
    ink: Ink,
    width: f64,
) -> Result<(), PictureError> {
    let style = colour(ink, 1.0).filled();
    let half = width / 2.0;
    for pair in points.windows(2) {
        let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
        let length = (x1 - x0).hypot(y1 - y0);
        if length == 0.0 {
            continue;
        }
        let (across, down) = (-(y1 - y0) / length * half, (x1 - x0) / length * half);
        let piece = [
            (x0 + across, y0 + down),
            (x1 + across, y1 + down),
            (x1 - across, y1 - down),
            (x0 - across, y0 - down),
        ];
        let piece: Vec<_> = piece.iter().map(|&point| fine_point(point)).collect();
        area.draw(&Polygon::new(piece, style)).map_err(drawing)?;
    }
    if width >= 1.2 {
        for &point in points {
            area.draw(&Circle::new(fine_point(point), fine(half).max(1), style))
                .map_err(drawing)?;
        }
    }
    Ok(())
}

fn text<B: DrawingBackend>(
    area: &DrawingArea<B, plotters::coord::Shift>,
    label: &Label,
    bitmap: bool,
) -> Result<(), PictureError> {
    // Both backends centre on the wrong line; these shares of the em bring
    // numerals and capitals to the middle.
    let (line_per_em, lowered) = if bitmap {
        (BITMAP_LINE_PER_EM, 0.235)
    } else {
        (SVG_LINE_PER_EM, 0.075)
    };
    let mut font = font(label.size * f64::from(STEPS) * line_per_em, label.bold);
    let down = lowered * label.size;
    let at = if label.upright {
        (label.at.0 + down, label.at.1)
    } else {
        (label.at.0, label.at.1 + down)
    };
    if label.upright {
        font = font.transform(FontTransform::Rotate270);
    }
    let side = match label.side {
        Side::Start => HPos::Left,
        Side::Middle => HPos::Center,
        Side::End => HPos::Right,
    };
    let ink = colour(label.ink, 1.0);
    let style = TextStyle::from(font)
        .color(&ink)
        .pos(Pos::new(side, VPos::Center));
    area.draw(&Text::new(label.text.clone(), fine_point(at), style))
        .map_err(drawing)
}
