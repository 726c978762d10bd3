//! What one evaluation of the plant costs, part by part, at an equilibrium of
//! the demonstration.
mod common;

use divan::{Bencher, black_box};
use ringfence::control::BoostController;
use ringfence::plant::compressor::CompressorDemand;
use ringfence::plant::engine::EngineDemand;
use ringfence::plant::state::PlantState;
use ringfence::plant::turbine::TurbineDemand;
use ringfence::plant::{PlantInput, PlantPoint};
use ringfence::scenario::build::Setup;
use ringfence::simulation::{steady_input, steady_state};

fn main() {
    divan::main();
}

const SPEED_RPM: f64 = 2400.0;
const VANE_CLOSED: f64 = 0.30;

/// The demonstration at rest.
struct AtRest {
    setup: Setup,
    state: PlantState,
    input: PlantInput,
    point: PlantPoint,
}

fn at_rest() -> AtRest {
    let (_, setup) = common::demo();
    let asked = common::full_fuel_at_rpm(SPEED_RPM);
    let state = steady_state(&setup.rig, asked, VANE_CLOSED, None).expect("the demo settles");
    let controller = BoostController::new(setup.rig.controller.clone());
    let input = steady_input(&setup.rig, &controller, asked, &state);
    let point = setup.rig.plant.evaluate(&state, &input);
    AtRest {
        setup,
        state,
        input,
        point,
    }
}

/// Flows, powers and heats of the whole plant.
#[divan::bench]
fn evaluate(bencher: Bencher) {
    let at = at_rest();
    bencher.bench(|| {
        at.setup
            .rig
            .plant
            .evaluate(black_box(&at.state), black_box(&at.input))
    });
}

/// Sums of the flows into rates of the states and the ledger.
#[divan::bench]
fn rates(bencher: Bencher) {
    let at = at_rest();
    bencher.bench(|| at.setup.rig.plant.rates(black_box(&at.point)));
}

/// Filter, compressor and cooler loss solved for the flow.
#[divan::bench]
fn compressor(bencher: Bencher) {
    let at = at_rest();
    let plant = &at.setup.rig.plant;
    let ambient = &plant.ambient;
    let gas_constant_j_kg_k = plant.gas.gas_constant_j_kg_k(0.0);
    let density =
        |pressure_pa: f64, temperature_k: f64| pressure_pa / (gas_constant_j_kg_k * temperature_k);
    let intake = &at.point.intake;
    let demand = CompressorDemand {
        shaft_speed_rad_s: at.point.shaft_speed_rad_s,
        ambient_pressure_pa: ambient.pressure_pa,
        inlet_temperature_k: ambient.temperature_k,
        gas_constant_j_kg_k,
        inlet_loss_pa_s2_kg2: plant
            .filter
            .coefficient_pa_s2_kg2(density(ambient.pressure_pa, ambient.temperature_k)),
        outlet_loss_pa_s2_kg2: plant
            .cooler_loss
            .coefficient_pa_s2_kg2(density(intake.pressure_pa, intake.temperature_k)),
        outlet_pressure_pa: intake.pressure_pa,
    };
    bencher.bench(|| plant.compressor.operate(black_box(&demand)));
}

/// Vane ring, rotor and exhaust system solved for the flow.
#[divan::bench]
fn turbine(bencher: Bencher) {
    let at = at_rest();
    let plant = &at.setup.rig.plant;
    let demand = TurbineDemand {
        gas: &plant.gas,
        inlet: &at.point.exhaust,
        ambient: &plant.ambient,
        shaft_speed_rad_s: at.point.shaft_speed_rad_s,
        vane_closed: at.state.vane_closed,
        area_factor: 1.0,
        system: &plant.exhaust_system,
    };
    bencher.bench(|| plant.turbine.operate(black_box(&demand)));
}

/// The engine between its two volumes.
#[divan::bench]
fn engine(bencher: Bencher) {
    let at = at_rest();
    let plant = &at.setup.rig.plant;
    let demand = EngineDemand {
        gas: &plant.gas,
        intake: &at.point.intake,
        exhaust: &at.point.exhaust,
        speed_rad_s: at.input.engine_speed_rad_s,
        fuel_kg: at.input.fuel_kg,
        advance_deg: at.input.advance_deg,
    };
    bencher.bench(|| plant.engine.operate(black_box(&demand)));
}

/// Heat capacity, gamma, enthalpy and gas constant at a temperature.
#[divan::bench]
fn gas_properties(bencher: Bencher) {
    let at = at_rest();
    let gas = &at.setup.rig.plant.gas;
    bencher.bench(|| gas.properties(black_box(900.0), black_box(0.7)));
}

/// Temperature from internal energy.
#[divan::bench]
fn gas_temperature(bencher: Bencher) {
    let at = at_rest();
    let gas = &at.setup.rig.plant.gas;
    let u_j_kg = gas.internal_energy_j_kg(900.0, 0.7);
    bencher.bench(|| gas.temperature_from_internal_energy_k(black_box(u_j_kg), black_box(0.7)));
}

/// An isentropic change of pressure.
#[divan::bench]
fn gas_isentropic(bencher: Bencher) {
    let at = at_rest();
    let gas = &at.setup.rig.plant.gas;
    bencher.bench(|| gas.isentropic(black_box(300.0), black_box(0.0), black_box(3.0)));
}
