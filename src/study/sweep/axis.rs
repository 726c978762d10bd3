//! One thing that varies.
use std::cmp::Ordering;

use crate::judgement::SweepEntry;
use crate::quantity::{Kind, Parts, QuantityError, Unit};
use crate::scenario::{Wanted, wanted_at};

/// Digits that are kept of a value: far more than anything is known to, and few
/// enough to cut the crumbs of binary arithmetic.
const DIGITS: usize = 12;

/// One thing that varies, with its values.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// Path in the scenario.
    pub path: String,
    /// Name of its column: the path with the unit behind it.
    pub column: String,
    /// Unit of the numbers as it is written; empty where there is none.
    pub unit: String,
    values: Values,
}

#[derive(Debug, Clone, PartialEq)]
enum Values {
    /// Evenly from one end to the other; without a count only to draw from.
    Range(Range),
    /// One after the other: as written, as shown.
    List(Vec<(String, SweepEntry)>),
}

#[derive(Debug, Clone, PartialEq)]
struct Range {
    from: f64,
    to: f64,
    count: Option<u64>,
    behind: Behind,
}

/// What stands behind the numbers of a range.
#[derive(Debug, Clone, PartialEq)]
enum Behind {
    /// A unit, and the unit of the column.
    Unit(Parts, Unit),
    /// Nothing.
    Nothing,
}

/// What is wrong with an axis.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AxisProblem {
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// What was read.
    pub read: String,
    /// What is allowed.
    pub allowed: String,
    /// What to do.
    pub hint: String,
}

impl Axis {
    /// Reads `FROM..TO:COUNT` or `A,B,C` for the field at a path.
    ///
    /// A unit that stands behind the last number alone holds for all of them.
    ///
    /// # Errors
    /// A range that is none, numbers without or with a wrong unit.
    pub fn read(path: &str, text: &str) -> Result<Self, AxisProblem> {
        let written = wanted_at(path);
        let values = if text.contains("..") && written != Wanted::Other {
            range(path, text, written)?
        } else {
            list(path, text, written)?
        };
        let unit = match written {
            Wanted::Quantity(kind) => unit(kind, &values),
            _ => String::new(),
        };
        Ok(Self {
            column: format!("{path}{}", column_suffix(&unit)),
            path: path.to_owned(),
            unit,
            values,
        })
    }

    /// How many values there are; none where only the ends are known.
    pub fn count(&self) -> Option<u64> {
        match &self.values {
            Values::Range(range) => range.count,
            Values::List(list) => Some(list.len() as u64),
        }
    }

    /// The value with a number, as the scenario is given it and as it is shown.
    pub fn at(&self, number: u64) -> (String, SweepEntry) {
        match &self.values {
            Values::Range(range) => {
                let last = range.count.unwrap_or(2).saturating_sub(1).max(1) as f64;
                let up = number as f64;
                range.value((range.from * (last - up) + range.to * up) / last)
            }
            Values::List(list) => list[number as usize % list.len()].clone(),
        }
    }

    /// The value at a share of the way from one end to the other, from 0 up to but
    /// not 1; of a list each value has the same share.
    pub fn at_share(&self, share: f64) -> (String, SweepEntry) {
        match &self.values {
            Values::Range(range) => range.value(range.from + (range.to - range.from) * share),
            Values::List(list) => {
                list[((share * list.len() as f64) as usize).min(list.len() - 1)].clone()
            }
        }
    }

    /// A few values, the ends among them, to see whether any can be read.
    pub fn samples(&self) -> Vec<String> {
        match &self.values {
            Values::Range(range) => vec![range.value(range.from).0, range.value(range.to).0],
            Values::List(list) => list.iter().map(|(text, _)| text.clone()).collect(),
        }
    }

    /// Whether every value is a number.
    pub fn is_numeric(&self) -> bool {
        match &self.values {
            Values::Range(_) => true,
            Values::List(list) => list
                .iter()
                .all(|(_, shown)| matches!(shown, SweepEntry::Number(_))),
        }
    }
}

impl Range {
    fn value(&self, number: f64) -> (String, SweepEntry) {
        let scale = self.from.abs().max(self.to.abs());
        let number = without_crumbs(number, scale);
        match &self.behind {
            Behind::Nothing => (number.to_string(), SweepEntry::Number(number)),
            Behind::Unit(parts, shown) => (
                parts.with_number(number),
                shown_in(shown, parts.unit, number),
            ),
        }
    }
}

