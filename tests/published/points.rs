//! The benchmark's scenario and the rows of its reference tables.
use ringfence::scenario::build::Setup;
use ringfence::scenario::load;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// One row by column name.
pub type Row = BTreeMap<String, String>;

/// All rows of a reference table.
pub fn rows(file: &str) -> Vec<Row> {
    let path = below(&format!("tests/data/reference/{file}"));
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .and_then(|mut reader| reader.deserialize().collect())
        .expect("reference table reads")
}

/// The number in a column.
pub fn number(row: &Row, column: &str) -> f64 {
    row[column]
        .parse()
        .unwrap_or_else(|_| panic!("no number in {column} of {row:?}"))
}

/// A path below the project.
pub fn below(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// The benchmark's scenario.
pub const BENCHMARK: &str = "tests/validation/published/diesel_benchmark.yaml";

/// A scenario under overrides, built.
pub fn setup(path: &str, overrides: &[(String, String)]) -> Setup {
    let loaded = load(&below(path), overrides, None).unwrap_or_else(|errors| panic!("{errors}"));
    Setup::new(&loaded.scenario).unwrap_or_else(|error| panic!("{error}"))
}

/// The overrides that the README beside the scenario names, for a held point.
pub fn held(rpm: f64, fuel_mg: f64, wastegate: f64, area: f64) -> Vec<(String, String)> {
    [
        ("procedure.0.hold.engine_speed", format!("{rpm} rpm")),
        ("procedure.0.hold.fuel", format!("{fuel_mg} mg")),
        (
            "turbine.wastegate.opening",
            format!("{} %", 100.0 * wastegate),
        ),
        ("turbine.form.area_and_speed.area_factor", format!("{area}")),
    ]
    .map(|(path, value)| (path.to_owned(), value))
    .to_vec()
}
