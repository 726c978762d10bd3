//! Which way the shaft speed goes: strictly, wherever the vanes are off their
//! stops.
//!
//! With the boost held by the vanes, every one of these asks for more compressor
//! work: a higher command by its pressure ratio, thinner air by the ratio of an
//! absolute command to less ambient, a sensor that reads low by the true boost
//! behind the same reading, hotter air by the work per kilogram at one ratio
//! (any text, e.g. Watson & Janota 1982, ch. 3). On one speed line more ratio, and
//! on one ratio more corrected speed, means more shaft speed.
use crate::proof::{self, Row};
use crate::shipped::{setup, shipped};
use ringfence::gas::{Ambient, atmosphere};
use ringfence::procedure::{Asked, FuelAsked, Part, Procedure};
use ringfence::scenario::build::Setup;
use ringfence::simulation::{
    Ending, OpenLoop, Recorder, Sample, equilibrium_sample, run, start, steady_state,
};
use std::f64::consts::PI;

const DEMO: &str = "scenarios/rescue-tender.yaml";
/// Engine speeds of the trials, rpm.
const SPEEDS: [f64; 3] = [1700.0, 2100.0, 2500.0];
/// How near the boost must be to what holds it, kPa: a few converter steps of
/// 0.09 kPa and what a slow integrator leaves.
const SETTLED_KPA: f64 = 0.5;

/// The end of a closed-loop hold at full fuel; none where the vanes stand at a
/// stop or the run leaves the model's range.
fn held(setup: &Setup, rpm: f64, true_boost_kpa: f64) -> Option<Sample> {
    let speed_rad_s = rpm * PI / 30.0;
    let hold = Procedure::new(&[Part::Hold {
        speed_rad_s,
        fuel: FuelAsked::Full,
        duration_s: 15.0,
    }]);
    let mut trace = Recorder::default();
    let outcome = run(&setup.rig, &hold, &mut trace).ok()?;
    let last = *trace.samples.last()?;
    let stops = &setup.rig.controller.vane_stops;
    let open = 100.0 * stops.held(speed_rad_s, setup.rig.plant.actuator.stop_open);
    let closed = 100.0 * stops.held(speed_rad_s, setup.rig.plant.actuator.stop_closed);
    let off_the_stops = last.vane_closed_pct > open + 0.5 && last.vane_closed_pct < closed - 0.5;
    if outcome.ending != Ending::Finished || !off_the_stops || last.pinned {
        return None;
    }
    let miss = (last.boost_true_kpa_abs - true_boost_kpa).abs();
    assert!(miss < SETTLED_KPA, "not settled, {miss} kPa off: {last:?}");
    Some(last)
}

/// Runs a row of variants at every speed and asks for a rise of the shaft speed from
/// each to the next, of at least what the check allows.
fn rises_along(proof: &mut Row, name: &str, variants: &[(Vec<(&str, String)>, f64)]) {
    let mut pairs = 0;
    let setups: Vec<_> = variants
        .iter()
        .map(|(overrides, boost)| {
            let texts: Vec<_> = overrides.iter().map(|(p, v)| (*p, v.as_str())).collect();
            (setup(DEMO, &texts), *boost)
        })
        .collect();
    for rpm in SPEEDS {
        let ends: Vec<_> = setups
            .iter()
            .map(|(s, boost)| held(s, rpm, *boost))
            .collect();
        for pair in ends.windows(2) {
            let [Some(before), Some(after)] = pair else {
                continue;
            };
            let rise = after.shaft_speed_rpm / before.shaft_speed_rpm - 1.0;
            println!("{name} at {rpm} rpm: shaft {:+.2} %", 100.0 * rise);
            proof.see(rise, &(name, rpm, before, after));
            pairs += 1;
        }
    }
    assert!(pairs >= 4, "{name}: only {pairs} pairs off the stops");
}

fn command(kpa: f64) -> (&'static str, String) {
    ("controller.command.full_load", format!("{kpa} kPa abs"))
}

/// Up to the knee: the readable ceiling lies at 330 kPa, these stay below it.
#[test]
fn a_higher_command_raises_the_shaft_speed() {
    let commands = [200.0, 215.0, 230.0, 245.0, 260.0, 275.0, 290.0];
    let variants: Vec<_> = commands.iter().map(|&c| (vec![command(c)], c)).collect();
    let mut proof = proof::row("trend-command");
    rises_along(&mut proof, "15 kPa more command", &variants);
    proof.done();
}

