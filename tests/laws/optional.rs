//! Optional elements: recirculation, heat soak, play of the vanes, further volumes.
//!
//! Each is held to a closed form, to figures from outside or to the plant without it.
use crate::cantera::Gases;
use crate::compare::assert_relative;
use crate::proof;
use crate::shipped::setup;
use ringfence::control::ProtectionSettings;
use ringfence::gas::WorkingGas;
use ringfence::map::Table1;
use ringfence::plant::actuator::VaneActuator;
use ringfence::plant::cooler::{CoolantTemperature, Cooler};
use ringfence::plant::further::Place;
use ringfence::plant::heat_soak::HeatSoak;
use ringfence::plant::recirculation::Recirculation;
use ringfence::plant::restriction::{ROUNDED_BELOW, Restriction};
use ringfence::plant::volume::{GasState, Thermal, Volume};
use ringfence::plant::{Plant, PlantInput, PlantPoint};
use ringfence::procedure::{Asked, FuelAsked, InputOverrides};
use ringfence::scenario::build::Setup;
use ringfence::simulation::{Ending, OpenLoop, Recorder, Rig, run, steady_input, steady_state};
use std::f64::consts::PI;
use std::sync::LazyLock;

static DEMO: LazyLock<Setup> = LazyLock::new(|| setup("scenarios/rescue-tender.yaml", &[]));

/// The demonstration's rig without any optional element, vanes held.
pub fn plain_rig(vane: f64) -> Rig {
    let mut rig = DEMO.rig.clone();
    rig.plant.recirculation = None;
    rig.open_loop = Some(OpenLoop::Position(vane));
    rig.controller.fuel.smoke = None;
    rig.controller.protections = ProtectionSettings::default();
    rig
}

pub fn asked(rpm: f64, fuel_mg: f64) -> Asked {
    Asked {
        speed_rad_s: rpm * PI / 30.0,
        speed_rate_rad_s2: 0.0,
        fuel: FuelAsked::Quantity(fuel_mg * 1e-6),
        set: InputOverrides::default(),
        altitude_m: None,
        gear: None,
    }
}

/// The plant at the equilibrium, with its input.
fn at_rest(rig: &Rig, asked: Asked, vane: f64) -> (PlantPoint, PlantInput) {
    use ringfence::control::BoostController;
    let state = steady_state(rig, asked, vane, None).expect("it settles");
    let controller = BoostController::new(rig.controller.clone());
    let input = steady_input(rig, &controller, asked, &state);
    (rig.plant.evaluate(&state, &input), input)
}

/// A rig that recirculates at light load.
pub fn recirculating_rig(vane: f64, check_valve_pa: Option<f64>) -> Rig {
    let mut rig = plain_rig(vane);
    rig.plant.recirculation = Some(Recirculation {
        area_m2: 5e-4,
        effectiveness: 0.85,
        coolant_k: 363.15,
        check_valve_pa,
    });
    rig.controller.recirculation = Table1::constant(0.5);
    rig
}

/// At rest the balances of every volume close to 1e-9 of what goes through, and
/// the intake holds what the definition of the recirculation rate says: b_intake =
/// b_exhaust × recirculated flow over all that the engine draws (Heywood 1988,
/// ch. 4, EGR; from memory).
#[test]
fn recirculation_mixes_by_its_rate() {
    let mut mixing = proof::row("recirculation-mixing");
    let mut balances = proof::row("recirculation-rest");
    for check_valve_pa in [None, Some(1e3)] {
        let rig = recirculating_rig(0.6, check_valve_pa);
        let (p, _) = at_rest(&rig, asked(1600.0, 40.0), 0.6);
        let recirculated = p.recirculated.into_intake.flow_kg_s;
        let drawn = p.engine.intake_flow_kg_s;
        let rate = recirculated / drawn;
        assert!((0.05..0.5).contains(&rate), "{rate}");
        mixing.relative(p.intake.burned, p.exhaust.burned * rate, &rate);
        let r = rig.plant.rates(&p);
        let worst = [
            r.intake.mass_kg / drawn,
            r.exhaust.mass_kg / drawn,
            r.intake.burned_kg / drawn,
            r.exhaust.burned_kg / drawn,
            r.intake.energy_j / p.exhaust.properties.enthalpy_j_kg / drawn,
            r.exhaust.energy_j / p.exhaust.properties.enthalpy_j_kg / drawn,
        ]
        .iter()
        .fold(0.0_f64, |worst, x| worst.max(x.abs()));
        balances.see(worst, &rate);
    }
    mixing.done();
    balances.done();
}

