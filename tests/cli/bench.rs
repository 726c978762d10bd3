//! What the tests share: the program in a folder of its own, a short scenario.
use std::path::{Path, PathBuf};
use std::process::Output;

use assert_cmd::Command;
use serde_json::Value;
use tempfile::TempDir;

/// A run of this scenario takes milliseconds: two seconds at one speed, in
/// which every limit holds.
pub const SHORT: [&str; 4] = [
    "--set",
    "procedure=[{hold: {engine_speed: 2000 rpm, fuel: 90 mg, duration: 2 s}}]",
    "--set",
    "controller.command.full_load=260 kPa abs",
];

/// One cell with short transients.
pub const ONE_CELL: [&str; 8] = [
    "--speeds",
    "2200rpm",
    "--altitudes",
    "400m",
    "--step",
    "4 kPa",
    "--set",
    "ceiling.transients.afterwards=3 s",
];

/// The shipped scenario.
pub fn scenario() -> String {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("scenarios/rescue-tender.yaml")
        .display()
        .to_string()
}

/// The program in a folder of its own.
pub struct Bench {
    folder: TempDir,
}

impl Bench {
    pub fn new() -> Self {
        Self {
            folder: TempDir::new().unwrap(),
        }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, text).unwrap();
        path
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
    }

    /// The program with nothing of the tester's terminal.
    pub fn command(&self) -> Command {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin!("ringfence"));
        command
            .current_dir(self.folder.path())
            .env_remove("COLUMNS")
            .env_remove("NO_COLOR")
            .env_remove("CLICOLOR_FORCE")
            .env("RUST_BACKTRACE", "0");
        command
    }

    pub fn call(&self, args: &[&str]) -> Said {
        Said::of(self.command().args(args).output().unwrap(), args)
    }
}

/// What the program said.
pub struct Said {
    pub code: i32,
    pub out: String,
    pub err: String,
    pub call: String,
}

impl Said {
    pub fn of(output: Output, args: &[&str]) -> Self {
        let said = Self {
            code: output.status.code().expect("ended by itself"),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
            call: args.join(" "),
        };
        for text in [&said.out, &said.err] {
            assert!(!text.contains("panicked"), "{}: {text}", said.call);
        }
        said
    }

    /// Fails with everything that was said unless the status is this one.
    #[track_caller]
    pub fn ends_with(self, code: i32) -> Self {
        assert_eq!(
            self.code, code,
            "ringfence {}\n--- stdout\n{}\n--- stderr\n{}",
            self.call, self.out, self.err
        );
        self
    }

    /// The one JSON document on standard output, and nothing else anywhere.
    #[track_caller]
    pub fn json(&self) -> Value {
        assert_eq!(self.err, "", "{}: standard error is not empty", self.call);
        serde_json::from_str(&self.out)
            .unwrap_or_else(|error| panic!("{}: {error}\n{}", self.call, self.out))
    }

    #[track_caller]
    pub fn says(&self, text: &str) -> &Self {
        assert!(
            self.out.contains(text) || self.err.contains(text),
            "{}: no `{text}` in\n{}\n{}",
            self.call,
            self.out,
            self.err
        );
        self
    }
}

/// Arguments put together.
pub fn args<'a>(parts: &[&[&'a str]]) -> Vec<&'a str> {
    parts.concat()
}
