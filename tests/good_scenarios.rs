//! Sound scenarios load without a word.
use std::path::Path;

use ringfence::quantity::*;
use ringfence::scenario::{
    AmbientSource, AntiWindup, BoostTapping, CommandTable, CompressorForm, Coolant, Embedded,
    FuelDemand, Loaded, OpenLoopVanes, ProcedurePart, Scenario, TurbineForm, load, load_from,
};

const DEMO: &str = include_str!("good_scenarios/tender.yaml");
const MAP: &str = include_str!("bad_scenarios/parts/compressor.csv");

fn load_text(text: &str, overrides: &[(&str, &str)]) -> Loaded {
    let files = Embedded::new()
        .with("tender.yaml", text)
        .with("rescue-tender/compressor.csv", MAP);
    let overrides: Vec<_> = overrides
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    load_from(&files, Path::new("tender.yaml"), &overrides, None)
        .unwrap_or_else(|errors| panic!("{errors}"))
}

fn demo() -> Scenario {
    load_text(DEMO, &[]).scenario
}

/// Replaces a part of the demo that must be there.
fn with(from: &str, to: &str) -> String {
    assert!(DEMO.contains(from), "the text has no `{from}`");
    DEMO.replace(from, to)
}

#[test]
fn the_demo_means_what_it_says() {
    let demo = demo();
    assert!(demo.about.title.starts_with("Mountain-rescue"));
    assert!(
        matches!(demo.ambient.source, AmbientSource::Altitude { altitude, .. } if altitude.m() == 400.0)
    );
    assert_eq!(demo.engine.cylinders, 6);
    assert_eq!(
        demo.intake.cooler.coolant,
        Coolant::AboveAmbient(TemperatureRise::from_k(8.0))
    );
    assert!(
        matches!(&demo.compressor.form, CompressorForm::SpeedLines(map) if map.lines().len() == 4)
    );
    let controller = demo.controller.expect("the demo has a controller");
    assert_eq!(controller.feedback.anti_windup, AntiWindup::Clamping);
    assert!(
        matches!(&controller.command.boost, CommandTable::Absolute(rows) if rows[3][2].kpa() == 300.0)
    );
    assert!(controller.command.barometric.is_none());
    assert_eq!(demo.sensors.boost.ecu_line, demo.sensors.boost.line);
    assert_eq!(demo.sensors.boost.tapping, BoostTapping::Static);
    assert!(matches!(&demo.procedure[0], ProcedurePart::Pull(pull) if pull.settle.s() == 3.0));
    assert_eq!(demo.uncertainty.len(), 2);
    assert_eq!(demo.solver.tolerance, 1e-5);
}

#[test]
fn the_files_read_are_told() {
    assert_eq!(
        load_text(DEMO, &[]).files,
        ["tender.yaml", "rescue-tender/compressor.csv"]
    );
}

#[test]
fn the_base_of_the_bad_scenarios_is_sound() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad_scenarios/parts/base.yaml");
    load(&path, &[], None).unwrap_or_else(|errors| panic!("{errors}"));
}

#[test]
fn protections_in_comments_work_once_uncommented() {
    let scenario = load_text(&DEMO.replace("\n    # ", "\n    "), &[]).scenario;
    let protections = scenario.controller.unwrap().protections;
    assert_eq!(protections.command_clamp.unwrap().margin.kpa(), 14.0);
    assert!(protections.pinned_sensor.is_some() && protections.frozen_sensor.is_some());
    assert!(protections.drive_pressure.is_some() && protections.shaft_speed.is_some());
}