/// Lambda with recirculated gas, by hand: the oxygen left in the recirculated gas
/// counts as air, 1 − b of every mass drawn; and by the definition of b behind a
/// lean engine, b_exhaust = (1 + s)/(1 + s λ₀) with λ₀ from the fresh air and fuel
/// that cross the boundary, whatever goes round inside.
#[test]
fn lambda_counts_the_oxygen_that_comes_back() {
    let rig = recirculating_rig(0.6, None);
    let (p, _) = at_rest(&rig, asked(1600.0, 40.0), 0.6);
    let s = rig.plant.gas.stoichiometric_air_fuel();
    let fuel = p.engine.fuel_flow_kg_s;
    let by_hand = p.engine.intake_flow_kg_s * (1.0 - p.intake.burned) / (s * fuel);
    assert!(p.engine.lambda > 1.05, "{}", p.engine.lambda);
    let fresh = p.inlet.flow_kg_s / (s * fuel);
    assert!(fresh < p.engine.lambda, "what comes back holds oxygen");
    let burned = (1.0 + s) / (1.0 + s * fresh);
    let mut row = proof::row("recirculation-lambda");
    row.relative(p.engine.lambda, by_hand, &"lambda");
    row.relative(p.exhaust.burned, burned, &fresh);
    row.done();
}

/// Heat of the recirculation cooler against enthalpies of Cantera
/// (`b_gas_properties.csv`, 0.2 % for other polynomials): gas at the lambda of a
/// table row from 700 K, effectiveness 0.85, coolant at 350 K.
#[test]
fn recirculation_cooler_takes_the_heat_of_the_table() {
    let mut row = proof::row("recirculation-cooler");
    let gases = Gases::read();
    let gas = WorkingGas::new(0.0, 1.85);
    let s = gas.stoichiometric_air_fuel();
    for (lambda, hot_k) in [(1.5, 700.0), (1.5, 900.0), (2.0, 600.0)] {
        let burned = (1.0 + s) / (1.0 + s * lambda);
        let state = |pressure_pa: f64, temperature_k: f64, burned: f64| GasState {
            pressure_pa,
            temperature_k,
            burned,
            properties: gas.properties(temperature_k, burned),
        };
        let line = Recirculation {
            area_m2: 5e-4,
            effectiveness: 0.85,
            coolant_k: 350.0,
            check_valve_pa: None,
        };
        let exhaust = state(220e3, hot_k, burned);
        let intake = state(200e3, 320.0, 0.1);
        let r = line.flow(&gas, 1.0, &intake, &exhaust);
        let products = gases.products(lambda, 0.0);
        let given = products.enthalpy_j_kg(hot_k) - products.enthalpy_j_kg(350.0);
        let expected_w = 0.85 * r.from_exhaust.flow_kg_s * given;
        row.relative(r.heat_w, expected_w, &(lambda, hot_k));
        // the heat is all that the stream loses
        let lost_w = r.from_exhaust.enthalpy_w - r.into_intake.enthalpy_w;
        assert_relative(lost_w, r.heat_w, 1e-12, &"loss");
        // the other way round the charge warms, and the check valve stops it
        let back = line.flow(&gas, 1.0, &exhaust, &intake);
        assert!(back.into_intake.flow_kg_s < 0.0);
        let held = Recirculation {
            check_valve_pa: Some(1e3),
            ..line
        };
        assert_eq!(
            held.flow(&gas, 1.0, &exhaust, &intake)
                .into_intake
                .flow_kg_s,
            0.0
        );
        let far_open = held.flow(&gas, 1.0, &intake, &exhaust);
        assert_eq!(far_open, r);
    }
    row.done();
}

