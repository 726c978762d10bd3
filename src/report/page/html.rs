//! From the parts of a page to its bytes. What comes from a scenario or a file name
//! is escaped on its way; only the style and the drawn pictures go in as they are.
use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::{Page, Part, shapes};
use crate::judgement::TOOL;
use crate::report::body::{Block, OwnColumn, Table};
use crate::report::cautions::CAUTIONS;
use crate::report::course::{Moment, Weight};
use crate::report::table::{Cell, Paint};
use crate::report::units::fixed;

const STYLE: &str = include_str!("style.css");
/// Nothing may be loaded, nothing may run, whatever a file name or a title holds.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'";

impl Page {
    /// The page, whole.
    pub fn html(&self) -> String {
        let page = html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta http-equiv="Content-Security-Policy" content=(POLICY);
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    title { (self.title) " · " (self.kind) }
                    style { (PreEscaped(STYLE)) }
                }
                body {
                    main {
                        header {
                            p.kind { (self.kind) }
                            h1 { (self.title) }
                        }
                        (self.parts())
                        @if !self.has_cautions() { (cautions()) }
                    }
                    footer {
                        p { "Computed by " (TOOL) " " (env!("CARGO_PKG_VERSION")) ". An estimate, not a measurement." }
                    }
                }
            }
        };
        let mut text = page.into_string();
        text.push('\n');
        text
    }

    fn parts(&self) -> Markup {
        let mut section = "";
        let mut rest = self.parts.as_slice();
        let mut markup = Vec::new();
        while let Some(first) = rest.first() {
            let items = rest.iter().map_while(item).count();
            if items > 0 {
                markup.push(list(rest.iter().map_while(item)));
                rest = &rest[items..];
                continue;
            }
            if let Part::Block(Block::Heading(text)) = first {
                section = text;
            }
            markup.push(part(first, section));
            rest = &rest[1..];
        }
        html! { @for part in &markup { (part) } }
    }

    fn has_cautions(&self) -> bool {
        self.parts.iter().any(|part| matches!(part, Part::Cautions))
    }
}

fn item(part: &Part) -> Option<(&str, &str)> {
    match part {
        Part::Block(Block::Item { mark, text }) => Some((mark, text)),
        _ => None,
    }
}

/// Items that follow each other. Marks that tell more than that an item begins are
/// shown.
fn list<'a>(items: impl Iterator<Item = (&'a str, &'a str)> + Clone) -> Markup {
    let marked = items.clone().any(|(mark, _)| mark != "-");
    html! {
        @if marked {
            ul.marked { @for (mark, text) in items { li { b { (mark) } " " span { (inline(text)) } } } }
        } @else {
            ul { @for (_, text) in items { li { (inline(text)) } } }
        }
    }
}

fn part(part: &Part, section: &str) -> Markup {
    match part {
        Part::Block(block) => self::block(block, section),
        Part::Picture(picture) => html! {
            figure {
                (PreEscaped(&picture.svg))
                figcaption { b { (picture.title) "." } " " (picture.caption) }
            }
        },
        Part::Course(moments) => course(moments),
        Part::Cautions => cautions(),
        Part::Text { name, text } => html! {
            h3 { (name) }
            pre.source tabindex="0" role="region" aria-label=(name) { (text) }
        },
    }
}

fn block(block: &Block, section: &str) -> Markup {
    match block {
        Block::Head { beside, .. } => html! { p.beside { (inline(&beside.join(" · "))) } },
        Block::Verdict { word, text, paint } => {
            let (class, mark) = shapes::of_paint(*paint);
            html! {
                div class={ "verdict " (class) } {
                    (mark)
                    p { strong { (word) } " " (inline(text)) }
                }
            }
        }
        Block::Heading(text) => html! { h2 { (inline(text)) } },
        Block::Paragraph { text, paint } => match class(*paint) {
            "" => html! { p { (inline(text)) } },
            class => html! { p class=(class) { (inline(text)) } },
        },
        Block::Item { text, .. } => html! { p { (inline(text)) } },
        Block::Table(table) => self::table(table, section),
        Block::Code(lines) => html! { pre { (lines.join("\n")) } },
        Block::Set { page, .. } => html! { @for block in page { (self::block(block, section)) } },
        Block::Gap => html! {},
    }
}

/// A table of more columns is set smaller on paper.
const MANY_COLUMNS: usize = 10;

fn table(table: &Table, section: &str) -> Markup {
    let (heads, rows) = table.rows.split_at(table.heads.min(table.rows.len()));
    let columns = &table.columns;
    html! {
        div.wide.many[columns.len() > MANY_COLUMNS] tabindex="0" role="region" aria-label=(section) {
            table {
                thead {
                    tr { @for column in columns { (head(column, &column.heading)) } }
                    @for row in heads {
                        tr { @for (column, cell) in columns.iter().zip(row) { (head(column, &cell.text)) } }
                    }
                }
                tbody {
                    @for row in rows { (self::row(columns, row)) }
                }
            }
        }
    }
}

