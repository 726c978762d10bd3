//! A YAML document as a tree that remembers where each node was written.
//!
//! The parser tells places only with its errors. So a node keeps its *address*
//! (which entry of which entry …), and [`super::place`] finds line and column
//! of an address when a diagnostic needs them.

use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, EnumAccess, Error, MapAccess, SeqAccess, Visitor};

/// Mappings and lists may be nested this deep.
pub const DEEPEST: usize = 32;

/// Where a node was written: a file and the way down to it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Origin {
    /// Index into the list of files read.
    pub file: usize,
    /// The ordinal of the entry or element at each level, from the root.
    pub address: Vec<usize>,
}

impl Origin {
    fn child(&self, ordinal: usize) -> Self {
        let mut address = self.address.clone();
        address.push(ordinal);
        Self {
            file: self.file,
            address,
        }
    }
}

/// One node of the document.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// What was written.
    pub content: Content,
    /// Where.
    pub origin: Origin,
}

/// What a node holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Content {
    /// `null`, `~` or nothing at all.
    Nothing,
    /// `true` or `false`.
    Flag(bool),
    /// A number; may be not finite, which is refused later with its place.
    Number(f64),
    /// Text, quoted or plain.
    Text(String),
    /// A list.
    List(Vec<Node>),
    /// A mapping, in the order written, duplicate keys included.
    Map(Vec<Entry>),
    /// A value with a YAML tag (`!something`), which scenario files do not use.
    Tagged(String),
}

/// One `key: value` of a mapping.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The key.
    pub key: String,
    /// What stands behind it.
    pub value: Node,
}

impl Node {
    /// The value behind a key, if this is a mapping that has it.
    pub fn get(&self, key: &str) -> Option<&Node> {
        match &self.content {
            Content::Map(entries) => entries
                .iter()
                .find(|entry| entry.key == key)
                .map(|entry| &entry.value),
            Content::List(items) => items.get(key.parse::<usize>().ok()?),
            _ => None,
        }
    }

    /// The node at a dotted path below this one.
    pub fn at(&self, path: &str) -> Option<&Node> {
        if path.is_empty() {
            return Some(self);
        }
        path.split('.').try_fold(self, |node, key| node.get(key))
    }

    /// What the node is, in words for a message.
    pub fn describe(&self) -> String {
        match &self.content {
            Content::Nothing => "nothing".to_owned(),
            Content::Flag(flag) => flag.to_string(),
            Content::Number(number) => number.to_string(),
            Content::Text(text) => text.clone(),
            Content::List(items) => format!("a list of {}", items.len()),
            Content::Map(entries) => {
                let keys: Vec<_> = entries.iter().map(|entry| entry.key.as_str()).collect();
                format!("a section with the keys {}", keys.join(", "))
            }
            Content::Tagged(tag) => format!("a value tagged !{tag}"),
        }
    }
}

/// Reads one document; every node gets `file` and its address as origin.
pub fn parse(text: &str, file: usize) -> Result<Node, serde_yaml::Error> {
    let seed = NodeSeed {
        origin: Origin {
            file,
            address: Vec::new(),
        },
    };
    seed.deserialize(serde_yaml::Deserializer::from_str(text))
}

struct NodeSeed {
    origin: Origin,
}

impl<'de> DeserializeSeed<'de> for NodeSeed {
    type Value = Node;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Node, D::Error> {
        if self.origin.address.len() > DEEPEST {
            return Err(D::Error::custom(format!(
                "nested deeper than {DEEPEST} levels"
            )));
        }
        deserializer.deserialize_any(self)
    }
}

impl NodeSeed {
    fn node(self, content: Content) -> Node {
        Node {
            content,
            origin: self.origin,
        }
    }
}

impl<'de> Visitor<'de> for NodeSeed {
    type Value = Node;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a section, a list, text, a number or true/false")
    }

    fn visit_unit<E: Error>(self) -> Result<Node, E> {
        Ok(self.node(Content::Nothing))
    }

    fn visit_none<E: Error>(self) -> Result<Node, E> {
        Ok(self.node(Content::Nothing))
    }

    fn visit_bool<E: Error>(self, flag: bool) -> Result<Node, E> {
        Ok(self.node(Content::Flag(flag)))
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<Node, E> {
        Ok(self.node(Content::Number(number as f64)))
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<Node, E> {
        Ok(self.node(Content::Number(number as f64)))
    }

    fn visit_i128<E: Error>(self, number: i128) -> Result<Node, E> {
        Ok(self.node(Content::Number(number as f64)))
    }

    fn visit_u128<E: Error>(self, number: u128) -> Result<Node, E> {
        Ok(self.node(Content::Number(number as f64)))
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<Node, E> {
        Ok(self.node(Content::Number(number)))
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Node, E> {
        Ok(self.node(Content::Text(text.to_owned())))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Node, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = list.next_element_seed(NodeSeed {
            origin: self.origin.child(items.len()),
        })? {
            items.push(item);
        }
        Ok(self.node(Content::List(items)))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Node, A::Error> {
        let mut entries = Vec::new();
        while let Some(key) = map.next_key::<KeyText>()? {
            let origin = self.origin.child(entries.len());
            let value = map.next_value_seed(NodeSeed { origin })?;
            entries.push(Entry { key: key.0, value });
        }
        Ok(self.node(Content::Map(entries)))
    }

    fn visit_enum<A: EnumAccess<'de>>(self, tagged: A) -> Result<Node, A::Error> {
        use serde::de::VariantAccess as _;
        let (tag, value) = tagged.variant::<String>()?;
        value.newtype_variant::<serde::de::IgnoredAny>()?;
        Ok(self.node(Content::Tagged(tag)))
    }
}

/// A key, taken as the text written even where it looks like a number.
struct KeyText(String);

impl<'de> serde::Deserialize<'de> for KeyText {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct TextVisitor;
        impl Visitor<'_> for TextVisitor {
            type Value = KeyText;
            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("plain text as key")
            }
            fn visit_str<E: Error>(self, text: &str) -> Result<KeyText, E> {
                Ok(KeyText(text.to_owned()))
            }
        }
        deserializer.deserialize_str(TextVisitor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_count_entries_and_elements() {
        let root = parse("a: 1\nb:\n  - x\n  - {c: 5 rpm}\n", 3).unwrap();
        let node = root.at("b.1.c").unwrap();
        assert_eq!(node.content, Content::Text("5 rpm".into()));
        assert_eq!(
            node.origin,
            Origin {
                file: 3,
                address: vec![1, 1, 0]
            }
        );
    }

    #[test]
    fn duplicate_keys_survive_for_the_check() {
        let root = parse("a: 1\na: 2\n", 0).unwrap();
        assert!(matches!(&root.content, Content::Map(entries) if entries.len() == 2));
    }

    #[test]
    fn depth_is_capped_with_a_place() {
        let mut text = String::new();
        for level in 0..40 {
            text.push_str(&" ".repeat(level));
            text.push_str("a:\n");
        }
        let error = parse(&text, 0).unwrap_err();
        assert!(error.to_string().contains("nested deeper"), "{error}");
        assert!(error.location().unwrap().line() >= 33);
    }
}
