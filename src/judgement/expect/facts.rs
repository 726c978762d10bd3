//! The answer to one check, as data.
use super::stored::{Figures, figures};
use super::{Asked, Bounds, Check, Reserve, Seen, Stored, When};
use crate::judgement::limit::LimitKind;
use crate::judgement::result::Verdict;
use serde::Serialize;

/// The word for a stored course that was met.
const FOLLOWED: &str = "followed";

/// A number, a word or words, as JSON has it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Figure {
    /// A number in the unit beside it.
    Number(f64),
    /// A word.
    Word(String),
    /// Several, in order.
    Words(Vec<String>),
}

/// One check with what came of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckResult {
    /// Name of the check.
    pub name: String,
    /// Its kind, a key of `expect.checks`.
    pub kind: &'static str,
    /// What was looked at, in words.
    pub what: String,
    /// The bound that decided; null where any value would do.
    pub expected: Option<Figure>,
    /// What came instead, or as expected; null where nothing was to be seen.
    pub got: Option<Figure>,
    /// Lowest value that is allowed; null where there is no such bound.
    pub at_least: Option<f64>,
    /// Highest value that is allowed; null where there is no such bound.
    pub at_most: Option<f64>,
    /// What may lie between them: the band of `settles`, the reserve of `limit`; null
    /// for a plain bound.
    pub tolerance: Option<f64>,
    /// Unit of that; null where there is none.
    pub tolerance_unit: Option<&'static str>,
    /// Unit of the numbers; null for words.
    pub unit: Option<&'static str>,
    /// `abs` or `gauge` where the numbers are pressures; null for all else.
    pub reference: Option<&'static str>,
    /// When it was got \[s\].
    pub time_s: Option<f64>,
    /// Whether it came as expected.
    pub held: bool,
    /// Whether it is listed under `must_fail`.
    pub must_fail: bool,
    /// The check itself.
    #[serde(skip)]
    pub asked: Asked,
    /// What was seen.
    #[serde(skip)]
    pub seen: Seen,
}

impl CheckResult {
    /// The answer to a check.
    pub fn new(check: &Check, seen: Seen, held: bool) -> Self {
        let asked = check.asked.clone();
        let (unit, reference) = unit(&asked);
        let (at_least, at_most) = sides(&asked, &seen);
        let tolerance = tolerance(&asked, &seen);
        Self {
            name: check.name.clone(),
            kind: asked.kind(),
            what: what(&asked),
            expected: expected(&asked, &seen),
            got: got(&asked, &seen),
            at_least,
            at_most,
            tolerance: tolerance.map(|(number, _)| number),
            tolerance_unit: tolerance.map(|(_, unit)| unit),
            unit,
            reference,
            time_s: time_s(&seen),
            held,
            must_fail: check.must_fail,
            asked,
            seen,
        }
    }
}

fn what(asked: &Asked) -> String {
    let window = asked.window().map_or_else(String::new, |window| {
        let from = window.from.map(|when| format!(" from {}", moment(when)));
        let until = window.until.map(|when| format!(" until {}", moment(when)));
        from.into_iter().chain(until).collect()
    });
    let name = |of: super::Channel| of.name();
    match asked {
        Asked::Verdict(_) => "verdict of the run".to_owned(),
        Asked::Peak { of, .. } => format!("highest {}{window}", name(*of)),
        Asked::Value { of, at, .. } => format!("{} at {}", name(*of), moment(*at)),
        Asked::Never { of, bounds, .. } => {
            let side = match (bounds.at_least, bounds.at_most) {
                (Some(_), None) => "lowest",
                (None, _) => "highest",
                _ => "furthest",
            };
            format!("{side} {}{window}", name(*of))
        }
        Asked::Settles { of, .. } => format!("time until {} settles{window}", name(*of)),
        Asked::Overshoot { of, .. } => format!("overshoot of {}{window}", name(*of)),
        Asked::Undershoot { of, .. } => format!("undershoot of {}{window}", name(*of)),
        Asked::Limit { kind, .. } => format!("limit {}", kind.name()),
        Asked::Acts { protection, of, .. } => match of {
            Some(of) => format!("time from {} until {protection} acts", moment(*of)),
            None => format!("time until {protection} acts"),
        },
        Asked::Silent { protection, .. } => format!("first action of {protection}{window}"),
        Asked::Order(_) => "order of events".to_owned(),
        Asked::Baseline(Stored::Whole) => "course of the run".to_owned(),
        Asked::Baseline(Stored::Course(of)) => format!("course of {}", name(*of)),
        Asked::Baseline(Stored::End) => "end of the run".to_owned(),
    }
}

