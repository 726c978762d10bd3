//! Rows of the list of checks, `docs/validation/checks.csv`, and what a test reaches.
//!
//! Each check that the project claims is a row there; `docs/validation/README.md` is made
//! of them. A row with a figure is proved from inside its test:
//!
//! ```ignore
//! #[path = "common/proof.rs"]
//! mod proof;
//!
//! proof::row("vessel-choked").reached(worst_error); // once, the largest error
//!
//! let mut row = proof::row("vessel-choked");        // or along the way
//! row.see(error, &what); // fails at once, and names `what`, beyond the allowed error
//! row.done(); // the error printed in the row must be the one that was seen
//! ```
//!
//! The id stands literally in the call, in the source that holds the test: a test of the
//! documents looks for it there.
//!
//! What stands under `allowed` says how the figures are read:
//!
//! | allowed | meaning | reached |
//! | --- | --- | --- |
//! | `1e-6`, `0.5 %`, `0.3 K` | at most that | the largest: `8e-9`, `0.26 %`, `0.12 K`, `< 1e-12` |
//! | `at least 0.1 %` | that or more | the smallest |
//! | `0.3 to 1.4 s` | between the two | `0.7 s`, or `0.5 to 0.9 s` |
//! | words, such as `strict` | the test says | words; no figure is compared |
//!
//! A share is given to [`Row::see`] as it is and printed in per cent where the row has
//! `%`; everything else is in the row's unit. A printed figure may be 5 % too small
//! or three times too large. `<` is for what hangs on rounding, and so differs between
//! machines: below 1e-8 or a hundredth of what is allowed. On a mismatch the message
//! says what to write. With `RINGFENCE_WRITE=1` what was reached is written into the list
//! instead; `RINGFENCE_WRITE=1 cargo test --test docs` afterwards makes the page.
#![allow(dead_code)] // each test binary uses a part

use std::collections::BTreeMap;
use std::fmt::Debug;
use std::fs;
use std::sync::{Mutex, PoisonError};

const CHECKS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/docs/validation/checks.csv");

/// The list has one reader or writer at a time.
static LIST: Mutex<()> = Mutex::new(());

/// A row by column name.
pub type Cells = BTreeMap<String, String>;

/// All rows, in their order.
pub fn all() -> Vec<Cells> {
    let _alone = LIST.lock().unwrap_or_else(PoisonError::into_inner);
    let mut reader = csv::Reader::from_path(CHECKS).expect("docs/validation/checks.csv");
    let rows = reader.deserialize().collect::<Result<_, _>>();
    rows.expect("docs/validation/checks.csv reads")
}

/// Writes what was reached into the list.
fn write_reached(id: &str, reached: &str) {
    let _alone = LIST.lock().unwrap_or_else(PoisonError::into_inner);
    let text = fs::read_to_string(CHECKS).expect("docs/validation/checks.csv");
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().collect::<Result<_, _>>().expect("rows");
    let column = rows[0].iter().position(|head| head == "reached");
    let mut writer = csv::Writer::from_path(CHECKS).expect("it can be written");
    for row in &rows {
        let own = &row[0] == id;
        let cells = row
            .iter()
            .enumerate()
            .map(|(i, cell)| match own && column == Some(i) {
                true => reached,
                false => cell,
            });
        writer.write_record(cells).expect("it can be written");
    }
    writer.flush().expect("it can be written");
}

/// What a row allows. Shares in per cent are kept as shares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Allowed {
    /// Not more than this.
    AtMost(f64),
    /// Not less than this.
    AtLeast(f64),
    /// Between both, ends included.
    Between(f64, f64),
    /// The test decides, without a figure.
    Words,
}

/// A number and its unit, the whole text or nothing.
fn figure(text: &str) -> Option<(f64, &str)> {
    let (number, unit) = text.trim().split_once(' ').unwrap_or((text.trim(), ""));
    let number: f64 = number.parse().ok()?;
    let scale: f64 = if unit == "%" { 100.0 } else { 1.0 };
    Some((number / scale, unit))
}

/// Two numbers with `to` between them; the unit stands behind the second.
fn range(text: &str) -> Option<(f64, f64, &str)> {
    let (low, high) = text.split_once(" to ")?;
    let (high, unit) = figure(high)?;
    let (low, _) = figure(&format!("{low} {unit}"))?;
    Some((low, high, unit))
}

/// Reads what stands under `allowed`: the bound and its unit.
pub fn allowed(text: &str) -> (Allowed, &str) {
    if let Some((least, unit)) = text.strip_prefix("at least ").and_then(figure) {
        return (Allowed::AtLeast(least), unit);
    }
    if let Some((low, high, unit)) = range(text) {
        return (Allowed::Between(low, high), unit);
    }
    match figure(text) {
        Some((most, unit)) => (Allowed::AtMost(most), unit),
        None => (Allowed::Words, ""),
    }
}

/// A row of the list while its test runs.
#[derive(Debug)]
#[must_use = "a row is proved by `reached` or `done`"]
pub struct Row {
    id: String,
    cells: Cells,
    seen: Option<(f64, f64)>,
}

/// The row of an id; fails if there is none, or if its bound is no figure.
#[track_caller]
pub fn row(id: &str) -> Row {
    let cells = all()
        .into_iter()
        .find(|cells| cells["id"] == id)
        .unwrap_or_else(|| panic!("docs/validation/checks.csv has no row {id}"));
    assert!(
        allowed(&cells["allowed"]).0 != Allowed::Words,
        "row {id} allows {:?}, which is no figure",
        cells["allowed"]
    );
    Row {
        id: id.to_owned(),
        cells,
        seen: None,
    }
}

