//! Where a run leaves its baseline: for each channel its course over the stored one,
//! and below it how far off it is, which a tolerance of a fraction of a per cent asks
//! for.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Label, Point, text_width};
use super::palette::*;
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::{
    Baseline, BaselineDifference, Channel, Distance, Divergence, RunResult, Tolerance,
};
use crate::report::baseline_words::{
    baseline_line, channel_value, difference_text, level_unit, off_and_allowed, time_text,
};
use crate::report::units::Units;
use crate::simulation::Sample;

/// More channels than these are named and not drawn.
const MOST_CHANNELS: usize = 4;
const WIDTH_PX: u32 = 1000;
const LEFT: f64 = 84.0;
const RIGHT: f64 = 30.0;
/// Heights of the parts of one channel \[px\].
const HEADING: f64 = 26.0;
const COURSE: f64 = 122.0;
const OFF: f64 = 84.0;
const GAP: f64 = 9.0;
const TOP: f64 = 104.0;
const FOOT: f64 = 84.0;

const NEW: Stroke = stroke(BLUE, 2.4, Dash::Solid);
const STORED: Stroke = stroke(BLACK, 2.0, Dash::Short);
const EDGE: Stroke = stroke(MID_GREY, 1.0, Dash::Solid);
const FIRST: Stroke = stroke(VERMILLION, 1.6, Dash::Dots);

/// A run, its baseline, and what was found between them.
#[derive(Clone, Copy)]
pub struct BaselinePicture<'a> {
    /// The trace.
    pub samples: &'a [Sample],
    /// Its result, for titles.
    pub result: &'a RunResult,
    /// What it was held against.
    pub baseline: &'a Baseline,
    /// What was found, the first first.
    pub differences: &'a [BaselineDifference],
    /// How far each channel may be off.
    pub tolerance: &'a dyn Fn(Channel) -> Tolerance,
}

/// The channels that leave their baseline first, at most four of them.
///
/// # Errors
/// An empty run or baseline, a size that cannot be drawn, or a failure of the plotting
/// library.
pub fn baseline_strips(
    picture: &BaselinePicture,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    if picture.samples.is_empty() {
        return Err(PictureError::Empty { what: "the run" });
    }
    if picture.baseline.rows().is_empty() || picture.baseline.channels().is_empty() {
        return Err(PictureError::Empty {
            what: "the baseline",
        });
    }
    let channels = channels(picture);
    let shown = &channels[..channels.len().min(MOST_CHANNELS)];
    let height = TOP + FOOT + shown.len() as f64 * (HEADING + COURSE + OFF + 2.0 * GAP);
    let result = picture.result;
    let size = (WIDTH_PX, height as u32);
    let mut canvas = sheet::begin(
        options,
        size,
        &result.scenario,
        &result.data,
        &told(&channels),
    )?;
    let ends = picture.differences.iter().find(|d| d.channel().is_none());
    key(&mut canvas, ends.map(|d| baseline_line(d, options.units)));
    let times = picture.samples.iter().map(|s| s.time_s);
    let (first_s, last_s) = span(times.chain(picture.baseline.rows().iter().map(|r| r.time_s)));
    let time = Scale::new(first_s, last_s.max(first_s + 1e-3), 10);
    // a size of the caller's own stretches the strips alike
    let stretch = (canvas.height - TOP - FOOT) / (height - TOP - FOOT);
    let mut from = TOP;
    let mut last_frame = None;
    for &channel in shown {
        let strip = Strip::new(picture, channel, options.units);
        heading(&mut canvas, &strip, from);
        from += HEADING * stretch;
        let across = |top: f64, height: f64, up: Scale| Frame {
            area: Area::new(LEFT, top, WIDTH_PX as f64 - RIGHT, top + height * stretch),
            across: time.clone(),
            up,
        };
        let course = across(from, COURSE, strip.course_scale());
        from += (COURSE + GAP) * stretch;
        let off = across(from, OFF, strip.off_scale());
        from += (OFF + GAP) * stretch;
        strip.draw_course(&mut canvas, &course);
        strip.draw_off(&mut canvas, &off);
        strip.mark_first(&mut canvas, &course, &off);
        last_frame = Some(off);
    }
    if let Some(frame) = last_frame {
        frame.axis_below(&mut canvas, "time, s");
    }
    render::render(&canvas, options.format)
}

/// The channels that differ, in the order of the differences; one to look at where
/// only the ends differ.
fn channels(picture: &BaselinePicture) -> Vec<Channel> {
    let mut channels: Vec<Channel> = Vec::new();
    for channel in picture.differences.iter().filter_map(|d| d.channel()) {
        if !channels.contains(&channel) {
            channels.push(channel);
        }
    }
    if channels.is_empty() {
        let held = picture.baseline.channels();
        let boost = held.iter().find(|c| **c == Channel::BoostTrue);
        channels.extend(boost.or(held.first()));
    }
    channels
}

