//! The stored course of a run: a spacing and tolerances that it can hold.

use super::Checker;
use crate::judgement::Channel;
use crate::quantity::{Duration, Fraction};
use crate::scenario::document::Fault;
use crate::scenario::file::BaselineTolerances;
use crate::scenario::layer::Layers;
use crate::scenario::tree::{Content, Node};

/// Between these rows may be apart, in a scenario and in a stored file.
const SPACING: [&str; 2] = ["10 ms", "60 s"];

/// The least and the greatest spacing of rows \[s\].
pub fn spacing_bounds_s() -> [f64; 2] {
    SPACING.map(|text| text.parse::<Duration>().map_or(f64::NAN, |time| time.s()))
}

/// Where it stands in a scenario.
const BASELINE: &str = "expect.baseline";

/// The file stays inside the folder of the scenario; it is read when it is needed.
pub fn baseline_inside(document: &Node, layers: &mut Layers) {
    let field = format!("{BASELINE}.file");
    // anything but text is reported by the reader of the section
    let Some(node) = (document.at(&field)).filter(|n| matches!(n.content, Content::Text(_))) else {
        return;
    };
    if let Err(diagnostic) = layers.beside(node, &field, "a baseline") {
        layers.texts.record(node.origin.file, *diagnostic);
    }
}

pub fn check(c: &mut Checker) {
    c.range::<Duration>(
        &format!("{BASELINE}.spacing"),
        SPACING[0],
        SPACING[1],
        "100 ms suits a run of ten seconds",
    );
    let tolerances = format!("{BASELINE}.tolerance");
    for channel in Channel::ALL {
        let at = |key: &str| format!("{tolerances}.{}.{key}", channel.name());
        c.range::<Fraction>(
            &at("relative"),
            "0 %",
            "100 %",
            "a share of the stored value",
        );
        c.range::<Duration>(
            &at("shift"),
            "0 s",
            "10 s",
            "how much earlier or later a value may come",
        );
        fine_enough(c, &tolerances, channel, &at("absolute"));
    }
}

/// A tolerance that the rounding of the file would break by itself is none.
fn fine_enough(c: &mut Checker, tolerances: &str, channel: Channel, path: &str) {
    if !c.has(path) {
        return;
    }
    let Some(tolerance) = c
        .get::<BaselineTolerances>(tolerances)
        .and_then(|read| read.written(channel))
    else {
        return;
    };
    let digit = 10_f64.powi(-(channel.decimals() as i32));
    // both are decimal fractions, which binary figures hold nearly
    if tolerance.absolute.is_nan() || tolerance.absolute < digit * (1.0 - 1e-9) {
        let fault = Fault::new(
            format!(
                "the tolerance of `{}` is finer than its file",
                channel.name()
            ),
            format!(
                "{digit} {} or more, one last digit of the file",
                channel.unit()
            ),
            "leave `absolute` out for what is built in",
        );
        c.refuse(path, fault);
    }
}