/// A moment as a scenario writes it.
fn moment(when: When) -> String {
    match when {
        When::Time(time_s) => format!("{time_s} s"),
        When::Event(kind) => kind.name(),
    }
}

fn expected(asked: &Asked, seen: &Seen) -> Option<Figure> {
    Some(match asked {
        Asked::Verdict(verdict) => Figure::Word(verdict_word(*verdict).to_owned()),
        Asked::Peak { bounds, .. } | Asked::Value { bounds, .. } | Asked::Never { bounds, .. } => {
            let value = match seen {
                Seen::Value { value, .. } => Some(*value),
                _ => None,
            };
            Figure::Number(bounds.nearest_to(value)?)
        }
        Asked::Settles { in_s, .. } => Figure::Number(*in_s),
        Asked::Overshoot { at_most, .. } | Asked::Undershoot { at_most, .. } => {
            Figure::Number(*at_most)
        }
        Asked::Limit { .. } => match seen {
            Seen::Worst { limit, .. } => Figure::Number(*limit),
            _ => return None,
        },
        Asked::Acts { within_s, .. } => Figure::Number((*within_s)?),
        Asked::Silent { .. } => Figure::Word("silent".to_owned()),
        Asked::Order(events) => Figure::Words(events.iter().map(|event| event.name()).collect()),
        Asked::Baseline(_) => match seen {
            Seen::Differs(difference) => Figure::Number(figures(difference).0?),
            _ => Figure::Word(FOLLOWED.to_owned()),
        },
    })
}

/// The bounds as numbers, lower and upper.
fn sides(asked: &Asked, seen: &Seen) -> (Option<f64>, Option<f64>) {
    match *asked {
        Asked::Peak { bounds, .. } | Asked::Value { bounds, .. } | Asked::Never { bounds, .. } => {
            (bounds.at_least, bounds.at_most)
        }
        Asked::Settles { in_s, .. } => (None, Some(in_s)),
        Asked::Overshoot { at_most, .. } | Asked::Undershoot { at_most, .. } => {
            (None, Some(at_most))
        }
        Asked::Limit { kind, .. } => match *seen {
            Seen::Worst { limit, .. } if kind.is_lower() => (Some(limit), None),
            Seen::Worst { limit, .. } => (None, Some(limit)),
            _ => (None, None),
        },
        Asked::Acts { within_s, .. } => (None, within_s),
        Asked::Baseline(_) => match seen {
            Seen::Differs(difference) => around(figures(difference)),
            _ => (None, None),
        },
        Asked::Verdict(_) | Asked::Silent { .. } | Asked::Order(_) => (None, None),
    }
}

/// What is allowed around a stored value.
fn around((stored, _, allowed): Figures) -> (Option<f64>, Option<f64>) {
    match (stored, allowed) {
        (Some(stored), Some(allowed)) => (Some(stored - allowed), Some(stored + allowed)),
        _ => (None, None),
    }
}

