//! `ringfence ceiling`: the highest boost command that holds every limit.
use std::str::FromStr;
use std::time::Instant;

use serde::Serialize;

use super::args::{Ceiling, Override, Study};
use super::band;
use super::exit::Status;
use super::failure::Failure;
use super::folder::{File, Folder, PAGE};
use super::load::{self, Ready, unfit};
use super::progress::Bar;
use super::run::{FILE_WIDTH, drawn, json_bytes};
use super::screen::Screen;
use crate::judgement::{CeilingCell, CeilingResult, Verdict};
use crate::quantity::{
    Length, PressureDifference, QuantityError, RotationalSpeed, TemperatureRise,
};
use crate::report::page::ceiling_page;
use crate::report::{
    PictureOptions, Pictures, cautions_text, ceiling_chart, ceiling_text, handover_chart,
};
use crate::study::band::ceiling_band;
use crate::study::ceiling::{CeilingPlan, ceiling as search};

/// Most cells along one axis.
const MOST_POINTS: usize = 200;

/// A ceiling, with how long it took where that was asked for.
#[derive(Serialize)]
struct Timed<'a> {
    #[serde(flatten)]
    result: &'a CeilingResult,
    #[serde(skip_serializing_if = "Option::is_none")]
    wall_s: Option<f64>,
}

