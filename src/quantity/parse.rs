//! From text to a number in SI.
use super::error::{QuantityError, Reading};
use super::unit::{Kind, Parts, Reference, Unit};

/// A text that was understood.
pub(super) struct Read {
    pub(super) si: f64,
    pub(super) gauge: bool,
}

/// Reads `text` as a quantity of `kind`.
///
/// A number, an optional space, a unit; behind the unit of an absolute or gauge
/// pressure a space and `abs` or `gauge`.
pub(super) fn read(kind: &'static Kind, text: &str) -> Result<Read, QuantityError> {
    let reading = |hint: String| Reading::new(text.trim(), kind, hint);
    let plain = plain_spelling(text);
    if plain.is_empty() {
        return Err(QuantityError::Empty(reading(example(kind))));
    }
    let Some((number, rest)) = split_number(&plain) else {
        return Err(if starts_not_finite(&plain) {
            QuantityError::NotFinite(reading(example(kind)))
        } else {
            QuantityError::NotANumber(reading(example(kind)))
        });
    };
    if let Some(hint) = comma_hint(number, rest) {
        return Err(QuantityError::DecimalComma(reading(hint)));
    }
    if rest.starts_with(['.', '_', '\'']) {
        return Err(QuantityError::NotANumber(reading(example(kind))));
    }
    let value: f64 = match number.parse() {
        Ok(value) => value,
        Err(_) => return Err(QuantityError::NotANumber(reading(example(kind)))),
    };
    let (unit_text, reference) = split_reference(rest);
    if unit_text.is_empty() {
        return Err(missing_unit(kind, text, number));
    }
    let unit = match find(kind, &unit_text) {
        Some(unit) => unit,
        None => return Err(foreign_unit(kind, text, number, &unit_text)),
    };
    let gauge = check_reference(kind, text, number, unit, reference)?;
    let si = unit.to_si(value);
    if !si.is_finite() {
        return Err(QuantityError::NotFinite(reading(example(kind))));
    }
    // A negative absolute pressure is refused also where gauge would be allowed.
    let bounded = kind.minimum_si.filter(|_| !gauge);
    if bounded.is_some_and(|minimum| si < minimum) {
        return Err(QuantityError::BelowMinimum(reading(minimum_hint(
            kind, number, unit,
        ))));
    }
    Ok(Read { si, gauge })
}

/// `text` as a number, its unit and its reference, once it reads as `kind`.
pub(super) fn parts(kind: &'static Kind, text: &str) -> Result<Parts, QuantityError> {
    read(kind, text)?;
    let not_read = || QuantityError::NotANumber(Reading::new(text.trim(), kind, example(kind)));
    let plain = plain_spelling(text);
    let (number, rest) = split_number(&plain).ok_or_else(not_read)?;
    let (unit, reference) = split_reference(rest);
    Ok(Parts {
        number: number.parse().map_err(|_| not_read())?,
        unit: find(kind, &unit).ok_or_else(not_read)?,
        reference: reference.unwrap_or(""),
    })
}

/// The error for a bare number, `number` as it would be written.
pub(super) fn missing_unit(kind: &'static Kind, text: &str, number: &str) -> QuantityError {
    let unit = kind.text.unit.name();
    let hint = match kind.reference {
        Reference::Either => format!(
            "add a unit and its reference, such as \"{number} {unit} abs\" or \"{number} {unit} gauge\""
        ),
        _ => format!("add a unit, such as \"{number} {}\"", kind.text.label),
    };
    QuantityError::MissingUnit(Reading::new(text.trim(), kind, hint))
}

/// The hint that shows well-formed text.
pub(super) fn example(kind: &Kind) -> String {
    let quoted: Vec<_> = kind.examples.iter().map(|e| format!("\"{e}\"")).collect();
    format!("write it like {}", quoted.join(" or "))
}

/// One spelling for typographic variants: minus sign, degree sign, powers,
/// multiplication dots, any kind of space.
pub(super) fn plain_spelling(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for c in text.trim().chars() {
        match c {
            '−' => plain.push('-'),
            '°' => plain.push_str("deg"),
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            '·' | '⋅' | '*' => plain.push(' '),
            c if c.is_whitespace() => plain.push(' '),
            c => plain.push(c),
        }
    }
    plain
}

