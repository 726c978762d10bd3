//! `ringfence explain`
use super::args::Explain;
use super::exit::Status;
use super::failure::Failure;
use super::screen::Screen;
/// Explains.
pub fn explain(_args: &Explain, screen: &Screen) -> Result<Status, Failure> {
    screen.text("")?;
    Ok(Status::Held)
}
