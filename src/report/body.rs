//! What a report says, block by block; text for a terminal and the page are set
//! from the same blocks.
use super::table::{self, Cell, Column, Paint};

/// A part of a report.
#[derive(Debug, Clone)]
pub(crate) enum Block {
    /// What the report is of: a title and what is told beside it.
    Head {
        title: String,
        beside: Vec<String>,
    },
    /// The answer in one sentence, with one or two words for it.
    Verdict {
        word: String,
        text: String,
        paint: Paint,
    },
    /// Begins a section.
    Heading(String),
    Paragraph {
        text: String,
        paint: Paint,
    },
    /// An item of a list.
    Item {
        mark: String,
        text: String,
    },
    Table(Table),
    /// What is to be typed or read as it stands, a line each.
    Code(Vec<String>),
    /// Lines already set for a terminal, and what a page shows instead of them.
    Set {
        lines: String,
        page: Vec<Block>,
    },
    /// An empty line; a page has space of its own.
    Gap,
}

/// Columns and rows of a table.
#[derive(Debug, Clone)]
pub(crate) struct Table {
    pub(crate) columns: Vec<OwnColumn>,
    pub(crate) rows: Vec<Vec<Cell>>,
    /// So many of the first rows belong to the heading.
    pub(crate) heads: usize,
}

/// A [`Column`] that owns its heading.
#[derive(Debug, Clone)]
pub(crate) struct OwnColumn {
    pub(crate) heading: String,
    pub(crate) right: bool,
    rank: u8,
}

/// The blocks of a report, in their order.
#[derive(Debug, Clone, Default)]
pub struct Body {
    pub(crate) blocks: Vec<Block>,
}

impl Body {
    /// Parts of the head that are empty are left out.
    pub(crate) fn head(&mut self, title: &str, beside: &[String]) {
        let beside = beside.iter().filter(|part| !part.is_empty());
        self.blocks.push(Block::Head {
            title: title.to_owned(),
            beside: beside.cloned().collect(),
        });
    }

    pub(crate) fn verdict(&mut self, word: &str, text: impl Into<String>, paint: Paint) {
        self.blocks.push(Block::Verdict {
            word: word.to_owned(),
            text: text.into(),
            paint,
        });
    }

    pub(crate) fn heading(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Heading(text.into()));
    }

    pub(crate) fn paragraph(&mut self, text: impl Into<String>, paint: Paint) {
        self.blocks.push(Block::Paragraph {
            text: text.into(),
            paint,
        });
    }

    pub(crate) fn plain(&mut self, text: impl Into<String>) {
        self.paragraph(text, Paint::Plain);
    }

    pub(crate) fn item(&mut self, mark: &str, text: impl Into<String>) {
        self.blocks.push(Block::Item {
            mark: mark.to_owned(),
            text: text.into(),
        });
    }

    pub(crate) fn table(&mut self, columns: &[Column], rows: Vec<Vec<Cell>>) {
        self.table_below(columns, rows, 0);
    }

    /// A table whose first rows, `heads` of them, go on with the heading.
    pub(crate) fn table_below(&mut self, columns: &[Column], rows: Vec<Vec<Cell>>, heads: usize) {
        let columns = columns.iter().map(OwnColumn::from).collect();
        self.blocks.push(Block::Table(Table {
            columns,
            rows,
            heads,
        }));
    }

    pub(crate) fn code(&mut self, lines: Vec<String>) {
        self.blocks.push(Block::Code(lines));
    }

    pub(crate) fn set(&mut self, lines: String, page: Body) {
        self.blocks.push(Block::Set {
            lines,
            page: page.blocks,
        });
    }

    pub(crate) fn gap(&mut self) {
        self.blocks.push(Block::Gap);
    }

    pub(crate) fn append(&mut self, other: Body) {
        self.blocks.extend(other.blocks);
    }

    /// What the report is of; nothing where it has no head.
    pub(crate) fn title(&self) -> Option<&str> {
        self.blocks.iter().find_map(|block| match block {
            Block::Head { title, .. } => Some(title.as_str()),
            _ => None,
        })
    }

    /// Up to the end of the section of that heading, and the rest; all and nothing
    /// where there is no such section.
    pub(crate) fn cut_after(self, heading: &str) -> (Body, Body) {
        let own = self.blocks.iter().position(|block| block.heads(heading));
        let next = own.and_then(|own| {
            let behind = self.blocks[own + 1..].iter();
            let next = behind.map(Block::is_heading).position(|is| is)?;
            Some(own + 1 + next)
        });
        self.cut_at(next)
    }

    /// Up to the section of that heading, and the rest.
    pub(crate) fn cut_before(self, heading: &str) -> (Body, Body) {
        let own = self.blocks.iter().position(|block| block.heads(heading));
        self.cut_at(own)
    }

    fn cut_at(mut self, at: Option<usize>) -> (Body, Body) {
        let rest = at.map_or_else(Vec::new, |at| self.blocks.split_off(at));
        (self, Body { blocks: rest })
    }

    /// The blocks as text in at most `width` columns.
    pub(crate) fn text(&self, width: usize, colour: bool) -> String {
        self.blocks
            .iter()
            .map(|block| block.text(width, colour))
            .collect()
    }
}

