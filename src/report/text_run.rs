//! The answer of a run as text: what happened, what to do, the figures.
use super::advice::advice;
use super::body::{Body, data_words};
use super::course::{Moment, Weight};
use super::names;
use super::table::{Cell, Paint, number, words};
use super::text_band;
use super::text_road::road_body;
use super::text_surge::surge_story;
use super::units::{Units, fixed, signed};
use crate::judgement::{LimitResult, RunResult, StopKind, Verdict};

/// The answer of a run in at most `width` columns, with the moments of its course;
/// where there are none, that section is left out.
pub fn run_text(
    result: &RunResult,
    moments: &[Moment],
    units: Units,
    width: usize,
    colour: bool,
) -> String {
    run_body(result, moments, units).text(width.max(40), colour)
}

/// The answer of a run, with the moments of its course where there are any.
pub(crate) fn run_body(result: &RunResult, moments: &[Moment], units: Units) -> Body {
    let mut text = Body::default();
    let beside = [result.procedure.clone(), data_words(&result.data)];
    text.head(&result.scenario, &beside);
    text.gap();
    let (word, paint) = match result.verdict {
        Verdict::Exceeded => ("Exceeded", Paint::Bad),
        Verdict::OutsideValidity => ("Outside the model", Paint::Bad),
        Verdict::HeldInsideBand => ("Held, with a warning", Paint::Bold),
        Verdict::Held => ("Held", Paint::Good),
    };
    text.verdict(word, verdict_sentence(result, units), paint);
    for sentence in story(result, units) {
        text.plain(sentence);
    }
    text.heading("What to do");
    for advice in advice(result, units) {
        text.item("-", advice);
    }
    if !moments.is_empty() {
        text.heading("What happened");
        for moment in moments {
            text.item(&moment_mark(moment), moment.text.clone());
        }
    }
    text.heading("Limits");
    limits_table(&mut text, result, units);
    if let Some(band) = &result.band {
        text.heading("Inside the stated uncertainty");
        text_band::band_table(&mut text, band, units);
    }
    if let Some(road) = &result.road {
        road_body(&mut text, road, units);
    }
    text.heading("Boost sensor");
    for line in sensor_lines(result, units) {
        text.plain(line);
    }
    if !result.protections.is_empty() {
        text.heading("Protections");
        protections_table(&mut text, result);
    }
    text.heading("How far to trust it");
    for line in trust_lines(result) {
        text.plain(line);
    }
    text
}

/// When, and how much it matters: `!` for a warning, `!!` for what breaks.
fn moment_mark(moment: &Moment) -> String {
    let sign = match moment.weight {
        Weight::Plain => "",
        Weight::Warning => "!",
        Weight::Broken => "!!",
    };
    format!("{:>6} s {sign:<2}", fixed(moment.time_s, 2))
}

/// The limit that was exceeded first.
fn first_exceeded(result: &RunResult) -> Option<&LimitResult> {
    result
        .limits
        .iter()
        .filter(|limit| !limit.held)
        .min_by(|a, b| instant(a).total_cmp(&instant(b)))
}

fn instant(limit: &LimitResult) -> f64 {
    limit
        .first_exceeded_s
        .or(limit.time_s)
        .unwrap_or(f64::INFINITY)
}

/// The limit with the least headroom for its size.
fn tightest(result: &RunResult) -> Option<&LimitResult> {
    result
        .limits
        .iter()
        .filter(|limit| limit.headroom_pct.is_some())
        .min_by(|a, b| {
            let pct = |limit: &LimitResult| limit.headroom_pct.unwrap_or(f64::INFINITY);
            pct(a).total_cmp(&pct(b))
        })
}

fn verdict_sentence(result: &RunResult, units: Units) -> String {
    match result.verdict {
        Verdict::Held => format!("Every limit held. {}", closest(result, units)),
        Verdict::HeldInsideBand => format!(
            "{} {}",
            text_band::warning(result).unwrap_or_else(|| {
                "Warning: held with the figures as stated, not everywhere inside their \
                 uncertainty."
                    .to_owned()
            }),
            closest(result, units)
        ),
        Verdict::Exceeded => match first_exceeded(result) {
            Some(limit) => exceeded_sentence(limit, units),
            None => "A limit was exceeded.".to_owned(),
        },
        Verdict::OutsideValidity => format!(
            "The run left what the model can describe before any limit was exceeded: {}",
            stop_text(result)
        ),
    }
}

