//! The page of each command: well-formed, complete, alone in the world.
#[path = "cli/bench.rs"]
#[allow(dead_code, reason = "shared with other tests")]
mod bench;
#[path = "page/commands.rs"]
mod commands;
#[path = "page/hostile.rs"]
mod hostile;
#[path = "page/run.rs"]
mod run;
#[path = "page/sound.rs"]
mod sound;
