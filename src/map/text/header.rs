//! Reads what a map says of itself.

use super::{MapProblem, problem};
use crate::map::ReferenceConditions;
use crate::quantity::{AbsolutePressure, QuantityError, Temperature};

/// Where the figures of a map come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DataOrigin {
    /// Made up for a demonstration.
    Invented,
    /// Measured by whoever wrote the file.
    Measured,
    /// Taken from a publication.
    Published,
    /// Calculated from sizes, not measured.
    Estimated,
}

impl DataOrigin {
    /// All of them, in the order in which messages list them.
    const ALL: [Self; 4] = [
        Self::Invented,
        Self::Measured,
        Self::Published,
        Self::Estimated,
    ];

    /// The word used in map files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Invented => "invented",
            Self::Measured => "measured",
            Self::Published => "published",
            Self::Estimated => "estimated",
        }
    }
}

/// What a map says of itself.
#[derive(Debug, Clone, PartialEq)]
pub struct MapHeader {
    /// What the map is, one line.
    pub about: String,
    /// Invented, measured, published or estimated.
    pub data: DataOrigin,
    /// Conditions to which flow and speed are corrected.
    pub reference: ReferenceConditions,
    /// Where the figures come from, one line.
    pub source: String,
}

/// Keys that every header must carry.
const KEYS: [&str; 5] = [
    "about",
    "data",
    "reference_pressure",
    "reference_temperature",
    "source",
];

/// The `# key: value` lines of a text as they stand, for one kind of map.
pub(in crate::map) struct HeaderLines<'a> {
    /// Keys of this kind of map, the common ones first.
    keys: Vec<&'static str>,
    values: Vec<Option<(usize, &'a str)>>,
}

impl<'a> HeaderLines<'a> {
    /// Collects them; `more` are the further keys that this kind of map knows.
    pub(in crate::map) fn collect(
        text: &'a str,
        more: &[&'static str],
        problems: &mut Vec<MapProblem>,
    ) -> Self {
        let keys: Vec<&'static str> = KEYS.iter().chain(more).copied().collect();
        let mut values: Vec<Option<(usize, &str)>> = vec![None; keys.len()];
        for (number, content) in text.lines().enumerate() {
            let Some(comment) = content.strip_prefix('#') else {
                continue;
            };
            // A second # makes a free remark; so does a line without a key.
            let Some((key, value)) = comment
                .split_once(':')
                .filter(|_| !comment.starts_with('#'))
            else {
                continue;
            };
            let (line, key, value) = (number + 1, key.trim(), value.trim());
            match keys.iter().position(|known| *known == key) {
                None => problems.push(problem(
                    line,
                    None,
                    key,
                    format!("the key {key:?}"),
                    keys.join(", "),
                    &unknown_key_hint(key, &keys),
                )),
                Some(k) if values[k].is_some() => problems.push(problem(
                    line,
                    None,
                    key,
                    "the key a second time".to_owned(),
                    "each key once".to_owned(),
                    "remove one of the two lines",
                )),
                Some(k) => values[k] = Some((line, value)),
            }
        }
        Self { keys, values }
    }

    /// Line and text of a key that must be there.
    pub(in crate::map) fn required(
        &self,
        key: &str,
        problems: &mut Vec<MapProblem>,
    ) -> Option<(usize, &'a str)> {
        let value = self.optional(key);
        if let Some(entry) = value.filter(|(_, text)| !text.is_empty()) {
            return Some(entry);
        }
        problems.push(problem(
            value.map_or(1, |(line, _)| line),
            None,
            key,
            "nothing".to_owned(),
            format!("a header line `# {key}: …`"),
            missing_key_hint(key),
        ));
        None
    }

    /// Line and text of a key that may be left out.
    pub(in crate::map) fn optional(&self, key: &str) -> Option<(usize, &'a str)> {
        let at = self.keys.iter().position(|known| *known == key)?;
        self.values[at]
    }

    /// What every map says of itself; `None` where a part is missing or wrong.
    pub(in crate::map) fn common(&self, problems: &mut Vec<MapProblem>) -> Option<MapHeader> {
        let [about, data, pressure, temperature, source] =
            KEYS.map(|key| self.required(key, problems));
        let data = data.and_then(|entry| read_origin(entry, problems));
        let pressure = pressure
            .and_then(|entry| positive::<AbsolutePressure>(entry, KEYS[2], |p| p.pa(), problems));
        let temperature = temperature
            .and_then(|entry| positive::<Temperature>(entry, KEYS[3], |t| t.k(), problems));
        Some(MapHeader {
            about: about?.1.to_owned(),
            data: data?,
            reference: ReferenceConditions {
                pressure_pa: pressure?,
                temperature_k: temperature?,
            },
            source: source?.1.to_owned(),
        })
    }
}

fn unknown_key_hint(key: &str, keys: &[&str]) -> String {
    let nearest = keys
        .iter()
        .map(|known| (strsim::osa_distance(known, key), known))
        .min();
    match nearest {
        Some((distance, known)) if distance <= 3 => format!("did you mean `{known}`?"),
        _ => "begin a free remark with ## instead of #".to_owned(),
    }
}

fn missing_key_hint(key: &str) -> &'static str {
    match key {
        "data" => "say whether the figures are invented, measured, published or estimated",
        "reference_pressure" => "for example `# reference_pressure: 100 kPa abs`",
        "reference_temperature" => "for example `# reference_temperature: 298.15 K`",
        "wheel_diameter" => "for example `# wheel_diameter: 60 mm`",
        "burned" => "for example `# burned: 60 %`",
        "source" => "say where the figures come from",
        _ => "say what the map is",
    }
}

fn read_origin((line, text): (usize, &str), problems: &mut Vec<MapProblem>) -> Option<DataOrigin> {
    let origin = DataOrigin::ALL
        .into_iter()
        .find(|origin| origin.word() == text);
    if origin.is_none() {
        problems.push(problem(
            line,
            None,
            "data",
            format!("{text:?}"),
            "invented, measured, published or estimated".to_owned(),
            missing_key_hint("data"),
        ));
    }
    origin
}

/// Reads a quantity that must be above zero, such as a reference pressure.
pub(in crate::map) fn positive<Q: std::str::FromStr<Err = QuantityError>>(
    (line, text): (usize, &str),
    field: &str,
    si: impl Fn(Q) -> f64,
    problems: &mut Vec<MapProblem>,
) -> Option<f64> {
    let (allowed, hint) = match text.parse::<Q>() {
        Ok(quantity) => {
            let value = si(quantity);
            if value > 0.0 {
                return Some(value);
            }
            (
                "a value above zero".to_owned(),
                missing_key_hint(field).to_owned(),
            )
        }
        Err(error) => (error.allowed(), error.hint().to_owned()),
    };
    let read = format!("{text:?}");
    problems.push(problem(line, None, field, read, allowed, &hint));
    None
}

/// Checks the reference conditions of a header that did not come from a text.
pub(in crate::map) fn check_reference(header: &MapHeader) -> Vec<MapProblem> {
    let reference = header.reference;
    [
        ("reference_pressure", reference.pressure_pa, "Pa abs"),
        ("reference_temperature", reference.temperature_k, "K"),
    ]
    .into_iter()
    .filter(|(_, value, _)| !(value.is_finite() && *value > 0.0))
    .map(|(field, value, unit)| {
        problem(
            0,
            None,
            field,
            format!("{value} {unit}"),
            "a finite value above zero".to_owned(),
            "state the inlet conditions to which the map is corrected",
        )
    })
    .collect()
}
