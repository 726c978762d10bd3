//! Tables and paragraphs for a terminal.

/// A column of a table.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Column<'a> {
    pub(crate) heading: &'a str,
    pub(crate) right: bool,
    /// Columns with the highest rank leave first when there is no room; 0 stays.
    pub(crate) rank: u8,
}

/// A column of numbers.
pub(crate) const fn number(heading: &str, rank: u8) -> Column<'_> {
    Column {
        heading,
        right: true,
        rank,
    }
}

/// A column of words.
pub(crate) const fn words(heading: &str, rank: u8) -> Column<'_> {
    Column {
        heading,
        right: false,
        rank,
    }
}

/// One cell: the text and how it is painted.
#[derive(Debug, Clone, Default)]
pub(crate) struct Cell {
    pub(crate) text: String,
    pub(crate) paint: Paint,
}

impl<T: Into<String>> From<T> for Cell {
    fn from(text: T) -> Self {
        Cell {
            text: text.into(),
            paint: Paint::Plain,
        }
    }
}

/// How a piece of text is painted on a terminal with colour.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) enum Paint {
    #[default]
    Plain,
    Bold,
    Good,
    Bad,
    Faint,
}

impl Paint {
    /// The text between the escape sequences of this paint.
    pub(crate) fn apply(self, text: &str, colour: bool) -> String {
        let code = match self {
            Paint::Plain => return text.to_owned(),
            Paint::Bold => "1",
            Paint::Good => "32",
            Paint::Bad => "1;31",
            Paint::Faint => "2",
        };
        if colour {
            format!("\u{1b}[{code}m{text}\u{1b}[0m")
        } else {
            text.to_owned()
        }
    }
}

const GAP: usize = 2;
const INDENT: usize = 2;

/// Sets a table into at most `width` characters, leaving out the columns of
/// the highest rank where it would be wider.
pub(crate) fn table(columns: &[Column], rows: &[Vec<Cell>], width: usize, colour: bool) -> String {
    let mut kept: Vec<usize> = (0..columns.len()).collect();
    let widths: Vec<usize> = (0..columns.len())
        .map(|index| {
            rows.iter()
                .map(|row| length(&row[index].text))
                .chain([length(columns[index].heading)])
                .max()
                .unwrap_or(0)
        })
        .collect();
    while total(&kept, &widths) > width {
        let Some(&last) = kept
            .iter()
            .filter(|&&index| columns[index].rank > 0)
            .max_by_key(|&&index| columns[index].rank)
        else {
            break;
        };
        kept.retain(|&index| index != last);
    }
    let heading: Vec<Cell> = columns
        .iter()
        .map(|column| Cell {
            text: column.heading.to_owned(),
            paint: Paint::Faint,
        })
        .collect();
    let mut text = String::new();
    for row in std::iter::once(&heading).chain(rows) {
        let mut line = " ".repeat(INDENT);
        for (place, &index) in kept.iter().enumerate() {
            if place > 0 {
                line.push_str(&" ".repeat(GAP));
            }
            let cell = &row[index];
            let padding = " ".repeat(widths[index].saturating_sub(length(&cell.text)));
            let painted = cell
                .paint
                .apply(&cell.text, colour && !cell.text.is_empty());
            if columns[index].right {
                line.push_str(&padding);
                line.push_str(&painted);
            } else {
                line.push_str(&painted);
                line.push_str(&padding);
            }
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

fn total(kept: &[usize], widths: &[usize]) -> usize {
    INDENT
        + kept.iter().map(|&index| widths[index]).sum::<usize>()
        + GAP * kept.len().saturating_sub(1)
}

fn length(text: &str) -> usize {
    text.chars().count()
}

/// Breaks a paragraph into lines of at most `width` characters; a longer word
/// gets a line of its own.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && length(&line) + 1 + length(word) > width {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// A heading on a line of its own.
pub(crate) fn heading(text: &str, colour: bool) -> String {
    format!("\n{}\n", Paint::Bold.apply(text, colour))
}

/// A wrapped paragraph, indented by two, each line painted alike.
pub(crate) fn paragraph(text: &str, width: usize, paint: Paint, colour: bool) -> String {
    wrap(text, width.saturating_sub(INDENT))
        .iter()
        .map(|line| format!("  {}\n", paint.apply(line, colour)))
        .collect()
}

/// A wrapped item of a list.
pub(crate) fn item(mark: &str, text: &str, width: usize) -> String {
    let indent = INDENT + length(mark) + 1;
    wrap(text, width.saturating_sub(indent))
        .iter()
        .enumerate()
        .map(|(index, line)| {
            if index == 0 {
                format!("  {mark} {line}\n")
            } else {
                format!("{}{line}\n", " ".repeat(indent))
            }
        })
        .collect()
}
