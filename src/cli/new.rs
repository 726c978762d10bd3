//! `ringfence new`: a commented scenario to start from, or a map drafted from the
//! sizes of a wheel.
use std::fs::OpenOptions;
use std::io::{ErrorKind, Write as _};
use std::path::Path;

use serde_json::json;

use super::args::New;
use super::check_map::is_map;
use super::exit::Status;
use super::failure::Failure;
use super::load::{DEMO_MAP, DEMO_MAP_NAME, DEMO_YAML, unfit};
use super::screen::Screen;
use crate::scenario::build::draft;
use crate::scenario::read_wheel;

/// Writes what is asked for; overwrites nothing.
pub fn new(args: &New, screen: &Screen) -> Result<Status, Failure> {
    match &args.wheel {
        Some(wheel) => new_map(&args.path, wheel, screen),
        None => new_scenario(&args.path, screen),
    }
}

/// Writes a compressor map that follows from the sizes of a wheel.
fn new_map(path: &Path, wheel: &Path, screen: &Screen) -> Result<Status, Failure> {
    if !is_map(path) {
        return Err(Failure::call(
            "a map file ends in .csv",
            path.display().to_string(),
            "a path that ends in .csv",
            "such as `ringfence new draft.csv --wheel wheel.yaml`",
        ));
    }
    if path.exists() {
        return Err(taken(path));
    }
    let sizes = read_wheel(wheel)?;
    let map = draft(&sizes).map_err(|error| unfit(&wheel.display().to_string(), &error))?;
    write(path, &map.to_csv())?;
    let name = path.display().to_string();
    if screen.json {
        screen.document(&json!({ "written": [name] }))?;
    } else {
        screen.text(&format!(
            "Wrote {name}: {} speed lines.\n\
             It is an estimate from the wheel's sizes, not a measurement, and says so. Next\n  \
             ringfence check {name} --out pictures\n",
            map.lines().len()
        ))?;
    }
    Ok(Status::Held)
}

/// Writes the demonstration's scenario and its map.
fn new_scenario(path: &Path, screen: &Screen) -> Result<Status, Failure> {
    if is_map(path) {
        return Err(Failure::call(
            "a map cannot be made from nothing",
            path.display().to_string(),
            "a path that ends in .yaml, or --wheel FILE beside a path that ends in .csv",
            "such as `ringfence new draft.csv --wheel wheel.yaml`",
        ));
    }
    let stem = path
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned())
        .filter(|_| {
            path.extension()
                .is_some_and(|ending| ending == "yaml" || ending == "yml")
        })
        .ok_or_else(|| {
            Failure::call(
                "a scenario file ends in .yaml",
                path.display().to_string(),
                "a path that ends in .yaml",
                "such as `ringfence new my-engine.yaml`",
            )
        })?;
    let map_name = format!("{stem}/compressor.csv");
    let map_path = path.with_file_name(&stem).join("compressor.csv");
    let yaml = DEMO_YAML.replace(DEMO_MAP_NAME, &quoted(&map_name));
    for target in [path, &map_path] {
        if target.exists() {
            return Err(taken(target));
        }
    }
    write(&map_path, DEMO_MAP)?;
    write(path, &yaml)?;
    let (scenario, map) = (path.display().to_string(), map_path.display().to_string());
    if screen.json {
        screen.document(&json!({ "written": [scenario, map] }))?;
    } else {
        screen.text(&format!(
            "Wrote {scenario} and {map}.\n\
             Every figure in them is invented: put your own in their place, then\n  \
             ringfence check {scenario}\n  \
             ringfence ceiling {scenario}\n"
        ))?;
    }
    Ok(Status::Held)
}

/// A name as YAML text: plain where that is safe.
fn quoted(name: &str) -> String {
    let plain = name
        .chars()
        .all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '/' | '.'))
        && name.starts_with(char::is_alphabetic);
    if plain {
        name.to_owned()
    } else {
        format!("'{}'", name.replace('\'', "''"))
    }
}

fn write(path: &Path, text: &str) -> Result<(), Failure> {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    folder
        .map_or(Ok(()), std::fs::create_dir_all)
        .and_then(|()| OpenOptions::new().write(true).create_new(true).open(path))
        .and_then(|mut file| file.write_all(text.as_bytes()))
        .map_err(|error| match error.kind() {
            ErrorKind::AlreadyExists => taken(path),
            _ => Failure::call(
                format!("it cannot be written: {error}"),
                path.display().to_string(),
                "a path in a folder that you may write to",
                "name another path",
            ),
        })
}

fn taken(path: &Path) -> Failure {
    Failure::call(
        "there is such a file already; nothing was written",
        path.display().to_string(),
        "a path where no file stands",
        "name another path, or move that file away",
    )
}
