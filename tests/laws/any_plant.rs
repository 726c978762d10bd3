//! Laws in random plants at random states, equilibrium or not: nothing here runs in
//! time.
use crate::cantera::Gases;
use crate::entropy::{ambient_at_rest, rises, states};
use crate::plants::plants;
use crate::proof;
use crate::random::for_random;
use proptest::prelude::*;
use ringfence::plant::health::Leak;
use ringfence::plant::state::PlantState;
use ringfence::plant::turbine::{TurbineDemand, TurbinePoint};
use ringfence::plant::{Plant, PlantInput, PlantPoint, StateGuess};

/// Random plants, and random states of each.
const PLANTS: u32 = 64;
const STATES: usize = 12;

fn input(vane: f64) -> PlantInput {
    PlantInput {
        engine_speed_rad_s: 200.0,
        fuel_kg: 5e-5,
        advance_deg: 5.0,
        vane_command: vane,
        ..PlantInput::default()
    }
}

fn state(plant: &Plant, guess: &StateGuess) -> PlantState {
    plant.state_at(&StateGuess {
        intake_pressure_pa: guess.intake_pressure_pa * plant.ambient.pressure_pa,
        exhaust_pressure_pa: guess.exhaust_pressure_pa * plant.ambient.pressure_pa,
        ..*guess
    })
}

/// Entropy rises over compressor and turbine, by entropies from outside (Cantera).
#[test]
fn entropy_falls_in_no_plant() {
    let gases = Gases::read();
    let mut compressors = proof::row("plants-entropy-compressor");
    let mut turbines = proof::row("plants-entropy-turbine");
    let cases = (plants(), prop::collection::vec(states(), STATES));
    for_random(PLANTS, &cases, |(drawn, guesses)| {
        let plant = drawn.setup(&[]).rig.plant;
        for guess in &guesses {
            let (compressor, turbine) = rises(&gases, &plant, &state(&plant, guess));
            if let Some(rise) = compressor {
                compressors.see(rise, &(&drawn, guess));
            }
            if let Some(rise) = turbine {
                turbines.see(rise, &(&drawn, guess));
            }
        }
    });
    compressors.done();
    turbines.done();
}

/// Entropy that a stream at constant enthalpy gains, J/(kg K): its pressure falls.
fn throttling(r_j_kg_k: f64, from_pa: f64, to_pa: f64) -> f64 {
    r_j_kg_k * (from_pa / to_pa).ln()
}

/// Each restriction of a plant as its stream passes it.
fn restrictions(plant: &Plant, p: &PlantPoint) -> Vec<(&'static str, f64)> {
    let r = plant.gas.gas_constant_j_kg_k(0.0);
    let ambient_pa = plant.ambient.pressure_pa;
    let mut found = Vec::new();
    let c = &p.compressor;
    if c.flow_kg_s > 0.0 {
        let charge_pa = p.intake.pressure_pa;
        found.push(("filter", throttling(r, ambient_pa, c.inlet_pressure_pa)));
        found.push(("cooler", throttling(r, c.outlet_pressure_pa, charge_pa)));
    }
    let t = &p.turbine;
    if t.flow_kg_s > 0.0 {
        found.push(("exhaust", throttling(r, t.outlet_pressure_pa, ambient_pa)));
    }
    let leaks = [
        ("boost leak", &p.boost_leak, p.intake.pressure_pa),
        ("exhaust leak", &p.exhaust_leak, p.exhaust.pressure_pa),
    ];
    for (name, leak, inside_pa) in leaks {
        if leak.flow_kg_s > 0.0 {
            found.push((name, throttling(r, inside_pa, ambient_pa)));
        } else if leak.flow_kg_s < 0.0 {
            found.push((name, throttling(r, ambient_pa, inside_pa)));
        }
    }
    found
}

