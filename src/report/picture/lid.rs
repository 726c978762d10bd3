//! The lid: true boost across, shaft speed up, and what closes the room.
use super::axis::{Frame, Scale, span};
use super::canvas::{Area, Canvas, Label, Point};
use super::crowd::Crowd;
use super::hatch::{Lean, tinted};
use super::lid_limits::{Limits, limit_lines};
use super::palette::*;
use super::track::{Track, first_pinned, stretches};
use super::{PictureError, PictureOptions, render, sheet};
use crate::judgement::RunResult;
use crate::report::units::{Units, fixed};
use crate::simulation::Sample;

const SIZE_PX: (u32, u32) = (1000, 700);
/// More paths than this leave no room for times along them.
const MOST_WITH_TIMES: usize = 3;

/// The lid of one run.
///
/// # Errors
/// An empty run, a size that cannot be drawn, or a failure of the plotting
/// library.
pub fn lid(
    run: &[Sample],
    result: &RunResult,
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    draw(&[("", run, result)], options)
}

/// The lid of several runs laid over each other: label, samples, result. Where
/// their limits differ, each has lines of its own.
///
/// # Errors
/// As [`lid`].
pub fn lid_many(
    runs: &[(&str, &[Sample], &RunResult)],
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    draw(runs, options)
}

fn draw(
    runs: &[(&str, &[Sample], &RunResult)],
    options: &PictureOptions,
) -> Result<Vec<u8>, PictureError> {
    let Some((_, first, result)) = runs
        .first()
        .filter(|_| runs.iter().all(|r| !r.1.is_empty()))
    else {
        return Err(PictureError::Empty { what: "the run" });
    };
    let subtitle = format!(
        "The lid: shaft speed over true boost · {}",
        result.procedure
    );
    let data = sheet::data_of(runs.iter().map(|run| run.2));
    let mut canvas = sheet::begin(options, SIZE_PX, &result.scenario, data, &subtitle)?;
    let limits: Vec<Limits> = runs.iter().map(|run| Limits::of(run.1, run.2)).collect();
    let shared = limits.iter().all(|other| other.same_as(&limits[0]));
    let frame = frame(&canvas, runs, &limits, options.units);
    frame.grid(&mut canvas);
    let mut crowd = Crowd::new(frame.area.grown(-4.0));
    let tracks: Vec<Track> = runs
        .iter()
        .map(|(_, samples, _)| Track::new(samples, |s| place(&frame, options.units, s)))
        .collect();
    for track in &tracks {
        crowd.avoid_line(&track.points);
    }
    unreadable_band(&mut canvas, &frame, &mut crowd, &limits, options.units);
    if shared {
        room_above(&mut canvas, &frame, &limits[0]);
        limit_lines(&mut canvas, &frame, &mut crowd, &limits[0], "");
    } else {
        for (own, whose) in shared_lines(runs, &limits) {
            limit_lines(&mut canvas, &frame, &mut crowd, own, &format!("{whose}: "));
        }
    }
    for (index, ((label, samples, _), track)) in runs.iter().zip(&tracks).enumerate() {
        path(&mut canvas, &mut crowd, samples, track, index, runs.len());
        marks(
            &mut canvas,
            &mut crowd,
            samples,
            track,
            label,
            &limits[index],
            options.units,
            index,
        );
    }
    axes(&mut canvas, &frame, first, options.units);
    render::render(&canvas, options.format)
}

/// Each limit once, with the first words of the labels of those who have it.
fn shared_lines<'a>(
    runs: &[(&str, &[Sample], &RunResult)],
    limits: &'a [Limits],
) -> Vec<(&'a Limits, String)> {
    let mut lines: Vec<(&Limits, String)> = Vec::new();
    for ((label, ..), own) in runs.iter().zip(limits) {
        let word = label.split(' ').next().unwrap_or(label);
        match lines.iter_mut().find(|line| line.0.same_as(own)) {
            Some(line) => line.1 += &format!(", {word}"),
            None => lines.push((own, word.to_owned())),
        }
    }
    lines
}

