//! What is wrong with the user's file: place, what was read, what is allowed, a hint.

use std::fmt;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use serde::Serialize;

/// More diagnostics than this are only counted.
pub const MOST: usize = 50;

/// Source lines longer than this are not drawn.
const LONGEST_LINE: usize = 240;

/// One fault in the input.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// The file as the user named it; `--set` for an override.
    pub file: String,
    /// Line, from one.
    pub line: usize,
    /// Column in characters, from one.
    pub column: usize,
    /// Dotted path of the field, or `syntax` where the file could not be parsed.
    pub path: String,
    /// What is wrong, in one sentence.
    pub message: String,
    /// What was read there.
    pub read: String,
    /// What is allowed there.
    pub allowed: String,
    /// What to do about it.
    pub hint: String,
    /// The line of the file, for drawing.
    #[serde(skip)]
    pub source_line: String,
    /// How many characters the marker covers.
    #[serde(skip)]
    pub width: usize,
}

/// A fault that ends the reading: nothing behind it makes sense.
pub type Fatal = Box<Diagnostic>;

impl Diagnostic {
    /// The diagnostic as a compiler would show it, with or without colour codes.
    pub fn render(&self, colour: bool) -> String {
        let renderer = if colour {
            Renderer::styled()
        } else {
            Renderer::plain()
        };
        let title = Level::ERROR.primary_title(self.message.as_str());
        let group = match self.span() {
            Some(span) => title.element(
                Snippet::source(self.source_line.as_str())
                    .line_start(self.line)
                    .path(self.file.as_str())
                    .annotation(AnnotationKind::Primary.span(span).label(self.path.as_str())),
            ),
            None => self.place_only(title),
        };
        let group = group
            .element(Level::NOTE.with_name("read").message(self.read.as_str()))
            .element(
                Level::NOTE
                    .with_name("allowed")
                    .message(self.allowed.as_str()),
            )
            .element(Level::HELP.with_name("hint").message(self.hint.as_str()));
        renderer.render(&[group])
    }

    fn place_only<'a>(&'a self, title: annotate_snippets::Title<'a>) -> Group<'a> {
        title
            .element(
                Origin::path(self.file.as_str())
                    .line(self.line)
                    .char_column(self.column),
            )
            .element(Level::NOTE.with_name("field").message(self.path.as_str()))
    }

    /// The bytes of the source line to underline.
    fn span(&self) -> Option<std::ops::Range<usize>> {
        if self.source_line.is_empty() || self.source_line.len() > LONGEST_LINE {
            return None;
        }
        let offsets: Vec<usize> = self
            .source_line
            .char_indices()
            .map(|(offset, _)| offset)
            .chain([self.source_line.len()])
            .collect();
        let last = offsets.len() - 1;
        let start = (self.column - 1).min(last);
        let end = (start + self.width.max(1)).min(last).max(start);
        Some(offsets[start]..offsets[end])
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(false))
    }
}

/// All faults found in one go, in the order of the files.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostics {
    /// The faults, at most fifty.
    pub diagnostics: Vec<Diagnostic>,
    /// How many more there are.
    pub not_shown: usize,
}

impl Diagnostics {
    /// All diagnostics one below the other, then their count.
    pub fn render(&self, colour: bool) -> String {
        let mut out = String::new();
        for diagnostic in &self.diagnostics {
            out.push_str(&diagnostic.render(colour));
            out.push_str("\n\n");
        }
        let count = self.diagnostics.len() + self.not_shown;
        let noun = if count == 1 { "error" } else { "errors" };
        out.push_str(&format!("{count} {noun} in the input"));
        if self.not_shown > 0 {
            out.push_str(&format!(
                " (the first {} are shown)",
                self.diagnostics.len()
            ));
        }
        out.push('\n');
        out
    }
}

impl From<Diagnostic> for Diagnostics {
    fn from(diagnostic: Diagnostic) -> Self {
        Self {
            diagnostics: vec![diagnostic],
            not_shown: 0,
        }
    }
}

impl From<Fatal> for Diagnostics {
    fn from(fatal: Fatal) -> Self {
        (*fatal).into()
    }
}

impl fmt::Display for Diagnostics {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.render(false))
    }
}

impl std::error::Error for Diagnostics {}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> Diagnostic {
        Diagnostic {
            file: "a.yaml".into(),
            line: 7,
            column: 13,
            path: "ambient.pressure".into(),
            message: "pressure without its reference".into(),
            read: "96 kPa".into(),
            allowed: "a pressure, absolute".into(),
            hint: "write 96 kPa abs".into(),
            source_line: "  pressure: 96 kPa".into(),
            width: 6,
        }
    }

    #[test]
    fn the_caret_stands_under_the_value() {
        let text = sample().render(false);
        assert!(text.contains("a.yaml:7:13"), "{text}");
        assert!(text.contains("^^^^^^ ambient.pressure"), "{text}");
        for part in [
            "read: 96 kPa",
            "allowed: a pressure, absolute",
            "hint: write 96 kPa abs",
        ] {
            assert!(text.contains(part), "{part} in\n{text}");
        }
        assert!(!text.contains('\u{1b}'));
        assert!(sample().render(true).contains('\u{1b}'));
    }

    #[test]
    fn without_a_source_line_the_place_still_shows() {
        let text = Diagnostic {
            source_line: String::new(),
            ..sample()
        }
        .render(false);
        assert!(text.contains("a.yaml:7:13"), "{text}");
        assert!(text.contains("ambient.pressure"), "{text}");
    }

    #[test]
    fn a_column_past_the_end_does_not_panic() {
        let text = Diagnostic {
            column: 99,
            ..sample()
        }
        .render(false);
        assert!(text.contains("a.yaml:7"), "{text}");
    }
}
