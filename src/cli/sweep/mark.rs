//! By what a file of rows is known: which sweep, which part of it, which program.
use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};

use crate::cli::args::Sweep;
use crate::cli::load::{self, Ready};
use crate::report::{RowFormat, sweep_columns};
use crate::scenario::reads_files;
use crate::study::sweep::{Plan, Sampling, Shard};

/// The first line of a state file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mark {
    /// What the file is.
    state_of: String,
    /// Version of the program.
    version: String,
    /// Title of the scenario.
    scenario: String,
    /// Hash of the scenario with all its files and overrides.
    content: String,
    /// What varies, as it was asked for.
    vary: Vec<String>,
    /// Draws in place of a grid.
    draws: Option<u32>,
    /// Their seed.
    seed: Option<u32>,
    /// Cases of the whole sweep.
    pub cases: u64,
    /// Which part, from 1.
    pub part: u64,
    /// Of how many.
    pub of: u64,
    /// `csv` or `jsonl`.
    format: String,
    /// Columns of the rows.
    pub columns: Vec<String>,
}

const STATE_OF: &str = "ringfence sweep";

impl Mark {
    /// The mark of what was asked for.
    pub fn of(args: &Sweep, ready: &Ready, plan: &Plan, format: RowFormat) -> Self {
        let (draws, seed) = match plan.sampling {
            Sampling::Grid => (None, None),
            Sampling::Draws { draws, seed } => (Some(draws), Some(seed)),
        };
        let varied: Vec<String> = plan.axes.iter().map(|axis| axis.column.clone()).collect();
        Self {
            state_of: STATE_OF.to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            scenario: ready.setup.titles.scenario.clone(),
            content: content(args, ready, plan),
            vary: args
                .vary
                .iter()
                .map(|one| format!("{}={}", one.path, one.value))
                .collect(),
            draws,
            seed,
            cases: plan.total(),
            part: plan.shard.part,
            of: plan.shard.of,
            format: format.extension().to_owned(),
            columns: sweep_columns(&varied),
        }
    }

    /// Read from a line, if it is one.
    pub fn read(line: &str) -> Option<Self> {
        let mark: Self = serde_json::from_str(line).ok()?;
        let sound = mark.state_of == STATE_OF && (1..=mark.of).contains(&mark.part);
        (sound && mark.format().is_some()).then_some(mark)
    }

    /// As a line, without its end.
    pub fn line(&self) -> String {
        // text and numbers always are JSON
        serde_json::to_string(self).unwrap_or_default()
    }

    /// How the rows are written.
    pub fn format(&self) -> Option<RowFormat> {
        RowFormat::from_extension(&self.format)
    }

    /// Which part of the sweep.
    pub fn shard(&self) -> Shard {
        Shard {
            part: self.part,
            of: self.of,
        }
    }

    /// How many rows there will be.
    pub fn rows(&self) -> u64 {
        let cases = self.shard().cases(self.cases);
        cases.end - cases.start
    }

    /// The same sweep, undivided.
    pub fn whole(&self) -> Self {
        Self {
            part: 1,
            of: 1,
            ..self.clone()
        }
    }

    /// In what another mark differs, the weightiest first.
    pub fn difference(&self, other: &Self) -> Option<String> {
        let words = |name: &str, a: &dyn std::fmt::Display, b: &dyn std::fmt::Display| {
            Some(format!("{name}: there {b}, asked for {a}"))
        };
        if self.version != other.version {
            words("version of the program", &self.version, &other.version)
        } else if self.vary != other.vary {
            words("--vary", &self.vary.join(" "), &other.vary.join(" "))
        } else if (self.draws, self.seed) != (other.draws, other.seed) {
            let text = |mark: &Self| match (mark.draws, mark.seed) {
                (Some(draws), Some(seed)) => format!("{draws} draws with seed {seed}"),
                _ => "the whole grid".to_owned(),
            };
            words("points", &text(self), &text(other))
        } else if self.content != other.content || self.scenario != other.scenario {
            words("scenario or its overrides", &self.scenario, &other.scenario)
        } else if (self.part, self.of) != (other.part, other.of) {
            let text = |mark: &Self| format!("{}/{}", mark.part, mark.of);
            words("part", &text(self), &text(other))
        } else if self != other {
            words("format", &self.format, &other.format)
        } else {
            None
        }
    }
}

/// Hash of what the scenario means: a comment more or less does not count, a file
/// beside it does.
fn content(args: &Sweep, ready: &Ready, plan: &Plan) -> String {
    let mut hash = Sha256::new();
    hash.update(format!("{:?}", ready.loaded.scenario));
    for axis in plan.axes.iter().filter(|axis| reads_files(&axis.path)) {
        for value in axis.samples() {
            let mut sets = load::pairs(&args.set.sets);
            sets.push((axis.path.clone(), value));
            hash.update(match ready.loaded.load_anew(&args.scenario, &sets) {
                Ok(loaded) => format!("{:?}", loaded.scenario),
                Err(diagnostics) => diagnostics.to_string(),
            });
        }
    }
    hash.finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
