//! `ringfence schema`: the JSON Schema of scenario files.
use super::exit::Status;
use super::failure::Failure;
use super::screen::Screen;

/// Prints it.
pub fn schema(screen: &Screen) -> Result<Status, Failure> {
    screen.document(&crate::scenario::schema())?;
    Ok(Status::Held)
}
