//! The words of a run say what its trace shows: every number in them is found
//! again from the samples, in both units, and what would be false is not said.
#[path = "course/broken.rs"]
mod broken;
#[path = "course/drive.rs"]
mod drive;
#[path = "course/limits.rs"]
mod limits;
#[path = "course/pinned.rs"]
mod pinned;
#[path = "course/plain.rs"]
mod plain;
#[path = "course/protections.rs"]
mod protections;
#[path = "course/surge.rs"]
mod surge;
