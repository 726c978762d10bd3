//! A number as the scenario writes it, and what a deviation is on its scale.
use super::factor::{self, leading_number};
use super::file::Deviation;
use super::load::Loaded;
use crate::quantity::steps;

/// A number as the scenario writes it.
#[derive(Debug, Clone, PartialEq)]
pub struct WrittenNumber {
    /// The number, in its own unit.
    pub number: f64,
    /// What stands behind it, with the space ahead of it; empty for a bare number.
    pub behind: String,
}

impl WrittenNumber {
    /// From a text that begins with a number.
    pub fn of(text: &str) -> Option<Self> {
        let (number, behind) = leading_number(text)?;
        Some(Self {
            number,
            behind: behind.to_owned(),
        })
    }

    /// The unit, without the space ahead of it.
    pub fn unit(&self) -> &str {
        self.behind.trim()
    }

    /// A deviation in the unit that the number is written in; `None` where its unit
    /// measures something else.
    pub fn width(&self, deviation: &Deviation) -> Option<f64> {
        match deviation {
            Deviation::Relative(share) => Some(share * self.number.abs()),
            Deviation::Absolute { number, unit } => Some(number * steps(unit, self.unit())?),
        }
    }

    /// Another number, written the same way.
    pub fn with(&self, number: f64) -> String {
        format!("{number}{}", self.behind)
    }
}

/// The number at a dotted path, or its default.
pub fn written_number(loaded: &Loaded, path: &str) -> Option<WrittenNumber> {
    WrittenNumber::of(&factor::written(&loaded.document.root, path)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_deviation_counts_in_the_unit_that_is_written() {
        let absolute = |number, unit: &str| Deviation::Absolute {
            number,
            unit: unit.to_owned(),
        };
        for (text, deviation, width) in [
            ("30 ms", absolute(0.003, "s"), Some(3.0)),
            ("17 degC", absolute(12.0, "K"), Some(12.0)),
            ("-4 K", Deviation::Relative(0.5), Some(2.0)),
            ("0.66", absolute(0.01, ""), Some(0.01)),
            ("40 %", absolute(2.0, "%"), Some(2.0)),
            ("40 %", Deviation::Relative(0.02), Some(0.8)),
            ("0.66", absolute(1.0, "%"), None),
            ("30 ms", absolute(1.0, "kPa"), None),
        ] {
            let written = WrittenNumber::of(text).unwrap();
            let got = written.width(&deviation);
            let near = match (got, width) {
                (Some(got), Some(width)) => (got - width).abs() < 1e-12,
                (got, width) => got == width,
            };
            assert!(near, "{text}, {deviation}: {got:?}");
        }
        assert_eq!(
            WrittenNumber::of("17 degC").unwrap().with(18.5),
            "18.5 degC"
        );
    }
}