#[test]
fn ambient_by_pressure_and_coolant_by_temperature() {
    let text = with(
        "  altitude: 400 m\n  temperature_offset: 5 K ",
        "  pressure: 96.6 kPa abs\n  temperature: 17 degC ",
    )
    .replace("coolant_above_ambient: 8 K", "coolant: 35 degC")
    .replace("  altitudes: [400 m, 2600 m]\n", "");
    let scenario = load_text(&text, &[]).scenario;
    assert_eq!(
        scenario.ambient.source,
        AmbientSource::Given {
            pressure: AbsolutePressure::from_kpa(96.6),
            temperature: Temperature::from_deg_c(17.0)
        }
    );
    assert_eq!(
        scenario.intake.cooler.coolant,
        Coolant::Fixed(Temperature::from_deg_c(35.0))
    );
    assert!(scenario.ceiling.altitudes.is_empty());
}

/// A turbine from a map: read from its file beside the scenario, and built.
#[test]
fn a_measured_turbine_is_read_from_its_file() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let shipped = load(&root.join("scenarios/measured-turbine.yaml"), &[], None)
        .unwrap_or_else(|faults| panic!("{faults}"));
    let TurbineForm::Measured(map) = &shipped.scenario.turbine.form else {
        panic!("{:?}", shipped.scenario.turbine.form);
    };
    assert_eq!(map.vanes().len(), 11);
    assert_eq!(shipped.scenario.turbine.wheel_diameter.mm(), 60.0);
    assert!(
        shipped.files.iter().any(|f| f.ends_with("turbine.csv")),
        "{:?}",
        shipped.files
    );
    // laid over another form with one override, as with any choice
    let sets = [
        (
            "turbine.form".to_owned(),
            "{measured: {file: rescue-tender/turbine.csv}}".to_owned(),
        ),
        ("uncertainty".to_owned(), "null".to_owned()),
        ("production".to_owned(), "null".to_owned()),
    ];
    let over = load(&root.join("scenarios/rescue-tender.yaml"), &sets, None)
        .unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(over.scenario.turbine, shipped.scenario.turbine);
}

#[test]
fn a_wheel_brings_its_own_diameter() {
    let wheel = "    wheel:\n      tip_diameter: 66 mm\n      tip_width: 4.6 mm\n      backsweep: 38 deg\n      blades: 6\n      splitter_blades: 6\n      inducer_tip_diameter: 48 mm\n      inducer_hub_diameter: 15 mm\n      throat_area: 11 cm2\n      peak_efficiency: 0.78\n      top_tip_speed: 560 m/s\n";
    let text = with(
        "    speed_lines: rescue-tender/compressor.csv\n  wheel_diameter: 66 mm\n",
        wheel,
    );
    let compressor = load_text(&text, &[]).scenario.compressor;
    assert_eq!(compressor.wheel_diameter.mm(), 66.0);
    assert!(matches!(compressor.form, CompressorForm::Wheel(_)));
}

/// The same engine in the units of another country: equal within the rounding
/// of the text.
#[test]
fn us_units_give_the_same_values() {
    let psi = 6.894_757_293_168_361; // kPa, international pound and inch
    let text = with(
        "altitude: 400 m\n",
        &format!("altitude: {} ft\n", 400.0 / 0.3048),
    )
    .replace(
        "displacement: 5.1 l",
        &format!("displacement: {} in3", 5100.0 / 16.387_064),
    )
    .replace("stroke: 124 mm", &format!("stroke: {} in", 124.0 / 25.4))
    .replace("turbine_inlet: 760 degC", "turbine_inlet: 1400 degF")
    .replace(
        "drive_pressure: 520 kPa abs",
        &format!("drive_pressure: {} psi abs", 520.0 / psi),
    )
    .replace(
        "at_flow: 0.40 kg/s",
        &format!("at_flow: {} lb/min", 0.40 * 60.0 / 0.453_592_37),
    );
    let (us, si) = (load_text(&text, &[]).scenario, demo());
    let near = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-12, "{a} and {b}");
    near(us.engine.displacement.m3(), si.engine.displacement.m3());
    near(us.engine.stroke.m(), si.engine.stroke.m());
    near(
        us.limits.turbine_inlet.unwrap().k(),
        si.limits.turbine_inlet.unwrap().k(),
    );
    near(
        us.limits.drive_pressure.unwrap().pa(),
        si.limits.drive_pressure.unwrap().pa(),
    );
    near(
        us.intake.filter.at_flow.kg_s(),
        si.intake.filter.at_flow.kg_s(),
    );
}

