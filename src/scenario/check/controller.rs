//! Controller, its tables and protections, and vanes without feedback.

use super::Checker;
use super::numbers::is_gauge;
use crate::quantity::*;
use crate::scenario::document::Fault;

pub fn check(c: &mut Checker) {
    if !c.has("controller") && !c.has("open_loop") {
        c.refuse(
            "controller",
            Fault::new(
                "nothing moves the vanes",
                "`controller` or `open_loop`",
                "add a `controller:` section, or `open_loop: {vanes: {closed: 40 %}}`",
            )
            .reading("neither of the two"),
        );
    }
    c.range::<Duration>(
        "controller.period",
        "0.1 ms",
        "100 ms",
        "boost controllers calculate every 5 ms to 20 ms",
    );
    command(c);
    feed_forward(c);
    feedback(c);
    vane_stops(c);
    c.range::<f64>(
        "controller.smoke_limit",
        "0.8",
        "3",
        "an air ratio: 1 is stoichiometric",
    );
    protections(c);
    open_loop(c);
}

fn command(c: &mut Checker) {
    let [speeds, fuels, boost] =
        ["engine_speed", "fuel", "boost"].map(|key| format!("controller.command.{key}"));
    c.speed_axis(&speeds, 1);
    c.axis::<FuelQuantity>(&fuels, 1);
    c.each_in_range::<FuelQuantity>(
        &fuels,
        "0 mg",
        "2000 mg",
        "the fuel of one injection into one cylinder",
    );
    c.table_shape(&speeds, &fuels, &boost);
    command_values(c, &boost);
    let full_load = "controller.command.full_load";
    if let Some(value) = c.get::<Pressure>(full_load) {
        let ambient = c.ambient();
        below_ambient(c, full_load, value, ambient);
    }
    c.range::<PressureDifference>(
        "controller.command.full_load_shift",
        "-300 kPa",
        "300 kPa",
        "it is added to the command at full load",
    );
    c.positive::<PressureRate>(
        "controller.command.rate_limit",
        "0 kPa/s",
        "leave it out for a command without rate limit",
    );
    let correction = "controller.command.barometric_correction";
    c.range::<f64>(
        correction,
        "-5",
        "5",
        "command per ambient pressure, both in the same unit",
    );
    if c.get::<f64>(correction).is_some_and(|value| value != 0.0)
        && !c.has("controller.command.barometric_reference")
    {
        c.refuse(
            "controller.command.barometric_reference",
            Fault::new(
                "a barometric correction needs its reference",
                "an ambient pressure, absolute",
                "add `barometric_reference: 100 kPa abs`, for example",
            )
            .reading("no `barometric_reference`"),
        );
    }
    c.range::<AbsolutePressure>(
        "controller.command.barometric_reference",
        "50 kPa abs",
        "110 kPa abs",
        "an ambient pressure",
    );
}

/// All absolute or all gauge, and not below ambient.
fn command_values(c: &mut Checker, boost: &str) {
    let ambient = c.ambient();
    let mut first: Option<Pressure> = None;
    for row in 0..c.count(boost) {
        for column in 0..c.count(&format!("{boost}.{row}")) {
            let path = format!("{boost}.{row}.{column}");
            let Some(value) = c.get::<Pressure>(&path) else {
                continue;
            };
            let first = *first.get_or_insert(value);
            if is_gauge(first) != is_gauge(value) {
                let word = if is_gauge(first) { "gauge" } else { "absolute" };
                c.refuse(
                    &path,
                    Fault::new(
                        "absolute and gauge pressures are mixed in one table",
                        format!("{word} pressure, as the first value of the table"),
                        "write the whole table one way; gauge is against the ambient of the moment",
                    ),
                );
                return;
            }
            below_ambient(c, &path, value, ambient);
        }
    }
}

/// An absolute command this far below ambient is a gauge figure written as an
/// absolute one; a little below, as a table made for the mountains is in the
/// valley, asks for no boost.
const LOWEST_OF_AMBIENT: f64 = 0.6;

