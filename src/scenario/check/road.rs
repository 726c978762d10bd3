//! A drive up a road: vehicle, gears, road.

use super::Checker;
use super::procedure::{fuel, inside_table};
use crate::procedure::{RoadProblem, RoadProfile};
use crate::quantity::*;
use crate::scenario::document::Fault;

/// Checks the climb of a part of the procedure, if it is one.
pub fn climb(c: &mut Checker, part: &str) {
    let path = format!("{part}.climb");
    if !c.has(&path) {
        return;
    }
    let at = |key: &str| format!("{path}.{key}");
    alone(c, &path);
    needs_altitude(c, &path, "a climb");
    road(c, &at("road"));
    vehicle(c, &at("vehicle"));
    for key in [
        "start.engine_speed",
        "gear_change.up_at",
        "gear_change.down_at",
        "ceiling_along.engine_speed",
    ] {
        inside_table(c, &at(key));
    }
    fuel(c, &at("pedal"));
    c.range::<Speed>(
        &at("hold_speed"),
        "5 km/h",
        "200 km/h",
        "the speed on the road",
    );
    c.range::<Duration>(
        &at("gear_change.cut"),
        "10 ms",
        "5 s",
        "how long the torque is cut",
    );
    c.range::<Duration>(&at("gear_change.resume"), "0 s", "5 s", "0 s for at once");
    c.range::<Duration>(&at("gear_change.apart"), "0 s", "60 s", "0 s for none");
    c.range::<Length>(
        &at("until.distance"),
        "1 m",
        "1000 km",
        "how far it is driven",
    );
    c.range::<Duration>(
        &at("until.duration"),
        "1 s",
        "24 h",
        "how long it is driven",
    );
    c.range::<Length>(
        &at("ceiling_along.every"),
        "50 m",
        "5000 m",
        "every step is one cell of the ceiling, some tenths of a second of work",
    );
    start_gear(c, &path);
    changes(c, &path);
}

/// Nobody knows beforehand when a climb ends, so nothing can be timed after it.
fn alone(c: &mut Checker, path: &str) {
    let parts = c.count("procedure");
    if parts > 1 {
        c.refuse_section(
            path,
            Fault::new(
                "a climb has other parts beside it",
                "a procedure with the climb alone",
                "put the other parts into a scenario of their own; nobody knows beforehand when a climb ends",
            )
            .reading(format!("a procedure of {parts} parts")),
        );
    }
}

/// Altitudes mean something in the standard atmosphere only.
pub fn needs_altitude(c: &mut Checker, path: &str, what: &str) {
    if c.has("ambient.pressure") && !c.has("ambient.altitude") {
        c.refuse_section(
            path,
            Fault::new(
                format!("{what} needs an ambient that is given by altitude"),
                "`ambient.altitude`, not `ambient.pressure`",
                "give the ambient by `altitude` and `temperature_offset`",
            )
            .reading("an ambient given by pressure"),
        );
    }
}

fn road(c: &mut Checker, path: &str) {
    let (distance, altitude) = (format!("{path}.distance"), format!("{path}.altitude"));
    c.axis::<Length>(&distance, 2);
    c.each_in_range::<Length>(&distance, "0 m", "1000 km", "from the foot of the road");
    c.same_length(&distance, &altitude);
    c.each_in_range::<Length>(
        &altitude,
        "-500 m",
        "6000 m",
        "the standard atmosphere is used from below sea level to the highest roads",
    );
    let metres = |list: Vec<Length>| list.iter().map(|x| x.m()).collect::<Vec<f64>>();
    let (Some(along), Some(up)) = (
        c.get::<Vec<Length>>(&distance),
        c.get::<Vec<Length>>(&altitude),
    ) else {
        return;
    };
    // whatever else is wrong with the points has been said
    if let Err(RoadProblem::TooSteep { index, grade }) = RoadProfile::new(metres(along), metres(up))
    {
        c.refuse(
            &format!("{altitude}.{}", index + 1),
            Fault::new(
                format!("the road rises by {:.0} % here", 100.0 * grade),
                "at most 40 % up or down between two points",
                "check the units of distance and altitude",
            ),
        );
    }
}

