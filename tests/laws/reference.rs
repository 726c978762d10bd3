//! Rows of the reference tables.
use std::collections::BTreeMap;

/// One row by column name.
pub type Row = BTreeMap<String, String>;

/// All rows of a table in `tests/data/reference/`, whose head says where it is
/// from and how exact it is.
pub fn rows(file: &str) -> Vec<Row> {
    let path = format!("{}/tests/data/reference/{file}", env!("CARGO_MANIFEST_DIR"));
    let rows: Vec<Row> = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .and_then(|mut reader| reader.deserialize().collect())
        .expect("reference table reads");
    assert!(rows.len() >= 4, "{file} lost its rows");
    rows
}

/// The number in a column.
pub fn number(row: &Row, column: &str) -> f64 {
    row[column]
        .parse()
        .unwrap_or_else(|_| panic!("no number in {column} of {row:?}"))
}
