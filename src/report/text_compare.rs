//! Several scenarios side by side as text: what differs most, the figures, how to
//! read them.
use super::body::Body;
use super::names;
use super::table::{Cell, Column, Paint, number, words};
use super::text_compare_words::{differences, outcome};
use super::units::{Units, fixed, signed};
use crate::judgement::{
    Compared, Comparison, Difference, DifferenceKind, HEADROOM_CLOSE_PCT, LimitResult, Matters,
    PEAKS, RunResult, Verdict, limit, limit_names,
};

/// So many scenarios have value and difference on one line; more have them on two.
const ON_ONE_LINE: usize = 3;
/// Least room for a figure or a verdict.
const NARROWEST: usize = 7;
/// A page is as wide as its tables ask for: it has a box in which they move.
const PAGE: usize = 1000;
/// Gap between columns.
const GAP: usize = 2;

/// The letter that stands for a scenario: A, B … Z, AA, AB …
pub fn letter(index: usize) -> String {
    let last = char::from(b'A' + (index % 26) as u8);
    match index / 26 {
        0 => last.to_string(),
        more => format!("{}{last}", letter(more - 1)),
    }
}

/// The name of a scenario's file without its folder and ending.
pub fn short_name(file: &str) -> &str {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    name.strip_suffix(".yaml")
        .or(name.strip_suffix(".yml"))
        .unwrap_or(name)
}

/// A comparison in at most `width` columns.
pub fn compare_text(c: &Comparison, units: Units, width: usize, colour: bool) -> String {
    let width = width.max(60);
    compare_set(c, units, width).text(width, colour)
}

/// A comparison as a page shows it.
pub(crate) fn compare_body(c: &Comparison, units: Units) -> Body {
    compare_set(c, units, PAGE)
}

/// A comparison whose tables are no wider than `width`.
fn compare_set(c: &Comparison, units: Units, width: usize) -> Body {
    let mut text = Body::default();
    for (index, scenario) in c.scenarios.iter().enumerate() {
        text.item(&letter(index), title(scenario));
    }
    text.gap();
    for (index, scenario) in c.scenarios.iter().enumerate() {
        let (sentence, paint) = outcome(&letter(index), scenario, units);
        let (word, _) = verdict_word(scenario.result.as_ref());
        text.verdict(&word, sentence, paint);
    }
    let Some(base) = c.base else {
        return text;
    };
    for note in procedure_notes(c, base) {
        text.plain(note);
    }
    let others: Vec<usize> = (0..c.scenarios.len())
        .filter(|&index| index != base && c.scenarios[index].result.is_some())
        .collect();
    if !others.is_empty() {
        text.heading("What differs most");
        for &other in &others {
            for sentence in differences(c, base, other, units, others.len()) {
                text.item("-", sentence);
            }
        }
    }
    let shown: Vec<usize> = (0..c.scenarios.len()).filter(|&i| i != base).collect();
    text.heading("Highest values");
    blocks(&mut text, c, base, &shown, &peak_rows(c, units), width);
    text.heading("Headroom, each from its own limit");
    blocks(
        &mut text,
        c,
        base,
        &shown,
        &limit_rows(c, base, units),
        width,
    );
    text.gap();
    for note in reading_notes(c, base, units) {
        text.paragraph(note, Paint::Faint);
    }
    text
}

fn title(scenario: &Compared) -> String {
    match &scenario.result {
        Some(result) if result.data.is_empty() => {
            format!("{} · {}", scenario.file, result.scenario)
        }
        Some(result) => format!(
            "{} · {} · {} data",
            scenario.file, result.scenario, result.data
        ),
        None => scenario.file.clone(),
    }
}

