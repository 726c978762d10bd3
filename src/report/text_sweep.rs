//! What a sweep comes to, as text.
use super::body::{Body, data_words};
use super::names;
use super::table::{Cell, Paint, number, paragraph, words};
use crate::judgement::{AxisSummary, CaseVerdict, SweepEntry, SweepRow, SweepSummary};

/// A sweep with no more cases than this is shown case by case.
pub const SMALL_SWEEP: usize = 24;

/// The answer of a sweep in at most `width` columns. `rows` are shown in a table;
/// leave them out where there are many.
pub fn sweep_text(summary: &SweepSummary, rows: &[SweepRow], width: usize, colour: bool) -> String {
    sweep_body(summary, rows).text(width.max(40), colour)
}

/// The answer of a sweep.
pub(crate) fn sweep_body(summary: &SweepSummary, rows: &[SweepRow]) -> Body {
    let columns: Vec<&str> = summary.axes.iter().map(|axis| axis.path.as_str()).collect();
    let mut text = Body::default();
    let varied = format!("varied: {}", columns.join(", "));
    text.head(&summary.scenario, &[data_words(&summary.data), varied]);
    text.gap();
    let (word, paint) = word(summary);
    text.verdict(word, verdict(summary), paint);
    text.heading("Where it holds");
    for axis in &summary.axes {
        text.item("-", side(axis));
    }
    if !summary.edges.is_empty() {
        edges(&mut text, summary);
    }
    if !summary.first_exceeded.is_empty() {
        text.heading("What breaks first");
        for (name, count) in &summary.first_exceeded {
            let line = format!("{}: {}", names::limit_label(name), cases(*count));
            text.item("-", line);
        }
    }
    reasons(&mut text, summary);
    if !rows.is_empty() {
        text.heading("Cases");
        small_table(&mut text, rows, summary);
    }
    text
}

/// A remark as indented lines.
pub fn lines(text: &str, width: usize) -> String {
    paragraph(text, width, Paint::Plain, false)
}

fn cases(count: u64) -> String {
    match count {
        1 => "1 case".to_owned(),
        count => format!("{count} cases"),
    }
}

fn word(summary: &SweepSummary) -> (&'static str, Paint) {
    if summary.count(CaseVerdict::Held) == summary.done() {
        ("All held", Paint::Good)
    } else {
        ("Not all held", Paint::Bad)
    }
}

fn verdict(summary: &SweepSummary) -> String {
    let (done, held) = (summary.done(), summary.count(CaseVerdict::Held));
    let mut text = if done < summary.asked {
        format!("{} of {} are finished. ", cases(done), summary.asked)
    } else {
        String::new()
    };
    if held == done {
        text.push_str(&match done {
            0 => "None yet.".to_owned(),
            1 => "The one case held every limit.".to_owned(),
            _ => format!("All {done} cases held every limit."),
        });
        return text;
    }
    text.push_str(&format!("Of {}, {held} held every limit", cases(done)));
    for (verdict, words) in [
        (CaseVerdict::Exceeded, "exceeded one"),
        (
            CaseVerdict::OutsideValidity,
            "left what the model can describe",
        ),
        (CaseVerdict::Failed, "could not be computed"),
        (CaseVerdict::Refused, "had values that are not allowed"),
    ] {
        match summary.count(verdict) {
            0 => {}
            count => text.push_str(&format!(", {count} {words}")),
        }
    }
    text.push('.');
    text
}

/// One value with its unit.
fn shown(entry: &SweepEntry, unit: &str) -> String {
    match (entry, unit) {
        (SweepEntry::Number(number), "") => number.to_string(),
        (SweepEntry::Number(number), unit) => format!("{number} {unit}"),
        (SweepEntry::Word(word), _) => word.clone(),
    }
}

/// On which side of an axis everything held.
fn side(axis: &AxisSummary) -> String {
    let path = &axis.path;
    let values: Vec<_> = axis.values.iter().filter(|value| value.cases > 0).collect();
    let show = |at: usize| shown(&values[at].entry, &axis.unit);
    let holds: Vec<bool> = values
        .iter()
        .map(|value| value.held == value.cases)
        .collect();
    if values.is_empty() {
        return format!("{path}: too many values to tell one by one; see the rows.");
    }
    if holds.iter().all(|held| *held) {
        return format!("{path}: every value held.");
    }
    if !axis.numeric {
        return words_side(axis);
    }
    let low = holds.iter().take_while(|held| **held).count();
    let high = holds.iter().rev().take_while(|held| **held).count();
    let first_bad = values.len() - high;
    match (low, high) {
        (0, 0) if holds.iter().any(|held| *held) => {
            format!("{path}: neither end held everywhere, only values between.")
        }
        (0, 0) => match best(axis) {
            Some(best) => format!("{path}: no value held everywhere; {best}."),
            None => format!("{path}: no value held at all."),
        },
        (low, 0) => format!(
            "{path}: everything held up to {}; at {} it did not.",
            show(low - 1),
            show(low)
        ),
        (0, _) => format!(
            "{path}: everything held from {} up; at {} it did not.",
            show(first_bad),
            show(first_bad - 1)
        ),
        _ => format!(
            "{path}: everything held up to {} and from {} up, but not between.",
            show(low - 1),
            show(first_bad)
        ),
    }
}