/// Answers for every cell.
pub fn ceiling(args: &Ceiling, screen: &Screen) -> Result<Status, Failure> {
    args.study.apply_threads();
    let folder = args.study.out.as_deref().map(Folder::prepare).transpose()?;
    let sets = overrides(args)?;
    let ready = load::from_disk(&args.scenario, &sets)?;
    let banded = band::asked(&args.band, &ready)?;
    let begun = Instant::now();
    let plan = plan(&ready)?;
    let mut result = search(&plan, &ready.setup.titles, &Bar::new(screen, "cells"));
    if let Some((basis, draws)) = banded {
        ceiling_band(
            &mut result,
            &plan,
            basis,
            &draws,
            &Bar::new(screen, "draws"),
        )
        .map_err(|error| unfit(&ready.file, &error))?;
    }
    let wall_s = args.study.timing.then(|| begun.elapsed().as_secs_f64());
    let timed = Timed {
        result: &result,
        wall_s,
    };
    if let Some(folder) = &folder {
        let mut written = files(&ready, &result, &args.study)?;
        let (pictures, sources) = (Pictures::of(&written, ""), ready.sources(&sets));
        let page = ceiling_page(&result, args.study.units(), &pictures, &sources);
        written.push((PAGE.to_owned(), page.into_bytes()));
        written.push(("ceiling.json".to_owned(), json_bytes(&timed)?));
        written.push(("verdict.txt".to_owned(), verdict_file(&result, &args.study)));
        folder.write(written)?;
    }
    if screen.json {
        screen.document(&timed)?;
    } else {
        let mut text = ceiling_text(&result, args.study.units(), screen.width, screen.colour());
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

/// Searches the ceiling of a scenario that is ready.
pub fn compute(ready: &Ready, screen: &Screen) -> Result<CeilingResult, Failure> {
    let titles = &ready.setup.titles;
    Ok(search(&plan(ready)?, titles, &Bar::new(screen, "cells")))
}

fn plan(ready: &Ready) -> Result<CeilingPlan, Failure> {
    if !ready.setup.rig.plant.turbine.has_vanes() {
        return Err(Failure::call(
            "a ceiling is sought by moving the vanes, and this turbine has none",
            ready.file.as_str(),
            "a scenario whose turbine has vanes, such as `form: two_throats`",
            "use `run` for this scenario",
        ));
    }
    CeilingPlan::of(&ready.loaded.scenario, &ready.setup)
        .map_err(|error| unfit(&ready.file, &error))
}

/// Held where every cell has a window at the fuel asked for, and the assembled
/// table holds as it is or with a known reserve taken off.
pub fn status(result: &CeilingResult) -> Status {
    let windows = result
        .cells
        .iter()
        .all(|cell| cell.feasible && cell.ceiling_kpa_abs.is_some());
    let provable = result
        .table_proved
        .as_ref()
        .is_none_or(|proof| proof.verdict == Verdict::Held || proof.reserve_kpa.is_some());
    if windows && provable {
        Status::Held
    } else {
        Status::Exceeded
    }
}

/// Table and pictures of a ceiling.
pub fn files(ready: &Ready, result: &CeilingResult, study: &Study) -> Result<Vec<File>, Failure> {
    let mut files = vec![("ceiling.csv".to_owned(), csv_bytes(&result.cells))];
    for &format in study.formats() {
        let options = PictureOptions {
            format,
            units: study.units(),
            ..PictureOptions::default()
        };
        files.push((
            format!("ceiling.{}", format.extension()),
            drawn(&ready.file, ceiling_chart(result, &options))?,
        ));
        if has_several_ambients(result) {
            files.push((
                format!("handover.{}", format.extension()),
                drawn(&ready.file, handover_chart(result, &options))?,
            ));
        }
    }
    Ok(files)
}

/// Whether there is more than one altitude or temperature.
fn has_several_ambients(result: &CeilingResult) -> bool {
    let ambient = |cell: &CeilingCell| (cell.ambient_kpa_abs, cell.ambient_k);
    result
        .cells
        .windows(2)
        .any(|two| ambient(&two[0]) != ambient(&two[1]))
}

fn verdict_file(result: &CeilingResult, study: &Study) -> Vec<u8> {
    format!(
        "{}\n{}",
        ceiling_text(result, study.units(), FILE_WIDTH, false),
        cautions_text(FILE_WIDTH)
    )
    .into_bytes()
}

const CSV_COLUMNS: [&str; 21] = [
    "engine_speed_rpm",
    "altitude_m",
    "temperature_offset_k",
    "ambient_kpa_abs",
    "ambient_k",
    "feasible",
    "ceiling_kpa_abs",
    "ceiling_kpa_gauge",
    "floor_kpa_abs",
    "reachable_kpa_abs",
    "fuel_scale",
    "binding_above",
    "binding_below",
    "next_above",
    "fails_above",
    "power_kw",
    "shaft_speed_rpm",
    "vane_closed_pct",
    "drive_pressure_kpa_abs",
    "band_low_kpa_abs",
    "band_high_kpa_abs",
];

/// The cells as CSV; what is not known is an empty field.
fn csv_bytes(cells: &[CeilingCell]) -> Vec<u8> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // writing to memory cannot fail, and every row has the header's length
    let mut written = writer.write_record(CSV_COLUMNS).is_ok();
    for cell in cells {
        written &= writer.write_record(csv_row(cell)).is_ok();
    }
    debug_assert!(written);
    writer.into_inner().unwrap_or_default()
}

fn csv_row(cell: &CeilingCell) -> [String; 21] {
    let number = |value: f64| format!("{value:.3}");
    let maybe = |value: Option<f64>| value.map(number).unwrap_or_default();
    let word = |value: &Option<String>| value.clone().unwrap_or_default();
    [
        number(cell.engine_speed_rpm),
        maybe(cell.altitude_m),
        maybe(cell.temperature_offset_k),
        number(cell.ambient_kpa_abs),
        number(cell.ambient_k),
        cell.feasible.to_string(),
        maybe(cell.ceiling_kpa_abs),
        maybe(cell.ceiling_kpa_gauge),
        maybe(cell.floor_kpa_abs),
        maybe(cell.reachable_kpa_abs),
        number(cell.fuel_scale),
        word(&cell.binding_above),
        word(&cell.binding_below),
        word(&cell.next_above),
        word(&cell.fails_above),
        maybe(cell.power_kw),
        maybe(cell.shaft_speed_rpm),
        maybe(cell.vane_closed_pct),
        maybe(cell.drive_pressure_kpa_abs),
        maybe(cell.band.and_then(|band| band.low_kpa_abs)),
        maybe(cell.band.and_then(|band| band.high_kpa_abs)),
    ]
}

/// `--set` first, then the options of this command, which say it shorter.
fn overrides(args: &Ceiling) -> Result<Vec<Override>, Failure> {
    let mut sets = args.set.sets.clone();
    if let Some(text) = &args.speeds {
        let list = list("--speeds", text, "rpm", RotationalSpeed::rpm)?;
        sets.push(Override::new("ceiling.engine_speeds", list));
    }
    if let Some(text) = &args.altitudes {
        let list = list("--altitudes", text, "m", Length::m)?;
        sets.push(Override::new("ceiling.altitudes", list));
    }
    if let Some(text) = &args.temperatures {
        let list = list("--temperatures", text, "K", TemperatureRise::k)?;
        sets.push(Override::new("ceiling.temperature_offsets", list));
    }
    if let Some(text) = &args.step {
        text.parse::<PressureDifference>()
            .map_err(|error| unreadable("--step", &error))?;
        sets.push(Override::new("ceiling.step", text.trim()));
    }
    Ok(sets)
}

/// A list of quantities as YAML, from `a,b,c` or `a..b:count`.
pub fn list<Q>(flag: &str, text: &str, unit: &str, value: fn(Q) -> f64) -> Result<String, Failure>
where
    Q: FromStr<Err = QuantityError>,
{
    let read = |part: &str| {
        part.trim()
            .parse::<Q>()
            .map(value)
            .map_err(|error| unreadable(flag, &error))
    };
    let values: Vec<f64> = match text.split_once("..") {
        None => text.split(',').map(read).collect::<Result<_, _>>()?,
        Some((from, rest)) => {
            let (to, count) = rest.rsplit_once(':').ok_or_else(|| range(flag, text))?;
            let count: usize = count.trim().parse().map_err(|_| range(flag, text))?;
            if !(2..=MOST_POINTS).contains(&count) {
                return Err(range(flag, text));
            }
            let (from, to) = (read(from)?, read(to)?);
            let step = (to - from) / (count - 1) as f64;
            (0..count).map(|at| from + step * at as f64).collect()
        }
    };
    let words: Vec<String> = values
        .iter()
        // far finer than any speed or height is known, and free of rounding crumbs
        .map(|value| format!("{} {unit}", (value * 1e6).round() / 1e6))
        .collect();
    Ok(format!("[{}]", words.join(", ")))
}

/// A range that the flag understands.
fn example(flag: &str) -> &'static str {
    match flag {
        "--altitudes" => "0m..2600m:3",
        "--temperatures" => "-20K..30K:6",
        "--fuels" => "0mg,60mg,130mg",
        _ => "1400rpm..2600rpm:7",
    }
}

fn range(flag: &str, text: &str) -> Failure {
    Failure::call(
        format!("{flag} is neither a list nor a range"),
        text,
        format!("A,B,C or FROM..TO:COUNT, with a count from 2 to {MOST_POINTS}"),
        format!("such as {flag} {}", example(flag)),
    )
}

pub fn unreadable(flag: &str, error: &QuantityError) -> Failure {
    Failure::call(
        format!("{flag}: {}", error.message()),
        error.read(),
        error.allowed(),
        error.hint(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_has_both_ends_and_even_steps() {
        let list = |text| list("--speeds", text, "rpm", RotationalSpeed::rpm);
        assert_eq!(
            list("1400rpm..1800 rpm:3").unwrap(),
            "[1400 rpm, 1600 rpm, 1800 rpm]"
        );
        assert_eq!(list("1400rpm, 2000rpm").unwrap(), "[1400 rpm, 2000 rpm]");
        for bad in [
            "1400rpm..1800rpm",
            "1400rpm..1800rpm:1",
            "1..2:3",
            "",
            "1400 kPa",
        ] {
            assert!(list(bad).is_err(), "{bad}");
        }
    }
}
