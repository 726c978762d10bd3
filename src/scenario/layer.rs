//! Reading a file with everything it extends, and overrides on top.

use std::path::{Path, PathBuf};

use super::diagnostic::Fatal;
use super::document::{Fault, SourceText, Texts};
use super::guard;
use super::place::Part;
use super::schema;
use super::source::{FileSource, shown};
use super::tree::{self, Content, Entry, Node, Origin};

/// So many files may extend one another.
const LONGEST_CHAIN: usize = 16;

/// Reads files below one folder.
pub struct Layers<'a> {
    source: &'a dyn FileSource,
    /// The folder tree that nothing may leave, resolved.
    root: PathBuf,
    /// Texts and faults so far.
    pub texts: Texts,
}

/// A file on the way from the top file down its `extends`.
struct Link {
    resolved: PathBuf,
    name: String,
}

impl<'a> Layers<'a> {
    /// Starts at a folder tree.
    pub fn new(source: &'a dyn FileSource, root: &Path) -> Self {
        let root = if root.as_os_str().is_empty() {
            Path::new(".")
        } else {
            root
        };
        Self {
            source,
            root: source.resolve(root),
            texts: Texts::default(),
        }
    }

    /// Reads the top file and what it extends. A fault here ends the reading.
    pub fn read_top(&mut self, path: &Path) -> Result<Node, Fatal> {
        let name = shown(path);
        let bytes = self.source.read(path, guard::LARGEST).map_err(|failure| {
            let [message, read, allowed, hint] = guard::failure_words(&failure);
            guard::whole_file(&name, &message, &read, &allowed, &hint)
        })?;
        let link = Link {
            resolved: self.source.resolve(path),
            name,
        };
        self.read_layer(path, &bytes, &mut vec![link])
    }

    fn read_layer(
        &mut self,
        path: &Path,
        bytes: &[u8],
        chain: &mut Vec<Link>,
    ) -> Result<Node, Fatal> {
        let name = shown(path);
        let text = guard::text(&name, bytes)?;
        guard::nesting(&name, &text)?;
        let folder = path.parent().unwrap_or(Path::new("")).to_owned();
        let file = self.texts.add(SourceText {
            name,
            text,
            start: 0,
            folder,
        });
        let mut node = super::syntax::parse(&self.texts.texts[file], file)?;
        super::syntax::tidy(&mut node, "", &mut self.texts);
        let Content::Map(entries) = &mut node.content else {
            return Err(not_sections(&self.texts, &node));
        };
        let Some(at) = entries.iter().position(|entry| entry.key == "extends") else {
            return Ok(node);
        };
        let extends = entries.remove(at).value;
        let base = self.read_base(&extends, chain)?;
        Ok(merge(base, node, "", &mut self.texts))
    }

    fn read_base(&mut self, extends: &Node, chain: &mut Vec<Link>) -> Result<Node, Fatal> {
        let (path, bytes) = self.read_beside(extends, "extends", "a scenario file")?;
        let resolved = self.source.resolve(&path);
        let name = shown(&path);
        if let Some(start) = chain.iter().position(|link| link.resolved == resolved) {
            let mut names: Vec<_> = chain[start..]
                .iter()
                .map(|link| link.name.as_str())
                .collect();
            names.push(&name);
            let fault = Fault::new(
                format!("`extends` goes round in a circle: {}", names.join(" → ")),
                "a file that does not lead back here",
                "remove `extends` from one of the files in the circle",
            );
            return Err(self
                .texts
                .diagnostic(extends, Part::Value, "extends", fault)
                .into());
        }
        if chain.len() >= LONGEST_CHAIN {
            let fault = Fault::new(
                "too many files extend one another",
                format!("at most {LONGEST_CHAIN} files"),
                "write the layers into fewer files",
            );
            let diagnostic = self
                .texts
                .diagnostic(extends, Part::Value, "extends", fault);
            return Err(diagnostic.into());
        }
        chain.push(Link { resolved, name });
        self.read_layer(&path, &bytes, chain)
    }

