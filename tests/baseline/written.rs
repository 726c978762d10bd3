//! The program: how baselines are written, renewed, refused, and told.
use super::bench::Bench;
use serde_json::Value;

/// Two seconds, at the begin of which the vanes have much to do.
const PULL: &str = "procedure: [{pull: {from: 2000 rpm, to: 2200 rpm, duration: 2 s}}]\n";
const BASELINE: &str = "expect: {verdict: held, baseline: {file: kept/one.csv}}\n";
const STIFFER: [&str; 2] = ["--set", "controller.feedback.proportional=0.48 %/kPa"];

/// A folder with the shipped scenario to extend.
fn folder() -> Bench {
    let bench = Bench::new();
    for name in ["rescue-tender.yaml", "rescue-tender/compressor.csv"] {
        let path = format!("{}/scenarios/{name}", env!("CARGO_MANIFEST_DIR"));
        bench.write(name, std::fs::read(path).expect("a shipped file"));
    }
    bench
}

fn case(bench: &Bench, name: &str, expect: &str) {
    let text = format!("extends: rescue-tender.yaml\n{PULL}{expect}");
    bench.write(&format!("{name}.yaml"), text);
}

/// A folder with a case whose baseline is written.
fn written() -> Bench {
    let bench = folder();
    case(&bench, "one", BASELINE);
    let said = bench.call(&["verify", "one.yaml", "--write-baselines"]);
    said.ends_with(0).says("; baseline new");
    bench
}

#[test]
fn a_baseline_is_new_then_the_same_then_changed() {
    let bench = written();
    let kept = bench.read("kept/one.csv");
    assert!(kept.starts_with("# baseline of ringfence"), "{kept}");
    assert!(kept.contains("\n# data: invented\n"), "{kept}");
    assert!((3000..15_000).contains(&kept.len()), "{} bytes", kept.len());
    let again = bench.call(&["verify", "one.yaml", "--write-baselines"]);
    again.ends_with(0).says("; baseline the same");
    assert_eq!(bench.read("kept/one.csv"), kept);
    // a digit that falls to the other side elsewhere is no change
    let mut nudged = kept.trim_end().to_owned();
    let digit = nudged.pop().and_then(|c| c.to_digit(10)).expect("a digit");
    let beside = if digit < 9 { digit + 1 } else { digit - 1 };
    nudged.push_str(&format!("{beside}\n"));
    bench.write("kept/one.csv", &nudged);
    let again = bench.call(&["verify", "one.yaml", "--write-baselines"]);
    again.ends_with(0).says("; baseline the same");
    assert_eq!(bench.read("kept/one.csv"), nudged);
    // another gain in the file itself
    let stiff = format!("controller: {{feedback: {{proportional: 0.48 %/kPa}}}}\n{BASELINE}");
    case(&bench, "one", &stiff);
    bench.call(&["verify", "one.yaml"]).ends_with(1);
    let json = bench
        .call(&["verify", "one.yaml", "--write-baselines", "--json"])
        .ends_with(0)
        .json();
    assert_eq!(json["cases"][0]["baseline"]["written"], "changed");
    assert_eq!(json["cases"][0]["baseline"]["file"], "kept/one.csv");
    assert_ne!(bench.read("kept/one.csv"), kept);
    bench.call(&["verify", "one.yaml"]).ends_with(0);
}

