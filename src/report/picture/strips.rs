//! Time strips that share one axis of time: boost, drive pressure, vanes,
//! shaft speed, engine speed; protections as bars on top.
use super::axis::{Frame, Scale, span};
use super::bars::{BAR, TOP, protection_bars, protection_rows};
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::spread;
use super::hatch::{Lean, hatch_area};
use super::palette::*;
use super::track::spans;
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::RunResult;
use crate::report::units::{Units, fixed};
use crate::simulation::Sample;

const SIZE_PX: (u32, u32) = (1000, 860);
const LEFT: f64 = 84.0;
const LABELS: f64 = 176.0;

/// The strips of one run.
///
/// # Errors
/// An empty run, a size that cannot be drawn, or a failure of the plotting
/// library.
pub fn time_strips(
    samples: &[Sample],
    result: &RunResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    let (Some(first), Some(last)) = (samples.first(), samples.last()) else {
        return Err(PictureError::Empty { what: "the run" });
    };
    let subtitle = format!("Strips over time · {}", result.procedure);
    let mut canvas = sheet::begin(options, SIZE_PX, &result.scenario, &result.data, &subtitle)?;
    let time = Scale::new(first.time_s, last.time_s.max(first.time_s + 1e-3), 10);
    let bars = protection_rows(samples);
    let top = TOP + bars.len().max(1) as f64 * BAR + 8.0;
    let bottom = canvas.height - 80.0;
    let strips = strips(samples, result, options.units);
    let gap = 13.0;
    let weights: f64 = strips.iter().map(|strip| strip.weight).sum();
    let room = bottom - top - gap * (strips.len() - 1) as f64;
    let mut frames = Vec::new();
    let mut from = top;
    for strip in &strips {
        let height = room * strip.weight / weights;
        frames.push(Frame {
            area: Area::new(LEFT, from, canvas.width - LABELS, from + height),
            across: time.clone(),
            up: strip.scale(height),
        });
        from += height + gap;
    }
    pinned_ground(&mut canvas, samples, &frames);
    for (strip, frame) in strips.iter().zip(&frames) {
        draw_strip(&mut canvas, strip, frame, samples);
    }
    pinned_labels(&mut canvas, samples, &frames[0]);
    protection_bars(&mut canvas, &bars, &frames[0]);
    frames[frames.len() - 1].axis_below(&mut canvas, "time, s");
    render::render(&canvas, options.format)
}

type Value = Box<dyn Fn(&Sample) -> Option<f64>>;

/// One line over time with its name.
struct Line {
    name: String,
    stroke: Stroke,
    value: Value,
}

/// A level across the strip.
struct Level {
    name: String,
    stroke: Stroke,
    value: f64,
}

struct Strip {
    name: String,
    weight: f64,
    lines: Vec<Line>,
    levels: Vec<Level>,
    low: f64,
    high: f64,
}

impl Strip {
    fn new(
        name: String,
        weight: f64,
        samples: &[Sample],
        lines: Vec<Line>,
        levels: Vec<Level>,
    ) -> Self {
        let (low, high) = span(
            samples
                .iter()
                .flat_map(|s| lines.iter().filter_map(|line| (line.value)(s)))
                .chain(levels.iter().map(|level| level.value)),
        );
        Strip {
            name,
            weight,
            lines,
            levels,
            low,
            high,
        }
    }
    fn scale(&self, height: f64) -> Scale {
        let air = ((self.high - self.low) * 0.09)
            .max(self.high.abs() * 0.005)
            .max(1e-6);
        let wanted = (height / 23.0).floor().clamp(4.0, 7.0);
        Scale::new(self.low - air, self.high + air, wanted as usize)
    }
}

fn line(name: &str, stroke: Stroke, value: impl Fn(&Sample) -> Option<f64> + 'static) -> Line {
    Line {
        name: name.to_owned(),
        stroke,
        value: Box::new(value),
    }
}

fn strips(samples: &[Sample], result: &RunResult, units: Units) -> Vec<Strip> {
    let unit = units.pressure_unit();
    let limit = |name: &str| {
        result
            .limits
            .iter()
            .find(|l| l.name == name)
            .map(|l| l.limit)
    };
    let limit_level = |name: &str, shown: fn(Units, f64) -> f64| {
        limit(name).map(|value| Level {
            name: format!(
                "limit {}",
                fixed(
                    shown(units, value),
                    if name == "shaft_speed" {
                        1
                    } else {
                        units.pressure_decimals()
                    }
                )
            ),
            stroke: stroke(VERMILLION, 2.0, Dash::Long),
            value: shown(units, value),
        })
    };
    let readable = result.sensor.readable_ceiling_kpa_abs.map(|kpa| Level {
        name: format!("readable {}", units.pressure_text(kpa)),
        stroke: stroke(PURPLE, 2.0, Dash::Alternating),
        value: units.pressure(kpa),
    });
    let mut strips = vec![
        Strip::new(
            format!("boost, {unit} abs"),
            1.75,
            samples,
            vec![
                line("command", stroke(BLACK, 2.0, Dash::Dots), move |s| {
                    s.boost_command_kpa_abs.map(|kpa| units.pressure(kpa))
                }),
                line("reading", stroke(ORANGE, 2.6, Dash::Short), move |s| {
                    Some(units.pressure(s.boost_sensed_kpa_abs))
                }),
                line("true boost", stroke(BLUE, 2.8, Dash::Solid), move |s| {
                    Some(units.pressure(s.boost_true_kpa_abs))
                }),
            ],
            readable.into_iter().collect(),
        ),
        Strip::new(
            format!("drive, {unit} abs"),
            1.1,
            samples,
            vec![line(
                "drive pressure",
                stroke(BLUE, 2.4, Dash::Solid),
                move |s| Some(units.pressure(s.drive_pressure_kpa_abs)),
            )],
            limit_level("drive_pressure", Units::pressure)
                .into_iter()
                .collect(),
        ),
        Strip::new(
            "vanes, % closed".to_owned(),
            1.0,
            samples,
            vec![
                line("position", stroke(BLUE, 2.4, Dash::Solid), |s| {
                    Some(s.vane_closed_pct)
                }),
                line("vane command", stroke(BLACK, 1.8, Dash::Dots), |s| {
                    Some(s.vane_command_pct)
                }),
            ],
            Vec::new(),
        ),
        Strip::new(
            "shaft, krpm".to_owned(),
            1.1,
            samples,
            vec![line("shaft speed", stroke(BLUE, 2.4, Dash::Solid), |s| {
                Some(s.shaft_speed_rpm / 1000.0)
            })],
            limit_level("shaft_speed", |_, rpm| rpm / 1000.0)
                .into_iter()
                .collect(),
        ),
        Strip::new(
            "engine, rpm".to_owned(),
            0.62,
            samples,
            vec![line("engine speed", stroke(GREY, 2.0, Dash::Solid), |s| {
                Some(s.engine_speed_rpm)
            })],
            Vec::new(),
        ),
    ];
    if result.maps.surge.is_some_and(|surge| surge.cycles > 0) {
        strips.insert(1, compressor_flow(samples, units));
    }
    strips
}

