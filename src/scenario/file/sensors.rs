//! What the controller can see.

use crate::quantity::*;
use crate::scenario::section::{choice, section};

section! {
    /// The sensors of the controller.
    pub struct Sensors {
        /// The boost-pressure sensor.
        boost: BoostSensor;
        /// Exhaust pressure ahead of the turbine. Needed by the drive-pressure limiter.
        drive_pressure: Option<DrivePressureSensor>;
        /// Speed of the turbocharger shaft. Needed by the shaft-speed limiter.
        shaft_speed: Option<ShaftSpeedSensor>;
    }
}

choice! {
    /// Where the boost sensor sits.
    pub enum BoostPlace {
        word /// Behind the compressor, ahead of the cooler.
        "compressor_outlet" => CompressorOutlet;
        word /// Behind the cooler.
        "cooler_outlet" => CoolerOutlet;
        word /// In the intake manifold.
        "manifold" => Manifold;
    }
}

choice! {
    /// Which pressure the tapping gives.
    pub enum Tapping {
        word /// A hole in the wall.
        "static" => Static;
        word /// A probe that faces the flow.
        "total" => Total;
    }
}

section! {
    /// The boost-pressure sensor, from the tapping to the number in the controller.
    pub struct BoostSensor {
        /// Where it sits.
        place: BoostPlace = "manifold", eg "cooler_outlet";
        /// Which pressure it reads.
        pressure: Tapping = "static", eg "total";
        /// Flow area of the pipe at the sensor. Needed for `pressure: total`.
        pipe_area: Option<Area>, eg "38 cm2";
        /// Time constant of the reading.
        time_constant: Duration, eg "30 ms";
        /// Supply voltage.
        supply: Voltage = "5 V", eg "5 V";
        /// The sensor's own line from pressure to voltage.
        line: Line;
        /// The line that the controller believes in; the sensor's own if left out.
        ecu_line: Option<Line>;
        /// Lowest and highest voltage that the sensor puts out.
        clamp: Clamp;
        /// Bits of the converter.
        converter_bits: u32 = "12", eg "10";
        /// Error of the slope: reads this share too much.
        gain_error: Fraction = "0 %", eg "1 %";
        /// Reads this much too high, ahead of the clamp.
        offset: PressureDifference = "0 kPa", eg "-2 kPa";
        /// Reads this much too high, behind the clamp (converter, ground, wiring).
        offset_after_clamp: PressureDifference = "0 kPa", eg "1 kPa";
        /// Change of the offset over time.
        drift: PressureRate = "0 kPa/s", eg "0.1 kPa/s";
        /// Standard deviation of the noise of each sample.
        noise: PressureDifference = "0 kPa", eg "0.5 kPa";
        /// Seed of the noise: equal seeds give equal runs.
        noise_seed: u32 = "1", eg "7";
        /// Corners of the stated error, for the ceiling.
        error: SensorError = "{}";
    }
}

section! {
    /// The corners of the stated error: both signs are tried.
    pub struct SensorError {
        /// Error ahead of the clamp.
        offset: PressureDifference = "0 kPa", eg "2 kPa";
        /// Error behind the clamp.
        after_clamp: PressureDifference = "0 kPa", eg "1 kPa";
    }
}

section! {
    /// A straight line from pressure to voltage through two points.
    pub struct Line {
        /// The lower point.
        low: LinePoint, eg "{at: 20 kPa abs, reads: 0.40 V}";
        /// The upper point.
        high: LinePoint, eg "{at: 320 kPa abs, reads: 4.60 V}";
    }
}

section! {
    /// One point of a sensor's line.
    pub struct LinePoint {
        /// Pressure.
        at: AbsolutePressure, eg "20 kPa abs";
        /// Voltage at that pressure.
        reads: Voltage, eg "0.40 V";
    }
}

section! {
    /// The voltages between which a sensor's output stays.
    pub struct Clamp {
        /// Lowest voltage.
        low: Voltage, eg "0.25 V";
        /// Highest voltage.
        high: Voltage, eg "4.75 V";
    }
}

section! {
    /// The exhaust-pressure sensor.
    pub struct DrivePressureSensor {
        /// Time constant of the reading.
        time_constant: Duration, eg "50 ms";
        /// Supply voltage.
        supply: Voltage = "5 V", eg "5 V";
        /// The line from pressure to voltage.
        line: Line;
        /// Lowest and highest voltage that the sensor puts out.
        clamp: Clamp;
        /// Bits of the converter.
        converter_bits: u32 = "12", eg "10";
    }
}

section! {
    /// The shaft-speed sensor.
    pub struct ShaftSpeedSensor {
        /// Time constant of the reading.
        time_constant: Duration, eg "20 ms";
        /// Highest speed that it can read.
        highest_readable: RotationalSpeed, eg "200000 rpm";
    }
}