#[test]
fn a_changed_gain_is_told_by_channel_time_and_size() {
    let bench = written();
    let call = |more: &[&str]| bench.call(&[&["verify", "one.yaml"], &STIFFER[..], more].concat());
    call(&[])
        .ends_with(1)
        .says("vane_command first left its baseline at 0.00 s: ");
    let json = call(&["--json"]).ends_with(1).json();
    let checks = json["cases"][0]["checks"]
        .as_array()
        .expect("checks")
        .clone();
    let named = |name: &str| -> &Value {
        let found = checks.iter().find(|check| check["name"] == name);
        found.unwrap_or_else(|| panic!("no {name}: {checks:?}"))
    };
    let boost = named("baseline boost_true");
    assert_eq!(
        (&boost["kind"], &boost["held"]),
        (&"baseline".into(), &false.into())
    );
    assert_eq!(
        (&boost["unit"], &boost["reference"]),
        (&"kPa".into(), &"abs".into())
    );
    let number = |value: &Value| value.as_f64().unwrap_or_else(|| panic!("{boost}"));
    let off = (number(&boost["got"]) - number(&boost["expected"])).abs();
    assert!(off > number(&boost["tolerance"]));
    assert!(number(&boost["time_s"]) < 1.0);
    let worst = &boost["worst"];
    assert!((number(&worst["got"]) - number(&worst["expected"])).abs() >= off);
    assert!(number(&worst["outside_s"]) > 0.0);
    // the picture is there for it, and not for a case that follows
    call(&["--out", "report"]).ends_with(1);
    assert!(
        bench
            .read("report/baseline-one.svg")
            .contains("first off at")
    );
    bench
        .call(&["verify", "one.yaml", "--out", "fine"])
        .ends_with(0);
    assert!(!bench.path("fine/baseline-one.svg").exists());
    // a wider tolerance in the scenario is obeyed
    let wide = "expect.baseline.tolerance={boost_true: {absolute: 50 kPa}}";
    let json = call(&["--set", wide, "--json"]).ends_with(1).json();
    let checks = json["cases"][0]["checks"]
        .as_array()
        .expect("checks")
        .clone();
    assert!(
        checks
            .iter()
            .all(|check| check["name"] != "baseline boost_true")
    );
}

#[test]
fn a_run_of_another_length_or_without_a_command_is_told() {
    let bench = written();
    let shorter = "procedure=[{pull: {from: 2000 rpm, to: 2150 rpm, duration: 1.5 s}}]";
    let said = bench
        .call(&["verify", "one.yaml", "--set", shorter])
        .ends_with(1);
    said.says("the run ends at 1.50 s, 0.50 s earlier than its baseline");
    let open = "open_loop={vanes: {closed: 40 %}}";
    let said = bench
        .call(&["verify", "one.yaml", "--set", open])
        .ends_with(1);
    said.says("boost_command has no value at 0.00 s, its baseline");
}

#[test]
fn a_missing_or_broken_baseline_is_an_error_of_its_case_alone() {
    let bench = written();
    case(&bench, "two", "expect: {baseline: {file: kept/two.csv}}\n");
    let said = bench.call(&["verify", "one.yaml", "two.yaml"]).ends_with(2);
    said.says("kept/two.csv: there is no such file")
        .says("--write-baselines")
        .says("pass   one.yaml")
        .says("error  two.yaml");
    bench.write(
        "kept/two.csv",
        bench.read("kept/one.csv").replace("0.100,", "0.100,x"),
    );
    let said = bench.call(&["verify", "two.yaml"]).ends_with(2);
    said.says("the baseline is not usable")
        .says("kept/two.csv:9:");
    // and is mended by writing it again
    let said = bench
        .call(&["verify", "two.yaml", "--write-baselines"])
        .ends_with(0);
    said.says("; baseline changed");
    // a channel with a tolerance of its own that is not stored
    let more = "expect.baseline.tolerance={lambda: {absolute: 0.05}}";
    let said = bench
        .call(&["verify", "two.yaml", "--set", more])
        .ends_with(2);
    said.says("the baseline has no column for `lambda`");
}

#[test]
fn a_baseline_out_of_which_something_was_cut_is_refused() {
    let bench = written();
    let whole = bench.read("kept/one.csv");
    let lines: Vec<&str> = whole.lines().collect();
    let head = lines
        .iter()
        .take_while(|line| line.starts_with('#'))
        .count();
    let (names, first, second) = (head, head + 1, head + 2);
    let refused = |cut: String, words: &str| {
        bench.write("kept/one.csv", cut);
        bench.call(&["verify", "one.yaml"]).ends_with(2).says(words);
    };
    let without = |line: usize| {
        let kept = lines.iter().enumerate().filter(|(at, _)| *at != line);
        kept.map(|(_, line)| format!("{line}\n"))
            .collect::<String>()
    };
    refused(without(first), "the baseline has no row at 0.000 s");
    refused(without(second), "the baseline has no row at 0.050 s");
    refused(
        without(lines.len() - 2),
        "the baseline has no row at 1.950 s",
    );
    // the time and the engine speed alone
    let thin: String = (lines.iter().enumerate())
        .map(|(at, line)| match at {
            at if at < names => format!("{line}\n"),
            _ => format!(
                "{}\n",
                line.split(',').take(2).collect::<Vec<_>>().join(",")
            ),
        })
        .collect();
    refused(thin, "the baseline has no column for");
}

