//! What is asked of the engine, and where the ceiling is sought.

use super::Checker;
use crate::quantity::*;
use crate::scenario::document::Fault;
use crate::scenario::file::FuelDemand;

pub fn check(c: &mut Checker) {
    if c.has("procedure")
        && c.count("procedure") == 0
        && c.get::<Vec<crate::scenario::Raw>>("procedure").is_some()
    {
        c.refuse(
            "procedure",
            Fault::new(
                "the procedure is empty",
                "a list with at least one of hold, pull, load_step, shift, step, climb, playback",
                "add `- pull: {from: 1300 rpm, to: 2700 rpm, duration: 8 s}`, for example",
            )
            .reading("an empty list"),
        );
    }
    for index in 0..c.count("procedure") {
        part(c, &format!("procedure.{index}"));
    }
    super::ceiling::check(c);
    c.range::<f64>(
        "solver.tolerance",
        "1e-10",
        "1e-3",
        "1e-5 is enough for any report",
    );
}

fn part(c: &mut Checker, part: &str) {
    for key in [
        "hold.engine_speed",
        "pull.from",
        "pull.to",
        "load_step.engine_speed",
        "shift.from",
        "shift.at",
        "shift.to",
    ] {
        inside_table(c, &format!("{part}.{key}"));
    }
    for key in [
        "hold.duration",
        "pull.duration",
        "load_step.duration",
        "shift.pull",
        "shift.cut",
    ] {
        let path = format!("{part}.{key}");
        c.positive::<Duration>(&path, "0 s", "a span of time such as 8 s");
        c.range::<Duration>(&path, "0 s", "24 h", "was this the right unit?");
    }
    c.range::<Duration>(&format!("{part}.pull.settle"), "0 s", "1 h", "0 s for none");
    for key in ["hold.fuel", "load_step.fuel_from", "load_step.fuel_to"] {
        fuel(c, &format!("{part}.{key}"));
    }
    c.range::<Duration>(
        &format!("{part}.shift.settle"),
        "0 s",
        "1 h",
        "0 s for none",
    );
    c.range::<Duration>(
        &format!("{part}.shift.resume"),
        "0 s",
        "5 s",
        "0 s for at once",
    );
    pull(c, part);
    load_step(c, part);
    shift(c, part);
    super::road::climb(c, part);
}

/// The engine is described between the ends of its full-load table.
pub(super) fn inside_table(c: &mut Checker, path: &str) {
    let table = c.get::<Vec<RotationalSpeed>>("fuel.full_load.engine_speed");
    let (Some(speed), Some(table)) = (c.get::<RotationalSpeed>(path), table) else {
        return;
    };
    let (Some(&first), Some(&last)) = (table.first(), table.last()) else {
        return;
    };
    if first < last && !(speed >= first && speed <= last) {
        let axis = "fuel.full_load.engine_speed";
        let first = c.written(&format!("{axis}.0"), first);
        let last = c.written(&format!("{axis}.{}", table.len() - 1), last);
        c.refuse(
            path,
            Fault::new(
                "the engine speed is outside the full-load table",
                format!("from {first} to {last}"),
                "stay inside the table, or extend `fuel.full_load`",
            ),
        );
    }
}

pub(super) fn fuel(c: &mut Checker, path: &str) {
    if let Some(FuelDemand::Quantity(quantity)) = c.get::<FuelDemand>(path)
        && !(0.0..=2000.0).contains(&quantity.mg())
    {
        c.refuse(
            path,
            Fault::new(
                "this is no fuel quantity of one injection",
                "`full`, or from 0 mg to 2000 mg",
                "the fuel of one injection into one cylinder",
            ),
        );
    }
}

fn pull(c: &mut Checker, part: &str) {
    let path = format!("{part}.pull.to");
    let from = c.get::<RotationalSpeed>(&format!("{part}.pull.from"));
    if let (Some(from), Some(to)) = (from, c.get::<RotationalSpeed>(&path))
        && from == to
    {
        let from = c.written(&format!("{part}.pull.from"), from);
        c.refuse(
            &path,
            Fault::new(
                "the pull ends at the speed where it starts",
                format!("another speed than {from}"),
                "use `hold` for a steady speed",
            ),
        );
    }
}

/// The pull rises to the shift, and the shift falls.
fn shift(c: &mut Checker, part: &str) {
    let at = |key: &str| format!("{part}.shift.{key}");
    let Some(shift) = c.get::<RotationalSpeed>(&at("at")) else {
        return;
    };
    let shown = c.written(&at("at"), shift);
    for (key, what) in [
        ("from", "the pull does not rise to the shift"),
        ("to", "the next gear is not slower"),
    ] {
        if c.get::<RotationalSpeed>(&at(key))
            .is_some_and(|speed| speed >= shift)
        {
            c.refuse(
                &at(key),
                Fault::new(
                    what,
                    format!("below {shown}, the speed of the shift"),
                    "an upshift goes from a high engine speed to a lower one",
                ),
            );
        }
    }
}

/// A step lies between start and end of its part.
pub(super) fn step_comes_in_time(c: &mut Checker, path: &str) {
    let at = |key: &str| format!("{path}.{key}");
    c.not_negative::<Duration>(&at("at"), "0 s", "the step comes after the start");
    if let (Some(step), Some(duration)) = (
        c.get::<Duration>(&at("at")),
        c.get::<Duration>(&at("duration")),
    ) && step >= duration
    {
        let duration = c.written(&at("duration"), duration);
        c.refuse(
            &at("at"),
            Fault::new(
                "the step comes after the end",
                format!("below {duration}, the duration"),
                "make the part longer, or let the step come earlier",
            ),
        );
    }
}

fn load_step(c: &mut Checker, part: &str) {
    let at = |key: &str| format!("{part}.load_step.{key}");
    step_comes_in_time(c, &format!("{part}.load_step"));
    let (from, to) = (
        c.get::<FuelDemand>(&at("fuel_from")),
        c.get::<FuelDemand>(&at("fuel_to")),
    );
    let to = if c.has(&at("fuel_to")) {
        to
    } else {
        Some(FuelDemand::Full)
    };
    if let (Some(from), Some(to)) = (from, to)
        && from == to
    {
        c.refuse(
            &at("fuel_from"),
            Fault::new(
                "the load step changes nothing",
                "a fuel different from `fuel_to`",
                "use `hold` for steady fuel",
            ),
        );
    }
}
