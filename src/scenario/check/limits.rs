//! Limits: each must be one that an engine at this ambient can hold.

use super::Checker;
use crate::quantity::*;
use crate::scenario::document::Fault;
use crate::scenario::tree::Content;

pub fn check(c: &mut Checker) {
    let empty = c
        .node("limits")
        .is_some_and(|node| matches!(&node.content, Content::Map(entries) if entries.is_empty()));
    if empty {
        c.refuse_section(
            "limits",
            Fault::new(
                "no limit is given",
                "at least one limit",
                "add `shaft_speed: 146000 rpm`, for example",
            )
            .reading("an empty section"),
        );
    }
    c.range::<RotationalSpeed>(
        "limits.shaft_speed",
        "10000 rpm",
        "400000 rpm",
        "the speed of the turbocharger, not of the engine",
    );
    c.range::<Speed>(
        "limits.tip_speed",
        "100 m/s",
        "800 m/s",
        "common wheels bear 450 m/s to 600 m/s",
    );
    above_ambient(c, "limits.drive_pressure");
    above_ambient(c, "limits.cylinder_pressure");
    c.range::<AbsolutePressure>(
        "limits.cylinder_pressure",
        "2 MPa abs",
        "50 MPa abs",
        "the peak pressure of combustion, about 20 MPa",
    );
    c.range::<AbsolutePressure>(
        "limits.drive_pressure",
        "10 kPa abs",
        "2 MPa abs",
        "the exhaust pressure ahead of the turbine",
    );
    c.range::<f64>(
        "limits.drive_to_boost",
        "0.3",
        "10",
        "both pressures gauge: 2.2 means 2.2 to 1",
    );
    warm(c, "limits.turbine_inlet", "300 degC", "1200 degC");
    warm(c, "limits.compressor_outlet", "60 degC", "400 degC");
    c.range::<f64>(
        "limits.lambda",
        "0.8",
        "5",
        "an air ratio: 1 is stoichiometric",
    );
    for key in ["surge_margin", "choke_margin"] {
        c.range::<Fraction>(
            &format!("limits.{key}"),
            "0 %",
            "90 %",
            "a share of the flow at surge or choke",
        );
    }
    c.range::<Duration>(
        "limits.pinned_time",
        "0 s",
        "60 s",
        "how long the reading may stay at its ceiling",
    );
}

fn above_ambient(c: &mut Checker, path: &str) {
    if let (Some(limit), Some(ambient)) = (c.get::<AbsolutePressure>(path), c.ambient())
        && limit <= ambient
    {
        let shown = ambient.display(UnitSystem::Si, 1);
        c.refuse(
            path,
            Fault::new(
                "the limit is below ambient pressure",
                format!("above {shown} (ambient)"),
                "the engine exceeds it standing still; was gauge pressure meant?",
            ),
        );
    }
}

fn warm(c: &mut Checker, path: &str, low: &str, high: &str) {
    c.range::<Temperature>(
        path,
        low,
        high,
        "a gas temperature of an engine at work; check the unit",
    );
}