impl Row {
    /// Notes a figure; fails if the row does not allow it.
    #[track_caller]
    pub fn see(&mut self, value: f64, what: &impl Debug) {
        let (bound, _) = allowed(&self.cells["allowed"]);
        let held = match bound {
            Allowed::AtMost(most) => value <= most,
            Allowed::AtLeast(least) => value >= least,
            Allowed::Between(low, high) => (low..=high).contains(&value),
            Allowed::Words => false,
        };
        let (id, text) = (&self.id, &self.cells["allowed"]);
        assert!(held, "row {id} allows {text}: {value} in {what:?}");
        let (low, high) = self.seen.unwrap_or((value, value));
        self.seen = Some((low.min(value), high.max(value)));
    }

    /// Notes the relative distance of `got` from `expected`.
    #[track_caller]
    pub fn relative(&mut self, got: f64, expected: f64, what: &impl Debug) {
        self.see((got / expected - 1.0).abs(), &(got, expected, what));
    }

    /// Notes the distance of `got` from `expected` in the row's unit.
    #[track_caller]
    pub fn absolute(&mut self, got: f64, expected: f64, what: &impl Debug) {
        self.see((got - expected).abs(), &(got, expected, what));
    }

    /// Ends the row with a single figure.
    #[track_caller]
    pub fn reached(mut self, value: f64) {
        self.see(value, &"the whole test");
        self.done();
    }

    /// Ends the row: the list must print what was seen.
    #[track_caller]
    pub fn done(self) {
        let Some((low, high)) = self.seen else {
            panic!("row {} saw no figure", self.id);
        };
        let (bound, unit) = allowed(&self.cells["allowed"]);
        let printed = self.cells["reached"].as_str();
        if prints(printed, bound, unit, low, high) {
            return;
        }
        let reached = text(bound, unit, low, high);
        if std::env::var_os("RINGFENCE_WRITE").is_some() {
            write_reached(&self.id, &reached);
            return;
        }
        panic!(
            "row {} prints {printed:?} as reached; write {reached:?}",
            self.id
        );
    }
}

/// Largest bound that may be printed with `<`.
fn rounding_floor(most: f64) -> f64 {
    most.min(f64::max(1e-8, 1e-2 * most))
}

/// Whether the printed text tells what was seen, the least and the largest of it.
pub fn agrees(allowed_text: &str, printed: &str, low: f64, high: f64) -> bool {
    let (bound, unit) = allowed(allowed_text);
    prints(printed, bound, unit, low, high)
}

/// What a row should print.
pub fn written(allowed_text: &str, low: f64, high: f64) -> String {
    let (bound, unit) = allowed(allowed_text);
    text(bound, unit, low, high)
}

fn prints(printed: &str, bound: Allowed, unit: &str, low: f64, high: f64) -> bool {
    let near = |text: f64, seen: f64| (text - seen).abs() <= 0.05 * seen.abs() + 1e-15;
    match bound {
        Allowed::AtMost(most) => {
            if let Some(below) = printed.strip_prefix("< ") {
                return figure(below).is_some_and(|(b, own)| {
                    own == unit && high < b && b <= rounding_floor(most) * (1.0 + 1e-9)
                });
            }
            figure(printed).is_some_and(|(text, own)| {
                own == unit && high <= 1.05 * text + 1e-15 && text <= 3.0 * high + 1e-15
            })
        }
        Allowed::AtLeast(_) => {
            figure(printed).is_some_and(|(text, own)| own == unit && near(text, low))
        }
        Allowed::Between(..) => match range(printed) {
            Some((a, b, own)) => own == unit && near(a, low) && near(b, high),
            None => figure(printed)
                .is_some_and(|(text, own)| own == unit && near(text, low) && near(text, high)),
        },
        Allowed::Words => false,
    }
}

fn text(bound: Allowed, unit: &str, low: f64, high: f64) -> String {
    let scale: f64 = if unit == "%" { 100.0 } else { 1.0 };
    let behind = if unit.is_empty() {
        String::new()
    } else {
        format!(" {unit}")
    };
    match bound {
        Allowed::AtMost(most) => {
            // five times what is seen, as another machine may round otherwise
            let decade = (5.0 * high).max(1e-12).log10().ceil();
            if decade <= -8.0 && 10_f64.powf(decade) <= most * (1.0 + 1e-9) {
                return format!("< 1e{}{behind}", decade + scale.log10());
            }
            format!("{}{behind}", two_digits(scale * high))
        }
        Allowed::Between(..) if high - low > 0.04 * low.abs() => {
            let (a, b) = (two_digits(scale * low), two_digits(scale * high));
            format!("{a} to {b}{behind}")
        }
        _ => format!("{}{behind}", two_digits(scale * low)),
    }
}

/// Two digits of a figure, as a person would write it; three if the first is a 1.
fn two_digits(value: f64) -> String {
    let rounded: f64 = if format!("{value:e}")
        .trim_start_matches('-')
        .starts_with('1')
    {
        format!("{value:.2e}").parse().expect("a number")
    } else {
        format!("{value:.1e}").parse().expect("a number")
    };
    if rounded == 0.0 || (1e-3..1e5).contains(&rounded.abs()) {
        format!("{rounded}")
    } else {
        format!("{rounded:e}")
    }
}
