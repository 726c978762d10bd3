//! Forms of published models, and what they ask of the rest of the scenario.

use super::Checker;
use crate::quantity::*;
use crate::scenario::document::Fault;
use crate::scenario::file::FuelDemand;

const CURVE: &str = "engine.combustion.efficiency_curve";

pub fn check(c: &mut Checker) {
    gas(c);
    engine(c);
    head_and_flow(c);
    area_and_speed(c);
    wastegate(c);
    outlet(c);
    exhaust_temperature(c);
    c.range::<Temperature>(
        "intake.thermal.isothermal",
        "200 K",
        "600 K",
        "the charge as it enters the engine",
    );
    c.range::<Duration>(
        "open_loop.period",
        "0.1 ms",
        "100 ms",
        "the distance of the rows of the trace",
    );
    for index in 0..c.count("procedure") {
        step(c, &format!("procedure.{index}.step"));
    }
}

fn gas(c: &mut Checker) {
    for gas in ["air", "exhaust"] {
        let at = |key: &str| format!("gas.constant.{gas}.{key}");
        c.range::<SpecificHeat>(
            &at("gas_constant"),
            "200 J/(kg K)",
            "400 J/(kg K)",
            "air has 287 J/(kg K)",
        );
        c.range::<SpecificHeat>(
            &at("specific_heat"),
            "900 J/(kg K)",
            "1600 J/(kg K)",
            "at constant pressure: air has about 1005 J/(kg K)",
        );
    }
    c.range::<f64>(
        "gas.constant.stoichiometric_air_fuel",
        "5",
        "40",
        "mass of air for one mass of fuel: diesel fuel needs about 14.5",
    );
}

fn engine(c: &mut Checker) {
    let at = |key: &str| format!("{CURVE}.{key}");
    for key in ["efficiency_without_fuel", "best_efficiency"] {
        c.range::<f64>(&at(key), "0.1", "1", "a share of the ideal cycle's work");
    }
    c.positive::<f64>(
        &at("best_fuel_per_speed"),
        "0",
        "fuel of one injection over crankshaft speed, in mg s/rad",
    );
    c.range::<f64>(
        &at("cycle_gamma"),
        "1.1",
        "1.5",
        "a ratio of specific heats",
    );
    c.range::<f64>(
        &at("exhaust_compensation"),
        "0.3",
        "3",
        "1 is the ideal cycle",
    );
    c.range::<Temperature>(
        &at("pipe_surroundings"),
        "200 K",
        "800 K",
        "what the exhaust pipe stands in",
    );
    c.not_negative::<HeatConductance>(
        &at("pipe_loss"),
        "0 W/K",
        "heat flows from warm to cold by itself",
    );
    c.range::<f64>(
        "engine.volumetric_efficiency.formula.back_pressure_effect",
        "0",
        "2",
        "1 is the full residual-gas correction",
    );
    let by_cycle = c.has("engine.combustion.limited_pressure");
    if by_cycle && !c.has("engine.friction") {
        c.refuse(
            "engine.friction",
            Fault::new(
                "`friction` is missing",
                "the friction of the engine as a mean pressure",
                "add `friction: {constant: 38 kPa}`, for example",
            )
            .reading("no `friction`"),
        );
    }
    if !c.has(CURVE) {
        return;
    }
    for (path, message, hint) in [
        (
            "engine.friction",
            "friction is given twice",
            "remove it: `efficiency_curve` has its own",
        ),
        (
            "limits.cylinder_pressure",
            "this engine knows no cylinder pressure",
            "remove the limit, or describe combustion by `limited_pressure`",
        ),
    ] {
        if c.has(path) {
            let allowed = format!("a scenario without `{path}`");
            c.refuse_section(path, Fault::new(message, allowed, hint).reading(path));
        }
    }
}

fn head_and_flow(c: &mut Checker) {
    let at = |key: &str| format!("compressor.form.head_and_flow.{key}");
    c.range::<AbsolutePressure>(
        &at("reference_pressure"),
        "50 kPa abs",
        "120 kPa abs",
        "corrected flows refer to a usual ambient",
    );
    c.range::<Temperature>(
        &at("reference_temperature"),
        "230 K",
        "330 K",
        "corrected flows refer to a usual ambient",
    );
    c.range::<Length>(
        &at("radius"),
        "10 mm",
        "100 mm",
        "the radius in head and flow coefficient, not the diameter",
    );
    c.range::<f64>(
        &at("head_coefficient"),
        "0.2",
        "3",
        "twice the isentropic enthalpy rise over squared tip speed",
    );
    for key in ["speed_scale", "stated_to_speed"] {
        c.positive::<RotationalSpeed>(&at(key), "0 rpm", "a speed of the shaft");
    }
    c.positive::<MassFlow>(&at("flow_constant"), "0 kg/s", "the largest flow at rest");
    for key in ["flow_per_speed", "flow_per_speed_squared"] {
        c.not_negative::<MassFlow>(&at(key), "0 kg/s", "a faster wheel passes more");
    }
    c.range::<f64>(
        &at("peak_efficiency"),
        "0.3",
        "0.9",
        "a share: 0.79 means 79 %",
    );
    c.positive::<f64>(
        &at("best_flow_coefficient"),
        "0",
        "volume flow over 8 × speed × radius³",
    );
    for key in ["curvature_flow", "curvature_speed", "surge_slope"] {
        c.not_negative::<f64>(&at(key), "0", "the sign is in the formula");
    }
}