/// The unit of the column; whether a pressure is absolute or gauge is as written.
fn unit(kind: &'static Kind, values: &Values) -> String {
    let name = kind.written_unit().name();
    let reference = match values {
        Values::Range(range) => match &range.behind {
            Behind::Unit(parts, _) => parts.reference,
            Behind::Nothing => "",
        },
        Values::List(list) => list
            .iter()
            .find_map(|(text, _)| kind.taken_apart(text).ok())
            .map_or("", |parts| parts.reference),
    };
    match (name, reference) {
        // a share of one has no unit
        ("1", _) => String::new(),
        (name, "") => name.to_owned(),
        (name, reference) => format!("{name} {reference}"),
    }
}

/// A number in another unit, for its column.
fn shown_in(shown: &Unit, written: &Unit, number: f64) -> SweepEntry {
    SweepEntry::Number(if shown == written {
        number
    } else {
        let value = shown.of_si(written.to_si(number));
        without_crumbs(value, value.abs())
    })
}

/// The number to so many digits of a scale.
fn without_crumbs(number: f64, scale: f64) -> f64 {
    if scale == 0.0 || !number.is_finite() {
        return number;
    }
    let decimals = DIGITS as i32 - 1 - scale.log10().floor() as i32;
    let text = match usize::try_from(decimals) {
        Ok(decimals) => format!("{number:.decimals$}"),
        Err(_) => format!("{number:.0}"),
    };
    let rounded: f64 = text.parse().unwrap_or(number);
    // no sign on a zero
    if rounded == 0.0 { 0.0 } else { rounded }
}

/// A unit as part of a name: `kPa abs` is `_kpa_abs`, `J/(kg K)` is `_j_kg_k`,
/// `%/kPa` is `_pct_kpa`.
fn column_suffix(label: &str) -> String {
    let plain = label
        .to_lowercase()
        .replace('%', "pct")
        .replace("n m", "nm");
    let words = plain.split(|c: char| !c.is_ascii_alphanumeric());
    words
        .filter(|word| !word.is_empty())
        .map(|word| format!("_{word}"))
        .collect()
}

fn range(path: &str, text: &str, written: Wanted) -> Result<Values, AxisProblem> {
    let (ends, count) = match text.rsplit_once(':') {
        Some((ends, count)) => {
            let count: u64 = count.trim().parse().map_err(|_| no_range(path, text))?;
            (ends, Some(count))
        }
        None => (text, None),
    };
    let (from, to) = ends.split_once("..").ok_or_else(|| no_range(path, text))?;
    if count.is_some_and(|count| count < 2) || to.contains("..") {
        return Err(no_range(path, text));
    }
    let (from, to, behind) = match written {
        Wanted::Quantity(kind) => {
            let last = taken_apart(path, kind, to)?;
            let first = taken_apart(path, kind, &with_unit_of(from, &last))?;
            if first.reference != last.reference {
                return Err(AxisProblem {
                    message: format!("--vary {path}: one end is absolute and the other gauge"),
                    read: text.to_owned(),
                    allowed: "both ends abs, or both gauge".to_owned(),
                    hint: "gauge depends on the ambient, so there is no way from one to the other"
                        .to_owned(),
                });
            }
            let end = if first.unit == last.unit {
                last.number
            } else {
                first.unit.of_si(last.unit.to_si(last.number))
            };
            (first.number, end, Behind::Unit(first, *kind.written_unit()))
        }
        _ => {
            let number = |text: &str| {
                let number = text.trim().parse::<f64>().ok();
                number
                    .filter(|number| number.is_finite())
                    .ok_or_else(|| no_range(path, text))
            };
            (number(from)?, number(to)?, Behind::Nothing)
        }
    };
    Ok(Values::Range(Range {
        from,
        to,
        count,
        behind,
    }))
}

