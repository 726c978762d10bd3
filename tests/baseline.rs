//! Stored courses of runs: hand-made traces against hand-made baselines, the file and
//! its faults, a changed gain end to end, and how baselines are written and renewed.
#[path = "cli/bench.rs"]
#[allow(dead_code)]
mod bench;
#[path = "baseline/file.rs"]
mod file;
#[path = "baseline/held.rs"]
mod held;
#[path = "baseline/picture.rs"]
mod picture;
#[path = "baseline/pull.rs"]
mod pull;
#[path = "baseline/written.rs"]
mod written;
