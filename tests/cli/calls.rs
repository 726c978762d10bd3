//! Every command's happy path, and every exit status.
use super::bench::{Bench, ONE_CELL, SHORT, args, scenario};

#[test]
fn a_run_whose_limits_hold_ends_with_0() {
    let file = scenario();
    let said = Bench::new()
        .call(&args(&[&["run", &file], &SHORT]))
        .ends_with(0);
    said.says("Every limit held").says("What to do");
}

#[test]
fn an_exceeded_limit_ends_with_1() {
    let file = scenario();
    let low = ["--set", "limits.shaft_speed=60000 rpm"];
    let said = Bench::new()
        .call(&args(&[&["run", &file], &SHORT, &low]))
        .ends_with(1);
    said.says("Limit exceeded: shaft speed");
}

#[test]
fn leaving_the_model_before_any_limit_ends_with_3() {
    let file = scenario();
    // vanes held nearly shut at full fuel: drive pressure leaves the model's
    // range, and the only limit set is out of reach
    let shut = [
        "--set",
        "procedure=[{load_step: {engine_speed: 2600 rpm, fuel_from: 20 mg, fuel_to: full, at: 0.5 s, duration: 6 s}}]",
        "--set",
        "open_loop={vanes: {closed: 95 %}}",
        "--set",
        "limits={shaft_speed: 400000 rpm}",
    ];
    let bench = Bench::new();
    let said = bench.call(&args(&[&["run", &file], &shut])).ends_with(3);
    said.says("left what the model can describe");
    let json = bench
        .call(&args(&[&["run", &file, "--json"], &shut]))
        .ends_with(3)
        .json();
    assert_eq!(json["verdict"], "outside_validity");
    let why = &json["why_stopped"];
    for field in ["quantity", "value", "bound", "time_s", "last_good_s"] {
        assert!(!why[field].is_null(), "{field} in {why}");
    }
}

#[test]
fn a_wrong_call_ends_with_2() {
    let file = scenario();
    let bench = Bench::new();
    bench.write("broken.yaml", "about: [");
    bench.write("binary.yaml", [0_u8, 159, 146, 150]);
    for wrong in [
        vec!["run"],
        vec!["run", "missing.yaml"],
        vec!["run", "broken.yaml"],
        vec!["run", "binary.yaml"],
        vec!["run", &file, "--set", "no equals sign"],
        vec!["run", &file, "--set", "engine.cylindres=6"],
        vec!["run", &file, "--set", "engine.displacement=5 kPa"],
        vec!["run", &file, "--threads", "0"],
        vec!["run", &file, "--units", "imperial"],
        vec!["run", &file, "--band", "--set", "uncertainty={}"],
        vec!["run", &file, "--band", "--draws", "1"],
        vec!["ceiling", &file, "--draws", "8"],
        vec!["ceiling", &file, "--seed", "2"],
        vec!["frobnicate"],
        vec!["sweep", &file],
        vec!["ceiling", &file, "--speeds", "1400"],
        vec!["ceiling", &file, "--speeds", "1400rpm..2000rpm"],
        vec!["ceiling", &file, "--altitudes", "400 m..2600 m:1"],
        vec!["ceiling", &file, "--temperatures", "-20K..20K"],
        vec!["ceiling", &file, "--temperatures", "-20"],
        vec!["ceiling", &file, "--step", "1 bar gauge"],
        vec!["check", "missing.yaml"],
        vec!["explain", "nothing_like_this"],
        vec!["completions", "basic"],
        vec!["--out", "x", "run", &file],
    ] {
        let said = bench.call(&wrong).ends_with(2);
        assert_eq!(said.out, "", "{wrong:?}");
        assert_ne!(said.err, "", "{wrong:?}");
        let json: Vec<&str> = args(&[&wrong, &["--json"]]);
        let said = bench.call(&json).ends_with(2).json();
        let message = said["error"]["message"].as_str().unwrap_or("");
        assert!(!message.is_empty(), "{wrong:?}: {said}");
    }
}

#[test]
fn of_several_scenarios_each_is_reported_and_the_worst_counts() {
    let file = scenario();
    let low = ["--set", "limits.shaft_speed=60000 rpm"];
    let bench = Bench::new();
    let said = bench
        .call(&args(&[
            &["run", &file, "missing.yaml", &file],
            &SHORT,
            &low,
        ]))
        .ends_with(2);
    assert_eq!(said.out.matches("Limit exceeded").count(), 2);
    said.says("there is no such file");
    let json = bench
        .call(&args(&[&["run", &file, "missing.yaml", "--json"], &SHORT]))
        .ends_with(2)
        .json();
    assert_eq!(json["runs"][0]["verdict"], "held");
    assert!(json["runs"][1]["error"]["message"].is_string());
    bench
        .call(&args(&[&["run", &file, &file], &SHORT, &low]))
        .ends_with(1);
}

#[test]
fn a_ceiling_with_a_window_ends_with_0_and_one_without_with_1() {
    let file = scenario();
    let bench = Bench::new();
    let said = bench
        .call(&args(&[&["ceiling", &file], &ONE_CELL]))
        .ends_with(0);
    said.says("Command at most");
    let hopeless = ["--set", "limits.turbine_inlet=300 degC"];
    bench
        .call(&args(&[&["ceiling", &file], &ONE_CELL, &hopeless]))
        .ends_with(1);
}

