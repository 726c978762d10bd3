//! Faults with the moment at which they set in.
use super::rig::{Rig, Sensors};
use crate::plant::Plant;
use crate::sensor::PressureChain;

/// Something that goes wrong at a moment of the run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fault {
    /// When it sets in \[s\]; at or before zero it is there from the start.
    pub onset_s: f64,
    /// What it is.
    pub kind: FaultKind,
}

/// What can go wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FaultKind {
    /// Effective area of a leak from the intake volume \[m²\].
    BoostLeak(f64),
    /// Effective area of a leak from the exhaust volume \[m²\].
    ExhaustLeak(f64),
    /// Factor on the pressure loss of the filter \[-\].
    BlockedFilter(f64),
    /// Factor on the pressure loss of the charge cooler \[-\].
    BlockedCooler(f64),
    /// The vanes stick where they are.
    StickingVanes,
    /// The boost sensor.
    BoostSensor(SensorFault),
    /// The drive-pressure sensor.
    DrivePressureSensor(SensorFault),
    /// The shaft-speed pick-up keeps its last reading.
    ShaftSpeedFrozen,
}

/// What can go wrong with a pressure sensor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SensorFault {
    /// Reads this much too high ahead of the clamp \[Pa\].
    Offset(f64),
    /// Reads this much too high after the clamp \[Pa\].
    AfterClamp(f64),
    /// Reads this share too much \[-\].
    Gain(f64),
    /// The offset changes over time, from the onset on \[Pa/s\].
    Drift(f64),
    /// Lag instead of its own \[s\].
    Lag(f64),
    /// Keeps its last reading.
    Frozen,
    /// Reads this whatever happens \[Pa abs\].
    StuckAt(f64),
}

/// Readings that no longer follow the sensor.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Held {
    /// Boost reading, frozen or stuck.
    pub boost: Option<HeldReading>,
    /// Drive-pressure reading.
    pub drive_pressure: Option<HeldReading>,
    /// Shaft-speed reading is frozen.
    pub shaft_speed: bool,
}

/// A reading that stands still.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HeldReading {
    /// At its last value.
    AtLast,
    /// At a value \[Pa abs\].
    At(f64),
}

/// Names of the faults in scenarios and events.
pub const FAULTS: [&str; 8] = [
    "boost_leak",
    "exhaust_leak",
    "blocked_filter",
    "blocked_cooler",
    "sticking_vanes",
    "boost_sensor",
    "drive_pressure_sensor",
    "shaft_speed_frozen",
];

impl FaultKind {
    /// Its name, one of [`FAULTS`].
    pub fn name(self) -> &'static str {
        FAULTS[match self {
            Self::BoostLeak(_) => 0,
            Self::ExhaustLeak(_) => 1,
            Self::BlockedFilter(_) => 2,
            Self::BlockedCooler(_) => 3,
            Self::StickingVanes => 4,
            Self::BoostSensor(_) => 5,
            Self::DrivePressureSensor(_) => 6,
            Self::ShaftSpeedFrozen => 7,
        }]
    }

    /// Whether it holds a reading still, which a run does, not the rig.
    pub fn holds_a_reading(self) -> bool {
        matches!(
            self,
            Self::BoostSensor(SensorFault::Frozen | SensorFault::StuckAt(_))
                | Self::DrivePressureSensor(SensorFault::Frozen | SensorFault::StuckAt(_))
                | Self::ShaftSpeedFrozen
        )
    }

    /// Breaks the plant, the sensors or a reading at a moment \[s\].
    pub fn set_in(self, onset_s: f64, plant: &mut Plant, sensors: &mut Sensors, held: &mut Held) {
        match self {
            Self::BoostLeak(area_m2) => plant.health.boost_leak_m2 += area_m2,
            Self::ExhaustLeak(area_m2) => plant.health.exhaust_leak_m2 += area_m2,
            Self::BlockedFilter(factor) => plant.health.filter_loss_factor *= factor,
            Self::BlockedCooler(factor) => plant.health.cooler_loss_factor *= factor,
            Self::StickingVanes => plant.health.vanes_stuck = true,
            Self::BoostSensor(fault) => {
                if let Some(reading) = fault.spoil(onset_s, &mut sensors.boost.chain) {
                    held.boost = Some(reading);
                }
            }
            Self::DrivePressureSensor(fault) => {
                if let Some(chain) = &mut sensors.drive_pressure
                    && let Some(reading) = fault.spoil(onset_s, chain)
                {
                    held.drive_pressure = Some(reading);
                }
            }
            Self::ShaftSpeedFrozen => held.shaft_speed = true,
        }
    }
}

impl SensorFault {
    /// Changes the chain; what freezes the reading is returned.
    fn spoil(self, onset_s: f64, chain: &mut PressureChain) -> Option<HeldReading> {
        let e = &mut chain.error;
        match self {
            Self::Offset(pa) => e.offset_pa += pa,
            Self::AfterClamp(pa) => e.after_clamp_pa += pa,
            Self::Gain(share) => e.gain += share,
            Self::Drift(pa_s) => {
                e.drift_pa_s += pa_s;
                // the chain's drift counts from the start of the run
                e.offset_pa -= pa_s * onset_s.max(0.0);
            }
            Self::Lag(s) => chain.time_constant_s = s,
            Self::Frozen => return Some(HeldReading::AtLast),
            Self::StuckAt(pa) => return Some(HeldReading::At(pa)),
        }
        None
    }
}

impl Rig {
    /// The rig with everything broken that is so from the start, and the faults
    /// that come later, earliest first.
    pub fn broken_at_start(&self) -> (Rig, Held) {
        let mut rig = self.clone();
        let mut held = Held::default();
        let (now, mut later): (Vec<Fault>, Vec<Fault>) =
            self.faults.iter().partition(|f| f.onset_s <= 0.0);
        for fault in now {
            fault
                .kind
                .set_in(0.0, &mut rig.plant, &mut rig.sensors, &mut held);
        }
        later.sort_by(|a, b| a.onset_s.total_cmp(&b.onset_s));
        rig.faults = later;
        (rig, held)
    }

    /// The rig with everything broken that is so at a moment \[s\].
    pub fn broken_by(&self, time_s: f64) -> Rig {
        let mut rig = self.clone();
        for fault in &mut rig.faults {
            fault.onset_s -= time_s;
        }
        rig.broken_at_start().0
    }

    /// The rig with every fault there from the start, for studies of rest and
    /// of ceilings, which know no moment.
    pub fn broken_throughout(&self) -> Rig {
        let mut rig = self.clone();
        for fault in &mut rig.faults {
            fault.onset_s = 0.0;
        }
        rig
    }
}