/// What was driven, and who has a procedure of its own.
fn procedure_notes(c: &Comparison, base: usize) -> Vec<String> {
    let others: Vec<usize> = (0..c.scenarios.len())
        .filter(|&index| c.scenarios[index].procedure_differs)
        .collect();
    let list: Vec<String> = others
        .iter()
        .map(|&index| {
            let own = c.scenarios[index].own_procedure.as_deref();
            format!("{} ({})", letter(index), own.unwrap_or("?"))
        })
        .collect();
    match &c.procedure {
        Some(procedure) => {
            let mut notes = vec![format!(
                "All were driven through the procedure of {}: {procedure}.",
                letter(base)
            )];
            if !list.is_empty() {
                notes.push(format!(
                    "Not driven, because it is another: the own procedure of {}. \
                     --own-procedure keeps each one's.",
                    list.join(", ")
                ));
            }
            notes
        }
        None if list.is_empty() => {
            vec!["Each was driven through its own procedure, and they are the same.".to_owned()]
        }
        None => vec![format!(
            "Each was driven through its own procedure; another than that of {} have {}. \
             Times of different procedures are not compared.",
            letter(base),
            list.join(", ")
        )],
    }
}

/// One row: a quantity, its values, and the differences of the others.
struct Row {
    label: String,
    unit: String,
    /// One for each scenario.
    values: Vec<(String, Paint)>,
    differences: Vec<String>,
}

/// A value as shown, its unit and its decimals.
pub(super) fn shown(
    units: Units,
    unit: &str,
    value: f64,
    difference: bool,
) -> (f64, String, usize) {
    match unit {
        "kW" => (units.power(value), units.power_unit().to_owned(), 1),
        "N m" => (units.torque(value), units.torque_unit().to_owned(), 0),
        "kPa abs" => units.limit_value("kPa", value, difference),
        _ => units.limit_value(unit, value, difference),
    }
}

fn value_text(units: Units, unit: &str, value: Option<f64>, sign: bool) -> String {
    let Some(value) = value else {
        return "-".to_owned();
    };
    let (value, _, decimals) = shown(units, unit, value, sign);
    if sign {
        signed(value, decimals)
    } else {
        fixed(value, decimals)
    }
}

fn difference_text(units: Units, difference: Option<&Difference>) -> String {
    let Some(d) = difference else {
        return String::new();
    };
    let number = d.difference.map_or_else(String::new, |_| {
        value_text(units, &d.unit, d.difference, true)
    });
    // figures stand under each other with a mark and without
    let mark = match d.matters {
        Some(Matters::LimitCrossed | Matters::BoostMissed) => '!',
        Some(Matters::HeadroomUsed) => '*',
        None => ' ',
    };
    format!("{number}{mark}")
}

fn verdict_word(result: Option<&RunResult>) -> (String, Paint) {
    let (word, paint) = match result.map(|r| r.verdict) {
        Some(Verdict::Held | Verdict::HeldInsideBand) => ("held", Paint::Good),
        Some(Verdict::Exceeded) => ("exceeds", Paint::Bad),
        Some(Verdict::OutsideValidity) => ("outside", Paint::Bad),
        None => ("no run", Paint::Bad),
    };
    (word.to_owned(), paint)
}

fn peak_rows(c: &Comparison, units: Units) -> Vec<Row> {
    let results: Vec<Option<&RunResult>> = c.scenarios.iter().map(|s| s.result.as_ref()).collect();
    let mut rows = vec![Row {
        label: "verdict".to_owned(),
        unit: String::new(),
        values: results.iter().map(|result| verdict_word(*result)).collect(),
        differences: vec![String::new(); results.len()],
    }];
    rows.extend(PEAKS.iter().map(|&(name, unit, peak)| {
        let value = |run: &Option<&RunResult>| {
            let value = run.map(|run| peak(&run.peaks));
            (value_text(units, unit, value, false), Paint::Plain)
        };
        row(
            c,
            DifferenceKind::Peak,
            name,
            units,
            unit,
            results.iter().map(value).collect(),
        )
    }));
    if c.boost_target_kpa_abs.is_some() {
        let value = |s: &Compared| {
            (
                value_text(units, "s", s.time_to_boost_s, false),
                Paint::Plain,
            )
        };
        let values = c.scenarios.iter().map(value).collect();
        rows.push(row(
            c,
            DifferenceKind::Time,
            "time_to_boost",
            units,
            "s",
            values,
        ));
    }
    rows
}