/// Filter, cooler, exhaust system and leaks throttle: the stream's pressure falls on
/// its way, and with it at constant enthalpy the entropy rises.
#[test]
fn entropy_falls_across_no_restriction() {
    let mut proof = proof::row("plants-entropy-restriction");
    let cases = (plants(), prop::collection::vec(states(), STATES));
    for_random(PLANTS, &cases, |(drawn, guesses)| {
        let plant = drawn.setup(&[]).rig.plant;
        for guess in &guesses {
            let p = plant.evaluate(&state(&plant, guess), &input(guess.vane_closed));
            for (name, rise) in restrictions(&plant, &p) {
                proof.see(rise, &(name, &drawn, guess));
            }
        }
    });
    proof.done();
}

/// With the ambient inside and everything at rest no gas flows, leaks included; what
/// rounding leaves is below 1e-7 kg/s, as in `nothing_flows_without_a_difference`.
#[test]
fn equal_pressures_give_no_flow_in_any_plant() {
    for_random(PLANTS, &plants(), |drawn| {
        let plant = drawn.setup(&[]).rig.plant;
        let still = PlantInput {
            vane_command: 0.3,
            ..PlantInput::default()
        };
        let p = plant.evaluate(&ambient_at_rest(&plant, 0.3), &still);
        let rates = plant.rates(&p);
        let flows = [
            p.compressor.flow_kg_s,
            p.engine.intake_flow_kg_s,
            p.turbine.flow_kg_s,
            p.boost_leak.flow_kg_s,
            p.exhaust_leak.flow_kg_s,
            rates.intake.mass_kg,
            rates.exhaust.mass_kg,
        ];
        for flow in flows {
            assert!(flow.abs() < 1e-7, "{flows:?} in {drawn:?}");
        }
    });
}

/// The turbine against a back pressure over that of the day.
fn turbine(plant: &Plant, p: &PlantPoint, guess: &StateGuess, back: f64) -> TurbinePoint {
    let mut ambient = plant.ambient;
    ambient.pressure_pa *= back;
    plant.turbine.operate(&TurbineDemand {
        gas: &plant.gas,
        inlet: &p.exhaust,
        ambient: &ambient,
        shaft_speed_rad_s: guess.shaft_speed_rad_s,
        vane_closed: guess.vane_closed,
        area_factor: 1.0,
        system: &plant.exhaust_system,
    })
}

/// Flow through turbine and leaks never rises with the pressure behind them, and is
/// constant while choked.
#[test]
fn back_pressure_raises_no_flow_in_any_plant() {
    let mut rising = proof::row("plants-back-pressure");
    let mut choked = proof::row("plants-choked");
    let cases = (plants(), prop::collection::vec(states(), STATES));
    for_random(PLANTS, &cases, |(drawn, guesses)| {
        let plant = drawn.setup(&[]).rig.plant;
        for guess in &guesses {
            let p = plant.evaluate(&state(&plant, guess), &input(guess.vane_closed));
            let steps: Vec<_> = (0..24)
                .map(|k| turbine(&plant, &p, guess, 0.4 + 0.1 * f64::from(k)))
                .collect();
            for pair in steps.windows(2) {
                let (before, after) = (pair[0], pair[1]);
                let scale = steps[0].flow_kg_s.abs();
                let rise = (after.flow_kg_s - before.flow_kg_s) / scale;
                rising.see(rise.max(0.0), &(&drawn, guess, before, after));
                let stays = |of: fn(&TurbinePoint) -> bool| of(&before) && of(&after);
                if stays(|t| t.ring_choked) || stays(|t| t.rotor_choked) {
                    choked.see(rise.abs(), &(&drawn, guess, before, after));
                }
            }
            let inside = &p.exhaust;
            let leak = |back: f64| {
                let mut ambient = plant.ambient;
                ambient.pressure_pa = back * inside.pressure_pa;
                Leak::through(1e-4, &plant.gas, inside, &ambient).flow_kg_s
            };
            // far below the critical ratio of any of these gases, about 0.53
            choked.see((leak(0.5) / leak(0.1) - 1.0).abs(), &guess);
            for k in 1..15 {
                let (less, more) = (leak(0.1 * f64::from(k)), leak(0.1 * f64::from(k + 1)));
                rising.see(((more - less) / leak(0.1)).max(0.0), &(guess, k));
            }
        }
    });
    rising.done();
    choked.done();
}