fn told(channels: &[Channel]) -> String {
    let name = "Against its baseline";
    match channels.len().saturating_sub(MOST_CHANNELS) {
        0 => name.to_owned(),
        more => {
            let names: Vec<&str> = channels[MOST_CHANNELS..].iter().map(|c| c.name()).collect();
            format!("{name} · {more} more differ: {}", names.join(", "))
        }
    }
}

/// What the lines mean, and what is said of the ends.
fn key(canvas: &mut Canvas, ends: Option<String>) {
    let (mut x, y) = (24.0, 80.0);
    for (name, look) in [("this run", NEW), ("baseline", STORED)] {
        canvas.line(&[(x, y), (x + 46.0, y)], look);
        canvas.text(Label::new(name, (x + 54.0, y), 15.0, look.ink).bold());
        x += 54.0 + text_width(name, 15.0, true) + 26.0;
    }
    let area = Area::new(x, y - 8.0, x + 46.0, y + 8.0);
    canvas.fill_area(area, LIGHT_GREY, 0.8);
    canvas.outline(area, EDGE);
    canvas.text(Label::new("allowed", (x + 54.0, y), 15.0, GREY).bold());
    x += 54.0 + text_width("allowed", 15.0, true) + 26.0;
    if let Some(ends) = ends {
        let room = canvas.width - 24.0 - x;
        let text = sheet::shortened(&ends, 15.0, true, room);
        canvas.text(Label::new(text, (x, y), 15.0, VERMILLION).bold());
    }
}

/// All that is drawn of one channel, in the units of the reader.
struct Strip<'a> {
    channel: Channel,
    units: Units,
    tolerance: Tolerance,
    /// What is said of it, by the first difference that it has.
    said: Option<&'a BaselineDifference>,
    left: Option<Divergence>,
    new: Vec<(f64, Option<f64>)>,
    stored: Vec<(f64, Option<f64>)>,
    distances: Vec<Distance>,
}

impl<'a> Strip<'a> {
    fn new(picture: &BaselinePicture<'a>, channel: Channel, units: Units) -> Self {
        let tolerance = (picture.tolerance)(channel);
        let mut of_channel = picture
            .differences
            .iter()
            .filter(|d| d.channel() == Some(channel));
        let left = of_channel.clone().find_map(|difference| match difference {
            BaselineDifference::Left(left) => Some(*left),
            _ => None,
        });
        let new = |sample: &Sample| (sample.time_s, channel.value(sample));
        Self {
            channel,
            units,
            tolerance,
            said: of_channel.next(),
            left,
            new: picture.samples.iter().map(new).collect(),
            stored: picture.baseline.course(channel),
            distances: picture
                .baseline
                .distances(picture.samples, channel, tolerance),
        }
    }

    fn level(&self, value: f64) -> f64 {
        channel_value(self.units, self.channel, value, false).0
    }

    fn difference(&self, value: f64) -> f64 {
        channel_value(self.units, self.channel, value, true).0
    }

    fn unit(&self, difference: bool) -> String {
        channel_value(self.units, self.channel, 0.0, difference).1
    }

    fn course_scale(&self) -> Scale {
        let stored = self.stored.iter().filter_map(|(_, value)| *value);
        let edges = stored.flat_map(|v| {
            let allowed = self.tolerance.allowed(v);
            [v - allowed, v + allowed]
        });
        let new = self.new.iter().filter_map(|(_, value)| *value);
        let (low, high) = span(edges.chain(new).map(|value| self.level(value)));
        let air = ((high - low) * 0.07).max(1e-6);
        Scale::new(low - air, high + air, 4)
    }

    fn off_scale(&self) -> Scale {
        let (low, high) = span(
            (self.distances.iter())
                .flat_map(|d| [d.off(), d.allowed, -d.allowed])
                .map(|value| self.difference(value)),
        );
        let air = ((high - low) * 0.08).max(1e-6);
        Scale::new(low - air, high + air, 4)
    }

    /// The stored course with what is allowed around it, and the run's own.
    fn draw_course(&self, canvas: &mut Canvas, frame: &Frame) {
        begin(canvas, frame, &level_unit(&self.unit(false), self.channel));
        for piece in pieces(&self.stored) {
            let edge = |sign: f64| -> Vec<Point> {
                (piece.iter())
                    .map(|(t, v)| frame.at(*t, self.level(self.edge(&piece, *t, *v, sign))))
                    .collect()
            };
            band(canvas, edge(1.0), edge(-1.0));
        }
        for (course, look) in [(&self.new, NEW), (&self.stored, STORED)] {
            for piece in pieces(course) {
                let points: Vec<Point> = (piece.iter())
                    .map(|(t, v)| frame.at(*t, self.level(*v)))
                    .collect();
                canvas.line(&points, look);
            }
        }
    }

