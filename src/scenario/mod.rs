//! Scenario files: reading, layering, checking, and saying what is wrong.
//!
//! [`mod@file`] mirrors the YAML as it is written; [`Scenario`] is what it means,
//! after every check. [`load`] goes from one to the other and returns either a
//! [`Scenario`] or all faults at once, each with its file, line, column and
//! field path.
//!
//! The way of a file: [`FileSource`] gives bytes, `guard` refuses what is no
//! text, `syntax` and `tree` make a tree whose nodes remember where they were
//! written, `layer` lays files and overrides over each other, `read` turns the
//! tree into the structs of [`mod@file`] and goes on after each fault, `check` looks
//! at values against nature and each other, `meaning` makes the [`Scenario`].
//! `place` finds line and column once a [`Diagnostic`] needs them.
//!
//! A new key is one documented line in a `section!` of [`mod@file`]: reading, JSON
//! Schema and the text of `explain` follow from it. Its bounds go into `check`,
//! a file that breaks them into `tests/bad_scenarios/`.
mod amount;
mod baseline_file;
pub mod build;
mod check;
mod checked;
mod diagnostic;
mod document;
mod factor;
pub mod file;
mod guard;
mod layer;
mod load;
mod map_file;
mod meaning;
mod place;
mod read;
mod recording;
mod schema;
mod section;
mod source;
mod syntax;
mod tree;
mod vary;
mod vary_path;
mod wheel_file;
mod written;
mod written_out;

pub use baseline_file::{
    Renewal, baseline_of, baseline_text, parse as parse_baseline, read_baseline, renewed_baseline,
};
pub use checked::*;
pub use diagnostic::{Diagnostic, Diagnostics};
pub use factor::{Changed, FactorFailure, changed, scaled, with_factors};
pub use load::{Loaded, expects, load, load_from, load_with};
pub use map_file::{MapFile, read_map};
pub use read::Raw;
pub use schema::{Wanted, explain_field, keys_below, schema, wanted_at};
pub use source::{Disk, Embedded, FileSource, ReadFailure};
pub use vary::{VARIED, VaryFailure, reads_files, varied};
pub use vary_path::{knows_path, near_paths, readable_at};
pub use wheel_file::read_wheel;
pub use written::{WrittenNumber, written_number};
pub use written_out::{Written, written};
