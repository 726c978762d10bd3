//! The pictures in the documents are those of the demonstration.
use super::pages::{root, writing};
use assert_cmd::Command;
use std::fs;
use std::path::Path;

/// File in the report folder of the demonstration and its copy in the documents.
const PICTURES: [(&str, &str); 5] = [
    ("ceiling.svg", "docs/pictures/ceiling.svg"),
    ("lid.svg", "docs/pictures/lid.svg"),
    ("over-strips.svg", "docs/pictures/over-commanded-strips.svg"),
    ("over-map.svg", "docs/pictures/over-commanded-map.svg"),
    ("over-ladder.svg", "docs/pictures/over-commanded-ladder.svg"),
];

/// The same for maps by themselves, drawn by `check`.
const MAPS: [(&str, &str); 3] = [
    ("bad-compressor.svg", "docs/pictures/bad-compressor.svg"),
    ("compressor.svg", "docs/pictures/compressor-map.svg"),
    ("turbine.svg", "docs/pictures/turbine-map.svg"),
];

/// Two shipped scenarios, the picture that `compare` draws of them, and its copy.
const PAIRS: [[&str; 4]; 2] = [
    [
        "rescue-tender",
        "factory-size",
        "strips.svg",
        "docs/pictures/compare-strips.svg",
    ],
    [
        "over-commanded",
        "over-commanded-clamped",
        "ladder.svg",
        "docs/pictures/compare-ladder.svg",
    ],
];

/// A call with a report folder, the picture in it, and its copy.
const STUDIES: [(&[&str], &str, &str); 4] = [
    (
        &[
            "sweep",
            "--vary",
            "controller.command.full_load=200..350kPa abs:41",
            "--vary",
            "ambient.altitude=0..3000m:13",
        ],
        "sweep.svg",
        "docs/pictures/sweep.svg",
    ),
    (
        &[
            "ceiling",
            "--speeds",
            "1600rpm..2700rpm:12",
            "--altitudes",
            "0m..3000m:7",
        ],
        "handover.svg",
        "docs/pictures/handover.svg",
    ),
    (&["tables"], "gain.svg", "docs/pictures/gain.svg"),
    (
        &["tolerance", "--set", "limits.shaft_speed=141500 rpm"],
        "tolerance.svg",
        "docs/pictures/tolerance.svg",
    ),
];

/// The answers of the lesson: words of the call, the files in `scenarios/lesson` among
/// them by name; the picture in the report folder; its copy in `docs/pictures/lesson`.
const LESSON: [(&[&str], &str, &str); 10] = [
    (&["run", "01-stairs.yaml"], "strips.svg", "01-stairs.svg"),
    (&["run", "02-runaway.yaml"], "strips.svg", "02-runaway.svg"),
    (
        &[
            "compare",
            "02-runaway.yaml",
            "03-half-gain.yaml",
            "03-double-gain.yaml",
        ],
        "strips.svg",
        "03-gain.svg",
    ),
    (
        &[
            "sweep",
            "04-fixed-vanes.yaml",
            "--vary",
            "open_loop.vanes.closed=30..75 %:10",
        ],
        "sweep.svg",
        "04-drive.svg",
    ),
    (&["run", "02-runaway.yaml"], "lid.svg", "05-lid.svg"),
    (
        &["run", "06-lower-threshold.yaml"],
        "strips.svg",
        "06-blind.svg",
    ),
    (
        &[
            "compare",
            "02-runaway.yaml",
            "07-clamp.yaml",
            "07-watch.yaml",
            "07-authority.yaml",
            "07-limiter.yaml",
            "07-sensor.yaml",
        ],
        "strips.svg",
        "07-five-ways.svg",
    ),
    (
        &["compare", "02-runaway.yaml", "08-fading-turbine.yaml"],
        "strips.svg",
        "08-fading.svg",
    ),
    (
        &[
            "sweep",
            "07-clamp.yaml",
            "--vary",
            "ambient.altitude=0..3000m:13",
        ],
        "sweep.svg",
        "09-altitude.svg",
    ),
    (&["run", "10-leak.yaml"], "strips.svg", "10-leak.svg"),
];

