//! Where the flow rests, and how the column of air answers there.
use crate::proof;
use crate::shipped::setup;
use crate::tube::{LIFT_OFF, Tube};
use ringfence::plant::{Plant, PlantInput};
use ringfence::simulation::{NoEquilibrium, eigenvalues_1_s, equilibrium};
use ringfence::study::single::single;

const DEMO: &str = "scenarios/rescue-tender.yaml";
const DUCT: [(&str, &str); 1] = [("intake.duct", "{length: 1.2 m, area: 20 cm2}")];

fn input(engine_rpm: f64, fuel_mg: f64) -> PlantInput {
    PlantInput {
        engine_speed_rad_s: engine_rpm * std::f64::consts::PI / 30.0,
        fuel_kg: fuel_mg * 1e-6,
        advance_deg: 5.0,
        ..PlantInput::default()
    }
}

fn lift_off() -> (Plant, Plant) {
    let with = setup(LIFT_OFF, &[]).rig.plant;
    let without = Plant {
        duct: None,
        ..with.clone()
    };
    (with, without)
}

/// With a duct the equilibrium is that of the algebraic flow, and no rate is left.
#[test]
fn an_equilibrium_with_a_duct_is_the_algebraic_one() {
    let mut row = proof::row("surge-equilibrium");
    let (with, without) = lift_off();
    for (rpm, fuel_mg, vane) in [
        (1600.0, 90.0, 0.3),
        (2000.0, 110.0, 0.2),
        (2400.0, 60.0, 0.3),
    ] {
        let input = input(rpm, fuel_mg);
        let a = equilibrium(&with, vane, &input, None).expect("an equilibrium");
        let b = equilibrium(&without, vane, &input, None).expect("an equilibrium");
        let (p, q) = (with.evaluate(&a, &input), without.evaluate(&b, &input));
        let what = (rpm, fuel_mg, vane);
        row.relative(p.compressor.flow_kg_s, q.compressor.flow_kg_s, &what);
        row.relative(p.intake.pressure_pa, q.intake.pressure_pa, &what);
        row.relative(p.compressor_power_w, q.compressor_power_w, &what);
        row.relative(p.shaft_speed_rad_s, q.shaft_speed_rad_s, &what);
        // what is left of the driving pressure, over the pressure
        let duct = with.duct.expect("it has one");
        let full_kg_s2 = duct.acceleration_kg_s2(p.intake.pressure_pa);
        row.see((p.duct_rate_kg_s2 / full_kg_s2).abs(), &what);
    }
    row.done();
}

/// Left of the surge line nothing stays, and the search says so.
#[test]
fn no_equilibrium_is_claimed_left_of_surge() {
    let (with, _) = lift_off();
    let input = input(900.0, 130.0);
    let found = equilibrium(&with, 0.9, &input, None);
    if let Ok(state) = &found {
        let point = with.evaluate(state, &input);
        assert!(!point.compressor.surging, "{point:?}");
    } else {
        assert!(
            matches!(found, Err(NoEquilibrium::Surges { .. })),
            "{found:?}"
        );
    }
}

/// The demonstration's pull stays right of the surge line and takes seconds, the
/// column answers within milliseconds: its peaks may differ by what the flow lags,
/// some 1e-3 s of a pull that moves by less than its peak in a second.
#[test]
fn inertia_does_not_change_the_peaks_of_a_pull() {
    let mut row = proof::row("surge-pull-peaks");
    let without = single(&setup(DEMO, &[])).expect("it starts").result.peaks;
    let with = single(&setup(DEMO, &DUCT)).expect("it starts").result.peaks;
    let pairs = [
        (with.shaft_speed_rpm, without.shaft_speed_rpm),
        (with.boost_kpa_abs, without.boost_kpa_abs),
        (with.drive_pressure_kpa_abs, without.drive_pressure_kpa_abs),
        (with.turbine_inlet_k, without.turbine_inlet_k),
        (with.compressor_outlet_k, without.compressor_outlet_k),
        (
            with.cylinder_pressure_kpa_abs,
            without.cylinder_pressure_kpa_abs,
        ),
        (with.torque_nm, without.torque_nm),
    ];
    for (i, (a, b)) in pairs.into_iter().enumerate() {
        row.relative(a, b, &i);
    }
    row.done();
}

/// The column on its own falls back with s = −(A/L) d(Δp)/dṁ; on the spring of the
/// volume that is the fast root of λ² − s λ + ω² = 0, ω Helmholtz's. The slope is taken
/// from the flow that the compressor settles to at neighbouring pressures, which knows
/// nothing of the column. Shaft, engine and temperatures move the root by about ω²/s².
#[test]
fn the_column_answers_with_the_slope_of_the_stable_branch() {
    let mut row = proof::row("surge-eigenvalue");
    let tube = Tube::new(24.0, 1.2, 20.0, 1800.0);
    for intake_pa in [180e3, 200e3, 215e3] {
        let state = tube.state(intake_pa);
        let point = tube.point(&state);
        assert!(!point.compressor.surging, "{intake_pa} Pa surges");
        let flow = |pa: f64| tube.state(pa).extras.duct_flow_kg_s;
        let step_pa = 1e-4 * intake_pa;
        let slope = 2.0 * step_pa / (flow(intake_pa + step_pa) - flow(intake_pa - step_pa));
        // the neighbouring pressures change the density in the cooler, and its loss
        // with it, which the flow alone does not
        let loss_pa = point.compressor.outlet_pressure_pa - point.intake.pressure_pa;
        let slope = slope * (1.0 - loss_pa / point.intake.pressure_pa);
        let duct = tube.plant.duct.expect("it has one");
        let alone_1_s = duct.area_m2 / duct.length_m * slope;
        let gas = point.intake.properties;
        let gamma = gas.cp_j_kg_k / (gas.cp_j_kg_k - gas.gas_constant_j_kg_k);
        let sound = (gamma * gas.gas_constant_j_kg_k * point.intake.temperature_k).sqrt();
        let omega = std::f64::consts::TAU * duct.helmholtz_hz(tube.plant.intake.volume_m3, sound);
        let half = 0.5 * alone_1_s;
        let expected = half - (half * half - omega * omega).sqrt();
        let nearest = eigenvalues_1_s(&tube.plant, &state, &tube.input)
            .into_iter()
            .min_by(|a, b| (a[0] - expected).abs().total_cmp(&(b[0] - expected).abs()))
            .expect("there are some");
        println!("{intake_pa} Pa: alone {alone_1_s:.0}, expected {expected:.0}, {nearest:?} 1/s");
        row.relative(nearest[0], expected, &(intake_pa, nearest));
    }
    row.done();
}
