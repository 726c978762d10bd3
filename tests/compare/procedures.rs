//! Which procedure is driven, and what is said of the others.
use super::*;

#[test]
fn the_procedure_of_the_first_is_driven_on_all() {
    let (pull, shift) = (scenario("rescue-tender"), scenario("shift"));
    let bench = Bench::new();
    let json = compare(&bench, &[&pull, &shift], &["--json"])
        .ends_with(0)
        .json();
    assert_eq!(json["procedure"], "pull");
    let second = &json["scenarios"][1];
    assert_eq!(second["result"]["procedure"], "pull");
    assert_eq!(second["own_procedure"], "shift");
    assert_eq!(second["procedure_differs"], true);
    assert_eq!(json["scenarios"][0]["procedure_differs"], false);
    // shift.yaml differs from rescue-tender.yaml by its procedure alone
    for d in json["differences"].as_array().expect("a list") {
        assert_eq!(d["base"], d["value"], "{d}");
    }
    compare(&bench, &[&pull, &shift], &[])
        .ends_with(0)
        .says("B differs nowhere from A")
        .says("the own procedure of B (shift).");
    let turned = compare(&bench, &[&shift, &pull], &["--json"]).json();
    assert_eq!(turned["procedure"], "shift");
    assert_eq!(turned["scenarios"][1]["result"]["procedure"], "shift");
}

#[test]
fn each_keeps_its_own_procedure_and_no_time_is_compared() {
    let (pull, shift) = (scenario("rescue-tender"), scenario("shift"));
    let bench = Bench::new();
    let own = ["--own-procedure", "--json"];
    let json = compare(&bench, &[&pull, &shift], &own).ends_with(0).json();
    assert!(json["procedure"].is_null());
    assert_eq!(json["scenarios"][0]["result"]["procedure"], "pull");
    assert_eq!(json["scenarios"][1]["result"]["procedure"], "shift");
    let kinds: Vec<&Value> = json["differences"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|d| &d["kind"])
        .collect();
    assert!(kinds.iter().any(|kind| *kind == "peak"));
    assert!(!kinds.iter().any(|kind| *kind == "time"), "{kinds:?}");
    let said = compare(&bench, &[&pull, &shift], &["--own-procedure"]).ends_with(0);
    said.says("Times of different procedures are not compared");
    assert!(!said.out.contains(" later,") && !said.out.contains(" sooner,"));
}

#[test]
fn without_full_load_there_is_no_time() {
    let file = scenario("rescue-tender");
    let hold = [
        "--set",
        "procedure=[{hold: {engine_speed: 2000 rpm, fuel: 90 mg, duration: 1 s}}]",
        "--json",
    ];
    let json = compare(&Bench::new(), &[&file, &file], &hold).json();
    assert!(json["scenarios"][0]["time_to_boost_s"].is_null());
    assert!(json["boost_target_kpa_abs"].is_number());
}

#[test]
fn a_procedure_that_does_not_fit_is_refused_for_that_scenario() {
    let file = scenario("rescue-tender");
    let bench = Bench::new();
    // a slower engine: its tables end below the pull of the first
    let slow = "extends: rescue-tender.yaml\nabout: {title: slow, data: invented}\nfuel:\n  full_load:\n    engine_speed: [800 rpm, 1200 rpm, 1500 rpm, 1800 rpm, 2000 rpm, 2200 rpm]\nprocedure:\n  - hold: {engine_speed: 1500 rpm, duration: 1 s}\nceiling: {engine_speeds: [1600 rpm]}\n";
    bench.call(&["new", "rescue-tender.yaml"]).ends_with(0);
    bench.write("slow.yaml", slow);
    let said = compare(&bench, &[&file, "slow.yaml"], &[]).ends_with(2);
    said.says("outside the full-load table")
        .says("from 800 rpm to 2200 rpm")
        .says("--own-procedure")
        .says("A holds every limit");
    let own = compare(&bench, &[&file, "slow.yaml"], &["--own-procedure"]);
    assert!(own.code < 2, "{}{}", own.out, own.err);
    // a road leads over altitudes; a bench at a given pressure does not
    let air =
        "ambient:\n  pressure: 96 kPa abs\n  temperature: 20 degC\n  relative_humidity: 40 %\n";
    let given = bench.read("rescue-tender.yaml");
    let from = given.find("ambient:").expect("the section");
    let to = given.find("\nengine:").expect("the next section");
    let (before, after) = (&given[..from], &given[to..]);
    let after = after.replace("  altitudes: [400 m, 2600 m]\n", "");
    bench.write("bench.yaml", format!("{before}{air}{after}"));
    bench.call(&["check", "bench.yaml"]).ends_with(0);
    let climb = scenario("climb");
    compare(&bench, &[&climb, "bench.yaml"], &[])
        .ends_with(2)
        .says("leads over altitudes");
}