/// The flow through the compressor, for a run in which it surges.
fn compressor_flow(samples: &[Sample], units: Units) -> Strip {
    Strip::new(
        format!("flow, {}", units.mass_flow_unit()),
        1.1,
        samples,
        vec![line(
            "compressor flow",
            stroke(BLUE, 2.4, Dash::Solid),
            move |s| Some(units.mass_flow(s.compressor_flow_kg_s)),
        )],
        vec![Level {
            name: "no flow".to_owned(),
            stroke: stroke(GREY, 1.4, Dash::Solid),
            value: 0.0,
        }],
    )
}

fn draw_strip(canvas: &mut Canvas, strip: &Strip, frame: &Frame, samples: &[Sample]) {
    frame.grid(canvas);
    let area = frame.area;
    canvas.outline(area, stroke(MID_GREY, 1.0, Dash::Solid));
    frame.axis_left(canvas, &strip.name);
    let mut ends: Vec<(String, Point, Stroke)> = Vec::new();
    for level in &strip.levels {
        let y = frame.y(level.value);
        canvas.line(&[(area.left, y), (area.right, y)], level.stroke);
        ends.push((level.name.clone(), (area.right, y), level.stroke));
    }
    for line in &strip.lines {
        let mut points: Vec<Point> = Vec::new();
        for sample in samples {
            match (line.value)(sample).filter(|value| value.is_finite()) {
                Some(value) => points.push(frame.at(sample.time_s, value)),
                None => {
                    canvas.line(&points, line.stroke);
                    points.clear();
                }
            }
        }
        canvas.line(&points, line.stroke);
        if let Some(&end) = points.last() {
            ends.push((line.name.clone(), end, line.stroke));
        }
    }
    end_labels(canvas, area, ends);
}

/// Names at the right, moved apart and tied to their lines.
pub(super) fn end_labels(canvas: &mut Canvas, area: Area, ends: Vec<(String, Point, Stroke)>) {
    let heights: Vec<f64> = ends.iter().map(|(_, point, _)| point.1).collect();
    let placed = spread(&heights, 17.0, area.top + 2.0, area.bottom - 2.0);
    for ((name, point, look), y) in ends.into_iter().zip(placed) {
        let from = area.right + 30.0;
        canvas.line(
            &[
                (point.0.max(area.right - 1.0), point.1),
                (area.right + 8.0, point.1),
                (from, y),
            ],
            Stroke {
                width: 1.2,
                dash: Dash::Solid,
                ..look
            },
        );
        let ink = if look.ink == ORANGE { AMBER } else { look.ink };
        canvas.text(Label::new(name, (from + 4.0, y), 14.0, ink));
    }
}

fn pinned_ground(canvas: &mut Canvas, samples: &[Sample], frames: &[Frame]) {
    for (from, to) in spans(samples, |s| s.pinned) {
        for frame in frames {
            let area = Area::new(
                frame.x(from),
                frame.area.top,
                frame.x(to),
                frame.area.bottom,
            );
            canvas.fill_area(area, PURPLE, 0.10);
            hatch_area(
                canvas,
                area,
                Lean::Up,
                16.0,
                stroke(LIGHT_GREY, 1.0, Dash::Solid),
            );
        }
    }
}

/// Says over what time the reading was pinned, at the lower edge of the boost
/// strip: it is free of lines while the reading stands at its top.
fn pinned_labels(canvas: &mut Canvas, samples: &[Sample], frame: &Frame) {
    for (from, to) in spans(samples, |s| s.pinned) {
        let text = format!("reading pinned, {} to {} s", fixed(from, 1), fixed(to, 1));
        let at = (frame.x(from) + 10.0, frame.area.bottom - 15.0);
        let label = Label::new(text, at, 14.0, PURPLE).bold();
        if label.area().width() + 14.0 < frame.x(to) - frame.x(from) {
            canvas.text_on_ground(label);
        }
    }
}