fn limit_rows(c: &Comparison, base: usize, units: Units) -> Vec<Row> {
    let runs = || c.scenarios.iter().filter_map(|s| s.result.as_ref());
    // the limits of the base come first
    let ordered = c.scenarios[base].result.iter().chain(runs());
    limit_names(ordered)
        .iter()
        .map(|name| {
            let of = |s: &Compared| s.result.as_ref().and_then(|run| limit(run, name)).cloned();
            let limits: Vec<Option<LimitResult>> = c.scenarios.iter().map(of).collect();
            let unit = limits
                .iter()
                .flatten()
                .next()
                .map_or("", |l| l.unit.as_str());
            let values = limits
                .iter()
                .map(|limit| {
                    let headroom = limit.as_ref().and_then(|l| l.headroom);
                    let held = limit.as_ref().is_none_or(|l| l.held);
                    let paint = if held { Paint::Plain } else { Paint::Bad };
                    (value_text(units, unit, headroom, true), paint)
                })
                .collect();
            row(c, DifferenceKind::Headroom, name, units, unit, values)
        })
        .collect()
}

fn row(
    c: &Comparison,
    kind: DifferenceKind,
    name: &str,
    units: Units,
    unit: &str,
    values: Vec<(String, Paint)>,
) -> Row {
    Row {
        label: label(name).to_owned(),
        unit: shown(units, unit, 0.0, kind == DifferenceKind::Headroom).1,
        values,
        differences: (0..c.scenarios.len())
            .map(|index| difference_text(units, c.difference(index, kind, name)))
            .collect(),
    }
}

/// What a compared quantity is called.
pub(super) fn label(name: &str) -> &str {
    match name {
        "boost" => "true boost",
        "vane_closed" => "vanes closed",
        "time_to_boost" => "time to boost",
        other => names::limit_label(other),
    }
}

/// Width of the columns that name quantity and unit, with the gaps around them.
fn labels(rows: &[Row]) -> usize {
    let longest = |text: fn(&Row) -> &str| {
        let lengths = rows.iter().map(|row| text(row).chars().count());
        lengths.max().unwrap_or(0)
    };
    GAP + longest(|row| row.label.as_str()) + GAP + longest(|row| row.unit.as_str())
}

/// The rows in as many tables as the width asks for, the base ahead in each.
fn blocks(
    text: &mut Body,
    c: &Comparison,
    base: usize,
    others: &[usize],
    rows: &[Row],
    width: usize,
) {
    let per_block = ((width - labels(rows)) / (GAP + NARROWEST)).max(2) - 1;
    for (index, block) in others.chunks(per_block).enumerate() {
        if index > 0 {
            text.gap();
        }
        let mut columns = vec![base];
        columns.extend(block);
        one_block(text, c, &columns, rows, width);
    }
}

/// One table; the first of `indices` is the base.
fn one_block(text: &mut Body, c: &Comparison, indices: &[usize], rows: &[Row], width: usize) {
    let one_line = indices.len() <= ON_ONE_LINE || width >= PAGE;
    let others = indices.len() - 1;
    // a difference of seven figures and its mark
    let differences = if one_line { others * (GAP + 8) } else { 0 };
    let room = (width - labels(rows) - differences) / indices.len() - GAP;
    let headings: Vec<String> = indices
        .iter()
        .map(|&index| column_name(&letter(index), &c.scenarios[index].file, room))
        .collect();
    let mut columns: Vec<Column> = vec![words("", 0), words("", 0)];
    for (place, heading) in headings.iter().enumerate() {
        columns.push(number(heading, 0));
        if one_line && place > 0 {
            columns.push(number(if width >= PAGE { "against" } else { "" }, 0));
        }
    }
    let mut lines: Vec<Vec<Cell>> = Vec::new();
    for row in rows {
        let mut line: Vec<Cell> = vec![row.label.as_str().into(), row.unit.as_str().into()];
        let mut below: Vec<Cell> = vec!["".into(), "".into()];
        for (place, &index) in indices.iter().enumerate() {
            let (value, paint) = row.values[index].clone();
            let difference: Cell = row.differences[index].as_str().into();
            // marks hang over the right edge of the figures
            let text = if one_line { value } else { value + " " };
            line.push(Cell { text, paint });
            if place > 0 && one_line {
                line.push(difference);
            } else {
                below.push(difference);
            }
        }
        lines.push(line);
        if !one_line && below.iter().any(|cell| !cell.text.trim().is_empty()) {
            lines.push(below);
        }
    }
    text.table(&columns, lines);
}

