//! Production tolerance in words: how likely, why, and which command keeps it rare.
use super::body::{Body, data_words};
use super::names;
use super::shell::set_option;
use super::table::{Cell, Paint, number, words};
use super::tolerance_advice::advice;
use super::units::{Units, fixed, signed};
use crate::judgement::{Cause, LimitTolerance, Probability, ToleranceResult, ToleranceVerdict};

/// Causes below this share are left out of text and pictures \[%\]: of 400 draws chance
/// alone gives a number that does nothing a quarter of a per cent.
const LEAST_SHARE_PCT: f64 = 1.0;
/// Most causes shown of one limit.
const MOST_CAUSES: usize = 6;
/// Most limits whose causes are shown.
const MOST_LIMITS: usize = 3;
/// Length of a whole bar of text \[characters\].
const BAR: usize = 20;

/// The answer of `tolerance` in at most `width` columns.
pub fn tolerance_text(
    result: &ToleranceResult,
    units: Units,
    width: usize,
    colour: bool,
) -> String {
    let width = width.max(40);
    tolerance_body(result, units, width).text(width, colour)
}

/// The answer of `tolerance`; a text is no wider than `width`.
pub(crate) fn tolerance_body(result: &ToleranceResult, units: Units, width: usize) -> Body {
    let mut text = Body::default();
    let beside = [result.procedure.clone(), data_words(&result.data)];
    text.head(&result.scenario, &beside);
    text.gap();
    let (word, paint) = match result.verdict {
        ToleranceVerdict::KeptBelow => ("Kept below", Paint::Good),
        ToleranceVerdict::Undecided => ("Undecided", Paint::Bold),
        ToleranceVerdict::Above => ("Not kept below", Paint::Bad),
        ToleranceVerdict::OutsideValidity => ("Outside the model", Paint::Bad),
    };
    text.verdict(word, verdict_sentence(result), paint);
    text.plain(basis(result));
    text.heading("What to do");
    for advice in advice(result, units) {
        text.item("-", advice);
    }
    text.heading("Limits over all engines");
    limits_table(&mut text, result, units);
    text.heading("What makes the difference");
    causes_body(&mut text, result, units, width);
    if let Some(worst) = &result.worst_draw {
        text.heading("The worst engine");
        let line = format!(
            "Draw {}, by {}. It runs alone with",
            worst.index,
            names::limit_label(&worst.limit)
        );
        text.plain(line);
        let sets = worst.replay.iter();
        text.code(sets.map(|set| set_option(set)).collect());
    }
    text.heading("How far to trust it");
    for line in trust(result) {
        text.plain(line);
    }
    text
}

/// A probability or level in per cent, as fine as it is worth showing.
pub(super) fn percent(pct: f64) -> String {
    let places = match pct {
        p if p == 0.0 || p >= 9.95 => 0,
        p if p >= 0.995 => 1,
        _ => 2,
    };
    let text = fixed(pct, places);
    let plain = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => &text,
    };
    // a share that is not quite nothing or all must not read so
    match (plain, pct) {
        ("0", pct) if pct > 0.0 => "below 0.01 %".to_owned(),
        ("100", pct) if pct < 100.0 => "above 99 %".to_owned(),
        _ => format!("{plain} %"),
    }
}

fn verdict_sentence(result: &ToleranceResult) -> String {
    let any = &result.any_limit;
    let level = percent(result.keep_below_pct);
    let known = format!(
        "{} of {} drawn engines exceed a limit: {}, between {} and {} with {} confidence.",
        any.exceeding,
        result.draws,
        percent(any.probability_pct),
        percent(any.low_pct),
        percent(any.high_pct),
        percent(result.confidence_pct)
    );
    match result.verdict {
        ToleranceVerdict::KeptBelow => format!("Kept below {level}. {known}"),
        ToleranceVerdict::Above => format!("Not kept below {level}. {known}"),
        ToleranceVerdict::Undecided => {
            format!("Not shown to be below {level}, nor above it. {known}")
        }
        ToleranceVerdict::OutsideValidity => format!(
            "Not shown to be below {level}: the model cannot follow {} of the engines, and each \
             of them may exceed a limit. {known}",
            any.unknown
        ),
    }
}

