//! How a section of the file is declared: once, for reading, for the JSON
//! Schema and for the reference text.

use std::borrow::Cow;

use schemars::{Schema, SchemaGenerator, json_schema};
use serde_json::{Map, Value};

/// Joins the lines of a doc comment into paragraphs.
pub fn prose(lines: &[&str]) -> String {
    let mut out = String::new();
    for line in lines.iter().map(|line| line.trim()) {
        if line.is_empty() {
            out.push_str("\n\n");
        } else {
            if !out.is_empty() && !out.ends_with('\n') {
                out.push(' ');
            }
            out.push_str(line);
        }
    }
    out
}

/// Builds the schema of a section field by field.
pub struct SectionSchema {
    description: String,
    properties: Map<String, Value>,
    required: Vec<Value>,
}

/// What is documented of one field.
pub struct FieldNotes<'a> {
    /// Key in the file.
    pub key: &'a str,
    /// Lines of its doc comment.
    pub docs: &'a [&'a str],
    /// Default as written, if it has one.
    pub default: Option<&'a str>,
    /// An example as written.
    pub example: Option<&'a str>,
    /// Must be given.
    pub required: bool,
}

impl SectionSchema {
    /// A section with the lines of its doc comment.
    pub fn new(docs: &[&str]) -> Self {
        Self {
            description: prose(docs),
            properties: Map::new(),
            required: Vec::new(),
        }
    }

    /// Adds a field.
    pub fn field(&mut self, schema: Schema, notes: &FieldNotes) {
        let key = plain_key(notes.key);
        let mut schema = schema.to_value();
        if !schema.is_object() {
            schema = Value::Object(Map::new());
        }
        let mut description = prose(notes.docs);
        if let Some(default) = notes.default {
            description.push_str(&format!("\n\nDefault: `{default}`."));
        }
        if let Some(example) = notes.example {
            description.push_str(&format!("\n\nExample: `{example}`."));
        }
        schema["description"] = description.into();
        if let Some(default) = notes.default {
            schema["default"] = scalar(default);
        }
        if let Some(example) = notes.example {
            schema["examples"] = Value::Array(vec![scalar(example)]);
        }
        self.properties.insert(key.to_owned(), schema);
        if notes.required {
            self.required.push(key.into());
        }
    }

    /// The finished schema.
    pub fn finish(self) -> Schema {
        json_schema!({
            "type": "object",
            "description": self.description,
            "properties": self.properties,
            "required": self.required,
            "additionalProperties": false,
        })
    }
}

/// Adds one alternative with a single key to a choice.
pub fn one_key(generator_schema: Schema, key: &str, docs: &[&str]) -> Value {
    let mut value = generator_schema.to_value();
    if !value.is_object() {
        value = Value::Object(Map::new());
    }
    value["description"] = prose(docs).into();
    serde_json::json!({
        "type": "object",
        "properties": { key: value },
        "required": [key],
        "additionalProperties": false,
    })
}

/// The key as the file has it: `for` is a word of the language, so its field is `r#for`.
pub fn plain_key(key: &str) -> &str {
    key.strip_prefix("r#").unwrap_or(key)
}

fn scalar(text: &str) -> Value {
    serde_yaml::from_str(text).unwrap_or_else(|_| text.into())
}

