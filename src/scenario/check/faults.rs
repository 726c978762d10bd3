//! Faults: sizes that a fault can have, and sensors that can fail.

use super::Checker;
use crate::quantity::*;
use crate::scenario::document::Fault;

/// Faults that are a leak, a blocked passage, a sensor.
const LEAKS: [&str; 2] = ["boost_leak", "exhaust_leak"];
const BLOCKED: [&str; 2] = ["blocked_filter", "blocked_cooler"];
const SENSORS: [(&str, &str); 2] = [
    ("drive_pressure_sensor", "sensors.drive_pressure"),
    ("shaft_speed_frozen", "sensors.shaft_speed"),
];

pub fn check(c: &mut Checker) {
    for index in 0..c.count("faults") {
        let at = |key: &str| format!("faults.{index}.{key}");
        for leak in LEAKS {
            c.range::<Area>(
                &at(&format!("{leak}.area")),
                "0 mm2",
                "5000 mm2",
                "a hose that slips off opens some 2000 mm2",
            );
        }
        for blocked in BLOCKED {
            c.range::<f64>(
                &at(&format!("{blocked}.factor")),
                "1",
                "100",
                "1 is clean; a filter at its service limit has 3 to 5",
            );
        }
        for kind in LEAKS
            .iter()
            .chain(&BLOCKED)
            .chain(&["sticking_vanes", "boost_sensor"])
            .chain(SENSORS.iter().map(|(kind, _)| kind))
        {
            c.range::<Duration>(
                &at(&format!("{kind}.onset")),
                "0 s",
                "24 h",
                "the time since the start of the procedure",
            );
        }
        for sensor in ["boost_sensor", "drive_pressure_sensor"] {
            c.range::<Duration>(
                &at(&format!("{sensor}.fault.lag")),
                "0 s",
                "60 s",
                "a time constant",
            );
        }
        for (kind, section) in SENSORS {
            if c.has(&at(kind)) && !c.has(section) {
                c.refuse(
                    &at(kind),
                    Fault::new(
                        "there is no such sensor to fail",
                        format!("a scenario with `{section}`"),
                        "add the sensor or take the fault away",
                    )
                    .reading(kind),
                );
            }
        }
    }
}
