//! Limits that are exceeded, many at once too.
use crate::drive::{Driven, drive};
use ringfence::report::{Weight, names};

/// Limits that full load is past from the beginning.
const LOW: [(&str, &str); 8] = [
    ("limits.shaft_speed", "60000 rpm"),
    ("limits.tip_speed", "200 m/s"),
    ("limits.drive_pressure", "120 kPa abs"),
    ("limits.drive_to_boost", "0.5"),
    ("limits.turbine_inlet", "300 degC"),
    ("limits.compressor_outlet", "60 degC"),
    ("limits.cylinder_pressure", "5 MPa abs"),
    ("limits.lambda", "4"),
];

/// What is said of broken limits, in one line.
fn broken(run: &Driven) -> String {
    (run.si.iter())
        .filter(|m| m.weight == Weight::Broken)
        .map(|m| m.text.to_lowercase() + " ")
        .collect()
}

#[test]
fn every_one_of_many_exceeded_limits_is_told() {
    let run = drive("rescue-tender", &LOW);
    let gone: Vec<_> = run.result.limits.iter().filter(|l| !l.held).collect();
    assert_eq!(gone.len(), LOW.len());
    let firsts: Vec<f64> = gone.iter().filter_map(|l| l.first_exceeded_s).collect();
    assert!(firsts.iter().all(|s| *s < 0.5), "{firsts:?}");
    let told = broken(&run);
    for limit in gone {
        let label = names::limit_label(&limit.name);
        let way = if limit.lower { "falls below" } else { "passes" };
        assert!(
            told.contains(&format!("{label} {way} ")),
            "{label} in {told}"
        );
    }
    // how far each goes stands behind those that it is told with
    let moments = run.si.iter().filter(|m| m.weight == Weight::Broken);
    assert_eq!(
        told.matches("at worst: ").count(),
        moments.count(),
        "{told}"
    );
    let krpm = run.result.peaks.shaft_speed_rpm / 1000.0;
    assert!(told.contains(&format!("{krpm:.1} krpm")), "{told}");
}
