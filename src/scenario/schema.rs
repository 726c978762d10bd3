//! The JSON Schema of a scenario, and what its texts tell about a field.

use std::sync::OnceLock;

use serde_json::Value;

use super::file::ScenarioFile;
use crate::quantity::{Kind, kinds, text};

/// The JSON Schema (draft 2020-12) of scenario files, for editors and `ringfence schema`.
pub fn schema() -> Value {
    whole().clone()
}

fn whole() -> &'static Value {
    static SCHEMA: OnceLock<Value> = OnceLock::new();
    SCHEMA.get_or_init(|| schemars::schema_for!(ScenarioFile).to_value())
}

/// What the schema knows at a dotted path.
fn field(path: &str) -> Option<&'static Value> {
    let mut here = whole();
    for key in path.split('.').filter(|key| !key.is_empty()) {
        here = below(here, key)?;
    }
    Some(here)
}

/// Follows a reference into the definitions.
fn followed(schema: &'static Value) -> &'static Value {
    schema
        .get("$ref")
        .and_then(Value::as_str)
        .and_then(|reference| whole().pointer(reference.strip_prefix('#')?))
        .unwrap_or(schema)
}

fn below(schema: &'static Value, key: &str) -> Option<&'static Value> {
    let schema = followed(schema);
    if let Some(found) = schema
        .get("properties")
        .and_then(|properties| properties.get(key))
    {
        return Some(found);
    }
    if key.parse::<usize>().is_ok() {
        return schema.get("items");
    }
    let alternatives = schema.get("oneOf")?.as_array()?;
    alternatives
        .iter()
        .find_map(|alternative| alternative.get("properties")?.get(key))
}

/// Whether the field at a path is a choice that holds one key.
pub fn is_one_key(path: &str) -> bool {
    field(path).is_some_and(|schema| followed(schema).get("oneOf").is_some())
}

/// Whether the key is kept for a later version.
pub fn comes_later(path: &str) -> bool {
    field(path).is_some_and(|schema| schema.get("not").is_some())
}

/// The first paragraph of a field's reference text.
pub fn summary(path: &str) -> Option<&'static str> {
    field(path)?
        .get("description")?
        .as_str()?
        .split("\n\n")
        .next()
}

/// The example of a field, as it is written.
pub fn example(path: &str) -> Option<&'static str> {
    let (_, behind) = field(path)?
        .get("description")?
        .as_str()?
        .split_once("Example: `")?;
    behind.strip_suffix("`.")
}

/// Whether the schema knows a path.
pub fn knows(path: &str) -> bool {
    field(path).is_some()
}

/// Whether the field at a path has a default.
pub fn has_default(path: &str) -> bool {
    field(path).is_some_and(|schema| schema.get("default").is_some())
}

/// The default of a number, as it is written.
pub fn default_text(path: &str) -> Option<String> {
    match field(path)?.get("default")? {
        Value::String(text) => Some(text.clone()),
        Value::Number(number) => Some(number.to_string()),
        _ => None,
    }
}

/// What may be written at a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wanted {
    /// A quantity with its unit.
    Quantity(&'static Kind),
    /// A bare number.
    Number,
    /// Anything else: words, lists, sections.
    Other,
}

/// What may be written at a path; of several kinds the quantity.
pub fn wanted_at(path: &str) -> Wanted {
    field(path).map_or(Wanted::Other, written)
}

fn written(schema: &'static Value) -> Wanted {
    let schema = followed(schema);
    let number = |kind: &Value| kind == "number" || kind == "integer";
    let of_type = match schema.get("type") {
        Some(Value::Array(types)) => types.iter().any(number),
        Some(kind) => number(kind),
        None => false,
    };
    if of_type {
        return Wanted::Number;
    }
    let said = schema.get("description").and_then(Value::as_str);
    let kind = kinds()
        .into_iter()
        .find(|kind| said == Some(text::description(kind).as_str()));
    if let Some(kind) = kind {
        return Wanted::Quantity(kind);
    }
    let any = schema.get("anyOf").and_then(Value::as_array);
    any.into_iter()
        .flatten()
        .map(written)
        .find(|written| *written != Wanted::Other)
        .unwrap_or(Wanted::Other)
}