/// Largest picture in the documents, bytes.
const LARGEST: usize = 300_000;

/// Everything that is written in a picture. Lines are left out: their last
/// digits may differ between machines.
fn texts(svg: &str) -> Vec<&str> {
    svg.split('<')
        .filter_map(|tag| Some(tag.split_once('>')?.1.trim()))
        .filter(|text| !text.is_empty())
        .collect()
}

#[test]
fn pictures_are_those_of_the_demonstration() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let out = folder.path().join("report");
    let done = Command::new(env!("CARGO_BIN_EXE_ringfence"))
        .arg("--quiet")
        .arg("--out")
        .arg(&out)
        .output()
        .expect("the program starts");
    assert!(done.status.success(), "{done:?}");
    compare(&out, &PICTURES);
}

#[test]
fn pictures_of_maps_are_those_of_check() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let out = folder.path().join("pictures");
    let maps = root().join("scenarios");
    let done = Command::new(env!("CARGO_BIN_EXE_ringfence"))
        .args(["check", "--quiet", "--out"])
        .arg(&out)
        .arg(maps.join("maps/bad-compressor.csv"))
        .arg(maps.join("rescue-tender/compressor.csv"))
        .arg(maps.join("rescue-tender/turbine.csv"))
        .output()
        .expect("the program starts");
    assert_eq!(done.status.code(), Some(1), "{done:?}");
    compare(&out, &MAPS);
}

#[test]
fn pictures_of_studies_are_those_of_the_commands() {
    for (call, made, kept) in STUDIES {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let out = folder.path().join("answer");
        let done = Command::new(env!("CARGO_BIN_EXE_ringfence"))
            .arg(call[0])
            .arg(root().join("scenarios/rescue-tender.yaml"))
            .args(&call[1..])
            .arg("--quiet")
            .arg("--out")
            .arg(&out)
            .output()
            .expect("the program starts");
        let answered = matches!(done.status.code(), Some(0 | 1));
        assert!(answered, "{call:?}: {done:?}");
        compare(&out, &[(made, kept)]);
    }
}

#[test]
fn pictures_of_pairs_are_those_of_compare() {
    for [first, second, made, kept] in PAIRS {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let out = folder.path().join("comparison");
        let shipped = |name: &str| root().join(format!("scenarios/{name}.yaml"));
        let done = Command::new(env!("CARGO_BIN_EXE_ringfence"))
            .args(["compare", "--quiet", "--out"])
            .arg(&out)
            .args([shipped(first), shipped(second)])
            .output()
            .expect("the program starts");
        assert!(done.status.code() < Some(2), "{done:?}");
        compare(&out, &[(made, kept)]);
    }
}

#[test]
fn pictures_of_the_lesson_are_those_of_its_commands() {
    for (call, made, kept) in LESSON {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let out = folder.path().join("answer");
        let done = Command::new(env!("CARGO_BIN_EXE_ringfence"))
            .args(call)
            .arg("--quiet")
            .arg("--out")
            .arg(&out)
            .current_dir(root().join("scenarios/lesson"))
            .output()
            .expect("the program starts");
        let answered = matches!(done.status.code(), Some(0 | 1));
        assert!(answered, "{call:?}: {done:?}");
        compare(&out, &[(made, &format!("docs/pictures/lesson/{kept}"))]);
    }
}

/// What was made is what is kept in the documents, by its words.
fn compare(out: &Path, pictures: &[(&str, &str)]) {
    for (made, kept) in pictures {
        let fresh = fs::read_to_string(out.join(made)).expect("a picture in the report");
        let kept = root().join(kept);
        assert!(fresh.len() < LARGEST, "{made} has {} bytes", fresh.len());
        if writing() {
            fs::create_dir_all(kept.parent().expect("a folder")).expect("the folder");
            fs::write(&kept, &fresh).expect("a written picture");
        }
        let kept = fs::read_to_string(&kept).expect("the committed picture");
        assert!(texts(&fresh).len() > 10, "{made} has hardly a word");
        assert_eq!(
            texts(&kept),
            texts(&fresh),
            "{made} has changed: RINGFENCE_WRITE=1 cargo test --release --test docs"
        );
    }
}
