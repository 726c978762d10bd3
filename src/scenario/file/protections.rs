//! What steps in when something is wrong.

use crate::quantity::*;
use crate::scenario::section::section;

section! {
    /// Protections of the controller; one that is left out is not there.
    pub struct Protections {
        /// Cuts fuel when the boost reading is too high for too long. A reading
        /// pinned at its ceiling below the threshold never triggers it.
        over_boost: Option<OverBoost>, eg "{above: 330 kPa abs, for: 0.5 s, fuel_cut: 50 %}";
        /// Keeps the command below what the sensor can read.
        command_clamp: Option<CommandClamp>, eg "{margin: 14 kPa}";
        /// Falls back when the reading stays at its ceiling.
        pinned_sensor: Option<PinnedSensor>, eg "{within: 1 kPa, for: 0.3 s, vanes: 20 %, fuel: 70 %}";
        /// Falls back when the reading does not move at all.
        frozen_sensor: Option<FrozenSensor>, eg "{for: 1 s, vanes: 20 %, fuel: 70 %}";
        /// Opens the vanes above an exhaust pressure.
        drive_pressure: Option<DrivePressureLimiter>, eg "{above: 480 kPa abs, gain: 0.3 %/kPa}";
        /// Opens the vanes above a shaft speed.
        shaft_speed: Option<ShaftSpeedLimiter>, eg "{above: 140000 rpm, gain: 0.004 %/rpm}";
    }
}

section! {
    /// Over-boost fuel cut.
    pub struct OverBoost {
        /// Boost reading above which it counts.
        above: AbsolutePressure, eg "330 kPa abs";
        /// How long the reading must be above.
        r#for: Duration, eg "0.5 s";
        /// Share of the fuel that is taken away.
        fuel_cut: Fraction, eg "50 %";
    }
}

section! {
    /// The command stays below the readable ceiling.
    pub struct CommandClamp {
        /// How far below.
        margin: PressureDifference, eg "14 kPa";
    }
}

section! {
    /// Detection of a reading that stays at its ceiling.
    pub struct PinnedSensor {
        /// How near to the readable ceiling counts as pinned.
        within: PressureDifference, eg "1 kPa";
        /// How long it must stay there.
        r#for: Duration, eg "0.3 s";
        /// Vane position to fall back to, per cent closed.
        vanes: Fraction, eg "20 %";
        /// Share of the fuel that remains.
        fuel: Fraction, eg "70 %";
    }
}

section! {
    /// Detection of a reading that does not move.
    pub struct FrozenSensor {
        /// How long it must stand still.
        r#for: Duration, eg "1 s";
        /// Vane position to fall back to, per cent closed.
        vanes: Fraction, eg "20 %";
        /// Share of the fuel that remains.
        fuel: Fraction, eg "70 %";
    }
}

section! {
    /// Drive-pressure limiter.
    pub struct DrivePressureLimiter {
        /// Exhaust pressure from which it acts.
        above: AbsolutePressure, eg "480 kPa abs";
        /// Opening of the vanes per pressure above.
        gain: VanePerPressure, eg "0.3 %/kPa";
    }
}

section! {
    /// Shaft-speed limiter.
    pub struct ShaftSpeedLimiter {
        /// Shaft speed from which it acts.
        above: RotationalSpeed, eg "140000 rpm";
        /// Opening of the vanes per speed above.
        gain: VanePerSpeed, eg "0.004 %/rpm";
    }
}
