//! `ringfence completions`: a script that completes commands and flags.
use clap::CommandFactory as _;
use serde_json::json;

use super::args::{Arguments, Completions};
use super::exit::Status;
use super::failure::Failure;
use super::screen::Screen;

/// Prints the script.
pub fn completions(args: &Completions, screen: &Screen) -> Result<Status, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(
        args.shell,
        &mut Arguments::command(),
        "ringfence",
        &mut script,
    );
    let script = String::from_utf8_lossy(&script);
    if screen.json {
        screen.document(&json!({ "shell": args.shell.to_string(), "script": script }))?;
    } else {
        screen.always(&script)?;
    }
    Ok(Status::Held)
}
