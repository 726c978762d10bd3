//! What was asked for, refused before any work where it cannot be done.
use crate::cli::args::{Override, Sweep};
use crate::cli::failure::Failure;
use crate::cli::load::{self, Ready};
use crate::scenario::{Diagnostics, Loaded, knows_path, near_paths, readable_at, reads_files};
use crate::study::band::MOST_DRAWS;
use crate::study::sweep::{Axis, AxisProblem, MOST_CASES, Plan, PlanProblem, Sampling, Shard};

/// The cases of a call.
pub fn plan(args: &Sweep, ready: &Ready) -> Result<Plan, Failure> {
    let axes = args
        .vary
        .iter()
        .map(|vary| axis(vary, args, ready))
        .collect::<Result<Vec<_>, _>>()?;
    let sampling = match args.draws {
        None => Sampling::Grid,
        Some(draws) => Sampling::Draws {
            draws,
            seed: args.seed,
        },
    };
    let shard = args.shard.unwrap_or(Shard::WHOLE);
    Plan::new(axes, sampling, shard).map_err(|problem| no_plan(&problem, args))
}

fn axis(vary: &Override, args: &Sweep, ready: &Ready) -> Result<Axis, Failure> {
    if !knows_path(&ready.loaded, &vary.path) {
        return Err(unknown(&vary.path, &ready.loaded));
    }
    let axis = Axis::read(&vary.path, &vary.value).map_err(refused)?;
    let mut fault = None;
    for value in axis.samples() {
        match unreadable(&axis.path, &value, args, ready) {
            None => return Ok(axis),
            Some(found) => fault = fault.or(Some(found)),
        }
    }
    // one value that can be read is enough: the others are rows that say why not
    fault.map_or(Ok(axis), |found| Err(Failure::Input(found)))
}

fn unreadable(path: &str, value: &str, args: &Sweep, ready: &Ready) -> Option<Diagnostics> {
    if reads_files(path) {
        let mut sets = load::pairs(&args.set.sets);
        sets.push((path.to_owned(), value.to_owned()));
        return ready.loaded.load_anew(&args.scenario, &sets).err();
    }
    readable_at(&ready.loaded, path, value)
}

fn unknown(path: &str, loaded: &Loaded) -> Failure {
    let near = near_paths(loaded, path);
    Failure::call(
        format!("--vary: the scenario has no field `{path}`"),
        path,
        "the dotted path of a field, such as ambient.altitude",
        match near.as_slice() {
            [] => "`ringfence explain` lists what there is".to_owned(),
            near => format!("did you mean {}?", near.join(" or ")),
        },
    )
}

fn refused(problem: AxisProblem) -> Failure {
    Failure::call(problem.message, problem.read, problem.allowed, problem.hint)
}

fn no_plan(problem: &PlanProblem, args: &Sweep) -> Failure {
    let all: Vec<String> = args
        .vary
        .iter()
        .map(|vary| format!("{}={}", vary.path, vary.value))
        .collect();
    let all = all.join(" ");
    match problem {
        PlanProblem::Twice(path) => Failure::call(
            format!("--vary {path} is given twice"),
            all,
            "each field once",
            "write all values of a field into one --vary",
        ),
        PlanProblem::NoCount(path) => Failure::call(
            format!("--vary {path}: how many values?"),
            all,
            "FROM..TO:COUNT for a grid, FROM..TO with --draws",
            "write the count behind a colon, or add --draws N",
        ),
        PlanProblem::TooMany(count) => {
            let count = count.map_or_else(|| "more than 1e19".to_owned(), |n| n.to_string());
            Failure::call(
                format!("the grid has {count} cases"),
                all,
                format!("at most {MOST_CASES} cases in one output"),
                "take some points of it with --draws N, or run it in parts with --shard I/N",
            )
        }
        PlanProblem::TooManyDraws => Failure::call(
            "the sequence of points is not as long as that",
            format!("--draws {}", args.draws.unwrap_or_default()),
            format!("1 to {MOST_DRAWS} draws"),
            "take fewer draws; another --seed gives other points",
        ),
        PlanProblem::EmptyShard => Failure::call(
            "this part of the sweep would be empty",
            all,
            "no more parts than cases",
            "take fewer parts",
        ),
    }
}
