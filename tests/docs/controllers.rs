//! The controllers that the guide walks through are the files that are compiled.
use super::pages::root;
use std::fs;

/// Blocks of a page in a language.
fn blocks<'a>(page: &'a str, language: &str) -> Vec<&'a str> {
    let opening = format!("```{language}\n");
    page.split(opening.as_str())
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap_or(""))
        .collect()
}

/// Each block stands in the file as it is shown, and they come in its order.
#[test]
fn the_guide_shows_the_example_as_it_is_compiled() {
    let read = |file: &str| fs::read_to_string(root().join(file)).expect(file);
    let page = read("docs/guide/controllers.md");
    let file = read("docs/controllers/gentle_close.rs");
    let shown = blocks(&page, "rust");
    assert!(shown.len() > 4, "{} blocks", shown.len());
    let mut from = 0;
    for block in shown {
        let at = file[from..].find(block);
        let at = at.unwrap_or_else(|| panic!("not in the file, or not in its order:\n{block}"));
        from += at + block.len();
    }
}
