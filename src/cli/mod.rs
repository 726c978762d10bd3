//! The program: arguments in, text or JSON out, an exit status. The only room
//! that prints.
//!
//! | file | what it does |
//! | --- | --- |
//! | `args` | commands and flags |
//! | `screen` | the only place that writes to the terminal |
//! | `failure`, `exit` | what went wrong, and which status that is |
//! | `folder` | where files go, checked before any work |
//! | `band` | what `--band` asks for |
//! | `progress` | a bar for what takes longer than a second |
//! | `check_map` | what `check` says of maps, and their pictures |
//! | `sweep` | `sweep` and `merge`: rows that grow, and go on after a stop |
//! | `verify` | which scenarios, their answers, JUnit XML |
//! | `demo`, `run`, `compare`, `ceiling`, `tolerance`, `tables`, `check`, `new`, `explain`, `schema`, `completions` | one command each |
mod args;
mod band;
mod ceiling;
mod check;
mod check_map;
mod compare;
mod completions;
mod demo;
mod exit;
mod explain;
mod failure;
mod folder;
mod load;
mod new;
mod progress;
mod run;
mod schema;
mod screen;
mod sweep;
mod tables;
mod tolerance;
mod verify;

use std::process::ExitCode;

use crate::control::{ControllerForm, ControllerForms, FormProblem};
use args::{Arguments, Command};
use clap::Parser as _;
use clap::error::ErrorKind;
use exit::Status;
use failure::Failure;
use screen::Screen;

/// Parses the arguments, does what they ask and says how it went.
pub fn main() -> ExitCode {
    main_with([])
}

/// The whole program with controllers of one's own: a scenario chooses one by its name
/// in `controller.form`, and every command goes through it.
///
/// ```no_run
/// use ringfence::control::{BoostController, ControllerForm};
///
/// fn main() -> std::process::ExitCode {
///     ringfence::cli::main_with([ControllerForm::new("proportional", [], |settings, []| {
///         let mut settings = settings.clone();
///         settings.feedback.integral_1_pa_s = 0.0;
///         BoostController::new(settings)
///     })])
/// }
/// ```
pub fn main_with(controllers: impl IntoIterator<Item = ControllerForm>) -> ExitCode {
    let forms = ControllerForms::new(controllers);
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return refused(&error).into(),
    };
    let screen = Screen::new(&arguments.common);
    let done = forms.map_err(unfit_forms).and_then(|forms| {
        load::choose_among(forms);
        dispatch(&arguments, &screen)
    });
    let status = done.unwrap_or_else(|failure| {
        screen.failure(&failure);
        failure.status()
    });
    status.into()
}

fn unfit_forms(problem: FormProblem) -> Failure {
    Failure::call(
        problem.to_string(),
        "the controllers that this program brings along",
        "forms with names and numbers of their own",
        "mend the program where it calls `main_with`",
    )
}

fn dispatch(arguments: &Arguments, screen: &Screen) -> Result<Status, Failure> {
    let Some(command) = &arguments.command else {
        return demo::demo(&arguments.demo, screen);
    };
    if let Some(flag) = arguments.demo.first_given() {
        return Err(Failure::call(
            format!("{flag} stands ahead of the command"),
            flag,
            "flags of a command behind its name",
            format!("write `ringfence {} … {flag} …`", command.name()),
        ));
    }
    match command {
        Command::Run(args) => run::run(args, screen),
        Command::Compare(args) => compare::compare(args, screen),
        Command::Ceiling(args) => ceiling::ceiling(args, screen),
        Command::Sweep(args) => sweep::sweep(args, screen),
        Command::Merge(args) => sweep::merge(args, screen),
        Command::Tolerance(args) => tolerance::tolerance(args, screen),
        Command::Tables(args) => tables::tables(args, screen),
        Command::Verify(args) => verify::verify(args, screen),
        Command::Check(args) => check::check(args, screen),
        Command::New(args) => new::new(args, screen),
        Command::Explain(args) => explain::explain(args, screen),
        Command::Schema => schema::schema(screen),
        Command::Completions(args) => completions::completions(args, screen),
    }
}

/// Help and version as asked for, or a call that cannot be understood.
fn refused(error: &clap::Error) -> Status {
    let asked_for = matches!(
        error.kind(),
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion
    );
    let wants_json = std::env::args_os().skip(1).any(|word| word == "--json");
    if asked_for || !wants_json {
        // a closed pipe is no reason to complain
        let _ = error.print();
    } else {
        let text = error.render().to_string();
        let failure = Failure::Usage {
            message: text.trim().to_owned(),
        };
        Screen::json_only().failure(&failure);
    }
    if asked_for {
        Status::Held
    } else {
        Status::Wrong
    }
}
