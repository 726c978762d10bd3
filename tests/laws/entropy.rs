//! The second law, and no flow without a difference.
//!
//! Entropy is taken from `b_gas_properties.csv` (Cantera), not from the
//! project's gas. A rise may be missed by 0.05 J/(kg K): the two differ by less
//! than 1e-5 of cp, and a change of state spans up to three logarithms of it.
use crate::cantera::Gases;
use crate::proof;
use crate::random::for_random;
use crate::shipped::{setup, shipped};
use proptest::prelude::*;
use ringfence::gas::Ambient;
use ringfence::plant::state::PlantState;
use ringfence::plant::{Plant, PlantInput, StateGuess};
use ringfence::procedure::{Asked, FuelAsked};
use ringfence::scenario::build::Setup;
use ringfence::simulation::{Rig, equilibrium_sample, steady_state};
use std::f64::consts::PI;
use std::sync::LazyLock;

static SETUPS: LazyLock<Vec<(String, Setup)>> = LazyLock::new(|| {
    let load = |path: String| (path.clone(), setup(&path, &[]));
    shipped().into_iter().map(load).collect()
});
static GASES: LazyLock<Gases> = LazyLock::new(Gases::read);

fn ambients() -> impl Strategy<Value = Ambient> {
    (0.0..3500.0, -12.0..25.0, 0.0..1.0_f64).prop_map(|(altitude, offset, humidity)| {
        Ambient::at_altitude(altitude, offset, humidity).expect("ordinary weather")
    })
}

/// Any state of the plant that a transient may pass, equilibrium or not.
pub fn states() -> impl Strategy<Value = StateGuess> {
    (
        (0.9..4.5, 270.0..420.0),
        (1.001..7.0, 500.0..1290.0, 0.25..1.0),
        500.0..17_000.0,
        0.0..1.0,
    )
        .prop_map(|((pi, ti), (pe, te, burned), shaft, vane)| StateGuess {
            intake_pressure_pa: pi,
            intake_temperature_k: ti,
            exhaust_pressure_pa: pe,
            exhaust_temperature_k: te,
            exhaust_burned: burned,
            shaft_speed_rad_s: shaft,
            vane_closed: vane,
        })
}

/// The ambient inside, the shaft at rest.
pub fn ambient_at_rest(plant: &Plant, vane_closed: f64) -> PlantState {
    let ambient = &plant.ambient;
    plant.state_at(&StateGuess {
        intake_pressure_pa: ambient.pressure_pa,
        intake_temperature_k: ambient.temperature_k,
        exhaust_pressure_pa: ambient.pressure_pa,
        exhaust_temperature_k: ambient.temperature_k,
        exhaust_burned: 0.0,
        shaft_speed_rad_s: 0.0,
        vane_closed,
    })
}

/// Rise of entropy over compressor and turbine, J/(kg K); none without flow.
pub fn rises(gases: &Gases, plant: &Plant, state: &PlantState) -> (Option<f64>, Option<f64>) {
    let input = PlantInput {
        engine_speed_rad_s: 200.0,
        fuel_kg: 5e-5,
        advance_deg: 5.0,
        vane_command: state.vane_closed,
        ..PlantInput::default()
    };
    let p = plant.evaluate(state, &input);
    let humidity = plant.ambient.humidity_kg_kg;
    let c = &p.compressor;
    let of_compressor = (c.flow_kg_s > 1e-6).then(|| {
        let air = gases.air(humidity);
        let t2 = plant
            .gas
            .temperature_from_enthalpy_k(p.compressor_outlet_enthalpy_j_kg, 0.0);
        air.entropy_rise_j_kg_k(plant.ambient.temperature_k, t2)
            - air.r_j_kg_k * (c.outlet_pressure_pa / c.inlet_pressure_pa).ln()
    });
    let t = &p.turbine;
    let of_turbine = (t.flow_kg_s > 1e-6).then(|| {
        let s = plant.gas.stoichiometric_air_fuel();
        let burned = p.exhaust.burned;
        let lambda = ((1.0 + s) / burned - 1.0) / s;
        let exhaust = gases.products(lambda.max(1.0), humidity);
        let t4 = plant
            .gas
            .temperature_from_enthalpy_k(t.outlet_enthalpy_w / t.flow_kg_s, burned);
        exhaust.entropy_rise_j_kg_k(p.exhaust.temperature_k, t4)
            - exhaust.r_j_kg_k * (t.outlet_pressure_pa / p.exhaust.pressure_pa).ln()
    });
    (of_compressor, of_turbine)
}

