//! Every file in `tests/bad_scenarios/` is refused, with a place and a way out.
//!
//! Dropping a file in adds a test. Its first lines say what must be in the
//! message, one `# expect: TEXT` each, and may lay an override over it with
//! `# set: PATH=VALUE`. A file that cannot hold comments has its expectations in
//! a file of the same name with `.expect` behind it.
use std::fs;
use std::path::{Path, PathBuf};

use proptest::prelude::*;
use ringfence::scenario::{Diagnostic, Diagnostics, Embedded, load, load_from};

#[path = "common/random.rs"]
mod random;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad_scenarios")
}

/// What a bad scenario says about itself.
#[derive(Default)]
struct Notes {
    expect: Vec<String>,
    set: Vec<(String, String)>,
}

fn notes(path: &Path) -> Notes {
    let beside = PathBuf::from(format!("{}.expect", path.display()));
    let bytes = fs::read(if beside.exists() { &beside } else { path }).unwrap();
    let text = String::from_utf8_lossy(&bytes);
    let mut notes = Notes::default();
    for line in text.lines() {
        if let Some(expected) = line.strip_prefix("# expect: ") {
            notes.expect.push(expected.trim().to_owned());
        } else if let Some(set) = line.strip_prefix("# set: ") {
            let (path, value) = set.split_once('=').expect("PATH=VALUE");
            notes.set.push((path.to_owned(), value.to_owned()));
        }
    }
    notes
}

/// Every diagnostic must be complete.
fn complete(diagnostic: &Diagnostic) -> Result<(), String> {
    let texts = [
        ("file", &diagnostic.file),
        ("path", &diagnostic.path),
        ("message", &diagnostic.message),
        ("read", &diagnostic.read),
        ("allowed", &diagnostic.allowed),
        ("hint", &diagnostic.hint),
    ];
    match texts.iter().find(|(_, text)| text.trim().is_empty()) {
        Some((name, _)) => Err(format!("no `{name}` in {diagnostic:?}")),
        None if diagnostic.line == 0 || diagnostic.column == 0 => {
            Err(format!("no place in {diagnostic:?}"))
        }
        None => Ok(()),
    }
}

fn judge(name: &str, diagnostics: &Diagnostics, expect: &[String]) -> Result<(), String> {
    let text = diagnostics.render(false);
    if diagnostics.diagnostics.is_empty() {
        return Err(format!("{name}: refused without a diagnostic"));
    }
    for diagnostic in &diagnostics.diagnostics {
        complete(diagnostic).map_err(|fault| format!("{name}: {fault}"))?;
    }
    if expect.is_empty() {
        return Err(format!("{name}: says nothing to expect; it gives\n{text}"));
    }
    match expect
        .iter()
        .find(|expected| !text.contains(expected.as_str()))
    {
        Some(missing) => Err(format!("{name}: expected `{missing}` in\n{text}")),
        None => Ok(()),
    }
}

#[test]
fn every_bad_scenario_is_refused_with_place_and_hint() {
    let mut names: Vec<PathBuf> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "yaml")
        })
        .collect();
    names.sort();
    assert!(names.len() >= 65, "only {} bad scenarios", names.len());
    let faults: Vec<String> = names
        .iter()
        .filter_map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            let notes = notes(path);
            match load(path, &notes.set, None) {
                Ok(_) => Some(format!("{name}: accepted")),
                Err(diagnostics) => judge(&name, &diagnostics, &notes.expect).err(),
            }
        })
        .collect();
    assert!(
        faults.is_empty(),
        "{} of {} files:\n{}",
        faults.len(),
        names.len(),
        faults.join("\n")
    );
}

const DEMO: &str = include_str!("../scenarios/rescue-tender.yaml");
const MAP: &str = include_str!("bad_scenarios/parts/compressor.csv");

fn refuse(content: impl Into<Vec<u8>>, expect: &[&str]) {
    let files = Embedded::new()
        .with("bad.yaml", content)
        .with("rescue-tender/compressor.csv", MAP);
    let diagnostics =
        load_from(&files, Path::new("bad.yaml"), &[], None).expect_err("must be refused");
    let expect: Vec<String> = expect.iter().map(|text| (*text).to_owned()).collect();
    judge("bad.yaml", &diagnostics, &expect).unwrap_or_else(|fault| panic!("{fault}"));
}

#[test]
fn a_file_of_five_megabytes() {
    refuse(
        "a: 1\n".repeat(1_000_000),
        &["too large", "at most 1000 kB", "bad.yaml"],
    );
}