/// The keys that may stand below a path.
pub fn keys_below(path: &str) -> Vec<&'static str> {
    let Some(schema) = field(path).map(followed) else {
        return Vec::new();
    };
    let own = schema.get("properties").and_then(Value::as_object);
    let chosen = schema.get("oneOf").and_then(Value::as_array);
    own.into_iter()
        .chain(
            chosen
                .into_iter()
                .flatten()
                .filter_map(|one| one.get("properties")?.as_object()),
        )
        .flat_map(|properties| properties.keys().map(String::as_str))
        .collect()
}

/// The reference text of a field: what it means, its unit, default and example,
/// and the keys below it. `None` for a path that no scenario has.
pub fn explain_field(path: &str) -> Option<String> {
    let schema = field(path)?;
    let text = |schema: &Value| {
        schema
            .get("description")
            .and_then(Value::as_str)
            .unwrap_or("")
            .to_owned()
    };
    let mut out = text(schema);
    let behind = followed(schema);
    let type_text = text(behind);
    if !type_text.is_empty() && type_text != out {
        if !out.is_empty() {
            out.push_str("\n\n");
        }
        out.push_str(&type_text);
    }
    if let Some(words) = behind.get("oneOf").and_then(Value::as_array) {
        for word in words.iter().filter(|word| word.get("const").is_some()) {
            out.push_str(&format!(
                "\n- {}: {}",
                word["const"].as_str().unwrap_or(""),
                text(word)
            ));
        }
    }
    for key in keys_below(path) {
        let below = below(schema, key).map(&text).unwrap_or_default();
        let first = below.split("\n\n").next().unwrap_or("");
        out.push_str(&format!("\n- {key}: {first}"));
    }
    Some(out.trim().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn visit(value: &Value, path: &str, check: &mut dyn FnMut(&str, &Value)) {
        if let Some(properties) = value.get("properties").and_then(Value::as_object) {
            for (key, property) in properties {
                check(&format!("{path}.{key}"), property);
            }
        }
        match value {
            Value::Object(map) => {
                map.iter()
                    .for_each(|(key, below)| visit(below, &format!("{path}.{key}"), check));
            }
            Value::Array(items) => items.iter().for_each(|below| visit(below, path, check)),
            _ => {}
        }
    }

    #[test]
    fn every_field_is_described_and_every_value_has_an_example() {
        let mut bare = Vec::new();
        let mut count = 0;
        visit(&schema(), "", &mut |path, property| {
            count += 1;
            let described = property
                .get("description")
                .and_then(Value::as_str)
                .unwrap_or("");
            let reference = property.get("$ref").and_then(Value::as_str).unwrap_or("");
            let behind = whole().pointer(reference.trim_start_matches('#'));
            let section = behind.is_some_and(|schema| schema.get("type") != Some(&"string".into()));
            let example =
                property.get("examples").is_some() || section || property.get("not").is_some();
            let free = property.get("type").is_none() || property.get("oneOf").is_some();
            if described.is_empty()
                || !(example || free || property["type"] == "array" || path.contains(".oneOf"))
            {
                bare.push(path.to_owned());
            }
        });
        assert!(count > 150, "{count} fields");
        assert!(bare.is_empty(), "{bare:?}");
    }

    #[test]
    fn a_field_is_explained_with_default_and_example() {
        let text = explain_field("ambient.relative_humidity").unwrap();
        for part in ["Relative humidity", "Default: `0 %`", "Example: `40 %`"] {
            assert!(text.contains(part), "{part} in {text}");
        }
        let choice = explain_field("controller.feedback.anti_windup").unwrap();
        assert!(
            choice.contains("- clamping: The integrator holds"),
            "{choice}"
        );
        assert!(choice.contains("- back_calculation: "), "{choice}");
        assert!(
            explain_field("procedure.0.pull.settle")
                .unwrap()
                .contains("0 s")
        );
        assert_eq!(explain_field("ambient.nonsense"), None);
    }

    #[test]
    fn choices_hold_one_key_and_sections_do_not() {
        assert!(is_one_key("compressor.form") && is_one_key("open_loop.vanes"));
        assert!(!is_one_key("compressor") && !is_one_key("nonsense"));
    }
}
