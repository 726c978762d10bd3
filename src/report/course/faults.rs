//! What breaks, and what the trace shows of it from then on.
use super::Weight;
use super::tale::{Order, Tale, Told, capital, closed, closed_way, highest, lowest, seconds};
use crate::judgement::EventKind;
use crate::report::units::fixed;
use crate::simulation::Sample;

/// Vanes that are moved by less stay where they are \[% closed\].
const MOVED_PCT: f64 = 1.0;
/// The first answer to a fault is looked for within this time \[s\].
const ANSWER_S: f64 = 1.0;
/// A reading that is off by less is the sensor's lag and rounding \[kPa\].
const OFF_KPA: f64 = 2.0;
/// Boost that reads no further above its command looks normal \[kPa\]: what counts
/// as missed below it.
const NORMAL_KPA: f64 = 10.0;
/// A shaft that gains less gains nothing worth a word \[rpm\].
const GAIN_RPM: f64 = 1000.0;

/// Each fault that sets in.
pub(super) fn told(tale: &Tale) -> Vec<Told> {
    (tale.events.iter())
        .filter_map(|event| match event.kind {
            EventKind::FaultSetsIn(name) => Some(one(tale, name, &event.at)),
            _ => None,
        })
        .collect()
}

fn one(tale: &Tale, name: &str, s: &Sample) -> Told {
    let since = until_next(tale, s);
    let sentences = match name {
        "boost_leak" => vec![
            format!("The boost hose leaks{}.", from_start(tale, s)),
            dip(tale, s),
            shaft_gains(tale, s, since),
        ],
        "exhaust_leak" => vec![
            format!("The exhaust manifold leaks{}.", from_start(tale, s)),
            drive_falls(tale, s),
            vanes_close(tale, s, since),
        ],
        "blocked_filter" => vec![
            format!("The air filter blocks{}.", from_start(tale, s)),
            dip(tale, s),
            shaft_gains(tale, s, since),
        ],
        "blocked_cooler" => vec![
            format!("The charge cooler blocks{}.", from_start(tale, s)),
            dip(tale, s),
            shaft_gains(tale, s, since),
        ],
        "sticking_vanes" => stuck(tale, s, since),
        "boost_sensor" => boost_sensor(tale, s, since),
        "drive_pressure_sensor" => vec![
            "The drive-pressure sensor goes wrong.".to_owned(),
            drive_reading(tale, since),
        ],
        "shaft_speed_frozen" => vec![
            "The shaft-speed pick-up freezes.".to_owned(),
            shaft_reading(since),
        ],
        // one that has no words yet
        _ => vec![format!("{} sets in.", capital(&name.replace('_', " ")))],
    };
    Told::new(s.time_s, Order::Fault, 140, sentences).with(Weight::Warning)
}

/// The trace from a fault on, as long as nothing else breaks.
fn until_next<'a>(tale: &Tale<'a>, s: &Sample) -> &'a [Sample] {
    let next = tale.events.iter().find(|event| {
        matches!(event.kind, EventKind::FaultSetsIn(_)) && event.at.time_s > s.time_s
    });
    tale.within(
        s.time_s,
        next.map_or(tale.last.time_s, |event| event.at.time_s),
    )
}

fn from_start(tale: &Tale, s: &Sample) -> &'static str {
    if s.time_s <= tale.first.time_s {
        " from the start"
    } else {
        ""
    }
}

/// True boost falls at once.
fn dip(tale: &Tale, s: &Sample) -> String {
    let soon = tale.within(s.time_s, s.time_s + ANSWER_S);
    lowest(soon, |s| s.boost_true_kpa_abs)
        .filter(|low| s.boost_true_kpa_abs - low.boost_true_kpa_abs > OFF_KPA)
        .map_or_else(String::new, |low| {
            format!(
                "True boost falls {} within {}.",
                tale.abs_way(s.boost_true_kpa_abs, low.boost_true_kpa_abs),
                seconds(low.time_s - s.time_s)
            )
        })
}

fn drive_falls(tale: &Tale, s: &Sample) -> String {
    let soon = tale.within(s.time_s, s.time_s + ANSWER_S);
    lowest(soon, |s| s.drive_pressure_kpa_abs)
        .filter(|low| s.drive_pressure_kpa_abs - low.drive_pressure_kpa_abs > OFF_KPA)
        .map_or_else(String::new, |low| {
            format!(
                "Drive pressure falls {} within {}.",
                tale.abs_way(s.drive_pressure_kpa_abs, low.drive_pressure_kpa_abs),
                seconds(low.time_s - s.time_s)
            )
        })
}

/// The shaft gets faster, and whether the boost reading would tell. What is there
/// from the start has no before to compare with.
fn shaft_gains(tale: &Tale, s: &Sample, since: &[Sample]) -> String {
    let Some(peak) = highest(since, |s| s.shaft_speed_rpm)
        .filter(|peak| peak.shaft_speed_rpm - s.shaft_speed_rpm > GAIN_RPM)
        .filter(|_| s.time_s > tale.first.time_s)
    else {
        return String::new();
    };
    let way = format!(
        "From here the shaft goes {} by {}",
        tale.krpm_way(s.shaft_speed_rpm, peak.shaft_speed_rpm),
        seconds(peak.time_s)
    );
    format!("{way}{}.", nothing_shows(tale, s, since))
}

