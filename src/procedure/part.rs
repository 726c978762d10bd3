//! One part of a procedure, and what is asked at one instant of it.
use super::{Climb, InputOverrides, Recording, StepPart};
use std::f64::consts::PI;
use std::sync::Arc;

/// Rate at which the engine speed is led from one part to the next \[rpm/s\].
pub const LEAD_OVER_RPM_S: f64 = 500.0;

/// The same in rad/s².
const LEAD_OVER_RAD_S2: f64 = LEAD_OVER_RPM_S * PI / 30.0;

/// Fuel asked for.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum FuelAsked {
    #[default]
    /// All that the full-load table gives.
    Full,
    /// A quantity per injection \[kg\].
    Quantity(f64),
    /// A share of what the full-load table gives at the speed of the moment \[-\].
    Share(f64),
}

impl FuelAsked {
    /// As the controller reads it \[kg per injection\]; infinite for full.
    /// `full_load_kg` is what the full-load table gives.
    pub fn kg(self, full_load_kg: f64) -> f64 {
        match self {
            Self::Full => f64::INFINITY,
            Self::Quantity(kg) => kg,
            Self::Share(share) => share * full_load_kg,
        }
    }

    /// The way back to full fuel, a straight line that takes `resume_s`, which may be
    /// none at all. A moment that is before its begin by rounding is its begin.
    fn coming_back(since_s: f64, resume_s: f64) -> Self {
        let since_s = since_s.max(0.0);
        if since_s < resume_s {
            Self::Share(since_s / resume_s)
        } else {
            Self::Full
        }
    }
}

/// One part of a procedure. Speeds in rad/s, times in s.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// Steady speed and fuel.
    Hold {
        /// Engine speed \[rad/s\].
        speed_rad_s: f64,
        /// Fuel.
        fuel: FuelAsked,
        /// How long \[s\].
        duration_s: f64,
    },
    /// Full fuel while the engine speed goes in a straight line.
    Pull {
        /// First engine speed \[rad/s\].
        from_rad_s: f64,
        /// Last engine speed \[rad/s\].
        to_rad_s: f64,
        /// How long the ramp takes \[s\].
        duration_s: f64,
        /// Full fuel at the last speed afterwards \[s\].
        settle_s: f64,
    },
    /// A step of the fuel at a steady speed.
    LoadStep {
        /// Engine speed \[rad/s\].
        speed_rad_s: f64,
        /// Fuel before.
        fuel_from: FuelAsked,
        /// Fuel after.
        fuel_to: FuelAsked,
        /// When the step comes \[s\].
        at_s: f64,
        /// How long in all \[s\].
        duration_s: f64,
    },
    /// A full pull, a torque cut while the engine speed falls to the next
    /// gear's, full fuel there.
    Shift {
        /// First engine speed \[rad/s\].
        from_rad_s: f64,
        /// Engine speed of the shift \[rad/s\].
        at_rad_s: f64,
        /// Engine speed in the next gear \[rad/s\].
        to_rad_s: f64,
        /// How long the pull takes \[s\].
        pull_s: f64,
        /// How long the torque is cut \[s\].
        cut_s: f64,
        /// How long the fuel then takes to come back \[s\].
        resume_s: f64,
        /// Full fuel in the next gear after the cut \[s\].
        settle_s: f64,
    },
    /// Engine speed, fuel and perhaps altitude as recorded.
    Playback(Arc<Recording>),
    /// A drive up a road: the engine speed follows from the vehicle. It stands
    /// alone in its procedure, because nobody knows beforehand when it ends.
    Climb(Arc<Climb>),
    /// A step of any inputs at a steady speed.
    Step(StepPart),
    /// The straight line of engine speed that leads to the next part, with what
    /// that asks for at its start. Procedures put it in by themselves.
    LeadOver {
        /// First engine speed \[rad/s\].
        from_rad_s: f64,
        /// What is asked at its end.
        to: Asked,
    },
}

impl Part {
    /// Duration \[s\].
    pub fn duration_s(&self) -> f64 {
        match *self {
            Self::Playback(ref recording) => recording.duration_s(),
            Self::Climb(ref climb) => climb.longest_s(),
            Self::Hold { duration_s, .. } | Self::LoadStep { duration_s, .. } => duration_s,
            Self::Pull {
                duration_s,
                settle_s,
                ..
            } => duration_s + settle_s,
            Self::Shift {
                pull_s,
                cut_s,
                settle_s,
                ..
            } => pull_s + cut_s + settle_s,
            Self::Step(step) => step.duration_s,
            Self::LeadOver { from_rad_s, to } => {
                (to.speed_rad_s - from_rad_s).abs() / LEAD_OVER_RAD_S2
            }
        }
    }

