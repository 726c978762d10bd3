//! `ringfence explain`: what is behind a name.
use std::sync::OnceLock;

use serde::Serialize;

use super::args::Explain;
use super::exit::Status;
use super::failure::Failure;
use super::screen::Screen;
use crate::map::findings::Rule;
use crate::report::table::{Paint, heading, item, paragraph};
use crate::report::{CAUTIONS, cautions_text, names};
use crate::scenario::{explain_field, keys_below};

/// The texts, by kind.
const PAGES: [(Kind, &str); 6] = [
    (Kind::Limit, include_str!("explain/limits.md")),
    (Kind::Protection, include_str!("explain/protections.md")),
    (Kind::Verdict, include_str!("explain/verdicts.md")),
    (Kind::Finding, include_str!("explain/findings.md")),
    (Kind::Check, include_str!("explain/checks.md")),
    (Kind::Word, include_str!("explain/words.md")),
];

/// Name of the list of cautions.
const CAUTIONS_NAME: &str = "cautions";
/// How many similar names are offered.
const SUGGESTIONS: usize = 4;
/// How similar a name must be to be offered; 1 is equal.
const SIMILAR: f64 = 0.6;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
enum Kind {
    Limit,
    Protection,
    Verdict,
    Finding,
    Check,
    Word,
    Field,
}

impl Kind {
    fn plural(self) -> &'static str {
        match self {
            Self::Limit => "Limits",
            Self::Protection => "Protections",
            Self::Verdict => "Verdicts and reasons to stop",
            Self::Finding => "Findings of check",
            Self::Check => "Expectations of verify",
            Self::Word => "Words",
            Self::Field => "Sections of the scenario file (and every field below them)",
        }
    }

    fn singular(self) -> &'static str {
        match self {
            Self::Limit => "limit",
            Self::Protection => "protection",
            Self::Verdict => "verdict or reason to stop",
            Self::Finding => "finding of check",
            Self::Check => "expectation of verify",
            Self::Word => "word",
            Self::Field => "field of the scenario file",
        }
    }
}

/// One text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct Entry {
    name: String,
    kind: Kind,
    text: String,
}

fn entries() -> &'static [Entry] {
    static ENTRIES: OnceLock<Vec<Entry>> = OnceLock::new();
    ENTRIES.get_or_init(|| {
        let mut entries: Vec<Entry> = PAGES
            .iter()
            .flat_map(|(kind, page)| sections(*kind, page))
            .collect();
        entries.extend(Rule::ALL.iter().map(|rule| Entry {
            name: rule.code().to_owned(),
            kind: Kind::Finding,
            text: format!(
                "Finding of `check` on a map: {}. Exit status 1.\n\nWhy it matters: {}\n\n\
                 What to do: {}.",
                rule.title(),
                rule.why(),
                rule.advice()
            ),
        }));
        entries.push(Entry {
            name: CAUTIONS_NAME.to_owned(),
            kind: Kind::Word,
            text: CAUTIONS.join("\n\n"),
        });
        entries
    })
}

/// The sections of a page: `# name`, then paragraphs.
fn sections(kind: Kind, page: &str) -> Vec<Entry> {
    format!("\n{page}")
        .split("\n# ")
        .skip(1)
        .map(|section| {
            let (name, text) = section.split_once('\n').unwrap_or((section, ""));
            Entry {
                name: name.trim().to_owned(),
                kind,
                text: text.trim().to_owned(),
            }
        })
        .collect()
}

/// Explains one name, or lists them all.
pub fn explain(args: &Explain, screen: &Screen) -> Result<Status, Failure> {
    let Some(name) = args.name.as_deref() else {
        if screen.json {
            screen.document(&list())?;
        } else {
            screen.text(&list_text(screen))?;
        }
        return Ok(Status::Held);
    };
    let found = find(name);
    if found.is_empty() {
        return Err(unknown(name));
    }
    if screen.json {
        screen.document(&serde_json::json!({ "entries": found }))?;
    } else {
        let texts: Vec<String> = found.iter().map(|entry| page(entry, screen)).collect();
        screen.text(&texts.join("\n"))?;
    }
    Ok(Status::Held)
}

