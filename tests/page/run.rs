//! The page of a run, part by part.
use crate::bench::{Bench, SHORT, args, scenario};
use crate::sound::{Read, sound};
use serde_json::Value;

/// The page and the result of a shipped scenario.
fn ran(name: &str, code: i32, more: &[&str]) -> (Read, Value) {
    let file = scenario().replace("rescue-tender", name);
    let bench = Bench::new();
    let said = bench
        .call(&args(&[&["run", &file, "--json", "--out", "out"], more]))
        .ends_with(code);
    (sound(&bench.read("out/report.html")), said.json())
}

#[test]
fn the_parts_come_in_their_order() {
    let (page, _) = ran("over-commanded", 1, &[]);
    assert_eq!(
        page.texts("h2"),
        [
            "What to do",
            "How close it came",
            "What happened",
            "The run in pictures",
            "Limits",
            "Boost sensor",
            "Protections",
            "Highest values",
            "How far to trust it",
            "What it was computed from",
            "Cautions",
        ]
    );
    assert_eq!(page.all("figure").len(), 4);
    assert_eq!(
        page.texts("h1"),
        ["Mountain-rescue tender, commanded above its sensor"]
    );
    assert_eq!(page.texts(".beside"), ["pull · invented data"]);
    // both files of the scenario, the one it extends too
    assert_eq!(page.all(".source").len(), 2);
}

#[test]
fn each_verdict_has_a_word_and_a_shape_of_its_own() {
    let mut shapes = Vec::new();
    for (name, code, word) in [
        ("over-commanded-clamped", 0, "Held"),
        ("over-commanded", 1, "Exceeded"),
        ("beyond-the-model", 3, "Outside the model"),
    ] {
        let (page, _) = ran(name, code, &[]);
        assert_eq!(page.texts(".verdict strong"), [word]);
        let shape = page.all(".verdict svg")[0].html();
        assert_eq!(page.all(".verdict svg[aria-hidden=true]").len(), 1);
        shapes.push(shape);
    }
    assert_ne!(shapes[0], shapes[1]);
    assert_eq!(shapes[1], shapes[2], "what is no good answer looks alike");
}

#[test]
fn the_limits_of_the_page_are_those_of_the_result() {
    let (page, result) = ran("over-commanded", 1, &[]);
    let table = page.texts("table").remove(0);
    for limit in result["limits"].as_array().unwrap() {
        let name = match limit["name"].as_str().unwrap() {
            "pinned_time" => "pinned reading".to_owned(),
            other => other.replace('_', " "),
        };
        assert!(table.contains(&name), "{name} in {table}");
    }
    let krpm = result["peaks"]["shaft_speed_rpm"].as_f64().unwrap() / 1000.0;
    let rows: Vec<String> = page
        .all("tbody tr")
        .into_iter()
        .map(crate::sound::text)
        .filter(|row| row.starts_with("shaft speed") && row.contains("krpm"))
        .collect();
    assert!(!rows.is_empty(), "no row of the shaft speed");
    let shown = format!("{krpm:.1}");
    assert!(rows.iter().all(|row| row.contains(&shown)), "{rows:?}");
}

#[test]
fn the_moments_have_times_weights_and_words() {
    let (page, _) = ran("over-commanded", 1, &[]);
    let moments = page.all(".course li");
    assert!(moments.len() > 3, "{}", moments.len());
    let times: Vec<f64> = page
        .texts(".course .time")
        .iter()
        .map(|time| time.trim_end_matches(" s").parse().unwrap())
        .collect();
    assert_eq!(times.len(), moments.len());
    assert!(times.is_sorted(), "{times:?}");
    assert_eq!(page.all(".course .weight svg").len(), moments.len());
    assert!(
        page.texts(".course .weight")
            .iter()
            .all(|word| !word.is_empty())
    );
    assert!(
        page.texts(".course .what")
            .iter()
            .all(|what| !what.is_empty())
    );
}

#[test]
fn a_hold_shows_the_equilibrium_and_what_was_laid_over() {
    let (page, result) = ran("rescue-tender", 0, &SHORT);
    assert!(
        page.texts("h2")
            .contains(&"The equilibrium it settled in".to_owned())
    );
    let kpa = result["steady"]["exhaust_pressure_pa"].as_f64().unwrap() * 1e-3;
    let table = page.texts("table").pop().unwrap();
    assert!(
        table.contains(&format!("kPa abs {kpa:.1}")),
        "{kpa} in {table}"
    );
    let sets = page.texts("pre").concat();
    assert!(
        sets.contains("controller.command.full_load=260 kPa abs"),
        "{sets}"
    );
}

/// A check that must fail says so in one cell of its row, not in two.
#[test]
fn a_check_that_must_fail_says_so_once() {
    let file = scenario().replace("rescue-tender", "verify/over-boost-without-cut");
    let bench = Bench::new();
    bench.call(&["verify", &file, "--out", "out"]).ends_with(0);
    let page = sound(&bench.read("out/report.html"));
    let rows: Vec<String> = page
        .all("tbody tr")
        .into_iter()
        .map(crate::sound::text)
        .filter(|row| row.contains("as it must"))
        .collect();
    assert!(!rows.is_empty(), "a check that must fail");
    for row in rows {
        assert_eq!(row.matches("as it must").count(), 1, "{row}");
    }
}

#[test]
fn a_climb_shows_its_road_and_stays_small() {
    let file = scenario().replace("rescue-tender", "climb");
    let bench = Bench::new();
    bench.call(&["run", &file, "--out", "out"]).ends_with(0);
    let text = bench.read("out/report.html");
    let page = sound(&text);
    assert!(page.texts("h2").contains(&"Road".to_owned()));
    assert_eq!(page.all("figure").len(), 5);
    // a page is sent by mail: 3 MB is what may be asked of it
    assert!(text.len() < 3_000_000, "{}", text.len());
}
