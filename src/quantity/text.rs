//! Quantities in files: text only, so that no unit is ever guessed.
use super::error::{QuantityError, Reading};
use super::parse;
use super::unit::{Kind, Quantity, Reference, Unit};
use serde::de::{Error, MapAccess, SeqAccess, Visitor};
use std::fmt;
use std::marker::PhantomData;

/// Reads a quantity from text. A visitor of its own keeps the place in the
/// file in the error.
pub(super) struct TextVisitor<Q>(PhantomData<Q>);

impl<Q> TextVisitor<Q> {
    pub(super) fn new() -> Self {
        Self(PhantomData)
    }
}

fn not_text<Q: Quantity>(what: &str) -> QuantityError {
    let kind = Q::kind();
    QuantityError::NotText(Reading::new(what, kind, parse::example(kind)))
}

fn bare_number<Q: Quantity>(number: &str, finite: bool) -> QuantityError {
    let kind = Q::kind();
    if finite {
        parse::missing_unit(kind, number, number)
    } else {
        QuantityError::NotFinite(Reading::new(number, kind, parse::example(kind)))
    }
}

impl<'de, Q: Quantity> Visitor<'de> for TextVisitor<Q> {
    type Value = Q;

    fn expecting(&self, formatter: &mut fmt::Formatter) -> fmt::Result {
        let kind = Q::kind();
        write!(formatter, "{} as text with its unit", kind.name())
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Q, E> {
        text.parse().map_err(E::custom)
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<Q, E> {
        Err(E::custom(bare_number::<Q>(&number.to_string(), true)))
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<Q, E> {
        Err(E::custom(bare_number::<Q>(&number.to_string(), true)))
    }

    fn visit_i128<E: Error>(self, number: i128) -> Result<Q, E> {
        Err(E::custom(bare_number::<Q>(&number.to_string(), true)))
    }

    fn visit_u128<E: Error>(self, number: u128) -> Result<Q, E> {
        Err(E::custom(bare_number::<Q>(&number.to_string(), true)))
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<Q, E> {
        let finite = number.is_finite();
        Err(E::custom(bare_number::<Q>(&number.to_string(), finite)))
    }

    fn visit_bool<E: Error>(self, value: bool) -> Result<Q, E> {
        Err(E::custom(not_text::<Q>(&value.to_string())))
    }

    fn visit_unit<E: Error>(self) -> Result<Q, E> {
        let kind = Q::kind();
        let reading = Reading::new("", kind, parse::example(kind));
        Err(E::custom(QuantityError::Empty(reading)))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, _: A) -> Result<Q, A::Error> {
        Err(A::Error::custom(not_text::<Q>("a list")))
    }

    fn visit_map<A: MapAccess<'de>>(self, _: A) -> Result<Q, A::Error> {
        Err(A::Error::custom(not_text::<Q>("a map")))
    }
}

/// The JSON Schema of a kind: a string, its pattern, examples.
pub(super) fn schema(kind: &Kind) -> schemars::Schema {
    schemars::json_schema!({
        "type": "string",
        "description": description(kind),
        "pattern": pattern(kind),
        "examples": kind.examples(),
    })
}

/// What the schema says of a kind; no two kinds share it.
pub(crate) fn description(kind: &Kind) -> String {
    format!(
        "{}: a number and its unit ({})",
        kind.name(),
        kind.allowed()
    )
}

/// A regular expression for number, unit and reference.
fn pattern(kind: &Kind) -> String {
    let units: Vec<String> = kind
        .units()
        .iter()
        .flat_map(Unit::spellings)
        .map(escaped)
        .collect();
    let reference = match kind.reference() {
        Reference::None => "",
        Reference::Absolute => " +abs",
        Reference::Gauge => " +gauge",
        Reference::Either => " +(abs|gauge)",
    };
    let number = r"[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?";
    format!("^ *{number} *({}){reference} *$", units.join("|"))
}

fn escaped(unit: &str) -> String {
    let mut escaped = String::new();
    for c in unit.chars() {
        match c {
            '(' | ')' | '.' => escaped.extend(['\\', c]),
            // The degree sign may stand for the letters.
            c => escaped.push(c),
        }
    }
    escaped.replace("deg", "(deg|°)")
}