fn got(asked: &Asked, seen: &Seen) -> Option<Figure> {
    let number = |value: f64| value.is_finite().then_some(Figure::Number(value));
    match seen {
        Seen::CutShort { .. }
        | Seen::NoEvent(_)
        | Seen::NoProtectionFor(_)
        | Seen::NoWindow { .. }
        | Seen::NoValue
        | Seen::NotThere
        | Seen::NeverApplied
        | Seen::NeverSettled { .. } => None,
        Seen::Value { value, .. } | Seen::Worst { value, .. } => number(*value),
        Seen::Settled { took_s, .. } => number(*took_s),
        Seen::Acted { from_s, time_s } => match asked {
            Asked::Silent { .. } => Some(Figure::Word("acts".to_owned())),
            _ => number(time_s - from_s),
        },
        Seen::NeverActed { .. } => match asked {
            Asked::Silent { .. } => Some(Figure::Word("silent".to_owned())),
            _ => None,
        },
        Seen::InOrder | Seen::Follows { .. } => expected(asked, seen),
        Seen::Differs(difference) => number(figures(difference).1?),
        Seen::OutOfOrder { first, then } => {
            Some(Figure::Words(vec![then.0.name(), first.0.name()]))
        }
        Seen::Ended { verdict, .. } => Some(Figure::Word(verdict_word(*verdict).to_owned())),
    }
}

/// What may lie between, with its unit: that of `settles` is not the one of its time,
/// and a reserve may be a share.
fn tolerance(asked: &Asked, seen: &Seen) -> Option<(f64, &'static str)> {
    if let Seen::Differs(difference) = seen {
        let unit = difference.channel().map_or("s", |of| of.unit());
        return Some((figures(difference).2?, unit));
    }
    match *asked {
        Asked::Settles { of, within, .. } => Some((within, of.unit())),
        Asked::Limit { kind, reserve, .. } => Some(match reserve? {
            Reserve::Share(share) => (share, "%"),
            Reserve::Amount(amount) => (amount, kind.unit()),
        }),
        _ => None,
    }
}

fn unit(asked: &Asked) -> (Option<&'static str>, Option<&'static str>) {
    let reference = |of: super::Channel, gauge: bool| {
        let pressure = of.unit() == "kPa";
        pressure.then_some(if gauge { "gauge" } else { "abs" })
    };
    match asked {
        Asked::Peak { of, bounds, .. }
        | Asked::Value { of, bounds, .. }
        | Asked::Never { of, bounds, .. } => (Some(of.unit()), reference(*of, bounds.gauge)),
        Asked::Overshoot { of, .. } | Asked::Undershoot { of, .. } => (Some(of.unit()), None),
        Asked::Limit { kind, .. } => (Some(kind.unit()), reference_of(*kind)),
        Asked::Settles { .. } | Asked::Acts { .. } => (Some("s"), None),
        Asked::Baseline(Stored::Course(of)) => (Some(of.unit()), reference(*of, false)),
        Asked::Baseline(Stored::End) => (Some("s"), None),
        Asked::Verdict(_)
        | Asked::Silent { .. }
        | Asked::Order(_)
        | Asked::Baseline(Stored::Whole) => (None, None),
    }
}

fn reference_of(kind: LimitKind) -> Option<&'static str> {
    (kind.unit() == "kPa").then_some("abs")
}

fn time_s(seen: &Seen) -> Option<f64> {
    match *seen {
        Seen::Value {
            time_s,
            first_outside_s,
            ..
        } => Some(first_outside_s.unwrap_or(time_s)),
        Seen::Settled { from_s, took_s } => Some(from_s + took_s),
        Seen::NeverSettled { time_s, .. }
        | Seen::Worst { time_s, .. }
        | Seen::Acted { time_s, .. } => Some(time_s),
        Seen::OutOfOrder { then, .. } => Some(then.1),
        Seen::CutShort { ended_s } => Some(ended_s),
        Seen::Differs(difference) => Some(difference.first_s()),
        _ => None,
    }
}

/// A verdict as scenarios and results write it.
pub fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Held => "held",
        Verdict::HeldInsideBand => "held_inside_band",
        Verdict::Exceeded => "exceeded",
        Verdict::OutsideValidity => "outside_validity",
    }
}

impl Bounds {
    /// The bound that a value passed, or else the one that it lies nearest to.
    pub fn nearest_to(&self, value: Option<f64>) -> Option<f64> {
        match (self.at_least, self.at_most, value) {
            (Some(low), Some(high), Some(value)) => Some(if value - low < high - value {
                low
            } else {
                high
            }),
            (low, high, _) => high.or(low),
        }
    }
}
