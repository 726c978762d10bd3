//! The published forms far from where they were fitted: always a number, no jumps,
//! and the duct around the compressor solved.
use super::points::{BENCHMARK, setup};
use super::proof;
use ringfence::plant::PlantInput;
use ringfence::plant::compressor::{CompressorDemand, CompressorPoint};
use ringfence::plant::engine::EngineDemand;
use ringfence::plant::state::PlantState;
use ringfence::scenario::build::Setup;

fn benchmark(overrides: &[(&str, &str)]) -> Setup {
    let owned: Vec<_> = overrides
        .iter()
        .map(|(p, v)| ((*p).to_owned(), (*v).to_owned()))
        .collect();
    setup(BENCHMARK, &owned)
}

fn demand(speed_rad_s: f64, outlet_pa: f64, losses: [f64; 2]) -> CompressorDemand {
    CompressorDemand {
        shaft_speed_rad_s: speed_rad_s,
        ambient_pressure_pa: 99_510.0,
        inlet_temperature_k: 295.5297,
        gas_constant_j_kg_k: 287.0,
        inlet_loss_pa_s2_kg2: losses[0],
        outlet_loss_pa_s2_kg2: losses[1],
        outlet_pressure_pa: outlet_pa,
    }
}

/// From far below to far above the highest head: a flow that falls strictly with
/// the pressure ratio, with surge told from the surge line on.
#[test]
fn compressor_flow_falls_with_the_pressure_ratio_without_a_jump() {
    let compressor = benchmark(&[]).rig.plant.compressor;
    let at =
        |speed: f64, ratio: f64| compressor.operate(&demand(speed, 99_510.0 * ratio, [0.0; 2]));
    for speed in [0.0, 500.0, 4e3, 8e3, 12e3, 17e3] {
        let mut last: Option<CompressorPoint> = None;
        let mut surged = false;
        for k in 1..=9000 {
            let p = at(speed, 1e-3 * f64::from(k));
            assert!(
                p.flow_kg_s > 0.0 && p.efficiency >= 0.05,
                "{speed} {k}: {p:?}"
            );
            assert!(
                p.surge_margin.is_finite() && p.choke_margin.is_finite(),
                "{p:?}"
            );
            if let Some(last) = last {
                assert!(p.flow_kg_s < last.flow_kg_s, "{speed} {k}");
                // the ellipse is steep near its end, but never by more than the root
                // of a step of a thousandth
                assert!(last.flow_kg_s - p.flow_kg_s < 0.04, "{speed} {k}");
            }
            assert!(!surged || p.surging, "{speed} {k}: out of surge again");
            surged = p.surging;
            last = Some(p);
        }
        assert!(surged);
    }
    // the surge line where it is crossed: Π = 12.353 ṁ_c + 0.6861
    let (mut low, mut high) = (1.0, 6.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if at(10e3, middle).surging {
            high = middle;
        } else {
            low = middle;
        }
    }
    let flow = at(10e3, low).corrected_flow_kg_s;
    assert!((low - 12.353 * flow - 0.6861).abs() < 1e-9, "{low} {flow}");
}

/// With losses in filter and cooler, and without: what goes through the compressor
/// is what both losses ask for, and the ellipse's own ratio is met.
#[test]
fn compressor_and_duct_agree() {
    let mut proof = proof::row("published-duct");
    let compressor = benchmark(&[]).rig.plant.compressor;
    for losses in [[2e4, 0.0], [0.0, 6e4], [2e4, 6e4], [3e5, 3e5]] {
        for speed in [3e3, 7e3, 11e3, 14e3] {
            for outlet_pa in [1.0e5, 1.6e5, 2.4e5, 3.5e5] {
                let p = compressor.operate(&demand(speed, outlet_pa, losses));
                let square = p.flow_kg_s * p.flow_kg_s;
                let inlet_pa = 99_510.0 - losses[0] * square;
                let what = (losses, speed, outlet_pa);
                proof.relative(p.inlet_pressure_pa, inlet_pa, &what);
                let behind_pa = outlet_pa + losses[1] * square;
                proof.relative(p.outlet_pressure_pa, behind_pa, &what);
                // without a duct, between the same pressures at the wheel
                let bare = compressor.operate(&CompressorDemand {
                    ambient_pressure_pa: p.inlet_pressure_pa,
                    ..demand(speed, p.outlet_pressure_pa, [0.0; 2])
                });
                proof.relative(p.flow_kg_s, bare.flow_kg_s, &what);
            }
        }
    }
    proof.done();
}

