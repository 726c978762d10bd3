//! The runaway, told from its trace.
use super::ceiling_story::place_text;
use super::clamp_story::outcome;
use super::over::{Shown, Trial};
use crate::report::Body;
use crate::report::names;
use crate::report::table::{Cell, Paint, number};
use crate::report::units::fixed;
use crate::simulation::Sample;

/// Most rows of the table over time.
const MOST_ROWS: usize = 12;
/// Vanes that close by less than this are not told as closing \[%\].
const CLOSING_PCT: f64 = 3.0;
/// A pinned stretch shorter than this is a brush, not the runaway \[s\].
const BRUSH_S: f64 = 0.3;

/// The part of a trace in which the reading is pinned.
struct Stretch {
    first: usize,
    last: usize,
}

/// The first stretch that is more than a brush, else the longest.
fn pinned_stretch(samples: &[Sample]) -> Option<Stretch> {
    let mut stretches: Vec<Stretch> = Vec::new();
    for (at, sample) in samples.iter().enumerate() {
        if !sample.pinned {
            continue;
        }
        match stretches.last_mut() {
            Some(stretch) if stretch.last + 1 == at => stretch.last = at,
            _ => stretches.push(Stretch {
                first: at,
                last: at,
            }),
        }
    }
    let length_s = |s: &Stretch| samples[s.last].time_s - samples[s.first].time_s;
    let telling = stretches.iter().position(|s| length_s(s) >= BRUSH_S);
    match telling {
        Some(at) => Some(stretches.swap_remove(at)),
        None => stretches
            .into_iter()
            .max_by(|a, b| length_s(a).total_cmp(&length_s(b))),
    }
}

/// What happened, second by second and in words.
pub fn tell_over(over: &Trial, clamped: &Trial, shown: &Shown) -> Body {
    let samples = &over.run.samples;
    let mut text = Body::default();
    text.plain(setting(over, shown));
    let Some(stretch) = pinned_stretch(samples) else {
        text.plain("The reading was never pinned in this run.");
        text.plain(outcome(over, shown));
        return text;
    };
    text.gap();
    time_table(&mut text, over, &stretch, shown);
    text.paragraph(
        "! the reading is pinned, or a limit is exceeded",
        Paint::Faint,
    );
    text.gap();
    for line in chain_of_events(over, clamped, &stretch, shown) {
        text.item("-", line);
    }
    text
}

/// What is commanded, where, and what is asked of the engine.
fn setting(over: &Trial, shown: &Shown) -> String {
    let result = &over.run.result;
    let command_kpa = result.peaks.boost_command_kpa_abs;
    let readable_kpa = result.sensor.readable_ceiling_kpa_abs;
    let command = match (command_kpa, readable_kpa) {
        (Some(command), Some(readable)) => format!(
            "Somebody raises the command until it peaks at {} abs, {} above what the sensor can \
             read",
            shown.units.pressure_text(command),
            shown.units.pressure_text(command - readable)
        ),
        _ => "Somebody raises the command".to_owned(),
    };
    let moved = over
        .sets
        .iter()
        .any(|set| set.path.ends_with("over_boost.above"));
    let cut = over.ready.setup.rig.controller.protections.over_boost;
    let cut = match cut.filter(|_| moved) {
        Some(cut) => format!(
            " (and the over-boost fuel cut to {} abs, out of the way)",
            shown.units.pressure_text(cut.above_pa * 1e-3)
        ),
        None => String::new(),
    };
    let samples = &over.run.samples;
    let pull = match (samples.first(), samples.last()) {
        (Some(first), Some(last)) => format!(
            ", and pulls at full fuel {} from {} to {} rpm:",
            place_text(over.altitude_m(), shown),
            fixed(first.engine_speed_rpm, 0),
            fixed(last.engine_speed_rpm, 0)
        ),
        _ => ".".to_owned(),
    };
    format!("{command}{cut}{pull}")
}