#[test]
fn a_gauge_command_stays_gauge() {
    let mut text = DEMO.to_owned();
    for (from, to) in [
        (
            "[100 kPa abs, 130 kPa abs, 160 kPa abs]",
            "[0 psi gauge, 5 psi gauge, 10 psi gauge]",
        ),
        (
            "[100 kPa abs, 160 kPa abs, 240 kPa abs]",
            "[0 psi gauge, 10 psi gauge, 20 psi gauge]",
        ),
        (
            "[105 kPa abs, 190 kPa abs, 290 kPa abs]",
            "[1 psi gauge, 14 psi gauge, 28 psi gauge]",
        ),
        (
            "[110 kPa abs, 210 kPa abs, 300 kPa abs]",
            "[2 psi gauge, 16 psi gauge, 29 psi gauge]",
        ),
    ] {
        assert!(text.contains(from));
        text = text.replace(from, to);
    }
    let controller = load_text(&text, &[]).scenario.controller.unwrap();
    assert!(
        matches!(&controller.command.boost, CommandTable::Gauge(rows) if (rows[3][2].psi() - 29.0).abs() < 1e-9)
    );
}

/// A command above what the sensor can read is the subject of the tool, not an error.
#[test]
fn an_unreadable_command_is_accepted() {
    load_text(
        DEMO,
        &[
            ("controller.command.boost.3.2", "345 kPa abs"),
            ("controller.protections.over_boost.above", "380 kPa abs"),
        ],
    );
}

#[test]
fn open_loop_may_stand_beside_or_instead_of_a_controller() {
    let beside = load_text(DEMO, &[("open_loop.vanes.closed", "40 %")]).scenario;
    assert!(beside.controller.is_some());
    assert_eq!(
        beside.open_loop.map(|open_loop| open_loop.vanes),
        Some(OpenLoopVanes::Closed(Fraction::from_percent(40.0)))
    );
    let start = DEMO.find("\ncontroller:").unwrap();
    let end = DEMO.find("\nprocedure:").unwrap();
    let instead = format!(
        "{}\nopen_loop: {{vanes: {{drive_pressure: 892 kPa abs}}}}\n{}",
        &DEMO[..start],
        &DEMO[end..]
    );
    assert!(load_text(&instead, &[]).scenario.controller.is_none());
}

#[test]
fn procedures_of_every_kind() {
    let start = DEMO.find("\nprocedure:").unwrap();
    let end = DEMO.find("\nlimits:").unwrap();
    let procedure = "\nprocedure:\n  - hold: {engine_speed: 2000 rpm, duration: 20 s}\n  - hold: {engine_speed: 2000 rpm, fuel: 60 mg, duration: 20 s}\n  - load_step: {engine_speed: 1600 rpm, fuel_from: 30 mg, at: 1 s, duration: 10 s}\n  - pull: {from: 2700 rpm, to: 1300 rpm, duration: 8 s}\n";
    let text = format!("{}{procedure}{}", &DEMO[..start], &DEMO[end..]);
    let parts = load_text(&text, &[]).scenario.procedure;
    assert!(matches!(&parts[0], ProcedurePart::Hold(hold) if hold.fuel == FuelDemand::Full));
    assert!(
        matches!(&parts[1], ProcedurePart::Hold(hold) if hold.fuel == FuelDemand::Quantity(FuelQuantity::from_mg(60.0)))
    );
    assert!(matches!(&parts[2], ProcedurePart::LoadStep(step) if step.fuel_to == FuelDemand::Full));
    assert!(matches!(&parts[3], ProcedurePart::Pull(pull) if pull.settle.s() == 0.0));
}

