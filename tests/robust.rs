//! Nothing that an integrator may reach for makes the plant panic, and a tick
//! too long for one step is taken in several.
use proptest::prelude::*;
use ringfence::judgement::StopKind;
use ringfence::plant::PlantInput;
use ringfence::plant::state::{PlantState, SLOTS};
use ringfence::scenario::{self, build::Setup};
use ringfence::study::single::single;
use std::path::Path;
use std::sync::LazyLock;

#[path = "common/random.rs"]
mod random;

fn setup(sets: &[(&str, &str)]) -> Setup {
    let sets: Vec<(String, String)> = sets
        .iter()
        .map(|(p, v)| ((*p).to_string(), (*v).to_string()))
        .collect();
    let path = Path::new("scenarios/rescue-tender.yaml");
    let loaded = scenario::load(path, &sets, None).unwrap_or_else(|e| panic!("{e}"));
    Setup::new(&loaded.scenario).expect("builds")
}

static DEMO: LazyLock<Setup> = LazyLock::new(|| setup(&[]));

/// A usual state; a stage of a step that is too long lands anywhere around it,
/// below zero included.
const USUAL: [f64; 8] = [0.04, 5e3, 0.0, 0.004, 2e3, 0.003, 1e4, 0.4];

proptest! {
    #![proptest_config(random::cases(4000))]

    #[test]
    fn no_state_makes_the_plant_panic(
        factors in prop::array::uniform8(-3.0..6.0_f64),
        speed in -10.0..400.0_f64,
        fuel in 0.0..3e-4_f64,
    ) {
        let mut values = [0.0; SLOTS];
        for ((value, usual), factor) in values.iter_mut().zip(USUAL).zip(factors) {
            *value = usual * factor;
        }
        let plant = &DEMO.rig.plant;
        let input = PlantInput {
            engine_speed_rad_s: speed,
            fuel_kg: fuel,
            advance_deg: 6.0,
            vane_command: 0.5,
            ..PlantInput::default()
        };
        let _ = plant.rates(&plant.evaluate(&PlantState::from_values(&values), &input));
    }
}

#[test]
fn a_lost_number_stays_lost_without_a_panic() {
    let plant = &DEMO.rig.plant;
    for slot in 0..8 {
        let mut values = [0.0; SLOTS];
        values[..8].copy_from_slice(&USUAL);
        values[slot] = f64::NAN;
        let state = PlantState::from_values(&values);
        let rates = plant.rates(&plant.evaluate(&state, &PlantInput::default()));
        // the burned mass of the intake alone feeds itself only
        assert!(rates.first_not_finite().is_some(), "slot {slot}");
    }
}

/// A slow controller: 50 ms are more than one step of the exhaust volume can
/// take in a fast transient.
#[test]
fn a_long_tick_is_taken_in_several_steps() {
    let slow = setup(&[
        ("controller.period", "50 ms"),
        ("vanes.time_constant", "300 ms"),
        ("turbine.form.two_throats.vane_throat_open", "15.2 cm2"),
    ]);
    let run = single(&slow).expect("starts");
    assert_eq!(run.result.why_stopped.kind, StopKind::Finished);
    let solver = &run.result.solver;
    assert!(solver.steps + solver.rejected > run.samples.len() as u64);
    assert!(run.result.balance.mass_residual.abs() < 1e-9);
}
