//! What the screen says: the demonstration, widths, colours, explanations.
use super::bench::{Bench, SHORT, Said, args, scenario};

/// The demonstration once, its checks together: it takes seconds.
#[test]
fn the_demonstration_tells_the_whole_story() {
    let bench = Bench::new();
    let output = bench.command().env("COLUMNS", "60").output().unwrap();
    let said = Said::of(output, &[]).ends_with(0);
    assert_eq!(said.err, "");
    let words: Vec<&str> = said.out.split_whitespace().collect();
    let story = words.join(" ");
    for part in [
        "invented",
        "How high may the boost command go?",
        "at 400 m",
        "at 2600 m",
        "commanded above its sensor",
        "the reading is pinned",
        "closes the vanes from",
        "Drive pressure climbs from",
        "The shaft passes its limit of",
        "blind for",
        "it never acts",
        "Every limit holds",
        "What to do",
        "Cautions",
        "ringfence-report",
    ] {
        assert!(story.contains(part), "no `{part}` in\n{}", said.out);
    }
    for line in said.out.lines() {
        assert!(line.chars().count() <= 60, "wider than 60: {line}");
    }
    for name in ["verdict.txt", "lid.svg", "ceiling.json", "over-trace.csv"] {
        assert!(
            bench.path("ringfence-report").join(name).is_file(),
            "{name}"
        );
    }
    // the same once more for programs, into the same folder
    let again = bench.call(&["--json"]).ends_with(0).json();
    assert_eq!(again["over_commanded"]["result"]["verdict"], "exceeded");
    assert_eq!(again["clamped"]["result"]["verdict"], "held");
    let blind = again["over_commanded"]["result"]["protections"]
        .as_array()
        .unwrap()
        .iter()
        .any(|p| p["name"] == "over_boost" && p["blind_s"].as_f64().unwrap() > 0.0);
    assert!(blind);
}

#[test]
fn text_keeps_to_the_width_of_the_terminal() {
    let file = scenario();
    let bench = Bench::new();
    for (columns, widest) in [("60", 60), ("20", 60), ("72", 72), ("500", 100), ("x", 80)] {
        let output = bench
            .command()
            .args(args(&[&["run", &file], &SHORT]))
            .env("COLUMNS", columns)
            .output()
            .unwrap();
        let text = String::from_utf8(output.stdout).unwrap();
        let found = text.lines().map(|line| line.chars().count()).max().unwrap();
        assert!(found <= widest, "COLUMNS={columns}: {found}\n{text}");
    }
}

#[test]
fn there_is_no_colour_unless_it_is_wanted() {
    let file = scenario();
    let bench = Bench::new();
    let call = args(&[&["run", &file], &SHORT]);
    let coloured = |variables: &[(&str, &str)], more: &[&str]| {
        let output = bench
            .command()
            .args(&call)
            .args(more)
            .envs(variables.iter().copied())
            .output()
            .unwrap();
        String::from_utf8(output.stdout).unwrap().contains('\u{1b}')
    };
    assert!(!coloured(&[], &[]), "not a terminal");
    assert!(coloured(&[("CLICOLOR_FORCE", "1")], &[]), "forced");
    assert!(!coloured(&[("NO_COLOR", "1")], &[]));
    assert!(!coloured(&[("CLICOLOR_FORCE", "1")], &["--no-colour"]));
}

#[test]
fn quiet_says_nothing_but_errors() {
    let file = scenario();
    let bench = Bench::new();
    let said = bench
        .call(&args(&[&["run", &file, "--quiet"], &SHORT]))
        .ends_with(0);
    assert_eq!((said.out.as_str(), said.err.as_str()), ("", ""));
    let said = bench.call(&["run", "missing.yaml", "--quiet"]).ends_with(2);
    assert_ne!(said.err, "");
}

#[test]
fn us_units_are_for_the_reader_only() {
    let file = scenario();
    let bench = Bench::new();
    let call = args(&[&["run", &file, "--units", "us"], &SHORT]);
    let said = bench.call(&call).ends_with(0);
    said.says("psi");
    assert!(!said.out.contains("kPa"), "{}", said.out);
    let json = args(&[&call, &["--json"]]);
    let plain = args(&[&["run", &file, "--json"], &SHORT]);
    assert_eq!(bench.call(&json).out, bench.call(&plain).out);
}

#[test]
fn explain_knows_limits_protections_verdicts_findings_and_fields() {
    let bench = Bench::new();
    for name in [
        "shaft_speed",
        "pinned reading",
        "command_clamp",
        "outside_validity",
        "command_above_readable",
        "readable_ceiling",
        "cautions",
        "sensors.boost.clamp",
        "limits.lambda",
        "engine",
    ] {
        bench.call(&["explain", name]).ends_with(0);
    }
    bench
        .call(&["explain", "pinnd_time"])
        .ends_with(2)
        .says("pinned_time");
    let all = bench.call(&["explain"]).ends_with(0);
    all.says("drive_to_boost")
        .says("over_boost")
        .says("sensors");
}

#[test]
fn every_command_has_help_with_examples() {
    let bench = Bench::new();
    bench
        .call(&["--help"])
        .ends_with(0)
        .says("Start here")
        .says("Exit status");
    for command in [
        "run",
        "compare",
        "ceiling",
        "sweep",
        "merge",
        "tolerance",
        "tables",
        "verify",
        "check",
        "new",
        "explain",
        "schema",
    ] {
        bench.call(&[command, "--help"]).ends_with(0).says("Usage");
    }
    let help = bench.call(&["--help"]).out;
    assert!(
        !help.contains("--band"),
        "--band is a flag of run and ceiling"
    );
}
