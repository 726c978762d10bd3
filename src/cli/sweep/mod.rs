//! `ringfence sweep` and `ringfence merge`.
//!
//! | file | what it does |
//! | --- | --- |
//! | `ask` | what was asked for, and what of it cannot be done |
//! | `place` | where rows go |
//! | `mark` | by what a file of rows is known |
//! | `store` | rows that grow on disk, checked and gone on with |
//! | `interrupt` | Ctrl-C |
//! | `answer` | text, verdict and pictures |
//! | `merge` | parts made whole |
mod answer;
mod ask;
mod interrupt;
mod mark;
mod merge;
mod place;
mod store;

pub use merge::merge;

use std::io::{self, Write as _};
use std::time::Instant;

use super::args::Sweep;
use super::exit::Status;
use super::failure::{Failure, STANDARD_OUTPUT};
use super::load;
use super::progress::Bar;
use super::screen::Screen;
use crate::judgement::{CaseVerdict, SweepRow, SweepSummary};
use crate::report::{RowFormat, SMALL_SWEEP, read_sweep_line, sweep_line};
use crate::study::progress::Progress as _;
use crate::study::sweep::{Plan, Taker, Tally, in_order, run_case};
use mark::Mark;
use place::{Place, has_room};
use store::Store;

/// Runs every case and tells what they come to.
pub fn sweep(args: &Sweep, screen: &Screen) -> Result<Status, Failure> {
    args.study.apply_threads();
    let begun = Instant::now();
    let place = Place::of(args.study.out.as_deref(), screen.json)?;
    let ready = load::from_disk(&args.scenario, &args.set.sets)?;
    let plan = ask::plan(args, &ready)?;
    let mark = Mark::of(args, &ready, &plan, place.format());
    if let Some((path, _)) = place.rows() {
        has_room(path, mark.rows())?;
    }
    interrupt::listen();
    let mut collected = Collected {
        tally: Tally::new(&plan, &ready.setup.titles),
        rows: Vec::new(),
        keeps: mark.rows() <= SMALL_SWEEP as u64,
    };
    let bar = Bar::paced(screen, "cases");
    let cases = plan.cases();
    let to = match &place {
        Place::Lines => To::Lines,
        Place::Told => To::Nobody,
        Place::File(path, _) => To::Store(Box::new(open(path, &mark, &plan, &mut collected)?)),
        Place::Folder(folder, path) => {
            let name = "sweep.csv".to_owned();
            folder.claim(&[format!("{name}.state"), name])?;
            To::Store(Box::new(open(path, &mark, &plan, &mut collected)?))
        }
    };
    let done = match &to {
        To::Store(store) => store.rows(),
        _ => 0,
    };
    let mut desk = Desk {
        collected,
        to,
        bar: &bar,
    };
    bar.begin((cases.end - cases.start) as usize);
    bar.skip(done);
    let overrides = load::pairs(&args.set.sets);
    let outcome = in_order(
        cases.start + done..cases.end,
        &interrupt::STOP,
        |case| {
            let row = run_case(&ready.loaded, &args.scenario, &overrides, &plan, case);
            let line = match place {
                Place::Told => String::new(),
                _ => sweep_line(&row, &mark.columns, place.format()),
            };
            (row, line)
        },
        &mut desk,
    );
    bar.end();
    let summary = desk.end(outcome)?;
    let wall_s = args.study.timing.then(|| begun.elapsed().as_secs_f64());
    let call = answer::Call {
        args,
        ready: &ready,
        plan: &plan,
        mark: &mark,
        place: &place,
        wall_s,
    };
    call.tell(&summary, &desk.collected.rows, screen)?;
    Ok(status(&summary))
}

/// A case beyond a limit is what a sweep looks for, so it outranks one without an
/// answer.
fn status(summary: &SweepSummary) -> Status {
    if summary.done() < summary.asked && interrupt::stopped() {
        Status::Interrupted
    } else if summary.count(CaseVerdict::Exceeded) > 0 {
        Status::Exceeded
    } else if summary.without_answer() > 0 {
        Status::Failed
    } else {
        Status::Held
    }
}

fn open(
    path: &std::path::Path,
    mark: &Mark,
    plan: &Plan,
    collected: &mut Collected,
) -> Result<Store, Failure> {
    let first = plan.cases().start;
    let format = mark.format().unwrap_or(RowFormat::Csv);
    Store::open(path, mark, |number, line| {
        let case = first + number;
        let values = plan.values(case).into_iter().map(|(_, shown)| shown);
        match read_sweep_line(line, &mark.columns, format, values.collect()) {
            Some(row) if row.index == case => {
                collected.count(row);
                true
            }
            _ => false,
        }
    })
}

/// What is known of the rows so far.
struct Collected<'a> {
    tally: Tally<'a>,
    rows: Vec<SweepRow>,
    keeps: bool,
}

impl Collected<'_> {
    fn count(&mut self, row: SweepRow) {
        self.tally.count(&row);
        if self.keeps {
            self.rows.push(row);
        }
    }
}

/// Where finished rows go.
enum To {
    Lines,
    Nobody,
    Store(Box<Store>),
}

/// Takes the rows in their order.
struct Desk<'a> {
    collected: Collected<'a>,
    to: To,
    bar: &'a Bar,
}

/// Why no more rows are taken.
enum Enough {
    /// The reader of standard output has seen enough.
    Closed,
    /// A failure.
    Failure(Box<Failure>),
}

impl From<Failure> for Enough {
    fn from(failure: Failure) -> Self {
        Self::Failure(Box::new(failure))
    }
}

impl Taker<(SweepRow, String)> for Desk<'_> {
    type Error = Enough;

    fn take(&mut self, _: u64, (row, line): (SweepRow, String)) -> Result<(), Enough> {
        self.collected.count(row);
        match &mut self.to {
            To::Nobody => {}
            To::Lines => print_line(&line)?,
            To::Store(store) => store.append(&line)?,
        }
        self.bar.advance();
        Ok(())
    }

    fn rest(&mut self) -> Result<(), Enough> {
        match &mut self.to {
            To::Store(store) => Ok(store.keep_sometimes()?),
            _ => Ok(()),
        }
    }
}

impl Desk<'_> {
    /// Brings what was taken to disk and sums it up.
    fn end(&mut self, outcome: Result<u64, Enough>) -> Result<SweepSummary, Failure> {
        if let Err(Enough::Failure(failure)) = outcome {
            return Err(*failure);
        }
        if let To::Store(store) = &mut self.to {
            store.keep()?;
        }
        // unlocked, so that the rows can be read again for a picture
        self.to = To::Nobody;
        Ok(self.collected.tally.summary())
    }
}

fn print_line(line: &str) -> Result<(), Enough> {
    let mut out = io::stdout().lock();
    match writeln!(out, "{line}").and_then(|()| out.flush()) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Err(Enough::Closed),
        Err(error) => Err(Failure::Rows {
            place: STANDARD_OUTPUT.to_owned(),
            error,
            kept: "with --out FILE.jsonl a sweep can be gone on with".to_owned(),
        }
        .into()),
    }
}
