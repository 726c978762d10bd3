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

/// How a number is believed to lie around what is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SpreadShape {
    /// Normal; the spread is two standard deviations.
    #[default]
    Normal,
    /// Evenly between the two ends of the spread, and nowhere else.
    Uniform,
}

impl SpreadShape {
    /// All shapes.
    pub const ALL: [Self; 2] = [Self::Normal, Self::Uniform];

    /// As it is written.
    pub fn name(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Uniform => "uniform",
        }
    }
}

/// The stated spread of one number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Half-width of the range in which the true value is believed to lie,
    /// relative to the value: for a normal shape two standard deviations, so
    /// that 95 % lie inside; for a uniform shape all of it.
    pub half_width: Fraction,
    /// How it lies inside that range.
    pub shape: SpreadShape,
}

/// The stated spread of weak parameters: dotted path and spread.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Spreads(
    /// In the order written.
    pub Vec<(String, Spread)>,
);

impl Read for Spreads {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let Content::Map(entries) = &node.content else {
            reader.wrong_kind(node, "a section of `path: spread` lines");
            return None;
        };
        let read: Vec<Option<(String, Spread)>> = entries
            .iter()
            .map(|entry| {
                let spread =
                    reader.within(&entry.key, |reader| Spread::read(&entry.value, reader))?;
                Some((entry.key.clone(), spread))
            })
            .collect();
        read.into_iter().collect::<Option<_>>().map(Self)
    }
}

/// Numbers that a controller takes for itself: name and value.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct OwnNumbers(
    /// In the order written.
    pub Vec<(String, f64)>,
);

impl Read for OwnNumbers {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let Content::Map(entries) = &node.content else {
            reader.wrong_kind(node, "a section of `name: number` lines");
            return None;
        };
        let read: Vec<Option<(String, f64)>> = entries
            .iter()
            .map(|entry| {
                let number = reader.within(&entry.key, |reader| f64::read(&entry.value, reader))?;
                Some((entry.key.clone(), number))
            })
            .collect();
        read.into_iter().collect::<Option<_>>().map(Self)
    }
}

impl JsonSchema for OwnNumbers {
    fn schema_name() -> Cow<'static, str> {
        "OwnNumbers".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "object",
            "description": "Names and numbers; which there are, the controller says.",
            "additionalProperties": { "type": "number" },
        })
    }
}

impl Read for Spread {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        if !matches!(node.content, Content::Map(_)) {
            return Some(Self {
                half_width: Fraction::read(node, reader)?,
                shape: SpreadShape::Normal,
            });
        }
        let section = reader.section(node, &["spread", "shape"])?;
        let half_width = reader.field::<Fraction>(section, "spread", None);
        let shape = reader.field::<SpreadShape>(section, "shape", Some("normal"));
        Some(Self {
            half_width: half_width?,
            shape: shape?,
        })
    }
}

impl Read for SpreadShape {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let shape = match &node.content {
            Content::Text(text) => Self::ALL.into_iter().find(|shape| shape.name() == text),
            _ => None,
        };
        if shape.is_none() {
            let fault = Fault::new(
                "this is no shape of a spread",
                "normal or uniform",
                "leave `shape` out for a normal one",
            );
            reader.fault(node, Part::Value, fault);
        }
        shape
    }
}

impl JsonSchema for Spreads {
    fn schema_name() -> Cow<'static, str> {
        "Spreads".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let spread = generator.subschema_for::<Spread>();
        json_schema!({ "type": "object", "additionalProperties": spread })
    }
}

impl JsonSchema for Spread {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Spread".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let spread = generator.subschema_for::<Fraction>();
        json_schema!({
            "anyOf": [spread, {
                "type": "object",
                "properties": {
                    "spread": {
                        "type": "string",
                        "description": "Half the width of the range, relative to the value.",
                        "examples": ["5 %"],
                    },
                    "shape": {
                        "enum": ["normal", "uniform"],
                        "description": "How the value lies in the range; normal if left out.",
                        "examples": ["uniform"],
                    },
                },
                "required": ["spread"],
                "additionalProperties": false,
            }],
        })
    }
}

impl JsonSchema for SpreadShape {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "SpreadShape".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "enum": ["normal", "uniform"] })
    }
}
