//! One set of tables that the tests share: three speeds of the demonstration, two
//! altitudes on two days, short transients.
use crate::bench::{Bench, args, scenario};
use serde_json::Value;
use std::path::PathBuf;
use std::sync::OnceLock;
use tempfile::TempDir;

/// Rows \[rpm\].
pub const SPEEDS: [&str; 3] = ["1600", "2000", "2700"];
/// Altitudes \[m\] and offsets from the standard atmosphere \[K\].
pub const PLACES: [(&str, &str); 4] = [("400", "0"), ("400", "15"), ("2000", "0"), ("2000", "15")];
/// How long runs are watched after their last change \[s\].
pub const AFTERWARDS_S: f64 = 6.0;
/// Kept from the limits \[%\].
pub const RESERVE_PCT: f64 = 3.0;

/// Tables in a folder.
pub struct Made {
    folder: TempDir,
    pub json: Value,
}

impl Made {
    pub fn file(&self, name: &str) -> PathBuf {
        self.folder.path().join("out").join(name)
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.file(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
    }

    /// A grid of the document.
    pub fn grid(&self, field: &str) -> Vec<Vec<f64>> {
        grid(&self.json[field])
    }
}

pub fn grid(value: &Value) -> Vec<Vec<f64>> {
    let row = |row: &Value| {
        row.as_array()
            .unwrap()
            .iter()
            .map(|v| v.as_f64().unwrap())
            .collect()
    };
    value.as_array().unwrap().iter().map(row).collect()
}

/// Makes them once.
pub fn made() -> &'static Made {
    static MADE: OnceLock<Made> = OnceLock::new();
    MADE.get_or_init(|| {
        let folder = TempDir::new().unwrap();
        let out = folder.path().join("out").display().to_string();
        let said = Bench::new()
            .call(&args(&[&[
                "tables",
                &scenario(),
                "--speeds",
                "1600rpm,2000rpm,2700rpm",
                "--altitudes",
                "400m,2000m",
                "--temperatures",
                "0K,15K",
                "--reserve",
                "3 %",
                "--set",
                "ceiling.transients.afterwards=6 s",
                "--set",
                "ceiling.step=2 kPa",
                // a loop and a limit of its own, so that what the tables have to
                // bear here does not hang on how the demonstration is tuned
                "--set",
                "controller.command.rate_limit=60 kPa/s",
                "--set",
                "controller.feedback.proportional=0.30 %/kPa",
                "--set",
                "limits.turbine_inlet=760 degC",
                "--out",
                &out,
                "--json",
            ]]))
            .ends_with(0);
        Made {
            json: said.json(),
            folder,
        }
    })
}