fn area_and_speed(c: &mut Checker) {
    let at = |key: &str| format!("turbine.form.area_and_speed.{key}");
    c.positive::<Area>(&at("area"), "0 cm2", "the effective area of the turbine");
    c.range::<f64>(&at("area_factor"), "0.05", "20", "1 is the area as given");
    c.range::<f64>(&at("flow_factor"), "0.1", "2", "about 0.7");
    c.range::<f64>(&at("flow_exponent"), "0.5", "20", "about 2.4");
    c.range::<f64>(
        &at("peak_efficiency"),
        "0.3",
        "0.9",
        "a share: 0.68 means 68 %",
    );
    c.range::<f64>(
        &at("best_blade_speed_ratio"),
        "0.3",
        "1",
        "blade speed over the speed of a loss-free expansion, about 0.65",
    );
    c.range::<f64>(
        &at("efficiency_curvature"),
        "0",
        "20",
        "drop per squared distance in blade-speed ratio, about 2",
    );
    for key in [
        "stated_from_blade_speed_ratio",
        "stated_to_blade_speed_ratio",
    ] {
        c.range::<f64>(&at(key), "0", "2", "a blade-speed ratio");
    }
}

fn wastegate(c: &mut Checker) {
    c.positive::<Area>(
        "turbine.wastegate.area",
        "0 cm2",
        "leave the section out for a turbine without wastegate",
    );
    c.share("turbine.wastegate.opening");
    c.range::<f64>(
        "turbine.wastegate.flow.root.factor",
        "0.1",
        "2",
        "about 0.7",
    );
    c.range::<f64>(
        "turbine.wastegate.flow.root.exponent",
        "0.5",
        "20",
        "about 5",
    );
}

/// The exhaust system or the pressure ahead of it.
fn outlet(c: &mut Checker) {
    c.range::<AbsolutePressure>(
        "exhaust.outlet_pressure",
        "45 kPa abs",
        "250 kPa abs",
        "the pressure behind the turbine, a little above ambient",
    );
    if !c.has("exhaust") {
        return;
    }
    let allowed = "one of `system` and `outlet_pressure`";
    match (c.has("exhaust.system"), c.has("exhaust.outlet_pressure")) {
        (true, true) => c.refuse(
            "exhaust.outlet_pressure",
            Fault::new(
                "the turbine outlet is given twice",
                allowed,
                "keep one; `--set exhaust.system=null` takes the other away",
            ),
        ),
        (false, false) => c.refuse(
            "exhaust.system",
            Fault::new(
                "`system` is missing",
                allowed,
                "add `system: {loss: 11 kPa, at_flow: 0.40 kg/s}`, for example",
            )
            .reading("neither of the two"),
        ),
        _ => {}
    }
}

/// Only the engine with a formula can set the exhaust temperature.
fn exhaust_temperature(c: &mut Checker) {
    if c.has("exhaust.thermal.isothermal") && c.has("engine.combustion") && !c.has(CURVE) {
        c.refuse(
            "exhaust.thermal.isothermal",
            Fault::new(
                "this engine has no formula for its exhaust temperature",
                "`energy_balance`, or `engine.combustion.efficiency_curve`",
                "leave `exhaust.thermal` out",
            ),
        );
    }
}

fn step(c: &mut Checker, path: &str) {
    if !c.has(path) {
        return;
    }
    let at = |key: &str| format!("{path}.{key}");
    super::procedure::inside_table(c, &at("engine_speed"));
    c.positive::<Duration>(&at("duration"), "0 s", "a span of time such as 6 s");
    c.range::<Duration>(&at("duration"), "0 s", "24 h", "was this the right unit?");
    super::procedure::step_comes_in_time(c, path);
    for side in ["before", "after"] {
        let at = |key: &str| format!("{path}.{side}.{key}");
        super::procedure::fuel(c, &at("fuel"));
        c.share(&at("vanes"));
        c.share(&at("wastegate"));
        c.range::<f64>(&at("turbine_area"), "0.05", "20", "1 is the area as given");
        if c.has(&at("wastegate")) && !c.has("turbine.wastegate") {
            c.refuse(
                &at("wastegate"),
                Fault::new(
                    "this turbine has no wastegate",
                    "a step without `wastegate`, or a `turbine.wastegate`",
                    "add `wastegate: {area: 3 cm2}` to the turbine, for example",
                ),
            );
        }
        let vaneless = c.has("turbine.form.area_and_speed");
        if c.has(&at("turbine_area")) && c.has("turbine.form") && !vaneless {
            c.refuse(
                &at("turbine_area"),
                Fault::new(
                    "this turbine has vanes, not a factor on its area",
                    "a step without `turbine_area`",
                    "step `vanes` instead, or use `turbine.form.area_and_speed`",
                ),
            );
        }
    }
    changes_something(c, path);
}

fn changes_something(c: &mut Checker, path: &str) {
    let keys = ["fuel", "vanes", "wastegate", "turbine_area"];
    let after = format!("{path}.after");
    let named = keys.iter().any(|key| c.has(&format!("{after}.{key}")));
    let same_fuel = c
        .get::<FuelDemand>(&format!("{path}.before.fuel"))
        .is_some_and(|fuel| c.get::<FuelDemand>(&format!("{after}.fuel")) == Some(fuel))
        && !keys[1..].iter().any(|key| c.has(&format!("{after}.{key}")));
    if c.has(&after) && (!named || same_fuel) {
        c.refuse_section(
            &after,
            Fault::new(
                "the step changes nothing",
                "at least one of fuel, vanes, wastegate, turbine_area",
                "use `hold` for steady inputs",
            )
            .reading("nothing that differs"),
        );
    }
}
