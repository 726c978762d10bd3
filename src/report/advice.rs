//! What to change after a run, in plain words.
use super::names;
use super::text_surge::surge_advice;
use super::units::{Units, fixed};
use crate::judgement::{LimitResult, RunResult, Verdict};

/// How far below the readable ceiling a command should stay \[kPa\]: about
/// 2 psi, a rule of the trade without a published source.
pub const COMMAND_MARGIN_KPA: f64 = 14.0;

/// Boost that comes later than this with the vanes at their stop is not spool-up
/// any more but a command out of reach \[s\]. Spool-up of truck turbochargers takes
/// half a second to two seconds (common practice).
pub(super) const LONGEST_SPOOL_UP_S: f64 = 2.0;

/// What to change, most pressing first.
pub(super) fn advice(result: &RunResult, units: Units) -> Vec<String> {
    let mut advice = Vec::new();
    let sensor = &result.sensor;
    let commanded =
        result.peaks.boost_command_kpa_abs.is_some() || sensor.command_above_readable_s > 0.0;
    let blind_command =
        commanded && (sensor.pinned_s > 0.0 || sensor.command_above_readable_s > 0.0);
    if let Some(ceiling) = sensor
        .readable_ceiling_kpa_abs
        .filter(|_| !commanded && sensor.pinned_s > 0.0)
    {
        advice.push(format!(
            "Open the vanes or take out fuel until true boost stays below {} abs: beyond that \
             the sensor cannot tell it.",
            units.pressure_text(ceiling)
        ));
    }
    if let Some(ceiling) = sensor.readable_ceiling_kpa_abs.filter(|_| blind_command) {
        advice.push(format!(
            "Keep the command at or below {} abs: {} under the {} abs that the sensor can read.",
            units.pressure_text(ceiling - COMMAND_MARGIN_KPA),
            units.pressure_text(COMMAND_MARGIN_KPA),
            units.pressure_text(ceiling)
        ));
        advice.push(
            "Switch on the command clamp (controller.protections.command_clamp) and the \
             pinned-sensor watch, so that a wrong table cannot do this again."
                .to_owned(),
        );
    }
    if sensor.command_unreached_s > LONGEST_SPOOL_UP_S {
        advice.push(format!(
            "The vanes stood at their closed stop for {} s without bringing the commanded boost. \
             Lower the command there to what can be reached ({} abs was the highest).",
            fixed(sensor.command_unreached_s, 1),
            units.pressure_text(result.peaks.boost_kpa_abs)
        ));
    }
    advice.extend(surge_advice(result));
    advice.extend(remedies(result, blind_command));
    if result.verdict == Verdict::HeldInsideBand {
        advice.push(
            "Lower the command until the band holds too, or measure what is uncertain (shaft \
             speed, drive pressure, vane position at two vane settings) and state less spread. \
             `ringfence ceiling --band` says how far to go."
                .to_owned(),
        );
    }
    if result.verdict == Verdict::OutsideValidity {
        advice.push(
            "Take this as no answer. Lower the command or the fuel, or give a map that reaches \
             further, and run again."
                .to_owned(),
        );
    } else if let Some(caught) = caught_by(result).filter(|_| advice.is_empty()) {
        advice.push(format!(
            "Every limit held because {caught} acted. Find out what it had to act on before \
             anything is raised."
        ));
    } else if advice.is_empty() && !commanded {
        advice.push("Nothing has to change. There is no boost command here.".to_owned());
    } else if advice.is_empty() {
        advice.push(
            "Leave the command as it is. Before raising it, let `ringfence ceiling` say how far \
             it may go at each engine speed and altitude."
                .to_owned(),
        );
    } else if result.verdict == Verdict::Exceeded {
        advice.push(
            "Let `ringfence ceiling` give the highest command that holds, then run this again."
                .to_owned(),
        );
    }
    advice
}

/// The protections that had to step in, the clamp of the command aside, which acts
/// wherever a table asks for more.
fn caught_by(result: &RunResult) -> Option<String> {
    let acted = result.protections.iter().filter(|p| p.active_s > 0.0);
    let names: Vec<String> = acted
        .filter(|p| p.name != "command_clamp")
        .map(|p| format!("the {}", names::protection_label(&p.name)))
        .collect();
    (!names.is_empty()).then(|| names.join(" and "))
}

/// One line for each exceeded limit, twins on one wheel counted once.
fn remedies(result: &RunResult, blind_command: bool) -> Vec<String> {
    let exceeded: Vec<&LimitResult> = result.limits.iter().filter(|limit| !limit.held).collect();
    let has = |name: &str| exceeded.iter().any(|limit| limit.name == name);
    let from_blindness = |limit: &LimitResult| {
        blind_command
            && matches!(
                limit.name.as_str(),
                "shaft_speed" | "tip_speed" | "drive_pressure" | "drive_to_boost" | "pinned_time"
            )
    };
    let mut lines = Vec::new();
    if exceeded.iter().any(|limit| from_blindness(limit)) {
        lines.push(
            "Do not drive this calibration: the loop winds up where the sensor cannot see, and \
             shaft speed and drive pressure follow. Cure the command, then run again."
                .to_owned(),
        );
    }
    for limit in exceeded.iter().filter(|limit| !from_blindness(limit)) {
        if limit.name == "tip_speed" && has("shaft_speed") {
            continue;
        }
        if limit.name == "surge_margin" && surge_advice(result).is_some() {
            continue;
        }
        let near = limit
            .engine_speed_rpm
            .map(|rpm| format!("near {} rpm ", fixed(rpm, 0)))
            .unwrap_or_default();
        lines.push(format!(
            "{}: {near}{}.",
            capital(names::limit_label(&limit.name)),
            remedy(&limit.name)
        ));
    }
    lines
}

fn remedy(name: &str) -> &'static str {
    match name {
        "shaft_speed" | "tip_speed" => "lower the boost command or keep the vanes further open",
        "drive_pressure" | "drive_to_boost" => {
            "lower the command or keep the vanes further open (vane stops, drive-pressure limiter)"
        }
        "turbine_inlet" => "take out fuel, or allow more air if shaft speed has room",
        "compressor_outlet" => "lower the command, or feed the compressor cooler air",
        "cylinder_pressure" => "lower the command or retard the injection",
        "lambda" => "take out fuel or bring boost up earlier",
        "surge_margin" => "lower the command or keep the vanes further open",
        "choke_margin" => {
            "the compressor is at the end of its flow; lower command and fuel, or fit a larger one"
        }
        _ => "lower the command",
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + chars.as_str()
    })
}
