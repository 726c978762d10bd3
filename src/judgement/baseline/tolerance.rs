//! How far a trace may be from its baseline.
use super::super::channel::Channel;

/// How far a channel may be from its baseline: by so much of its unit, by a share of
/// the value, and by so much time.
///
/// A row is met where the trace comes within `absolute + relative * |value|` of it at
/// any time from `shift_s` before to `shift_s` after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// In the channel's unit.
    pub absolute: f64,
    /// Share of the baseline's value \[-\].
    pub relative: f64,
    /// Earlier or later \[s\].
    pub shift_s: f64,
}

/// Two periods of a common controller: a reaction that comes one tick later is no
/// difference, nor are both ends of it.
const SHIFT_S: f64 = 0.02;

impl Tolerance {
    /// What holds for a channel unless the scenario says otherwise.
    ///
    /// Chosen between what half the solver's tolerance moves and what 20 % of a gain
    /// move; `docs/guide/baselines.md` has the figures.
    pub fn of(channel: Channel) -> Self {
        let (absolute, relative) = match channel {
            Channel::EngineSpeed => (1.0, 0.0),
            Channel::Fuel => (0.2, 0.0),
            Channel::BoostCommand | Channel::BoostTrue | Channel::BoostSensed => (0.5, 0.0),
            Channel::VaneCommand | Channel::VaneClosed | Channel::Integrator => (0.3, 0.0),
            Channel::DrivePressure => (1.0, 0.001),
            Channel::ShaftSpeed => (100.0, 0.001),
            Channel::TipSpeed => (0.4, 0.001),
            Channel::CompressorFlow => (0.0003, 0.001),
            Channel::CompressorOutlet => (0.5, 0.0),
            Channel::TurbineInlet => (1.0, 0.0),
            Channel::Intake => (0.3, 0.0),
            Channel::Lambda => (0.005, 0.002),
            Channel::CylinderPressure => (50.0, 0.002),
            Channel::Torque => (2.0, 0.002),
            Channel::Power => (0.3, 0.002),
            Channel::SurgeMargin => (0.3, 0.0),
        };
        Self {
            absolute,
            relative,
            shift_s: SHIFT_S,
        }
    }

    /// How far off a value may be, in the channel's unit.
    pub fn allowed(&self, value: f64) -> f64 {
        self.absolute + self.relative * value.abs()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rounded_value_is_off_by_a_tenth_of_the_tolerance_at_most() {
        for channel in Channel::ALL {
            let rounding = 0.5 * 10_f64.powi(-(channel.decimals() as i32));
            let tolerance = Tolerance::of(channel).absolute;
            assert!(rounding <= 0.1 * tolerance, "{}", channel.name());
        }
    }
}