#[test]
fn nothing_is_written_that_should_not_be() {
    let bench = folder();
    // over values that are not in the file
    case(&bench, "one", BASELINE);
    let flag = "--write-baselines";
    let said = bench.call(&[&["verify", "one.yaml", flag], &STIFFER[..]].concat());
    said.ends_with(2).says("without overrides");
    // of a run that fails what is expected of it
    let failing = BASELINE.replace("held", "exceeded");
    case(&bench, "failing", &failing);
    let said = bench.call(&["verify", "failing.yaml", flag]).ends_with(1);
    said.says("; baseline not written");
    // of a scenario that names none
    case(&bench, "none", "expect: {verdict: held}\n");
    let said = bench.call(&["verify", "none.yaml", flag]).ends_with(0);
    assert!(!said.out.contains("baseline"), "{}", said.out);
    // outside the folder of the scenario
    case(
        &bench,
        "outside",
        "expect: {baseline: {file: ../outside.csv}}\n",
    );
    let said = bench.call(&["verify", "outside.yaml", flag]).ends_with(2);
    said.says("the path leads outside the scenario's folder");
    // over a file that is something else
    case(
        &bench,
        "over",
        "expect: {baseline: {file: rescue-tender.yaml}}\n",
    );
    let before = bench.read("rescue-tender.yaml");
    let said = bench.call(&["verify", "over.yaml", flag]).ends_with(2);
    said.says("is no baseline and is not written over");
    assert_eq!(bench.read("rescue-tender.yaml"), before);
    // one file for two scenarios
    case(&bench, "twin", BASELINE);
    let said = bench
        .call(&["verify", "one.yaml", "twin.yaml", flag])
        .ends_with(2);
    said.says("two scenarios name the same file");
    assert!(!bench.path("kept").exists());
}

#[test]
fn equal_runs_give_equal_bytes_for_any_number_of_threads() {
    let bench = written();
    let kept = bench.read("kept/one.csv");
    std::fs::remove_file(bench.path("kept/one.csv")).expect("it is there");
    let call = ["verify", "one.yaml", "--write-baselines", "--threads", "1"];
    bench.call(&call).ends_with(0);
    assert_eq!(bench.read("kept/one.csv"), kept);
}

/// The folder of the scenario is no text, so the baseline would land in another.
#[cfg(unix)]
#[test]
fn a_folder_that_is_no_text_keeps_no_baseline() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    let bench = folder();
    case(
        &bench,
        "one",
        "expect: {verdict: held, baseline: {file: one.csv}}\n",
    );
    let odd = bench.path("").join(OsStr::from_bytes(b"odd\xff"));
    std::fs::create_dir(&odd).expect("a folder");
    let file = odd.join("one.yaml");
    std::fs::copy(bench.path("one.yaml"), &file).expect("a copy");
    let base = std::fs::read(bench.path("rescue-tender.yaml")).expect("the base");
    std::fs::write(odd.join("rescue-tender.yaml"), base).expect("a copy");
    let maps = odd.join("rescue-tender");
    std::fs::create_dir(&maps).expect("a folder");
    let map = bench.path("rescue-tender/compressor.csv");
    std::fs::copy(map, maps.join("compressor.csv")).expect("a copy");
    let mut command = bench.command();
    command.arg("verify").arg(&file).arg("--write-baselines");
    let output = command.output().expect("it runs");
    let said = super::bench::Said::of(output, &["odd folder"]).ends_with(2);
    said.says("has a path that is no UTF-8");
    let folders = std::fs::read_dir(bench.path("")).expect("the folder");
    let names: Vec<_> = folders
        .map(|entry| entry.expect("an entry").file_name())
        .collect();
    assert_eq!(names.len(), 4, "no folder of a like name: {names:?}");
}
