//! What can be wrong with a quantity written as text.
use super::unit::Kind;

/// Longest text that is repeated in a message; the rest is cut.
const LONGEST: usize = 60;

/// What was read, what was wanted, and how to repair it.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    read: String,
    kind: &'static Kind,
    hint: String,
}

impl Reading {
    pub(super) fn new(read: &str, kind: &'static Kind, hint: String) -> Self {
        Self {
            read: one_line(read, LONGEST),
            kind,
            hint: one_line(&hint, 4 * LONGEST),
        }
    }
}

/// Cuts long text and replaces what would break a one-line message apart.
fn one_line(text: &str, longest: usize) -> String {
    let clean = text.chars().map(|c| match c {
        '|' => '¦',
        c if c.is_control() => ' ',
        c => c,
    });
    let mut line: String = clean.clone().take(longest).collect();
    if clean.count() > longest {
        line.push('…');
    }
    line
}

/// A quantity could not be read.
///
/// The one-line text is `message | allowed: … | hint: …`; the parts are also
/// there one by one.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{} | allowed: {} | hint: {}", self.message(), self.allowed(), self.hint())]
pub enum QuantityError {
    /// Nothing was written.
    Empty(Reading),
    /// A number without a unit.
    MissingUnit(Reading),
    /// Neither text nor number: a list, a map, true or false.
    NotText(Reading),
    /// The text does not start with a number.
    NotANumber(Reading),
    /// Not a number, infinite, or too large to hold.
    NotFinite(Reading),
    /// A comma inside the number.
    DecimalComma(Reading),
    /// The unit is not known at all.
    UnknownUnit(Reading, String),
    /// The unit belongs to another dimension, which is named.
    WrongDimension(Reading, &'static str),
    /// A pressure that does not say whether it is absolute or gauge.
    MissingReference(Reading),
    /// `abs` or `gauge` where it does not belong.
    WrongReference(Reading, &'static str),
    /// Less than nature allows.
    BelowMinimum(Reading),
}

impl QuantityError {
    pub(super) fn unknown_unit(reading: Reading, unit: &str) -> Self {
        Self::UnknownUnit(reading, one_line(unit, LONGEST))
    }

    fn reading(&self) -> &Reading {
        match self {
            Self::Empty(reading)
            | Self::MissingUnit(reading)
            | Self::NotText(reading)
            | Self::NotANumber(reading)
            | Self::NotFinite(reading)
            | Self::DecimalComma(reading)
            | Self::UnknownUnit(reading, _)
            | Self::WrongDimension(reading, _)
            | Self::MissingReference(reading)
            | Self::WrongReference(reading, _)
            | Self::BelowMinimum(reading) => reading,
        }
    }

    /// What is wrong, with the text that was read.
    pub fn message(&self) -> String {
        let Reading { read, kind, .. } = self.reading();
        let wanted = with_article(kind.name());
        match self {
            Self::Empty(_) => format!("nothing is written where {wanted} is wanted"),
            Self::MissingUnit(_) => format!("\"{read}\" has no unit; {wanted} is wanted"),
            Self::NotText(_) => format!("{read} is written where {wanted} is wanted"),
            Self::NotANumber(_) => {
                format!("\"{read}\" does not start with a number; {wanted} is wanted")
            }
            Self::NotFinite(_) => {
                format!("\"{read}\" is not a finite number; {wanted} is wanted")
            }
            Self::DecimalComma(_) => {
                format!("\"{read}\" has a comma in its number; {wanted} is wanted")
            }
            Self::UnknownUnit(_, unit) => {
                format!("\"{read}\" has the unknown unit \"{unit}\"; {wanted} is wanted")
            }
            Self::WrongDimension(_, found) => {
                let found = with_article(found);
                format!("\"{read}\" is {found}; {wanted} is wanted")
            }
            Self::MissingReference(_) => format!(
                "\"{read}\" does not say whether it is absolute or gauge; {wanted} is wanted"
            ),
            Self::WrongReference(_, found) => {
                format!("\"{read}\" says {found}; {wanted} is wanted")
            }
            Self::BelowMinimum(_) => {
                format!("\"{read}\" is below zero, which {wanted} cannot be")
            }
        }
    }

    /// What was read (cut when very long).
    pub fn read(&self) -> &str {
        &self.reading().read
    }

    /// The kind of quantity that was wanted.
    pub fn wanted(&self) -> &'static Kind {
        self.reading().kind
    }

    /// The units that may be written here.
    pub fn allowed(&self) -> String {
        self.wanted().allowed()
    }

    /// The probable repair.
    pub fn hint(&self) -> &str {
        &self.reading().hint
    }

    /// Splits the one-line text of an error, wherever it is quoted, into
    /// message, allowed units and hint.
    pub fn split_line(line: &str) -> Option<(&str, &str, &str)> {
        let (message, rest) = line.split_once(" | allowed: ")?;
        let (allowed, hint) = rest.split_once(" | hint: ")?;
        Some((message, allowed, hint))
    }
}

/// `name` behind its indefinite article.
fn with_article(name: &str) -> String {
    let vowel = name.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {name}", if vowel { "an" } else { "a" })
}
