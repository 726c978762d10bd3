//! `ringfence tables`: command and vane tables of most power, proved.
use std::str::FromStr;
use std::time::Instant;

use serde::Serialize;

use super::args::{Override, Study, Tables};
use super::ceiling::{list, unreadable};
use super::exit::Status;
use super::failure::Failure;
use super::folder::{File, Folder, PAGE};
use super::load::{self, Ready};
use super::progress::Bar;
use super::run::{FILE_WIDTH, drawn, json_bytes};
use super::screen::Screen;
use crate::judgement::{LimitKind, TablesResult, Verdict};
use crate::quantity::{
    Fraction, FuelQuantity, Length, QuantityError, RotationalSpeed, TemperatureRise,
};
use crate::report::page::tables_page;
use crate::report::{
    PictureOptions, Pictures, cautions_text, command_csv, command_lines, gain_chart, gain_csv,
    proof_csv, tables_text, vane_lines, vanes_csv,
};
use crate::scenario::{VaryFailure, Written, varied, written};
use crate::study::tables::{Reserve, TablesPlan, Unplanned, tables as search};

/// Most rows, and most columns.
const MOST_POINTS: usize = 40;
/// Most places and days together.
const MOST_PLACES: usize = 24;
/// Most that can be kept from a limit.
const MOST_RESERVE_PCT: f64 = 50.0;

/// The answer, with how long it took where that was asked for.
#[derive(Serialize)]
struct Timed<'a> {
    #[serde(flatten)]
    result: &'a TablesResult,
    #[serde(skip_serializing_if = "Option::is_none")]
    wall_s: Option<f64>,
}

/// Makes the tables, proves them and writes them.
pub fn tables(args: &Tables, screen: &Screen) -> Result<Status, Failure> {
    args.study.apply_threads();
    let asked = Asked::read(args)?;
    let folder = args.study.out.as_deref().map(Folder::prepare).transpose()?;
    let sets = overrides(args)?;
    let ready = load::from_disk(&args.scenario, &sets)?;
    let plan = plan(&ready, asked)?;
    let begun = Instant::now();
    let result = search(&plan, &ready.setup.titles, &Bar::new(screen, "rows"));
    let wall_s = args.study.timing.then(|| begun.elapsed().as_secs_f64());
    let timed = Timed {
        result: &result,
        wall_s,
    };
    let scenario = scenario(&ready, &result)?;
    if let Some(folder) = &folder {
        let mut all = files(&ready, &result, &args.study)?;
        let (pictures, sources) = (Pictures::of(&all, ""), ready.sources(&sets));
        let page = tables_page(&result, args.study.units(), &pictures, &sources);
        all.push((PAGE.to_owned(), page.into_bytes()));
        all.extend(beside(&scenario)?);
        all.push(("tables.yaml".to_owned(), yaml(&scenario, &result)));
        all.push(("tables.json".to_owned(), json_bytes(&timed)?));
        folder.write(all)?;
    }
    if screen.json {
        screen.document(&timed)?;
    } else {
        let mut text = tables_text(&result, args.study.units(), screen.width, screen.colour());
        if let Some(wall_s) = wall_s {
            text.push_str(&format!("  Computed in {wall_s:.3} s.\n"));
        }
        if let Some(folder) = &folder {
            text.push_str(&format!("\n  Report in {}\n", folder.name()));
        }
        screen.text(&text)?;
    }
    Ok(status(&result))
}

/// Held where every full-load cell has a window and every run of the proof
/// kept its limits with their reserve.
fn status(result: &TablesResult) -> Status {
    let windows = result.full_load.iter().all(|r| r.command_kpa_abs.is_some());
    match result.proof.verdict {
        Verdict::Held | Verdict::HeldInsideBand if windows => Status::Held,
        Verdict::OutsideValidity => Status::Failed,
        _ => Status::Exceeded,
    }
}

/// What the call asks for, read before any work.
struct Asked {
    speeds_rad_s: Option<Vec<f64>>,
    fuels_kg: Option<Vec<f64>>,
    reserve: Reserve,
}

impl Asked {
    fn read(args: &Tables) -> Result<Self, Failure> {
        let axis = |flag: &str, given: &Option<String>, speeds: bool| match given {
            None => Ok(None),
            Some(text) if speeds => values(flag, text, "rpm", RotationalSpeed::rpm).map(|all| {
                Some(
                    all.iter()
                        .map(|n| RotationalSpeed::from_rpm(*n).rad_s())
                        .collect(),
                )
            }),
            Some(text) => values(flag, text, "mg", FuelQuantity::mg)
                .map(|all| Some(all.iter().map(|q| FuelQuantity::from_mg(*q).kg()).collect())),
        };
        let speeds_rad_s: Option<Vec<f64>> = axis("--speeds", &args.speeds, true)?;
        let fuels_kg: Option<Vec<f64>> = axis("--fuels", &args.fuels, false)?;
        for (flag, points) in [("--speeds", &speeds_rad_s), ("--fuels", &fuels_kg)] {
            if let Some(points) = points {
                few(flag, points.len(), MOST_POINTS)?;
                if points.iter().any(|value| *value < 0.0) {
                    return Err(Failure::call(
                        format!("{flag} goes below nothing"),
                        "a value below zero",
                        "values from zero up",
                        "leave out the sign",
                    ));
                }
            }
        }
        Ok(Self {
            speeds_rad_s,
            fuels_kg,
            reserve: reserve(&args.reserve)?,
        })
    }
}