/// A cell of the heading; an empty one heads nothing.
fn head(column: &OwnColumn, text: &str) -> Markup {
    let text = text.trim();
    html! {
        @if text.is_empty() {
            td {}
        } @else if column.right {
            th.n scope="col" { (text) }
        } @else {
            th scope="col" { (text) }
        }
    }
}

fn row(columns: &[OwnColumn], row: &[Cell]) -> Markup {
    html! {
        tr {
            @for (index, (column, cell)) in columns.iter().zip(row).enumerate() {
                @let text = figure(cell.text.trim());
                @let class = cell_class(column, cell);
                @if index == 0 && !text.is_empty() {
                    th.(class) scope="row" { (text) }
                } @else {
                    td.(class) { (text) }
                }
            }
        }
    }
}

/// A minus sign and a dash where a terminal has the one character for both.
fn figure(text: &str) -> String {
    match text.strip_prefix('-') {
        Some("") => "–".to_owned(),
        Some(rest) if rest.starts_with(|c: char| c.is_ascii_digit()) => format!("−{rest}"),
        _ => text.to_owned(),
    }
}

/// Running text: what stands between backticks is to be typed, and a figure keeps its
/// unit on its line.
fn inline(text: &str) -> Markup {
    let text = with_units(text);
    let pieces: Vec<&str> = text.split('`').collect();
    // an odd backtick belongs to the text
    if pieces.len().is_multiple_of(2) {
        return html! { (text) };
    }
    html! {
        @for (index, piece) in pieces.iter().enumerate() {
            @if index % 2 == 1 { code { (piece) } } @else { (piece) }
        }
    }
}

/// Units that are not parted from the figure ahead of them.
const UNITS: [&str; 26] = [
    "%", "kPa", "psi", "s", "ms", "rpm", "krpm", "m", "km", "m/s", "ft", "ft/s", "K", "°C", "°F",
    "kW", "hp", "kg/s", "lb/min", "mg", "N", "lb", "l", "J", "kJ", "Hz",
];

fn with_units(text: &str) -> String {
    let mut joined = String::with_capacity(text.len());
    for (index, word) in text.split(' ').enumerate() {
        let unit = word.trim_end_matches(['.', ',', ';', ':', ')', '?']);
        let parted = !joined.ends_with(|c: char| c.is_ascii_digit()) || !UNITS.contains(&unit);
        if index > 0 {
            joined.push(if parted { ' ' } else { '\u{a0}' });
        }
        joined.push_str(word);
    }
    joined
}

fn cell_class(column: &OwnColumn, cell: &Cell) -> &'static str {
    match (column.right, class(cell.paint)) {
        (true, "good") => "n good",
        (true, "bad") => "n bad",
        (true, "bold") => "n bold",
        (true, "faint") => "n faint",
        (true, _) => "n",
        (false, "") => "w",
        (false, class) => class,
    }
}

fn class(paint: Paint) -> &'static str {
    match paint {
        Paint::Plain => "",
        Paint::Bold => "bold",
        Paint::Good => "good",
        Paint::Bad => "bad",
        Paint::Faint => "faint",
    }
}

fn course(moments: &[Moment]) -> Markup {
    html! {
        @if moments.is_empty() {
            p { "Nothing that has to be told." }
        } @else {
            ol.course { @for moment in moments { (self::moment(moment)) } }
        }
    }
}

fn moment(moment: &Moment) -> Markup {
    let (class, word, mark) = match moment.weight {
        Weight::Plain => ("plain", "event", shapes::ring()),
        Weight::Warning => ("care", "warning", shapes::triangle()),
        Weight::Broken => ("bad", "broken", shapes::octagon()),
    };
    html! {
        li class=(class) {
            span.time { (fixed(moment.time_s, 2)) " s" }
            span.weight { (mark) " " (word) }
            span.what { (inline(&moment.text)) }
        }
    }
}

fn cautions() -> Markup {
    html! {
        h2 { "Cautions" }
        ul.cautions { @for caution in CAUTIONS { li { (caution) } } }
    }
}

#[cfg(test)]
mod tests {
    use super::{figure, inline, with_units};

    #[test]
    fn figures_keep_their_units_and_signs() {
        assert_eq!(
            with_units("to 74 % closed, 3.1 s), a s"),
            "to 74\u{a0}% closed, 3.1\u{a0}s), a s"
        );
        assert_eq!(figure("-14.0"), "−14.0");
        assert_eq!(figure("-"), "–");
        assert_eq!(figure("pinned-sensor"), "pinned-sensor");
    }

    #[test]
    fn running_text_is_escaped_and_what_is_typed_is_marked() {
        let text = inline("Let `ringfence <ceiling>` say & tell").into_string();
        assert_eq!(
            text,
            "Let <code>ringfence &lt;ceiling&gt;</code> say &amp; tell"
        );
        assert_eq!(inline("one ` alone").into_string(), "one ` alone");
    }
}
