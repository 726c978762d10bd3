//! The program as a user meets it: commands, flags, exit statuses, files.
#[path = "cli/bench.rs"]
mod bench;
#[path = "cli/calls.rs"]
mod calls;
#[path = "cli/fields.rs"]
mod fields;
#[path = "cli/files.rs"]
mod files;
#[path = "cli/json.rs"]
mod json;
#[path = "cli/maps.rs"]
mod maps;
#[path = "cli/words.rs"]
mod words;
