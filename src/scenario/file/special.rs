//! Values with a spelling of their own.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use crate::quantity::{Fraction, FuelQuantity};
use crate::scenario::document::Fault;
use crate::scenario::place::Part;
use crate::scenario::read::{Read, Reader};
use crate::scenario::tree::{Content, Node};

/// Fuel of each injection: `full`, or a quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FuelDemand {
    /// What the full-load table gives at the speed of the moment.
    Full,
    /// The same quantity at every speed.
    Quantity(FuelQuantity),
}

impl Read for FuelDemand {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.content {
            Content::Text(text) if text == "full" => Some(Self::Full),
            Content::Text(text)
                if !text.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)) =>
            {
                let fault = Fault::new(
                    format!("`{text}` is no fuel demand"),
                    "`full`, or a fuel quantity such as 60 mg",
                    "write `full` for the full-load table",
                );
                reader.fault(node, Part::Value, fault);
                None
            }
            _ => FuelQuantity::read(node, reader).map(Self::Quantity),
        }
    }
}

impl JsonSchema for FuelDemand {
    fn schema_name() -> Cow<'static, str> {
        "FuelDemand".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let quantity = generator.subschema_for::<FuelQuantity>();
        json_schema!({
            "description": "`full` for the full-load table, or the fuel of one injection.",
            "anyOf": [{ "const": "full" }, quantity],
        })
    }
}

/// Something that the file format keeps a name for and a later version brings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Later {}

impl Read for Later {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let key = reader.key().to_owned();
        let fault = Fault::new(
            format!("`{key}` comes with a later version"),
            format!("a scenario without `{key}`"),
            "remove it for now",
        );
        reader.fault(node, Part::Key, fault.reading(&key));
        None
    }
}

impl JsonSchema for Later {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Later".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "not": {}, "description": "Comes with a later version." })
    }
}

/// The stated spread of weak parameters: dotted path and relative spread.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Spreads(
    /// In the order written.
    pub Vec<(String, Fraction)>,
);

impl Read for Spreads {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let Content::Map(entries) = &node.content else {
            reader.wrong_kind(node, "a section of `path: spread` lines");
            return None;
        };
        let read: Vec<Option<(String, Fraction)>> = entries
            .iter()
            .map(|entry| {
                let spread =
                    reader.within(&entry.key, |reader| Fraction::read(&entry.value, reader))?;
                Some((entry.key.clone(), spread))
            })
            .collect();
        read.into_iter().collect::<Option<_>>().map(Self)
    }
}

impl JsonSchema for Spreads {
    fn schema_name() -> Cow<'static, str> {
        "Spreads".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let spread = generator.subschema_for::<Fraction>();
        json_schema!({ "type": "object", "additionalProperties": spread })
    }
}
