//! What goes into report folders, and what keeps out.
use super::bench::{Bench, ONE_CELL, SHORT, args, scenario};

fn names(bench: &Bench, folder: &str) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(bench.path(folder))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_run_writes_result_trace_verdict_and_pictures() {
    let file = scenario();
    let bench = Bench::new();
    let said = bench
        .call(&args(&[
            &["run", &file, "--out", "deep/report", "--json"],
            &SHORT,
        ]))
        .ends_with(0);
    assert_eq!(
        names(&bench, "deep/report"),
        [
            "CONTENTS.txt",
            "ladder.svg",
            "lid.svg",
            "map.svg",
            "report.html",
            "result.json",
            "strips.svg",
            "trace.csv",
            "verdict.txt"
        ]
    );
    let written: serde_json::Value =
        serde_json::from_str(&bench.read("deep/report/result.json")).unwrap();
    assert_eq!(written, said.json());
    let trace = bench.read("deep/report/trace.csv");
    assert_eq!(
        trace.lines().next().unwrap(),
        "time_s,engine_speed_rpm,gear,altitude_m,ambient_kpa_abs,fuel_mg_per_injection,\
         boost_command_kpa_abs,boost_true_kpa_abs,boost_sensed_kpa_abs,vane_command_pct,\
         vane_closed_pct,drive_pressure_kpa_abs,shaft_speed_rpm,compressor_flow_kg_s,\
         compressor_pressure_ratio,compressor_efficiency,compressor_outlet_k,\
         turbine_expansion_ratio,turbine_efficiency,turbine_inlet_k,intake_k,lambda,\
         cylinder_pressure_kpa_abs,torque_nm,power_kw,surge_margin_pct,compressor_extrapolated,\
         turbine_extrapolated,active_protections"
    );
    assert!(bench.read("deep/report/verdict.txt").contains("Cautions"));
    assert!(bench.read("deep/report/lid.svg").starts_with("<svg"));
}

#[test]
fn png_pictures_come_on_request() {
    let file = scenario();
    let bench = Bench::new();
    bench
        .call(&args(&[
            &["ceiling", &file, "--out", "c", "--png"],
            &ONE_CELL,
        ]))
        .ends_with(0);
    assert_eq!(
        names(&bench, "c"),
        [
            "CONTENTS.txt",
            "ceiling.csv",
            "ceiling.json",
            "ceiling.png",
            "ceiling.svg",
            "report.html",
            "verdict.txt"
        ]
    );
    // the signature of the PNG standard (ISO/IEC 15948, 5.2)
    let png = std::fs::read(bench.path("c/ceiling.png")).unwrap();
    assert_eq!(png[..8], [137, 80, 78, 71, 13, 10, 26, 10]);
    let table = bench.read("c/ceiling.csv");
    assert!(table.starts_with("engine_speed_rpm,altitude_m,"));
    assert_eq!(table.lines().count(), 2);
}

#[test]
fn several_scenarios_get_a_folder_each() {
    let file = scenario();
    let bench = Bench::new();
    bench
        .call(&args(&[&["run", &file, &file, "--out", "all"], &SHORT]))
        .ends_with(0);
    assert_eq!(names(&bench, "all"), ["rescue-tender", "rescue-tender-2"]);
    assert!(bench.path("all/rescue-tender-2/result.json").is_file());
}

#[test]
fn folders_of_others_are_left_alone() {
    let file = scenario();
    let bench = Bench::new();
    bench.write("mine/diary.txt", "dear diary");
    bench.write("file", "not a folder");
    for out in ["mine", "file", "file/below"] {
        let said = bench
            .call(&args(&[&["run", &file, "--out", out], &SHORT]))
            .ends_with(2);
        assert_eq!(said.out, "", "{out}: refused before any work");
        said.says("hint");
        bench.call(&["--out", out]).ends_with(2);
    }
    assert_eq!(names(&bench, "mine"), ["diary.txt"]);
}

#[test]
fn a_folder_of_ours_is_written_again() {
    let file = scenario();
    let bench = Bench::new();
    let call = args(&[&["run", &file, "--out", "r"], &SHORT]);
    bench.call(&call).ends_with(0);
    bench.write("r/verdict.txt", "old");
    bench.call(&call).ends_with(0);
    assert!(bench.read("r/verdict.txt").contains("Every limit held"));
}

#[test]
fn a_failed_call_leaves_no_folder_behind() {
    let file = scenario();
    let bench = Bench::new();
    bench
        .call(&["run", &file, "--out", "r", "--set", "engine.cylinders=0"])
        .ends_with(2);
    assert!(!bench.path("r").exists());
}
