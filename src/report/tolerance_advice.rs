//! What to change where production spread exceeds a limit, in plain words.
use super::names;
use super::text_tolerance::{cause_name, explained_limits, percent};
use super::units::{Units, fixed};
use crate::judgement::{CommandAdvice, CommandOutcome, ToleranceResult, ToleranceVerdict};

/// What to do, most pressing first.
pub(super) fn advice(result: &ToleranceResult, units: Units) -> Vec<String> {
    let mut lines = vec![command_advice(result, units)];
    let level_pct = result.keep_below_pct;
    if result.verdict == ToleranceVerdict::Undecided
        && result.command.outcome != CommandOutcome::TooFewDraws
    {
        lines.push("More draws (--draws) narrow the interval and may decide it.".to_owned());
    }
    if result.verdict != ToleranceVerdict::KeptBelow
        && let Some(limit) = explained_limits(result).first()
        && let Some(cause) = limit.causes.first()
        && limit.probability.high_pct > level_pct
    {
        lines.push(format!(
            "Or narrow what matters most, if it can be: {} makes {} of the explained spread of {}.",
            cause_name(cause),
            percent(cause.share_pct),
            names::limit_label(&limit.name)
        ));
    }
    if result.not_built > 0 {
        lines.push(
            "State smaller spreads, or `within: …` for what leaves the works: some draws have \
             values that no scenario may hold."
                .to_owned(),
        );
    }
    lines
}

fn command_advice(result: &ToleranceResult, units: Units) -> String {
    let command = &result.command;
    let level = percent(result.keep_below_pct);
    match command.outcome {
        CommandOutcome::NoCommand => {
            "No boost is commanded here, so no command can be advised.".to_owned()
        }
        CommandOutcome::TooFewDraws => format!(
            "Draw at least {} engines (--draws {}): with {} of them not even none that fails \
             would show that it is fewer than {level}.",
            command.draws_needed, command.draws_needed, result.draws
        ),
        CommandOutcome::NoneHolds => format!(
            "No command that was tried, lower or higher, keeps it below {level}: it is not the \
             command that is to be changed{}.",
            command
                .fails_above
                .as_deref()
                .map(|what| format!(" (at the lowest {} fails)", what_fails(what)))
                .unwrap_or_default()
        ),
        CommandOutcome::Found | CommandOutcome::HoldsThroughout => {
            let kept = result.verdict == ToleranceVerdict::KeptBelow;
            moved(command, kept, &level, units)
        }
    }
}

/// What to do with the command, where one was found.
fn moved(command: &CommandAdvice, kept: bool, level: &str, units: Units) -> String {
    let shift_kpa = command.shift_kpa.unwrap_or(0.0);
    let highest = command.command_kpa_abs.map_or_else(String::new, |kpa| {
        format!(", {} abs at its highest", units.pressure_text(kpa))
    });
    let by = |kpa: f64| {
        let places = match units {
            // the step may be a part of a kilopascal
            Units::Si if kpa.fract() == 0.0 => 0,
            _ => 1,
        };
        format!(
            "{} {}",
            fixed(units.pressure(kpa.abs()), places),
            units.pressure_unit()
        )
    };
    let mut text = if shift_kpa < 0.0 {
        format!(
            "Lower the full-load command by {} at every engine speed{highest}: that is the \
             highest that keeps it below {level}",
            by(shift_kpa)
        )
    } else if shift_kpa > 0.0 && !kept {
        format!(
            "No lower full-load command keeps it below {level}, but a higher one does: at most {} \
             more at every engine speed{highest}",
            by(shift_kpa)
        )
    } else if shift_kpa > 0.0 {
        format!(
            "In this procedure and ambient the full-load command may go up by {} at every engine \
             speed{highest}, and it stays below {level}; first ask `ringfence ceiling` at every \
             speed and place",
            by(shift_kpa)
        )
    } else {
        format!("The full-load command may stay{highest}, but not go up, to keep it below {level}")
    };
    if let Some(any) = &command.any_limit {
        text.push_str(&format!(
            " ({} engines fail there, at most {})",
            any.exceeding + any.unknown,
            percent(any.high_pct)
        ));
    }
    match &command.fails_above {
        Some(what) => text.push_str(&format!(
            ". One step of {} higher, {} fails first.",
            by(command.step_kpa),
            what_fails(what)
        )),
        None => text.push_str(". That is as far as was tried."),
    }
    text
}

fn what_fails(what: &str) -> String {
    match what {
        "outside_validity" => "the model".to_owned(),
        "not_built" => "a value that no scenario may hold".to_owned(),
        limit => names::limit_label(limit).to_owned(),
    }
}
