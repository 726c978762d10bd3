//! Parts and the whole.
use super::bench::{Bench, Said, args, scenario};
use super::cases::TINY;

const VARY: [&str; 4] = [
    "--vary",
    "ambient.altitude=0..1000m:5",
    "--vary",
    "limits.shaft_speed=60000,160000 rpm",
];

fn sweep(bench: &Bench, call: &[&str]) -> Said {
    let file = scenario();
    bench
        .call(&args(&[&["sweep", &file], &TINY, &VARY, call]))
        .ends_with(1)
}

/// Three parts and the whole, in both formats.
#[test]
fn parts_joined_are_the_whole() {
    let bench = Bench::new();
    for ending in ["csv", "jsonl"] {
        let name = |part: &str| format!("{part}.{ending}");
        sweep(&bench, &["--out", &name("whole")]);
        for part in ["1", "2", "3"] {
            let shard = format!("{part}/3");
            sweep(&bench, &["--out", &name(part), "--shard", &shard]);
        }
        let (whole, joined) = (name("whole"), name("joined"));
        let parts = [name("3"), name("1"), name("2")];
        let call = ["merge", &parts[0], &parts[1], &parts[2], "--out", &joined];
        bench.call(&call).ends_with(0).says("3 parts with 10 cases");
        assert_eq!(bench.read(&joined), bench.read(&whole));
        let state = |name: &str| bench.read(&format!("{name}.state"));
        assert_eq!(state(&joined), state(&whole));
        // joined once more, and gone on with: nothing changes
        bench.call(&call).ends_with(0);
        sweep(&bench, &["--out", &joined]);
        assert_eq!(bench.read(&joined), bench.read(&whole));
    }
}

#[test]
fn parts_that_do_not_make_a_whole_are_refused() {
    let bench = Bench::new();
    let part = |out: &str, shard: &str| {
        sweep(&bench, &["--out", out, "--shard", shard]);
    };
    part("1.csv", "1/2");
    part("2.csv", "2/2");
    part("third.csv", "3/3");
    let file = scenario();
    let other = args(&[
        &["sweep", &file],
        &TINY,
        &["--vary", "ambient.altitude=0..9m:5"],
    ]);
    bench
        .call(&args(&[&other, &["--out", "other.csv", "--shard", "2/2"]]))
        .ends_with(0);
    for name in ["2", "2.csv.state"] {
        let to = name.replacen('2', "again", 1);
        let from = if name == "2" { "2.csv" } else { name };
        let to = if name == "2" {
            "again.csv".to_owned()
        } else {
            to
        };
        bench.write(&to, bench.read(from));
    }
    bench.write("bare.csv", bench.read("2.csv"));
    let text = bench.read("2.csv");
    bench.write("damaged.csv", text.replacen(",exceeded,", ",exceedee,", 1));
    bench.write("damaged.csv.state", bench.read("2.csv.state"));
    let state = bench.read("2.csv.state");
    bench.write("short.csv", &text);
    bench.write("short.csv.state", &state[..state.len() - 9]);
    for (parts, word) in [
        (vec!["1.csv"], "part 2/2 is missing"),
        (
            vec!["1.csv", "2.csv", "again.csv"],
            "part 2/2 is there twice",
        ),
        (vec!["1.csv", "third.csv"], "a part of"),
        (vec!["1.csv", "other.csv"], "not from the sweep"),
        (vec!["1.csv", "bare.csv"], "bare.csv.state"),
        (
            vec!["1.csv", "damaged.csv"],
            "line 3 is not as the sweep wrote it",
        ),
        (vec!["1.csv", "short.csv"], "not finished: 4 of 5 rows"),
        (vec!["1.csv", "nothing.csv"], "nothing.csv"),
    ] {
        let call = args(&[&["merge"], &parts, &["--out", "joined.csv"]]);
        bench.call(&call).ends_with(2).says(word);
        assert!(!bench.path("joined.csv").exists(), "{word}");
        let json = bench.call(&args(&[&call, &["--json"]])).ends_with(2).json();
        assert!(json["error"]["message"].is_string());
    }
    for out in ["joined.jsonl", "joined", "no/such/folder.csv", "third.csv"] {
        bench
            .call(&["merge", "1.csv", "2.csv", "--out", out])
            .ends_with(2);
    }
    bench.call(&["merge", "--out", "x.csv"]).ends_with(2);
    bench.call(&["merge", "1.csv", "2.csv"]).ends_with(2);
}