fn vehicle(c: &mut Checker, path: &str) {
    let at = |key: &str| format!("{path}.{key}");
    c.range::<Mass>(
        &at("mass"),
        "100 kg",
        "200000 kg",
        "the laden mass of the vehicle",
    );
    c.range::<Area>(
        &at("drag_area"),
        "0 m2",
        "30 m2",
        "drag coefficient times frontal area",
    );
    c.range::<f64>(
        &at("rolling_resistance"),
        "0",
        "0.2",
        "0.006 to 0.015 on hard roads",
    );
    c.range::<Length>(
        &at("tyre_radius"),
        "100 mm",
        "1200 mm",
        "the radius, not the diameter",
    );
    c.range::<f64>(&at("final_drive"), "0.5", "30", "1 where there is none");
    c.range::<f64>(
        &at("driveline_efficiency"),
        "0.5",
        "1",
        "a share of one, not per cent; 0.88 to 0.95 is usual",
    );
    c.range::<Inertia>(
        &at("engine_inertia"),
        "0.01 kg m2",
        "50 kg m2",
        "crankshaft, flywheel, clutch",
    );
    c.range::<Inertia>(
        &at("wheel_inertia"),
        "0 kg m2",
        "1000 kg m2",
        "all wheels together",
    );
    let gears = at("gears");
    c.each_in_range::<f64>(
        &gears,
        "0.2",
        "30",
        "turns of the engine for one of the propeller shaft",
    );
    let count = c.count(&gears);
    if c.has(&gears) && !(1..=24).contains(&count) {
        c.refuse(
            &gears,
            Fault::new(
                "this is no gearbox",
                "1 to 24 gears",
                "give one ratio for each gear",
            )
            .reading(format!("{count} gears")),
        );
    }
    for index in 1..count {
        let here = format!("{gears}.{index}");
        let before = c.get::<f64>(&format!("{gears}.{}", index - 1));
        if let (Some(before), Some(ratio)) = (before, c.get::<f64>(&here))
            && ratio >= before
        {
            c.refuse(
                &here,
                Fault::new(
                    "the gears are not in order",
                    format!("below {before}, the ratio of the gear before it"),
                    "first gear first: it has the largest ratio",
                ),
            );
            return;
        }
    }
}

fn start_gear(c: &mut Checker, path: &str) {
    let gears = c.count(&format!("{path}.vehicle.gears"));
    let gear = format!("{path}.start.gear");
    if let Some(engaged) = c.get::<u32>(&gear)
        && gears > 0
        && !(1..=gears).contains(&(engaged as usize))
    {
        c.refuse(
            &gear,
            Fault::new(
                "there is no such gear",
                format!("from 1 to {gears}"),
                "gears are counted as in `vehicle.gears`, from 1",
            ),
        );
    }
}

/// A change must not call for the change back.
fn changes(c: &mut Checker, path: &str) {
    let up_at = format!("{path}.gear_change.up_at");
    let down_at = format!("{path}.gear_change.down_at");
    let (Some(up), Some(down), Some(gears)) = (
        c.get::<RotationalSpeed>(&up_at),
        c.get::<RotationalSpeed>(&down_at),
        c.get::<Vec<f64>>(&format!("{path}.vehicle.gears")),
    ) else {
        return;
    };
    if down >= up {
        let up = c.written(&up_at, up);
        c.refuse(
            &down_at,
            Fault::new(
                "the lower gear is taken above the speed of the higher one",
                format!("below {up}, where the next higher gear is taken"),
                "a lorry's diesel changes up near rated speed and down near its best torque",
            ),
        );
        return;
    }
    let widest = gears
        .windows(2)
        .map(|pair| pair[1] / pair[0])
        .enumerate()
        .min_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((index, step)) = widest
        && up.rpm() * step <= down.rpm()
    {
        c.refuse(
            &down_at,
            Fault::new(
                format!(
                    "changing up from gear {} would call for it again",
                    index + 1
                ),
                format!(
                    "below {:.0} rpm, which the engine turns after changing up from gear {} to {}",
                    up.rpm() * step,
                    index + 1,
                    index + 2
                ),
                "lower `down_at`, raise `up_at`, or put the gears closer together",
            ),
        );
    }
}
