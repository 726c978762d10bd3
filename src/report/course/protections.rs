//! The protections: what makes them act, what they do, what follows, and what
//! they do not see.
use super::Weight;
use super::tale::{
    Episode, Order, Span, Tale, Told, closed_way, differ, episodes, highest, lowest, seconds, times,
};
use crate::judgement::EventKind;
use crate::report::names;
use crate::report::units::fixed;
use crate::simulation::{PROTECTIONS, Sample};

/// Acts that are less than this apart are chatter and told as one \[s\].
const APART_S: f64 = 2.0;
/// What follows is told this long after the act \[s\]: the gas has answered, the
/// shaft has begun to.
const FOLLOWS_S: f64 = 1.0;
/// Blindness that is shorter is the sensor's lag \[s\].
const LAG_S: f64 = 0.1;
/// Vanes that move by less have not been moved \[% closed\].
const MOVED_PCT: f64 = 1.0;
/// Fuel that changes by less has not been cut \[mg per injection\].
const CUT_MG: f64 = 0.5;
/// Boost that falls by less does not fall \[kPa\].
const FALLS_KPA: f64 = 2.0;

/// Everything that the protections do and miss.
pub(super) fn told(tale: &Tale) -> Vec<Told> {
    let mut told = Vec::new();
    for name in PROTECTIONS {
        let acts = tale.spans(
            EventKind::ProtectionActs(name),
            EventKind::ProtectionRests(name),
        );
        told.extend((episodes(acts, APART_S).iter()).map(|episode| act(tale, name, episode)));
        let blind = tale.spans(
            EventKind::ProtectionBlind(name),
            EventKind::ProtectionSees(name),
        );
        let longest = (blind.iter())
            .filter(|span| span.lasts_s() >= LAG_S)
            .max_by(|a, b| a.lasts_s().total_cmp(&b.lasts_s()));
        told.extend(longest.map(|span| sees_nothing(tale, name, span)));
    }
    told
}

fn act(tale: &Tale, name: &str, episode: &Episode) -> Told {
    let s = episode.from();
    let label = names::protection_label(name);
    let mut sentences = match name {
        "command_clamp" => vec![clamp(tale, s)],
        "pinned_sensor" => vec![
            format!(
                "The {label} acts{}: {}.",
                after_pinned(tale, s),
                orders(tale, episode)
            ),
            follows(tale, s),
        ],
        "frozen_sensor" => vec![
            format!(
                "The {label} acts{}: {}.",
                after_still(tale, s),
                orders(tale, episode)
            ),
            follows(tale, s),
        ],
        "over_boost" => vec![
            format!(
                "The {label} acts at a reading of {}: {}.",
                tale.abs(s.boost_sensed_kpa_abs),
                orders(tale, episode)
            ),
            follows(tale, s),
        ],
        "drive_pressure" | "shaft_speed" => vec![
            format!(
                "The {label} acts at {}: {}.",
                cause(tale, name, s),
                orders(tale, episode)
            ),
            held_at(tale, name, episode),
        ],
        // one that has no words yet
        _ => vec![format!("The {label} acts: {}.", orders(tale, episode))],
    };
    // chatter comes first: what follows a single act of it says little
    let place = if episode.spans.len() > 1 {
        1
    } else {
        sentences.len()
    };
    sentences.insert(place, how_often(tale, episode));
    let worth = if name == "command_clamp" { 100 } else { 118 };
    let told = Told::new(s.time_s, Order::Protection, worth, sentences);
    if name == "command_clamp" {
        told
    } else {
        told.with(Weight::Warning)
    }
}

/// How long it acts, and how often if it chatters.
fn how_often(tale: &Tale, episode: &Episode) -> String {
    let last = episode.last();
    match (episode.spans.len(), last.to) {
        (1, None) if last.lasts_s() > 0.0 => "It goes on to the end.".to_owned(),
        (1, None) => String::new(),
        (1, Some(_)) => format!("It rests after {}.", seconds(last.lasts_s())),
        (count, Some(_)) => format!(
            "It acts and rests {} {}, for {} at most.",
            times(count),
            tale.till(last),
            seconds(episode.longest_s())
        ),
        (count, None) => format!(
            "It acts {}, the last time to the end, for {} at most.",
            times(count),
            seconds(episode.longest_s())
        ),
    }
}

fn clamp(tale: &Tale, s: &Sample) -> String {
    let Some(command) = s.boost_command_kpa_abs else {
        return "The command clamp acts.".to_owned();
    };
    let below = (tale.result.sensor.readable_ceiling_kpa_abs).map_or_else(String::new, |top| {
        format!(
            ", {} below the most that the sensor can read",
            tale.difference(top - command)
        )
    });
    format!(
        "The command clamp holds the command at {}{below}.",
        tale.abs(command)
    )
}

/// How long after the reading stopped, if it is pinned.
fn after_pinned(tale: &Tale, s: &Sample) -> String {
    (tale.spans(EventKind::ReadingPinned, EventKind::ReadingFree))
        .iter()
        .find(|span| span.from.time_s <= s.time_s && s.time_s < span.until_s + 1e-9)
        .map_or_else(String::new, |span| {
            format!(
                " {} after the reading stopped",
                seconds(s.time_s - span.from.time_s)
            )
        })
}