fn below_ambient(c: &mut Checker, path: &str, value: Pressure, ambient: Option<AbsolutePressure>) {
    let (below, allowed) = match (value, ambient) {
        (Pressure::Gauge(value), _) => (value.pa() < 0.0, "0 kPa gauge or more".to_owned()),
        (Pressure::Absolute(value), Some(ambient)) => {
            let lowest = ambient * LOWEST_OF_AMBIENT;
            let shown = ambient.display(UnitSystem::Si, 1);
            (
                value < lowest,
                format!(
                    "{} or more; {shown} is ambient",
                    lowest.display(UnitSystem::Si, 1)
                ),
            )
        }
        (Pressure::Absolute(_), None) => return,
    };
    if below {
        c.refuse(
            path,
            Fault::new(
                "the command is far below ambient pressure",
                allowed,
                "a turbocharger cannot pull the manifold below ambient; was gauge pressure meant?",
            ),
        );
    }
}

fn feed_forward(c: &mut Checker) {
    let [speeds, fuels, vanes] =
        ["engine_speed", "fuel", "vanes"].map(|key| format!("controller.feed_forward.{key}"));
    c.speed_axis(&speeds, 1);
    c.axis::<FuelQuantity>(&fuels, 1);
    c.each_in_range::<FuelQuantity>(
        &fuels,
        "0 mg",
        "2000 mg",
        "the fuel of one injection into one cylinder",
    );
    c.table_shape(&speeds, &fuels, &vanes);
    for row in 0..c.count(&vanes) {
        vane_positions(c, &format!("{vanes}.{row}"));
    }
}

fn vane_positions(c: &mut Checker, path: &str) {
    c.each_in_range::<Fraction>(
        path,
        "0 %",
        "100 %",
        "per cent closed: 0 % open, 100 % at the closed stop",
    );
}

fn feedback(c: &mut Checker) {
    let at = |key: &str| format!("controller.feedback.{key}");
    let hint = "more pressure wanted closes the vanes: gains are positive";
    c.not_negative::<VanePerPressure>(&at("proportional"), "0 %/kPa", hint);
    c.not_negative::<VaneIntegral>(&at("integral"), "0 %/(kPa s)", hint);
    c.not_negative::<VaneDerivative>(&at("derivative"), "0 % s/kPa", hint);
    c.share(&at("integrator_authority"));
    c.positive::<Duration>(
        &at("anti_windup.back_calculation"),
        "0 s",
        "a time constant such as 0.5 s",
    );
    let speeds = at("gain_schedule.engine_speed");
    c.speed_axis(&speeds, 1);
    c.same_length(&speeds, &at("gain_schedule.factor"));
    c.each_in_range::<f64>(
        &at("gain_schedule.factor"),
        "0",
        "100",
        "a factor on all gains",
    );
}

fn vane_stops(c: &mut Checker) {
    let [speeds, open, closed] = ["engine_speed", "most_open", "most_closed"]
        .map(|key| format!("controller.vane_stops.{key}"));
    c.speed_axis(&speeds, 1);
    for stops in [&open, &closed] {
        c.same_length(&speeds, stops);
        vane_positions(c, stops);
    }
    for index in 0..c.count(&open) {
        let path = format!("{open}.{index}");
        let opposite = format!("{closed}.{index}");
        let pair = (c.get::<Fraction>(&path), c.get::<Fraction>(&opposite));
        if let (Some(most_open), Some(most_closed)) = pair
            && most_open >= most_closed
        {
            let most_closed = c.written(&opposite, most_closed);
            c.refuse(
                &path,
                Fault::new(
                    "the vane stops are reversed",
                    format!("below {most_closed}, the most closed position at this speed"),
                    "vane position counts per cent closed: open is the smaller number",
                ),
            );
        }
    }
}

