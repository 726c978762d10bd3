//! What is asked of the engine over time: speed and fuel.
//!
//! A procedure is a list of parts driven one after the other. Where the next
//! part starts at another engine speed, the speed is led over at
//! [`LEAD_OVER_RPM_S`] with the next part's fuel.
mod climb;
mod playback;
mod road;

pub use climb::{Climb, ClimbEnd, ClimbStart, Gearbox, HOLDING_BAND_M_S, Pedal, Vehicle};
pub use playback::{Recording, RecordingProblem};
pub use road::{RoadProblem, RoadProfile};
mod step;
pub use step::{InputOverrides, StepPart, StepSide};

use std::f64::consts::PI;
use std::sync::Arc;

/// Rate at which the engine speed is led from one part to the next \[rpm/s\].
pub const LEAD_OVER_RPM_S: f64 = 500.0;

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

    /// The way back to full fuel, a straight line that takes `resume_s`.
    fn coming_back(since_s: f64, resume_s: f64) -> Self {
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
        }
    }

    fn at(&self, t_s: f64) -> Asked {
        match *self {
            Self::Playback(ref recording) => recording.at(t_s),
            Self::Climb(ref climb) => climb.first(),
            Self::Step(step) => step.at(t_s),
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
    fn steady(speed_rad_s: f64, fuel: FuelAsked) -> Self {
        Self {
            speed_rad_s,
            speed_rate_rad_s2: 0.0,
            fuel,
            ..Self::default()
        }
    }
}

/// A list of parts on one time axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Procedure {
    /// (start \[s\], part), lead-overs included.
    timed: Vec<(f64, Part)>,
    name: String,
    duration_s: f64,
    only_hold: bool,
    temperature_offset_k: f64,
}

impl Procedure {
    /// Parts one after the other; empty lists make an empty procedure.
    pub fn new(parts: &[Part]) -> Self {
        let mut timed = Vec::new();
        let mut clock_s = 0.0;
        let mut last: Option<Asked> = None;
        for part in parts {
            let first = part.at(0.0);
            if let Some(last) = last {
                let gap = first.speed_rad_s - last.speed_rad_s;
                if gap.abs() > 1e-9 {
                    let lead = lead_over(last.speed_rad_s, first);
                    let lead_s = lead.duration_s();
                    timed.push((clock_s, lead));
                    clock_s += lead_s;
                }
            }
            timed.push((clock_s, part.clone()));
            clock_s += part.duration_s();
            last = Some(part.at(part.duration_s()));
        }
        Self {
            timed,
            name: parts.iter().map(Part::name).collect::<Vec<_>>().join(" + "),
            duration_s: clock_s,
            only_hold: parts.iter().all(|p| matches!(p, Part::Hold { .. })),
            temperature_offset_k: 0.0,
        }
    }

    /// The same on a day that is warmer than the standard atmosphere by an
    /// offset \[K\], wherever the road leads.
    pub fn on_day(mut self, temperature_offset_k: f64) -> Self {
        self.temperature_offset_k = temperature_offset_k;
        self
    }

    /// How much warmer than standard the day is \[K\].
    pub fn temperature_offset_k(&self) -> f64 {
        self.temperature_offset_k
    }

    /// The climb that it is, if it is one.
    pub fn climb(&self) -> Option<&Arc<Climb>> {
        match self.timed.as_slice() {
            [(_, Part::Climb(climb))] => Some(climb),
            _ => None,
        }
    }

    /// Names of the parts, joined by " + ".
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Duration of the whole \[s\].
    pub fn duration_s(&self) -> f64 {
        self.duration_s
    }

    /// Whether it ends at a steady speed and fuel held from its start.
    pub fn is_hold(&self) -> bool {
        self.only_hold && self.timed.len() == 1
    }

    /// The altitudes that it leads to, lowest and highest \[m\]; none where the
    /// ambient stays as it is.
    pub fn altitudes_m(&self) -> Vec<f64> {
        let ends = self.timed.iter().filter_map(|(_, part)| match part {
            Part::Climb(climb) => Some(climb.road.altitudes_m()),
            Part::Playback(recording) => recording.altitudes_m(),
            _ => None,
        });
        ends.flat_map(|(low, high)| [low, high]).collect()
    }

    /// What is asked at a time \[s\], held beyond both ends.
    pub fn at(&self, t_s: f64) -> Asked {
        let upper = self.timed.partition_point(|(start, _)| *start <= t_s);
        let now = upper.saturating_sub(1);
        let (start, part) = &self.timed[now];
        let asked = part.at((t_s - start).max(0.0).min(part.duration_s()));
        Asked {
            altitude_m: asked.altitude_m.or_else(|| self.altitude_before_m(now)),
            ..asked
        }
    }

    /// Altitude at which the parts before this one left the engine, if one of
    /// them said so.
    fn altitude_before_m(&self, part: usize) -> Option<f64> {
        self.timed[..part]
            .iter()
            .rev()
            .find_map(|(_, part)| part.at(part.duration_s()).altitude_m)
    }

    /// When the torque is cut first; 0 where it never is \[s\]. A shift begins at
    /// an equilibrium at the feed-forward vanes, which no drive would leave as it is:
    /// what it does to the engine begins with the cut.
    pub fn first_cut_s(&self) -> f64 {
        self.timed
            .iter()
            .find_map(|(start, part)| match part {
                Part::Shift { pull_s, .. } => Some(start + pull_s),
                _ => None,
            })
            .unwrap_or(0.0)
    }

    /// Whether the engine speed still ramps or the fuel still steps after `t_s`.
    pub fn last_change_s(&self) -> f64 {
        self.timed
            .iter()
            .map(|(start, part)| {
                start
                    + match *part {
                        Part::Playback(_) | Part::Climb(_) => part.duration_s(),
                        Part::Hold { .. } => 0.0,
                        Part::Pull { duration_s, .. } => duration_s,
                        Part::LoadStep { at_s, .. } => at_s,
                        Part::Shift {
                            pull_s,
                            cut_s,
                            resume_s,
                            ..
                        } => pull_s + cut_s + resume_s,
                        Part::Step(step) => step.at_s,
                    }
            })
            .fold(0.0, f64::max)
    }
}

/// The straight line of engine speed between two parts.
fn lead_over(from_rad_s: f64, to: Asked) -> Part {
    let rate = LEAD_OVER_RPM_S * PI / 30.0;
    Part::Pull {
        from_rad_s,
        to_rad_s: to.speed_rad_s,
        duration_s: (to.speed_rad_s - from_rad_s).abs() / rate,
        settle_s: 0.0,
    }
}

#[cfg(test)]
mod tests;