/// The name of a schema.
pub fn name(text: &'static str) -> Cow<'static, str> {
    Cow::Borrowed(text)
}

/// The schema of a choice.
pub fn choice_schema(docs: &[&str], words: &[(&str, &[&str])], maps: Vec<Value>) -> Schema {
    let mut alternatives: Vec<Value> = words
        .iter()
        .map(|(word, docs)| serde_json::json!({ "const": word, "description": prose(docs) }))
        .collect();
    alternatives.extend(maps);
    json_schema!({ "description": prose(docs), "oneOf": alternatives })
}

/// What a generator makes of a readable type.
pub fn schema_of<T: super::read::Read>(generator: &mut SchemaGenerator) -> Schema {
    T::schema(generator)
}

/// Declares a section: `field: Type = "default", eg "example";`. The doc comment
/// of each field is its reference text.
macro_rules! section {
    (
        $(#[doc = $doc:literal])+
        pub struct $name:ident {
            $(
                $(#[doc = $field_doc:literal])+
                $field:ident : $type:ty $(= $default:literal)? $(, eg $example:literal)?;
            )+
        }
    ) => {
        $(#[doc = $doc])+
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name {
            $(
                $(#[doc = $field_doc])+
                $(#[doc = concat!("\n\nDefault: `", $default, "`.")])?
                $(#[doc = concat!("\n\nExample: `", $example, "`.")])?
                pub $field: $type,
            )+
        }

        impl $crate::scenario::read::Read for $name {
            fn read(
                node: &$crate::scenario::tree::Node,
                reader: &mut $crate::scenario::read::Reader,
            ) -> Option<Self> {
                use $crate::scenario::section::{optional, plain_key};
                let section = reader.section(node, &[$(plain_key(stringify!($field))),+])?;
                $(
                    let $field = reader.field::<$type>(
                        section,
                        plain_key(stringify!($field)),
                        optional!($($default)?),
                    );
                )+
                Some(Self { $($field: $field?),+ })
            }
        }

        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                $crate::scenario::section::name(stringify!($name))
            }

            fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
                use $crate::scenario::section::{FieldNotes, SectionSchema, optional, schema_of};
                use $crate::scenario::read::Read;
                let mut section = SectionSchema::new(&[$($doc),+]);
                $(
                    let default: Option<&str> = optional!($($default)?);
                    section.field(
                        schema_of::<$type>(generator),
                        &FieldNotes {
                            key: stringify!($field),
                            docs: &[$($field_doc),+],
                            default,
                            example: optional!($($example)?),
                            required: default.is_none() && <$type as Read>::when_missing().is_none(),
                        },
                    );
                )+
                section.finish()
            }
        }

        #[cfg(test)]
        impl $name {
            /// The documented defaults and examples that cannot be read.
            #[allow(dead_code)]
            pub(crate) fn unreadable_notes() -> Vec<String> {
                #[allow(unused_mut)]
                let mut bad = Vec::new();
                $(
                    $($crate::scenario::section::try_note::<$type>(stringify!($name), stringify!($field), $default, &mut bad);)?
                    $($crate::scenario::section::try_note::<$type>(stringify!($name), stringify!($field), $example, &mut bad);)?
                )+
                bad
            }
        }
    };
}

/// `Some(value)` or `None`, as the macro found one or not.
macro_rules! optional {
    () => {
        None
    };
    ($value:literal) => {
        Some($value)
    };
}

/// Declares a choice: a word, or a section with exactly one key.
macro_rules! choice {
    (
        $(#[doc = $doc:literal])+
        pub enum $name:ident {
            $( word $(#[doc = $word_doc:literal])+ $word:literal => $word_variant:ident; )*
            $( key $(#[doc = $key_doc:literal])+ $key:literal => $key_variant:ident($type:ty); )*
        }
    ) => {
        $(#[doc = $doc])+
        #[derive(Debug, Clone, PartialEq)]
        // a file holds a handful of them, so their size is no matter
        #[allow(clippy::large_enum_variant)]
        pub enum $name {
            $( $(#[doc = $word_doc])+ $word_variant, )*
            $( $(#[doc = $key_doc])+ $key_variant($type), )*
        }

        impl $crate::scenario::read::Read for $name {
            fn read(
                node: &$crate::scenario::tree::Node,
                reader: &mut $crate::scenario::read::Reader,
            ) -> Option<Self> {
                let picked = $crate::scenario::section::pick(node, reader, &[$($word),*], &[$($key),*])?;
                match picked {
                    $( (None, $word) => Some(Self::$word_variant), )*
                    $( (Some(value), $key) => reader
                        .within($key, |reader| $crate::scenario::read::Read::read(value, reader))
                        .map(Self::$key_variant), )*
                    _ => None,
                }
            }
        }

        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                $crate::scenario::section::name(stringify!($name))
            }

            #[allow(unused_variables)]
            fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
                $crate::scenario::section::choice_schema(
                    &[$($doc),+],
                    &[$( ($word, &[$($word_doc),+]) ),*],
                    vec![$( $crate::scenario::section::one_key(
                        $crate::scenario::section::schema_of::<$type>(generator),
                        $key,
                        &[$($key_doc),+],
                    ) ),*],
                )
            }
        }
    };
}

pub(crate) use {choice, optional, section};

use super::document::{Fault, nearest};
use super::place::Part;
use super::read::Reader;
use super::tree::{Content, Node};

/// Which alternative of a choice is written: a word, or a key with its value.
pub fn pick<'n, 'w>(
    node: &'n Node,
    reader: &mut Reader,
    words: &[&'w str],
    keys: &[&'w str],
) -> Option<(Option<&'n Node>, &'w str)> {
    let all: Vec<&str> = words.iter().chain(keys).copied().collect();
    let allowed = allowed(words, &reader.present(keys));
    let fault = match &node.content {
        Content::Text(text) => {
            if let Some(word) = words.iter().find(|word| *word == text) {
                return Some((None, word));
            }
            let hint = match nearest(text, &all) {
                Some(near) if words.contains(&near) => format!("did you mean `{near}`?"),
                Some(near) => format!("`{near}` needs a value: write `{near}: …`"),
                None => "pick one of those allowed".to_owned(),
            };
            Fault::new(format!("`{text}` is not one of the choices"), allowed, hint)
        }
        Content::Map(entries) if entries.len() == 1 => {
            let entry = &entries[0];
            if let Some(key) = keys.iter().find(|key| **key == entry.key) {
                return Some((Some(&entry.value), key));
            }
            let hint = match nearest(&entry.key, &all) {
                Some(near) => format!("did you mean `{near}`?"),
                None => "pick one of those allowed".to_owned(),
            };
            let fault = Fault::new(format!("unknown choice `{}`", entry.key), allowed, hint)
                .reading(&entry.key);
            reader.within(&entry.key, |reader| {
                reader.fault(&entry.value, Part::Key, fault)
            });
            return None;
        }
        Content::Map(entries) => Fault::new(
            format!("exactly one choice is wanted here, not {}", entries.len()),
            allowed,
            "keep one of the keys and remove the others",
        ),
        Content::Tagged(_) => return None,
        _ => Fault::new(
            "a choice is wanted here",
            allowed,
            "pick one of those allowed",
        ),
    };
    reader.fault(node, Part::Value, fault);
    None
}

fn allowed(words: &[&str], keys: &[&str]) -> String {
    let keys = keys.iter().map(|key| format!("`{key}: …`"));
    let all: Vec<String> = words
        .iter()
        .map(|word| format!("`{word}`"))
        .chain(keys)
        .collect();
    format!("one of {}", all.join(", "))
}

/// Reads a documented default or example and notes if that fails.
#[cfg(test)]
pub(crate) fn try_note<T: super::read::Read>(
    section: &str,
    field: &str,
    text: &str,
    bad: &mut Vec<String>,
) {
    let node = super::tree::parse(text, 0).expect("a documented example is YAML");
    let mut texts = super::document::Texts::default();
    texts.add(super::document::SourceText {
        name: "note".into(),
        text: text.into(),
        start: 0,
        folder: std::path::PathBuf::new(),
    });
    if T::read(&node, &mut Reader::new(&mut texts)).is_none() {
        bad.push(format!(
            "{section}.{field}: {text}\n{}",
            texts.into_diagnostics()
        ));
    }
}
