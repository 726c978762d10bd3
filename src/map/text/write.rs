//! Writes what the text forms of all maps share.

use super::MapHeader;
use std::fmt::Write;

/// The header lines that every map has.
pub(in crate::map) fn header(text: &mut String, header: &MapHeader) {
    let reference = header.reference;
    // Writing into a String cannot fail.
    let _ = writeln!(
        text,
        "# about: {}\n# data: {}\n# reference_pressure: {} Pa abs\n\
         # reference_temperature: {} K\n# source: {}",
        one_line(&header.about),
        header.data.word(),
        reference.pressure_pa,
        reference.temperature_k,
        one_line(&header.source)
    );
}

/// A figure with so many decimals, or as it is where those would lose it.
pub(in crate::map) fn figure(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let kept = text
        .parse()
        .is_ok_and(|read: f64| (read - value).abs() <= 1e-4 * value.abs());
    if kept { text } else { format!("{value:e}") }
}

/// Header values end at the line's end: keep them on one.
fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