fn place(frame: &Frame, units: Units, sample: &Sample) -> Point {
    frame.at(
        units.pressure(sample.boost_true_kpa_abs),
        sample.shaft_speed_rpm / 1000.0,
    )
}

fn frame(
    canvas: &Canvas,
    runs: &[(&str, &[Sample], &RunResult)],
    limits: &[Limits],
    units: Units,
) -> Frame {
    let all = || runs.iter().flat_map(|(_, samples, _)| samples.iter());
    let (low, high) = span(
        all().map(|s| units.pressure(s.boost_true_kpa_abs)).chain(
            limits
                .iter()
                .filter_map(|l| Some(units.pressure(l.readable_kpa?))),
        ),
    );
    let (slow, fast) = span(
        all()
            .map(|s| s.shaft_speed_rpm / 1000.0)
            .chain(limits.iter().filter_map(|l| Some(l.shaft_rpm? / 1000.0)))
            .chain(limits.iter().filter_map(|l| Some(l.tip_rpm? / 1000.0))),
    );
    let wide = (high - low).max(units.pressure(20.0));
    let tall = (fast - slow).max(5.0);
    Frame {
        area: Area::new(84.0, 112.0, canvas.width - 30.0, canvas.height - 84.0),
        across: Scale::new(low - wide * 0.08, high + wide * 0.15, 9),
        up: Scale::new(slow - tall * 0.10, fast + tall * 0.14, 8),
    }
}

fn room_above(canvas: &mut Canvas, frame: &Frame, limits: &Limits) {
    if let Some(rpm) = limits.strictest_rpm() {
        let area = frame.area;
        let over = Area::new(area.left, area.top, area.right, frame.y(rpm / 1000.0));
        canvas.fill_area(over, VERMILLION, 0.07);
    }
}

fn unreadable_band(
    canvas: &mut Canvas,
    frame: &Frame,
    crowd: &mut Crowd,
    limits: &[Limits],
    units: Units,
) {
    // beyond the furthest of them nobody reads anything
    let Some(kpa) = limits
        .iter()
        .filter_map(|l| l.readable_kpa)
        .reduce(f64::max)
    else {
        return;
    };
    let x = frame.x(units.pressure(kpa));
    let band = Area::new(x, frame.area.top, frame.area.right, frame.area.bottom);
    tinted(
        canvas,
        band,
        Lean::Up,
        13.0,
        stroke(MID_GREY, 0.9, Dash::Solid),
        BLACK,
    );
    let edge = stroke(PURPLE, 2.4, Dash::Alternating);
    canvas.line(&[(x, band.top), (x, band.bottom)], edge);
    crowd.avoid_line(&[(x, band.top), (x, band.bottom)]);
    let text = format!("readable ceiling {} abs", units.pressure_text(kpa));
    let half = Label::new(text.clone(), (0.0, 0.0), 14.0, PURPLE)
        .middle()
        .area()
        .width()
        / 2.0;
    let low = Label::new(
        text.clone(),
        (x - 12.0, band.bottom - 14.0 - half),
        14.0,
        PURPLE,
    );
    let high = Label::new(text, (x - 12.0, band.top + 14.0 + half), 14.0, PURPLE);
    let beside = [low, high].map(|label| label.middle().upright());
    if let Some(beside) = crowd.best(beside) {
        crowd.take(beside.area());
        canvas.text_on_ground(beside);
    }
    let wide = Label::new(
        "unreadable: the sensor shows its top value",
        ((x + band.right) / 2.0, band.bottom - 18.0),
        14.0,
        BLACK,
    )
    .middle();
    let label = if wide.area().width() < band.width() - 12.0 {
        wide
    } else {
        Label::new(
            "unreadable",
            ((x + band.right) / 2.0, band.bottom - 18.0),
            14.0,
            BLACK,
        )
        .middle()
    };
    crowd.take(label.area());
    canvas.text_on_ground(label);
}

