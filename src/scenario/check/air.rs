//! Ambient, intake and exhaust.

use super::Checker;
use crate::quantity::*;
use crate::scenario::document::Fault;

pub fn check(c: &mut Checker) {
    ambient(c);
    c.positive::<Volume>(
        "intake.volume",
        "0 l",
        "all pipes, the cooler and the manifold together",
    );
    c.not_negative::<HeatConductance>(
        "intake.wall_loss",
        "0 W/K",
        "heat flows from warm to cold by itself",
    );
    cooler(c);
    duct(c);
    c.positive::<Volume>(
        "exhaust.volume",
        "0 l",
        "ports and manifold up to the turbine",
    );
    c.not_negative::<HeatConductance>(
        "exhaust.wall_loss",
        "0 W/K",
        "heat flows from warm to cold by itself",
    );
    for pipe in ["intake.filter", "intake.cooler", "exhaust.system"] {
        c.not_negative::<PressureDifference>(
            &format!("{pipe}.loss"),
            "0 kPa",
            "a loss is given as a positive number",
        );
        c.positive::<MassFlow>(
            &format!("{pipe}.at_flow"),
            "0 kg/s",
            "the flow at which the loss was found",
        );
    }
}

/// Altitude, or pressure with temperature: one of the two, and whole.
fn ambient(c: &mut Checker) {
    if !c.has("ambient") {
        return;
    }
    let has = |key: &str| c.has(&format!("ambient.{key}"));
    let (altitude, pressure, temperature) = (has("altitude"), has("pressure"), has("temperature"));
    let allowed = "`altitude`, or `pressure` together with `temperature`";
    let fault = |message: &str, hint: &str| Fault::new(message, allowed, hint);
    match (altitude, pressure, temperature) {
        (true, true, _) => c.refuse(
            "ambient.pressure",
            fault(
                "ambient is given twice: by altitude and by pressure",
                "keep one of the two",
            ),
        ),
        (true, false, true) => c.refuse(
            "ambient.temperature",
            fault(
                "with an altitude the temperature follows from it",
                "write `temperature_offset` for a warmer or colder day",
            ),
        ),
        (false, false, false) => c.refuse_section(
            "ambient",
            fault("ambient is not given", "add `altitude: 400 m`, for example")
                .reading("neither altitude nor pressure"),
        ),
        (false, true, false) => c.refuse(
            "ambient.temperature",
            fault(
                "the ambient temperature is missing",
                "add `temperature: 17 degC`, for example",
            )
            .reading("no `temperature`"),
        ),
        (false, false, true) => c.refuse(
            "ambient.pressure",
            fault(
                "the ambient pressure is missing",
                "add `pressure: 96.6 kPa abs`, for example",
            )
            .reading("no `pressure`"),
        ),
        (true, false, false) | (false, true, true) => {}
    }
    if !altitude && has_offset(c) {
        c.refuse(
            "ambient.temperature_offset",
            fault(
                "the temperature offset counts from the standard atmosphere of an altitude",
                "write the temperature itself, or give an altitude",
            ),
        );
    }
    c.range::<Length>(
        "ambient.altitude",
        "-500 m",
        "6000 m",
        "the standard atmosphere is used from below sea level to the highest roads",
    );
    c.range::<TemperatureRise>(
        "ambient.temperature_offset",
        "-60 K",
        "60 K",
        "the difference from the standard atmosphere, not the temperature",
    );
    c.range::<AbsolutePressure>(
        "ambient.pressure",
        "45 kPa abs",
        "110 kPa abs",
        "the air around the vehicle, from sea level to the highest roads",
    );
    c.range::<Temperature>(
        "ambient.temperature",
        "-40 degC",
        "70 degC",
        "the air around the vehicle",
    );
    c.share("ambient.relative_humidity");
    air(c);
}

