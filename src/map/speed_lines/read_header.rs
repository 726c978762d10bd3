//! Reads what a map says of itself.

use super::check::problem;
use super::{DataOrigin, MapHeader, MapProblem};
use crate::map::ReferenceConditions;
use crate::quantity::{AbsolutePressure, QuantityError, Temperature};

/// Keys that the header must carry.
const KEYS: [&str; 5] = [
    "about",
    "data",
    "reference_pressure",
    "reference_temperature",
    "source",
];

/// Reads the `# key: value` lines; `None` where one is missing or wrong.
pub(super) fn read_header(text: &str, problems: &mut Vec<MapProblem>) -> Option<MapHeader> {
    let mut values: [Option<(usize, &str)>; 5] = [None; 5];
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
        match KEYS.iter().position(|known| *known == key) {
            None => problems.push(problem(
                line,
                None,
                key,
                format!("the key {key:?}"),
                KEYS.join(", "),
                &unknown_key_hint(key),
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
    for (key, value) in KEYS.iter().zip(&mut values) {
        if value.is_none_or(|(_, text)| text.is_empty()) {
            problems.push(problem(
                value.map_or(1, |(line, _)| line),
                None,
                key,
                "nothing".to_owned(),
                format!("a header line `# {key}: …`"),
                missing_key_hint(key),
            ));
            *value = None;
        }
    }
    let [about, data, pressure, temperature, source] = values;
    let data = data.and_then(|entry| read_origin(entry, problems));
    let pressure = pressure
        .and_then(|entry| read_reference::<AbsolutePressure>(entry, KEYS[2], |p| p.pa(), problems));
    let temperature = temperature
        .and_then(|entry| read_reference::<Temperature>(entry, KEYS[3], |t| t.k(), problems));
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

fn unknown_key_hint(key: &str) -> String {
    let nearest = KEYS
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
        "data" => "say whether the figures are invented, measured or published",
        "reference_pressure" => "for example `# reference_pressure: 100 kPa abs`",
        "reference_temperature" => "for example `# reference_temperature: 298.15 K`",
        "source" => "say where the figures come from",
        _ => "say what the map is",
    }
}

fn read_origin((line, text): (usize, &str), problems: &mut Vec<MapProblem>) -> Option<DataOrigin> {
    let all = [
        DataOrigin::Invented,
        DataOrigin::Measured,
        DataOrigin::Published,
    ];
    let origin = all.into_iter().find(|origin| origin.word() == text);
    if origin.is_none() {
        problems.push(problem(
            line,
            None,
            "data",
            format!("{text:?}"),
            "invented, measured or published".to_owned(),
            missing_key_hint("data"),
        ));
    }
    origin
}

/// Reads a reference pressure or temperature, which must be above zero.
fn read_reference<Q: std::str::FromStr<Err = QuantityError>>(
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
