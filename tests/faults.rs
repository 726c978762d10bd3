//! What faults do to the readings and to the turbocharger.
//!
//! Signs and orders follow from the balances (any turbocharging text, e.g.
//! Watson & Janota 1982, ch. 13 on matching): a leak after the compressor makes
//! it work for more flow than the engine gets, at the same pressure. The demo's
//! data is invented, so that no figure is claimed.
use ringfence::gas::nozzle::flow_function;
use ringfence::scenario::{self, build::Setup};
use ringfence::simulation::Sample;
use ringfence::study::single::{SingleRun, single};
use std::path::Path;

#[path = "common/proof.rs"]
mod proof;

fn run(sets: &[(&str, &str)]) -> SingleRun {
    let sets: Vec<(String, String)> = sets
        .iter()
        .map(|(p, v)| ((*p).to_string(), (*v).to_string()))
        .collect();
    let path = Path::new("scenarios/rescue-tender.yaml");
    let loaded = scenario::load(path, &sets, None).unwrap_or_else(|e| panic!("{e}"));
    let setup = Setup::new(&loaded.scenario).expect("builds");
    single(&setup).expect("starts")
}

const HOLD: (&str, &str) = (
    "procedure",
    "[{hold: {engine_speed: 2200 rpm, duration: 24 s}}]",
);

fn at(run: &SingleRun, time_s: f64) -> &Sample {
    let i = run.samples.partition_point(|s| s.time_s < time_s - 1e-6);
    &run.samples[i]
}

fn last(run: &SingleRun) -> &Sample {
    run.samples.last().expect("samples")
}

#[test]
fn a_boost_leak_speeds_the_shaft_up_while_the_reading_stays_normal() {
    let sound = run(&[HOLD]);
    let leak = run(&[
        HOLD,
        ("faults", "[{boost_leak: {area: 120 mm2, onset: 12 s}}]"),
    ]);
    assert_eq!(at(&sound, 11.9), at(&leak, 11.9), "before the onset");
    let (before, after) = (at(&leak, 11.9), last(&leak));
    assert!((after.boost_sensed_kpa_abs - before.boost_sensed_kpa_abs).abs() < 3.0);
    proof::row("leak-shaft").reached(after.shaft_speed_rpm / before.shaft_speed_rpm - 1.0);
    assert!(after.vane_closed_pct > before.vane_closed_pct);
}

/// The leak's flow is that of a choked opening: Shapiro (1953) ch. 4, the flow
/// function of tests/data/reference/c_flow_function.csv.
#[test]
fn the_leak_is_the_flow_that_the_engine_does_not_get() {
    let leak = run(&[HOLD, ("faults", "[{boost_leak: {area: 120 mm2}}]")]);
    let s = last(&leak);
    let burning = s.fuel_mg_per_injection * 1e-6 * 6.0 * 2200.0 / 120.0;
    let engine = s.turbine_flow_kg_s - burning;
    let lost = s.compressor_flow_kg_s - engine;
    let ratio = s.ambient_kpa_abs / s.boost_true_kpa_abs;
    let gamma = 1.399;
    let choked = flow_function(ratio, gamma) * 120e-6 * s.boost_true_kpa_abs * 1e3
        / (288.0 * s.intake_k).sqrt();
    // 0.5 %: gamma and the gas constant of humid air are rounded here
    proof::row("leak-flow").reached((lost / choked - 1.0).abs());
}

#[test]
fn balances_close_with_leaks_on_both_sides() {
    let leaks = "[{boost_leak: {area: 200 mm2, onset: 2 s}}, \
                  {exhaust_leak: {area: 100 mm2, onset: 4 s}}]";
    let b = run(&[HOLD, ("faults", leaks)]).result.balance;
    let mut proof = proof::row("leak-balance");
    proof.see(b.mass_residual.abs(), &"mass");
    proof.see(b.energy_residual.expect("closes").abs(), &"energy");
    proof.see(b.burned_residual.abs(), &"burned gas");
    proof.done();
}

#[test]
fn an_exhaust_leak_closes_the_vanes() {
    let leak = run(&[
        HOLD,
        ("faults", "[{exhaust_leak: {area: 120 mm2, onset: 12 s}}]"),
    ]);
    assert!(last(&leak).vane_closed_pct > at(&leak, 11.9).vane_closed_pct + 1.0);
}

#[test]
fn a_blocked_filter_speeds_the_shaft_up() {
    let blocked = run(&[
        HOLD,
        ("faults", "[{blocked_filter: {factor: 4, onset: 12 s}}]"),
    ]);
    let (before, after) = (at(&blocked, 11.9), last(&blocked));
    assert!(after.compressor_inlet_kpa_abs < before.compressor_inlet_kpa_abs - 2.0);
    assert!(after.shaft_speed_rpm > before.shaft_speed_rpm);
}

