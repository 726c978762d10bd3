//! Maps by themselves: what `check` says and draws, and maps drafted from the
//! sizes of a wheel.
use std::path::Path;

use super::bench::{Bench, scenario};

fn shipped(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("scenarios")
        .join(name);
    path.display().to_string()
}

#[test]
fn sound_maps_have_no_findings() {
    let bench = Bench::new();
    let (compressor, turbine) = (
        shipped("rescue-tender/compressor.csv"),
        shipped("rescue-tender/turbine.csv"),
    );
    let said = bench.call(&["check", &compressor, &turbine]).ends_with(0);
    said.says("compressor map:")
        .says("turbine map:")
        .says("nothing suspicious")
        .says("--out DIR");
    let json = bench
        .call(&["check", &turbine, "--json"])
        .ends_with(0)
        .json();
    assert_eq!(json["kind"], "turbine");
    assert_eq!(json["data"], "invented");
    assert_eq!(json["usable"], true);
    assert_eq!(json["findings"].as_array().unwrap().len(), 0);
    assert_eq!(json["pictures"].as_array().unwrap().len(), 0);
}

#[test]
fn a_bad_map_is_explained_and_drawn() {
    let bench = Bench::new();
    let bad = shipped("maps/bad-compressor.csv");
    let said = bench.call(&["check", &bad, "--out", "p"]).ends_with(1);
    for words in [
        "10 findings",
        "line 34, line at 150000 rpm",
        "map_lines_cross",
        "map_surge_missing",
        "map_surge_order",
        "map_choke_side_rises",
        "map_efficiency_high",
        "map_efficiency_low",
        "map_efficiency_order",
        "map_few_points",
        "map_duplicates",
        "map_reference_odd",
        "What to do:",
        "A run refuses this map",
    ] {
        assert!(
            said.out
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .contains(words),
            "no `{words}` in\n{}",
            said.out
        );
    }
    let svg = bench.read("p/bad-compressor.svg");
    assert!(svg.starts_with("<svg") && svg.contains("speed lines cross or touch"));
    // the signature of the PNG standard (ISO/IEC 15948, 5.2)
    let png = std::fs::read(bench.path("p/bad-compressor.png")).unwrap();
    assert_eq!(png[..8], [137, 80, 78, 71, 13, 10, 26, 10]);
    let json = bench
        .call(&["check", &bad, "--json", "--out", "p"])
        .ends_with(1)
        .json();
    assert_eq!(json["usable"], false);
    assert_eq!(json["pictures"][0], "bad-compressor.svg");
    let findings = json["findings"].as_array().unwrap();
    assert_eq!(findings.len(), 10);
    for finding in findings {
        for key in ["code", "place", "found", "why", "advice"] {
            assert!(!finding[key].as_str().unwrap().is_empty(), "{finding}");
        }
        // each can be explained
        bench
            .call(&["explain", finding["code"].as_str().unwrap()])
            .ends_with(0)
            .says("Why it matters");
    }
    assert!(findings[0]["line"].is_null() && findings[9]["line"] == 38);
    // and no run takes it
    bench.write("rescue-tender/compressor.csv", std::fs::read(&bad).unwrap());
    bench.write("rescue-tender.yaml", std::fs::read(scenario()).unwrap());
    bench
        .call(&["run", "rescue-tender.yaml"])
        .ends_with(2)
        .says("do not cross");
}

#[test]
fn what_cannot_be_read_is_refused() {
    let bench = Bench::new();
    bench
        .call(&["check", "missing.csv"])
        .ends_with(2)
        .says("no such file");
    bench.write("empty.csv", "");
    bench
        .call(&["check", "empty.csv"])
        .ends_with(2)
        .says("hint");
    let turbine = std::fs::read_to_string(shipped("rescue-tender/turbine.csv")).unwrap();
    bench.write(
        "t.csv",
        turbine.replace("efficiency [-]", "efficiency [percent]"),
    );
    let said = bench.call(&["check", "t.csv"]).ends_with(2);
    said.says("t.csv:8")
        .says("the turbine map is not usable: efficiency")
        .says("efficiency [-]");
    // one that is wrong beside one with findings: wrong input is the worse answer
    bench
        .call(&["check", "t.csv", &shipped("maps/bad-compressor.csv")])
        .ends_with(2)
        .says("10 findings");
    let json = bench
        .call(&["check", "t.csv", "--json"])
        .ends_with(2)
        .json();
    assert_eq!(json["error"]["kind"], "input");
    // a folder of others is refused before anything is read
    bench.write("mine/diary.txt", "dear diary");
    bench
        .call(&["check", "t.csv", "--out", "mine"])
        .ends_with(2)
        .says("not from a report");
}

