//! From YAML text to a tidy tree: syntax errors, duplicate keys, merge keys,
//! numbers that are none.

use super::diagnostic::{Diagnostic, Fatal};
use super::document::{Fault, SourceText, Texts};
use super::guard;
use super::place::Part;
use super::tree::{self, Content, Entry, Node};

/// Parses a file; the first syntax error ends it.
pub fn parse(source: &SourceText, file: usize) -> Result<Node, Fatal> {
    tree::parse(&source.text, file).map_err(|error| {
        let message = error.to_string();
        let (line, column) = error
            .location()
            .map(|at| (at.line(), at.column()))
            .unwrap_or_else(|| second_document(&source.text));
        // The parser may stop behind the last line; show the last one then.
        let line = line.clamp(1, source.text.lines().count().max(1));
        let source_line = source.line(line).to_owned();
        if message.contains("nested deeper") || message.contains("recursion limit") {
            return guard::too_deep(&source.name, line, column, &source_line).into();
        }
        let read = if source_line.trim().is_empty() {
            "an empty line".to_owned()
        } else {
            source_line.trim().chars().take(120).collect()
        };
        Fatal::from(Diagnostic {
            line,
            column,
            path: "syntax".to_owned(),
            source_line,
            ..guard::whole_file(
                &source.name,
                &format!("not valid YAML: {}", without_place(&message)),
                &read,
                "YAML: `key: value` lines, indented by spaces",
                advice(&message),
            )
        })
    })
}

/// The message without the place that the diagnostic carries already.
fn without_place(message: &str) -> &str {
    let end = message.find(" at line ").unwrap_or(message.len());
    &message[..end]
}

/// A second document starts at the second `---`.
fn second_document(text: &str) -> (usize, usize) {
    let mut content = false;
    for (index, line) in text.lines().enumerate() {
        if line.starts_with("---") && content {
            return (index + 1, 1);
        }
        content |= !line.trim().is_empty() && !line.starts_with('#');
    }
    (1, 1)
}

fn advice(message: &str) -> &'static str {
    const ADVICE: [(&str, &str); 8] = [
        (
            "more than one document",
            "keep one scenario per file: remove the second `---`",
        ),
        (
            "mapping values are not allowed",
            "put text that holds a colon into quotes, and check the indentation",
        ),
        (
            "found character that cannot start",
            "indent by spaces, not tabs; put text with special signs into quotes",
        ),
        (
            "did not find expected ',' or",
            "close the bracket, or put a comma between the elements",
        ),
        (
            "did not find expected key",
            "check that this line is indented like its neighbours",
        ),
        (
            "could not find expected ':'",
            "write a colon and a space behind the key",
        ),
        (
            "unknown anchor",
            "name an anchor that was set with & further up",
        ),
        (
            "repetition limit",
            "the aliases unfold to far too much; write the values out",
        ),
    ];
    ADVICE
        .iter()
        .find(|(part, _)| message.contains(part))
        .map_or(
            "check the indentation, quotes and brackets here and on the line above",
            |(_, advice)| advice,
        )
}

/// Refuses duplicate keys and odd values, and works `<<` out, in the whole tree.
pub fn tidy(node: &mut Node, path: &str, texts: &mut Texts) {
    match &mut node.content {
        Content::Map(entries) => {
            refuse_duplicates(entries, path, texts);
            for Entry { key, value } in entries.iter_mut() {
                tidy(value, &join(path, key), texts);
            }
            unfold_merges(entries, path, texts);
        }
        Content::List(items) => {
            for (index, item) in items.iter_mut().enumerate() {
                tidy(item, &join(path, &index.to_string()), texts);
            }
        }
        Content::Number(number) if !number.is_finite() => {
            let fault = Fault::new(
                "this is not a number to calculate with",
                "a finite number or a quantity with its unit",
                "write the value itself; leave the line out where it does not matter",
            );
            texts.report(node, Part::Value, path, fault);
        }
        Content::Tagged(tag) => {
            let fault = Fault::new(
                format!("YAML tags such as `!{tag}` have no meaning here"),
                "a plain value",
                "remove the tag",
            );
            texts.report(node, Part::Value, path, fault);
        }
        _ => {}
    }
}

/// The path of a child.
pub fn join(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_owned()
    } else {
        format!("{path}.{key}")
    }
}

fn refuse_duplicates(entries: &mut Vec<Entry>, path: &str, texts: &mut Texts) {
    let mut at = 0;
    while at < entries.len() {
        let key = entries[at].key.clone();
        // A merge key may come twice in sloppy files, but means nothing different: refuse it too.
        if entries[..at].iter().any(|entry| entry.key == key) {
            let again = entries.remove(at);
            let fault = Fault::new(
                format!("the key `{key}` is given twice"),
                "each key once in a section",
                "remove one of the two",
            );
            texts.report(
                &again.value,
                Part::Key,
                &join(path, &key),
                fault.reading(&key),
            );
        } else {
            at += 1;
        }
    }
}

/// `<<: *anchor` brings the keys of another mapping in, behind the own ones.
fn unfold_merges(entries: &mut Vec<Entry>, path: &str, texts: &mut Texts) {
    let Some(at) = entries.iter().position(|entry| entry.key == "<<") else {
        return;
    };
    let merged = entries.remove(at).value;
    let sources = match merged.content {
        Content::List(items) => items,
        _ => vec![merged],
    };
    for source in sources {
        match source.content {
            Content::Map(more) => {
                for entry in more {
                    if !entries.iter().any(|known| known.key == entry.key) {
                        entries.push(entry);
                    }
                }
            }
            _ => texts.report(
                &source,
                Part::Value,
                &join(path, "<<"),
                Fault::new(
                    "`<<` brings in another section",
                    "`<<: *name` of a section",
                    "name an anchor set on a section",
                ),
            ),
        }
    }
}