fn closest(result: &RunResult, units: Units) -> String {
    let Some(limit) = tightest(result) else {
        return "No limit is set.".to_owned();
    };
    let headroom = units.headroom_text(&limit.unit, limit.headroom.unwrap_or(0.0));
    let mut text = format!(
        "Closest was {}: {headroom} left of {}",
        names::limit_label(&limit.name),
        units.level_text(&limit.unit, limit.limit)
    );
    if let Some(rpm) = limit.engine_speed_rpm {
        text.push_str(&format!(", at {} rpm", fixed(rpm, 0)));
    }
    text.push('.');
    text
}

fn exceeded_sentence(limit: &LimitResult, units: Units) -> String {
    let name = names::limit_label(&limit.name);
    let bound = units.level_text(&limit.unit, limit.limit);
    if limit.name == "pinned_time" {
        let when = limit
            .first_exceeded_s
            .map(|time_s| format!(" first at {} s,", fixed(time_s, 2)))
            .unwrap_or_default();
        return format!(
            "Limit exceeded: the boost reading stuck at its top for longer than {bound} \
             ({when} {} at worst).",
            limit
                .worst
                .map_or_else(dash, |worst| units.level_text(&limit.unit, worst))
        )
        .replace("( ", "(");
    }
    let mut text = match limit.first_exceeded_s {
        Some(time_s) => format!(
            "Limit exceeded: {name} went first, past {bound} at {} s.",
            fixed(time_s, 2)
        ),
        None => format!("Limit exceeded: {name}, past {bound}."),
    };
    if let (Some(worst), Some(headroom)) = (limit.worst, limit.headroom) {
        let worst = units.level_text(&limit.unit, worst);
        let by = units.limit_text(&limit.unit, headroom.abs(), true);
        let side = if limit.lower { "too low" } else { "too high" };
        let place = limit
            .engine_speed_rpm
            .map(|rpm| format!(" at {} rpm", fixed(rpm, 0)))
            .unwrap_or_default();
        text.push_str(&format!(" Worst {worst}{place}, {by} {side}."));
    }
    text
}

/// The limits that were exceeded after the first, in the order of time.
fn later_exceeded(result: &RunResult, units: Units) -> Option<String> {
    let mut later: Vec<&LimitResult> = result.limits.iter().filter(|limit| !limit.held).collect();
    later.sort_by(|a, b| instant(a).total_cmp(&instant(b)));
    let parts: Vec<String> = later
        .iter()
        .skip(1)
        .map(|limit| {
            let when = limit
                .first_exceeded_s
                .map(|time_s| format!(" at {} s", fixed(time_s, 2)))
                .unwrap_or_default();
            let worst = limit
                .worst
                .map(|worst| format!(" (worst {})", units.level_text(&limit.unit, worst)))
                .unwrap_or_default();
            format!(
                "{} past {}{when}{worst}",
                names::limit_label(&limit.name),
                units.level_text(&limit.unit, limit.limit)
            )
        })
        .collect();
    (!parts.is_empty()).then(|| format!("Then {}.", parts.join("; ")))
}

/// What else a reader must know of the verdict.
fn story(result: &RunResult, units: Units) -> Vec<String> {
    let mut story = Vec::new();
    story.extend(later_exceeded(result, units));
    story.extend(surge_story(result, units));
    if result.verdict != Verdict::HeldInsideBand {
        story.extend(text_band::warning(result));
    }
    if result.why_stopped.kind != StopKind::Finished && result.verdict != Verdict::OutsideValidity {
        story.push(format!("The run stopped early: {}", stop_text(result)));
    }
    story
}

fn stop_text(result: &RunResult) -> String {
    let text = result.why_stopped.text.trim();
    let end = if text.ends_with('.') { "" } else { "." };
    format!(
        "{text}{end} Last good point {} s.",
        fixed(result.why_stopped.last_good_s, 2)
    )
}