/// Entropy falls neither over the compressor nor over the turbine, in any state and
/// weather.
#[test]
fn entropy_does_not_fall() {
    let mut proof = proof::row("law-entropy");
    for_random(400, &(ambients(), states()), |(ambient, guess)| {
        for (path, setup) in SETUPS.iter() {
            let plant = setup.rig.plant.in_ambient(ambient);
            let state = plant.state_at(&StateGuess {
                intake_pressure_pa: guess.intake_pressure_pa * ambient.pressure_pa,
                exhaust_pressure_pa: guess.exhaust_pressure_pa * ambient.pressure_pa,
                ..guess
            });
            let (compressor, turbine) = rises(&GASES, &plant, &state);
            for rise in compressor.into_iter().chain(turbine) {
                proof.see(rise, &(path, ambient, guess));
            }
        }
    });
    proof.done();
}

/// The same at equilibria, where the efficiencies lie between 0 and 1 too.
#[test]
fn entropy_rises_at_equilibrium() {
    let mut proof = proof::row("law-entropy-rest");
    let cases = (
        ambients(),
        1300.0..2700.0_f64,
        40.0..120.0_f64,
        0.0..0.7_f64,
    );
    for_random(48, &cases, |(ambient, rpm, fuel_mg, vane)| {
        for (path, setup) in SETUPS.iter() {
            let mut rig = setup.rig.clone();
            rig.plant = rig.plant.in_ambient(ambient);
            let asked = Asked {
                speed_rad_s: rpm * PI / 30.0,
                speed_rate_rad_s2: 0.0,
                fuel: FuelAsked::Quantity(fuel_mg * 1e-6),
                ..Asked::default()
            };
            let Ok(state) = steady_state(&rig, asked, vane, None) else {
                continue;
            };
            let s = equilibrium_sample(&rig, asked, &state);
            let valid =
                s.drive_pressure_kpa_abs < 3.0 * s.boost_true_kpa_abs && s.turbine_inlet_k < 1300.0;
            if !valid {
                continue;
            }
            let (compressor, turbine) = rises(&GASES, &rig.plant, &state);
            proof.see(compressor.expect("it flows"), &(path, &s));
            proof.see(turbine.expect("it flows"), &(path, &s));
            assert!(
                (0.0..1.0).contains(&s.compressor_efficiency),
                "{path}: {s:?}"
            );
            assert!((0.0..1.0).contains(&s.turbine_efficiency), "{path}: {s:?}");
        }
    });
    proof.done();
}

proptest! {
    #![proptest_config(crate::random::cases(48))]

    /// With the ambient inside, the engine and the shaft at rest, no gas flows and
    /// the shaft stays where it is. Mass flows below 1e-7 kg/s: rounding leaves
    /// some 1e-11 Pa, which a quadratic loss of 25 kPa/(kg/s)² turns into 2e-8.
    #[test]
    fn nothing_flows_without_a_difference(ambient in ambients(), vane in 0.0..1.0) {
        // the guess of a state puts no ambient air into further volumes
        let plain = |rig: &Rig| rig.plant.further.are_none();
        for (path, setup) in SETUPS.iter().filter(|(_, setup)| plain(&setup.rig)) {
            let plant = setup.rig.plant.in_ambient(ambient);
            let state = ambient_at_rest(&plant, vane);
            let still = PlantInput { vane_command: vane, ..PlantInput::default() };
            let p = plant.evaluate(&state, &still);
            let rates = plant.rates(&p);
            prop_assert!(state.first_not_finite().is_none());
            prop_assert!(rates.first_not_finite().is_none(), "{path}: {rates:?}");
            let flows = [
                p.compressor.flow_kg_s,
                p.engine.intake_flow_kg_s,
                p.turbine.flow_kg_s,
                rates.intake.mass_kg,
                rates.exhaust.mass_kg,
            ];
            for flow in flows {
                prop_assert!(flow.abs() < 1e-7, "{path}: {flows:?}");
            }
            prop_assert!(rates.shaft_energy_j.abs() < 1e-6, "{path}: {rates:?}");
        }
    }
}