#[test]
fn altitude_raises_the_shaft_speed_at_an_absolute_command() {
    let at = |metres: f64| {
        let altitude = ("ambient.altitude", format!("{metres} m"));
        (vec![command(230.0), altitude], 230.0)
    };
    let mut proof = proof::row("trend-altitude");
    rises_along(
        &mut proof,
        "500 m higher",
        &[at(400.0), at(900.0), at(1400.0), at(1900.0), at(2400.0)],
    );
    proof.done();
}

#[test]
fn inlet_heat_raises_the_shaft_speed() {
    let at = |kelvin: f64| {
        let offset = ("ambient.temperature_offset", format!("{kelvin} K"));
        (vec![command(240.0), offset], 240.0)
    };
    let mut proof = proof::row("trend-heat");
    rises_along(
        &mut proof,
        "10 K hotter",
        &[at(-10.0), at(0.0), at(10.0), at(20.0), at(30.0)],
    );
    proof.done();
}

/// A sensor that reads low makes the true boost higher than the command.
#[test]
fn a_sensor_that_reads_low_raises_the_shaft_speed() {
    let mut proof = proof::row("trend-sensor");
    for path in ["sensors.boost.offset", "sensors.boost.offset_after_clamp"] {
        let reading = |low_kpa: f64| {
            let offset = (path, format!("{} kPa", -low_kpa));
            (vec![command(240.0), offset], 240.0 + low_kpa)
        };
        let readings = [reading(0.0), reading(5.0), reading(10.0)];
        rises_along(&mut proof, path, &readings);
    }
    proof.done();
}

/// Shaft speed at the equilibrium whose vanes give a boost at full fuel, in the
/// scenario's weather moved by some metres and kelvins; none where no vane
/// position off the stops does, or where the model's range ends.
fn shaft_at_rest_rpm(
    setup: &Setup,
    asked: Asked,
    boost_kpa: f64,
    metres: f64,
    kelvin: f64,
) -> Option<f64> {
    let mut rig = setup.rig.clone();
    let here = rig.plant.ambient;
    let standard_pa = |h: f64| atmosphere::pressure_pa(h).expect("ordinary heights");
    rig.plant = rig.plant.in_ambient(Ambient {
        pressure_pa: here.pressure_pa * standard_pa(metres) / standard_pa(0.0),
        temperature_k: here.temperature_k + kelvin,
        ..here
    });
    rig.open_loop = Some(OpenLoop::Boost(1e3 * boost_kpa));
    let state = start(&rig, asked).ok()?.state;
    let s = equilibrium_sample(&rig, asked, &state);
    let inside = (0.5..99.5).contains(&s.vane_closed_pct)
        && s.turbine_inlet_k < rig.validity.turbine_inlet_k
        && s.drive_pressure_kpa_abs < rig.validity.drive_to_boost_abs * s.boost_true_kpa_abs;
    inside.then_some(s.shaft_speed_rpm)
}

/// The same three laws at rest, on every shipped scenario, without controller and
/// sensor between.
#[test]
fn trends_hold_at_rest_in_every_scenario() {
    let mut proof = proof::row("trend-rest");
    for path in shipped() {
        let setup = setup(&path, &[]);
        let mut tried = [0; 3];
        for share in [0.2, 0.5, 0.8, 1.0] {
            let asked = Asked {
                speed_rate_rad_s2: 0.0,
                fuel: FuelAsked::Full,
                ..setup.procedure.at(share * setup.procedure.duration_s())
            };
            for vane in [0.08, 0.16, 0.24, 0.32, 0.4] {
                let Ok(state) = steady_state(&setup.rig, asked, vane, None) else {
                    continue;
                };
                let boost = equilibrium_sample(&setup.rig, asked, &state).boost_true_kpa_abs;
                let at = |more, metres, kelvin| {
                    shaft_at_rest_rpm(&setup, asked, boost + more, metres, kelvin)
                };
                let Some(usual) = at(0.0, 0.0, 0.0) else {
                    continue;
                };
                let changed = [at(8.0, 0.0, 0.0), at(0.0, 400.0, 0.0), at(0.0, 0.0, 8.0)];
                for (law, after) in changed.into_iter().enumerate() {
                    let Some(after) = after else { continue };
                    proof.see(after / usual - 1.0, &(&path, law, boost, asked));
                    tried[law] += 1;
                }
            }
        }
        println!("{path}: command, altitude, heat tried {tried:?} times");
        assert!(tried.iter().all(|&n| n >= 4), "{path}: only {tried:?}");
    }
    proof.done();
}