/// Step response of the core at constant flow and inlet temperature of a perfect
/// gas: T_core(t) = T_∞ + (T₀ − T_∞) e^(−t/τ), τ = C/(cp (ṁ ε_c + K)), and at rest
/// the charge leaves as from the cooler without soak. Lumped wall, any heat
/// transfer text (Incropera & DeWitt, ch. 5; from memory). The integration is
/// Heun's with steps of τ/2000, good to some 1e-7.
#[test]
fn core_warms_by_the_exponential() {
    let mut row = proof::row("soak-exponential");
    let (ambient_k, hot_k) = (298.15, 430.0);
    let gas = WorkingGas::perfect(287.0, 1.4, 14.5);
    let cp = 287.0 * 3.5;
    for (flow, effectiveness, core) in [(0.1, 0.9, 0.96), (0.3, 0.8, 0.96), (0.4, 0.7, 0.9)] {
        let soak = HeatSoak {
            capacity_j_k: 4000.0,
            core_effectiveness: core,
        };
        let cooler = Cooler {
            effectiveness: Table1::constant(effectiveness),
            coolant: CoolantTemperature::AboveAmbient(8.0),
            heat_soak: Some(soak),
        };
        let pass = |core_j: f64| {
            cooler.pass(
                &gas,
                ambient_k,
                (flow, gas.enthalpy_j_kg(hot_k, 0.0), 0.0),
                core_j,
            )
        };
        let rate = |core_j: f64| pass(core_j).from_charge_w - pass(core_j).to_coolant_w;
        let coolant_k = ambient_k + 8.0;
        let to_coolant = flow * effectiveness * core / (core - effectiveness);
        let tau = 4000.0 / (cp * (flow * core + to_coolant));
        let end_k = (flow * core * hot_k + to_coolant * coolant_k) / (flow * core + to_coolant);
        let start_k = 300.0;
        let mut core_j = soak.core_j(start_k);
        let step = tau / 2000.0;
        for k in 1..=6000_u32 {
            let first = rate(core_j);
            core_j += 0.5 * step * (first + rate(core_j + step * first));
            if k % 2000 == 0 {
                let time = f64::from(k) * step;
                let exact = end_k + (start_k - end_k) * (-time / tau).exp();
                row.absolute(soak.core_k(core_j), exact, &(flow, k));
            }
        }
        let plain = Cooler {
            heat_soak: None,
            ..cooler.clone()
        };
        let (settled, same) = (
            pass(soak.core_j(end_k)),
            plain.pass(
                &gas,
                ambient_k,
                (flow, gas.enthalpy_j_kg(hot_k, 0.0), 0.0),
                0.0,
            ),
        );
        assert_relative(
            settled.outlet_enthalpy_j_kg,
            same.outlet_enthalpy_j_kg,
            1e-12,
            &flow,
        );
        assert_relative(settled.to_coolant_w, same.to_coolant_w, 1e-12, &flow);
    }
    row.done();
}

/// The play operator under a triangle of amplitude A: a parallelogram. Upwards the
/// output lags by half the play, v = a − b/2; after the turn it rests until the
/// actuator has come back by b; downwards v = a + b/2; the loop encloses
/// b (2A − b) (Visintin, Differential Models of Hysteresis, 1994, ch. III; from
/// memory). Actuator exact, sampled 400 times a way.
#[test]
fn play_runs_round_a_parallelogram() {
    let mut row = proof::row("play-path");
    let play = 0.06;
    let actuator = VaneActuator {
        time_constant_s: 0.08,
        max_rate_1_s: 3.0,
        stop_open: 0.0,
        stop_closed: 1.0,
        backlash: play,
    };
    let (middle, amplitude, ways) = (0.5, 0.3, 400);
    let mut vanes = actuator.vanes_behind_play(middle - amplitude, None);
    let mut area = 0.0;
    let mut before: Option<(f64, f64)> = None;
    for way in 0..6 {
        let up = way % 2 == 0;
        for k in 0..=ways {
            let share = f64::from(k) / f64::from(ways);
            let position = middle
                + amplitude
                    * if up {
                        2.0 * share - 1.0
                    } else {
                        1.0 - 2.0 * share
                    };
            vanes = actuator.vanes_behind_play(position, Some(vanes));
            if way >= 2 {
                let gone = 2.0 * amplitude * share;
                let turned = middle + if up { -amplitude } else { amplitude };
                let expected = match (up, gone >= play) {
                    (true, true) => position - 0.5 * play,
                    (true, false) => turned + 0.5 * play,
                    (false, true) => position + 0.5 * play,
                    (false, false) => turned - 0.5 * play,
                };
                row.absolute(vanes, expected, &(way, k));
                if way >= 4
                    && let Some((a, v)) = before
                {
                    area += 0.5 * (vanes + v) * (position - a);
                }
            }
            before = Some((position, vanes));
        }
    }
    // clockwise: the output stays low on the way up
    let enclosed = play * (2.0 * amplitude - play);
    row.done();
    proof::row("play-area").reached((-area / enclosed - 1.0).abs());
}

/// In a run the vanes stay within half the play of their actuator, and a turn of
/// the command leaves them where they are for a while.
#[test]
fn vanes_follow_with_play_in_a_run() {
    let setup = setup("scenarios/pipes-and-play.yaml", &[]);
    let mut trace = Recorder::default();
    let outcome = run(&setup.rig, &setup.procedure, &mut trace).expect("it starts");
    assert!(matches!(outcome.ending, Ending::Finished));
    let vanes: Vec<f64> = trace.samples.iter().map(|s| s.vane_closed_pct).collect();
    let command: Vec<f64> = trace.samples.iter().map(|s| s.vane_command_pct).collect();
    let resting = (1..vanes.len())
        .filter(|&k| vanes[k] == vanes[k - 1] && command[k] != command[k - 1])
        .count();
    assert!(resting > 20, "only {resting} ticks at rest");
    let last = outcome.last.vane_closed * 100.0;
    assert!((vanes[vanes.len() - 1] - last).abs() <= 1.0 + 1e-9);
}