fn path(
    canvas: &mut Canvas,
    crowd: &mut Crowd,
    samples: &[Sample],
    track: &Track,
    index: usize,
    runs: usize,
) {
    let several = runs > 1;
    let ink = SERIES[index % SERIES.len()];
    let dash = if several {
        SERIES_DASH[index % SERIES_DASH.len()]
    } else {
        Dash::Solid
    };
    for (from, to, pinned) in stretches(samples, |s| s.pinned) {
        let points = &track.points[from..=to];
        canvas.line(points, stroke(ink, if pinned { 5.0 } else { 2.6 }, dash));
        if pinned && !several {
            // A pale core tells the blind part of the path without colour.
            canvas.line(points, stroke(WHITE, 1.6, Dash::Solid));
        }
    }
    if runs > MOST_WITH_TIMES {
        return;
    }
    let text_ink = if several { ink } else { BLACK };
    let pin = first_pinned(samples).and_then(|pin| track.at(pin.time_s));
    track.draw_ticks(canvas, crowd, ink, text_ink, pin.as_slice());
}

#[allow(clippy::too_many_arguments)]
fn marks(
    canvas: &mut Canvas,
    crowd: &mut Crowd,
    samples: &[Sample],
    track: &Track,
    label: &str,
    limits: &Limits,
    units: Units,
    index: usize,
) {
    let several = !label.is_empty();
    let ink = SERIES[index % SERIES.len()];
    if let Some(pin) = first_pinned(samples)
        && let Some(point) = track.at(pin.time_s)
    {
        canvas.diamond(point, 8.0, PURPLE);
        let text = format!(
            "reading pins at {} abs, {} s",
            units.pressure_text(pin.boost_sensed_kpa_abs),
            fixed(pin.time_s, 1)
        );
        crowd.place(canvas, Label::new(text, point, 15.0, PURPLE).bold(), 16.0);
    }
    let over = limits
        .strictest_rpm()
        .and_then(|rpm| samples.iter().find(|s| s.shaft_speed_rpm > rpm));
    if let Some(over) = over
        && let Some(point) = track.at(over.time_s)
    {
        canvas.cross(point, 7.0, stroke(WHITE, 5.5, Dash::Solid));
        canvas.cross(point, 6.5, stroke(VERMILLION, 3.0, Dash::Solid));
        let text = format!("over the limit, {} s", fixed(over.time_s, 1));
        crowd.place(
            canvas,
            Label::new(text, point, 15.0, VERMILLION).bold(),
            16.0,
        );
    }
    let Some((start, end)) = track.ends() else {
        return;
    };
    let (Some(first), Some(last)) = (samples.first(), samples.last()) else {
        return;
    };
    canvas.ring(start, 6.5, 2.4, ink);
    canvas.square(end, 6.0, ink);
    let text = if several {
        format!("{label}, {} s", fixed(last.time_s, 1))
    } else {
        format!("end {} s", fixed(last.time_s, 1))
    };
    crowd.place(canvas, Label::new(text, end, 15.0, ink).bold(), 13.0);
    if index == 0 {
        let text = format!("start {} s", fixed(first.time_s, 1));
        crowd.place(canvas, Label::new(text, start, 14.0, BLACK), 12.0);
    }
}

fn axes(canvas: &mut Canvas, frame: &Frame, samples: &[Sample], units: Units) {
    let unit = units.pressure_unit();
    frame.axis_below(canvas, &format!("true boost, {unit} abs"));
    frame.axis_left(canvas, "shaft speed, krpm");
    let ambient_kpa = samples[0].ambient_kpa_abs;
    let (least, most) = span(samples.iter().map(|s| s.ambient_kpa_abs));
    let zero = units.pressure(ambient_kpa);
    let gauge = Scale {
        low: frame.across.low - zero,
        high: frame.across.high - zero,
        step: frame.across.step,
    };
    let moment = if most - least > 1.0 {
        "ambient at the start"
    } else {
        "ambient"
    };
    let decimals = 1;
    let name = format!(
        "true boost, {unit} gauge ({moment} {} {unit} abs)",
        fixed(zero, decimals)
    );
    frame.axis_above(canvas, &gauge, zero, &name);
}