fn limits_table(text: &mut Body, result: &RunResult, units: Units) {
    let columns = [
        words("limit", 0),
        words("unit", 0),
        number("set at", 0),
        number("worst", 0),
        number("headroom", 0),
        number("%", 2),
        number("at s", 1),
        number("at rpm", 3),
    ];
    let rows: Vec<Vec<Cell>> = result
        .limits
        .iter()
        .map(|limit| {
            let shown = |value: f64| {
                let (value, _, decimals) = units.limit_value(&limit.unit, value, false);
                fixed(value, decimals)
            };
            let (_, unit, _) = units.limit_value(&limit.unit, limit.limit, false);
            let headroom = limit.headroom.map_or_else(dash, |value| {
                let (value, _, decimals) = units.limit_value(&limit.unit, value, true);
                signed(value, decimals)
            });
            let paint = if limit.held { Paint::Good } else { Paint::Bad };
            vec![
                Cell {
                    text: names::limit_label(&limit.name).to_owned(),
                    paint: if limit.held { Paint::Plain } else { Paint::Bad },
                },
                unit.into(),
                shown(limit.limit).into(),
                limit.worst.map_or_else(dash, shown).into(),
                Cell {
                    text: headroom,
                    paint: if limit.headroom.is_some() {
                        paint
                    } else {
                        Paint::Plain
                    },
                },
                limit
                    .headroom_pct
                    .map_or_else(dash, |value| signed(value, 0))
                    .into(),
                limit
                    .time_s
                    .map_or_else(dash, |value| fixed(value, 1))
                    .into(),
                limit
                    .engine_speed_rpm
                    .map_or_else(dash, |value| fixed(value, 0))
                    .into(),
            ]
        })
        .collect();
    text.table(&columns, rows);
}

fn dash() -> String {
    "-".to_owned()
}

fn sensor_lines(result: &RunResult, units: Units) -> Vec<String> {
    let sensor = &result.sensor;
    let mut lines = vec![match sensor.readable_ceiling_kpa_abs {
        Some(kpa) => format!("Readable up to {} abs.", units.pressure_text(kpa)),
        None => "No upper end of its range is known.".to_owned(),
    }];
    lines.push(if sensor.pinned_s > 0.0 {
        format!(
            "Pinned for {} s in all, {} s at a stretch.",
            fixed(sensor.pinned_s, 2),
            fixed(sensor.pinned_longest_s, 2)
        )
    } else {
        "Never pinned.".to_owned()
    });
    if sensor.command_above_readable_s > 0.0 {
        lines.push(format!(
            "The command lay above the readable ceiling for {} s.",
            fixed(sensor.command_above_readable_s, 2)
        ));
    }
    lines.push(format!(
        "Highest true boost {} abs, highest reading {} abs.",
        units.pressure_text(result.peaks.boost_kpa_abs),
        units.pressure_text(result.peaks.boost_sensed_kpa_abs)
    ));
    lines
}

fn protections_table(text: &mut Body, result: &RunResult) {
    let columns = [
        words("protection", 0),
        number("first at s", 0),
        number("acted s", 0),
        number("blind s", 0),
    ];
    let rows: Vec<Vec<Cell>> = result
        .protections
        .iter()
        .map(|protection| {
            vec![
                names::protection_label(&protection.name).into(),
                protection
                    .first_s
                    .map_or_else(|| "never".to_owned(), |value| fixed(value, 2))
                    .into(),
                fixed(protection.active_s, 2).into(),
                Cell {
                    text: fixed(protection.blind_s, 2),
                    paint: if protection.blind_s > 0.0 {
                        Paint::Bad
                    } else {
                        Paint::Plain
                    },
                },
            ]
        })
        .collect();
    text.table(&columns, rows);
}

fn trust_lines(result: &RunResult) -> Vec<String> {
    let maps = &result.maps;
    let mut lines = vec![format!(
        "Outside the measured maps: compressor {} %, turbine {} % of the time.",
        fixed(maps.compressor_extrapolated_pct, 1),
        fixed(maps.turbine_extrapolated_pct, 1)
    )];
    if maps.surge_s > 0.0 {
        lines.push(format!("In surge for {} s.", fixed(maps.surge_s, 2)));
    }
    let balance = &result.balance;
    let energy = balance.energy_residual.map_or_else(
        || "not defined here".to_owned(),
        |value| format!("{value:.1e}"),
    );
    lines.push(format!(
        "Balances, relative: mass {:.1e}, energy {energy}, burned gas {:.1e}.",
        balance.mass_residual, balance.burned_residual
    ));
    lines.push("An estimate, not a measurement; a wheel can burst. See the cautions.".to_owned());
    lines
}
