//! Turbocharger power at equilibrium: compressor, turbine and bearings.
//!
//! From the reported pressures, temperatures, flows and efficiencies each power
//! is built again with the enthalpies of `b_gas_properties.csv` (Cantera). They
//! have to agree with the reported powers and with each other within 0.5 %: the
//! table's head gives 0.5 % for cp and h of a tool with polynomials of its own,
//! and the interpolation stays below that.
use crate::cantera::{Gas, Gases};
use crate::shipped::{setup, shipped};
use ringfence::control::BoostController;
use ringfence::judgement::{Steady, steady_block};
use ringfence::procedure::Asked;
use ringfence::scenario::build::Setup;
use ringfence::simulation::{steady_input, steady_state};

const WITHIN: f64 = 5e-3;
/// Vane positions of the trial.
const VANES: [f64; 7] = [0.0, 0.1, 0.2, 0.3, 0.45, 0.6, 0.8];
/// Times of the trial over the duration of the procedure.
const SHARES: [f64; 5] = [0.0, 0.2, 0.4, 0.6, 1.0];

/// The equilibria of a scenario that the model can describe, at the speeds and
/// fuels that its own procedure goes through.
fn equilibria(setup: &Setup) -> Vec<Steady> {
    let mut found = Vec::new();
    let controller = BoostController::new(setup.rig.controller.clone());
    for share in SHARES {
        let asked: Asked = setup.procedure.at(share * setup.procedure.duration_s());
        let mut warm = None;
        for vane in VANES {
            let Ok(state) = steady_state(&setup.rig, asked, vane, warm.as_ref()) else {
                continue;
            };
            warm = Some(state);
            let input = steady_input(&setup.rig, &controller, asked, &state);
            let steady = steady_block(&setup.rig, &state, &input);
            let bounds = &setup.rig.validity;
            let drive_over_boost = steady.exhaust_pressure_pa / steady.intake_pressure_pa;
            // the table begins at lambda 1; without fuel, in a cut, there is no lambda
            if (1.0..f64::INFINITY).contains(&steady.lambda)
                && drive_over_boost <= bounds.drive_to_boost_abs
                && steady.exhaust_temperature_k <= bounds.turbine_inlet_k
            {
                found.push(steady);
            }
        }
    }
    found
}

/// Change of enthalpy over an isentropic change of pressure, J/kg: the temperature
/// at which the entropy integral has made up for the pressure, by Newton.
fn isentropic_work_j_kg(gas: &Gas, from_k: f64, pressure_ratio: f64) -> f64 {
    let wanted = gas.r_j_kg_k * pressure_ratio.ln();
    let mut to_k = from_k * (wanted / gas.cp_j_kg_k(from_k)).exp();
    for _ in 0..20 {
        let miss = wanted - gas.entropy_rise_j_kg_k(from_k, to_k);
        to_k *= (miss / gas.cp_j_kg_k(to_k)).exp();
    }
    gas.enthalpy_j_kg(to_k) - gas.enthalpy_j_kg(from_k)
}

fn off(got: f64, reported: f64) -> f64 {
    (got / reported - 1.0).abs()
}

#[test]
fn turbocharger_power_from_outside_enthalpies() {
    let gases = Gases::read();
    let mut proofs = [
        crate::proof::row("turbo-power-compressor"),
        crate::proof::row("turbo-power-turbine"),
        crate::proof::row("turbo-power-balance"),
    ];
    for path in shipped() {
        let setup = setup(&path, &[]);
        let plant = &setup.rig.plant;
        let humidity = plant.ambient.humidity_kg_kg;
        let air = gases.air(humidity);
        let equilibria = equilibria(&setup);
        assert!(equilibria.len() >= 8, "{path}: only {}", equilibria.len());
        let mut worst = [0.0_f64; 5];
        for s in &equilibria {
            let t1 = s.compressor_inlet_temperature_k;
            let ratio = s.compressor_outlet_pressure_pa / s.compressor_inlet_pressure_pa;
            let isentropic = isentropic_work_j_kg(&air, t1, ratio);
            let compressor_w = s.compressor_flow_kg_s * isentropic / s.compressor_efficiency;
            let t2 = s.compressor_outlet_temperature_k;
            let heated_w = s.compressor_flow_kg_s * (air.enthalpy_j_kg(t2) - air.enthalpy_j_kg(t1));

            let exhaust = gases.products(s.lambda, humidity);
            let expansion = s.turbine_outlet_pressure_pa / s.exhaust_pressure_pa;
            let drop = -isentropic_work_j_kg(&exhaust, s.exhaust_temperature_k, expansion);
            let turbine_w = s.turbine_flow_kg_s * drop * s.turbine_efficiency;

            let speed = s.shaft_speed_rad_s;
            let bearing_w = plant.shaft.bearing_loss_w_s2 * speed * speed;

            let offs = [
                off(compressor_w, s.compressor_power_w),
                off(heated_w, s.compressor_power_w),
                off(turbine_w, s.turbine_power_w),
                off(bearing_w, s.bearing_power_w),
                off(compressor_w + bearing_w, turbine_w),
            ];
            for (worst, now) in worst.iter_mut().zip(offs) {
                assert!(now < WITHIN, "{path}: {offs:?} at {s:?}");
                *worst = worst.max(now);
            }
        }
        println!(
            "{path}: {} equilibria; compressor {:.1e}, by temperature {:.1e}, turbine {:.1e}, \
             bearings {:.1e}, balance {:.1e}",
            equilibria.len(),
            worst[0],
            worst[1],
            worst[2],
            worst[3],
            worst[4]
        );
        let whole = [worst[0].max(worst[1]), worst[2], worst[4]];
        for (proof, worst) in proofs.iter_mut().zip(whole) {
            proof.see(worst, &path);
        }
    }
    for proof in proofs {
        proof.done();
    }
}

/// What comes in goes out, and the exhaust has the composition that lambda says:
/// burned = (1 + s)/(1 + λ s) for lean mixtures from air without recirculation.
#[test]
fn flows_and_composition_at_equilibrium() {
    let mut proof = crate::proof::row("flows-at-rest");
    for path in shipped() {
        let setup = setup(&path, &[]);
        let stoichiometric = setup.rig.plant.gas.stoichiometric_air_fuel();
        for s in equilibria(&setup) {
            let flow_in = s.compressor_flow_kg_s + s.fuel_flow_kg_s;
            proof.see(off(flow_in, s.turbine_flow_kg_s), &(&path, &s));
            let lambda = s.compressor_flow_kg_s / (s.fuel_flow_kg_s * stoichiometric);
            if setup.rig.plant.recirculation.is_none() {
                proof.see(off(lambda, s.lambda), &(&path, &s));
            } else {
                // the oxygen that comes back counts in the cylinder
                assert!(s.lambda > lambda * (1.0 - 1e-8), "{path}: {s:?}");
            }
            let burned = (1.0 + stoichiometric) / (1.0 + lambda * stoichiometric);
            proof.see(off(burned, s.exhaust_burned_fraction), &(&path, &s));
        }
    }
    proof.done();
}
