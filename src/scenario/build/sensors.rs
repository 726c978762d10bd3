//! The sensors' part of a scenario.
use crate::scenario::checked::{BoostPlace, BoostTapping, Clamp, Line, Scenario};
use crate::sensor::{
    PressureChain, SensorError, SensorLine, SensorPlace, SpeedPickup, VoltageClamp,
};
use crate::simulation::{BoostSensor, Sensors};

/// All sensors.
pub fn sensors(s: &Scenario) -> Sensors {
    let b = &s.sensors.boost;
    Sensors {
        boost: BoostSensor {
            place: match b.place {
                BoostPlace::CompressorOutlet => SensorPlace::CompressorOutlet,
                BoostPlace::CoolerOutlet => SensorPlace::CoolerOutlet,
                BoostPlace::Manifold => SensorPlace::Manifold,
            },
            total_in_pipe_m2: match b.tapping {
                BoostTapping::Static => None,
                BoostTapping::Total(area) => Some(area.m2()),
            },
            chain: PressureChain {
                time_constant_s: b.time_constant.s(),
                line: line(&b.line),
                clamp: clamp(&b.clamp),
                supply_v: b.supply.v(),
                converter_bits: b.converter_bits,
                believed_line: line(&b.ecu_line),
                error: SensorError {
                    offset_pa: b.offset.pa(),
                    gain: b.gain_error.fraction(),
                    drift_pa_s: b.drift.pa_s(),
                    noise_pa: b.noise.pa(),
                    after_clamp_pa: b.offset_after_clamp.pa(),
                    clamp_v: 0.0,
                },
            },
        },
        drive_pressure: s.sensors.drive_pressure.as_ref().map(|d| PressureChain {
            time_constant_s: d.time_constant.s(),
            line: line(&d.line),
            clamp: clamp(&d.clamp),
            supply_v: d.supply.v(),
            converter_bits: d.converter_bits,
            believed_line: line(&d.line),
            error: SensorError::default(),
        }),
        shaft_speed: s.sensors.shaft_speed.as_ref().map(|p| SpeedPickup {
            time_constant_s: p.time_constant.s(),
            highest_readable_rad_s: p.highest_readable.rad_s(),
        }),
        noise_seed: u64::from(b.noise_seed),
    }
}

fn line(l: &Line) -> SensorLine {
    SensorLine {
        low: (l.low.at.pa(), l.low.reads.v()),
        high: (l.high.at.pa(), l.high.reads.v()),
    }
}

fn clamp(c: &Clamp) -> VoltageClamp {
    VoltageClamp {
        low_v: c.low.v(),
        high_v: c.high.v(),
    }
}