    /// Reads the file whose relative path is written at a node.
    pub fn read_beside(
        &self,
        node: &Node,
        field: &str,
        what: &str,
    ) -> Result<(PathBuf, Vec<u8>), Fatal> {
        let path = self.beside(node, field, what)?;
        match self.source.read(&path, guard::LARGEST) {
            Ok(bytes) => Ok((path, bytes)),
            Err(failure) => {
                let [message, read, allowed, hint] = guard::failure_words(&failure);
                let written = node.describe();
                let fault = Fault::new(format!("{}: {message}", shown(&path)), allowed, hint)
                    .reading(format!("{written} ({read})"));
                Err(self
                    .texts
                    .diagnostic(node, Part::Value, field, fault)
                    .into())
            }
        }
    }

    /// The path that is written at a node, relative to its file; it stays inside the
    /// folder tree.
    pub fn beside(&self, node: &Node, field: &str, what: &str) -> Result<PathBuf, Fatal> {
        let place = |fault| Fatal::from(self.texts.diagnostic(node, Part::Value, field, fault));
        let Content::Text(written) = &node.content else {
            return Err(place(Fault::new(
                "a path is wanted here",
                format!("the path of {what}, relative to this file"),
                "write the path as text, such as `base.yaml`",
            )));
        };
        let path = self.texts.folder(&node.origin).join(written);
        let resolved = self.source.resolve(&path);
        let outside = !resolved.starts_with(&self.root) || resolved.starts_with("..");
        if Path::new(written).is_absolute() || outside {
            return Err(place(Fault::new(
                "the path leads outside the scenario's folder",
                format!("{what} in the folder of the scenario or below it"),
                "copy the file into the scenario's folder and name it from there",
            )));
        }
        Ok(path)
    }

    /// Lays one `--set PATH=VALUE` over the document.
    pub fn set(&mut self, root: &mut Node, path: &str, value: &str) {
        set(root, &mut self.texts, "--set", path, value);
    }
}

/// Lays `value`, read as YAML, over the field at a dotted path. In messages it comes
/// from `name`. `null` takes the field away.
pub fn set(root: &mut Node, texts: &mut Texts, name: &str, path: &str, value: &str) {
    let text = format!("{path}={value}");
    let folder = texts
        .texts
        .first()
        .map_or(PathBuf::new(), |text| text.folder.clone());
    let file = texts.add(SourceText {
        name: name.to_owned(),
        text,
        start: path.len() + 1,
        folder,
    });
    let origin = Origin {
        file,
        address: Vec::new(),
    };
    let mut node = tree::parse(value, file).unwrap_or(Node {
        content: Content::Text(value.to_owned()),
        origin: origin.clone(),
    });
    super::syntax::tidy(&mut node, path, texts);
    // As in a layer, null takes a key away; nothing at all is a slip of the hand.
    if matches!(node.content, Content::Nothing) && !value.trim().is_empty() {
        let keys: Vec<&str> = path.split('.').collect();
        if let Err((at, fault)) = take_away(root, &keys)
            && !may_be_absent(path)
        {
            let here = Node {
                content: Content::Text(value.to_owned()),
                origin,
            };
            texts.report(&here, Part::Key, &keys[..=at].join("."), fault);
        }
        return;
    }
    put(root, texts, path, node);
}

/// Puts a node at a dotted path; reports a path that leads nowhere.
pub fn put(root: &mut Node, texts: &mut Texts, path: &str, node: Node) {
    let keys: Vec<&str> = path.split('.').collect();
    let (origin, here) = (node.origin.clone(), node.clone());
    if let Err((at, fault)) = place_at(root, &keys, 0, node, &origin) {
        texts.report(&here, Part::Key, &keys[..=at].join("."), fault);
    }
}

/// Puts a node at a path, making sections on the way; the error tells at which key.
fn place_at(
    node: &mut Node,
    keys: &[&str],
    at: usize,
    value: Node,
    origin: &Origin,
) -> Result<(), (usize, Fault)> {
    let Some(&key) = keys.get(at) else {
        *node = value;
        return Ok(());
    };
    let here = keys[..at].join(".");
    // A choice such as `form` holds one key: another key replaces the whole.
    if schema::is_one_key(&here) && node.get(key).is_none() {
        node.content = Content::Map(Vec::new());
    }
    match &mut node.content {
        Content::Map(entries) => {
            let index = entries
                .iter()
                .position(|entry| entry.key == key)
                .unwrap_or_else(|| {
                    let empty = Node {
                        content: Content::Map(Vec::new()),
                        origin: origin.clone(),
                    };
                    entries.push(Entry {
                        key: key.to_owned(),
                        value: empty,
                    });
                    entries.len() - 1
                });
            place_at(&mut entries[index].value, keys, at + 1, value, origin)
        }
        Content::List(items) => {
            let count = items.len();
            match key
                .parse::<usize>()
                .ok()
                .and_then(|index| items.get_mut(index))
            {
                Some(item) => place_at(item, keys, at + 1, value, origin),
                None => Err((
                    at,
                    Fault::new(
                        format!("`{here}` has no element `{key}`"),
                        format!("a number from 0 to {}", count.saturating_sub(1)),
                        "elements of a list are counted from 0",
                    )
                    .reading(key),
                )),
            }
        }
        _ => Err((
            at,
            Fault::new(
                format!("`{here}` holds a single value; there is nothing below it"),
                format!("--set {here}=VALUE"),
                "leave out what follows the name of the value",
            )
            .reading(key),
        )),
    }
}