/// A list of quantities as numbers in their unit.
fn values<Q>(flag: &str, text: &str, unit: &str, value: fn(Q) -> f64) -> Result<Vec<f64>, Failure>
where
    Q: FromStr<Err = QuantityError>,
{
    let yaml = list(flag, text, unit, value)?;
    let inner = yaml.trim_matches(['[', ']']);
    Ok(inner
        .split(", ")
        .filter_map(|part| part.strip_suffix(unit)?.trim().parse().ok())
        .collect())
}

fn few(flag: &str, count: usize, most: usize) -> Result<(), Failure> {
    if count <= most {
        return Ok(());
    }
    Err(Failure::call(
        format!("{flag} holds too many"),
        count.to_string(),
        format!("at most {most}"),
        "a controller's table is coarse; leave some out",
    ))
}

/// `3 %`, or with single limits behind it `3 %, turbine_inlet=1 %`.
fn reserve(text: &str) -> Result<Reserve, Failure> {
    let mut reserve = Reserve {
        general: 0.0,
        single: Vec::new(),
    };
    for (at, part) in text.split(',').enumerate() {
        let (name, share) = match part.split_once('=') {
            Some((name, share)) => (Some(name.trim()), share),
            None if at == 0 => (None, part),
            None => {
                return Err(Failure::call(
                    "--reserve names a share without its limit",
                    part.trim(),
                    "one share for all limits, then NAME=SHARE for single ones",
                    "such as --reserve \"3 %, turbine_inlet=1 %\"",
                ));
            }
        };
        let share: Fraction = share
            .trim()
            .parse()
            .map_err(|error| unreadable("--reserve", &error))?;
        if !(0.0..=MOST_RESERVE_PCT).contains(&share.percent()) {
            return Err(Failure::call(
                "--reserve is out of range",
                part.trim(),
                format!("0 % to {MOST_RESERVE_PCT} %"),
                "a reserve is kept from the limit: 3 % is a usual one",
            ));
        }
        let Some(name) = name else {
            reserve.general = share.fraction();
            continue;
        };
        let names: Vec<&str> = LimitKind::ALL.iter().map(|kind| kind.name()).collect();
        let kind = LimitKind::ALL.into_iter().find(|kind| kind.name() == name);
        let kind = kind.ok_or_else(|| {
            Failure::call(
                "--reserve names no limit",
                name,
                names.join(", "),
                "`ringfence explain` tells what each is",
            )
        })?;
        reserve.single.push((kind, share.fraction()));
    }
    Ok(reserve)
}

fn overrides(args: &Tables) -> Result<Vec<Override>, Failure> {
    let mut sets = args.set.sets.clone();
    if let Some(text) = &args.altitudes {
        let list = list("--altitudes", text, "m", Length::m)?;
        sets.push(Override::new("ceiling.altitudes", list));
    }
    if let Some(text) = &args.temperatures {
        let list = list("--temperatures", text, "K", TemperatureRise::k)?;
        sets.push(Override::new("ceiling.temperature_offsets", list));
    }
    Ok(sets)
}

fn plan(ready: &Ready, asked: Asked) -> Result<TablesPlan, Failure> {
    let scenario = &ready.loaded.scenario;
    let axes = (asked.speeds_rad_s, asked.fuels_kg);
    let plan = TablesPlan::of(scenario, &ready.setup, axes, &asked.reserve)
        .map_err(|why| unplanned(ready, &why))?;
    few(
        "the product of --altitudes and --temperatures",
        plan.places.len(),
        MOST_PLACES,
    )?;
    Ok(plan)
}

fn unplanned(ready: &Ready, why: &Unplanned) -> Failure {
    let (allowed, hint) = match why {
        Unplanned::NoVanes => (
            "a scenario whose turbine has vanes, such as `form: two_throats`",
            "use `run` for this scenario",
        ),
        Unplanned::OpenLoop => (
            "a scenario with a `controller` section and no `open_loop`",
            "take the vanes back into the loop: --set open_loop=null, with a `controller` section",
        ),
        Unplanned::Gauge => (
            "a command table in absolute pressure, with a barometric correction if altitude is to \
             lower it",
            "write controller.command.boost in kPa abs",
        ),
        Unplanned::Axis(_) => (
            "2 to 40 points, rising",
            "such as --speeds 800rpm..2800rpm:5 --fuels 0mg,60mg,130mg",
        ),
        Unplanned::FuelsAbove(_) => (
            "a first column at or below the least full-load fuel",
            "begin the fuels lower, such as --fuels 0mg,60mg,130mg",
        ),
        Unplanned::Build(error) => return load::unfit(&ready.file, error),
    };
    Failure::call(why.to_string(), ready.file.as_str(), allowed, hint)
}

