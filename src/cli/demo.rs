//! `ringfence` alone: the demonstration.
use super::args::Demo;
use super::exit::Status;
use super::failure::Failure;
use super::screen::Screen;
/// Shows it.
pub fn demo(args: &Demo, screen: &Screen) -> Result<Status, Failure> {
    args.study.apply_threads();
    let ready = super::load::demo(&[])?;
    let run = super::run::simulate(&ready, false)?;
    screen.text(&crate::report::run_text(
        &run.result,
        args.study.units(),
        screen.width,
        screen.colour(),
    ))?;
    Ok(Status::Held)
}