/// Splits a leading decimal number, with or without exponent, from the rest.
fn split_number(text: &str) -> Option<(&str, &str)> {
    let bytes = text.as_bytes();
    let digits_from = |start: usize| {
        let rest = bytes.iter().skip(start);
        start + rest.take_while(|b| b.is_ascii_digit()).count()
    };
    let sign = usize::from(text.starts_with(['-', '+']));
    let whole_end = digits_from(sign);
    let mut end = whole_end;
    let mut digits = whole_end - sign;
    if bytes.get(end) == Some(&b'.') {
        let fraction_end = digits_from(end + 1);
        digits += fraction_end - end - 1;
        end = fraction_end;
    }
    if digits == 0 {
        return None;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let exponent_sign = usize::from(matches!(bytes.get(end + 1), Some(b'-' | b'+')));
        let exponent_start = end + 1 + exponent_sign;
        let exponent_end = digits_from(exponent_start);
        // Without digits the letter belongs to the unit.
        if exponent_end > exponent_start {
            end = exponent_end;
        }
    }
    Some((&text[..end], text[end..].trim_start_matches(' ')))
}

/// Whether the text spells "not a number" or "infinity", as programs do.
fn starts_not_finite(text: &str) -> bool {
    let word = text.trim_start_matches(['-', '+', '.']);
    let word: String = word.chars().take_while(|c| c.is_alphabetic()).collect();
    let word = word.to_ascii_lowercase();
    matches!(word.as_str(), "nan" | "inf" | "infinity") || text.contains('∞')
}

/// The repair for a comma directly behind the digits.
fn comma_hint(number: &str, rest: &str) -> Option<String> {
    let behind = rest.strip_prefix(',')?;
    let run = behind.find(|c: char| !(c.is_ascii_digit() || matches!(c, ',' | '.')));
    let (digits, unit) = behind.split_at(run.unwrap_or(behind.len()));
    let unit = unit.trim();
    // More than one separator: the comma groups thousands.
    Some(if digits.contains([',', '.']) {
        let digits = digits.replace(',', "");
        format!("leave out thousands separators: \"{number}{digits} {unit}\"")
    } else {
        format!(
            "write a decimal point, \"{number}.{digits} {unit}\", and no separator for thousands"
        )
    })
}

/// Takes `abs` or `gauge` off the end; spaces inside the unit become single.
pub(super) fn split_reference(rest: &str) -> (String, Option<&'static str>) {
    let mut words: Vec<&str> = rest.split_whitespace().collect();
    let reference = match words.last() {
        Some(&"abs") => Some("abs"),
        Some(&"gauge") => Some("gauge"),
        _ => None,
    };
    if reference.is_some() {
        words.pop();
    }
    (words.join(" "), reference)
}

/// The unit of a kind that is spelled so.
pub(super) fn find(kind: &Kind, unit: &str) -> Option<&'static Unit> {
    let mut units = kind.units.iter();
    units.find(|known| known.spellings().any(|spelling| spelling == unit))
}

/// The error for a unit that does not belong to `kind`: it is the unit of
/// something else, or nobody's.
fn foreign_unit(kind: &'static Kind, text: &str, number: &str, unit_text: &str) -> QuantityError {
    let reading = |hint: String| Reading::new(text.trim(), kind, hint);
    if let Some((unit, reference)) = attached_reference(unit_text) {
        let dimension = super::PressureKind::DIMENSION;
        if kind.dimension != dimension {
            return QuantityError::WrongDimension(reading(example(kind)), dimension);
        }
        if let Err(error) = check_reference(kind, text, number, unit, Some(reference)) {
            return error;
        }
        let hint = format!("write \"{number} {} {reference}\"", unit.name());
        return QuantityError::unknown_unit(reading(hint), unit_text);
    }
    let owner = super::kinds()
        .into_iter()
        .find(|other| other.dimension != kind.dimension && find(other, unit_text).is_some());
    if let Some(owner) = owner {
        return QuantityError::WrongDimension(reading(example(kind)), owner.dimension);
    }
    let hint = match nearest(kind, unit_text) {
        Some(name) => format!("the nearest unit is {name}; {}", example(kind)),
        None => example(kind),
    };
    QuantityError::unknown_unit(reading(hint), unit_text)
}