/// The trace at whole seconds, around the stretch up to the fastest shaft.
fn time_table(text: &mut Body, over: &Trial, stretch: &Stretch, shown: &Shown) {
    let samples = &over.run.samples;
    let start_s = (samples[stretch.first].time_s - 1.0).floor().max(0.0);
    let fastest_s = over.run.result.at_peak_shaft_speed.time_s;
    let stop_s = samples[stretch.last].time_s.max(fastest_s).ceil();
    let step_s = ((stop_s - start_s) / (MOST_ROWS - 1) as f64)
        .ceil()
        .max(1.0);
    let unit = shown.units.pressure_unit();
    let columns = [
        number("time", 0),
        number("engine", 1),
        number("command", 2),
        number("reading ", 0),
        number("true boost", 0),
        number("vanes closed", 0),
        number("drive ", 0),
        number("shaft ", 0),
    ];
    let marked_unit = format!("{unit} ");
    let units_row: Vec<Cell> = [
        "s",
        "rpm",
        unit,
        &marked_unit,
        unit,
        "%",
        &marked_unit,
        "krpm ",
    ]
    .into_iter()
    .map(|text| Cell {
        text: text.to_owned(),
        paint: Paint::Faint,
    })
    .collect();
    let rows = (0..MOST_ROWS)
        .map(|row| start_s + step_s * row as f64)
        .filter(|&time_s| time_s <= stop_s)
        .filter_map(|time_s| samples.iter().find(|s| s.time_s >= time_s - 1e-9))
        .map(|sample| row(sample, over, shown));
    let mut all: Vec<Vec<Cell>> = std::iter::once(units_row).chain(rows).collect();
    // once nothing changes any more, another second tells nothing
    all.dedup_by(|next, last| (1..next.len()).all(|at| next[at].text == last[at].text));
    text.table_below(&columns, all, 1);
}

fn row(s: &Sample, over: &Trial, shown: &Shown) -> Vec<Cell> {
    let units = shown.units;
    let pressure = |kpa: f64| fixed(units.pressure(kpa), units.pressure_decimals());
    let beyond = |name: &str, value: f64| over.limit(name).is_some_and(|l| value > l.limit);
    let shaft_beyond = beyond("shaft_speed", s.shaft_speed_rpm);
    let drive_beyond = beyond("drive_pressure", s.drive_pressure_kpa_abs);
    let marked = |text: String, bad: bool| Cell {
        text: text + if bad { "!" } else { " " },
        paint: if bad { Paint::Bad } else { Paint::Plain },
    };
    vec![
        fixed(s.time_s, 0).into(),
        fixed(s.engine_speed_rpm, 0).into(),
        s.boost_command_kpa_abs
            .map_or_else(|| "-".to_owned(), pressure)
            .into(),
        marked(pressure(s.boost_sensed_kpa_abs), s.pinned),
        pressure(s.boost_true_kpa_abs).into(),
        fixed(s.vane_closed_pct, 0).into(),
        marked(pressure(s.drive_pressure_kpa_abs), drive_beyond),
        marked(fixed(s.shaft_speed_rpm / 1000.0, 1), shaft_beyond),
    ]
}

/// Cause after cause.
fn chain_of_events(over: &Trial, clamped: &Trial, stretch: &Stretch, shown: &Shown) -> Vec<String> {
    let samples = &over.run.samples;
    let units = shown.units;
    let result = &over.run.result;
    let begin = &samples[stretch.first];
    let after = &samples[stretch.first..];
    let highest = |value: fn(&Sample) -> f64| after.iter().map(value).fold(0.0, f64::max);
    let vane_pct = highest(|s| s.vane_closed_pct);
    let drive_kpa = highest(|s| s.drive_pressure_kpa_abs);
    let boost_kpa = highest(|s| s.boost_true_kpa_abs);
    let mut lines = vec![
        format!(
            "At {} s the reading is pinned at {} abs, the highest it can show, and stays pinned \
             for {} s in all. The command lies above it for {} s: for that long the controller \
             sees too little boost, whatever the boost may be.",
            fixed(begin.time_s, 1),
            units.pressure_text(begin.boost_sensed_kpa_abs),
            fixed(result.sensor.pinned_s, 1),
            fixed(result.sensor.command_above_readable_s, 1)
        ),
        format!(
            "{} Drive pressure climbs from {} to {} abs.",
            vanes(over, clamped, begin, vane_pct),
            fixed(
                units.pressure(begin.drive_pressure_kpa_abs),
                units.pressure_decimals()
            ),
            units.pressure_text(drive_kpa)
        ),
        format!(
            "True boost reaches {} abs: {} that no gauge on this sensor shows.",
            units.pressure_text(boost_kpa),
            units.pressure_text(boost_kpa - result.peaks.boost_sensed_kpa_abs)
        ),
    ];
    lines.extend(beyond_limits(over, shown));
    lines.extend(blindness(over, shown));
    lines
}