/// The rounded part of a flow between two volumes: the root itself from 5 % of the
/// rated flow on (Idelchik's square law, exactly), odd, rising, and with one slope
/// through the join.
#[test]
fn flow_between_volumes_is_the_root_from_a_twentieth_on() {
    let mut row = proof::row("further-loss");
    let cooler = Restriction {
        loss_pa: 10e3,
        at_flow_kg_s: 0.4,
        at_density_kg_m3: 3.2,
    };
    let flow = |pa: f64| cooler.flow_kg_s(pa, 2.4, 1.0);
    let k = 10e3 / 0.16 * 3.2 / 2.4;
    let join_pa = k * (ROUNDED_BELOW * 0.4_f64).powi(2);
    for pa in [join_pa, 2.0 * join_pa, 1e3, 10e3, 50e3] {
        row.relative(flow(pa), (pa / k).sqrt(), &pa);
        assert_eq!(flow(-pa), -flow(pa));
    }
    let mut last = flow(-1.2 * join_pa);
    for i in -119..=120 {
        let here = flow(f64::from(i) * 0.01 * join_pa);
        assert!(here > last);
        last = here;
    }
    assert_eq!(flow(0.0), 0.0);
    let slope = |pa: f64| (flow(pa + 1e-4) - flow(pa - 1e-4)) / 2e-4;
    let exact = 0.5 / (k * join_pa).sqrt();
    assert_relative(slope(join_pa), exact, 1e-5, &"slope at the join");
    row.done();
}

fn fit_all(plant: &mut Plant) {
    for (place, litres) in [
        (Place::Airbox, 9.0),
        (Place::ChargePipe, 5.0),
        (Place::TurbineOutlet, 8.0),
    ] {
        let volume = Volume {
            volume_m3: litres * 1e-3,
            wall_loss_w_k: 0.0,
            thermal: Thermal::EnergyBalance,
        };
        plant.further.fit(place, volume);
    }
}

/// Where walls are adiabatic, a volume in a pipe changes no equilibrium: pressures
/// and flows are those of the plant without, within 0.1 %. Behind the turbine the
/// plain plant takes its gas temperature from the efficiency without the
/// blade-speed factor, for the density in the exhaust system alone; that is what
/// is left.
#[test]
fn further_volumes_leave_equilibria_alone() {
    let mut row = proof::row("further-rest");
    for (rpm, fuel_mg, vane) in [
        (1600.0, 60.0, 0.3),
        (2000.0, 110.0, 0.3),
        (2600.0, 115.0, 0.15),
    ] {
        let mut rig = plain_rig(vane);
        let (without, _) = at_rest(&rig, asked(rpm, fuel_mg), vane);
        fit_all(&mut rig.plant);
        let (with, _) = at_rest(&rig, asked(rpm, fuel_mg), vane);
        let figures = |p: &PlantPoint| {
            [
                p.intake.pressure_pa,
                p.exhaust.pressure_pa,
                p.compressor.flow_kg_s,
                p.turbine.flow_kg_s,
                p.compressor.inlet_pressure_pa,
                p.compressor.outlet_pressure_pa,
                p.turbine.outlet_pressure_pa,
                p.shaft_speed_rad_s,
            ]
        };
        for (a, b) in figures(&with).into_iter().zip(figures(&without)) {
            row.relative(a, b, &(rpm, fuel_mg, vane));
        }
    }
    row.done();
}

/// With heat soak an equilibrium is that of the cooler without.
#[test]
fn heat_soak_leaves_equilibria_alone() {
    let mut rig = plain_rig(0.3);
    let (without, _) = at_rest(&rig, asked(2000.0, 110.0), 0.3);
    rig.plant.cooler.heat_soak = Some(HeatSoak {
        capacity_j_k: 4000.0,
        core_effectiveness: 0.96,
    });
    let (with, _) = at_rest(&rig, asked(2000.0, 110.0), 0.3);
    let mut row = proof::row("soak-rest");
    row.relative(
        with.intake.temperature_k,
        without.intake.temperature_k,
        &"intake",
    );
    row.relative(with.cooler_heat_w, without.cooler_heat_w, &"heat");
    row.done();
    assert!(with.cooler_core_w.abs() < 1e-5 * with.cooler_heat_w);
}
