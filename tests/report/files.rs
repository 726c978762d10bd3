//! The trace, the names and the report folder.
use crate::made_up;
use ringfence::report::*;

#[test]
fn the_trace_has_the_columns_of_the_contract() {
    let mut samples = made_up::runaway();
    samples.truncate(3);
    samples[1].boost_command_kpa_abs = None;
    samples[1].gear = Some(4);
    samples[2].active_protections = 0b10_0001;
    samples[2].lambda = f64::INFINITY;
    let text = trace_csv(&samples);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(
        lines[0],
        "time_s,engine_speed_rpm,gear,altitude_m,ambient_kpa_abs,fuel_mg_per_injection,\
         boost_command_kpa_abs,boost_true_kpa_abs,boost_sensed_kpa_abs,vane_command_pct,\
         vane_closed_pct,drive_pressure_kpa_abs,shaft_speed_rpm,compressor_flow_kg_s,\
         compressor_pressure_ratio,compressor_efficiency,compressor_outlet_k,\
         turbine_expansion_ratio,turbine_efficiency,turbine_inlet_k,intake_k,lambda,\
         cylinder_pressure_kpa_abs,torque_nm,power_kw,surge_margin_pct,\
         compressor_extrapolated,turbine_extrapolated,active_protections"
    );
    assert_eq!(lines.len(), 4);
    let field = |row: usize, column: usize| lines[row].split(',').nth(column).expect("a field");
    assert_eq!(
        (field(1, 0), field(2, 0), field(2, 1)),
        ("0.0000", "0.0100", "1301.75")
    );
    assert_eq!((field(1, 2), field(2, 2)), ("", "4"));
    assert_eq!((field(1, 6), field(2, 6)), ("190.000", ""));
    assert_eq!(field(3, 21), "");
    assert_eq!(field(3, 28), "command_clamp+over_boost");
}

#[test]
fn every_name_is_distinct_and_short() {
    for names in [&names::LIMITS[..], &names::PROTECTIONS[..]] {
        for (index, name) in names.iter().enumerate() {
            assert!(name.label.chars().count() <= 20 && !name.meaning.is_empty());
            for other in &names[..index] {
                assert!(
                    name.key != other.key && name.code != other.code && name.label != other.label
                );
            }
        }
    }
    for key in ringfence::simulation::PROTECTIONS {
        assert!(names::protection(key).is_some(), "{key}");
    }
}

#[test]
fn a_folder_is_written_whole_and_refuses_to_leave() {
    let dir = tempfile::tempdir().expect("a folder");
    let target = dir.path().join("a/b");
    let files = [
        ("one.txt".to_owned(), b"1".to_vec()),
        ("two.svg".to_owned(), b"2".to_vec()),
    ];
    ReportFolder::write(&target, &files).expect("written");
    ReportFolder::write(&target, &[("one.txt".to_owned(), b"new".to_vec())])
        .expect("written again");
    assert_eq!(std::fs::read(target.join("one.txt")).expect("one"), b"new");
    assert_eq!(std::fs::read_dir(&target).expect("the folder").count(), 2);
    for name in ["../out.txt", "a/b.txt", "..", "", "/tmp/x"] {
        let good = ("three.txt".to_owned(), b"3".to_vec());
        let bad = (name.to_owned(), b"4".to_vec());
        assert!(
            matches!(
                ReportFolder::write(&target, &[good, bad]),
                Err(FolderError::Name { .. })
            ),
            "{name:?}"
        );
    }
    assert!(!target.join("three.txt").exists());
}