fn best(axis: &AxisSummary) -> Option<String> {
    let values = axis.values.iter().filter(|value| value.held > 0);
    let share = |held: u64, cases: u64| held as f64 / cases.max(1) as f64;
    let best = values.max_by(|a, b| share(a.held, a.cases).total_cmp(&share(b.held, b.cases)))?;
    let value = shown(&best.entry, &axis.unit);
    Some(format!("most at {value}, {} of {}", best.held, best.cases))
}

fn words_side(axis: &AxisSummary) -> String {
    let counts = axis.values.iter().map(|value| {
        let name = shown(&value.entry, &axis.unit);
        format!("{name} {} of {}", value.held, value.cases)
    });
    format!(
        "{}: held: {}.",
        axis.path,
        counts.collect::<Vec<_>>().join("; ")
    )
}

/// How far one thing may go at each value of the other.
fn edges(text: &mut Body, summary: &SweepSummary) {
    let (along, across) = match summary.axes.as_slice() {
        [first, second] if second.values.len() == summary.edges.len() && first.numeric => {
            (first, second)
        }
        [first, second] => (second, first),
        _ => return,
    };
    let title = format!("How far {} may go, at each {}", along.path, across.path);
    let columns = [
        words("at", 0),
        words("held up to", 0),
        words("not at", 1),
        words("because of", 0),
    ];
    let none = || "none".to_owned();
    let rows: Vec<Vec<Cell>> = summary
        .edges
        .iter()
        .map(|edge| {
            let held = edge.held_up_to.as_ref();
            let by = edge.by.as_deref();
            vec![
                shown(&edge.at, &across.unit).into(),
                Cell {
                    text: held.map_or_else(none, |value| shown(value, &along.unit)),
                    paint: if held.is_some() {
                        Paint::Bold
                    } else {
                        Paint::Bad
                    },
                },
                edge.not_held
                    .as_ref()
                    .map_or_else(|| "-".to_owned(), |value| shown(value, &along.unit))
                    .into(),
                by.map_or_else(|| "-".to_owned(), label).into(),
            ]
        })
        .collect();
    text.heading(title);
    text.table(&columns, rows);
}

/// A limit, or a verdict where there is no limit to blame.
fn label(key: &str) -> String {
    match CaseVerdict::from_name(key) {
        Some(verdict) => verdict_words(verdict).to_owned(),
        None => names::limit_label(key).to_owned(),
    }
}

fn verdict_words(verdict: CaseVerdict) -> &'static str {
    match verdict {
        CaseVerdict::Held => "held",
        CaseVerdict::Exceeded => "exceeded",
        CaseVerdict::OutsideValidity => "outside the model",
        CaseVerdict::Failed => "not computed",
        CaseVerdict::Refused => "not allowed",
    }
}

fn reasons(text: &mut Body, summary: &SweepSummary) {
    if summary.reasons.is_empty() {
        return;
    }
    text.heading("Cases without an answer");
    for reason in &summary.reasons {
        let line = match reason.cases {
            1 => format!("case {}: {}", reason.first, reason.text),
            count => format!(
                "{count} cases, the first is {}: {}",
                reason.first, reason.text
            ),
        };
        text.item("-", line);
    }
    if summary.other_reasons > 0 {
        let line = format!("{} with other reasons", cases(summary.other_reasons));
        text.item("-", line);
    }
}

fn small_table(text: &mut Body, rows: &[SweepRow], summary: &SweepSummary) {
    let columns = [
        number("case", 0),
        words("varied", 0),
        words("verdict", 0),
        words("first", 0),
        number("at s", 2),
    ];
    let lines: Vec<Vec<Cell>> = rows
        .iter()
        .map(|row| {
            let values: Vec<String> = row
                .values
                .iter()
                .zip(&summary.axes)
                .map(|(entry, axis)| shown(entry, &axis.unit))
                .collect();
            let first = row.first_exceeded.as_deref();
            vec![
                row.index.to_string().into(),
                values.join(", ").into(),
                Cell {
                    text: verdict_words(row.verdict).to_owned(),
                    paint: match row.verdict {
                        CaseVerdict::Held => Paint::Good,
                        _ => Paint::Bad,
                    },
                },
                first.map_or_else(|| "-".to_owned(), label).into(),
                row.first_exceeded_s
                    .map_or_else(|| "-".to_owned(), |s| format!("{s:.2}"))
                    .into(),
            ]
        })
        .collect();
    text.table(&columns, lines);
}
