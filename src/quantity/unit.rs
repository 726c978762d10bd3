//! Units and kinds of quantity as tables: what a unit is worth in SI, which
//! units a kind of quantity may be written in, how it is shown.
//!
//! Sources: exact definitions of the yard and pound agreement of 1959, the SI
//! Brochure (9th edition) and NIST Special Publication 811 (2008), appendix B,
//! for the manometric units and the British thermal unit (International Table).
use super::error::QuantityError;

/// Unit system of presentation. It never changes what is computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum UnitSystem {
    /// kPa, degC, kg/s, kW, N m.
    #[default]
    Si,
    /// psi, degF, lb/min, hp, lbf ft.
    Us,
}

/// One unit: its name in text and what it is worth in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    name: &'static str,
    also: &'static [&'static str],
    factor: f64,
    offset: f64,
}

impl Unit {
    /// A unit worth `factor` SI units.
    pub(super) const fn new(name: &'static str, factor: f64) -> Self {
        Self {
            name,
            also: &[],
            factor,
            offset: 0.0,
        }
    }

    /// The same unit, with its zero `offset` of its own units above the SI zero.
    pub(super) const fn with_offset(self, offset: f64) -> Self {
        Self { offset, ..self }
    }

    /// The same unit, with further accepted spellings.
    pub(super) const fn also(self, also: &'static [&'static str]) -> Self {
        Self { also, ..self }
    }

    /// The spelling used in output and in lists of allowed units.
    pub const fn name(&self) -> &'static str {
        self.name
    }

    /// Every accepted spelling, the usual one first.
    pub fn spellings(&self) -> impl Iterator<Item = &'static str> + '_ {
        std::iter::once(self.name).chain(self.also.iter().copied())
    }

    /// From a number in this unit to SI.
    pub const fn to_si(&self, value: f64) -> f64 {
        (value + self.offset) * self.factor
    }

    /// From SI to a number in this unit.
    pub const fn of_si(&self, si: f64) -> f64 {
        si / self.factor - self.offset
    }
}

/// Whether a pressure must say what it is measured against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reference {
    /// No `abs` or `gauge` may follow the unit.
    None,
    /// `abs` must follow the unit.
    Absolute,
    /// `gauge` must follow the unit.
    Gauge,
    /// One of `abs` and `gauge` must follow the unit.
    Either,
}

/// A unit to show a value in, with the label behind the number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    pub(super) unit: Unit,
    pub(super) label: &'static str,
}

/// Short form for the tables: `unit` under its own name.
pub(super) const fn shown(unit: Unit) -> Shown {
    Shown {
        unit,
        label: unit.name,
    }
}

/// Short form for the tables: `unit` under a longer label.
pub(super) const fn labelled(unit: Unit, label: &'static str) -> Shown {
    Shown { unit, label }
}

/// A kind of quantity: how it is called, written and shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kind {
    pub(super) name: &'static str,
    pub(super) dimension: &'static str,
    pub(super) units: &'static [Unit],
    pub(super) reference: Reference,
    pub(super) minimum_si: Option<f64>,
    pub(super) text: Shown,
    pub(super) si: Shown,
    pub(super) us: Shown,
    pub(super) examples: &'static [&'static str],
}