#[test]
fn the_ceiling_section_may_be_left_out() {
    let start = DEMO.find("\nceiling:").unwrap();
    let end = DEMO.find("\nuncertainty:").unwrap();
    let ceiling = load_text(&format!("{}{}", &DEMO[..start], &DEMO[end..]), &[])
        .scenario
        .ceiling;
    assert_eq!(ceiling.engine_speeds.len(), 6);
    assert_eq!(ceiling.pull_from.rpm().round(), 800.0);
    assert_eq!((ceiling.step.kpa(), ceiling.afterwards.s()), (1.0, 20.0));
}

#[test]
fn overrides_reach_lists_choices_and_new_keys() {
    let scenario = load_text(
        DEMO,
        &[
            ("procedure.0.pull.to", "2800 rpm"),
            ("controller.feedback.anti_windup.back_calculation", "0.5 s"),
            ("sensors.boost.offset", "-3 kPa"),
            ("ambient.altitude", "2600 m"),
        ],
    )
    .scenario;
    assert!(
        matches!(&scenario.procedure[0], ProcedurePart::Pull(pull) if pull.to.rpm().round() == 2800.0)
    );
    let feedback = scenario.controller.unwrap().feedback;
    assert_eq!(
        feedback.anti_windup,
        AntiWindup::BackCalculation(Duration::from_s(0.5))
    );
    assert_eq!(scenario.sensors.boost.offset.kpa().round(), -3.0);
}

#[test]
fn null_in_an_override_takes_a_key_away() {
    let scenario = load_text(
        DEMO,
        &[
            ("ambient.altitude", "null"),
            ("ambient.temperature_offset", "null"),
            ("ceiling.altitudes", "null"),
            ("ambient.pressure", "70 kPa abs"),
            ("ambient.temperature", "5 degC"),
            ("controller.smoke_limit", "null"),
            ("controller.protections.over_boost", "~"),
            ("limits.lambda", "null"),
            // a key that the file lacks may be taken away; other files have it
            ("controller.protections.frozen_sensor", "null"),
        ],
    )
    .scenario;
    assert!(matches!(
        scenario.ambient.source,
        AmbientSource::Given { .. }
    ));
    let controller = scenario.controller.unwrap();
    assert_eq!(controller.smoke_limit, None);
    assert!(controller.protections.over_boost.is_none());
    assert!(scenario.limits.lambda.is_none());
    let files = Embedded::new()
        .with("tender.yaml", DEMO)
        .with("rescue-tender/compressor.csv", MAP);
    for (path, field) in [
        ("limits.lamda", "limits.lamda"),
        ("nonsense.below", "nonsense"),
        ("procedure.0", "procedure.0"),
        ("about.title.below", "about.title.below"),
    ] {
        let overrides = [(path.to_owned(), "null".to_owned())];
        let errors = load_from(&files, Path::new("tender.yaml"), &overrides, None)
            .expect_err("there is nothing to take away")
            .to_string();
        assert!(errors.contains("to take away"), "{errors}");
        assert!(errors.contains(field), "{errors}");
    }
}

#[test]
fn a_layer_replaces_values_choices_and_lists_and_takes_keys_away() {
    let layer = "extends: base/tender.yaml
about: {title: Layered}
ambient: {altitude: null, temperature_offset: null, pressure: 90 kPa abs, temperature: 10 degC}
ceiling: {altitudes: null}
controller: {feedback: {anti_windup: {back_calculation: 1 s}}}
procedure: [{hold: {engine_speed: 2000 rpm, duration: 5 s}}]
";
    let files = Embedded::new()
        .with("top.yaml", layer)
        .with("base/tender.yaml", DEMO)
        .with("base/rescue-tender/compressor.csv", MAP);
    let loaded = load_from(&files, Path::new("top.yaml"), &[], None)
        .unwrap_or_else(|errors| panic!("{errors}"));
    let scenario = loaded.scenario;
    assert_eq!(scenario.about.title, "Layered");
    assert!(matches!(
        scenario.ambient.source,
        AmbientSource::Given { .. }
    ));
    assert_eq!(scenario.procedure.len(), 1);
    assert_eq!(scenario.engine.cylinders, 6);
    assert_eq!(
        loaded.files,
        [
            "top.yaml",
            "base/tender.yaml",
            "base/rescue-tender/compressor.csv"
        ]
    );
}

