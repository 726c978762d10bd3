//! What is asked of the engine over time: speed and fuel.
//!
//! A procedure is a list of parts driven one after the other. Where the next
//! part starts at another engine speed, the speed is led over at
//! [`LEAD_OVER_RPM_S`] with the next part's fuel.
mod climb;
mod part;
mod playback;
mod road;

pub use climb::{Climb, ClimbEnd, ClimbStart, Gearbox, HOLDING_BAND_M_S, Pedal, Vehicle};
pub use part::{Asked, FuelAsked, LEAD_OVER_RPM_S, Part};
pub use playback::{Recording, RecordingProblem};
pub use road::{RoadProblem, RoadProfile};
mod step;
pub use step::{InputOverrides, StepPart, StepSide};

use std::sync::Arc;

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
                    let lead = Part::LeadOver {
                        from_rad_s: last.speed_rad_s,
                        to: first,
                    };
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

    /// When full load is first asked for \[s\]; `None` where it never is, or nobody
    /// knows beforehand: a recording names its fuel, and a driver has a foot.
    pub fn full_load_from_s(&self) -> Option<f64> {
        self.timed
            .iter()
            .find_map(|(start, part)| Some(start + part.full_load_from_s()?))
    }

    /// Whether the engine speed still ramps or the fuel still steps after `t_s`.
    pub fn last_change_s(&self) -> f64 {
        self.timed
            .iter()
            .map(|(start, part)| {
                start
                    + match *part {
                        Part::Playback(_) | Part::Climb(_) | Part::LeadOver { .. } => {
                            part.duration_s()
                        }
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

#[cfg(test)]
mod tests;
