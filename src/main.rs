//! The `ringfence` program.
use std::process::ExitCode;

fn main() -> ExitCode {
    ringfence::cli::main()
}
