//! Engine and fuel.

use super::Checker;
use super::numbers::text;
use crate::quantity::*;
use crate::scenario::document::Fault;

pub fn check(c: &mut Checker) {
    c.range::<u32>(
        "engine.cylinders",
        "1",
        "24",
        "count the cylinders of the whole engine",
    );
    c.range::<Volume>(
        "engine.displacement",
        "0.1 l",
        "120 l",
        "the displacement of all cylinders together",
    );
    c.range::<Length>(
        "engine.stroke",
        "30 mm",
        "500 mm",
        "the way of the piston between the dead centres",
    );
    c.range::<f64>(
        "engine.compression_ratio",
        "8",
        "25",
        "largest over smallest cylinder volume of a diesel",
    );
    c.not_negative::<HeatConductance>(
        "engine.exhaust_port_loss",
        "0 W/K",
        "heat flows from warm to cold by itself",
    );
    bore(c);
    filling(c);
    combustion(c);
    friction(c);
    fuel(c);
}

/// Displacement, cylinders and stroke together give a bore that must look like one.
fn bore(c: &mut Checker) {
    let cylinders = c.get::<u32>("engine.cylinders");
    let displacement = c.get::<Volume>("engine.displacement");
    let stroke = c.get::<Length>("engine.stroke");
    let (Some(cylinders), Some(displacement), Some(stroke)) = (cylinders, displacement, stroke)
    else {
        return;
    };
    let area_m2 = displacement.m3() / (f64::from(cylinders) * stroke.m());
    let ratio = stroke.m() / (4.0 * area_m2 / std::f64::consts::PI).sqrt();
    let sound = text::<Length>("30 mm").is_some_and(|least| stroke >= least) && cylinders > 0;
    if sound && !(0.5..=2.0).contains(&ratio) {
        c.refuse(
            "engine.stroke",
            Fault::new(
                format!("with this displacement the stroke is {ratio:.2} times the bore"),
                "a stroke from 0.5 to 2 times the bore",
                "check displacement, cylinders and stroke; displacement is that of all cylinders",
            ),
        );
    }
}

fn filling(c: &mut Checker) {
    let table = "engine.volumetric_efficiency.table";
    let speeds = format!("{table}.engine_speed");
    c.speed_axis(&speeds, 1);
    c.same_length(&speeds, &format!("{table}.efficiency"));
    c.each_in_range::<f64>(
        &format!("{table}.efficiency"),
        "0.3",
        "1.2",
        "relative to the density in the manifold: 0.9 means 90 %",
    );
    c.range::<f64>(
        &format!("{table}.back_pressure_effect"),
        "0",
        "2",
        "1 is the full residual-gas correction",
    );
}

fn combustion(c: &mut Checker) {
    let at = |key: &str| format!("engine.combustion.limited_pressure.{key}");
    c.range::<f64>(
        &at("constant_volume_share"),
        "0",
        "1",
        "a share: 0.33 means 33 %",
    );
    c.range::<Angle>(
        &at("reference_timing"),
        "-30 deg",
        "60 deg",
        "before top dead centre is positive",
    );
    c.range::<f64>(
        &at("share_per_degree"),
        "-0.1",
        "0.1",
        "a change of the share for each degree",
    );
    for key in ["compression_exponent", "expansion_exponent"] {
        c.range::<f64>(
            &at(key),
            "1.1",
            "1.5",
            "between isothermal (1) and adiabatic (1.4)",
        );
    }
    c.range::<Fraction>(
        &at("wall_loss"),
        "0 %",
        "60 %",
        "the share of the fuel heat that goes to the walls",
    );
    c.range::<f64>(
        &at("late_burning_below_lambda"),
        "0.5",
        "5",
        "an air ratio: 1 is stoichiometric",
    );
    c.range::<f64>(
        &at("late_burning"),
        "0",
        "5",
        "late share of the heat per squared unit of lambda",
    );
}

fn friction(c: &mut Checker) {
    c.not_negative::<PressureDifference>(
        "engine.friction.constant",
        "0 kPa",
        "friction takes work",
    );
    c.range::<f64>(
        "engine.friction.peak_pressure_share",
        "0",
        "0.05",
        "a share: 0.005 means 0.5 %",
    );
    c.not_negative::<PressurePerSpeed>(
        "engine.friction.per_piston_speed",
        "0 kPa s/m",
        "friction takes work",
    );
    c.not_negative::<PressurePerSpeedSquared>(
        "engine.friction.per_piston_speed_squared",
        "0 kPa s2/m2",
        "friction takes work",
    );
}

fn fuel(c: &mut Checker) {
    c.range::<SpecificEnergy>(
        "fuel.lower_heating_value",
        "10 MJ/kg",
        "130 MJ/kg",
        "diesel fuel has about 42.8 MJ/kg",
    );
    c.range::<f64>(
        "fuel.hydrogen_to_carbon",
        "0",
        "4",
        "hydrogen atoms per carbon atom: diesel fuel has about 1.85",
    );
    c.speed_axis("fuel.full_load.engine_speed", 2);
    c.same_length("fuel.full_load.engine_speed", "fuel.full_load.quantity");
    c.each_in_range::<FuelQuantity>(
        "fuel.full_load.quantity",
        "0 mg",
        "2000 mg",
        "the fuel of one injection into one cylinder",
    );
    c.speed_axis("fuel.timing.engine_speed", 1);
    c.same_length("fuel.timing.engine_speed", "fuel.timing.advance");
    c.each_in_range::<Angle>(
        "fuel.timing.advance",
        "-30 deg",
        "60 deg",
        "before top dead centre is positive",
    );
}
