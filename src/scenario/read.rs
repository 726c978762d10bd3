//! From the tree to typed values, going on after each fault.

use schemars::{JsonSchema, Schema, SchemaGenerator};

use super::document::{Fault, Texts, nearest};
use super::place::Part;
use super::schema;
use super::tree::{Content, Node, Origin};
use crate::quantity::Quantity;

/// A value that can be read from the tree.
pub trait Read: Sized + JsonSchema {
    /// Reads a node; reports every fault and returns `None` if there was one.
    fn read(node: &Node, reader: &mut Reader) -> Option<Self>;

    /// The value of a key that is not there. `None`: the key is required.
    fn when_missing() -> Option<Self> {
        None
    }

    /// The JSON Schema of the value where it is written.
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        generator.subschema_for::<Self>()
    }
}

/// Walks the tree and collects faults.
pub struct Reader<'a> {
    /// Where the faults go; `None` while only looking.
    texts: Option<&'a mut Texts>,
    path: Vec<String>,
}

impl<'a> Reader<'a> {
    /// A reader that reports into `texts`.
    pub fn new(texts: &'a mut Texts) -> Self {
        Self {
            texts: Some(texts),
            path: Vec::new(),
        }
    }

    /// A reader that reports nothing: for looking whether a part is sound.
    pub fn silent() -> Self {
        Self {
            texts: None,
            path: Vec::new(),
        }
    }

    /// Reports a fault at a node.
    pub fn fault(&mut self, node: &Node, part: Part, fault: Fault) {
        let path = self.path.join(".");
        if let Some(texts) = self.texts.as_deref_mut() {
            texts.report(node, part, &path, fault);
        }
    }

    /// Does something one level further down.
    pub fn within<T>(&mut self, key: &str, work: impl FnOnce(&mut Self) -> T) -> T {
        self.path.push(key.to_owned());
        let out = work(self);
        self.path.pop();
        out
    }

    /// The node as a section; unknown keys are reported with the nearest known one.
    pub fn section<'n>(&mut self, node: &'n Node, known: &[&str]) -> Option<&'n Node> {
        let Content::Map(entries) = &node.content else {
            let keys = known.join(", ");
            let fault = Fault::new(
                "a section with keys is wanted here",
                format!("a section with the keys {keys}"),
                format!(
                    "write the keys below it, indented, such as `{}: …`",
                    known.first().unwrap_or(&"key")
                ),
            );
            self.fault(node, Part::Value, fault);
            return None;
        };
        let now = self.present(known);
        for entry in entries
            .iter()
            .filter(|entry| !known.contains(&entry.key.as_str()))
        {
            self.within(&entry.key, |reader| {
                reader.fault(&entry.value, Part::Key, unknown_key(&entry.key, &now));
            });
        }
        Some(node)
    }

    /// One field of a section.
    pub fn field<T: Read>(
        &mut self,
        section: &Node,
        key: &str,
        default: Option<&str>,
    ) -> Option<T> {
        match section.get(key) {
            Some(value) => self.within(key, |reader| T::read(value, reader)),
            None => match default {
                Some(text) => from_default(text),
                None => T::when_missing().or_else(|| {
                    self.within(key, |reader| {
                        let fault = reader.missing();
                        reader.fault(section, Part::Key, fault);
                    });
                    None
                }),
            },
        }
    }

    /// Those of the keys below this place that this version reads.
    pub fn present<'k>(&self, keys: &[&'k str]) -> Vec<&'k str> {
        let path = self.path.join(".");
        let later = |key: &str| schema::comes_later(&super::syntax::join(&path, key));
        keys.iter().copied().filter(|key| !later(key)).collect()
    }

    /// The key that is being read.
    pub fn key(&self) -> &str {
        self.path.last().map_or("", String::as_str)
    }

    /// Reports that something else than `what` stands here.
    pub fn wrong_kind(&mut self, node: &Node, what: &str) {
        self.wrong(node, what, what);
    }

    /// The same with more to say about what is allowed.
    pub fn wrong(&mut self, node: &Node, what: &str, allowed: &str) {
        let found = match &node.content {
            // Refused with its place while the tree was tidied.
            Content::Tagged(_) => return,
            Content::Nothing => "nothing",
            Content::Flag(_) => "true/false",
            Content::Number(_) => "a bare number",
            Content::Text(_) => "text",
            Content::List(_) => "a list",
            Content::Map(_) => "a section",
        };
        let fault = Fault::new(
            format!("{found} where {what} is wanted"),
            allowed,
            self.example(),
        );
        self.fault(node, Part::Value, fault);
    }

    /// A hint that shows how the value here is written.
    fn example(&self) -> String {
        let path = self.path.join(".");
        match schema::example(&path) {
            Some(example) => format!("write it like `{}: {example}`", self.key()),
            None => format!("`ringfence explain {path}` tells what belongs here"),
        }
    }

    /// The fault of a required key that is not there.
    fn missing(&self) -> Fault {
        let (path, key) = (self.path.join("."), self.key());
        let meaning = schema::summary(&path).unwrap_or_default();
        let hint = match schema::example(&path) {
            Some(example) => format!("add `{key}: {example}`, for example"),
            None => format!("add `{key}:`; `ringfence explain {path}` tells what belongs there"),
        };
        Fault::new(
            format!("`{key}` is missing"),
            format!("`{key}`: {meaning}"),
            hint,
        )
        .reading(format!("no `{key}`"))
    }
}