    /// Name as scenarios and results use it.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Hold { .. } => "hold",
            Self::Pull { .. } => "pull",
            Self::LoadStep { .. } => "load_step",
            Self::Shift { .. } => "shift",
            Self::Playback(_) => "playback",
            Self::Climb(_) => "climb",
            Self::Step(_) => "step",
            Self::LeadOver { .. } => "lead-over",
        }
    }

    /// When it first asks for full load, since its start \[s\].
    pub(super) fn full_load_from_s(&self) -> Option<f64> {
        let change_s = match *self {
            Self::Playback(_) | Self::Climb(_) => return None,
            Self::LoadStep { at_s, .. } => at_s,
            Self::Step(step) => step.at_s,
            // these ask for it from their start, or not before the next part
            Self::Hold { .. } | Self::Pull { .. } | Self::Shift { .. } | Self::LeadOver { .. } => {
                0.0
            }
        };
        [0.0, change_s]
            .into_iter()
            .find(|&t_s| self.at(t_s).fuel == FuelAsked::Full)
    }

    pub(super) fn at(&self, t_s: f64) -> Asked {
        match *self {
            Self::Playback(ref recording) => recording.at(t_s),
            Self::Climb(ref climb) => climb.first(),
            Self::Step(step) => step.at(t_s),
            Self::LeadOver { from_rad_s, to } => {
                let rate = LEAD_OVER_RAD_S2.copysign(to.speed_rad_s - from_rad_s);
                Asked {
                    speed_rad_s: from_rad_s + rate * t_s,
                    speed_rate_rad_s2: rate,
                    ..to
                }
            }
            Self::Hold {
                speed_rad_s, fuel, ..
            } => Asked::steady(speed_rad_s, fuel),
            Self::Pull {
                from_rad_s,
                to_rad_s,
                duration_s,
                ..
            } => {
                if t_s >= duration_s {
                    return Asked::steady(to_rad_s, FuelAsked::Full);
                }
                let rate = (to_rad_s - from_rad_s) / duration_s;
                Asked {
                    speed_rad_s: from_rad_s + rate * t_s,
                    speed_rate_rad_s2: rate,
                    fuel: FuelAsked::Full,
                    ..Asked::default()
                }
            }
            Self::LoadStep {
                speed_rad_s,
                fuel_from,
                fuel_to,
                at_s,
                ..
            } => Asked::steady(speed_rad_s, if t_s < at_s { fuel_from } else { fuel_to }),
            Self::Shift {
                from_rad_s,
                at_rad_s,
                to_rad_s,
                pull_s,
                cut_s,
                resume_s,
                ..
            } => {
                let ramp = |from: f64, to: f64, since_s: f64, duration_s: f64, fuel| {
                    let rate = (to - from) / duration_s;
                    Asked {
                        speed_rad_s: from + rate * since_s,
                        speed_rate_rad_s2: rate,
                        fuel,
                        ..Asked::default()
                    }
                };
                if t_s < pull_s {
                    ramp(from_rad_s, at_rad_s, t_s, pull_s, FuelAsked::Full)
                } else if t_s < pull_s + cut_s {
                    let no_fuel = FuelAsked::Quantity(0.0);
                    ramp(at_rad_s, to_rad_s, t_s - pull_s, cut_s, no_fuel)
                } else {
                    let since_s = t_s - pull_s - cut_s;
                    Asked::steady(to_rad_s, FuelAsked::coming_back(since_s, resume_s))
                }
            }
        }
    }
}

/// What is asked at one instant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Asked {
    /// Engine speed \[rad/s\].
    pub speed_rad_s: f64,
    /// Its rate \[rad/s²\].
    pub speed_rate_rad_s2: f64,
    /// Fuel.
    pub fuel: FuelAsked,
    /// Altitude of the place \[m\]; `None` where the ambient stays as it is.
    pub altitude_m: Option<f64>,
    /// Gear engaged; `None` where no vehicle is driven, 0 while it changes gear.
    pub gear: Option<u8>,
    /// Inputs that are set, whatever a controller wants.
    pub set: InputOverrides,
}

impl Asked {
    pub(super) fn steady(speed_rad_s: f64, fuel: FuelAsked) -> Self {
        Self {
            speed_rad_s,
            speed_rate_rad_s2: 0.0,
            fuel,
            ..Self::default()
        }
    }
}
