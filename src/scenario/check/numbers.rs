//! Checks that many fields share: ranges, axes, table shapes.

use super::Checker;
use crate::quantity::{Fraction, Pressure, Quantity, RotationalSpeed};
use crate::scenario::document::Fault;
use crate::scenario::read::Read;
use crate::scenario::tree::Content;

/// A value that can be compared with bounds.
pub trait Measure: Read + Copy + PartialOrd + Shown {}
impl<T: Read + Copy + PartialOrd + Shown> Measure for T {}

/// A value as a message shows it.
pub trait Shown {
    /// Text with unit.
    fn shown(&self) -> String;
}

impl Shown for f64 {
    fn shown(&self) -> String {
        self.to_string()
    }
}

impl Shown for u32 {
    fn shown(&self) -> String {
        self.to_string()
    }
}

impl<Q: Quantity> Shown for Q {
    fn shown(&self) -> String {
        self.to_string()
    }
}

impl Checker<'_> {
    /// The value must lie in a range, both ends allowed.
    pub fn range<T: Measure>(&mut self, path: &str, low: &str, high: &str, hint: &str) {
        let (Some(value), Some(bounds)) = (self.get::<T>(path), bounds::<T>(low, high)) else {
            return;
        };
        if !(value >= bounds.0 && value <= bounds.1) {
            let fault = Fault::new(
                format!("`{}` is out of range", name(path)),
                format!("from {low} to {high}"),
                hint,
            );
            self.refuse(path, fault);
        }
    }

    /// The value must be above zero.
    pub fn positive<T: Measure>(&mut self, path: &str, zero: &str, hint: &str) {
        let (Some(value), Some(zero_value)) = (self.get::<T>(path), text::<T>(zero)) else {
            return;
        };
        if value <= zero_value {
            let fault = Fault::new(
                format!("`{}` must be above zero", name(path)),
                format!("above {zero}"),
                hint,
            );
            self.refuse(path, fault);
        }
    }

    /// The value must not be below zero.
    pub fn not_negative<T: Measure>(&mut self, path: &str, zero: &str, hint: &str) {
        let (Some(value), Some(zero_value)) = (self.get::<T>(path), text::<T>(zero)) else {
            return;
        };
        if value < zero_value {
            let fault = Fault::new(
                format!("`{}` must not be negative", name(path)),
                format!("{zero} or more"),
                hint,
            );
            self.refuse(path, fault);
        }
    }

    /// A share from 0 % to 100 %.
    pub fn share(&mut self, path: &str) {
        self.range::<Fraction>(
            path,
            "0 %",
            "100 %",
            "a share lies between nothing and all of it",
        );
    }

    /// Every element of a list must lie in a range.
    pub fn each_in_range<T: Measure>(&mut self, path: &str, low: &str, high: &str, hint: &str) {
        for index in 0..self.count(path) {
            self.range::<T>(&format!("{path}.{index}"), low, high, hint);
        }
    }

    /// The values of an axis must rise strictly, and there must be some.
    pub fn axis<T: Measure>(&mut self, path: &str, fewest: usize) {
        let Some(node) = self.node(path) else { return };
        let Content::List(items) = &node.content else {
            return;
        };
        if items.len() < fewest {
            let fault = Fault::new(
                format!("`{}` has too few values", name(path)),
                format!("at least {fewest}"),
                "give the ends of the range at least",
            );
            self.refuse(path, fault);
        }
        for index in 1..items.len() {
            let here = format!("{path}.{index}");
            let before = self.get::<T>(&format!("{path}.{}", index - 1));
            if let (Some(before), Some(value)) = (before, self.get::<T>(&here))
                && value <= before
            {
                let before = self.written(&format!("{path}.{}", index - 1), before.shown());
                let fault = Fault::new(
                    format!("`{}` is not rising", name(path)),
                    format!("each value above the one before it, here above {before}"),
                    "sort the values, together with the table that belongs to them; a table that falls back has no order to read it in",
                );
                self.refuse(&here, fault);
                return;
            }
        }
    }

    /// A list must have as many values as its axis.
    pub fn same_length(&mut self, axis: &str, values: &str) {
        if !self.has(axis) || !self.has(values) {
            return;
        }
        let (wanted, found) = (self.count(axis), self.count(values));
        if wanted != found && wanted > 0 {
            let fault = Fault::new(
                format!("`{}` does not fit `{}`", name(values), name(axis)),
                format!("{wanted} values, one for each of `{}`", name(axis)),
                "give one value for each point of the axis",
            );
            self.refuse(values, fault.reading(format!("{found} values")));
        }
    }

    /// A table must have a row for each value of one axis and a column for each of the other.
    pub fn table_shape(&mut self, rows: &str, columns: &str, table: &str) {
        if !(self.has(rows) && self.has(columns) && self.has(table)) {
            return;
        }
        let (wanted, found) = (self.count(rows), self.count(table));
        if wanted != found {
            let fault = Fault::new(
                format!("`{}` has the wrong number of rows", name(table)),
                format!("{wanted} rows, one for each of `{}`", name(rows)),
                "give one row for each point of the axis",
            );
            self.refuse_section(table, fault.reading(format!("{found} rows")));
        }
        let wanted = self.count(columns);
        for row in 0..found {
            let path = format!("{table}.{row}");
            let found = self.count(&path);
            let is_list = self
                .node(&path)
                .is_some_and(|node| matches!(node.content, Content::List(_)));
            if is_list && wanted != found {
                let fault = Fault::new(
                    format!("a row of `{}` has the wrong length", name(table)),
                    format!("{wanted} values, one for each of `{}`", name(columns)),
                    "give one value for each point of the axis",
                );
                self.refuse(&path, fault.reading(format!("{found} values")));
            }
        }
    }

    /// Engine speeds of an axis: rising, and such as engines have.
    pub fn speed_axis(&mut self, path: &str, fewest: usize) {
        self.axis::<RotationalSpeed>(path, fewest);
        self.each_in_range::<RotationalSpeed>(
            path,
            "100 rpm",
            "10000 rpm",
            "this is the speed of the engine, not of the turbocharger",
        );
    }
}

/// The last key of a path that is a word.
pub fn name(path: &str) -> &str {
    path.rsplit('.')
        .find(|key| key.parse::<usize>().is_err())
        .unwrap_or(path)
}

fn bounds<T: Read>(low: &str, high: &str) -> Option<(T, T)> {
    Some((text(low)?, text(high)?))
}

/// A bound, read like a value of the file.
pub fn text<T: Read>(text: &str) -> Option<T> {
    let node = crate::scenario::tree::parse(text, 0).ok()?;
    T::read(&node, &mut crate::scenario::read::Reader::silent())
}

/// Whether a pressure is written as gauge.
pub fn is_gauge(pressure: Pressure) -> bool {
    matches!(pressure, Pressure::Gauge(_))
}
