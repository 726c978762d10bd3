//! Files of rows: formats, folders, going on, foreign and damaged ones.
use super::bench::{Bench, Said, args, scenario};
use super::cases::TINY;

const VARY: [&str; 2] = ["--vary", "ambient.altitude=0..1000m:11"];

fn sweep(bench: &Bench, call: &[&str]) -> Said {
    let file = scenario();
    bench.call(&args(&[&["sweep", &file], &TINY, call]))
}

#[test]
fn csv_and_json_lines_hold_the_same() {
    let bench = Bench::new();
    sweep(&bench, &args(&[&VARY, &["--out", "a.csv"]])).ends_with(0);
    let json = sweep(&bench, &args(&[&VARY, &["--out", "a.jsonl", "--json"]])).ends_with(0);
    let document = json.json();
    assert_eq!(document["cases"], 11);
    assert_eq!(document["held"], 11);
    let csv = bench.read("a.csv");
    let mut lines = csv.lines();
    let columns: Vec<&str> = lines.next().unwrap().split(',').collect();
    assert_eq!(columns[..3], ["index", "ambient.altitude_m", "verdict"]);
    let objects = bench.read("a.jsonl");
    assert_eq!(objects.lines().count(), 11);
    for (line, object) in lines.zip(objects.lines()) {
        let object: serde_json::Value = serde_json::from_str(object).unwrap();
        assert_eq!(object.as_object().unwrap().len(), columns.len());
        for (column, text) in columns.iter().zip(line.split(',')) {
            let same = match &object[column] {
                serde_json::Value::Null => text.is_empty(),
                serde_json::Value::String(word) => word == text,
                number => text.parse().ok() == number.as_f64(),
            };
            assert!(same, "{column}: {text} and {}", object[column]);
        }
    }
    // the same lines come on standard output
    let said = sweep(&bench, &args(&[&VARY, &["--json"]])).ends_with(0);
    assert_eq!(said.out, objects);
}

#[test]
fn a_folder_gets_rows_verdict_and_pictures() {
    let bench = Bench::new();
    let call = args(&[&VARY, &["--out", "r/deep", "--png"]]);
    sweep(&bench, &call).ends_with(0);
    let names = || {
        let entries = std::fs::read_dir(bench.path("r/deep")).unwrap();
        let mut names: Vec<(String, Vec<u8>)> = entries
            .map(|entry| {
                let path = entry.unwrap().path();
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                (name, std::fs::read(&path).unwrap())
            })
            .collect();
        names.sort();
        names
    };
    let first = names();
    let expected = [
        "CONTENTS.txt",
        "report.html",
        "sweep.csv",
        "sweep.csv.state",
        "sweep.png",
        "sweep.svg",
        "verdict.txt",
    ];
    assert!(
        first.iter().map(|(name, _)| name.as_str()).eq(expected),
        "{first:?}"
    );
    let verdict = bench.read("r/deep/verdict.txt");
    assert!(verdict.contains("All 11 cases held every limit") && verdict.contains("Cautions"));
    // again: nothing to do, and the same bytes
    sweep(&bench, &call).ends_with(0);
    assert!(names() == first);
}

#[test]
fn the_bytes_do_not_depend_on_threads() {
    let bench = Bench::new();
    for threads in ["1", "2", "7"] {
        let out = format!("{threads}.csv");
        let call = ["--out", out.as_str(), "--threads", threads];
        sweep(&bench, &args(&[&VARY, &call])).ends_with(0);
    }
    assert_eq!(bench.read("1.csv"), bench.read("2.csv"));
    assert_eq!(bench.read("1.csv"), bench.read("7.csv"));
}

/// A finished sweep is only read: even a file that nobody may write any more.
#[test]
fn a_finished_sweep_run_again_changes_nothing() {
    let bench = Bench::new();
    let call = args(&[&VARY, &["--out", "a.csv"]]);
    let first = sweep(&bench, &call).ends_with(0);
    let before = (bench.read("a.csv"), bench.read("a.csv.state"));
    let changed = || {
        std::fs::metadata(bench.path("a.csv"))
            .unwrap()
            .modified()
            .unwrap()
    };
    let then = changed();
    let again = sweep(&bench, &call).ends_with(0);
    assert_eq!(first.out, again.out);
    assert_eq!(before, (bench.read("a.csv"), bench.read("a.csv.state")));
    assert_eq!(then, changed());
}

