//! The JSON Schema of a scenario, and what its texts tell about a field.

use std::sync::OnceLock;

use serde_json::Value;

use super::file::ScenarioFile;

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

/// Whether the schema knows a path.
pub fn knows(path: &str) -> bool {
    field(path).is_some()
}

/// Whether the field at a path has a default.
pub fn has_default(path: &str) -> bool {
    field(path).is_some_and(|schema| schema.get("default").is_some())
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