/// A letter and as much of the file's name as there is room for.
fn column_name(letter: &str, file: &str, room: usize) -> String {
    let full = format!("{letter} {}", short_name(file));
    if full.chars().count() <= room {
        return full;
    }
    let kept: String = full.chars().take(room.saturating_sub(1)).collect();
    match kept.trim_end() {
        // nothing of the name is left
        short if short.chars().count() < letter.len() + 3 => letter.to_owned(),
        short => format!("{short}…"),
    }
}

/// How the figures are to be read.
fn reading_notes(c: &Comparison, base: usize, units: Units) -> Vec<String> {
    let first = letter(base);
    let mut notes = vec![format!(
        "Signed figures beside or below a value are its difference from {first}. \
         ! a limit that one of the two holds and the other does not, or boost that only one \
         reaches; * more than half of {first}'s headroom used up, with less than {} % of \
         the limit left. Pressures are absolute.",
        fixed(HEADROOM_CLOSE_PCT, 0)
    )];
    if let Some(kpa) = c.boost_target_kpa_abs {
        notes.push(format!(
            "Time to boost: from the start of full load until true boost is first at {} abs, \
             nine tenths of the way from ambient to the lowest of their highest commands.",
            units.pressure_text(kpa)
        ));
    }
    let unlike = unlike_limits(c, base, units);
    if !unlike.is_empty() {
        notes.push(format!(
            "Each is judged by its own limits. These differ from {first}'s: {}.",
            unlike.join("; ")
        ));
    }
    notes.push("Estimates, not measurements; a wheel can burst. See the cautions.".to_owned());
    notes
}

/// Limits that are not those of the base, with both values.
fn unlike_limits(c: &Comparison, base: usize, units: Units) -> Vec<String> {
    let Some(first) = &c.scenarios[base].result else {
        return Vec::new();
    };
    let text = |limit: Option<&LimitResult>| {
        limit.map_or_else(
            || "none".to_owned(),
            |l| units.limit_text(&l.unit, l.limit, false),
        )
    };
    let runs = c.scenarios.iter().filter_map(|s| s.result.as_ref());
    limit_names(runs)
        .iter()
        .filter_map(|name| {
            let own = limit(first, name);
            let unlike: Vec<String> = c
                .scenarios
                .iter()
                .enumerate()
                .filter_map(|(index, s)| Some((index, limit(s.result.as_ref()?, name))))
                .filter(|(_, other)| other.map(|l| l.limit) != own.map(|l| l.limit))
                .map(|(index, other)| format!("{} {}", letter(index), text(other)))
                .collect();
            let label = names::limit_label(name);
            let first = letter(base);
            (!unlike.is_empty())
                .then(|| format!("{label} {first} {}, {}", text(own), unlike.join(", ")))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z_and_names_are_cut() {
        assert_eq!([0, 25, 26, 52].map(letter), ["A", "Z", "AA", "BA"]);
        assert_eq!(short_name("a/b/tender.yaml"), "tender");
        assert_eq!(
            column_name("B", "x/factory-size.yaml", 20),
            "B factory-size"
        );
        assert_eq!(column_name("B", "x/factory-size.yaml", 9), "B factor…");
        assert_eq!(column_name("B", "x/factory-size.yaml", 3), "B");
    }
}