/// How long the reading had stood still.
fn after_still(tale: &Tale, s: &Sample) -> String {
    let samples = tale.within(tale.first.time_s, s.time_s);
    let same = |before: &&Sample| before.boost_sensed_kpa_abs == s.boost_sensed_kpa_abs;
    let since = samples.iter().rev().take_while(same).last();
    since.map_or_else(String::new, |since| {
        format!(
            " because the reading has not moved for {}",
            seconds(s.time_s - since.time_s)
        )
    })
}

/// What the limiters watch, as they read it.
fn cause(tale: &Tale, name: &str, s: &Sample) -> String {
    if name == "shaft_speed" {
        let rpm = s.shaft_speed_sensed_rpm.unwrap_or(s.shaft_speed_rpm);
        format!("a shaft speed of {}", super::tale::krpm(rpm))
    } else {
        let kpa = s
            .drive_pressure_sensed_kpa_abs
            .unwrap_or(s.drive_pressure_kpa_abs);
        format!("a drive pressure of {}", tale.abs(kpa))
    }
}

/// What changes in the orders: vanes and fuel from the tick before on, over the
/// act for limiters that come in gently.
fn orders(tale: &Tale, episode: &Episode) -> String {
    let s = episode.from();
    let Some(before) = tale.before(s.time_s) else {
        return "from the start".to_owned();
    };
    let acting = tale.during(&episode.spans[0]);
    let mut said = Vec::new();
    let open =
        lowest(acting, |s| s.vane_command_pct).map_or(s.vane_command_pct, |s| s.vane_command_pct);
    if before.vane_command_pct - s.vane_command_pct > MOVED_PCT {
        said.push(format!(
            "vanes ordered {}",
            closed_way(before.vane_command_pct, s.vane_command_pct)
        ));
    } else if before.vane_command_pct - open > MOVED_PCT {
        said.push(format!(
            "vanes ordered back {}",
            closed_way(before.vane_command_pct, open)
        ));
    }
    let (from, to) = (before.fuel_mg_per_injection, s.fuel_mg_per_injection);
    if from - to > CUT_MG && differ(from, to, 0) {
        said.push(format!(
            "fuel from {} to {} mg ({} %)",
            fixed(from, 0),
            fixed(to, 0),
            fixed(100.0 * to / from, 0)
        ));
    }
    if said.is_empty() {
        "the orders hardly change".to_owned()
    } else {
        said.join(", ")
    }
}

/// Boost and shaft after the act, where they fall.
fn follows(tale: &Tale, s: &Sample) -> String {
    let later = tale.at((s.time_s + FOLLOWS_S).min(tale.last.time_s));
    let fell = s.boost_true_kpa_abs - later.boost_true_kpa_abs > FALLS_KPA
        && later.shaft_speed_rpm < s.shaft_speed_rpm;
    if !fell || later.time_s <= s.time_s {
        return String::new();
    }
    let (from, to) = (s.shaft_speed_rpm, later.shaft_speed_rpm);
    let shaft = if differ(from / 1000.0, to / 1000.0, 1) {
        format!(", the shaft {}", tale.krpm_way(from, to))
    } else {
        String::new()
    };
    format!(
        "{} later true boost is down {}{shaft}.",
        seconds(later.time_s - s.time_s),
        tale.abs_way(s.boost_true_kpa_abs, later.boost_true_kpa_abs)
    )
}

/// The highest that a limiter let through while it acted.
fn held_at(tale: &Tale, name: &str, episode: &Episode) -> String {
    let samples = tale.within(episode.from().time_s, episode.until_s());
    if name == "shaft_speed" {
        highest(samples, |s| s.shaft_speed_rpm).map_or_else(String::new, |peak| {
            format!(
                "The shaft gets to {} at most, at {}.",
                super::tale::krpm(peak.shaft_speed_rpm),
                seconds(peak.time_s)
            )
        })
    } else {
        highest(samples, |s| s.drive_pressure_kpa_abs).map_or_else(String::new, |peak| {
            format!(
                "Drive pressure gets to {} at most, at {}.",
                tale.abs(peak.drive_pressure_kpa_abs),
                seconds(peak.time_s)
            )
        })
    }
}

/// The true state is past a threshold and no reading shows it.
fn sees_nothing(tale: &Tale, name: &str, span: &Span) -> Told {
    let s = &span.from;
    let label = names::protection_label(name);
    let state = match name {
        "shaft_speed" => format!("The shaft, at {},", super::tale::krpm(s.shaft_speed_rpm)),
        "drive_pressure" => format!("Drive pressure, {},", tale.abs(s.drive_pressure_kpa_abs)),
        _ => format!("True boost, {},", tale.abs(s.boost_true_kpa_abs)),
    };
    let why = if name == "over_boost" && s.pinned {
        "which reads the same pinned sensor"
    } else {
        "whose reading does not show it"
    };
    let sentence = format!("{state} is past the threshold of the {label}, {why}.");
    let how_long = format!(
        "It stays blind for {}, {}.",
        seconds(span.lasts_s()),
        tale.till(span)
    );
    let told = Told::new(s.time_s, Order::Blind, 117, vec![sentence, how_long]);
    told.with(Weight::Warning)
}
