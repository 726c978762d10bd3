//! Spreads must belong to numbers that the scenario has.

use super::Checker;
use crate::scenario::checked::Spread;
use crate::scenario::document::{Fault, nearest};
use crate::scenario::read::{Read as _, Reader};
use crate::scenario::schema;
use crate::scenario::tree::Content;

pub fn check(c: &mut Checker) {
    extends_set(c);
    let Some(Content::Map(entries)) = c.node("uncertainty").map(|node| &node.content) else {
        return;
    };
    for entry in entries {
        one(c, &entry.key, &entry.value);
    }
}

fn one(c: &mut Checker, path: &str, value: &crate::scenario::tree::Node) {
    // Dots in the key make it unreachable by path: report at its node.
    let shown = format!("uncertainty.{path}");
    if let Some(fault) = target(c, path) {
        c.refuse_node(
            value,
            crate::scenario::place::Part::Key,
            &shown,
            fault.reading(path),
        );
    }
    let spread = Spread::read(value, &mut Reader::silent()).map(|spread| spread.half_width);
    if spread.is_some_and(|spread| !(0.0..=1.0).contains(&spread.fraction())) {
        let fault = Fault::new(
            "the spread is out of range",
            "from 0 % to 100 %",
            "a relative spread, both ways",
        );
        c.refuse_node(value, crate::scenario::place::Part::Value, &shown, fault);
    }
}

/// What is wrong with a path that a spread is stated for.
pub(super) fn target(c: &Checker, path: &str) -> Option<Fault> {
    if !schema::knows(path) {
        return Some(unknown(path));
    }
    match c.node(path).map(|node| &node.content) {
        Some(Content::Text(text))
            if !text
                .starts_with(|letter: char| letter.is_ascii_digit() || "+-.".contains(letter)) =>
        {
            Some(Fault::new(
                "a spread belongs to a number, not to a word",
                "the path of a number",
                "name a number or quantity",
            ))
        }
        Some(Content::Text(_) | Content::Number(_)) => None,
        Some(Content::List(_)) => Some(Fault::new(
            format!("`{path}` is a list, not a single number"),
            "the path of a number",
            format!("name one element, such as `{path}.0`"),
        )),
        Some(_) => Some(Fault::new(
            format!("`{path}` is not a single number"),
            "the path of a number",
            format!("go on to one of {}", schema::keys_below(path).join(", ")),
        )),
        None if schema::has_default(path) => None,
        None => Some(Fault::new(
            format!("this scenario has no `{path}`"),
            "the path of a number that this scenario gives",
            "add the value, or remove its spread",
        )),
    }
}

/// The first key that does not fit, with its neighbours.
fn unknown(path: &str) -> Fault {
    let keys: Vec<&str> = path.split('.').collect();
    let good = (0..keys.len())
        .take_while(|&end| schema::knows(&keys[..=end].join(".")))
        .count();
    let above = keys[..good].join(".");
    let known = schema::keys_below(&above);
    let wrong = keys.get(good).copied().unwrap_or("");
    let hint = match nearest(wrong, &known) {
        Some(near) if above.is_empty() => format!("did you mean `{near}`?"),
        Some(near) => format!("did you mean `{above}.{near}`?"),
        None => "write the path as the sections are nested, with dots".to_owned(),
    };
    let allowed = if known.is_empty() {
        "the path of a number".to_owned()
    } else {
        format!("one of {}", known.join(", "))
    };
    Fault::new(format!("there is no field `{path}`"), allowed, hint)
}

/// `extends` is gone once the files are layered; what is left came from an override.
fn extends_set(c: &mut Checker) {
    if c.has("extends") {
        c.refuse(
            "extends",
            Fault::new(
                "`extends` cannot be overridden",
                "`extends` in the scenario file only",
                "write a small file that extends the other one",
            ),
        );
    }
}
