//! Scenario files: reading, layering, checking, and saying what is wrong.
//!
//! [`file`] mirrors the YAML as it is written; [`Scenario`] is what it means,
//! after every check. [`load`] goes from one to the other and returns either a
//! [`Scenario`] or all faults at once, each with its file, line, column and
//! field path.
mod check;
mod checked;
mod diagnostic;
mod document;
pub mod file;
mod guard;
mod layer;
mod load;
mod meaning;
mod place;
mod read;
mod schema;
mod section;
mod source;
mod syntax;
mod tree;

pub use checked::*;
pub use diagnostic::{Diagnostic, Diagnostics};
pub use load::{Loaded, load, load_from};
pub use read::Raw;
pub use schema::{explain_field, keys_below, schema};
pub use source::{Disk, Embedded, FileSource, ReadFailure};
