//! Where and how the ceiling is sought.

use super::Checker;
use super::procedure::inside_table;
use crate::gas::Ambient;
use crate::quantity::*;
use crate::scenario::document::Fault;

/// Most values along one axis of the ceiling, and most cells.
const MOST_ON_AN_AXIS: usize = 200;
const MOST_CELLS: usize = 20_000;

/// A grid of cells that can be sought in a reasonable time.
fn few_enough(c: &mut Checker) {
    let axes = [
        "ceiling.engine_speeds",
        "ceiling.altitudes",
        "ceiling.temperature_offsets",
    ];
    let mut cells = 1;
    for axis in axes {
        let count = c.count(axis);
        if count > MOST_ON_AN_AXIS {
            let fault = Fault::new(
                format!("`{}` has too many values", super::numbers::name(axis)),
                format!("at most {MOST_ON_AN_AXIS}"),
                "take a coarser grid, or several calls",
            );
            c.refuse(axis, fault.reading(format!("{count} values")));
            return;
        }
        cells *= count.max(1);
    }
    if cells > MOST_CELLS {
        let fault = Fault::new(
            "the ceiling has too many cells",
            format!("at most {MOST_CELLS} cells: speeds times altitudes times temperatures"),
            "take a coarser grid, or several calls",
        );
        c.refuse("ceiling", fault.reading(format!("{cells} cells")));
    }
}

/// Temperatures count from the standard atmosphere, and each must give air that can be
/// reckoned with at every altitude.
fn temperatures(c: &mut Checker) {
    let offsets = "ceiling.temperature_offsets";
    if !c.has(offsets) {
        return;
    }
    c.axis::<TemperatureRise>(offsets, 1);
    c.each_in_range::<TemperatureRise>(
        offsets,
        "-60 K",
        "60 K",
        "the difference from the standard atmosphere, not the temperature",
    );
    if !c.has("ambient.altitude") {
        c.refuse(
            offsets,
            Fault::new(
                "temperature offsets count from the standard atmosphere of an altitude",
                "`ambient.altitude`, or no `ceiling.temperature_offsets`",
                "give the ambient by `altitude` and `temperature_offset`",
            ),
        );
        return;
    }
    let Some(air) = c.get::<crate::scenario::file::Ambient>("ambient") else {
        return;
    };
    let heights = match c.get::<Vec<Length>>("ceiling.altitudes") {
        Some(heights) => heights,
        None => air.altitude.into_iter().collect(),
    };
    for index in 0..c.count(offsets) {
        let path = format!("{offsets}.{index}");
        let Some(offset) = c.get::<TemperatureRise>(&path) else {
            continue;
        };
        let humidity = air.relative_humidity.fraction();
        let no_air = |h: &&Length| {
            (-500.0..=6000.0).contains(&h.m())
                && Ambient::at_altitude(h.m(), offset.k(), humidity).is_err()
        };
        if (-60.0..=60.0).contains(&offset.k())
            && let Some(height) = heights.iter().find(no_air)
        {
            let fault = Fault::new(
                format!(
                    "the air at {:.0} m is outside what can be calculated",
                    height.m()
                ),
                "air from -40 degC to 100 degC in which the moisture stays vapour",
                "the standard atmosphere loses 6.5 K for each 1000 m: check altitudes, temperatures and humidity together",
            );
            c.refuse(&path, fault);
        }
    }
}

pub fn check(c: &mut Checker) {
    let speeds = "ceiling.engine_speeds";
    c.axis::<RotationalSpeed>(speeds, 1);
    for index in 0..c.count(speeds) {
        inside_table(c, &format!("{speeds}.{index}"));
    }
    c.axis::<Length>("ceiling.altitudes", 1);
    c.each_in_range::<Length>(
        "ceiling.altitudes",
        "-500 m",
        "6000 m",
        "the standard atmosphere is used from below sea level to the highest roads",
    );
    if c.has("ceiling.altitudes") && c.has("ambient.pressure") && !c.has("ambient.altitude") {
        c.refuse(
            "ceiling.altitudes",
            Fault::new(
                "altitudes need an ambient that is given by altitude",
                "`ambient.altitude`, or no `ceiling.altitudes`",
                "give the ambient by `altitude` and `temperature_offset`",
            ),
        );
    }
    temperatures(c);
    few_enough(c);
    c.range::<PressureDifference>(
        "ceiling.step",
        "0.1 kPa",
        "50 kPa",
        "the resolution of the ceiling",
    );
    inside_table(c, "ceiling.transients.pull.from");
    c.range::<f64>(
        "ceiling.transients.shift.ratio",
        "0.4",
        "0.95",
        "an upshift leads to a lower engine speed",
    );
    c.range::<Duration>(
        "ceiling.transients.shift.cut",
        "10 ms",
        "5 s",
        "how long the torque is cut",
    );
    c.range::<Duration>(
        "ceiling.transients.shift.resume",
        "0 s",
        "5 s",
        "0 s for at once",
    );
    for key in ["pull.duration", "afterwards"] {
        c.positive::<Duration>(
            &format!("ceiling.transients.{key}"),
            "0 s",
            "a span of time such as 6 s",
        );
    }
    c.not_negative::<Duration>(
        "ceiling.transients.load_step.at",
        "0 s",
        "the step comes after the start",
    );
    c.range::<FuelQuantity>(
        "ceiling.transients.load_step.fuel_from",
        "0 mg",
        "2000 mg",
        "the fuel of one injection into one cylinder",
    );
}
