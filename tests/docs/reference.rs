//! The reference of the scenario file, made from its schema.
use super::pages::{root, writing};
use ringfence::scenario::schema;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;

const PAGE: &str = "docs/scenario-reference.md";

/// Sections in the order in which a reader meets them in a file.
const SECTIONS: [&str; 25] = [
    "extends",
    "about",
    "ambient",
    "gas",
    "engine",
    "fuel",
    "intake",
    "exhaust",
    "recirculation",
    "volumes",
    "compressor",
    "turbine",
    "shaft",
    "vanes",
    "sensors",
    "controller",
    "open_loop",
    "procedure",
    "limits",
    "ceiling",
    "uncertainty",
    "production",
    "solver",
    "faults",
    "expect",
];

const HEAD: &str = "# The scenario file, key by key

Made from the program's own schema by
`RINGFENCE_WRITE=1 cargo test --release --test docs`; changes by hand are lost.
`ringfence explain PATH` prints the same text for one key, `ringfence schema`
the JSON Schema for editors.

A scenario is YAML. Quantities are text with their unit (`350 kPa abs`, `30 psi
gauge`, `2800 rpm`, `40 %`); the [units](#quantities-and-their-units) stand at
the end. A pressure says `abs` or `gauge`; gauge counts from the ambient of the
moment. A pressure difference has neither. Keys marked **needed** must be given
wherever their section is. What a section holds in braces with one key is a
choice: write exactly one of them. `--set PATH=VALUE` on the command line
overrides one key; list items count from 0 (`procedure.0.pull.to`).
";

struct Writer {
    schema: Value,
    out: String,
    quantities: BTreeSet<String>,
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value.get(key).and_then(Value::as_str).unwrap_or("")
}

/// The first paragraphs, without the default and example that stand in columns
/// of their own.
fn meaning(description: &str) -> String {
    description
        .split("\n\n")
        .filter(|p| !p.starts_with("Default: `") && !p.starts_with("Example: `"))
        .collect::<Vec<_>>()
        .join(" ")
        .replace('|', "\\|")
}

/// What stands behind `Default: ` or `Example: `.
fn noted<'a>(description: &'a str, what: &str) -> &'a str {
    description
        .split("\n\n")
        .find_map(|p| p.strip_prefix(what))
        .map_or("", |p| p.trim_end_matches('.'))
}

impl Writer {
    fn followed(&self, value: &Value) -> Value {
        match value.get("$ref").and_then(Value::as_str) {
            Some(reference) => self
                .schema
                .pointer(reference.trim_start_matches('#'))
                .cloned()
                .unwrap_or(Value::Null),
            None => value.clone(),
        }
    }

    /// What may stand there, in words.
    fn kind(&mut self, value: &Value) -> String {
        let behind = self.followed(value);
        if behind.get("not").is_some() {
            return "later".to_owned();
        }
        if let Some(items) = behind.get("items") {
            return format!("list of {}", self.kind(items));
        }
        if let Some(choices) = behind.get("oneOf").and_then(Value::as_array) {
            let names: Vec<String> = choices
                .iter()
                .filter(|c| !is_later(c))
                .map(|c| match c.get("const").and_then(Value::as_str) {
                    Some(word) => format!("`{word}`"),
                    None => format!("`{{{}: …}}`", only_key(c)),
                })
                .collect();
            return names.join(" or ");
        }
        if let Some((name, _)) = text(&behind, "description").split_once(": a number and its unit")
        {
            if let Some(reference) = value.get("$ref").and_then(Value::as_str) {
                self.quantities.insert(reference.to_owned());
            }
            return name.to_owned();
        }
        if let Some(any) = behind.get("anyOf").and_then(Value::as_array) {
            let kinds: Vec<String> = any
                .iter()
                .map(|one| match one.get("const").and_then(Value::as_str) {
                    Some(word) => format!("`{word}`"),
                    None => self.kind(one),
                })
                .collect();
            return kinds.join(" or ");
        }
        if behind.get("enum").is_some() {
            let what = text(&behind, "description").trim_end_matches('.');
            return what.strip_prefix("The ").unwrap_or(what).to_owned();
        }
        match text(&behind, "type") {
            "integer" => "whole number".to_owned(),
            "number" => "number".to_owned(),
            "string" => "text".to_owned(),
            "object" => "section".to_owned(),
            _ => "anything".to_owned(),
        }
    }

    fn section(&mut self, path: &str, level: usize, value: &Value) {
        let behind = self.followed(value);
        let _ = writeln!(self.out, "\n{} `{path}`\n", "#".repeat(level));
        let own = meaning(text(value, "description"));
        let of_type = meaning(text(&behind, "description"));
        // both say the same, one of them in more words
        let longer = if of_type.len() > own.len() {
            of_type
        } else {
            own
        };
        let _ = writeln!(self.out, "{longer}\n");
        if let Some(choices) = behind.get("oneOf").and_then(Value::as_array).cloned() {
            self.choice(path, level, &choices);
        } else if let Some(items) = behind.get("items").cloned() {
            let items = self.followed(&items);
            if let Some(choices) = items.get("oneOf").and_then(Value::as_array).cloned() {
                self.choice(&format!("{path}.0"), level, &choices);
            }
        } else if behind.get("properties").is_some() {
            self.keys(path, level, &behind);
        } else {
            let kind = self.kind(value);
            let example = noted(text(value, "description"), "Example: ");
            let _ = writeln!(self.out, "Value: {kind}.");
            if !example.is_empty() {
                let _ = writeln!(self.out, "Example: {example}.");
            }
        }
    }

