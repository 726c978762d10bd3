//! The page of checks is made of `docs/validation/checks.csv`, and the list is true
//! to the tests: each names tests that exist, each figure is compared inside one.
use super::pages::{files_below, root, test_functions, writing};
use crate::proof::{self, Allowed, Cells};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;

const PAGE: &str = "docs/validation/README.md";

/// The page with its generated part put between the marks.
fn with_part(page: &str, name: &str, part: &str) -> String {
    let (open, close) = (
        format!("<!-- {name}: made by the tests -->"),
        format!("<!-- end of {name} -->"),
    );
    let (head, rest) = page.split_once(&open).expect("the opening mark");
    let (_, tail) = rest.split_once(&close).expect("the closing mark");
    format!("{head}{open}\n\n{part}\n{close}{tail}")
}

fn line(cells: &[String]) -> String {
    format!("| {} |\n", cells.join(" | "))
}

fn names_of(cells: &Cells) -> Vec<&str> {
    cells["test"].split_whitespace().collect()
}

fn table() -> String {
    const COLUMNS: [&str; 7] = [
        "area",
        "check",
        "source",
        "condition",
        "allowed",
        "reached",
        "test",
    ];
    let mut text = line(&COLUMNS.map(str::to_owned));
    text += &line(&COLUMNS.map(|_| "---".to_owned()));
    for cells in proof::all() {
        let tests: Vec<_> = names_of(&cells)
            .iter()
            .map(|name| format!("`{name}`"))
            .collect();
        text += &line(&COLUMNS.map(|column| match column {
            "test" => tests.join(", "),
            other => cells[other].clone(),
        }));
    }
    text
}

/// The page is what the list makes of it, byte for byte. With `RINGFENCE_WRITE=1` it is
/// written instead.
#[test]
fn the_page_of_checks_is_fresh() {
    let path = root().join(PAGE);
    let page = fs::read_to_string(&path).expect("the page of checks");
    let fresh = with_part(&page, "checks", &table());
    if writing() {
        fs::write(&path, fresh).expect("the page can be written");
        return;
    }
    assert!(
        page == fresh,
        "{PAGE} is stale: RINGFENCE_WRITE=1 cargo test --test docs"
    );
}

/// Text between a mark and the next quote, for each place where the mark stands.
fn quoted_after<'a>(text: &'a str, mark: &'a str) -> impl Iterator<Item = &'a str> {
    text.split(mark)
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
}

/// Test sources, and the ids of rows that each proves.
fn proved() -> Vec<(String, BTreeSet<String>)> {
    let mark = "proof::row(\"";
    files_below(&root().join("tests"), "rs")
        .into_iter()
        .filter(|path| !path.ends_with("common/proof.rs") && !path.ends_with("docs/validation.rs"))
        .map(|path| fs::read_to_string(path).expect("a readable source"))
        .map(|text| {
            let ids = quoted_after(&text, mark).map(str::to_owned).collect();
            (text, ids)
        })
        .collect()
}

/// Ids are there once; each row is full, and names tests that exist. Where it allows a
/// figure, a source with one of its tests compares that figure; and no test speaks of
/// a row that is not there.
#[test]
fn checks_are_true_to_the_tests() {
    let known = test_functions();
    assert!(known.len() > 100, "{} tests found", known.len());
    let sources = proved();
    let mut rows: BTreeMap<String, Cells> = BTreeMap::new();
    let mut wrong = Vec::new();
    for cells in proof::all() {
        let id = cells["id"].clone();
        for (column, text) in &cells {
            if text.trim().is_empty() || text.contains('|') {
                wrong.push(format!("{id}: {column} is {text:?}"));
            }
        }
        for name in names_of(&cells) {
            if !known.contains(name) {
                wrong.push(format!("{id}: no test is called {name}"));
            }
        }
        let has_figure = proof::allowed(&cells["allowed"]).0 != Allowed::Words;
        let by_a_test = |(text, ids): &(String, BTreeSet<String>)| {
            let holds_test = names_of(&cells)
                .iter()
                .any(|name| text.contains(&format!("fn {name}(")));
            holds_test && ids.contains(&id)
        };
        if has_figure && !sources.iter().any(by_a_test) {
            wrong.push(format!(
                "{id}: none of its tests calls proof::row(\"{id}\")"
            ));
        }
        if rows.insert(id.clone(), cells).is_some() {
            wrong.push(format!("{id} is there twice"));
        }
    }
    for id in sources.iter().flat_map(|(_, ids)| ids) {
        if !rows.contains_key(id) {
            wrong.push(format!("a test proves {id}, which has no row"));
        }
    }
    assert!(rows.len() > 60, "{} checks", rows.len());
    assert!(wrong.is_empty(), "{wrong:#?}");
}
