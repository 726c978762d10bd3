//! Sweeps as a user meets them: rows, files, stops, parts, bad calls.
#[path = "sweep/bad_calls.rs"]
mod bad_calls;
#[path = "cli/bench.rs"]
#[allow(dead_code, reason = "shared with other tests")]
mod bench;
#[path = "sweep/cases.rs"]
mod cases;
#[path = "sweep/edge.rs"]
mod edge;
#[path = "sweep/files.rs"]
mod files;
#[path = "sweep/parts.rs"]
mod parts;
#[path = "sweep/stops.rs"]
mod stops;
