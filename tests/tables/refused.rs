//! What is no call for tables, and what has no answer.
use crate::bench::{Bench, args, scenario};

/// A call that ends with 2 and says each of some words.
#[track_caller]
fn refused(more: &[&str], words: &[&str]) {
    let file = scenario();
    let said = Bench::new()
        .call(&args(&[&["tables", &file], more]))
        .ends_with(2);
    assert_eq!(said.out, "");
    for word in words {
        said.says(word);
    }
}

#[test]
fn axes_that_are_none() {
    refused(&["--speeds", "1600"], &["--speeds"]);
    refused(&["--speeds", "1600rpm"], &["two points"]);
    refused(&["--speeds", "2000rpm,1600rpm"], &["above the one before"]);
    refused(&["--speeds=-1rpm,1600rpm"], &["below nothing"]);
    refused(&["--speeds", "800rpm..2800rpm:41"], &["at most 40"]);
    refused(&["--fuels", "0mg"], &["two points"]);
    refused(&["--fuels", "0mg,60rpm"], &["--fuels"]);
    refused(&["--fuels", "120mg,130mg"], &["full-load fuel"]);
}

#[test]
fn places_that_are_none() {
    refused(&["--altitudes", "20000m"], &["altitudes"]);
    refused(&["--altitudes", "400"], &["--altitudes"]);
    refused(&["--temperatures", "20 rpm"], &["--temperatures"]);
    refused(&["--temperatures", "500K"], &["60 K"]);
    refused(
        &[
            "--altitudes",
            "0m..2600m:10",
            "--temperatures",
            "0K,10K,20K",
        ],
        &["at most 24"],
    );
    refused(
        &[
            "--temperatures",
            "0K,20K",
            "--set",
            "ambient={pressure: 96 kPa abs, temperature: 290 K}",
            "--set",
            "ceiling.altitudes=null",
        ],
        &["count from the standard atmosphere"],
    );
}

#[test]
fn reserves_that_are_none() {
    refused(&["--reserve", "3"], &["--reserve"]);
    refused(&["--reserve=-1 %"], &["out of range"]);
    refused(&["--reserve", "60 %"], &["0 % to 50 %"]);
    refused(
        &["--reserve", "3 %, speed=2 %"],
        &["names no limit", "shaft_speed"],
    );
    refused(&["--reserve", "3 %, 2 %"], &["without its limit"]);
}

#[test]
fn scenarios_without_a_command_of_their_own() {
    refused(
        &["--set", "open_loop={vanes: {closed: 30 %}}"],
        &["open loop"],
    );
    let gauge =
        "controller.command.boost=[[0 kPa gauge, 20 kPa gauge], [0 kPa gauge, 90 kPa gauge]]";
    refused(
        &[
            "--set",
            "controller.command.engine_speed=[800 rpm, 2800 rpm]",
            "--set",
            "controller.command.fuel=[0 mg, 130 mg]",
            "--set",
            gauge,
        ],
        &["gauge pressure"],
    );
    let published = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/validation/published/diesel_benchmark.yaml"
    );
    let said = Bench::new().call(&["tables", published]);
    said.ends_with(2);
}

/// A limit that nothing holds: no table is called proved, and none is silently
/// given.
#[test]
fn where_nothing_holds_it_says_so() {
    let file = scenario();
    let hopeless = [
        "--speeds",
        "1800rpm,2200rpm",
        "--altitudes",
        "400m",
        "--set",
        "ceiling.transients.afterwards=1 s",
        "--set",
        "limits.turbine_inlet=320 degC",
    ];
    let bench = Bench::new();
    let said = bench
        .call(&args(&[&["tables", &file], &hopeless]))
        .ends_with(1);
    said.says("Not proved: no command holds")
        .says("Do not use these tables");
    let json = bench
        .call(&args(&[&["tables", &file, "--json"], &hopeless]))
        .ends_with(1)
        .json();
    assert!(json["full_load"][0]["command_kpa_abs"].is_null());
    assert_eq!(json["proof"]["verdict"], "exceeded");
}