    /// The edge of what is allowed at a row: the furthest of the rows within the shift.
    fn edge(&self, rows: &[(f64, f64)], time_s: f64, value: f64, sign: f64) -> f64 {
        (rows.iter())
            .filter(|(t, _)| (t - time_s).abs() <= self.tolerance.shift_s)
            .map(|(_, v)| v + sign * self.tolerance.allowed(*v))
            .fold(
                value,
                |edge, v| if sign * (v - edge) > 0.0 { v } else { edge },
            )
    }

    /// How far off the run is at each row, and what is allowed.
    fn draw_off(&self, canvas: &mut Canvas, frame: &Frame) {
        begin(canvas, frame, &format!("off, {}", self.unit(true)));
        let points = |of: &dyn Fn(&Distance) -> f64| -> Vec<Point> {
            (self.distances.iter())
                .map(|d| frame.at(d.time_s, self.difference(of(d))))
                .collect()
        };
        band(canvas, points(&|d| d.allowed), points(&|d| -d.allowed));
        canvas.line(&points(&|_| 0.0), STORED);
        canvas.line(&points(&Distance::off), NEW);
    }

    /// A line through both strips where the run is first off, and marks on its lines.
    fn mark_first(&self, canvas: &mut Canvas, course: &Frame, off: &Frame) {
        let Some(said) = self.said else { return };
        let x = course.x(said.first_s());
        canvas.line(&[(x, course.area.top), (x, course.area.bottom)], FIRST);
        canvas.line(&[(x, off.area.top), (x, off.area.bottom)], FIRST);
        if let Some(left) = self.left {
            let apart = self.difference(left.got - left.expected);
            canvas.diamond((x, course.y(self.level(left.got))), 5.5, VERMILLION);
            canvas.diamond((x, off.y(apart)), 5.5, VERMILLION);
        }
    }
}

/// Grid, outline and scale of a strip.
fn begin(canvas: &mut Canvas, frame: &Frame, name: &str) {
    frame.grid(canvas);
    canvas.outline(frame.area, stroke(MID_GREY, 1.0, Dash::Solid));
    frame.axis_left(canvas, name);
}

/// A shaded band between two edges, which are drawn too: the shade alone is lost in a
/// copy.
fn band(canvas: &mut Canvas, upper: Vec<Point>, lower: Vec<Point>) {
    if upper.len() < 2 {
        return;
    }
    let around: Vec<Point> = upper.iter().chain(lower.iter().rev()).copied().collect();
    canvas.fill(&around, LIGHT_GREY, 0.8);
    canvas.line(&upper, EDGE);
    canvas.line(&lower, EDGE);
}

/// The stretches of a course that have values.
fn pieces(course: &[(f64, Option<f64>)]) -> Vec<Vec<(f64, f64)>> {
    course
        .split(|(_, value)| value.is_none())
        .map(|piece| {
            piece
                .iter()
                .filter_map(|(t, v)| Some((*t, (*v)?)))
                .collect()
        })
        .filter(|piece: &Vec<(f64, f64)>| !piece.is_empty())
        .collect()
}

/// The channel, and where it first differs, over its strips.
fn heading(canvas: &mut Canvas, strip: &Strip, top: f64) {
    let name = strip.channel.name();
    let at = (LEFT, top + HEADING / 2.0);
    canvas.text(Label::new(name, at, 15.0, BLACK).bold());
    let Some(said) = strip.said else { return };
    let beside = LEFT + text_width(name, 15.0, true) + 14.0;
    canvas.diamond((beside + 4.0, at.1), 5.5, VERMILLION);
    let text = match strip.left {
        Some(left) => {
            let (off, allowed) = off_and_allowed(strip.units, &left);
            let worst = left.worst_got - left.worst_expected;
            format!(
                "first off at {}: {off}, {allowed} allowed; worst {} at {}",
                time_text(left.first_s),
                difference_text(strip.units, strip.channel, worst),
                time_text(left.worst_s),
            )
        }
        None => baseline_line(said, strip.units),
    };
    let text = sheet::shortened(&text, 15.0, false, canvas.width - RIGHT - beside - 16.0);
    canvas.text(Label::new(text, (beside + 16.0, at.1), 15.0, BLACK));
}