/// What the vanes did: closed, or stayed too far closed for the speed.
fn vanes(over: &Trial, clamped: &Trial, begin: &Sample, highest_pct: f64) -> String {
    if highest_pct - begin.vane_closed_pct >= CLOSING_PCT {
        return format!(
            "It closes the vanes from {} % to {} %.",
            fixed(begin.vane_closed_pct, 0),
            fixed(highest_pct, 0)
        );
    }
    let fastest_s = over.run.result.at_peak_shaft_speed.time_s;
    let at = |trial: &Trial| {
        let sample = trial.run.samples.iter().find(|s| s.time_s >= fastest_s);
        sample.map_or_else(|| "-".to_owned(), |s| fixed(s.vane_closed_pct, 0))
    };
    format!(
        "It holds the vanes too far closed: {} % at {} s, against {} % in the clamped run below.",
        at(over),
        fixed(fastest_s, 1),
        at(clamped)
    )
}

/// The limits that went, in the order of time, twins on one wheel told once.
fn beyond_limits(over: &Trial, shown: &Shown) -> Vec<String> {
    let units = shown.units;
    let mut gone: Vec<_> = over
        .run
        .result
        .limits
        .iter()
        .filter(|limit| !limit.held && limit.name != "pinned_time")
        .filter(|limit| limit.name != "tip_speed" || over.limit("shaft_speed").is_none())
        .filter_map(|limit| Some((limit.first_exceeded_s?, limit)))
        .collect();
    // the shaft is what the story is about: it comes first
    gone.sort_by(|a, b| {
        let rank = |name: &str| u8::from(name != "shaft_speed");
        rank(&a.1.name)
            .cmp(&rank(&b.1.name))
            .then(a.0.total_cmp(&b.0))
    });
    let mut lines = Vec::new();
    let mut others = Vec::new();
    for (time_s, limit) in gone {
        let bound = units.limit_text(&limit.unit, limit.limit, false);
        let worst = limit
            .worst
            .map_or_else(String::new, |w| units.limit_text(&limit.unit, w, false));
        if limit.name == "shaft_speed" {
            lines.push(format!(
                "The shaft passes its limit of {bound} at {} s and reaches {worst}: wheels burst \
                 that way.",
                fixed(time_s, 1)
            ));
        } else {
            others.push(format!(
                "{} ({worst}, limit {bound}, from {} s)",
                names::limit_label(&limit.name),
                fixed(time_s, 1)
            ));
        }
    }
    if !others.is_empty() {
        lines.push(format!("Beyond its limit as well: {}.", others.join("; ")));
    }
    lines
}

/// What the over-boost protection did about it.
fn blindness(over: &Trial, shown: &Shown) -> Option<String> {
    let setting = over.ready.setup.rig.controller.protections.over_boost?;
    let result = &over.run.result;
    let protection = result.protections.iter().find(|p| p.name == "over_boost")?;
    let above_kpa = setting.above_pa * 1e-3;
    let above = shown.units.pressure_text(above_kpa);
    if protection.blind_s > 0.0 {
        let crossed = over
            .run
            .samples
            .iter()
            .find(|s| s.boost_true_kpa_abs > above_kpa);
        let when = crossed.map_or_else(String::new, |s| {
            format!(" True boost passes that at {} s.", fixed(s.time_s, 1))
        });
        let reaction = match protection.first_s {
            None => "it never acts".to_owned(),
            Some(first_s) => format!("it acts only at {} s", fixed(first_s, 1)),
        };
        return Some(format!(
            "The over-boost fuel cut waits for a reading above {above} abs.{when} But it reads \
             the same pinned sensor: blind for {} s, {reaction}.",
            fixed(protection.blind_s, 1)
        ));
    }
    Some(match protection.first_s {
        Some(first_s) => format!(
            "The over-boost fuel cut (above {above} abs) acts at {} s, for {} s in all.",
            fixed(first_s, 1),
            fixed(protection.active_s, 1)
        ),
        None => format!("The over-boost fuel cut (above {above} abs) is not called for."),
    })
}