/// A scenario's own maps are looked at with it.
#[test]
fn check_of_a_scenario_looks_at_its_maps() {
    let bench = Bench::new();
    let measured = shipped("measured-turbine.yaml");
    bench.call(&["check", &measured, "--out", "p"]).ends_with(0);
    for name in ["compressor", "turbine"] {
        assert!(
            bench
                .read(&format!("p/measured-turbine-{name}.svg"))
                .contains("invented data")
        );
    }
    let map = std::fs::read_to_string(shipped("rescue-tender/compressor.csv")).unwrap();
    let row = "48614.60, 0.0388683, 1.179356, 0.640507";
    assert!(map.contains(row));
    let worse = map.replace(row, "48614.60, 0.0388683, 1.179356, 0.240507");
    bench.write("rescue-tender/compressor.csv", worse);
    bench.write("rescue-tender.yaml", std::fs::read(scenario()).unwrap());
    let said = bench.call(&["check", "rescue-tender.yaml"]).ends_with(1);
    said.says("rescue-tender/compressor.csv, line 7")
        .says("map_efficiency_low");
    let json = bench
        .call(&["check", "rescue-tender.yaml", "--json"])
        .ends_with(1)
        .json();
    assert_eq!(json["maps"][0]["findings"][0]["code"], "map_efficiency_low");
    assert_eq!(
        json["findings"].as_array().unwrap().len(),
        1,
        "the note stays"
    );
}

#[test]
fn a_wheel_is_drafted_into_a_map() {
    let bench = Bench::new();
    let wheel = shipped("maps/wheel.yaml");
    bench
        .call(&["new", "draft.csv", "--wheel", &wheel])
        .ends_with(0)
        .says("estimate");
    let draft = bench.read("draft.csv");
    for words in [
        "# data: estimated",
        "mean-line model",
        "tip 68 mm",
        "throat 14.2 cm2",
        "not measured",
    ] {
        assert!(draft.contains(words), "no `{words}` in\n{draft}");
    }
    bench
        .call(&["check", "draft.csv"])
        .ends_with(0)
        .says("estimated data");
    // it runs in a scenario
    bench.write("rescue-tender/compressor.csv", &draft);
    bench.write("rescue-tender.yaml", std::fs::read(scenario()).unwrap());
    let hold = "procedure=[{hold: {engine_speed: 2000 rpm, fuel: 90 mg, duration: 2 s}}]";
    bench
        .call(&["run", "rescue-tender.yaml", "--set", hold])
        .ends_with(0);
    // a second time nothing is overwritten
    bench
        .call(&["new", "draft.csv", "--wheel", &wheel])
        .ends_with(2)
        .says("already");
    assert_eq!(bench.read("draft.csv"), draft);
    // a scenario with that wheel gives the same lines
    let sizes = std::fs::read_to_string(&wheel).unwrap();
    let indented: String = sizes
        .lines()
        .filter(|l| !l.starts_with('#'))
        .map(|l| format!("      {l}\n"))
        .collect();
    let own = std::fs::read_to_string(scenario()).unwrap();
    let form = "    speed_lines: rescue-tender/compressor.csv\n  wheel_diameter: 66 mm\n";
    assert!(own.contains(form));
    bench.write(
        "wheel-engine.yaml",
        own.replace(form, &format!("    wheel:\n{indented}")),
    );
    bench
        .call(&["new", "same.csv", "--wheel", "wheel-engine.yaml", "--json"])
        .ends_with(0)
        .json();
    assert_eq!(bench.read("same.csv"), draft);
}

#[test]
fn a_wheel_that_cannot_be_is_refused() {
    let bench = Bench::new();
    let sizes = std::fs::read_to_string(shipped("maps/wheel.yaml")).unwrap();
    bench.write(
        "wheel.yaml",
        sizes
            .replace("throat_area: 14.2 cm2", "throat_area: 42 cm2")
            .replace("blades: 6\nsp", "blades: 60\nsp"),
    );
    let said = bench
        .call(&["new", "d.csv", "--wheel", "wheel.yaml"])
        .ends_with(2);
    said.says("wheel.yaml:11:14")
        .says("the throat is larger than the inducer")
        .says("wheel.yaml:7:9")
        .says("2 errors");
    bench.write(
        "short.yaml",
        sizes.replace("tip_width: 5.4 mm\n", "tip_widht: 5.4 mm\n"),
    );
    let said = bench
        .call(&["new", "d.csv", "--wheel", "short.yaml"])
        .ends_with(2);
    said.says("tip_widht").says("tip_width");
    // sizes that are possible one by one but make no compressor
    bench.write(
        "odd.yaml",
        sizes.replace("tip_width: 5.4 mm", "tip_width: 0.9 mm"),
    );
    bench
        .call(&["new", "d.csv", "--wheel", "odd.yaml"])
        .ends_with(2)
        .says("tip_width");
    bench
        .call(&["new", "d.csv", "--wheel", &scenario()])
        .ends_with(2)
        .says("compressor.form")
        .says("`wheel`");
    bench
        .call(&["new", "d.csv", "--wheel", "missing.yaml"])
        .ends_with(2)
        .says("no such file");
    bench
        .call(&["new", "d.yaml", "--wheel", "wheel.yaml"])
        .ends_with(2)
        .says(".csv");
    bench.call(&["new", "d.csv"]).ends_with(2).says("--wheel");
    assert!(!bench.path("d.csv").exists());
}