#[test]
fn a_blocked_cooler_raises_the_pressure_before_it() {
    let blocked = run(&[
        HOLD,
        ("faults", "[{blocked_cooler: {factor: 3, onset: 12 s}}]"),
    ]);
    let over = |s: &Sample| s.compressor_outlet_kpa_abs - s.boost_true_kpa_abs;
    // the loss goes with the factor and the square of the flow
    let flow = last(&blocked).compressor_flow_kg_s / at(&blocked, 11.9).compressor_flow_kg_s;
    let wanted = 3.0 * flow * flow;
    assert!((over(last(&blocked)) / over(at(&blocked, 11.9)) / wanted - 1.0).abs() < 0.02);
}

#[test]
fn sticking_vanes_stay_whatever_is_ordered() {
    let stuck = run(&[("faults", "[{sticking_vanes: {onset: 3 s}}]")]);
    let there = at(&stuck, 3.0).vane_closed_pct;
    assert_eq!(last(&stuck).vane_closed_pct, there);
    assert!((last(&stuck).vane_command_pct - there).abs() > 1.0);
}

#[test]
fn a_frozen_boost_reading_is_detected_where_it_is_watched() {
    let watch = (
        "controller.protections.frozen_sensor",
        "{for: 0.5 s, vanes: 10 %, fuel: 60 %}",
    );
    let frozen = ("faults", "[{boost_sensor: {fault: frozen, onset: 1 s}}]");
    let watched = run(&[frozen, watch]);
    let acted = watched
        .result
        .protections
        .iter()
        .find(|p| p.name == "frozen_sensor")
        .and_then(|p| p.first_s)
        .expect("it acts");
    assert!((1.5..3.0).contains(&acted), "{acted}");
    let sound = run(&[watch]);
    let sound = sound
        .result
        .protections
        .iter()
        .find(|p| p.name == "frozen_sensor");
    assert_eq!(sound.and_then(|p| p.first_s), None);
}

#[test]
fn a_reading_that_drifts_low_takes_true_boost_up() {
    let drift = run(&[
        HOLD,
        (
            "faults",
            "[{boost_sensor: {fault: {drift: -1 kPa/s}, onset: 12 s}}]",
        ),
    ]);
    let rise = last(&drift).boost_true_kpa_abs - at(&drift, 11.9).boost_true_kpa_abs;
    // 1 kPa/s over 12 s, less what the slow loop lags behind
    assert!((6.0..12.0).contains(&rise), "{rise}");
}

#[test]
fn a_stuck_reading_and_a_slow_one_do_what_they_say() {
    let stuck = run(&[
        HOLD,
        (
            "faults",
            "[{boost_sensor: {fault: {stuck_at: 150 kPa abs}, onset: 2 s}}]",
        ),
    ]);
    assert_eq!(last(&stuck).boost_sensed_kpa_abs, 150.0);
    assert_eq!(
        stuck.result.peaks.boost_sensed_kpa_abs,
        at(&stuck, 1.9).boost_sensed_kpa_abs.max(
            stuck
                .samples
                .iter()
                .map(|s| s.boost_sensed_kpa_abs)
                .fold(0.0, f64::max)
        )
    );
    let slow = run(&[("faults", "[{boost_sensor: {fault: {lag: 1 s}}}]")]);
    let behind = |r: &SingleRun| {
        let s = at(r, 1.5);
        s.boost_true_kpa_abs - s.boost_sensed_kpa_abs
    };
    assert!(behind(&slow) > behind(&run(&[])) + 5.0);
}

/// A shipped case: the leak overspeeds the shaft on the pass road, the reading
/// keeps to its command and no protection stirs.
#[test]
fn the_shipped_leak_overspeeds_with_normal_readings() {
    let loaded = scenario::load(Path::new("scenarios/boost-leak.yaml"), &[], None).expect("loads");
    let leak = single(&Setup::new(&loaded.scenario).expect("builds")).expect("starts");
    let held = |name: &str| {
        leak.result
            .limits
            .iter()
            .find(|l| l.name == name)
            .expect(name)
            .held
    };
    assert!(!held("shaft_speed"));
    assert_eq!(leak.result.sensor.pinned_s, 0.0);
    assert!(leak.result.protections.iter().all(|p| p.first_s.is_none()));
    let sound = {
        let sets = vec![("faults".to_string(), "[]".to_string())];
        let loaded = scenario::load(Path::new("scenarios/boost-leak.yaml"), &sets, None);
        single(&Setup::new(&loaded.expect("loads").scenario).expect("builds")).expect("starts")
    };
    assert!(
        sound
            .result
            .limits
            .iter()
            .find(|l| l.name == "shaft_speed")
            .expect("it")
            .held
    );
}
