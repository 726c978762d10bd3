//! How likely production spread exceeds a limit, why, and which command keeps it rare.
#[path = "tolerance/calls.rs"]
mod calls;
#[path = "tolerance/causes.rs"]
mod causes;
#[path = "tolerance/command.rs"]
mod command;
#[path = "tolerance/known.rs"]
mod known;
#[path = "tolerance/stand.rs"]
mod stand;