/// Unit and reference where the reference is glued to the unit or spelled
/// another way: `psig`, `bara`, `kPa absolute`.
fn attached_reference(unit_text: &str) -> Option<(&'static Unit, &'static str)> {
    const SPELLINGS: [(&str, &str); 10] = [
        ("absolute", "abs"),
        ("(abs)", "abs"),
        ("Abs", "abs"),
        ("ABS", "abs"),
        ("abs", "abs"),
        ("(gauge)", "gauge"),
        ("gauge", "gauge"),
        ("gage", "gauge"),
        ("a", "abs"),
        ("g", "gauge"),
    ];
    SPELLINGS.iter().find_map(|(spelled, reference)| {
        let unit = unit_text.strip_suffix(spelled)?.trim_end();
        find(super::PressureKind::ANY, unit).map(|unit| (unit, *reference))
    })
}

/// The most similar unit name, if any is similar at all.
fn nearest(kind: &Kind, unit_text: &str) -> Option<&'static str> {
    let mut best = (0.0, None);
    for unit in kind.units {
        for spelling in unit.spellings() {
            let likeness = if spelling.eq_ignore_ascii_case(unit_text) {
                1.0
            } else {
                strsim::normalized_damerau_levenshtein(
                    &spelling.to_lowercase(),
                    &unit_text.to_lowercase(),
                )
            };
            if likeness > best.0 {
                best = (likeness, Some(unit.name()));
            }
        }
    }
    best.1
}

/// Whether the value is gauge; an error where the reference is missing, wrong
/// or out of place.
fn check_reference(
    kind: &'static Kind,
    text: &str,
    number: &str,
    unit: &Unit,
    reference: Option<&'static str>,
) -> Result<bool, QuantityError> {
    let reading = |hint: String| Reading::new(text.trim(), kind, hint);
    let unit = unit.name();
    let absolute = format!("\"{number} {unit} abs\"");
    let gauge = format!("\"{number} {unit} gauge\"");
    match (kind.reference, reference) {
        (Reference::None, None) => Ok(false),
        (Reference::Absolute | Reference::Either, Some("abs")) => Ok(false),
        (Reference::Gauge | Reference::Either, Some("gauge")) => Ok(true),
        (Reference::None, Some(found)) => Err(QuantityError::WrongReference(
            reading(format!(
                "{} has no reference: write \"{number} {unit}\"",
                kind.name
            )),
            found,
        )),
        (Reference::Absolute, Some(found)) => Err(QuantityError::WrongReference(
            reading(
                "give it as absolute (abs); gauge needs an ambient, which is not known here"
                    .to_owned(),
            ),
            found,
        )),
        (Reference::Gauge, Some(found)) => Err(QuantityError::WrongReference(
            reading("give it above ambient (gauge); absolute needs an ambient to subtract, which is not known here".to_owned()),
            found,
        )),
        (wanted, None) => {
            let hint = match wanted {
                Reference::Absolute => format!(
                    "write {absolute} for an absolute pressure; {gauge} would be above ambient and is not taken here"
                ),
                Reference::Gauge => format!(
                    "write {gauge} for a pressure above ambient; {absolute} would be absolute and is not taken here"
                ),
                _ => format!("write {absolute} or {gauge}"),
            };
            Err(QuantityError::MissingReference(reading(hint)))
        }
        (Reference::Either, Some(_)) => Ok(false),
    }
}

fn minimum_hint(kind: &Kind, number: &str, unit: &Unit) -> String {
    match kind.reference {
        Reference::None => example(kind),
        Reference::Either => format!(
            "a pressure below ambient is gauge: \"{number} {} gauge\"; absolute counts from vacuum",
            unit.name()
        ),
        _ => "absolute counts from vacuum, and nothing is below it".to_owned(),
    }
}
