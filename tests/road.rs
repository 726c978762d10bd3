//! Climbs and recorded courses as they run: balances, altitude, gear changes.
use ringfence::judgement::{RunResult, StopKind, Verdict};
use ringfence::scenario::build::Setup;
use ringfence::scenario::load;
use ringfence::study::progress::Silent;
use ringfence::study::road::ceiling_along;
use ringfence::study::single::{SingleRun, single};
use std::path::Path;

#[path = "common/proof.rs"]
mod proof;

fn setup(path: &str, overrides: &[(&str, &str)]) -> (ringfence::scenario::Scenario, Setup) {
    let full = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let owned: Vec<_> = overrides
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    let scenario = load(&full, &owned, None)
        .unwrap_or_else(|errors| panic!("{path}: {errors}"))
        .scenario;
    let setup = Setup::new(&scenario).expect("it builds");
    (scenario, setup)
}

fn driven(overrides: &[(&str, &str)]) -> SingleRun {
    let (_, setup) = setup("scenarios/climb.yaml", overrides);
    single(&setup).expect("it starts")
}

const SHORT: (&str, &str) = ("procedure.0.climb.until", "{duration: 60 s}");

/// The work of the crankshaft, from the plant's own ledger, against what the
/// vehicle did with it: two quadratures that know nothing of each other.
#[test]
fn the_crankshafts_work_is_found_again_on_the_road() {
    let run = driven(&[SHORT]);
    let work = run.result.road.expect("a road").work;
    assert!(work.crankshaft_kj > 1e4 && work.potential_kj > 5e3);
    proof::row("climb-energy").reached(work.residual.abs());
}

/// Pressure and temperature at the altitude of each row against the formula of
/// ISO 2533:1975, clause 2.4, written out here: p = 101325 (1 − 0.0065 h/288.15)^5.25588.
#[test]
fn the_ambient_follows_the_road() {
    let run = driven(&[SHORT]);
    let mut worst: f64 = 0.0;
    for s in &run.samples {
        let h = s.altitude_m.expect("on a road");
        let kpa = 101.325 * (1.0 - 0.0065 * h / 288.15_f64).powf(5.255_88);
        worst = worst.max((s.ambient_kpa_abs / kpa - 1.0).abs());
        let k = 288.15 - 0.0065 * h + 15.0;
        assert!((s.ambient_k - k).abs() < 1e-6, "{h}: {}", s.ambient_k);
    }
    let rise = run.samples.last().and_then(|s| s.altitude_m).expect("one") - 400.0;
    assert!(rise > 80.0, "{rise}");
    proof::row("climb-ambient").reached(worst);
}

/// In a torque cut no fuel is given, and neither the turbocharger nor the road
/// speed jumps.
#[test]
fn a_gear_change_keeps_the_turbocharger_spinning() {
    let run = driven(&[SHORT]);
    let cut: Vec<_> = run.samples.iter().filter(|s| s.gear == Some(0)).collect();
    assert_eq!(cut.len(), 80, "two changes of 0.4 s");
    assert!(cut.iter().all(|s| s.fuel_mg_per_injection == 0.0));
    for pair in run.samples.windows(2) {
        // the compressor takes its 60 kW out of the shaft's 10 kJ: 3 % of the speed in a tick
        let step = (pair[1].shaft_speed_rpm / pair[0].shaft_speed_rpm - 1.0).abs();
        assert!(step < 0.04, "{step} at {}", pair[1].time_s);
        if pair[0].gear == pair[1].gear {
            let step = (pair[1].engine_speed_rpm - pair[0].engine_speed_rpm).abs();
            assert!(step < 60.0, "{step} at {}", pair[1].time_s);
        }
    }
    let gears: Vec<_> = run.samples.iter().filter_map(|s| s.gear).collect();
    assert_eq!((gears[0], gears[gears.len() - 1]), (3, 5));
}

#[test]
fn the_plants_balances_close_on_a_climb() {
    let balance = driven(&[SHORT]).result.balance;
    for residual in [
        balance.mass_residual,
        balance.energy_residual.expect("known"),
        balance.burned_residual,
    ] {
        assert!(residual.abs() < 1e-6, "{balance:?}");
    }
}

