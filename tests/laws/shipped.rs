//! The scenarios that the project ships, found when the tests run.
use ringfence::scenario::build::Setup;
use ringfence::scenario::{Scenario, load};
use std::path::{Path, PathBuf};

/// A scenario by its path below the project.
pub fn scenario(path: &str, overrides: &[(&str, &str)]) -> Scenario {
    let full = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let owned: Vec<_> = overrides
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    load(&full, &owned, None)
        .unwrap_or_else(|errors| panic!("{path}: {errors}"))
        .scenario
}

/// What it stands for.
pub fn setup(path: &str, overrides: &[(&str, &str)]) -> Setup {
    Setup::new(&scenario(path, overrides)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// Paths of all shipped scenarios below the project, in order. Not among them are
/// published models, which break the first law by construction and have a gas of
/// their own: `tests/published_benchmark.rs`. Nor is the lesson, whose engine is the
/// demonstration's (`tests/lesson.rs`) with vanes held still or moved by hand.
pub fn shipped() -> Vec<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    for folder in ["scenarios", "tests/validation"] {
        collect(&root.join(folder), &mut found);
    }
    found.sort();
    let below = |path: &PathBuf| {
        let relative = path.strip_prefix(root).expect("it was found there");
        relative.to_str().expect("plain names").replace('\\', "/")
    };
    let paths: Vec<String> = found.iter().map(below).collect();
    assert!(!paths.is_empty(), "no scenario was found");
    paths
}

fn collect(folder: &Path, found: &mut Vec<PathBuf>) {
    let entries = std::fs::read_dir(folder).expect("the folder is there");
    for entry in entries {
        let path = entry.expect("an entry").path();
        if path.ends_with("published") || path.ends_with("lesson") {
            continue;
        }
        if path.is_dir() {
            collect(&path, found);
        } else if path.extension().is_some_and(|e| e == "yaml") && says_what_it_is(&path) {
            found.push(path);
        }
    }
}

/// Every scenario does; the sizes of a wheel alone are none.
fn says_what_it_is(path: &Path) -> bool {
    let text = std::fs::read_to_string(path).expect("a readable file");
    text.lines().any(|line| line.starts_with("about:"))
}