/// The scenario with the tables in it, checked as any scenario is.
fn scenario(ready: &Ready, result: &TablesResult) -> Result<Written, Failure> {
    let values = new_values(ready, result);
    varied(&ready.loaded, &values).map_err(|error| match error {
        VaryFailure::Refused(diagnostics) => Failure::Input(diagnostics),
        VaryFailure::Unfit(error) => load::unfit(&ready.file, &error),
    })?;
    Ok(written(&ready.loaded, &values))
}

fn new_values(ready: &Ready, result: &TablesResult) -> Vec<(String, String)> {
    let list = |values: &[f64], unit: &str| {
        let words: Vec<String> = values.iter().map(|v| format!("{v} {unit}")).collect();
        format!("[{}]", words.join(", "))
    };
    let grid = |rows: &[Vec<f64>], unit: &str| {
        let rows: Vec<String> = rows.iter().map(|row| list(row, unit)).collect();
        format!("[{}]", rows.join(", "))
    };
    let speeds = list(&result.engine_speeds_rpm, "rpm");
    let fuels = list(&result.fuels_mg, "mg");
    let mut values = vec![
        ("controller.command.engine_speed", speeds.clone()),
        ("controller.command.fuel", fuels.clone()),
        (
            "controller.command.boost",
            grid(&result.command_kpa_abs, "kPa abs"),
        ),
        ("controller.feed_forward.engine_speed", speeds),
        ("controller.feed_forward.fuel", fuels),
        (
            "controller.feed_forward.vanes",
            grid(&result.vane_closed_pct, "%"),
        ),
    ];
    if result.fuel_scale.iter().any(|scale| *scale < 1.0) {
        values.push(("fuel.full_load.quantity", list(&result.full_load_mg, "mg")));
    }
    let controller = ready.loaded.scenario.controller.as_ref();
    if controller.is_some_and(|c| c.command.full_load.is_some()) {
        // one command at full load would stand in for the table
        values.push(("controller.command.full_load", "null".to_owned()));
    }
    values
        .into_iter()
        .map(|(path, value)| (path.to_owned(), value))
        .collect()
}

/// The maps that the scenario names, to lie beside it.
fn beside(scenario: &Written) -> Result<Vec<File>, Failure> {
    scenario
        .files
        .iter()
        .map(|(name, path)| {
            let bytes = std::fs::read(path).map_err(|error| {
                Failure::call(
                    format!("a file of the scenario cannot be copied: {error}"),
                    path.display().to_string(),
                    "the file as it was when the scenario was read",
                    "leave the scenario's folder alone while this runs",
                )
            })?;
            Ok((name.clone(), bytes))
        })
        .collect()
}

fn yaml(scenario: &Written, result: &TablesResult) -> Vec<u8> {
    let proved = match (result.proof.verdict, result.proof.limits_held) {
        (Verdict::Held | Verdict::HeldInsideBand, _) => "proved: every limit held with its reserve",
        (_, true) => "NOT PROVED: every limit held, but not with its reserve",
        _ => "NOT PROVED: a limit was exceeded; see verdict.txt",
    };
    format!(
        "# Written by ringfence {}: the scenario with its command table and its\n\
         # feed-forward vane table made anew, and the full-load fuel where less was needed.\n\
         # {proved}.\n{}",
        result.version, scenario.yaml
    )
    .into_bytes()
}

/// Tables, proof and pictures.
fn files(ready: &Ready, result: &TablesResult, study: &Study) -> Result<Vec<File>, Failure> {
    let units = study.units();
    let mut files = vec![
        ("command.csv".to_owned(), command_csv(result).into_bytes()),
        ("vanes.csv".to_owned(), vanes_csv(result).into_bytes()),
        ("proof.csv".to_owned(), proof_csv(result).into_bytes()),
        ("gain.csv".to_owned(), gain_csv(result).into_bytes()),
        (
            "verdict.txt".to_owned(),
            format!(
                "{}\n{}",
                tables_text(result, units, FILE_WIDTH, false),
                cautions_text(FILE_WIDTH)
            )
            .into_bytes(),
        ),
    ];
    for &format in study.formats() {
        let options = PictureOptions {
            format,
            units,
            ..PictureOptions::default()
        };
        let mut pictures = vec![
            ("command", command_lines(result, &options)),
            ("vanes", vane_lines(result, &options)),
        ];
        if result.critical_gain.is_some() {
            pictures.push(("gain", gain_chart(result, &options)));
        }
        for (name, picture) in pictures {
            let name = format!("{name}.{}", format.extension());
            files.push((name, drawn(&ready.file, picture)?));
        }
    }
    Ok(files)
}
