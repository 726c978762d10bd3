//! One page of each command.
use crate::bench::{Bench, ONE_CELL, SHORT, args, scenario};
use crate::sound::{Read, sound};

/// Calls with `--out out` and reads the page.
fn page(call: &[&str], code: i32) -> (Bench, Read) {
    let bench = Bench::new();
    bench
        .call(&args(&[call, &["--out", "out"]]))
        .ends_with(code);
    let contents = bench.read("out/CONTENTS.txt");
    assert!(contents.lines().any(|line| line == "report.html"));
    let page = sound(&bench.read("out/report.html"));
    (bench, page)
}

/// The word of the verdict, and its class.
fn verdicts(page: &Read) -> Vec<(String, String)> {
    let classes = page.all(".verdict");
    let class = |at: usize| classes[at].value().attr("class").unwrap_or("").to_owned();
    let words = page.texts(".verdict strong").into_iter().enumerate();
    words.map(|(at, word)| (word, class(at))).collect()
}

fn is(word: &str, class: &str) -> (String, String) {
    (word.to_owned(), format!("verdict {class}"))
}

#[test]
fn a_ceiling_shows_its_cells_and_its_pictures() {
    let file = scenario();
    let (_, page) = page(&args(&[&["ceiling", &file], &ONE_CELL]), 0);
    assert_eq!(verdicts(&page), [is("A ceiling everywhere", "good")]);
    assert_eq!(page.texts("tbody th"), ["2200"]);
    assert_eq!(page.all("figure").len(), 1);
    let sets = page.texts("pre").concat();
    assert!(sets.contains("ceiling.step=4 kPa"), "{sets}");
}

#[test]
fn a_sweep_shows_its_cases() {
    let file = scenario();
    let vary = [
        "--vary",
        "controller.command.full_load=260kPa abs..270kPa abs:2",
    ];
    let hold = "procedure=[{hold: {engine_speed: 2000 rpm, fuel: 90 mg, duration: 1 s}}]";
    let call = args(&[&["sweep", &file, "--set", hold], &vary]);
    let (_, page) = page(&call, 0);
    assert_eq!(verdicts(&page), [is("All held", "good")]);
    assert_eq!(page.texts("tbody th"), ["0", "1"]);
    assert_eq!(page.all("figure").len(), 1);
}

#[test]
fn a_comparison_has_a_verdict_for_each() {
    let file = scenario();
    let (_, page) = page(&args(&[&["compare", &file, &file], &SHORT]), 0);
    assert_eq!(verdicts(&page), [is("held", "good"), is("held", "good")]);
    assert_eq!(page.texts("h1"), ["rescue-tender against rescue-tender"]);
    assert_eq!(page.all("figure").len(), 3);
    // told once, though both use them
    assert_eq!(page.all(".source").len(), 1);
}

#[test]
fn production_tolerance_shows_limits_and_causes() {
    let file = scenario();
    let few = ["--draws", "100", "--keep-below", "20%"];
    let (_, page) = page(&args(&[&["tolerance", &file], &few]), 0);
    assert_eq!(verdicts(&page), [is("Kept below", "good")]);
    assert!(page.texts("tbody th").contains(&"any limit".to_owned()));
    assert!(page.texts("thead th").contains(&"costly side".to_owned()));
    assert!(page.texts("pre").concat().contains("--set \""));
}

#[test]
fn tables_show_both_grids_whole() {
    let file = scenario();
    let few = [
        "--speeds",
        "2000rpm,2400rpm",
        "--altitudes",
        "400m",
        "--set",
        "ceiling.transients.afterwards=3 s",
        "--set",
        "ceiling.step=4 kPa",
    ];
    let (bench, page) = page(&args(&[&["tables", &file], &few]), 0);
    assert_eq!(verdicts(&page), [is("Proved", "good")]);
    let grids: Vec<String> = page.texts("table").into_iter().take(2).collect();
    for (grid, file) in grids.iter().zip(["out/command.csv", "out/vanes.csv"]) {
        let table = bench.read(file);
        // every fuel is a column, however many there are
        let fuels = table.lines().next().unwrap().split(',').count() - 1;
        assert_eq!(grid.matches(" mg").count(), fuels, "{grid}");
        assert!(grid.contains("2000") && grid.contains("2400"));
    }
}

#[test]
fn a_check_of_maps_numbers_its_findings() {
    let maps = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/maps");
    let bad = maps.join("bad-compressor.csv").display().to_string();
    let (_, one) = page(&["check", &bad], 1);
    assert_eq!(verdicts(&one), [is("Finding", "bad")]);
    assert!(
        one.texts(".marked b")
            .starts_with(&["1".to_owned(), "2".to_owned()])
    );
    assert_eq!(one.all("figure").len(), 1);
    // one that cannot be read does not take the page of the rest with it
    let (_, both) = page(&["check", &bad, "nowhere.csv"], 2);
    assert_eq!(verdicts(&both)[1], is("Wrong", "bad"));
}

#[test]
fn the_demonstration_tells_its_story_with_pictures_between() {
    let bench = Bench::new();
    bench.call(&["--out", "out"]).ends_with(0);
    let page = sound(&bench.read("out/report.html"));
    assert!(page.all("figure").len() >= 3);
    assert!(
        page.texts("h2")
            .iter()
            .any(|h| h.contains("commanded above"))
    );
    let over = sound(&bench.read("out/over-report.html"));
    assert_eq!(verdicts(&over)[0].1, "verdict bad");
    let clamped = sound(&bench.read("out/clamped-report.html"));
    assert_eq!(verdicts(&clamped), [is("Held", "good")]);
    // what was laid over the scenario is told with the run
    let sets = clamped.texts("pre:not(.source)").concat();
    assert!(
        sets.contains("--set \"controller.protections.command_clamp"),
        "{sets}"
    );
}

#[test]
fn every_page_has_the_units_asked_for() {
    let file = scenario();
    for call in [
        args(&[&["run", &file], &SHORT]),
        args(&[&["ceiling", &file], &ONE_CELL]),
        args(&[&["compare", &file, &file], &SHORT]),
    ] {
        let (_, si) = page(&call, 0);
        let told = si.told();
        assert!(told.contains("kPa") && !told.contains("psi"), "{told}");
        let (_, us) = page(&args(&[&call, &["--units", "us"]]), 0);
        let told = us.told();
        assert!(told.contains("psi") && !told.contains("kPa"), "{told}");
    }
}

#[test]
fn equal_input_gives_an_equal_page_for_any_number_of_threads() {
    let file = scenario();
    let bench = Bench::new();
    let pages: Vec<String> = ["1", "3"]
        .iter()
        .map(|threads| {
            let more = ["--threads", threads, "--out", threads];
            bench
                .call(&args(&[&["ceiling", &file], &ONE_CELL, &more]))
                .ends_with(0);
            bench.read(&format!("{threads}/report.html"))
        })
        .collect();
    assert_eq!(pages[0], pages[1]);
}
