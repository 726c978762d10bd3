//! The pages themselves: where they are, what they name.
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The folder of the project.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Whether generated files are to be written instead of compared.
pub fn writing() -> bool {
    std::env::var_os("RINGFENCE_WRITE").is_some()
}

/// Files below a folder with an ending, sorted.
pub fn files_below(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("a readable folder") {
        let path = entry.expect("a readable entry").path();
        if path.is_dir() {
            found.extend(files_below(&path, ending));
        } else if path.extension().is_some_and(|e| e == ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// All pages with their paths from the project's folder.
pub fn pages() -> Vec<(String, String)> {
    let mut paths = files_below(&root().join("docs"), "md");
    let others = [
        "README.md",
        "DEVELOPERS.md",
        "benches/README.md",
        "benches/peers/README.md",
    ];
    paths.extend(others.map(|p| root().join(p)));
    paths
        .into_iter()
        .map(|path| {
            let name = path.strip_prefix(root()).expect("below the root");
            let name = name.to_string_lossy().replace('\\', "/");
            (name, fs::read_to_string(&path).expect("a readable page"))
        })
        .collect()
}

/// What stands between single backticks outside fenced blocks.
fn in_backticks(text: &str) -> Vec<&str> {
    let mut fenced = false;
    let mut found = Vec::new();
    for line in text.lines() {
        if line.trim_start().starts_with("```") {
            fenced = !fenced;
        } else if !fenced {
            found.extend(line.split('`').skip(1).step_by(2));
        }
    }
    found
}

/// Every file that a page names is there.
#[test]
fn named_files_exist() {
    let rooms = ["src/", "tests/", "docs/", "scenarios/", "benches/", ".ci/"];
    let mut missing = Vec::new();
    for (page, text) in pages() {
        for word in in_backticks(&text) {
            let plain = !word.contains([' ', '*', '{', '<', '|', ',']);
            if plain && rooms.iter().any(|r| word.starts_with(r)) && !root().join(word).exists() {
                missing.push(format!("{page}: {word}"));
            }
        }
    }
    assert!(missing.is_empty(), "{missing:#?}");
}

/// Every link to a place in the project leads there.
#[test]
fn links_lead_somewhere() {
    let mut broken = Vec::new();
    for (page, text) in pages() {
        let folder = root().join(&page);
        let folder = folder.parent().expect("a page has a folder");
        for link in text.split("](").skip(1) {
            let target = link.split([')', '#']).next().unwrap_or("");
            if target.is_empty() || target.contains("://") {
                continue;
            }
            if !folder.join(target).exists() {
                broken.push(format!("{page}: {target}"));
            }
        }
    }
    assert!(broken.is_empty(), "{broken:#?}");
}

/// Names of all tests, of the project's own sources too.
pub fn test_functions() -> BTreeSet<String> {
    let mut sources = files_below(&root().join("tests"), "rs");
    sources.extend(files_below(&root().join("src"), "rs"));
    let mut names = BTreeSet::new();
    for path in sources {
        let text = fs::read_to_string(&path).expect("a readable source");
        let mut after_mark = false;
        for line in text.lines().map(str::trim) {
            if line == "#[test]" {
                after_mark = true;
            } else if let Some(rest) = line.strip_prefix("fn ")
                && after_mark
            {
                names.extend(rest.split('(').next().map(str::to_owned));
                after_mark = false;
            } else if !line.starts_with(['#', '/']) && !line.is_empty() && !in_macro(line) {
                after_mark = false;
            }
        }
    }
    names
}

/// A line that may stand between the mark of a test and its name.
fn in_macro(line: &str) -> bool {
    line.starts_with(')') || line.starts_with(']')
}