#[test]
fn the_cells_are_those_asked_for() {
    let file = scenario();
    let json = Bench::new()
        .call(&[
            "ceiling",
            &file,
            "--speeds",
            "2000rpm..2400rpm:2",
            "--altitudes",
            "0m, 500m",
            "--step",
            "8 kPa",
            "--set",
            "ceiling.transients.afterwards=1 s",
            "--json",
        ])
        .json();
    let cells: Vec<(f64, f64)> = json["cells"]
        .as_array()
        .unwrap()
        .iter()
        .map(|cell| {
            let number = |field: &str| cell[field].as_f64().unwrap().round();
            (number("altitude_m"), number("engine_speed_rpm"))
        })
        .collect();
    assert_eq!(
        cells,
        [
            (0.0, 2000.0),
            (0.0, 2400.0),
            (500.0, 2000.0),
            (500.0, 2400.0)
        ]
    );
    assert_eq!(json["step_kpa"], 8.0);
}

#[test]
fn check_tells_sound_from_unwise_from_wrong() {
    let file = scenario();
    let bench = Bench::new();
    bench.call(&["check", &file]).ends_with(0).says("ok");
    let raised = bench
        .call(&[
            "check",
            &file,
            "--json",
            "--set",
            "controller.command.full_load=400 kPa abs",
        ])
        .ends_with(1)
        .json();
    assert_eq!(raised["findings"][0]["code"], "command_above_readable");
    assert_eq!(raised["findings"][0]["severity"], "finding");
    let command = raised["command_highest_kpa_abs"].as_f64().unwrap();
    assert!((command - 400.0).abs() < 1.0, "{command}");
    // a clamp keeps such a table from acting: worth a note, no finding
    let clamped = bench
        .call(&[
            "check",
            &file,
            "--json",
            "--set",
            "controller.command.full_load=400 kPa abs",
            "--set",
            "controller.protections.command_clamp={margin: 14 kPa}",
        ])
        .ends_with(0)
        .json();
    assert_eq!(clamped["findings"][0]["severity"], "note");
    let wrong = bench
        .call(&["check", &file, "--set", "limits.lambda=-1"])
        .ends_with(2);
    wrong.says("limits.lambda");
}

#[test]
fn what_new_writes_is_sound() {
    let bench = Bench::new();
    bench.call(&["new", "my engine.yaml"]).ends_with(0);
    bench.call(&["check", "my engine.yaml"]).ends_with(0);
    let mine = bench.read("my engine.yaml");
    bench.write("my engine.yaml", format!("# mine\n{mine}"));
    bench
        .call(&["new", "my engine.yaml"])
        .ends_with(2)
        .says("already");
    assert!(bench.read("my engine.yaml").starts_with("# mine"));
    bench.call(&["new"]).ends_with(0);
    bench.call(&["check", "rescue-tender.yaml"]).ends_with(0);
    bench.call(&["new", "my-engine"]).ends_with(2).says(".yaml");
}

#[test]
fn schema_and_completions_print_what_they_promise() {
    let bench = Bench::new();
    let schema = bench.call(&["schema"]).ends_with(0).json();
    assert!(schema["properties"]["engine"].is_object());
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let said = bench.call(&["completions", shell]).ends_with(0);
        said.says("ceiling").says("altitudes");
    }
}

#[test]
fn a_closed_pipe_is_no_error() {
    use std::io::Read as _;
    use std::process::{Command, Stdio};
    let mut child = Command::new(assert_cmd::cargo::cargo_bin!("ringfence"))
        .arg("schema")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // the schema is larger than a pipe holds, so writing meets the closed end
    drop(child.stdout.take());
    let mut err = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut err)
        .unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(0));
    assert_eq!(err, "");
}

/// Just enough room for the run as stated: the draws go past the limit, the
/// status stays 0 and the first line of the verdict warns.
#[test]
fn held_inside_the_band_ends_with_0_and_warns_first() {
    let file = scenario();
    let bench = Bench::new();
    let hold = "procedure=[{hold: {engine_speed: 2000 rpm, duration: 0.1 s}}]";
    let call = ["run", &file, "--set", hold];
    let stated = bench.call(&args(&[&call, &["--json"]])).ends_with(0).json();
    assert!(stated["band"].is_null());
    let shaft = stated["peaks"]["shaft_speed_rpm"].as_f64().unwrap();
    let limit = format!("limits.shaft_speed={} rpm", shaft * 1.0001);
    let close = ["--set", &limit, "--band", "--seed", "3"];
    let said = bench.call(&args(&[&call, &close])).ends_with(0);
    let first = said.out.split("\n\n").nth(1).unwrap_or("");
    assert!(
        first.trim_start().starts_with("Warning: held"),
        "{}",
        said.out
    );
    let json = bench
        .call(&args(&[&call, &close, &["--json"]]))
        .ends_with(0)
        .json();
    assert_eq!(json["verdict"], "held_inside_band");
    assert_eq!(json["band"]["seed"], 3);
}

#[test]
fn a_draw_out_of_range_names_path_and_factor() {
    let (file, bench) = (scenario(), Bench::new());
    let path = "turbine.form.two_throats.peak_efficiency";
    let wide = format!("uncertainty={{{path}: 100 %}}");
    for command in ["run", "ceiling"] {
        let call = [command, &file, "--band", "--set", &wide];
        let said = bench.call(&call).ends_with(2);
        said.says(path).says(" × ").says("smaller spread");
    }
}
