//! Sensors: lines, clamps, supplies.

use super::Checker;
use crate::quantity::*;
use crate::scenario::document::Fault;

pub fn check(c: &mut Checker) {
    for sensor in ["sensors.boost", "sensors.drive_pressure"] {
        if c.has(sensor) {
            pressure_sensor(c, sensor);
        }
    }
    boost_only(c);
    c.range::<Duration>(
        "sensors.shaft_speed.time_constant",
        "0 s",
        "5 s",
        "the lag of the reading",
    );
    c.range::<RotationalSpeed>(
        "sensors.shaft_speed.highest_readable",
        "10000 rpm",
        "400000 rpm",
        "the speed of the turbocharger, not of the engine",
    );
}

fn pressure_sensor(c: &mut Checker, sensor: &str) {
    let at = |key: &str| format!("{sensor}.{key}");
    c.range::<Duration>(&at("time_constant"), "0 s", "5 s", "the lag of the reading");
    c.range::<Voltage>(
        &at("supply"),
        "1 V",
        "30 V",
        "most sensors are fed with 5 V",
    );
    c.range::<u32>(
        &at("converter_bits"),
        "4",
        "24",
        "most converters have 10 or 12 bits",
    );
    line(c, &at("line"));
    line(c, &at("ecu_line"));
    clamp(c, sensor);
}

fn line(c: &mut Checker, line: &str) {
    let [low_at, high_at, low_reads, high_reads] =
        ["low.at", "high.at", "low.reads", "high.reads"].map(|key| format!("{line}.{key}"));
    if let (Some(low), Some(high)) = (
        c.get::<AbsolutePressure>(&low_at),
        c.get::<AbsolutePressure>(&high_at),
    ) && low >= high
    {
        let high = c.written(&high_at, high);
        c.refuse(
            &low_at,
            Fault::new(
                "the points of the line are reversed",
                format!("below {high}, the pressure of the upper point"),
                "`low` is the point at the lower pressure",
            ),
        );
    }
    if let (Some(low), Some(high)) = (c.get::<Voltage>(&low_reads), c.get::<Voltage>(&high_reads))
        && low >= high
    {
        let high = c.written(&high_reads, high);
        c.refuse(
            &low_reads,
            Fault::new(
                "the voltage does not rise along the line",
                format!("below {high}, the voltage of the upper point"),
                "the sensor puts out more voltage at more pressure",
            ),
        );
    }
    for path in [low_reads, high_reads] {
        c.not_negative::<Voltage>(&path, "0 V", "the sensor puts out a voltage above ground");
    }
    c.range::<AbsolutePressure>(
        &high_at,
        "10 kPa abs",
        "5 MPa abs",
        "the upper point of a boost or exhaust pressure sensor",
    );
}

fn clamp(c: &mut Checker, sensor: &str) {
    let [low_path, high_path, supply_path] =
        ["clamp.low", "clamp.high", "supply"].map(|key| format!("{sensor}.{key}"));
    let (low, high) = (c.get::<Voltage>(&low_path), c.get::<Voltage>(&high_path));
    let supply = match c.get::<Voltage>(&supply_path) {
        None if !c.has(&supply_path) => Some(Voltage::from_v(5.0)),
        given => given,
    };
    if let (Some(high), Some(supply)) = (high, supply)
        && high > supply
    {
        let supply = c.written(&supply_path, supply);
        c.refuse(
            &high_path,
            Fault::new(
                "the sensor cannot put out more than its supply",
                format!("at most {supply}, the supply"),
                "lower the clamp, or correct `supply`",
            ),
        );
    }
    if let (Some(low), Some(high)) = (low, high)
        && low >= high
    {
        let high = c.written(&high_path, high);
        c.refuse(
            &low_path,
            Fault::new(
                "the clamp is reversed",
                format!("below {high}, the upper clamp"),
                "`low` is the lower of the two voltages",
            ),
        );
    }
    c.not_negative::<Voltage>(
        &low_path,
        "0 V",
        "the sensor puts out a voltage above ground",
    );
    readable(c, sensor, low, high);
}

/// Between the clamps some pressure must be left to read.
fn readable(c: &mut Checker, sensor: &str, low: Option<Voltage>, high: Option<Voltage>) {
    let line = [
        format!("{sensor}.line.low.reads"),
        format!("{sensor}.line.high.reads"),
    ];
    let (Some(low), Some(high)) = (low, high) else {
        return;
    };
    let (Some(from), Some(to)) = (c.get::<Voltage>(&line[0]), c.get::<Voltage>(&line[1])) else {
        return;
    };
    let path = format!("{sensor}.clamp.high");
    if low < high && from < to && high <= from {
        let from = c.written(&line[0], from);
        c.refuse(
            &path,
            Fault::new(
                "the clamp cuts the whole line off",
                format!("above {from}, where the line starts"),
                "the sensor would read one and the same pressure always",
            ),
        );
    }
}

fn boost_only(c: &mut Checker) {
    let at = |key: &str| format!("sensors.boost.{key}");
    c.range::<Fraction>(
        &at("gain_error"),
        "-50 %",
        "50 %",
        "an error of the slope: 1 % reads 1 % too much",
    );
    for key in ["offset", "offset_after_clamp"] {
        c.range::<PressureDifference>(&at(key), "-100 kPa", "100 kPa", "positive reads too high");
    }
    c.range::<PressureRate>(
        &at("drift"),
        "-100 kPa/s",
        "100 kPa/s",
        "the change of the offset over time",
    );
    c.range::<PressureDifference>(&at("noise"), "0 kPa", "50 kPa", "a standard deviation");
    for key in ["error.offset", "error.after_clamp"] {
        c.range::<PressureDifference>(
            &at(key),
            "0 kPa",
            "100 kPa",
            "the size of the error; both signs are tried",
        );
    }
    let total = c.get::<crate::scenario::file::Tapping>(&at("pressure"));
    if total == Some(crate::scenario::file::Tapping::Total) && !c.has(&at("pipe_area")) {
        c.refuse(
            &at("pipe_area"),
            Fault::new(
                "a total pressure needs the flow area at the sensor",
                "a section of the sensor with `pipe_area`",
                "add `pipe_area: 38 cm2`, for example, or read `static` pressure",
            )
            .reading("no `pipe_area`"),
        );
    }
    c.positive::<Area>(
        &at("pipe_area"),
        "0 cm2",
        "the flow area of the pipe at the sensor",
    );
}
