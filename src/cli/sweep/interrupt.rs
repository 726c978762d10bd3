//! Ctrl-C: no more cases are begun, those in flight are finished and kept.
use std::sync::atomic::{AtomicBool, Ordering};

use crate::cli::exit::Status;

/// Set once the user wants to stop.
pub static STOP: AtomicBool = AtomicBool::new(false);

/// Listens for Ctrl-C from now on. A second one ends the program at once; rows that
/// are on disk stay good.
pub fn listen() {
    // fails only where another listener stands already, which then does its own work
    let _ = ctrlc::set_handler(|| {
        if STOP.swap(true, Ordering::SeqCst) {
            end_now();
        }
    });
}

#[allow(
    clippy::exit,
    reason = "a case may take long, and the user asked twice"
)]
fn end_now() {
    std::process::exit(Status::Interrupted.number().into());
}

/// Whether the user wants to stop.
pub fn stopped() -> bool {
    STOP.load(Ordering::SeqCst)
}
