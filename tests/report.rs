//! Text, files and pictures of results, on made-up samples.
#[path = "report/files.rs"]
mod files;
#[path = "report/handover.rs"]
mod handover;
#[path = "report/made_sweep.rs"]
mod made_sweep;
#[path = "report/made_up.rs"]
mod made_up;
#[path = "report/pictures.rs"]
mod pictures;
#[path = "common/random.rs"]
mod random;
#[path = "report/sweeps.rs"]
mod sweeps;
#[path = "report/text.rs"]
mod text;
