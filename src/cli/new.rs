//! `ringfence new`: a commented scenario to start from.
use std::fs::OpenOptions;
use std::io::{ErrorKind, Write as _};
use std::path::Path;

use serde_json::json;

use super::args::New;
use super::exit::Status;
use super::failure::Failure;
use super::load::{DEMO_MAP, DEMO_MAP_NAME, DEMO_YAML};
use super::screen::Screen;

/// Writes the demonstration's scenario and its map; overwrites nothing.
pub fn new(args: &New, screen: &Screen) -> Result<Status, Failure> {
    let path = &args.path;
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
    for target in [path.as_path(), &map_path] {
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
        "name another path, such as `ringfence new my-engine.yaml`",
    )
}
