//! Names of channels, events, protections and limits, moments, and amounts whose
//! unit depends on a name beside them.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use crate::judgement::{Channel, EventKind, LimitKind};
use crate::quantity::{Duration, Quantity as _};
use crate::scenario::document::{Fault, nearest};
use crate::scenario::place::Part;
use crate::scenario::read::{Read, Reader};
use crate::scenario::tree::{Content, Node};
use crate::simulation::PROTECTIONS;

/// A value that is written as one of several names.
macro_rules! named {
    ($(#[doc = $doc:literal])+ $name:ident($inner:ty), $what:literal, $all:expr, $example:literal) => {
        $(#[doc = $doc])+
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $name(
            /// What the name stands for.
            pub $inner,
        );

        impl Read for $name {
            fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
                named(node, reader, $what, &$all).map(Self)
            }
        }

        impl JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                let names: Vec<String> = $all.into_iter().map(|(name, _)| name).collect();
                json_schema!({
                    "description": concat!("The name of ", $what, "."),
                    "enum": names,
                    "examples": [$example],
                })
            }
        }
    };
}

named!(
    /// A channel of the trace.
    ChannelName(Channel),
    "a channel",
    channels(),
    "shaft_speed"
);
named!(
    /// Something that begins or ends in a run.
    EventName(EventKind),
    "an event",
    events(),
    "reading_pinned"
);
named!(
    /// A protection of the controller.
    ProtectionName(&'static str),
    "a protection",
    protections(),
    "pinned_sensor"
);
named!(
    /// A limit.
    LimitName(LimitKind),
    "a limit",
    limits(),
    "shaft_speed"
);

fn channels() -> Vec<(String, Channel)> {
    Channel::ALL.map(|one| (one.name().to_owned(), one)).into()
}

fn events() -> Vec<(String, EventKind)> {
    let all = EventKind::all().into_iter();
    all.map(|one| (one.name(), one)).collect()
}

fn protections() -> Vec<(String, &'static str)> {
    PROTECTIONS.map(|one| (one.to_owned(), one)).into()
}

fn limits() -> Vec<(String, LimitKind)> {
    let all = LimitKind::ALL.into_iter();
    all.map(|one| (one.name().to_owned(), one)).collect()
}

/// More names than this are not listed in a message.
const LISTED: usize = 24;

fn named<T: Copy>(node: &Node, reader: &mut Reader, what: &str, all: &[(String, T)]) -> Option<T> {
    let Content::Text(text) = &node.content else {
        reader.wrong_kind(node, &format!("the name of {what}"));
        return None;
    };
    if let Some((_, found)) = all.iter().find(|(name, _)| name == text) {
        return Some(*found);
    }
    let names: Vec<&str> = all.iter().map(|(name, _)| name.as_str()).collect();
    let hint = match nearest(text, &names) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "pick one of those allowed".to_owned(),
    };
    let allowed = if names.len() > LISTED {
        format!(
            "the name of {what}, such as {}; `ringfence explain events` lists them",
            names[..4].join(", ")
        )
    } else {
        format!("one of {}", names.join(", "))
    };
    let fault = Fault::new(format!("`{text}` is not the name of {what}"), allowed, hint);
    reader.fault(node, Part::Value, fault);
    None
}

/// A moment of a run: a time, or the first time of an event.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Moment {
    /// Time since the start.
    Time(Duration),
    /// An event.
    Event(EventKind),
}

impl Read for Moment {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.content {
            Content::Text(text) if text.starts_with(|c: char| c.is_ascii_lowercase()) => {
                EventName::read(node, reader).map(|name| Self::Event(name.0))
            }
            _ => Duration::read(node, reader).map(Self::Time),
        }
    }
}

impl JsonSchema for Moment {
    fn schema_name() -> Cow<'static, str> {
        "Moment".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let time = generator.subschema_for::<Duration>();
        let event = generator.subschema_for::<EventName>();
        json_schema!({
            "description": "A time since the start, or an event, whose first time counts.",
            "anyOf": [time, event],
        })
    }
}

/// An amount as it is written. Which unit it has depends on what it belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct Amount(
    /// Number and unit; a bare number where the quantity has none.
    pub String,
);

impl Read for Amount {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.content {
            Content::Text(text) => Some(Self(text.clone())),
            Content::Number(number) if number.is_finite() => Some(Self(number.to_string())),
            // refused with its place while the tree was tidied
            Content::Number(_) => None,
            _ => {
                reader.wrong_kind(node, "an amount");
                None
            }
        }
    }
}

impl JsonSchema for Amount {
    fn schema_name() -> Cow<'static, str> {
        "Amount".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "An amount with the unit of what it belongs to; a bare number where that has none.",
            "anyOf": [{ "type": "string" }, { "type": "number" }],
            "examples": [Duration::kind().examples()[0], "150000 rpm", 1.2],
        })
    }
}