/// That the boost reading does not show the fault, where it does not: it is never
/// further above its command than it had been before, and no protection acts.
fn nothing_shows(tale: &Tale, s: &Sample, since: &[Sample]) -> String {
    let above = |samples: &[Sample]| {
        let kpa = |s: &Sample| Some(s.boost_sensed_kpa_abs - s.boost_command_kpa_abs?);
        samples
            .iter()
            .filter_map(kpa)
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let before = above(tale.within(tale.first.time_s, s.time_s));
    let most = above(since);
    let disturbed =
        |s: &Sample| s.pinned || s.active_protections != 0 || s.boost_command_kpa_abs.is_none();
    if since.iter().any(disturbed) || most > before.max(NORMAL_KPA) {
        return String::new();
    }
    format!(
        ", while boost never reads more than {} above its command",
        tale.at_most(most.max(0.0))
    )
}

fn vanes_close(tale: &Tale, s: &Sample, since: &[Sample]) -> String {
    let Some(most) = highest(since, |s| s.vane_closed_pct) else {
        return String::new();
    };
    if most.vane_closed_pct - s.vane_closed_pct < MOVED_PCT || s.time_s <= tale.first.time_s {
        return String::new();
    }
    format!(
        "The vanes go {} by {}{}.",
        closed_way(s.vane_closed_pct, most.vane_closed_pct),
        seconds(most.time_s),
        nothing_shows(tale, s, since)
    )
}

/// Vanes that no longer follow their order.
fn stuck(tale: &Tale, s: &Sample, since: &[Sample]) -> Vec<String> {
    let what = format!(
        "The vanes stick{} at {}.",
        from_start(tale, s),
        closed(s.vane_closed_pct)
    );
    let away = highest(since, |now| {
        (now.vane_command_pct - s.vane_closed_pct).abs()
    });
    let order = away
        .filter(|away| (away.vane_command_pct - s.vane_closed_pct).abs() > MOVED_PCT)
        .map_or_else(String::new, |away| {
            format!(
                "The order goes to {}, at {}; they do not follow.",
                closed(away.vane_command_pct),
                seconds(away.time_s)
            )
        });
    let boost = match s.boost_command_kpa_abs {
        Some(_) => command_error(tale, since),
        None => String::new(),
    };
    vec![what, order, boost]
}

/// The largest distance of true boost from its command.
fn command_error(tale: &Tale, since: &[Sample]) -> String {
    let error = |s: &Sample| {
        s.boost_command_kpa_abs
            .map_or(0.0, |command| s.boost_true_kpa_abs - command)
    };
    let Some(worst) = highest(since, |s| error(s).abs()) else {
        return String::new();
    };
    let side = if error(worst) > 0.0 { "above" } else { "below" };
    format!(
        "True boost gets {} {side} its command, at {}.",
        tale.difference(error(worst).abs()),
        seconds(worst.time_s)
    )
}

/// What the boost sensor reads instead of the truth.
fn boost_sensor(tale: &Tale, s: &Sample, since: &[Sample]) -> Vec<String> {
    let stands = since
        .iter()
        .all(|now| now.boost_sensed_kpa_abs == s.boost_sensed_kpa_abs);
    let off = |s: &Sample| s.boost_sensed_kpa_abs - s.boost_true_kpa_abs;
    let what = if stands && since.len() > 1 {
        format!(
            "The boost sensor goes wrong{}: its reading stands still at {}.",
            from_start(tale, s),
            tale.abs(s.boost_sensed_kpa_abs)
        )
    } else {
        format!("The boost sensor goes wrong{}.", from_start(tale, s))
    };
    let worst = highest(since, |s| off(s).abs()).filter(|worst| off(worst).abs() > OFF_KPA);
    let how_far = worst.map_or_else(String::new, |worst| {
        let side = if off(worst) > 0.0 { "more" } else { "less" };
        format!(
            "At {} it shows {} {side} than true boost.",
            seconds(worst.time_s),
            tale.difference(off(worst).abs())
        )
    });
    let boost = match s.boost_command_kpa_abs {
        Some(_) => command_error(tale, since),
        None => String::new(),
    };
    vec![what, how_far, boost]
}

fn drive_reading(tale: &Tale, since: &[Sample]) -> String {
    let off = |s: &Sample| {
        s.drive_pressure_sensed_kpa_abs
            .map_or(0.0, |kpa| kpa - s.drive_pressure_kpa_abs)
    };
    highest(since, |s| off(s).abs())
        .filter(|worst| off(worst).abs() > OFF_KPA)
        .map_or_else(String::new, |worst| {
            let side = if off(worst) > 0.0 { "more" } else { "less" };
            format!(
                "At {} it shows {} {side} than the true drive pressure.",
                seconds(worst.time_s),
                tale.difference(off(worst).abs())
            )
        })
}

fn shaft_reading(since: &[Sample]) -> String {
    let off = |s: &Sample| {
        s.shaft_speed_sensed_rpm
            .map_or(0.0, |rpm| rpm - s.shaft_speed_rpm)
    };
    highest(since, |s| off(s).abs())
        .filter(|worst| off(worst).abs() > GAIN_RPM)
        .map_or_else(String::new, |worst| {
            let side = if off(worst) > 0.0 { "more" } else { "less" };
            format!(
                "At {} it shows {} krpm {side} than the shaft turns.",
                seconds(worst.time_s),
                fixed(off(worst).abs() / 1000.0, 1)
            )
        })
}