fn list(path: &str, text: &str, written: Wanted) -> Result<Values, AxisProblem> {
    let entries = entries(text);
    if entries.iter().any(|entry| entry.is_empty()) {
        return Err(AxisProblem {
            message: format!("--vary {path}: a value is missing"),
            read: if text.is_empty() { "nothing" } else { text }.to_owned(),
            allowed: "A,B,C or FROM..TO:COUNT".to_owned(),
            hint: example(path),
        });
    }
    let last = match (written, entries.last()) {
        (Wanted::Quantity(kind), Some(last)) => kind.taken_apart(last).ok().map(|p| (kind, p)),
        _ => None,
    };
    let values = entries.into_iter().map(|entry| match (&last, written) {
        (Some((kind, last)), _) => {
            let text = with_unit_of(&entry, last);
            let shown = match kind.taken_apart(&text) {
                Ok(parts) if parts.reference == last.reference => {
                    shown_in(kind.written_unit(), parts.unit, parts.number)
                }
                _ => SweepEntry::Word(text.clone()),
            };
            (text, shown)
        }
        (None, Wanted::Number) => {
            let shown = match entry.parse::<f64>() {
                Ok(number) if number.is_finite() => SweepEntry::Number(number),
                _ => SweepEntry::Word(entry.clone()),
            };
            (entry, shown)
        }
        (None, _) => (entry.clone(), SweepEntry::Word(one_line(&entry))),
    });
    Ok(Values::List(values.collect()))
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A bare number with the unit of another value behind it; anything else as it is.
fn with_unit_of(text: &str, other: &Parts) -> String {
    let text = text.trim();
    match text.parse::<f64>() {
        Ok(number) if number.is_finite() => {
            let whole = other.with_number(1.0);
            format!("{text}{}", whole.strip_prefix('1').unwrap_or(&whole))
        }
        _ => text.to_owned(),
    }
}

/// Splits at commas that are in no bracket and no quotes.
fn entries(text: &str) -> Vec<String> {
    let mut entries = vec![String::new()];
    let (mut depth, mut quote) = (0_usize, None);
    for c in text.chars() {
        match (quote, c) {
            (None, '"' | '\'') => quote = Some(c),
            (Some(open), _) if open == c => quote = None,
            (None, '[' | '{') => depth += 1,
            (None, ']' | '}') => depth = depth.saturating_sub(1),
            _ => {}
        }
        if c == ',' && depth == 0 && quote.is_none() {
            entries.push(String::new());
        } else if let Some(last) = entries.last_mut() {
            last.push(c);
        }
    }
    entries
        .iter()
        .map(|entry| entry.trim().to_owned())
        .collect()
}

fn taken_apart(path: &str, kind: &'static Kind, text: &str) -> Result<Parts, AxisProblem> {
    kind.taken_apart(text)
        .map_err(|error| unreadable(path, &error))
}

fn unreadable(path: &str, error: &QuantityError) -> AxisProblem {
    AxisProblem {
        message: format!("--vary {path}: {}", error.message()),
        read: match error.read() {
            "" => "nothing".to_owned(),
            read => read.to_owned(),
        },
        allowed: error.allowed(),
        hint: error.hint().to_owned(),
    }
}

fn no_range(path: &str, text: &str) -> AxisProblem {
    AxisProblem {
        message: format!("--vary {path}: this is neither a list nor a range"),
        read: text.to_owned(),
        allowed: "A,B,C or FROM..TO:COUNT, with a count of 2 or more".to_owned(),
        hint: example(path),
    }
}

fn example(path: &str) -> String {
    match wanted_at(path) {
        Wanted::Quantity(kind) => {
            let example = kind.examples().first().unwrap_or(&"1");
            match kind.taken_apart(example) {
                Ok(parts) => format!(
                    "such as --vary \"{path}={}..{}:5\"",
                    parts.number * 0.5,
                    parts.with_number(parts.number)
                ),
                Err(_) => format!("such as --vary \"{path}={example}\""),
            }
        }
        Wanted::Number => format!("such as --vary \"{path}=1..2:5\""),
        Wanted::Other => format!("`ringfence explain {path}` tells what belongs there"),
    }
}

/// Numbers before words, rising.
pub(super) fn order(a: &SweepEntry, b: &SweepEntry) -> Ordering {
    match (a, b) {
        (SweepEntry::Number(a), SweepEntry::Number(b)) => a.total_cmp(b),
        (SweepEntry::Number(_), SweepEntry::Word(_)) => Ordering::Less,
        (SweepEntry::Word(_), SweepEntry::Number(_)) => Ordering::Greater,
        (SweepEntry::Word(_), SweepEntry::Word(_)) => Ordering::Equal,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(path: &str, text: &str) -> Vec<String> {
        let axis = Axis::read(path, text).unwrap_or_else(|p| panic!("{text}: {p:?}"));
        let count = axis.count().unwrap_or(0);
        (0..count).map(|number| axis.at(number).0).collect()
    }

    fn numbers(path: &str, text: &str) -> Vec<f64> {
        let axis = Axis::read(path, text).unwrap_or_else(|p| panic!("{text}: {p:?}"));
        let entry = |number| match axis.at(number).1 {
            SweepEntry::Number(number) => number,
            SweepEntry::Word(word) => panic!("{word} is no number"),
        };
        (0..axis.count().unwrap_or(0)).map(entry).collect()
    }

    #[test]
    fn a_range_is_even_and_free_of_crumbs() {
        let path = "controller.command.full_load";
        let expected = ["0.1 bar abs", "0.2 bar abs", "0.3 bar abs"];
        assert_eq!(texts(path, "0.1..0.3bar abs:3"), expected);
        assert_eq!(texts(path, "0.1bar abs..0.3 bar abs:3"), expected);
        assert_eq!(numbers(path, "0.1..0.3bar abs:3"), [10.0, 20.0, 30.0]);
        // each end may have a unit of its own
        assert_eq!(
            numbers(path, "250kPa abs..3.5bar abs:3"),
            [250.0, 300.0, 350.0]
        );
        assert_eq!(
            numbers("solver.tolerance", "1e-6..3e-6:3"),
            [1e-6, 2e-6, 3e-6]
        );
        assert_eq!(
            numbers("ambient.temperature_offset", "5..-5K:3"),
            [5.0, 0.0, -5.0]
        );
    }

    #[test]
    fn a_column_has_the_unit_in_its_name() {
        for (path, text, column) in [
            ("ambient.altitude", "0..3000m:13", "ambient.altitude_m"),
            (
                "controller.command.full_load",
                "2,3bar gauge",
                "controller.command.full_load_kpa_gauge",
            ),
            ("engine.cylinders", "4,6", "engine.cylinders"),
            (
                "sensors.boost.place",
                "manifold,cooler_outlet",
                "sensors.boost.place",
            ),
            (
                "controller.feedback.proportional",
                "0.1..0.3%/kPa:3",
                "controller.feedback.proportional_pct_kpa",
            ),
            (
                "procedure.0.pull.to",
                "2600..2700rpm:2",
                "procedure.0.pull.to_rpm",
            ),
        ] {
            let axis = Axis::read(path, text).unwrap_or_else(|p| panic!("{text}: {p:?}"));
            assert_eq!(axis.column, column);
        }
    }

    #[test]
    fn a_list_keeps_brackets_together_and_shares_the_last_unit() {
        assert_eq!(
            texts("ambient.altitude", "0, 10,25.5 ft"),
            ["0 ft", "10 ft", "25.5 ft"]
        );
        assert_eq!(numbers("ambient.altitude", "0,1km"), [0.0, 1000.0]);
        let procedure = "[{hold: {engine_speed: 1 rpm, duration: 1 s}}], [{a: 'x,y'}]";
        assert_eq!(texts("procedure", procedure).len(), 2);
        assert_eq!(texts("ambient.altitude", "0,3 kPa"), ["0", "3 kPa"]);
    }

    #[test]
    fn what_is_no_axis_is_refused() {
        for (path, text) in [
            ("ambient.altitude", "0..3000kPa:13"),
            ("ambient.altitude", "0..3000:13"),
            ("ambient.altitude", "0..3000m:0"),
            ("ambient.altitude", "0..3000m:1"),
            ("ambient.altitude", "0..3000m:-3"),
            ("ambient.altitude", "0..3000m:many"),
            ("ambient.altitude", "0..1..3000m:3"),
            ("ambient.altitude", ""),
            ("ambient.altitude", "0 m,,3 m"),
            ("controller.command.full_load", "1bar abs..2bar gauge:3"),
            ("solver.tolerance", "a..b:3"),
        ] {
            let problem = Axis::read(path, text).err();
            let problem = problem.unwrap_or_else(|| panic!("{text} was taken"));
            assert!(problem.message.contains(path), "{problem:?}");
            assert!(!problem.read.is_empty() && !problem.hint.is_empty());
        }
    }
}