/// Takes the key at a path away; the error tells which key is not there.
fn take_away(node: &mut Node, keys: &[&str]) -> Result<(), (usize, Fault)> {
    let (last, above) = keys.split_last().unwrap_or((&"", &[]));
    let mut here = node;
    for (at, key) in above.iter().enumerate() {
        let below = match &mut here.content {
            Content::Map(entries) => entries
                .iter_mut()
                .find(|entry| entry.key == **key)
                .map(|entry| &mut entry.value),
            Content::List(items) => key
                .parse::<usize>()
                .ok()
                .and_then(|index| items.get_mut(index)),
            _ => None,
        };
        here = below.ok_or_else(|| (at, nothing_to_take_away(key)))?;
    }
    let found = match &mut here.content {
        Content::Map(entries) => entries.iter().position(|entry| entry.key == **last),
        _ => None,
    };
    match (found, &mut here.content) {
        (Some(index), Content::Map(entries)) => {
            entries.remove(index);
            Ok(())
        }
        _ => Err((above.len(), nothing_to_take_away(last))),
    }
}

/// Whether nothing is wrong when the key at a path is not there: it is one that
/// scenarios have. Overrides of many files at once take away what some lack.
fn may_be_absent(path: &str) -> bool {
    let last = path.rsplit('.').next().unwrap_or(path);
    schema::knows(path) && last.parse::<usize>().is_err()
}

fn nothing_to_take_away(key: &str) -> Fault {
    Fault::new(
        format!("there is no `{key}` to take away"),
        "null for a key that the scenario has",
        "leave the override out, or give it a value",
    )
    .reading(key)
}

/// Lays one node over another: sections by key, everything else whole.
fn merge(base: Node, over: Node, path: &str, texts: &mut Texts) -> Node {
    let Node {
        content: over_content,
        origin,
    } = over;
    match (base.content, over_content) {
        (Content::Map(mut below), Content::Map(above)) => {
            let one_key = schema::is_one_key(path);
            if one_key
                && !above
                    .iter()
                    .all(|entry| below.iter().any(|old| old.key == entry.key))
            {
                return Node {
                    content: Content::Map(above),
                    origin,
                };
            }
            for Entry { key, value } in above {
                let path = if path.is_empty() {
                    key.clone()
                } else {
                    format!("{path}.{key}")
                };
                let known = below.iter().position(|entry| entry.key == key);
                match (known, &value.content) {
                    // `key: null` takes a key of the base file away.
                    (Some(at), Content::Nothing) => {
                        below.remove(at);
                    }
                    (Some(at), _) => {
                        let old = std::mem::replace(
                            &mut below[at].value,
                            Node {
                                content: Content::Nothing,
                                origin: origin.clone(),
                            },
                        );
                        below[at].value = merge(old, value, &path, texts);
                    }
                    (None, Content::Nothing) => texts.report(
                        &value,
                        Part::Key,
                        &path,
                        Fault::new(
                            format!("`{key}` has no value"),
                            "a value, or null for a key that the extended file has",
                            "write a value, or remove the line",
                        )
                        .reading("nothing"),
                    ),
                    (None, _) => below.push(Entry { key, value }),
                }
            }
            Node {
                content: Content::Map(below),
                origin,
            }
        }
        (_, content) => Node { content, origin },
    }
}

fn not_sections(texts: &Texts, node: &Node) -> Fatal {
    let fault = Fault::new(
        "a scenario is a mapping of sections",
        "sections such as `engine:` and `compressor:`",
        "start from `ringfence new`",
    );
    texts.diagnostic(node, Part::Value, "file", fault).into()
}