#[test]
fn a_torn_end_is_cut_off_and_done_again() {
    let bench = Bench::new();
    for out in ["a.csv", "a.jsonl"] {
        let call = args(&[&VARY, &["--out", out]]);
        sweep(&bench, &call).ends_with(0);
        let whole = bench.read(out);
        let state = bench.read(&format!("{out}.state"));
        let last = whole.trim_end().rfind('\n').unwrap();
        // in the middle of the last row, of one further up, of the header
        for keep in [whole.len() - 7, last + 1, whole.len() / 2, 20] {
            bench.write(out, &whole[..keep]);
            sweep(&bench, &call).ends_with(0);
            assert_eq!(bench.read(out), whole, "{keep}");
            assert_eq!(bench.read(&format!("{out}.state")), state);
        }
        // the state may be behind, too
        bench.write(&format!("{out}.state"), &state[..state.len() - 13]);
        sweep(&bench, &call).ends_with(0);
        assert_eq!(bench.read(out), whole);
        assert_eq!(bench.read(&format!("{out}.state")), state);
    }
}

#[test]
fn a_damaged_row_is_refused_with_its_line() {
    let bench = Bench::new();
    let call = args(&[&VARY, &["--out", "a.csv"]]);
    sweep(&bench, &call).ends_with(0);
    let whole = bench.read("a.csv");
    let lines: Vec<&str> = whole.lines().collect();
    let mut changed: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
    changed[4] = changed[4].replacen("held", "hold", 1);
    let digit = changed[4].replacen("hold", "held", 1).replacen('1', "2", 1);
    for (line, text) in [
        (5, changed.join("\n") + "\n"),
        (5, {
            let mut other: Vec<String> = lines.iter().map(|line| (*line).to_owned()).collect();
            other[4] = digit;
            other.join("\n") + "\n"
        }),
        (1, whole.replacen("index", "indexx", 1)),
        (13, format!("{whole}more\n")),
    ] {
        bench.write("a.csv", &text);
        let said = sweep(&bench, &call).ends_with(2);
        said.says(&format!("line {line} is not as the sweep wrote it"));
        assert_eq!(bench.read("a.csv"), text, "left as it was");
    }
}

#[test]
fn an_output_of_another_sweep_is_refused() {
    let bench = Bench::new();
    let call = args(&[&VARY, &["--out", "a.csv"]]);
    sweep(&bench, &call).ends_with(0);
    let whole = bench.read("a.csv");
    let set = ["--set", "shaft.inertia=1 kg cm2"];
    for (other, word) in [
        (args(&[&call, &set]), "scenario"),
        (
            args(&[
                &["--vary", "ambient.altitude=0..900m:11"],
                &["--out", "a.csv"],
            ]),
            "--vary",
        ),
        (args(&[&call, &["--draws", "4"]]), "4 draws"),
        (args(&[&call, &["--shard", "1/2"]]), "part"),
    ] {
        let said = sweep(&bench, &other).ends_with(2);
        said.says("not from this sweep").says(word);
        assert_eq!(bench.read("a.csv"), whole);
    }
    // another version of the program
    let state = bench.read("a.csv.state");
    let version = format!("\"version\":\"{}\"", env!("CARGO_PKG_VERSION"));
    assert!(state.contains(&version));
    bench.write(
        "a.csv.state",
        state.replacen(&version, "\"version\":\"0.0.1\"", 1),
    );
    sweep(&bench, &call)
        .ends_with(2)
        .says("version of the program");
    // a file of someone else
    bench.write("mine.csv", "my,own,table\n");
    let mine = args(&[&VARY, &["--out", "mine.csv"]]);
    sweep(&bench, &mine)
        .ends_with(2)
        .says("not from this sweep");
    assert_eq!(bench.read("mine.csv"), "my,own,table\n");
}

/// A map that is read from a file beside the scenario counts as the scenario.
#[test]
fn a_changed_map_is_another_scenario() {
    let bench = Bench::new();
    bench.call(&["new", "engine.yaml"]).ends_with(0);
    let base = ["sweep", "engine.yaml", "--out", "a.csv"];
    let call = args(&[&base, &TINY, &VARY]);
    bench.call(&call).ends_with(0);
    let yaml = bench.read("engine.yaml");
    bench.write("engine.yaml", format!("# a remark changes nothing\n{yaml}"));
    bench.call(&call).ends_with(0);
    let map = std::fs::read_dir(bench.path("engine"))
        .unwrap()
        .map(|entry| format!("engine/{}", entry.unwrap().file_name().to_string_lossy()))
        .find(|name| name.ends_with(".csv"))
        .unwrap();
    let text = bench.read(&map);
    let (head, last) = text.trim_end().rsplit_once('\n').unwrap();
    assert!(last.contains(','), "{last}");
    // one measured point fewer
    bench.write(&map, format!("{head}\n"));
    bench
        .call(&call)
        .ends_with(2)
        .says("scenario or its overrides");
}
