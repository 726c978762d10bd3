//! The page of checks is made of `docs/validation/checks.csv`, and the list is true
//! to the tests: each names tests that exist, each figure is compared inside one.
use super::pages::{files_below, root, test_functions, writing};
use crate::proof::{self, Allowed, Cells};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;

const PAGE: &str = "docs/validation/README.md";

/// The page with its generated part put between the marks.
pub fn with_part(page: &str, name: &str, part: &str) -> String {
    let (open, close) = (
        format!("<!-- {name}: made by the tests -->"),
        format!("<!-- end of {name} -->"),
    );
    let (head, rest) = page.split_once(&open).expect("the opening mark");
    let (_, tail) = rest.split_once(&close).expect("the closing mark");
    format!("{head}{open}\n\n{part}\n{close}{tail}")
}

/// A line of a table.
pub fn line(cells: &[String]) -> String {
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

/// Rows of a CSV file below the project, comments left out.
fn csv_rows(path: &str) -> Vec<Vec<String>> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(root().join(path))
        .unwrap_or_else(|error| panic!("{path}: {error}"))
        .records()
        .map(|row| row.expect("a row").iter().map(str::to_owned).collect())
        .collect()
}

/// What answers the rows of the reference tables: file, rows, test, or why not.
fn answers() -> Vec<Vec<String>> {
    csv_rows("docs/validation/reference.csv")
}

/// The rows that nothing here answers.
fn unanswered() -> String {
    let heads = ["table", "rows", "why not"].map(str::to_owned);
    let mut text = line(&heads) + &line(&heads.clone().map(|_| "---".to_owned()));
    for answer in answers().iter().filter(|answer| answer[2].is_empty()) {
        text += &line(&[
            format!("`{}`", answer[0]),
            answer[1].clone(),
            answer[3].clone(),
        ]);
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
    let fresh = with_part(&fresh, "unanswered rows", &unanswered());
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

/// Every row of the worked examples, formula samples, closed forms and solver problems
/// is answered by a test, whose source reads that table, or it says why not.
#[test]
fn every_reference_row_is_answered_or_says_why_not() {
    let mut wrong = Vec::new();
    let mut used = BTreeSet::new();
    let sources: Vec<String> = files_below(&root().join("tests"), "rs")
        .iter()
        .map(|path| fs::read_to_string(path).expect("a readable source"))
        .collect();
    let answers = answers();
    let starts = ["cdef_", "ef_", "d_", "i_"];
    let tables = files_below(&root().join("tests/data/reference"), "csv");
    let mut rows = 0;
    for path in tables {
        let file = path
            .file_name()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        if !starts.iter().any(|start| file.starts_with(start)) {
            continue;
        }
        for row in csv_rows(&format!("tests/data/reference/{file}")) {
            rows += 1;
            let two = format!("{} {}", row[0], row[1]);
            let speaks_of_it = |answer: &&Vec<String>| {
                answer[0] == file && ["*", &row[0], &two].contains(&answer[1].as_str())
            };
            match answers.iter().find(speaks_of_it) {
                Some(answer) => drop(used.insert(answer.clone())),
                None => wrong.push(format!("{file}: nothing is said of {two}")),
            }
        }
    }
    assert!(rows > 80, "{rows} rows");
    for answer in &answers {
        let [file, rows, test, why] = answer.as_slice() else {
            panic!("four columns: {answer:?}");
        };
        let table = file.as_str();
        let answered = sources
            .iter()
            .any(|text| text.contains(&format!("fn {test}(")) && reads(text, table));
        if test.is_empty() == why.is_empty() || (!test.is_empty() && !answered) {
            wrong.push(format!(
                "{file}, {rows}: no test that reads it, or no reason"
            ));
        }
        if !used.contains(answer) {
            wrong.push(format!("{file}, {rows}: there is no such row"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Whether a source reads a table, itself or by the helper for formulas.
fn reads(source: &str, table: &str) -> bool {
    source.contains(table) || (table.starts_with("ef_") && source.contains("samples("))
}

/// The comparison of printed and reached errors must be able to fail.
#[test]
fn a_wrong_reached_error_is_found() {
    // allowed, printed, seen, whether they agree
    let cases = [
        ("1e-6", "8e-9", 7.9e-9, true),
        ("1e-6", "8e-9", 8.6e-9, false), // worse than printed
        ("1e-6", "8e-9", 2e-9, false),   // so much better that the print is stale
        ("1e-6", "< 1e-8", 3e-9, true),
        ("1e-6", "< 1e-8", 2e-8, false),
        ("1e-6", "< 1e-7", 3e-9, false), // no bound where a figure can be told
        ("1e-12", "< 1e-12", 3e-16, true),
        ("0.5 %", "0.26 %", 0.0026, true),
        ("0.5 %", "0.26", 0.0026, false),
        ("0.5 %", "0.26 %", 0.26, false),
        ("0.3 K", "0.2 K", 0.2, true),
        ("0.3 K", "?", 0.2, false),
        ("at least 1 %", "4.6 %", 0.046, true),
        ("at least 1 %", "4.6 %", 0.04, false),
        ("0.3 to 1.4 s", "0.7 s", 0.71, true),
        ("0.3 to 1.4 s", "0.7 s", 0.9, false),
        ("strict", "strict", 0.0, false),
    ];
    for (allowed, printed, seen, agree) in cases {
        let got = proof::agrees(allowed, printed, seen, seen);
        assert_eq!(got, agree, "{allowed}, {printed}, {seen}");
        if agree {
            let own = proof::written(allowed, seen, seen);
            assert!(proof::agrees(allowed, &own, seen, seen), "{own}");
        }
    }
    assert!(proof::agrees("0.3 to 1.4 s", "0.5 to 0.9 s", 0.5, 0.9));
    assert!(!proof::agrees("0.3 to 1.4 s", "0.5 to 0.9 s", 0.5, 0.7));
}

/// A row holds its bound, and there is none that the list does not have.
#[test]
fn a_row_can_fail() {
    let fails = |f: fn()| std::panic::catch_unwind(f).is_err();
    assert!(fails(|| drop(proof::row("no such row"))));
    assert!(fails(|| drop(proof::row("run-repeats")))); // words
    assert!(fails(|| proof::row("slip").reached(1e-5)));
    assert!(fails(|| proof::row("slip").reached(f64::NAN)));
    assert!(fails(|| proof::row("slip").done()));
    assert!(fails(|| proof::row("trend-heat").reached(0.0)));
    assert!(fails(|| proof::row("trade-ceiling").reached(56.0)));
}
