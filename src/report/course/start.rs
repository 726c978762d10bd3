//! Where a run starts, and what is asked of it.
use super::tale::{Order, Tale, Told, closed, engine, highest, krpm, lowest, seconds};
use crate::judgement::{EventKind, StopKind};
use crate::report::units::fixed;

/// A change of engine speed between two samples that is none \[rpm\].
const STEADY_RPM: f64 = 1e-3;

/// The first moment.
pub(super) fn told(tale: &Tale) -> Told {
    let sentences = vec![rest(tale), asked(tale)];
    Told::new(tale.first.time_s, Order::Start, 200, sentences)
}

/// The state before anything is asked.
fn rest(tale: &Tale) -> String {
    let s = tale.first;
    let how = if tale.result.start.contains("equilibrium") {
        "In equilibrium at"
    } else {
        "The run starts at"
    };
    format!(
        "{how} {}, vanes {}: boost {} and drive pressure {}, shaft {}.",
        engine(s),
        closed(s.vane_closed_pct),
        tale.bare(s.boost_true_kpa_abs),
        tale.abs(s.drive_pressure_kpa_abs),
        krpm(s.shaft_speed_rpm)
    )
}

/// What is asked, as far as the names of the parts and the trace tell.
fn asked(tale: &Tale) -> String {
    let parts: Vec<&str> = tale.result.procedure.split(" + ").collect();
    match parts[..] {
        ["pull"] => pull(tale),
        ["hold"] if finished(tale) => format!(
            "Asked: this speed and load for {}.",
            seconds(tale.last.time_s)
        ),
        ["hold"] => "Asked: this speed and load.".to_owned(),
        ["shift"] => shift(tale),
        ["climb"] => climb(tale),
        ["playback"] => "A recorded drive is played back.".to_owned(),
        ["load_step"] => "Asked: a step of the load at this speed.".to_owned(),
        ["step"] => "Asked: a step of the inputs at this speed.".to_owned(),
        _ => sequence(tale, &parts),
    }
}

/// Several parts, and between which engine speeds they lead.
fn sequence(tale: &Tale, parts: &[&str]) -> String {
    let speed = |s: &crate::simulation::Sample| s.engine_speed_rpm;
    let range = match (lowest(tale.samples, speed), highest(tale.samples, speed)) {
        (Some(low), Some(high)) if fixed(speed(low), 0) == fixed(speed(high), 0) => {
            format!(", at {}", engine(high))
        }
        (Some(low), Some(high)) => format!(
            ", between {} and {}",
            fixed(low.engine_speed_rpm, 0),
            engine(high)
        ),
        _ => String::new(),
    };
    format!(
        "Asked, one after the other: {}{range}.",
        parts.join(", ").replace('_', " ")
    )
}

/// Whether the procedure was driven to its end.
fn finished(tale: &Tale) -> bool {
    tale.result.why_stopped.kind == StopKind::Finished
}

fn pull(tale: &Tale) -> String {
    let (first, last) = (tale.first, tale.last);
    let changing = |pair: &&[crate::simulation::Sample]| {
        (pair[1].engine_speed_rpm - pair[0].engine_speed_rpm).abs() > STEADY_RPM
    };
    let Some(end) = tale.samples.windows(2).rfind(changing).map(|pair| pair[1]) else {
        return "Asked: full load at this speed.".to_owned();
    };
    if !finished(tale) && end.time_s >= last.time_s {
        return format!(
            "Asked: full load, engine speed up by {} rpm a second.",
            fixed(
                (end.engine_speed_rpm - first.engine_speed_rpm) / (end.time_s - first.time_s),
                0
            )
        );
    }
    let settle_s = last.time_s - end.time_s;
    let then = if settle_s > 0.0 {
        format!(", then {} there", seconds(settle_s))
    } else {
        String::new()
    };
    format!(
        "Asked: full load, to {} in {}{then}.",
        engine(&end),
        seconds(end.time_s - first.time_s)
    )
}

fn shift(tale: &Tale) -> String {
    let cut = tale.events.iter().find(|e| e.kind == EventKind::FuelCut);
    let back = tale.events.iter().find(|e| e.kind == EventKind::FuelBack);
    match (cut, back) {
        (Some(cut), Some(back)) => format!(
            "Asked: full load to {}, then a shift to {}.",
            engine(&cut.at),
            engine(&back.at)
        ),
        _ => "Asked: full load, then a shift.".to_owned(),
    }
}

fn climb(tale: &Tale) -> String {
    let place = tale.first.altitude_m.map_or_else(String::new, |m| {
        format!(" from {}", tale.units.altitude_text(m))
    });
    let gear = tale
        .first
        .gear
        .map_or_else(String::new, |gear| format!(" in gear {gear}"));
    format!("Asked: a drive up the road{place}{gear}.")
}