    fn choice(&mut self, path: &str, level: usize, choices: &[Value]) {
        let mut below = Vec::new();
        for one in choices {
            if let Some(word) = one.get("const").and_then(Value::as_str) {
                let _ = writeln!(self.out, "- `{word}`: {}", text(one, "description"));
                continue;
            }
            let key = only_key(one);
            let value = one["properties"][&key].clone();
            let kind = self.kind(&value);
            let _ = writeln!(
                self.out,
                "- `{{{key}: …}}` ({kind}): {}",
                meaning(text(&value, "description"))
            );
            if self.followed(&value).get("properties").is_some() {
                below.push((format!("{path}.{key}"), value));
            }
        }
        for (path, value) in below {
            self.section(&path, level + 1, &value);
        }
    }

    fn keys(&mut self, path: &str, level: usize, section: &Value) {
        let empty = serde_json::Map::new();
        let properties = section["properties"].as_object().unwrap_or(&empty).clone();
        let needed: Vec<&str> = section["required"]
            .as_array()
            .map(|names| names.iter().filter_map(Value::as_str).collect())
            .unwrap_or_default();
        let rest = properties.keys().map(String::as_str);
        let order: Vec<&str> = needed
            .iter()
            .copied()
            .chain(rest.filter(|key| !needed.contains(key)))
            .collect();
        self.out
            .push_str("| key | value | if left out | example | meaning |\n");
        self.out.push_str("| --- | --- | --- | --- | --- |\n");
        let mut below = Vec::new();
        for key in order {
            let value = &properties[key];
            let kind = self.kind(value);
            let description = text(value, "description");
            let default = match noted(description, "Default: ") {
                _ if needed.contains(&key) => "**needed**",
                "`{}`" => "its defaults",
                "" => "–",
                other => other,
            };
            let _ = writeln!(
                self.out,
                "| `{key}` | {kind} | {default} | {} | {} |",
                noted(description, "Example: "),
                meaning(description)
            );
            let behind = self.followed(value);
            if behind.get("properties").is_some() || behind.get("oneOf").is_some() {
                below.push((format!("{path}.{key}"), value.clone()));
            } else if let Some(items) = behind.get("items")
                && self.followed(items).get("properties").is_some()
            {
                below.push((format!("{path}.{key}.0"), items.clone()));
            }
        }
        for (path, value) in below {
            self.section(&path, level + 1, &value);
        }
    }

    fn quantity_table(&mut self) {
        self.out.push_str(
            "\n## Quantities and their units\n\n| quantity | units | examples |\n| --- | --- | --- |\n",
        );
        for reference in self.quantities.clone() {
            let kind = self.followed(&serde_json::json!({ "$ref": reference }));
            let description = text(&kind, "description");
            let Some((name, units)) = description.split_once(": a number and its unit (") else {
                continue;
            };
            let examples: Vec<String> = kind["examples"]
                .as_array()
                .map(|all| all.iter().filter_map(Value::as_str))
                .into_iter()
                .flatten()
                .map(|e| format!("`{e}`"))
                .collect();
            let units = units.strip_suffix(')').unwrap_or(units);
            let _ = writeln!(self.out, "| {name} | {units} | {} |", examples.join(", "));
        }
    }
}

fn only_key(choice: &Value) -> String {
    choice["properties"]
        .as_object()
        .and_then(|map| map.keys().next().cloned())
        .unwrap_or_default()
}

fn is_later(choice: &Value) -> bool {
    choice["properties"]
        .as_object()
        .is_some_and(|map| map.values().any(|v| v.get("not").is_some()))
}

fn page() -> String {
    let schema = schema();
    let mut writer = Writer {
        out: HEAD.to_owned(),
        quantities: BTreeSet::new(),
        schema: schema.clone(),
    };
    let known: BTreeSet<&str> = schema["properties"]
        .as_object()
        .map(|map| map.keys().map(String::as_str).collect())
        .unwrap_or_default();
    assert_eq!(
        known,
        SECTIONS.into_iter().collect(),
        "the list of sections here is not that of the schema"
    );
    for key in SECTIONS {
        writer.section(key, 2, &schema["properties"][key]);
    }
    writer.quantity_table();
    writer.out
}

#[test]
fn the_scenario_reference_is_fresh() {
    let fresh = page();
    let path = root().join(PAGE);
    if writing() {
        fs::write(&path, &fresh).expect("a written page");
    }
    let kept = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept.replace("\r\n", "\n") == fresh,
        "{PAGE} is stale: RINGFENCE_WRITE=1 cargo test --release --test docs"
    );
}
