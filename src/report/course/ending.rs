//! How a run ends.
use super::Weight;
use super::tale::{Order, Tale, Told, closed, engine, krpm, seconds};
use crate::judgement::{StopKind, WhyStopped};
use crate::report::units::fixed;

/// The last moment. `quiet`: nothing else was worth telling.
pub(super) fn told(tale: &Tale, quiet: bool) -> Told {
    let why = &tale.result.why_stopped;
    let sentences = match why.kind {
        StopKind::Finished => finished(tale, quiet),
        StopKind::OutsideValidity => outside(tale, why),
        StopKind::ComputationFailed => failed(why),
    };
    let time_s = tale.last.time_s;
    if why.kind == StopKind::Finished {
        Told::new(time_s, Order::End, 190, sentences)
    } else {
        Told::new(time_s.max(why.time_s), Order::End, 255, sentences).with(Weight::Broken)
    }
}

fn finished(tale: &Tale, quiet: bool) -> Vec<String> {
    let s = tale.last;
    let nothing = match (quiet, tale.result.limits.iter().all(|limit| limit.held)) {
        (true, true) => "Nothing else to tell: every limit holds.".to_owned(),
        _ => String::new(),
    };
    let boost = match s.boost_command_kpa_abs {
        Some(command) => format!(
            "true boost {} against a command of {}",
            tale.bare(s.boost_true_kpa_abs),
            tale.abs(command)
        ),
        None => format!("true boost {}", tale.abs(s.boost_true_kpa_abs)),
    };
    let place = match (tale.result.road.as_ref(), s.altitude_m) {
        (Some(_), Some(altitude_m)) => {
            format!(", at {}", tale.units.altitude_text(altitude_m))
        }
        _ => String::new(),
    };
    let end = format!(
        "The end{place}: {}, {boost}, vanes {}, shaft {}.",
        engine(s),
        closed(s.vane_closed_pct),
        krpm(s.shaft_speed_rpm)
    );
    vec![nothing, end]
}

fn outside(tale: &Tale, why: &WhyStopped) -> Vec<String> {
    let (Some(value), Some(bound)) = (why.value, why.bound) else {
        return vec!["Here the model ends.".to_owned(), after(why)];
    };
    let shown = |value: f64| valued(tale, why, value);
    let what = match why.quantity.as_deref() {
        Some("drive_to_boost_abs") => format!(
            "drive pressure is {} times boost, both absolute",
            shown(value)
        ),
        Some("turbine_inlet") => format!("the gas ahead of the turbine is at {}", shown(value)),
        Some("vane_closed") => format!("the vanes are {} closed", shown(value)),
        Some("time_without_compressor_flow") => {
            format!("the compressor has had no flow for {}", shown(value))
        }
        other => format!(
            "{} is {}",
            other.unwrap_or("a quantity").replace('_', " "),
            shown(value)
        ),
    };
    let way = if value > bound { "up" } else { "down" };
    let model = format!(
        "Here the model ends: {what}; it goes {way} to {}.",
        shown(bound)
    );
    vec![model, after(why)]
}

/// A value or bound with its unit. It is just past its bound: that needs decimals.
fn valued(tale: &Tale, why: &WhyStopped, value: f64) -> String {
    match why.unit.as_deref() {
        Some("K") => format!(
            "{} {}",
            fixed(tale.units.temperature(value), 1),
            tale.units.temperature_unit()
        ),
        Some("-") | None => fixed(value, 4),
        Some(unit) => format!("{} {unit}", fixed(value, 1)),
    }
}

fn failed(why: &WhyStopped) -> Vec<String> {
    vec!["Here the computation fails.".to_owned(), after(why)]
}

fn after(why: &WhyStopped) -> String {
    format!(
        "The last good point is {}; there are no figures after it.",
        seconds(why.last_good_s)
    )
}
