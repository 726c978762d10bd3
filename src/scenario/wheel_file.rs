//! The sizes of a compressor wheel from a file of their own.

use std::path::Path;

use super::check::{Checker, wheel_sizes};
use super::checked::CompressorForm;
use super::diagnostic::Diagnostics;
use super::document::Fault;
use super::file::WheelGeometry;
use super::layer::Layers;
use super::load::load;
use super::place::Part;
use super::read::{Read as _, Reader};
use super::tree::{Content, Entry, Node};

/// Where a scenario has them.
const PATH: [&str; 3] = ["compressor", "form", "wheel"];

/// Reads the sizes of a wheel: from a scenario whose compressor has the form
/// `wheel`, or from a file that holds the keys of that form and nothing else.
pub fn read_wheel(path: &Path) -> Result<WheelGeometry, Diagnostics> {
    let root = path.parent().unwrap_or(Path::new(""));
    let mut layers = Layers::new(&super::source::Disk, root);
    let top = layers.read_top(path)?;
    let is_scenario = matches!(&top.content, Content::Map(entries)
        if entries.iter().any(|entry| super::schema::knows(&entry.key)));
    if is_scenario {
        return of_scenario(path, &top, layers);
    }
    // the same keys at the place where a scenario has them
    let origin = top.origin.clone();
    let document = PATH.iter().rev().fold(top, |below, key| Node {
        content: Content::Map(vec![Entry {
            key: (*key).to_owned(),
            value: below,
        }]),
        origin: origin.clone(),
    });
    let mut texts = layers.texts;
    let sizes = document
        .at(&PATH.join("."))
        .and_then(|node| WheelGeometry::read(node, &mut Reader::new(&mut texts)));
    wheel_sizes(&mut Checker::new(&document, &mut texts));
    match sizes {
        Some(sizes) if texts.is_clean() => Ok(sizes),
        _ => Err(texts.into_diagnostics()),
    }
}

fn of_scenario(path: &Path, top: &Node, mut layers: Layers) -> Result<WheelGeometry, Diagnostics> {
    let loaded = load(path, &[], None)?;
    match loaded.scenario.compressor.form {
        CompressorForm::Wheel(wheel) => Ok(wheel),
        CompressorForm::SpeedLines(_) | CompressorForm::HeadAndFlow(_) => {
            let fault = Fault::new(
                "this scenario does not describe its compressor by the sizes of its wheel",
                "a scenario with `compressor.form.wheel`, or a file with the keys of it alone",
                "a compressor that is described already needs no draft",
            )
            .reading("`compressor.form` without `wheel`");
            let place = ["compressor.form", "compressor"]
                .iter()
                .find_map(|path| top.at(path))
                .unwrap_or(top);
            layers
                .texts
                .report(place, Part::Key, "compressor.form", fault);
            Err(layers.texts.into_diagnostics())
        }
    }
}