#[test]
fn anchors_and_merge_keys_are_fine() {
    let text = with(
        "  system:\n    loss: 11 kPa\n    at_flow: 0.40 kg/s\n",
        "  system:\n    <<: *pipe\n    loss: 11 kPa\n",
    );
    let text = text.replace(
        "  filter:\n    loss: 4 kPa\n",
        "  filter: &pipe\n    loss: 4 kPa\n",
    );
    let scenario = load_text(&text, &[]).scenario;
    let system = scenario.exhaust.system.expect("the demo has one");
    assert_eq!(system.loss.kpa(), 11.0);
    assert!((system.at_flow.kg_s() - 0.40).abs() < 1e-12);
}

#[test]
fn total_pressure_and_a_wrong_ecu_line() {
    let text = with(
        "    pressure: static",
        "    pressure: total\n    pipe_area: 38 cm2\n    ecu_line: {low: {at: 20 kPa abs, reads: 0.40 V}, high: {at: 330 kPa abs, reads: 4.60 V}}",
    );
    let boost = load_text(&text, &[]).scenario.sensors.boost;
    assert!(matches!(boost.tapping, BoostTapping::Total(area) if (area.cm2() - 38.0).abs() < 1e-9));
    assert_ne!(boost.ecu_line, boost.line);
}

#[test]
fn optional_elements_are_read() {
    let text = with(
        "compressor:\n",
        "recirculation:\n  valve:\n    area: 5 cm2\n    opening: {fuel: [20 mg, 60 mg], open: [60 %, 0 %]}\n  cooler: {effectiveness: 0.85}\n  check_valve: 1 kPa\nvolumes:\n  - {place: airbox, volume: 8 l, wall_loss: 3 W/K}\n  - {place: turbine_outlet, volume: 6 l}\ncompressor:\n",
    );
    let overrides = [
        ("intake.cooler.heat_soak", "{heat_capacity: 4 kJ/K}"),
        ("vanes.backlash", "2 %"),
    ];
    let scenario = load_text(&text, &overrides).scenario;
    let recirculation = scenario.recirculation.expect("it is there");
    assert_eq!(recirculation.valve.opening.open[0].percent(), 60.0);
    assert_eq!(recirculation.cooler.coolant, Temperature::from_deg_c(90.0));
    assert_eq!(recirculation.check_valve.map(|p| p.kpa()), Some(1.0));
    let soak = scenario.intake.cooler.heat_soak.expect("it is there");
    assert_eq!(soak.heat_capacity.j_k(), 4000.0);
    assert_eq!(soak.core_effectiveness, 0.96);
    assert_eq!(scenario.vanes.backlash.percent(), 2.0);
    assert_eq!(scenario.volumes.len(), 2);
    assert_eq!(scenario.volumes[0].wall_loss.w_k(), 3.0);
}

#[test]
fn a_duct_may_have_inertia_and_need_not() {
    assert!(demo().intake.duct.is_none());
    let text = with(
        "  volume: 16 l\n",
        "  volume: 16 l\n  duct:\n    length: 1.2 m\n    area: 20 cm2\n",
    );
    let duct = load_text(&text, &[]).scenario.intake.duct;
    let duct = duct.expect("the text has one");
    assert_eq!(duct.length.m(), 1.2);
    assert!((duct.area.m2() - 20e-4).abs() < 1e-15);
}