/// Everything of that name: texts, then the field of that path with the text of
/// what it sets.
fn find(name: &str) -> Vec<Entry> {
    let plain = name.trim();
    let word = plain.to_lowercase().replace([' ', '-'], "_");
    let mut found: Vec<Entry> = entries()
        .iter()
        .filter(|entry| entry.name == word || label_of(entry).is_some_and(|l| l == plain))
        .cloned()
        .collect();
    if !plain.is_empty()
        && let Some(text) = explain_field(plain)
    {
        found.push(Entry {
            name: plain.to_owned(),
            kind: Kind::Field,
            text,
        });
        found.extend(behind_field(plain).cloned());
    }
    found
}

/// The text of the limit or protection that a field sets.
fn behind_field(path: &str) -> Option<&'static Entry> {
    let (kind, name) = if let Some(name) = path.strip_prefix("limits.") {
        (Kind::Limit, name)
    } else {
        let rest = path.strip_prefix("controller.protections.")?;
        (Kind::Protection, rest)
    };
    entries()
        .iter()
        .find(|entry| entry.kind == kind && entry.name == name)
}

/// The label under which tables and pictures show it.
fn label_of(entry: &Entry) -> Option<&'static str> {
    match entry.kind {
        Kind::Limit => names::limit(&entry.name).map(|name| name.label),
        Kind::Protection => names::protection(&entry.name).map(|name| name.label),
        _ => None,
    }
}

fn page(entry: &Entry, screen: &Screen) -> String {
    let colour = screen.colour();
    if entry.name == CAUTIONS_NAME && entry.kind == Kind::Word {
        return cautions_text(screen.width);
    }
    let mut text = format!(
        "{} ({})\n",
        Paint::Bold.apply(&entry.name, colour),
        entry.kind.singular()
    );
    for block in entry.text.split("\n\n") {
        text.push('\n');
        for line in block.lines() {
            match line.strip_prefix("- ") {
                Some(rest) => text.push_str(&item("-", rest, screen.width)),
                None => text.push_str(&paragraph(line, screen.width, Paint::Plain, colour)),
            }
        }
    }
    text
}

#[derive(Serialize)]
struct List {
    entries: Vec<Line>,
    sections: Vec<&'static str>,
}

#[derive(Serialize)]
struct Line {
    name: &'static str,
    kind: Kind,
    meaning: String,
}

fn list() -> List {
    List {
        entries: entries()
            .iter()
            .map(|entry| Line {
                name: &entry.name,
                kind: entry.kind,
                meaning: meaning(entry),
            })
            .collect(),
        sections: keys_below(""),
    }
}

/// A name in one line.
fn meaning(entry: &Entry) -> String {
    if entry.name == CAUTIONS_NAME {
        return "What every reader of a result must keep in mind".to_owned();
    }
    let named = match entry.kind {
        Kind::Limit => names::limit(&entry.name).map(|name| name.meaning),
        Kind::Protection => names::protection(&entry.name).map(|name| name.meaning),
        _ => None,
    };
    let first = entry.text.split(['\n', ';']).next().unwrap_or("");
    let sentence = first.split(". ").next().unwrap_or("");
    named.map_or_else(|| sentence.trim_end_matches('.').to_owned(), str::to_owned)
}

fn list_text(screen: &Screen) -> String {
    let widest = entries().iter().map(|e| e.name.len()).max().unwrap_or(0);
    let kinds = [
        Kind::Limit,
        Kind::Protection,
        Kind::Verdict,
        Kind::Finding,
        Kind::Check,
        Kind::Word,
    ];
    let mut text = String::from("Ask for one of these with `ringfence explain NAME`.\n");
    for kind in kinds {
        text.push_str(&heading(kind.plural(), screen.colour()));
        for entry in entries().iter().filter(|entry| entry.kind == kind) {
            let name = format!("{:widest$} ", entry.name);
            text.push_str(&item(&name, &meaning(entry), screen.width));
        }
    }
    text.push_str(&heading(Kind::Field.plural(), screen.colour()));
    text.push_str(&paragraph(
        &keys_below("").join(", "),
        screen.width,
        Paint::Plain,
        screen.colour(),
    ));
    text
}

