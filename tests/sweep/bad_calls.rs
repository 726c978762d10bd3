//! What is refused before any work.
use super::bench::{Bench, args, scenario};
use super::cases::TINY;

#[track_caller]
fn refused(call: &[&str], words: &[&str]) {
    let (file, bench) = (scenario(), Bench::new());
    let all = args(&[&["sweep", &file], &TINY, call]);
    let said = bench.call(&all).ends_with(2);
    assert_eq!(said.out, "");
    for word in words {
        said.says(word);
    }
    let json = bench.call(&args(&[&all, &["--json"]])).ends_with(2).json();
    assert!(json["error"]["message"].is_string());
    let left = std::fs::read_dir(bench.path("")).unwrap().count();
    assert_eq!(left, 0, "nothing is left behind");
}

#[test]
fn nothing_that_varies() {
    refused(&[], &["--vary"]);
    refused(&["--vary", "ambient.altitude"], &["PATH=VALUES"]);
    refused(&["--vary", "=1,2"], &["PATH=VALUES"]);
}

#[test]
fn a_field_that_is_none_with_the_nearest_names() {
    refused(&["--vary", "altitude=0..1m:2"], &["ambient.altitude"]);
    refused(
        &["--vary", "ambient.altitud=0..1m:2"],
        &["did you mean ambient.altitude"],
    );
    refused(
        &["--vary", "controler.command.full_load=1..2bar abs:2"],
        &["did you mean controller.command.full_load"],
    );
    refused(
        &["--vary", "pull.to=2000..2500rpm:2"],
        &["no field `pull.to`"],
    );
    refused(&["--vary", "extends=a.yaml,b.yaml"], &["no field"]);
    refused(&["--vary", "zzzz=1,2"], &["ringfence explain"]);
}

#[test]
fn values_that_can_never_be_read() {
    refused(
        &["--vary", "ambient.altitude=0..3000kPa:13"],
        &["ambient.altitude", "pressure"],
    );
    refused(&["--vary", "ambient.altitude=0..3000:13"], &["unit"]);
    refused(
        &["--vary", "ambient.altitude=low,high"],
        &["ambient.altitude", "low"],
    );
    refused(
        &["--vary", "sensors.boost.place=nowhere,nohow"],
        &["sensors.boost.place"],
    );
    refused(
        &["--vary", "engine.cylinders=many,few"],
        &["engine.cylinders"],
    );
    refused(
        &["--vary", "compressor.form.speed_lines=a.csv,b.csv"],
        &["a.csv"],
    );
}

#[test]
fn an_empty_grid() {
    for bad in ["0..1m:0", "0..1m:1", "0..1m:-2", "0..1m:x", "", "1 m,,2 m"] {
        let vary = format!("ambient.altitude={bad}");
        refused(&["--vary", &vary], &["FROM..TO:COUNT"]);
    }
    refused(&["--vary", "ambient.altitude=0..1m"], &["how many"]);
}

#[test]
fn the_same_field_twice() {
    let vary = ["--vary", "ambient.altitude=0..1m:2"];
    refused(&args(&[&vary, &vary]), &["twice"]);
}

#[test]
fn far_too_many_cases() {
    let call = [
        "--vary",
        "ambient.altitude=0..3000m:100000",
        "--vary",
        "shaft.inertia=0.8..1kg cm2:10000",
    ];
    refused(&call, &["1000000000 cases", "--draws", "--shard"]);
    refused(&args(&[&call, &["--shard", "1/3"]]), &["1000000000 cases"]);
    refused(&args(&[&call, &["--draws", "100000"]]), &["65536"]);
}

#[test]
fn parts_that_are_none() {
    let vary = ["--vary", "ambient.altitude=0..1m:2"];
    for bad in ["0/2", "3/2", "1", "a/b", "1/0", "-1/2"] {
        let shard = format!("--shard={bad}");
        refused(&args(&[&vary, &[&shard]]), &["I/N"]);
    }
    refused(&args(&[&vary, &["--shard", "1/3"]]), &["empty"]);
    refused(&args(&[&vary, &["--seed", "2"]]), &["--draws"]);
    refused(&args(&[&vary, &["--draws", "0"]]), &["--draws"]);
}

#[test]
fn a_place_where_nothing_can_be_written() {
    let vary = ["--vary", "ambient.altitude=0..1m:2"];
    refused(
        &args(&[&vary, &["--out", "no/such/folder.csv"]]),
        &["no such folder"],
    );
    // not even the owner of the machine writes there
    #[cfg(target_os = "linux")]
    for out in ["/proc/a.csv", "/proc/a.jsonl", "/proc/folder"] {
        refused(
            &args(&[&vary, &["--out", out]]),
            &["nothing can be written there"],
        );
    }
    let (file, bench) = (scenario(), Bench::new());
    bench.write("folder.csv/other", "");
    let call = args(&[&["sweep", &file], &vary, &["--out", "folder.csv"]]);
    bench.call(&call).ends_with(2).says("a folder stands where");
}