impl Block {
    fn is_heading(&self) -> bool {
        matches!(self, Block::Heading(_))
    }

    fn heads(&self, heading: &str) -> bool {
        matches!(self, Block::Heading(text) if text == heading)
    }

    fn text(&self, width: usize, colour: bool) -> String {
        match self {
            Block::Head { title, beside } => {
                let parts: Vec<&str> = std::iter::once(title)
                    .chain(beside)
                    .map(String::as_str)
                    .collect();
                table::paragraph(&parts.join(" · "), width, Paint::Faint, colour)
            }
            Block::Verdict { text, paint, .. } | Block::Paragraph { text, paint } => {
                table::paragraph(text, width, *paint, colour)
            }
            Block::Heading(text) => table::heading(text, colour),
            Block::Item { mark, text } => table::item(mark, text, width),
            Block::Table(table) => {
                let columns: Vec<Column> = table.columns.iter().map(OwnColumn::column).collect();
                table::table(&columns, &table.rows, width, colour)
            }
            Block::Code(lines) => lines.iter().map(|line| format!("    {line}\n")).collect(),
            Block::Set { lines, .. } => lines.clone(),
            Block::Gap => "\n".to_owned(),
        }
    }
}

/// What a scenario says of its data, as a head tells it; nothing where it says
/// nothing.
pub(super) fn data_words(data: &str) -> String {
    match data {
        "" => String::new(),
        data => format!("{data} data"),
    }
}

impl OwnColumn {
    fn column(&self) -> Column<'_> {
        Column {
            heading: &self.heading,
            right: self.right,
            rank: self.rank,
        }
    }
}

impl From<&Column<'_>> for OwnColumn {
    fn from(column: &Column) -> Self {
        Self {
            heading: column.heading.to_owned(),
            right: column.right,
            rank: column.rank,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Body, Paint};

    #[test]
    fn a_body_is_cut_behind_a_section() {
        let mut body = Body::default();
        body.plain("one");
        body.heading("What to do");
        body.item("-", "two");
        body.heading("Limits");
        body.paragraph("three", Paint::Faint);
        let (top, rest) = body.clone().cut_after("What to do");
        assert_eq!(top.text(40, false), "  one\n\nWhat to do\n  - two\n");
        assert_eq!(rest.text(40, false), "\nLimits\n  three\n");
        let (before, _) = body.clone().cut_before("Limits");
        assert_eq!(before.text(40, false), top.text(40, false));
        let (all, nothing) = body.clone().cut_after("no such");
        assert_eq!(all.text(40, false), body.text(40, false));
        assert!(nothing.blocks.is_empty());
    }
}