fn basis(result: &ToleranceResult) -> String {
    let of = |section: &str| {
        let count = result
            .varied
            .iter()
            .filter(|v| v.section == section)
            .count();
        match count {
            1 => format!("1 number of `{section}`"),
            _ => format!("{count} numbers of `{section}`"),
        }
    };
    let mut drawn = of("production");
    if result.varied.iter().any(|v| v.section == "uncertainty") {
        drawn.push_str(&format!(" and {}", of("uncertainty")));
    }
    let mut text = format!("Drawn were {drawn}, independently, seed {}.", result.seed);
    for (count, what) in [
        (result.outside_validity, "left what the model can describe"),
        (result.not_built, "have values that no scenario may hold"),
    ] {
        if count > 0 {
            text.push_str(&format!(
                " {count} engines {what}; the high end counts them as failed."
            ));
        }
    }
    text
}

fn limits_table(text: &mut Body, result: &ToleranceResult, units: Units) {
    let columns = [
        words("limit", 0),
        number("past it", 0),
        number("from", 1),
        number("to", 0),
        words("unit", 0),
        number("allowed", 0),
        number("stated", 2),
        number("typical", 0),
        number("95 % keep to", 0),
    ];
    let mut rows: Vec<Vec<Cell>> = result
        .limits
        .iter()
        .map(|limit| row(limit, units))
        .collect();
    let mut any = probability_cells("any limit", &result.any_limit);
    any.resize_with(columns.len(), Cell::default);
    rows.push(any);
    text.table(&columns, rows);
}

fn probability_cells(name: &str, probability: &Probability) -> Vec<Cell> {
    let paint = match probability.exceeding {
        0 => Paint::Plain,
        _ => Paint::Bad,
    };
    let past = percent(probability.probability_pct);
    vec![
        name.into(),
        Cell { text: past, paint },
        percent(probability.low_pct).into(),
        percent(probability.high_pct).into(),
    ]
}

fn row(limit: &LimitTolerance, units: Units) -> Vec<Cell> {
    let shown = |value: Option<f64>| -> Cell {
        let text = value.map(|value| {
            let (value, _, places) = units.limit_value(&limit.unit, value, false);
            fixed(value, places)
        });
        text.unwrap_or_else(|| "-".to_owned()).into()
    };
    let (_, unit, _) = units.limit_value(&limit.unit, 0.0, false);
    let mut cells = probability_cells(names::limit_label(&limit.name), &limit.probability);
    cells.push(unit.into());
    cells.extend(
        [
            Some(limit.limit),
            limit.stated_worst,
            limit.worst_median,
            limit.worst_95,
        ]
        .map(shown),
    );
    cells
}

/// The limits whose causes are worth a look: those that were exceeded, most often
/// first; the tightest where none was. Of two on one wheel only the first.
pub(super) fn explained_limits(result: &ToleranceResult) -> Vec<&LimitTolerance> {
    let mut limits: Vec<&LimitTolerance> = result
        .limits
        .iter()
        .filter(|limit| !limit.causes.is_empty())
        .collect();
    let left = |limit: &LimitTolerance| {
        let headroom = limit.headroom_95.unwrap_or(f64::INFINITY);
        headroom / limit.limit.abs().max(f64::MIN_POSITIVE)
    };
    limits.sort_by(|a, b| {
        let most = b.probability.exceeding.cmp(&a.probability.exceeding);
        most.then(left(a).total_cmp(&left(b)))
    });
    let exceeded = limits
        .iter()
        .filter(|limit| limit.probability.exceeding > 0);
    let count = exceeded.count().max(1);
    limits.truncate(count);
    let wheel = |limit: &LimitTolerance| matches!(limit.name.as_str(), "shaft_speed" | "tip_speed");
    let first = limits.iter().position(|limit| wheel(limit));
    let mut at = 0;
    limits.retain(|limit| {
        at += 1;
        !wheel(limit) || first == Some(at - 1)
    });
    limits.truncate(MOST_LIMITS);
    limits
}

/// The causes of a limit that are worth showing, strongest first.
pub(super) fn shown_causes(limit: &LimitTolerance) -> impl Iterator<Item = &Cause> {
    let worth = |cause: &&Cause| cause.share_pct >= LEAST_SHARE_PCT;
    limit.causes.iter().filter(worth).take(MOST_CAUSES)
}

/// Whether a high or a low value of a number costs headroom.
pub(super) fn costly(cause: &Cause) -> &'static str {
    match cause.rank_coefficient < 0.0 {
        true => "high",
        false => "low",
    }
}