fn protections(c: &mut Checker) {
    let at = |key: &str| format!("controller.protections.{key}");
    for key in ["over_boost.for", "pinned_sensor.for", "frozen_sensor.for"] {
        c.range::<Duration>(&at(key), "0 s", "60 s", "how long the condition must last");
    }
    for key in [
        "over_boost.fuel_cut",
        "pinned_sensor.vanes",
        "pinned_sensor.fuel",
        "frozen_sensor.vanes",
        "frozen_sensor.fuel",
    ] {
        c.share(&at(key));
    }
    c.range::<PressureDifference>(
        &at("command_clamp.margin"),
        "0 kPa",
        "200 kPa",
        "how far the command stays below the readable ceiling",
    );
    c.range::<PressureDifference>(
        &at("pinned_sensor.within"),
        "0 kPa",
        "50 kPa",
        "how near to the ceiling counts as pinned",
    );
    c.not_negative::<VanePerPressure>(
        &at("drive_pressure.gain"),
        "0 %/kPa",
        "the limiter opens the vanes: its gain is positive",
    );
    c.not_negative::<VanePerSpeed>(
        &at("shaft_speed.gain"),
        "0 %/krpm",
        "the limiter opens the vanes: its gain is positive",
    );
    c.positive::<RotationalSpeed>(
        &at("shaft_speed.above"),
        "0 rpm",
        "the speed of the turbocharger",
    );
    let cut = "the engine would be cut back standing still; was gauge pressure meant?";
    above_ambient(c, &at("over_boost.above"), "the threshold", cut);
    above_ambient(c, &at("drive_pressure.above"), "the threshold", cut);
    needs_sensor(c, &at("drive_pressure"), "sensors.drive_pressure");
    needs_sensor(c, &at("shaft_speed"), "sensors.shaft_speed");
    over_boost_above_command(c, &at("over_boost.above"));
}

fn above_ambient(c: &mut Checker, path: &str, what: &str, hint: &str) {
    if let (Some(value), Some(ambient)) = (c.get::<AbsolutePressure>(path), c.ambient())
        && value <= ambient
    {
        let shown = ambient.display(UnitSystem::Si, 1);
        c.refuse(
            path,
            Fault::new(
                format!("{what} is not above ambient pressure"),
                format!("above {shown} (ambient)"),
                hint,
            ),
        );
    }
}

fn needs_sensor(c: &mut Checker, protection: &str, sensor: &str) {
    if c.has(protection) && !c.has(sensor) {
        c.refuse_section(
            protection,
            Fault::new(
                "this protection has no sensor to look at",
                format!("a scenario with `{sensor}`"),
                format!("add the section `{sensor}`, or remove the protection"),
            )
            .reading(format!("no `{sensor}`")),
        );
    }
}

/// A cut below the command would act on a boost that was asked for.
fn over_boost_above_command(c: &mut Checker, path: &str) {
    let Some(above) = c.get::<AbsolutePressure>(path) else {
        return;
    };
    let Some(command) = c.get::<Vec<Vec<Pressure>>>("controller.command.boost") else {
        return;
    };
    let highest = command
        .iter()
        .flatten()
        .filter_map(|value| match value {
            Pressure::Absolute(value) => Some(*value),
            Pressure::Gauge(_) => None,
        })
        .reduce(AbsolutePressure::max);
    if let Some(highest) = highest
        && above <= highest
    {
        c.refuse(
            path,
            Fault::new(
                "the over-boost threshold is not above the highest command",
                format!("above {highest}, the highest command"),
                "raise the threshold, or lower the command table",
            ),
        );
    }
}

fn open_loop(c: &mut Checker) {
    c.share("open_loop.vanes.closed");
    let reach = "an engine at work has more than ambient pressure there; was gauge pressure meant?";
    above_ambient(
        c,
        "open_loop.vanes.drive_pressure",
        "the exhaust pressure to be reached",
        reach,
    );
    above_ambient(c, "open_loop.vanes.boost", "the boost to be reached", reach);
}
