//! Recirculation, heat soak, play of the vanes, further volumes.

use super::Checker;
use crate::quantity::*;
use crate::scenario::document::Fault;
use crate::scenario::file::VolumePlace;

pub fn check(c: &mut Checker) {
    recirculation(c);
    recirculation_between(c);
    heat_soak(c);
    c.range::<Fraction>(
        "vanes.backlash",
        "0 %",
        "20 %",
        "the play of the linkage, as a share of the travel of the vanes",
    );
    volumes(c);
}

fn recirculation(c: &mut Checker) {
    let valve = "recirculation.valve";
    c.range::<Area>(
        &format!("{valve}.area"),
        "0.01 cm2",
        "100 cm2",
        "the effective area of valve, cooler and pipe together",
    );
    let (fuel, open) = (
        format!("{valve}.opening.fuel"),
        format!("{valve}.opening.open"),
    );
    c.axis::<FuelQuantity>(&fuel, 1);
    c.same_length(&fuel, &open);
    for index in 0..c.count(&open) {
        c.share(&format!("{open}.{index}"));
    }
    c.range::<f64>(
        "recirculation.cooler.effectiveness",
        "0",
        "1",
        "temperature drop over the largest drop possible: 0.85 means 85 %",
    );
    c.range::<Temperature>(
        "recirculation.cooler.coolant",
        "-40 degC",
        "130 degC",
        "usually the coolant of the engine",
    );
    c.range::<PressureDifference>(
        "recirculation.check_valve",
        "0.1 kPa",
        "50 kPa",
        "the pressure difference at which its reeds are fully open; leave it out where there is none",
    );
}

/// Where a temperature is held, the volume's mass and burned gas only count.
fn recirculation_between(c: &mut Checker) {
    for volume in ["intake", "exhaust"] {
        let held = format!("{volume}.thermal.isothermal");
        if c.has("recirculation") && c.has(&held) {
            c.refuse(
                &held,
                Fault::new(
                    "recirculated gas needs volumes that follow the first law",
                    "`energy_balance`",
                    "leave `thermal` out, or take `recirculation` away",
                ),
            );
        }
    }
}

fn heat_soak(c: &mut Checker) {
    let soak = "intake.cooler.heat_soak";
    c.range::<HeatCapacity>(
        &format!("{soak}.heat_capacity"),
        "0.1 kJ/K",
        "100 kJ/K",
        "mass times specific heat: 5 kg of aluminium store 4.5 kJ/K",
    );
    let own = format!("{soak}.core_effectiveness");
    c.range::<f64>(
        &own,
        "0.01",
        "0.999",
        "temperature drop over the largest drop possible: 0.96 means 96 %",
    );
    let table = "intake.cooler.effectiveness.value";
    let best = (0..c.count(table))
        .filter_map(|i| c.get::<f64>(&format!("{table}.{i}")))
        .fold(0.0, f64::max);
    let core = if c.has(&own) {
        c.get::<f64>(&own)
    } else {
        c.has(soak).then_some(DEFAULT_CORE)
    };
    if let Some(core) = core
        && core <= best
        && best < 1.0
    {
        c.refuse(
            &own,
            Fault::new(
                "the charge cannot come nearer to the coolant than to the core between them",
                format!("above {best}, the best effectiveness of the cooler"),
                "raise it: the closer to the cooler's own, the less the coolant's side resists",
            )
            .reading(core.to_string()),
        );
    }
    if c.has(soak) && best >= 1.0 {
        c.refuse(
            table,
            Fault::new(
                "with heat soak the cooler cannot be perfect",
                "below 1 everywhere",
                "a core between charge and coolant takes a part of the temperature drop",
            ),
        );
    }
}

/// The documented default of `core_effectiveness`.
const DEFAULT_CORE: f64 = 0.96;

fn volumes(c: &mut Checker) {
    let mut taken: Vec<VolumePlace> = Vec::new();
    for index in 0..c.count("volumes") {
        let at = |key: &str| format!("volumes.{index}.{key}");
        c.range::<Volume>(
            &at("volume"),
            "0.5 l",
            "500 l",
            "a volume much smaller than the others answers too fast to be worth following",
        );
        c.not_negative::<HeatConductance>(
            &at("wall_loss"),
            "0 W/K",
            "heat flows from warm to cold by itself",
        );
        let Some(place) = c.get::<VolumePlace>(&at("place")) else {
            continue;
        };
        let loss = match place {
            VolumePlace::Airbox => "intake.filter.loss",
            VolumePlace::ChargePipe => "intake.cooler.loss",
            VolumePlace::TurbineOutlet => "exhaust.system.loss",
        };
        if taken.contains(&place) {
            c.refuse(
                &at("place"),
                Fault::new(
                    "there is a volume at this place already",
                    "each place once",
                    "add the two volumes to one",
                ),
            );
        }
        if place == VolumePlace::TurbineOutlet && c.has("exhaust.outlet_pressure") {
            c.refuse(
                &at("place"),
                Fault::new(
                    "the pressure at the turbine outlet is held",
                    "a volume there with `exhaust.system` alone",
                    "a held pressure leaves a volume nothing to fill: take one of the two away",
                ),
            );
        }
        taken.push(place);
        if c.get::<PressureDifference>(loss)
            .is_some_and(|loss| loss.pa() == 0.0)
        {
            c.refuse(
                loss,
                Fault::new(
                    "a loss is needed between two volumes",
                    "above 0 kPa",
                    "without one the two are the same volume: add it there and take the further one away",
                ),
            );
        }
    }
}
