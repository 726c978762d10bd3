//! What is refused before the YAML parser sees a file.

use super::diagnostic::{Diagnostic, Fatal};
use super::source::ReadFailure;
use super::tree::DEEPEST;

/// Scenario files and tables may be this large.
pub const LARGEST: u64 = 1_000_000;

/// Makes a diagnostic about a whole file.
pub fn whole_file(file: &str, message: &str, read: &str, allowed: &str, hint: &str) -> Diagnostic {
    Diagnostic {
        file: file.to_owned(),
        line: 1,
        column: 1,
        path: "file".to_owned(),
        message: message.to_owned(),
        read: read.to_owned(),
        allowed: allowed.to_owned(),
        hint: hint.to_owned(),
        source_line: String::new(),
        width: 1,
    }
}

/// Message, what was read, what is allowed and a hint for an unreadable file.
pub fn failure_words(failure: &ReadFailure) -> [String; 4] {
    match failure {
        ReadFailure::Missing => [
            "there is no such file".into(),
            "no file".into(),
            "a file that exists".into(),
            "check the name; paths are relative to the file that names them".into(),
        ],
        ReadFailure::Folder => [
            "this is a folder, not a file".into(),
            "a folder".into(),
            "a file".into(),
            "name the file inside the folder".into(),
        ],
        ReadFailure::TooLarge(limit) => [
            "the file is too large".into(),
            format!("more than {} kB", limit / 1000),
            format!("at most {} kB", limit / 1000),
            "a scenario or table holds no bulk data; was this the right file?".into(),
        ],
        ReadFailure::Other(reason) => [
            "the file could not be read".into(),
            reason.clone(),
            "a readable file".into(),
            "check the permissions of the file".into(),
        ],
    }
}

/// Turns the bytes of a scenario into text that is safe to parse.
pub fn text(file: &str, bytes: &[u8]) -> Result<String, Fatal> {
    let text = plain(file, bytes)?;
    if text.trim().is_empty() {
        let fault = whole_file(
            file,
            "the file is empty",
            "nothing",
            "a mapping of sections",
            "start from `ringfence new`",
        );
        return Err(fault.into());
    }
    Ok(text)
}

/// Turns bytes into text, without a byte order mark.
pub fn plain(file: &str, bytes: &[u8]) -> Result<String, Fatal> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if let Some(offset) = bytes.iter().position(|&byte| is_binary(byte)) {
        return Err(binary(file, bytes, offset).into());
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok(text.to_owned()),
        Err(error) => Err(not_utf8(file, bytes, error.valid_up_to()).into()),
    }
}

/// Refuses brackets nested far deeper than any scenario needs, at linear cost:
/// the parser itself spends most of a second on a megabyte of `[`.
pub fn nesting(file: &str, text: &str) -> Result<(), Fatal> {
    let mut depth = 0_usize;
    for (index, line) in text.lines().enumerate() {
        // `- - - x` opens a list for each dash.
        let dashes = line
            .split_whitespace()
            .take_while(|word| matches!(*word, "-" | "?"))
            .count();
        for (column, letter) in line.chars().enumerate() {
            match letter {
                '[' | '{' => depth += 1,
                ']' | '}' => depth = depth.saturating_sub(1),
                _ => {}
            }
            if depth > DEEPEST || dashes > DEEPEST {
                return Err(too_deep(file, index + 1, column + 1, line).into());
            }
        }
    }
    Ok(())
}

/// The diagnostic for nesting beyond the cap.
pub fn too_deep(file: &str, line: usize, column: usize, source_line: &str) -> Diagnostic {
    Diagnostic {
        line,
        column,
        path: "syntax".to_owned(),
        source_line: source_line.to_owned(),
        ..whole_file(
            file,
            "nested too deeply",
            &format!("more than {DEEPEST} levels"),
            &format!("at most {DEEPEST} levels of nesting"),
            "close the brackets, or check the indentation",
        )
    }
}

/// Control characters that no text file holds.
fn is_binary(byte: u8) -> bool {
    byte < 0x20 && !matches!(byte, b'\t' | b'\n' | b'\r' | 0x0C)
}

fn line_and_column(bytes: &[u8], offset: usize) -> (usize, usize) {
    let before = &bytes[..offset];
    let line = before.iter().filter(|&&byte| byte == b'\n').count() + 1;
    let start = before
        .iter()
        .rposition(|&byte| byte == b'\n')
        .map_or(0, |at| at + 1);
    (
        line,
        String::from_utf8_lossy(&before[start..]).chars().count() + 1,
    )
}

fn binary(file: &str, bytes: &[u8], offset: usize) -> Diagnostic {
    let (line, column) = line_and_column(bytes, offset);
    Diagnostic {
        line,
        column,
        path: "syntax".to_owned(),
        ..whole_file(
            file,
            "this is a binary file, not text",
            &format!("the control byte 0x{:02X}", bytes[offset]),
            "text in UTF-8",
            "was this the right file? save it as plain text in UTF-8",
        )
    }
}

fn not_utf8(file: &str, bytes: &[u8], offset: usize) -> Diagnostic {
    let (line, column) = line_and_column(bytes, offset);
    Diagnostic {
        line,
        column,
        path: "syntax".to_owned(),
        ..whole_file(
            file,
            "the text is not UTF-8",
            &format!("the byte 0x{:02X}", bytes[offset]),
            "text in UTF-8",
            "save the file as UTF-8 in the editor",
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn binary_and_foreign_text_name_their_place() {
        let fault = text("x", b"a: 1\nb: \x00").unwrap_err();
        assert_eq!((fault.line, fault.column), (2, 4));
        let fault = text("x", b"a: \xFF").unwrap_err();
        assert_eq!((fault.line, fault.column), (1, 4));
        assert!(text("x", b" \n").is_err());
        assert_eq!(text("x", b"\xEF\xBB\xBFa: 1").unwrap(), "a: 1");
    }

    #[test]
    fn many_brackets_are_refused() {
        assert!(nesting("x", &"[".repeat(200_000)).is_err());
        assert!(nesting("x", &"- ".repeat(40)).is_err());
        assert!(nesting("x", "a: [1, [2, {b: 3}]]").is_ok());
    }
}