#[test]
fn two_hundred_thousand_brackets() {
    refuse("[".repeat(200_000), &["nested too deeply", "bad.yaml:1:33"]);
    refuse("{a: ".repeat(200_000), &["nested too deeply"]);
    refuse("- ".repeat(200_000), &["nested too deeply"]);
}

#[test]
fn indentation_a_thousand_deep() {
    let text: String = (0..1000)
        .map(|level| format!("{}a:\n", " ".repeat(level)))
        .collect();
    refuse(text, &["nested too deeply", "at most 32 levels"]);
}

#[test]
fn aliases_that_unfold_without_end() {
    let mut text = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n".to_owned();
    for level in 1..10 {
        let inner = vec![format!("*a{}", level - 1); 10].join(", ");
        text.push_str(&format!("a{level}: &a{level} [{inner}]\n"));
    }
    refuse(text, &["bad.yaml"]);
}

#[test]
fn a_missing_scenario_file() {
    let path = folder().join("parts/no-such-file.yaml");
    let diagnostics = load(&path, &[], None).expect_err("must be refused");
    judge("missing", &diagnostics, &["no such file".to_owned()])
        .unwrap_or_else(|fault| panic!("{fault}"));
}

#[test]
fn a_folder_in_place_of_a_scenario() {
    let diagnostics = load(&folder(), &[], None).expect_err("must be refused");
    judge("folder", &diagnostics, &["this is a folder".to_owned()])
        .unwrap_or_else(|fault| panic!("{fault}"));
}

/// A wrong value in one section hides no wrong value in another, nor a
/// cross-field fault in a third.
#[test]
fn all_faults_are_reported_at_once() {
    let text = DEMO
        .replace("stroke: 124 mm", "stroke: 124 kg")
        .replace("  stop_open: 0 %", "  stop_open: 100 %")
        .replace("inertia: 0.9 kg cm2", "inertja: 0.9 kg cm2")
        .replace("tolerance: 1e-5", "tolerance: .nan");
    refuse(
        text,
        &[
            "engine.stroke",
            "vanes.stop_open",
            "`inertja`",
            "did you mean `inertia`?",
            "solver.tolerance",
            "5 errors in the input",
        ],
    );
}

#[test]
fn more_faults_than_anyone_reads_are_counted() {
    let text: String = (0..80).map(|index| format!("wrong{index}: 1\n")).collect();
    refuse(text, &["the first 50 are shown"]);
}

/// Any damage to the text gives a scenario or complete diagnostics, never a panic.
fn survives(text: &str) -> Result<(), TestCaseError> {
    let files = Embedded::new()
        .with("bad.yaml", text)
        .with("rescue-tender/compressor.csv", MAP);
    if let Err(diagnostics) = load_from(&files, Path::new("bad.yaml"), &[], None) {
        for diagnostic in &diagnostics.diagnostics {
            complete(diagnostic).map_err(TestCaseError::fail)?;
        }
        diagnostics.render(false);
    }
    Ok(())
}

proptest! {
    #![proptest_config(random::cases(96))]

    #[test]
    fn damaged_text_never_panics(
        at in 0..DEMO.len(),
        remove in 0_usize..40,
        insert in "[ -~\n\t\u{e4}\u{b5}]{0,12}",
    ) {
        let chars: Vec<char> = DEMO.chars().collect();
        let at = at.min(chars.len());
        let end = (at + remove).min(chars.len());
        let text: String = chars[..at].iter().copied().chain(insert.chars()).chain(chars[end..].iter().copied()).collect();
        survives(&text)?;
    }

    #[test]
    fn damaged_values_never_panic(line in 0..DEMO.lines().count(), value in "[-+0-9.e%a-zA-Z /{}\\[\\],:&*!|>'\"#]{0,20}") {
        let text: String = DEMO
            .lines()
            .enumerate()
            .map(|(index, old)| match old.split_once(':') {
                Some((key, _)) if index == line => format!("{key}: {value}\n"),
                _ => format!("{old}\n"),
            })
            .collect();
        survives(&text)?;
    }

    #[test]
    fn overrides_never_panic(path in "[a-z_.0-9]{0,30}", value in "[ -~]{0,20}") {
        let files = Embedded::new().with("bad.yaml", DEMO).with("rescue-tender/compressor.csv", MAP);
        if let Err(diagnostics) = load_from(&files, Path::new("bad.yaml"), &[(path, value)], None) {
            for diagnostic in &diagnostics.diagnostics {
                complete(diagnostic).map_err(TestCaseError::fail)?;
            }
            diagnostics.render(false);
        }
    }
}
