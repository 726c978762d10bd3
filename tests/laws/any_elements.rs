//! Random plants with any set of optional elements: they balance and stay where
//! they rest.
use crate::optional::{asked, plain_rig, recirculating_rig};
use crate::proof;
use crate::random::for_random;
use proptest::prelude::*;
use ringfence::plant::duct::ChargeDuct;
use ringfence::plant::further::Place;
use ringfence::plant::heat_soak::HeatSoak;
use ringfence::plant::volume::{Thermal, Volume};
use ringfence::procedure::{FuelAsked, Part, Procedure};
use ringfence::simulation::{Ending, Recorder, Rig, eigenvalues_1_s, run, steady_state};
use std::f64::consts::PI;

#[derive(Debug, Clone, Copy)]
struct Fitted {
    recirculation: bool,
    check_valve: bool,
    soak: bool,
    play: bool,
    duct: bool,
    places: [bool; 3],
    scale: f64,
}

fn fitted() -> impl Strategy<Value = Fitted> {
    (
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        any::<[bool; 3]>(),
        0.5..2.0,
    )
        .prop_map(
            |(recirculation, check_valve, soak, play, duct, places, scale)| Fitted {
                recirculation,
                check_valve,
                soak,
                play,
                duct,
                places,
                scale,
            },
        )
}

fn rig_with(f: &Fitted, vane: f64) -> Rig {
    let mut rig = if f.recirculation {
        recirculating_rig(vane, f.check_valve.then_some(1e3))
    } else {
        plain_rig(vane)
    };
    let plant = &mut rig.plant;
    if f.soak {
        plant.cooler.heat_soak = Some(HeatSoak {
            capacity_j_k: 4000.0 * f.scale,
            core_effectiveness: 0.96,
        });
    }
    if f.play {
        plant.actuator.backlash = 0.02 * f.scale;
    }
    if f.duct {
        plant.duct = Some(ChargeDuct {
            length_m: 1.2 * f.scale,
            area_m2: 2e-3,
        });
    }
    for (place, litres) in Place::ALL.into_iter().zip([9.0, 5.0, 8.0]) {
        if f.places[place as usize] {
            let volume = Volume {
                volume_m3: litres * f.scale * 1e-3,
                wall_loss_w_k: 3.0,
                thermal: Thermal::EnergyBalance,
            };
            plant.further.fit(place, volume);
        }
    }
    rig
}

/// A load step of a plant with any of the elements: mass, energy and burned gas
/// close, and no number is lost. Summed by the same steps, so that rounding
/// alone is left: 1e-6 is what the project promises.
#[test]
fn any_set_of_elements_balances() {
    let mut row = proof::row("elements-balance");
    let cases = (
        fitted(),
        1300.0..2600.0,
        20.0..60.0,
        60.0..110.0,
        0.15..0.55,
    );
    let mut ran = 0;
    for_random(48, &cases, |(f, rpm, from_mg, to_mg, vane)| {
        let mut rig = rig_with(&f, vane);
        rig.open_loop = None;
        let step = Procedure::new(&[Part::LoadStep {
            speed_rad_s: rpm * PI / 30.0,
            fuel_from: FuelAsked::Quantity(from_mg * 1e-6),
            fuel_to: FuelAsked::Quantity(to_mg * 1e-6),
            at_s: 0.2,
            duration_s: 2.0,
        }]);
        let Ok(outcome) = run(&rig, &step, &mut Recorder::default()) else {
            return; // no equilibrium to start from
        };
        let ending = &outcome.ending;
        assert!(!matches!(ending, Ending::Failed(_)), "{ending:?}: {f:?}");
        assert!(outcome.last.first_not_finite().is_none(), "{f:?}");
        let r = outcome.residuals;
        for residual in [r.mass, r.energy, r.burned] {
            row.see(residual.abs(), &f);
        }
        ran += 1;
    });
    assert!(ran > 36, "only {ran} plants had somewhere to start");
    row.done();
}

/// An equilibrium with any of the elements is a fixed point: held for two seconds
/// nothing moves by more than 1e-6 of itself, and every eigenvalue lies to the left.
#[test]
fn equilibria_with_elements_stay() {
    let mut row = proof::row("elements-fixed-point");
    let cases = (fitted(), 1300.0..2600.0, 30.0..110.0, 0.15..0.55);
    let mut stayed = 0;
    for_random(48, &cases, |(f, rpm, fuel_mg, vane)| {
        let mut rig = rig_with(&f, vane);
        // a short pipe is stiff: explicit steps that only just hold a loose tolerance
        // ride the border of their stability, which is no drift of the plant
        rig.tolerance = 1e-8;
        let asked = asked(rpm, fuel_mg);
        let Ok(state) = steady_state(&rig, asked, vane, None) else {
            return;
        };
        let hold = Procedure::new(&[Part::Hold {
            speed_rad_s: asked.speed_rad_s,
            fuel: asked.fuel,
            duration_s: 2.0,
        }]);
        let outcome = run(&rig, &hold, &mut Recorder::default()).expect("it starts");
        if !matches!(outcome.ending, Ending::Finished) {
            return; // beyond the model from the start
        }
        let (first, last) = (state.to_values(), outcome.last.to_values());
        for slot in rig.plant.active_slots() {
            let size = first[slot].abs().max(1e-6);
            row.see((last[slot] - first[slot]).abs() / size, &(slot, &f));
        }
        let eigenvalues = eigenvalues_1_s(&rig.plant, &state, &outcome.last_input);
        assert_eq!(eigenvalues.len(), rig.plant.active_slots().len());
        assert!(eigenvalues.iter().all(|e| e[0] < 0.0), "{eigenvalues:?}");
        stayed += 1;
    });
    assert!(stayed > 30, "only {stayed} equilibria were held");
    row.done();
}