/// The head over the reference temperature makes the corrected map the same on a
/// cold and on a hot day; over the inlet's, as published, it does not.
#[test]
fn head_at_the_reference_corrects_once() {
    let flows = |head_at: &str| {
        let set = [("compressor.form.head_and_flow.head_at", head_at)];
        let compressor = benchmark(&set).rig.plant.compressor;
        [253.15, 298.4636, 313.15].map(|t_k: f64| {
            let d = CompressorDemand {
                inlet_temperature_k: t_k,
                ..demand(11e3 * (t_k / 298.4636).sqrt(), 2.6e5, [0.0; 2])
            };
            compressor.operate(&d).corrected_flow_kg_s
        })
    };
    let [cold, usual, hot] = flows("reference");
    assert!((cold / usual - 1.0).abs() < 1e-12 && (hot / usual - 1.0).abs() < 1e-12);
    let [cold, published, hot] = flows("inlet");
    assert!((published / usual - 1.0).abs() < 1e-12);
    assert!(
        cold / usual > 1.03 && hot / usual < 0.98,
        "{cold} {usual} {hot}"
    );
}

/// Every state that a Newton step or an integrator may try has flows and rates.
#[test]
fn no_form_ever_loses_a_number() {
    let mut tried = 0;
    for wastegate in [0.0, 0.3, 1.0] {
        let plant = benchmark(&[]).rig.plant;
        for intake_pa in [5e3, 0.8e5, 0.9951e5, 2e5, 6e5] {
            for exhaust_pa in [5e3, 1.0e5, 1.0587e5, 1.058_700_1e5, 3e5, 9e5] {
                for speed in [0.0, 10.0, 3e3, 12e3, 2e4] {
                    let z = [intake_pa, exhaust_pa, speed];
                    let state: PlantState = plant.state_of_unknowns(&z, 0.0);
                    for (engine_rad_s, fuel_kg) in [
                        (0.0, 0.0),
                        (0.0, 1e-4),
                        (60.0, 0.0),
                        (160.0, 1e-4),
                        (320.0, 4e-4),
                    ] {
                        let input = PlantInput {
                            engine_speed_rad_s: engine_rad_s,
                            fuel_kg,
                            wastegate_open: wastegate,
                            turbine_area_factor: 0.8,
                            ..PlantInput::default()
                        };
                        let point = plant.evaluate(&state, &input);
                        let lost = plant.rates(&point).first_not_finite().map(|s| s.name);
                        assert_eq!(lost, None, "{z:?} {input:?}");
                        assert!(point.exhaust.temperature_k > 100.0, "{z:?} {input:?}");
                        tried += 1;
                    }
                }
            }
        }
    }
    assert_eq!(tried, 3 * 5 * 6 * 5 * 5);
}

/// The formula of the volumetric efficiency serves the engine with a cycle as well,
/// at the back pressure of the moment.
#[test]
fn volumetric_efficiency_by_formula_for_any_engine() {
    let by = |effect: &str| {
        let formula = format!(
            "{{formula: {{per_root_pressure: 1.4393e-4, per_root_speed: -0.0239, \
             constant: 1.1339, back_pressure_effect: {effect}}}}}"
        );
        let owned = [("engine.volumetric_efficiency".to_owned(), formula)];
        let plant = setup("scenarios/rescue-tender.yaml", &owned).rig.plant;
        let content = |volume: &ringfence::plant::volume::Volume, pa, k, burned| {
            let content = volume.content_at(&plant.gas, pa, k, burned);
            volume.gas_state(&plant.gas, &content)
        };
        let intake = content(&plant.intake, 2.5e5, 320.0, 0.0);
        let exhaust = content(&plant.exhaust, 3.0e5, 900.0, 0.7);
        let point = plant.engine.operate(&EngineDemand {
            gas: &plant.gas,
            intake: &intake,
            exhaust: &exhaust,
            speed_rad_s: 180.0,
            fuel_kg: 1e-4,
            advance_deg: 6.0,
        });
        let g = plant.engine.geometry();
        let density = intake.pressure_pa / (intake.properties.gas_constant_j_kg_k * 320.0);
        let swept_m3_s = g.cycles_per_second(180.0) * g.displacement_m3;
        point.intake_flow_kg_s / (density * swept_m3_s)
    };
    // the formula by hand: 1.4393e-4 √250 000 − 0.0239 √180 + 1.1339
    let expected = 0.071_965 - 0.320_652_8 + 1.1339;
    assert!((by("0") / expected - 1.0).abs() < 1e-6, "{}", by("0"));
    // more pressure behind than ahead: residual gas takes room
    let with = by("1") / expected;
    assert!((0.985..0.999).contains(&with), "{with}");
}
