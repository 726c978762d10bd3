//! A wastegate beside any turbine, and what stands behind both.
use super::points::{BENCHMARK, setup};
use super::proof;
use ringfence::plant::PlantInput;
use ringfence::plant::turbine::TurbineDemand;
use ringfence::scenario::build::Setup;
use ringfence::simulation::{Ending, Recorder, run};

const TENDER: &str = "scenarios/rescue-tender.yaml";

fn with(path: &str, overrides: &[(&str, &str)]) -> Setup {
    let owned: Vec<_> = overrides
        .iter()
        .map(|(p, v)| ((*p).to_owned(), (*v).to_owned()))
        .collect();
    setup(path, &owned)
}

fn tender_with(opening: &str, law: &str) -> Setup {
    let wastegate = format!("{{area: 2 cm2, opening: {opening}, flow: {law}}}");
    with(TENDER, &[("turbine.wastegate", &wastegate)])
}

/// Behind the vaned turbine with its wastegate the exhaust system's loss is that of
/// both flows at their mixed temperature, whatever the opening and the law.
#[test]
fn the_exhaust_system_sees_both_flows() {
    let mut proof = proof::row("published-outlet");
    for law in ["isentropic", "{root: {factor: 0.6666, exponent: 5.3517}}"] {
        for opening in ["0 %", "15 %", "100 %"] {
            let setup = tender_with(opening, law);
            let plant = &setup.rig.plant;
            let open = plant.wastegate.expect("it has one").opening;
            for exhaust_pa in [0.97e5, 1.2e5, 2.5e5, 5e5] {
                let z = [2e5, 320.0, exhaust_pa, 900.0, 0.7, 9e3];
                let state = plant.state_of_unknowns(&z, 0.4);
                let input = PlantInput {
                    wastegate_open: open,
                    ..PlantInput::default()
                };
                let p = plant.evaluate(&state, &input);
                let flow = p.turbine.flow_kg_s + p.wastegate.flow_kg_s;
                assert!(flow > 0.0 && (p.wastegate.flow_kg_s > 0.0) == (open > 0.0));
                let enthalpy = (p.turbine.outlet_enthalpy_w + p.wastegate.enthalpy_w) / flow;
                let burned = p.exhaust.burned;
                let t_k = plant.gas.temperature_from_enthalpy_k(enthalpy, burned);
                let outlet_pa = p.turbine.outlet_pressure_pa;
                let density = outlet_pa / (plant.gas.gas_constant_j_kg_k(burned) * t_k);
                let loss_pa = plant.exhaust_system.coefficient_pa_s2_kg2(density) * flow * flow;
                let ambient_pa = plant.ambient.pressure_pa;
                proof.relative(outlet_pa, ambient_pa + loss_pa, &(law, opening, exhaust_pa));
            }
        }
    }
    proof.done();
}

/// Shut, it changes nothing but the temperature in the loss of the exhaust system,
/// which the vaned turbine alone takes with an error that moves the outlet pressure
/// by less than 0.3 % (docs/theory/turbine.md).
#[test]
fn a_shut_wastegate_is_none() {
    let (without, shut) = (with(TENDER, &[]), tender_with("0 %", "isentropic"));
    let z = [2e5, 320.0, 3e5, 900.0, 0.7, 9e3];
    let at = |setup: &Setup| {
        let plant = &setup.rig.plant;
        let state = plant.state_of_unknowns(&z, 0.4);
        plant.evaluate(&state, &PlantInput::default()).turbine
    };
    let (a, b) = (at(&without), at(&shut));
    assert!((a.outlet_pressure_pa / b.outlet_pressure_pa - 1.0).abs() < 3e-3);
    assert!((a.flow_kg_s / b.flow_kg_s - 1.0).abs() < 3e-3);
}

/// A pull with the wastegate ajar ends with less boost reachable, and everything is
/// still accounted for at the boundary, energy included.
#[test]
fn a_pull_past_the_wastegate_balances() {
    let mut proof = proof::row("published-wastegate-balance");
    let pull = [(
        "procedure",
        "[{pull: {from: 1300 rpm, to: 2000 rpm, duration: 2 s}}]",
    )];
    for opening in ["0 %", "30 %"] {
        let wastegate = format!("{{area: 3 cm2, opening: {opening}}}");
        let setup = with(TENDER, &[pull[0], ("turbine.wastegate", &wastegate)]);
        let mut seen = Recorder::default();
        let outcome = run(&setup.rig, &setup.procedure, &mut seen).expect("a start");
        assert_eq!(outcome.ending, Ending::Finished);
        for residual in [
            outcome.residuals.mass,
            outcome.residuals.energy,
            outcome.residuals.burned,
        ] {
            proof.see(residual.abs(), &opening);
        }
    }
    proof.done();
}

/// The published turbine behind an exhaust system instead of a held pressure: the
/// form solves the loss itself, and stays where it was if the loss is none.
#[test]
fn the_published_turbine_behind_an_exhaust_system() {
    let set = [
        ("exhaust.outlet_pressure", "null"),
        ("exhaust.system", "{loss: 12 kPa, at_flow: 0.3 kg/s}"),
        ("turbine.wastegate", "null"),
    ];
    let setup = with(BENCHMARK, &set);
    let plant = &setup.rig.plant;
    let state = plant.state_of_unknowns(&[2.4e5, 2.4e5, 11e3], 0.0);
    let input = PlantInput {
        engine_speed_rad_s: 160.0,
        fuel_kg: 1e-4,
        ..PlantInput::default()
    };
    let p = plant.evaluate(&state, &input);
    let outlet_pa = p.turbine.outlet_pressure_pa;
    assert!(outlet_pa > plant.ambient.pressure_pa + 2e3, "{outlet_pa}");
    let ambient = ringfence::gas::Ambient {
        pressure_pa: outlet_pa,
        ..plant.ambient
    };
    let held = plant.turbine.operate(&TurbineDemand {
        gas: &plant.gas,
        inlet: &p.exhaust,
        ambient: &ambient,
        shaft_speed_rad_s: p.shaft_speed_rad_s,
        vane_closed: 0.0,
        area_factor: 1.0,
        system: &ringfence::plant::restriction::Restriction::NONE,
    });
    assert!((held.flow_kg_s / p.turbine.flow_kg_s - 1.0).abs() < 1e-12);
    assert!((held.power_w / p.turbine.power_w - 1.0).abs() < 1e-12);
}
