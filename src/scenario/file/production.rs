//! How far numbers lie from what is written on one engine after another.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

use super::SpreadShape;
use crate::scenario::document::Fault;
use crate::scenario::factor::leading_number;
use crate::scenario::place::Part;
use crate::scenario::read::{Read, Reader};
use crate::scenario::tree::{Content, Node};

/// Spelling of a step of one per cent on a value that is itself in per cent.
const POINTS: &str = "points";

/// How far a number may lie from what is written.
#[derive(Debug, Clone, PartialEq)]
pub enum Deviation {
    /// As a share of the value \[-\].
    Relative(f64),
    /// In a unit of the value.
    Absolute {
        /// How many steps of the unit.
        number: f64,
        /// The unit; empty for a bare number.
        unit: String,
    },
}

impl std::fmt::Display for Deviation {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            // a thousandth of a per cent is finer than any spread is known
            Self::Relative(share) => write!(f, "{} %", (share * 1e5).round() / 1e3),
            Self::Absolute { number, unit } if unit == "%" => write!(f, "{number} {POINTS}"),
            Self::Absolute { number, unit } if unit.is_empty() => write!(f, "{number}"),
            Self::Absolute { number, unit } => write!(f, "{number} {unit}"),
        }
    }
}

/// The production spread of one number.
#[derive(Debug, Clone, PartialEq)]
pub struct ProductionSpread {
    /// Half-width of its range: for a normal shape two standard deviations, so that
    /// 95 % lie inside; for a uniform shape all of it.
    pub half_width: Deviation,
    /// How it lies inside that range.
    pub shape: SpreadShape,
    /// Nothing further off leaves the works.
    pub within: Option<Deviation>,
}

/// Production spreads: dotted path and spread.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Production(
    /// In the order written.
    pub Vec<(String, ProductionSpread)>,
);

impl Read for Deviation {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let read = match &node.content {
            Content::Number(number) => Some((*number, "")),
            Content::Text(text) => leading_number(text.trim()),
            _ => None,
        };
        let fault = match read {
            Some((number, _)) if !(number.is_finite() && number > 0.0) => Fault::new(
                "a spread counts both ways and is larger than nothing",
                "a number above zero",
                "leave the line out for a number that does not vary",
            ),
            Some((number, unit)) => {
                return Some(match unit.trim() {
                    "%" => Self::Relative(number / 100.0),
                    POINTS => Self::Absolute {
                        number,
                        unit: "%".to_owned(),
                    },
                    unit => Self::Absolute {
                        number,
                        unit: unit.to_owned(),
                    },
                });
            }
            None => Fault::new(
                "this is no spread",
                "per cent of the value such as 3 %, or a number with a unit of the value such as 2 kPa",
                "write how far the number lies from what is written, both ways",
            ),
        };
        reader.fault(node, Part::Value, fault);
        None
    }
}

impl Read for ProductionSpread {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        if !matches!(node.content, Content::Map(_)) {
            return Some(Self {
                half_width: Deviation::read(node, reader)?,
                shape: SpreadShape::Normal,
                within: None,
            });
        }
        let section = reader.section(node, &["spread", "shape", "within"])?;
        let half_width = reader.field::<Deviation>(section, "spread", None);
        let shape = reader.field::<SpreadShape>(section, "shape", Some("normal"));
        let within = reader.field::<Option<Deviation>>(section, "within", None);
        Some(Self {
            half_width: half_width?,
            shape: shape?,
            within: within?,
        })
    }
}

impl Read for Production {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let Content::Map(entries) = &node.content else {
            reader.wrong_kind(node, "a section of `path: spread` lines");
            return None;
        };
        let read: Vec<Option<(String, ProductionSpread)>> = entries
            .iter()
            .map(|entry| {
                let read = |reader: &mut Reader| ProductionSpread::read(&entry.value, reader);
                Some((entry.key.clone(), reader.within(&entry.key, read)?))
            })
            .collect();
        read.into_iter().collect::<Option<_>>().map(Self)
    }
}

impl JsonSchema for Deviation {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "Deviation".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": ["string", "number"],
            "description": "How far a number lies from what is written, both ways.",
            "examples": ["3 %", "2 kPa", "0.5 points"],
        })
    }
}

impl JsonSchema for ProductionSpread {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        "ProductionSpread".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let deviation = generator.subschema_for::<Deviation>();
        json_schema!({
            "anyOf": [deviation, {
                "type": "object",
                "properties": {
                    "spread": {
                        "type": ["string", "number"],
                        "description": "Half the width of the range.",
                        "examples": ["2 kPa"],
                    },
                    "shape": {
                        "enum": ["normal", "uniform"],
                        "description": "How the value lies in the range; normal if left out.",
                        "examples": ["uniform"],
                    },
                    "within": {
                        "type": ["string", "number"],
                        "description": "Nothing further off leaves the works.",
                        "examples": ["3 kPa"],
                    },
                },
                "required": ["spread"],
                "additionalProperties": false,
            }],
        })
    }
}

impl JsonSchema for Production {
    fn schema_name() -> Cow<'static, str> {
        "Production".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let spread = generator.subschema_for::<ProductionSpread>();
        json_schema!({ "type": "object", "additionalProperties": spread })
    }
}