impl Kind {
    /// A kind without reference or lower bound, written and shown in `si`.
    pub(super) const fn new(
        name: &'static str,
        units: &'static [Unit],
        si: Unit,
        us: Unit,
        examples: &'static [&'static str],
    ) -> Self {
        Self {
            name,
            dimension: name,
            units,
            reference: Reference::None,
            minimum_si: None,
            text: shown(si),
            si: shown(si),
            us: shown(us),
            examples,
        }
    }

    /// The same kind, sharing its dimension with others.
    pub(super) const fn of_dimension(self, dimension: &'static str) -> Self {
        Self { dimension, ..self }
    }

    /// The same kind, written to text in another unit than it is shown in.
    pub(super) const fn written_in(self, unit: Unit) -> Self {
        Self {
            text: shown(unit),
            ..self
        }
    }

    /// The same kind, refused below zero.
    pub(super) const fn not_below_zero(self) -> Self {
        Self {
            minimum_si: Some(0.0),
            ..self
        }
    }

    /// Name of the kind, such as "absolute pressure".
    pub const fn name(&self) -> &'static str {
        self.name
    }

    /// Name of the dimension, such as "pressure".
    pub const fn dimension(&self) -> &'static str {
        self.dimension
    }

    /// The units it may be written in.
    pub const fn units(&self) -> &'static [Unit] {
        self.units
    }

    /// Whether `abs` or `gauge` must follow the unit.
    pub const fn reference(&self) -> Reference {
        self.reference
    }

    /// Well-formed texts of this kind.
    pub const fn examples(&self) -> &'static [&'static str] {
        self.examples
    }

    /// The allowed units as one phrase.
    pub fn allowed(&self) -> String {
        let names: Vec<_> = self.units.iter().map(Unit::name).collect();
        let names = names.join(", ");
        match self.reference {
            Reference::None => names,
            Reference::Absolute => format!("{names}, followed by abs"),
            Reference::Gauge => format!("{names}, followed by gauge"),
            Reference::Either => format!("{names}, followed by abs or gauge"),
        }
    }

    /// The unit in which text of this kind is written.
    pub const fn written_unit(&self) -> &Unit {
        &self.text.unit
    }

    /// A text of this kind as number, unit and reference.
    ///
    /// # Errors
    /// Whatever reading the quantity itself would refuse.
    pub fn taken_apart(&'static self, text: &str) -> Result<Parts, QuantityError> {
        super::parse::parts(self, text)
    }

    /// Number and label of an SI value in the given system.
    pub(super) fn present(&self, si: f64, system: UnitSystem) -> (f64, &'static str) {
        let shown = match system {
            UnitSystem::Si => self.si,
            UnitSystem::Us => self.us,
        };
        (shown.unit.of_si(si), shown.label)
    }

    /// The SI value as text that reads back to the same value within 1e-14.
    ///
    /// Fifteen digits: one fewer than would show the rounding of the
    /// conversion, as in 220.00000000000003 kPa.
    pub(super) fn write(&self, si: f64) -> String {
        let value = self.text.unit.of_si(si);
        let rounded = format!("{value:.14e}").parse().unwrap_or(value);
        format!("{} {}", number_text(rounded), self.text.label)
    }
}

/// A quantity as it is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parts {
    /// The number in front.
    pub number: f64,
    /// The unit behind it.
    pub unit: &'static Unit,
    /// `abs` or `gauge` behind the unit; empty where nothing is.
    pub reference: &'static str,
}

impl Parts {
    /// The same unit and reference behind another number.
    pub fn with_number(&self, number: f64) -> String {
        let text = format!("{} {}", number_text(number), self.unit.name());
        match self.reference {
            "" => text,
            reference => format!("{text} {reference}"),
        }
    }
}

/// Shortest decimal text of a number; exponents only where zeros would pile up.
fn number_text(value: f64) -> String {
    let plain = value == 0.0 || (1e-6..1e15).contains(&value.abs());
    if plain {
        format!("{value}")
    } else {
        format!("{value:e}")
    }
}

/// Number with a fixed count of decimals; zero has no sign.
pub(super) fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_owned(),
        _ => text,
    }
}

/// What all quantities share: their kind, and text in both directions.
pub trait Quantity:
    Copy + std::fmt::Debug + std::fmt::Display + std::str::FromStr<Err = QuantityError>
{
    /// Name, units and examples of this kind of quantity.
    fn kind() -> &'static Kind;

    /// Number and unit label for presentation.
    fn present(self, system: UnitSystem) -> (f64, &'static str);

    /// Text for presentation, with a fixed count of decimals.
    fn display(self, system: UnitSystem, decimals: usize) -> String {
        let (value, label) = self.present(system);
        format!("{} {label}", fixed(value, decimals))
    }
}
