//! Sweeps that are stopped: killed, interrupted, out of room, two at once.
#![cfg(unix)]
use super::bench::{Bench, args, scenario};
use super::cases::TINY;
use std::fs::OpenOptions;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::Duration;

/// Long enough that one thread is stopped in the middle, and short enough to be finished
/// afterwards.
const VARY: [&str; 2] = ["--vary", "ambient.altitude=0..2000m:1500"];
/// Cases of it.
const CASES: usize = 1500;

fn begin(bench: &Bench, out: &str) -> Child {
    let file = scenario();
    Command::new(assert_cmd::cargo::cargo_bin!("ringfence"))
        .current_dir(bench.path(""))
        .args(args(&[
            &["sweep", &file],
            &TINY,
            &VARY,
            &["--out", out, "--threads", "1"],
        ]))
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Waits until a sweep has brought some rows to disk; it must not be finished then.
fn has_rows(bench: &Bench, out: &str, child: &mut Child) {
    loop {
        let text = std::fs::read_to_string(bench.path(&format!("{out}.state")));
        let rows = text.map_or(0, |text| text.lines().count().saturating_sub(1));
        if rows > 0 {
            assert!(rows < CASES, "finished before it could be stopped");
            return;
        }
        assert!(child.try_wait().unwrap().is_none(), "ended by itself");
        std::thread::sleep(Duration::from_millis(5));
    }
}

fn finish(bench: &Bench, out: &str) -> (String, String) {
    let file = scenario();
    bench
        .call(&args(&[&["sweep", &file], &TINY, &VARY, &["--out", out]]))
        .ends_with(0);
    (bench.read(out), bench.read(&format!("{out}.state")))
}

fn signal(child: &Child, name: &str) {
    let id = child.id().to_string();
    let sent = Command::new("kill").args([name, &id]).status().unwrap();
    assert!(sent.success());
}

fn end(mut child: Child) -> (ExitStatus, String) {
    use std::io::Read as _;
    let mut said = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut said)
        .unwrap();
    (child.wait().unwrap(), said)
}

#[test]
fn killed_interrupted_and_gone_on_with_it_has_the_same_bytes() {
    let bench = Bench::new();
    let whole = finish(&bench, "whole.csv");
    let mut child = begin(&bench, "a.csv");
    has_rows(&bench, "a.csv", &mut child);
    child.kill().unwrap();
    assert_eq!(end(child).0.code(), None, "killed");
    let left = bench.read("a.csv");
    assert!(left.len() < whole.0.len() && left.lines().count() > 1);
    // interrupted while it goes on, and gone on with once more
    let mut child = begin(&bench, "a.csv");
    let before = bench.read("a.csv.state").len();
    while bench.read("a.csv.state").len() <= before {
        assert!(child.try_wait().unwrap().is_none(), "ended by itself");
        std::thread::sleep(Duration::from_millis(5));
    }
    signal(&child, "-INT");
    let (status, said) = end(child);
    assert_eq!(status.code(), Some(130), "{said}");
    let rows = bench.read("a.csv").lines().count() - 1;
    let sums = bench.read("a.csv.state").lines().count() - 1;
    assert_eq!(rows, sums, "an interrupt leaves nothing half done");
    assert!(rows < CASES);
    assert_eq!(finish(&bench, "a.csv"), whole);
}

#[test]
fn two_at_once_the_second_is_refused() {
    let bench = Bench::new();
    let mut first = begin(&bench, "a.csv");
    has_rows(&bench, "a.csv", &mut first);
    let (status, said) = end(begin(&bench, "a.csv"));
    assert_eq!(status.code(), Some(2));
    assert!(said.contains("another sweep is writing there"), "{said}");
    let merge = ["merge", "a.csv", "--out", "b.csv"];
    bench
        .call(&merge)
        .ends_with(2)
        .says("another sweep is writing there");
    first.kill().unwrap();
    end(first);
}

/// A device that takes nothing stands for a full disk behind standard output.
#[test]
#[cfg(target_os = "linux")]
fn a_full_device_ends_with_3() {
    let (file, bench) = (scenario(), Bench::new());
    let full = OpenOptions::new().write(true).open("/dev/full").unwrap();
    let child = Command::new(assert_cmd::cargo::cargo_bin!("ringfence"))
        .current_dir(bench.path(""))
        .args(args(&[&["sweep", &file, "--json"], &TINY, &VARY]))
        .stdout(full)
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (status, said) = end(child);
    assert_eq!(status.code(), Some(3), "{said}");
    assert!(
        said.contains("standard output: the rows could not be written"),
        "{said}"
    );
}

/// The shell's limit on the size of a file stands for a disk that fills up: writing
/// fails in the middle.
#[test]
fn a_disk_that_fills_up_keeps_the_rows() {
    let bench = Bench::new();
    let whole = finish(&bench, "whole.csv");
    let (file, program) = (scenario(), assert_cmd::cargo::cargo_bin!("ringfence"));
    let call = args(&[&["sweep", &file], &TINY, &VARY, &["--out", "a.csv"]]);
    // blocks of 1024 bytes; the signal ignored, so that writing fails instead
    let limited = "trap '' XFSZ; ulimit -f 100; exec \"$0\" \"$@\"";
    let child = Command::new("bash")
        .current_dir(bench.path(""))
        .args(["-c", limited])
        .arg(program)
        .args(call)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let (status, said) = end(child);
    assert_eq!(status.code(), Some(3), "{said}");
    assert!(
        said.contains("a.csv: the rows could not be written"),
        "{said}"
    );
    let left = bench.read("a.csv");
    assert!(
        left.lines().count() > 1 && left.ends_with('\n'),
        "rows are kept"
    );
    assert!(whole.0.starts_with(&left));
    assert_eq!(finish(&bench, "a.csv"), whole);
}

/// The reader of the lines may have seen enough.
#[test]
fn a_closed_pipe_is_no_error() {
    use std::io::{BufRead as _, BufReader};
    let (file, bench) = (scenario(), Bench::new());
    let mut child = Command::new(assert_cmd::cargo::cargo_bin!("ringfence"))
        .current_dir(bench.path(""))
        .args(args(&[&["sweep", &file, "--json"], &TINY, &VARY]))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut first = String::new();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    out.read_line(&mut first).unwrap();
    drop(out);
    let (status, said) = end(child);
    assert_eq!((status.code(), said.as_str()), (Some(0), ""));
    assert!(first.starts_with("{\"index\":0,"));
}