/// Reads a default from the text that documents it.
fn from_default<T: Read>(text: &str) -> Option<T> {
    let node = super::tree::parse(text, 0).ok()?;
    T::read(&node, &mut Reader::silent())
}

/// The fault of a key that is not known.
pub fn unknown_key(key: &str, known: &[&str]) -> Fault {
    let hint = match nearest(key, known) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "remove the key, or see `ringfence schema` for all keys".to_owned(),
    };
    Fault::new(
        format!("unknown key `{key}`"),
        format!("the keys {}", known.join(", ")),
        hint,
    )
    .reading(key)
}

/// Every quantity is read from its text with unit.
impl<Q: Quantity + JsonSchema> Read for Q {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let text = match &node.content {
            Content::Text(text) => text.clone(),
            Content::Number(number) if number.is_finite() => number.to_string(),
            Content::Nothing => String::new(),
            // Refused with its place while the tree was tidied.
            Content::Number(_) => return None,
            _ => {
                let (name, units) = (Q::kind().name(), Q::kind().allowed());
                reader.wrong(
                    node,
                    name,
                    &format!("{name}: a number and its unit ({units})"),
                );
                return None;
            }
        };
        match text.parse::<Q>() {
            Ok(value) => Some(value),
            Err(error) => {
                let fault = Fault::new(error.message(), error.allowed(), error.hint());
                reader.fault(node, Part::Value, fault);
                None
            }
        }
    }
}

impl<T: Read> Read for Option<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        T::read(node, reader).map(Some)
    }

    fn when_missing() -> Option<Self> {
        Some(None)
    }

    fn schema(generator: &mut SchemaGenerator) -> Schema {
        T::schema(generator)
    }
}

impl<T: Read> Read for Vec<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let Content::List(items) = &node.content else {
            reader.wrong_kind(node, "a list in [ ]");
            return None;
        };
        let values: Vec<Option<T>> = items
            .iter()
            .enumerate()
            .map(|(index, item)| reader.within(&index.to_string(), |reader| T::read(item, reader)))
            .collect();
        values.into_iter().collect()
    }
}

impl Read for String {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.content {
            Content::Text(text) if !text.trim().is_empty() => Some(text.trim().to_owned()),
            Content::Number(number) if number.is_finite() => Some(number.to_string()),
            _ => {
                reader.wrong_kind(node, "text");
                None
            }
        }
    }
}

impl Read for bool {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match node.content {
            Content::Flag(flag) => Some(flag),
            _ => {
                reader.wrong_kind(node, "true or false");
                None
            }
        }
    }
}

impl Read for f64 {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.content {
            Content::Number(number) => number.is_finite().then_some(*number),
            Content::Text(text) => {
                let fault = match text
                    .split_whitespace()
                    .next()
                    .and_then(|word| word.parse::<f64>().ok())
                {
                    Some(number) => Fault::new(
                        "a bare number is wanted here, without a unit",
                        "a number",
                        format!("write {number}"),
                    ),
                    None => Fault::new(
                        "this is not a number",
                        "a number",
                        "write a number such as 1.5",
                    ),
                };
                reader.fault(node, Part::Value, fault);
                None
            }
            _ => {
                reader.wrong_kind(node, "a number");
                None
            }
        }
    }
}

/// Whole numbers, such as a count of cylinders.
impl Read for u32 {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let number = f64::read(node, reader)?;
        if number.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&number) {
            return Some(number as u32);
        }
        let fault = Fault::new(
            "a whole number is wanted here",
            "a whole number, not negative",
            format!("write {}", number.abs().round().min(f64::from(u32::MAX))),
        );
        reader.fault(node, Part::Value, fault);
        None
    }
}

/// A value kept as it was written, for sections of later versions.
#[derive(Debug, Clone, PartialEq, JsonSchema)]
pub struct Raw(
    /// The tree as written.
    #[schemars(with = "serde_json::Value")]
    pub Node,
);

impl Read for Raw {
    fn read(node: &Node, _reader: &mut Reader) -> Option<Self> {
        Some(Self(node.clone()))
    }
}

impl Default for Raw {
    fn default() -> Self {
        Self(Node {
            content: Content::Nothing,
            origin: Origin::default(),
        })
    }
}
