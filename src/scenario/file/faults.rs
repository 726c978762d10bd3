//! What goes wrong, and when.

use crate::quantity::*;
use crate::scenario::section::{choice, section};

choice! {
    /// One fault with its onset.
    pub enum FaultEntry {
        key /// A leak from the intake side to the ambient.
        "boost_leak" => BoostLeak(LeakFault);
        key /// A leak from the exhaust manifold to the ambient.
        "exhaust_leak" => ExhaustLeak(LeakFault);
        key /// A filter that lets less air through.
        "blocked_filter" => BlockedFilter(BlockedFault);
        key /// A charge cooler that lets less air through.
        "blocked_cooler" => BlockedCooler(BlockedFault);
        key /// Vanes that stick where they are.
        "sticking_vanes" => StickingVanes(OnsetFault);
        key /// The boost sensor goes wrong.
        "boost_sensor" => BoostSensor(PressureSensorFault);
        key /// The drive-pressure sensor goes wrong.
        "drive_pressure_sensor" => DrivePressureSensor(PressureSensorFault);
        key /// The shaft-speed pick-up keeps its last reading.
        "shaft_speed_frozen" => ShaftSpeedFrozen(OnsetFault);
    }
}

section! {
    /// A leak.
    pub struct LeakFault {
        /// Effective area of the opening.
        area: Area, eg "60 mm2";
        /// When it sets in.
        onset: Duration = "0 s", eg "3 s";
    }
}

section! {
    /// A passage with more loss than when it was new.
    pub struct BlockedFault {
        /// Factor on the pressure loss.
        factor: f64, eg "4";
        /// When it sets in.
        onset: Duration = "0 s", eg "3 s";
    }
}

section! {
    /// A fault without further figures.
    pub struct OnsetFault {
        /// When it sets in.
        onset: Duration = "0 s", eg "3 s";
    }
}

section! {
    /// A pressure sensor that goes wrong in one way.
    pub struct PressureSensorFault {
        /// In which way.
        fault: PressureSensorFaultKind, eg "frozen";
        /// When it sets in.
        onset: Duration = "0 s", eg "3 s";
    }
}

choice! {
    /// The ways in which a pressure sensor goes wrong.
    pub enum PressureSensorFaultKind {
        word /// The reading keeps its last value.
        "frozen" => Frozen;
        key /// Reads this much too high, ahead of the clamp.
        "offset" => Offset(PressureDifference);
        key /// Reads this much too high, after the clamp.
        "offset_after_clamp" => AfterClamp(PressureDifference);
        key /// Reads this share too much.
        "gain" => Gain(Fraction);
        key /// The reading drifts at this rate.
        "drift" => Drift(PressureRate);
        key /// Follows with this time constant instead of its own.
        "lag" => Lag(Duration);
        key /// Reads this whatever happens.
        "stuck_at" => StuckAt(AbsolutePressure);
    }
}
