//! What the rows of a sweep come to, counted as they pass by.
use super::axis::order;
use super::plan::Plan;
use crate::judgement::{
    AxisSummary, CaseVerdict, Edge, Reason, SweepEntry, SweepRow, SweepSummary, Titles,
    ValueSummary,
};

/// An axis with more values than this is not told value by value.
const MOST_VALUES: u64 = 1000;
/// So many different reasons are kept.
const MOST_REASONS: usize = 5;
/// So many values of one thing for which the edge of the other is told.
const MOST_EDGES: u64 = 24;

/// Counts rows; its size does not depend on how many there are.
#[derive(Debug, Clone)]
pub struct Tally<'a> {
    plan: &'a Plan,
    summary: SweepSummary,
    edges: Option<Edges>,
}

/// Where the values of one axis stop to hold, for each value of the other.
#[derive(Debug, Clone)]
struct Edges {
    along: usize,
    across: usize,
    /// The lowest place along that did not hold, counted from the low end, and why.
    not_held: Vec<Option<(u64, Option<String>)>>,
}

impl<'a> Tally<'a> {
    /// Nothing counted yet.
    pub fn new(plan: &'a Plan, titles: &Titles) -> Self {
        let axes = plan.axes.iter().map(|axis| AxisSummary {
            path: axis.path.clone(),
            column: axis.column.clone(),
            unit: axis.unit.clone(),
            numeric: axis.is_numeric(),
            values: match axis.count() {
                Some(count) if count <= MOST_VALUES && plan.place(0).is_some() => (0..count)
                    .map(|number| ValueSummary {
                        entry: axis.at(number).1,
                        cases: 0,
                        held: 0,
                    })
                    .collect(),
                _ => Vec::new(),
            },
        });
        let cases = plan.cases();
        Self {
            summary: SweepSummary {
                scenario: titles.scenario.clone(),
                data: titles.data.clone(),
                asked: cases.end - cases.start,
                axes: axes.collect(),
                ..SweepSummary::default()
            },
            edges: edges(plan),
            plan,
        }
    }

    /// Counts a row.
    pub fn count(&mut self, row: &SweepRow) {
        let held = row.verdict == CaseVerdict::Held;
        self.summary.counts[row.verdict as usize] += 1;
        if let Some(name) = &row.first_exceeded {
            bump(&mut self.summary.first_exceeded, name);
        }
        if let (true, Some(reason)) = (row.verdict.is_without_answer(), &row.reason) {
            self.reason(reason, row.index);
        }
        let Some(places) = self.plan.place(row.index) else {
            return;
        };
        for (axis, place) in self.summary.axes.iter_mut().zip(&places) {
            if let Some(value) = axis.values.get_mut(*place as usize) {
                value.cases += 1;
                value.held += u64::from(held);
            }
        }
        if let (false, Some(edges)) = (held, &mut self.edges) {
            let axis = &self.plan.axes[edges.along];
            let from_low = from_low_end(axis, places[edges.along]);
            let edge = &mut edges.not_held[places[edges.across] as usize];
            if edge.as_ref().is_none_or(|(lowest, _)| from_low < *lowest) {
                let word = || row.verdict.name().to_owned();
                let by = row.first_exceeded.clone().unwrap_or_else(word);
                *edge = Some((from_low, Some(by)));
            }
        }
    }

    fn reason(&mut self, text: &str, case: u64) {
        let reasons = &mut self.summary.reasons;
        // numbers differ from case to case; what is wrong does not
        let same = |a: &str, b: &str| without_digits(a) == without_digits(b);
        if let Some(known) = reasons.iter_mut().find(|known| same(&known.text, text)) {
            known.cases += 1;
        } else if reasons.len() < MOST_REASONS {
            reasons.push(Reason {
                text: text.to_owned(),
                cases: 1,
                first: case,
            });
        } else {
            self.summary.other_reasons += 1;
        }
    }

    /// What was counted.
    pub fn summary(&self) -> SweepSummary {
        let mut summary = self.summary.clone();
        // in order of name first, so that equal counts come out alike
        summary.first_exceeded.sort();
        summary
            .first_exceeded
            .sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        for axis in summary.axes.iter_mut().filter(|axis| axis.numeric) {
            axis.values.sort_by(|a, b| order(&a.entry, &b.entry));
        }
        if let Some(edges) = &self.edges
            && summary.done() == self.plan.total()
        {
            summary.edges = told(self.plan, edges);
        }
        summary
    }
}

fn bump(counts: &mut Vec<(String, u64)>, name: &str) {
    match counts.iter_mut().find(|(known, _)| known == name) {
        Some((_, count)) => *count += 1,
        None => counts.push((name.to_owned(), 1)),
    }
}

fn without_digits(text: &str) -> String {
    text.chars()
        .filter(|c| !(c.is_ascii_digit() || matches!(c, '.' | '-')))
        .collect()
}

/// The first of two axes is followed along the second, where that is a grid with few
/// enough values and what is followed has an order.
fn edges(plan: &Plan) -> Option<Edges> {
    let [first, second] = plan.axes.as_slice() else {
        return None;
    };
    plan.place(0)?;
    let count = |axis: &super::Axis| axis.count().unwrap_or(0);
    let fits = |along: &super::Axis, across| is_ordered(along) && count(across) <= MOST_EDGES;
    let (along, across) = if fits(first, second) {
        (0, 1)
    } else if fits(second, first) {
        (1, 0)
    } else {
        return None;
    };
    Some(Edges {
        along,
        across,
        not_held: vec![None; count(&plan.axes[across]) as usize],
    })
}

/// Whether the values only rise or only fall.
fn is_ordered(axis: &super::Axis) -> bool {
    let count = axis.count().unwrap_or(0);
    if !axis.is_numeric() || !(2..=MOST_VALUES).contains(&count) {
        return false;
    }
    let values: Vec<SweepEntry> = (0..count).map(|number| axis.at(number).1).collect();
    values.is_sorted_by(|a, b| order(a, b).is_lt())
        || values.is_sorted_by(|a, b| order(a, b).is_gt())
}

/// A place counted from the low end, or back again.
fn from_low_end(axis: &super::Axis, place: u64) -> u64 {
    let last = axis.count().unwrap_or(1) - 1;
    if order(&axis.at(0).1, &axis.at(last).1).is_lt() {
        place
    } else {
        last - place
    }
}

fn told(plan: &Plan, edges: &Edges) -> Vec<Edge> {
    let (along, across) = (&plan.axes[edges.along], &plan.axes[edges.across]);
    let entry = |from_low: u64| along.at(from_low_end(along, from_low)).1;
    let last = along.count().unwrap_or(1) - 1;
    (0..)
        .zip(&edges.not_held)
        .map(|(number, not_held)| Edge {
            at: across.at(number).1,
            held_up_to: match not_held {
                None => Some(entry(last)),
                Some((lowest, _)) => lowest.checked_sub(1).map(entry),
            },
            not_held: not_held.as_ref().map(|(lowest, _)| entry(*lowest)),
            by: not_held.as_ref().and_then(|(_, by)| by.clone()),
        })
        .collect()
}