/// The path of a cause, marked where it is none of production.
pub(super) fn cause_name(cause: &Cause) -> String {
    match cause.section.as_str() {
        "production" => cause.path.clone(),
        section => format!("{} ({section})", cause.path),
    }
}

/// What is said above the causes of a limit.
pub(super) fn causes_title(limit: &LimitTolerance, units: Units) -> String {
    let name = names::limit_label(&limit.name);
    let typical = limit.headroom_median.map_or_else(String::new, |headroom| {
        let (value, unit, places) = units.limit_value(&limit.unit, headroom, true);
        let value = signed(value, places);
        let space = if unit.is_empty() { "" } else { " " };
        format!(", typically {value}{space}{unit} left")
    });
    format!(
        "{name}{typical}: {} of the spread explained",
        percent(limit.explained_pct.unwrap_or(0.0))
    )
}

fn causes_body(text: &mut Body, result: &ToleranceResult, units: Units, width: usize) {
    let limits = explained_limits(result);
    if limits.is_empty() {
        let line = "No headroom varied, or the draws are too few to rank causes.";
        return text.plain(line);
    }
    for limit in &limits {
        let title = causes_title(limit, units);
        text.plain(title);
        text.set(cause_lines(limit, width), cause_table(limit));
    }
    let line = "`high` or `low`: which side of the number costs headroom. Shares of what is \
                explained, by rank regression.";
    text.paragraph(line, Paint::Faint);
}

/// The causes of a limit as bars.
fn cause_lines(limit: &LimitTolerance, width: usize) -> String {
    let mut lines = String::new();
    for cause in shown_causes(limit) {
        let long = (cause.share_pct / 100.0 * BAR as f64).round() as usize;
        let bar = "#".repeat(long.clamp(1, BAR));
        let path = short_path(&cause_name(cause), width.saturating_sub(BAR + 17));
        let (share, side) = (fixed(cause.share_pct, 0), costly(cause));
        lines.push_str(&format!("  {share:>4} %  {bar:<BAR$} {side:<4}  {path}\n"));
    }
    lines
}

/// The same as a table.
fn cause_table(limit: &LimitTolerance) -> Body {
    let columns = [
        words("number", 0),
        number("share", 0),
        words("costly side", 0),
    ];
    let rows = shown_causes(limit).map(|cause| {
        let share = format!("{} %", fixed(cause.share_pct, 0));
        vec![cause_name(cause).into(), share.into(), costly(cause).into()]
    });
    let mut body = Body::default();
    body.table(&columns, rows.collect());
    body
}

/// A dotted path cut at its beginning where it has no room.
fn short_path(path: &str, room: usize) -> String {
    let count = path.chars().count();
    if count <= room {
        return path.to_owned();
    }
    let end: String = path.chars().skip(count + 1 - room.max(1)).collect();
    format!("…{end}")
}

fn trust(result: &ToleranceResult) -> Vec<String> {
    let mut lines = vec![
        "The intervals say how well so many draws know the share of engines. They know nothing \
         of the model's own error, and the spreads are believed as they are written."
            .to_owned(),
    ];
    lines.push(
        "Only this procedure in this ambient was run. Before a command goes up, let `ringfence \
         ceiling` look at every speed, altitude and transient."
            .to_owned(),
    );
    if result.varied.iter().all(|v| v.section == "production") {
        lines.push(
            "What is not known of the model (`uncertainty`) is left out: --with-uncertainty \
             draws it too, and the share is then no longer one of engines alone."
                .to_owned(),
        );
    } else {
        lines.push(
            "What is not known of the model is drawn as if it differed from engine to engine. In \
             truth it is the same for all: the share tells a risk, not how many engines fail."
                .to_owned(),
        );
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::{percent, short_path};

    #[test]
    fn per_cent_are_as_fine_as_they_are_worth() {
        for (pct, text) in [
            (0.0, "0 %"),
            (0.004, "below 0.01 %"),
            (0.918, "0.92 %"),
            (1.0, "1 %"),
            (2.25, "2.2 %"),
            (60.2, "60 %"),
            (99.97, "above 99 %"),
            (100.0, "100 %"),
        ] {
            assert_eq!(percent(pct), text);
        }
    }

    #[test]
    fn a_long_path_keeps_its_end() {
        assert_eq!(short_path("turbine.form.efficiency", 11), "…efficiency");
        assert_eq!(short_path("shaft", 11), "shaft");
    }
}
