//! The sheet that all pictures share: title, flag of the data, caption.
use super::canvas::{Area, Canvas, Label, text_width};
use super::palette::{BLACK, Dash, GREY, stroke};
use super::{PictureError, PictureOptions};
use crate::judgement::RunResult;
use crate::report::PICTURE_CAPTION;

const LEAST_PX: u32 = 400;
const MOST_PX: u32 = 4000;

/// Starts a sheet with its title line, the line below it and the caption.
pub(super) fn begin(
    options: &PictureOptions,
    own_size: (u32, u32),
    scenario: &str,
    data: &str,
    subtitle: &str,
) -> Result<Canvas, PictureError> {
    let (width, height) = options.size_px.unwrap_or(own_size);
    let allowed = LEAST_PX..=MOST_PX;
    if !(allowed.contains(&width) && allowed.contains(&height)) {
        return Err(PictureError::Size {
            width,
            height,
            least: LEAST_PX,
            most: MOST_PX,
        });
    }
    let mut canvas = Canvas::new(width, height);
    let right = canvas.width - 24.0;
    let mut room = canvas.width - 48.0;
    if !data.is_empty() {
        let flag = format!("{data} data");
        let label = Label::new(flag, (right - 8.0, 26.0), 14.0, BLACK)
            .bold()
            .end();
        let area = label.area();
        let frame = Area::new(area.left - 8.0, 14.0, right, 38.0);
        canvas.outline(frame, stroke(BLACK, 1.2, Dash::Solid));
        canvas.text(label);
        room -= frame.width() + 16.0;
    }
    let title = options.title.as_deref().unwrap_or(scenario);
    let title = shortened(title, 19.0, true, room);
    canvas.text(Label::new(title, (24.0, 26.0), 19.0, BLACK).bold());
    let subtitle = shortened(subtitle, 15.0, false, canvas.width - 48.0);
    canvas.text(Label::new(subtitle, (24.0, 51.0), 15.0, GREY));
    let caption = shortened(PICTURE_CAPTION, 13.0, false, canvas.width - 48.0);
    let foot = canvas.height - 14.0;
    canvas.text(Label::new(caption, (24.0, foot), 13.0, GREY));
    Ok(canvas)
}

/// What several results say of their data together.
pub(super) fn data_of<'a>(results: impl Iterator<Item = &'a RunResult>) -> &'a str {
    results
        .map(|result| result.data.as_str())
        .reduce(|all, own| if all == own { all } else { "mixed" })
        .unwrap_or("")
}

/// The text, cut with an ellipsis where it runs wider than `room`.
pub(super) fn shortened(text: &str, size: f64, bold: bool, room: f64) -> String {
    if text_width(text, size, bold) <= room {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        let shorter: String = kept.iter().collect::<String>().trim_end().to_owned() + "…";
        if text_width(&shorter, size, bold) <= room {
            return shorter;
        }
    }
    String::new()
}