fn unknown(name: &str) -> Failure {
    let near = nearest(name);
    let hint = if near.is_empty() {
        "`ringfence explain` lists every name".to_owned()
    } else {
        format!("did you mean {}?", near.join(", "))
    };
    Failure::call(
        "nothing of that name is known",
        name,
        "a limit, protection, verdict, finding, word, or the dotted path of a scenario field",
        hint,
    )
}

/// Similar names, the most similar first: known names and, for a path, the keys
/// beside its last one.
fn nearest(name: &str) -> Vec<String> {
    let parent = longest_known(name);
    let fields = keys_below(&parent).into_iter().map(|key| {
        if parent.is_empty() {
            key.to_owned()
        } else {
            format!("{parent}.{key}")
        }
    });
    let texts = entries().iter().map(|entry| entry.name.clone());
    let mut near: Vec<(f64, String)> = texts
        .chain(fields)
        .map(|known| (strsim::jaro_winkler(name, &known), known))
        .filter(|(score, _)| *score >= SIMILAR)
        .collect();
    near.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    near.dedup_by(|a, b| a.1 == b.1);
    near.into_iter()
        .take(SUGGESTIONS)
        .map(|(_, known)| known)
        .collect()
}

/// The longest beginning of a path that a scenario has.
fn longest_known(path: &str) -> String {
    let keys: Vec<&str> = path.split('.').collect();
    (0..keys.len())
        .rev()
        .map(|count| keys[..count].join("."))
        .find(|start| start.is_empty() || explain_field(start).is_some())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judgement::{Channel, EventKind};

    fn explained(kind: Kind, name: &str) -> bool {
        entries()
            .iter()
            .any(|entry| entry.kind == kind && entry.name == name && !entry.text.is_empty())
    }

    #[test]
    fn every_limit_and_protection_is_explained() {
        for limit in names::LIMITS {
            assert!(explained(Kind::Limit, limit.key), "{}", limit.key);
        }
        for protection in names::PROTECTIONS {
            assert!(
                explained(Kind::Protection, protection.key),
                "{}",
                protection.key
            );
        }
    }

    #[test]
    fn every_kind_of_check_is_explained() {
        for key in keys_below("expect.checks.0") {
            assert!(key == "name" || explained(Kind::Check, key), "{key}");
        }
    }

    #[test]
    fn every_channel_and_event_is_told() {
        let text = |name: &str| find(name)[0].text.clone();
        for channel in Channel::ALL {
            let name = channel.name();
            assert!(text("channels").contains(name), "{name}");
        }
        for event in EventKind::all() {
            let name = event.name();
            let family = name
                .split_once('.')
                .map_or(name.clone(), |(family, _)| format!("{family}.NAME"));
            assert!(text("events").contains(&family), "{name}");
        }
    }

    #[test]
    fn limits_say_why_and_what_is_done() {
        for entry in entries().iter().filter(|entry| entry.kind == Kind::Limit) {
            for part in ["Why it matters:", "What ringfence does:"] {
                assert!(entry.text.contains(part), "{part} in {}", entry.name);
            }
        }
    }

    #[test]
    fn a_slip_finds_its_name() {
        assert_eq!(nearest("pinnd_time")[0], "pinned_time");
        assert_eq!(nearest("sensors.boost.clmp")[0], "sensors.boost.clamp");
    }

    #[test]
    fn a_field_brings_what_it_sets() {
        let kinds: Vec<Kind> = find("limits.lambda").iter().map(|e| e.kind).collect();
        assert_eq!(kinds, [Kind::Field, Kind::Limit]);
    }
}