/// The whole climb, with its ceilings: they fall, and at the top fuel is taken
/// out.
#[test]
fn the_ceiling_falls_along_the_road_and_the_fuel_with_it() {
    let (scenario, setup) = setup("scenarios/climb.yaml", &[]);
    let mut run = single(&setup).expect("it starts");
    ceiling_along(&scenario, &setup, &mut run, &Silent).expect("standard air");
    let result: &RunResult = &run.result;
    assert_eq!(result.why_stopped.kind, StopKind::Finished);
    let road = result.road.as_ref().expect("a road");
    assert!((road.climbed_m - 2200.0).abs() < 0.1);
    let ceilings: Vec<f64> = road
        .cells
        .iter()
        .map(|cell| cell.ceiling_kpa_abs.expect("a ceiling"))
        .collect();
    assert_eq!(ceilings.len(), 5);
    assert!(
        ceilings.windows(2).all(|pair| pair[1] < pair[0]),
        "{ceilings:?}"
    );
    assert_eq!(road.cells[0].fuel_scale, 1.0);
    assert!(road.cells[4].fuel_scale < 1.0);
    assert_eq!(road.command_above_ceiling_from_m, None);
    assert_eq!(result.verdict, Verdict::Held);
}

#[test]
fn a_load_too_heavy_for_the_road_ends_outside_validity() {
    let heavy = [
        ("procedure.0.climb.vehicle.mass", "60000 kg"),
        ("procedure.0.climb.until", "{duration: 120 s}"),
        ("limits", "{lambda: 1.0}"),
    ];
    let result = driven(&heavy).result;
    assert_eq!(
        result.verdict,
        Verdict::OutsideValidity,
        "{:?}",
        result.why_stopped
    );
    assert_eq!(result.why_stopped.quantity.as_deref(), Some("engine_speed"));
}

/// A pull written down as a recording and played back is the pull.
#[test]
fn a_pull_played_back_is_the_pull() {
    let (_, pull) = setup("scenarios/rescue-tender.yaml", &[]);
    let driven = single(&pull).expect("it starts").result;
    let folder = tempfile::tempdir().expect("a folder");
    let shipped = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let copy = |name: &str| {
        let to = folder.path().join(name);
        std::fs::create_dir_all(to.parent().expect("a folder")).expect("made");
        std::fs::copy(shipped.join(name), to).expect("copied");
    };
    copy("rescue-tender.yaml");
    copy("rescue-tender/compressor.csv");
    // at every speed more fuel than the full-load table gives is full fuel
    let csv = "# data: invented\ntime [s], engine_speed [rpm], fuel [mg]\n\
               0, 1600, 200\n8, 2700, 200\n11, 2700, 200\n";
    std::fs::write(folder.path().join("pull.csv"), csv).expect("written");
    let yaml = "extends: rescue-tender.yaml\nprocedure:\n  - playback: {file: pull.csv}\n";
    let path = folder.path().join("pull.yaml");
    std::fs::write(&path, yaml).expect("written");
    let scenario = load(&path, &[], None).expect("it loads").scenario;
    let played = single(&Setup::new(&scenario).expect("it builds"))
        .expect("it starts")
        .result;
    let mut row = proof::row("playback-pull");
    for (what, a, b) in [
        (
            "shaft speed",
            driven.peaks.shaft_speed_rpm,
            played.peaks.shaft_speed_rpm,
        ),
        (
            "boost",
            driven.peaks.boost_kpa_abs,
            played.peaks.boost_kpa_abs,
        ),
        (
            "drive",
            driven.peaks.drive_pressure_kpa_abs,
            played.peaks.drive_pressure_kpa_abs,
        ),
        ("torque", driven.peaks.torque_nm, played.peaks.torque_nm),
        (
            "inlet",
            driven.peaks.turbine_inlet_k,
            played.peaks.turbine_inlet_k,
        ),
    ] {
        row.see((b / a - 1.0).abs(), &what);
    }
    row.done();
}

/// The one shipped scenario that leaves the model does so before any limit, and
/// the others do not.
#[test]
fn only_one_shipped_scenario_leaves_the_model() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    for entry in std::fs::read_dir(folder).expect("the folder") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|ending| ending != "yaml") {
            continue;
        }
        let name = path
            .file_name()
            .and_then(|n| n.to_str())
            .expect("plain")
            .to_owned();
        let short: &[(&str, &str)] = if name == "climb.yaml" { &[SHORT] } else { &[] };
        let (_, setup) = setup(&format!("scenarios/{name}"), short);
        let result = single(&setup).expect("it starts").result;
        let beyond = result.why_stopped.kind != StopKind::Finished;
        assert_eq!(
            beyond,
            name == "beyond-the-model.yaml",
            "{name}: {:?}",
            result.why_stopped
        );
        if beyond {
            assert_eq!(result.verdict, Verdict::OutsideValidity);
            assert!(result.why_stopped.text.contains("drive to boost"));
        }
    }
}
