//! `--json`: one document and nothing else; equal input gives equal bytes.
use super::bench::{Bench, ONE_CELL, SHORT, args, scenario};

#[test]
fn every_command_answers_with_one_document() {
    let file = scenario();
    let bench = Bench::new();
    let run = args(&[&["run", &file], &SHORT]);
    let ceiling = args(&[&["ceiling", &file], &ONE_CELL]);
    let calls: [&[&str]; 8] = [
        &run,
        &ceiling,
        &["check", &file],
        &["new"],
        &["explain"],
        &["explain", "drive_pressure"],
        &["schema"],
        &["completions", "bash"],
    ];
    for call in calls {
        let said = bench.call(&args(&[call, &["--json"]])).ends_with(0);
        assert!(said.json().is_object(), "{call:?}");
        assert!(!said.out.contains('\u{1b}'), "{call:?}");
    }
}

#[test]
fn a_fault_in_a_scenario_is_one_document_with_its_place() {
    let file = scenario();
    let bench = Bench::new();
    let said = bench
        .call(&["run", &file, "--json", "--set", "engine.displacement=5 kPa"])
        .ends_with(2)
        .json();
    let diagnostic = &said["error"]["diagnostics"][0];
    assert_eq!(diagnostic["file"], "--set");
    assert_eq!(diagnostic["path"], "engine.displacement");
    for field in ["line", "column", "message", "read", "allowed", "hint"] {
        assert!(!diagnostic[field].is_null(), "{field} in {diagnostic}");
    }
}

#[test]
fn twice_the_same_gives_the_same_bytes() {
    let file = scenario();
    let bench = Bench::new();
    let run = args(&[&["run", &file, "--json"], &SHORT]);
    let ceiling = args(&[&["ceiling", &file, "--json"], &ONE_CELL]);
    for call in [run, ceiling] {
        assert_eq!(bench.call(&call).out, bench.call(&call).out, "{call:?}");
    }
}

#[test]
fn the_number_of_threads_does_not_show() {
    let file = scenario();
    let bench = Bench::new();
    let cells = [
        "ceiling",
        &file,
        "--json",
        "--speeds",
        "1800rpm,2200rpm,2600rpm",
        "--altitudes",
        "400m",
        "--step",
        "8 kPa",
        "--set",
        "ceiling.transients.afterwards=1 s",
    ];
    let several = args(&[&["run", &file, &file, &file, "--json"], &SHORT]);
    for call in [&cells[..], &several] {
        let one = bench.call(&args(&[call, &["--threads", "1"]])).out;
        let two = bench.call(&args(&[call, &["--threads", "2"]])).out;
        assert_eq!(one, two, "{call:?}");
    }
}

#[test]
fn files_are_the_same_bytes_as_well() {
    let file = scenario();
    let bench = Bench::new();
    for out in ["a", "b"] {
        bench
            .call(&args(&[&["run", &file, "--out", out], &SHORT]))
            .ends_with(0);
    }
    for entry in std::fs::read_dir(bench.path("a")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let read = |folder: &str| std::fs::read(bench.path(folder).join(&name)).unwrap();
        assert!(read("a") == read("b"), "{name} differs");
    }
}
