//! Production spreads must belong to numbers that the scenario has, in a unit that
//! those numbers can have.

use super::{Checker, uncertainty};
use crate::scenario::checked::{Deviation, ProductionSpread};
use crate::scenario::document::Fault;
use crate::scenario::place::Part;
use crate::scenario::read::{Read as _, Reader};
use crate::scenario::schema;
use crate::scenario::tree::{Content, Node};
use crate::scenario::written::WrittenNumber;

pub fn check(c: &mut Checker) {
    let Some(Content::Map(entries)) = c.node("production").map(|node| &node.content) else {
        return;
    };
    for entry in entries {
        one(c, &entry.key, &entry.value);
    }
}

fn one(c: &mut Checker, path: &str, value: &Node) {
    // Dots in the key make it unreachable by path: report at its node.
    let shown = format!("production.{path}");
    // Another ambient or another form takes numbers away that have a spread: only the
    // study of that spread needs them, and says so.
    if schema::knows(path) && c.node(path).is_none() && !schema::has_default(path) {
        return;
    }
    if let Some(fault) = uncertainty::target(c, path) {
        c.refuse_node(value, Part::Key, &shown, fault.reading(path));
        return;
    }
    let Some(spread) = ProductionSpread::read(value, &mut Reader::silent()) else {
        return;
    };
    let Some(written) = written(c, path) else {
        return;
    };
    for deviation in [Some(&spread.half_width), spread.within.as_ref()]
        .into_iter()
        .flatten()
    {
        if let Some(fault) = fault(&written, deviation) {
            c.refuse_node(
                value,
                Part::Value,
                &shown,
                fault.reading(deviation.to_string()),
            );
            return;
        }
    }
}

/// The number at a path as it is written, or as its default is.
fn written(c: &Checker, path: &str) -> Option<WrittenNumber> {
    match c.node(path).map(|node| &node.content) {
        Some(Content::Number(number)) => WrittenNumber::of(&number.to_string()),
        Some(Content::Text(text)) => WrittenNumber::of(text.trim()),
        Some(_) => None,
        None => WrittenNumber::of(&schema::default_text(path)?),
    }
}

/// What is wrong with a deviation of a written number.
fn fault(written: &WrittenNumber, deviation: &Deviation) -> Option<Fault> {
    let unit = match written
        .unit()
        .trim_end_matches("abs")
        .trim_end_matches("gauge")
    {
        "" => "none, a bare number".to_owned(),
        "%" => "points, for per cent points".to_owned(),
        unit => unit.trim().to_owned(),
    };
    match deviation {
        Deviation::Relative(_) if written.number == 0.0 => Some(Fault::new(
            format!(
                "the value is {}, and no share of it is a spread",
                written.with(written.number)
            ),
            format!("a spread in the unit of the value: {unit}"),
            "write how far the value itself lies off, not a share of it",
        )),
        Deviation::Relative(share) if *share > 1.0 => Some(Fault::new(
            "the spread is out of range",
            "above 0 % and up to 100 %",
            "a relative spread, both ways",
        )),
        _ if written.width(deviation).is_none() => Some(Fault::new(
            format!(
                "a spread in this unit is none of a value of {}",
                written.with(written.number)
            ),
            format!("per cent of the value, or a unit that the value may have ({unit})"),
            "write the spread in the unit of the value",
        )),
        _ => None,
    }
}
