//! Line and column of a node.
//!
//! The parser is run once more over the file and stopped, by an error of our
//! own, at the wanted node: its error tells the place. That costs one parse for
//! each diagnostic and keeps a single YAML parser in charge of places.

use std::cell::RefCell;
use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, IgnoredAny, MapAccess, SeqAccess, Visitor};

/// A place in a text: lines and columns count from one, in characters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Line, from one.
    pub line: usize,
    /// Column, from one.
    pub column: usize,
    /// The text of the scalar that stands there, if it is one.
    pub scalar: Option<String>,
}

/// Which part of an entry is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The key in front of the colon.
    Key,
    /// The value behind it, or an element of a list.
    Value,
}

/// Finds the place of the node at `address`. `None` when the text does not hold it.
pub fn find(text: &str, address: &[usize], part: Part) -> Option<Place> {
    let scalar = RefCell::new(None);
    let probe = Probe {
        address,
        part,
        scalar: &scalar,
    };
    let error = probe
        .deserialize(serde_yaml::Deserializer::from_str(text))
        .err()?;
    let location = error.location()?;
    Some(Place {
        line: location.line(),
        column: location.column(),
        scalar: scalar.into_inner(),
    })
}

/// Walks down the address, then stops the parser.
#[derive(Clone, Copy)]
struct Probe<'a> {
    address: &'a [usize],
    part: Part,
    scalar: &'a RefCell<Option<String>>,
}

impl<'a> Probe<'a> {
    /// The probe for the next level, and the ordinal to take there.
    fn descend(self) -> Option<(usize, Probe<'a>)> {
        let (&ordinal, rest) = self.address.split_first()?;
        Some((
            ordinal,
            Probe {
                address: rest,
                ..self
            },
        ))
    }
}

const ABSENT: &str = "no such node";
const HERE: &str = "here";

impl<'de> DeserializeSeed<'de> for Probe<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        if self.address.is_empty() {
            // A scalar reaches `visit_str`; a mapping or list is refused by the parser, at its place.
            deserializer.deserialize_str(Stop(self.scalar))
        } else {
            deserializer.deserialize_any(self)
        }
    }
}

impl<'de> Visitor<'de> for Probe<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a section or a list")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        let (ordinal, below) = self.descend().ok_or_else(|| A::Error::custom(ABSENT))?;
        for _ in 0..ordinal {
            list.next_element::<IgnoredAny>()?;
        }
        list.next_element_seed(below)?
            .ok_or_else(|| A::Error::custom(ABSENT))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        let (ordinal, below) = self.descend().ok_or_else(|| A::Error::custom(ABSENT))?;
        for _ in 0..ordinal {
            map.next_entry::<IgnoredAny, IgnoredAny>()?;
        }
        if below.address.is_empty() && self.part == Part::Key {
            map.next_key_seed(below)?
                .ok_or_else(|| A::Error::custom(ABSENT))
        } else {
            map.next_key::<IgnoredAny>()?
                .ok_or_else(|| A::Error::custom(ABSENT))?;
            map.next_value_seed(below)
        }
    }
}

/// Takes the text of a scalar and stops.
struct Stop<'a>(&'a RefCell<Option<String>>);

impl Visitor<'_> for Stop<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(HERE)
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<(), E> {
        *self.0.borrow_mut() = Some(text.to_owned());
        Err(E::custom(HERE))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "top: 1\nsection:\n  first: \"5 kPa\"\n  list: [1e-5, {inner: 2}]\n";

    #[test]
    fn scalars_keys_and_containers_are_found() {
        let value = find(TEXT, &[1, 0], Part::Value).unwrap();
        assert_eq!((value.line, value.column), (3, 10));
        assert_eq!(value.scalar.as_deref(), Some("5 kPa"));
        let key = find(TEXT, &[1, 0], Part::Key).unwrap();
        assert_eq!((key.line, key.column), (3, 3));
        let number = find(TEXT, &[1, 1, 0], Part::Value).unwrap();
        assert_eq!((number.line, number.column), (4, 10));
        assert_eq!(number.scalar.as_deref(), Some("1e-5"));
        let inner = find(TEXT, &[1, 1, 1, 0], Part::Value).unwrap();
        assert_eq!((inner.line, inner.column), (4, 24));
        let list = find(TEXT, &[1, 1], Part::Value).unwrap();
        assert_eq!((list.line, list.column), (4, 9));
    }
}