/// Pressure, temperature and humidity together must be air that can be reckoned with.
fn air(c: &mut Checker) {
    let in_range = |value: f64, low: f64, high: f64| (low..=high).contains(&value);
    let Some(written) = c.get::<crate::scenario::file::Ambient>("ambient") else {
        return;
    };
    let humidity = written.relative_humidity.fraction();
    let air = match (written.altitude, written.pressure, written.temperature) {
        (Some(altitude), None, None) if in_range(altitude.m(), -500.0, 6000.0) => {
            let offset_k = written.temperature_offset.map_or(0.0, TemperatureRise::k);
            crate::gas::Ambient::at_altitude(altitude.m(), offset_k, humidity)
        }
        (None, Some(pressure), Some(temperature)) => {
            crate::gas::Ambient::given(pressure.pa(), temperature.k(), humidity)
        }
        _ => return,
    };
    if air.is_err() && in_range(humidity, 0.0, 1.0) {
        let path = if written.altitude.is_some() {
            "ambient.temperature_offset"
        } else {
            "ambient.temperature"
        };
        c.refuse(
            path,
            Fault::new(
                "this air is outside what can be calculated",
                "air from -40 degC to 100 degC in which the moisture stays vapour",
                "the standard atmosphere loses 6.5 K for each 1000 m: check altitude, temperature and humidity together",
            ),
        );
    }
}

fn has_offset(c: &Checker) -> bool {
    c.has("ambient.temperature_offset")
}

fn cooler(c: &mut Checker) {
    let table = "intake.cooler.effectiveness";
    c.axis::<MassFlow>(&format!("{table}.flow"), 1);
    c.each_in_range::<MassFlow>(
        &format!("{table}.flow"),
        "0 kg/s",
        "10 kg/s",
        "the flow of charge air",
    );
    c.same_length(&format!("{table}.flow"), &format!("{table}.value"));
    c.each_in_range::<f64>(
        &format!("{table}.value"),
        "0.01",
        "1",
        "temperature drop over the largest drop possible: 0.8 means 80 %",
    );
    let both = [
        "intake.cooler.coolant",
        "intake.cooler.coolant_above_ambient",
    ];
    let allowed = "either `coolant` or `coolant_above_ambient`";
    match both.map(|path| c.has(path)) {
        [true, true] => c.refuse(
            both[0],
            Fault::new(
                "the coolant temperature is given twice",
                allowed,
                "keep one of the two",
            ),
        ),
        [false, false] if c.has("intake.cooler") => c.refuse_section(
            "intake.cooler",
            Fault::new(
                "the coolant temperature is missing",
                allowed,
                "add `coolant_above_ambient: 8 K`, for example",
            )
            .reading("neither of the two"),
        ),
        _ => {}
    }
    c.range::<Temperature>(
        both[0],
        "-60 degC",
        "120 degC",
        "the air or water that cools the charge",
    );
    c.range::<TemperatureRise>(
        both[1],
        "-20 K",
        "100 K",
        "the rise over ambient, not the temperature",
    );
}

/// The column of air ahead of the intake volume, which it must not outgrow, and
/// whose compressor has to know what it does left of surge.
fn duct(c: &mut Checker) {
    if c.has("intake.duct") && c.has("compressor.form.head_and_flow") {
        c.refuse(
            "intake.duct",
            Fault::new(
                "a compressor given by `head_and_flow` has no characteristic left of surge",
                "a duct with inertia beside `speed_lines` or `wheel`",
                "leave `duct` out, or give the compressor by its map",
            ),
        );
    }
    let at = |key: &str| format!("intake.duct.{key}");
    c.range::<Length>(
        &at("length"),
        "0.1 m",
        "10 m",
        "from the filter to the intake volume, some 1 m to 3 m",
    );
    c.range::<Area>(
        &at("area"),
        "2 cm2",
        "500 cm2",
        "a pipe of 50 mm has about 20 cm2",
    );
    let (length, area) = (c.get::<Length>(&at("length")), c.get::<Area>(&at("area")));
    if let (Some(length), Some(area), Some(volume)) =
        (length, area, c.get::<Volume>("intake.volume"))
        && length.m() * area.m2() > volume.m3()
        && volume.m3() > 0.0
    {
        let volume = c.written("intake.volume", volume);
        c.refuse(
            &at("area"),
            Fault::new(
                "the duct holds more air than the volume that it feeds",
                format!("length times area below {volume}, the intake volume"),
                "one column and one volume describe pipes that are short beside the volume; \
                 count long boost pipes to the volume",
            ),
        );
    }
}
