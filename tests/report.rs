//! Text, files and pictures of results, on made-up samples.
#[path = "report/files.rs"]
mod files;
#[path = "report/made_up.rs"]
mod made_up;
#[path = "report/pictures.rs"]
mod pictures;
#[path = "report/text.rs"]
mod text;
