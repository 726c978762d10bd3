//! What is asked of the engine over time: speed and fuel.
//!
//! A procedure is a list of parts driven one after the other. Where the next
//! part starts at another engine speed, the speed is led over at
//! [`LEAD_OVER_RPM_S`] with the next part's fuel.
mod step;
pub use step::{InputOverrides, StepPart, StepSide};

use std::f64::consts::PI;

/// Rate at which the engine speed is led from one part to the next \[rpm/s\].
pub const LEAD_OVER_RPM_S: f64 = 500.0;

/// Fuel asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FuelAsked {
    /// All that the full-load table gives.
    Full,
    /// A quantity per injection \[kg\].
    Quantity(f64),
}

impl FuelAsked {
    /// As the controller reads it \[kg per injection\]; infinite for full.
    pub fn kg(self) -> f64 {
        match self {
            Self::Full => f64::INFINITY,
            Self::Quantity(kg) => kg,
        }
    }
}

/// One part of a procedure. Speeds in rad/s, times in s.
#[derive(Debug, Clone, Copy, PartialEq)]
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
        /// Full fuel in the next gear afterwards \[s\].
        settle_s: f64,
    },
    /// A step of any inputs at a steady speed.
    Step(StepPart),
}

impl Part {
    /// Duration \[s\].
    pub fn duration_s(&self) -> f64 {
        match *self {
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
            Self::Step(_) => "step",
        }
    }

    fn at(&self, t_s: f64) -> Asked {
        match *self {
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
                    set: InputOverrides::default(),
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
                ..
            } => {
                let ramp = |from: f64, to: f64, since_s: f64, duration_s: f64, fuel| {
                    let rate = (to - from) / duration_s;
                    Asked {
                        speed_rad_s: from + rate * since_s,
                        speed_rate_rad_s2: rate,
                        fuel,
                        set: InputOverrides::default(),
                    }
                };
                if t_s < pull_s {
                    ramp(from_rad_s, at_rad_s, t_s, pull_s, FuelAsked::Full)
                } else if t_s < pull_s + cut_s {
                    let no_fuel = FuelAsked::Quantity(0.0);
                    ramp(at_rad_s, to_rad_s, t_s - pull_s, cut_s, no_fuel)
                } else {
                    Asked::steady(to_rad_s, FuelAsked::Full)
                }
            }
        }
    }
}

/// What is asked at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// Engine speed \[rad/s\].
    pub speed_rad_s: f64,
    /// Its rate \[rad/s²\].
    pub speed_rate_rad_s2: f64,
    /// Fuel.
    pub fuel: FuelAsked,
    /// Inputs that are set, whatever a controller wants.
    pub set: InputOverrides,
}

impl Asked {
    fn steady(speed_rad_s: f64, fuel: FuelAsked) -> Self {
        Self {
            speed_rad_s,
            speed_rate_rad_s2: 0.0,
            fuel,
            set: InputOverrides::default(),
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
                    timed.push((clock_s, lead));
                    clock_s += lead.duration_s();
                }
            }
            timed.push((clock_s, *part));
            clock_s += part.duration_s();
            last = Some(part.at(part.duration_s()));
        }
        Self {
            timed,
            name: parts.iter().map(Part::name).collect::<Vec<_>>().join(" + "),
            duration_s: clock_s,
            only_hold: parts.iter().all(|p| matches!(p, Part::Hold { .. })),
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

    /// What is asked at a time \[s\], held beyond both ends.
    pub fn at(&self, t_s: f64) -> Asked {
        let upper = self.timed.partition_point(|(start, _)| *start <= t_s);
        let (start, part) = &self.timed[upper.saturating_sub(1)];
        part.at((t_s - start).max(0.0).min(part.duration_s()))
    }

    /// Whether the engine speed still ramps or the fuel still steps after `t_s`.
    pub fn last_change_s(&self) -> f64 {
        self.timed
            .iter()
            .map(|(start, part)| {
                start
                    + match *part {
                        Part::Hold { .. } => 0.0,
                        Part::Pull { duration_s, .. } => duration_s,
                        Part::LoadStep { at_s, .. } => at_s,
                        Part::Shift { pull_s, cut_s, .. } => pull_s + cut_s,
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
mod tests {
    use super::*;

    fn hold(speed_rad_s: f64, duration_s: f64) -> Part {
        Part::Hold {
            speed_rad_s,
            fuel: FuelAsked::Full,
            duration_s,
        }
    }

    #[test]
    fn a_pull_is_a_straight_line_then_steady() {
        let p = Procedure::new(&[Part::Pull {
            from_rad_s: 100.0,
            to_rad_s: 300.0,
            duration_s: 4.0,
            settle_s: 1.0,
        }]);
        assert_eq!(p.duration_s(), 5.0);
        assert_eq!(p.at(1.0).speed_rad_s, 150.0);
        assert_eq!(p.at(1.0).speed_rate_rad_s2, 50.0);
        assert_eq!(p.at(4.5).speed_rad_s, 300.0);
        assert_eq!(p.at(4.5).speed_rate_rad_s2, 0.0);
    }

    #[test]
    fn parts_at_other_speeds_are_led_over() {
        let p = Procedure::new(&[hold(100.0, 2.0), hold(200.0, 2.0)]);
        let lead_s = 100.0 / (LEAD_OVER_RPM_S * PI / 30.0);
        assert!((p.duration_s() - 4.0 - lead_s).abs() < 1e-12);
        assert!((p.at(2.0 + 0.5 * lead_s).speed_rad_s - 150.0).abs() < 1e-9);
        assert!(!p.is_hold());
        assert!(Procedure::new(&[hold(100.0, 2.0)]).is_hold());
    }

    #[test]
    fn a_shift_cuts_the_fuel_while_the_speed_falls() {
        let p = Procedure::new(&[Part::Shift {
            from_rad_s: 200.0,
            at_rad_s: 280.0,
            to_rad_s: 200.0,
            pull_s: 4.0,
            cut_s: 0.4,
            settle_s: 2.0,
        }]);
        assert_eq!(p.duration_s(), 6.4);
        assert_eq!(p.at(2.0).speed_rad_s, 240.0);
        assert_eq!(p.at(2.0).fuel, FuelAsked::Full);
        assert!((p.at(4.2).speed_rad_s - 240.0).abs() < 1e-9);
        assert_eq!(p.at(4.2).fuel, FuelAsked::Quantity(0.0));
        assert_eq!(p.at(5.0).speed_rad_s, 200.0);
        assert_eq!(p.at(5.0).fuel, FuelAsked::Full);
    }

    #[test]
    fn a_load_step_comes_at_its_time() {
        let p = Procedure::new(&[Part::LoadStep {
            speed_rad_s: 100.0,
            fuel_from: FuelAsked::Quantity(3e-5),
            fuel_to: FuelAsked::Full,
            at_s: 1.0,
            duration_s: 5.0,
        }]);
        assert_eq!(p.at(0.99).fuel, FuelAsked::Quantity(3e-5));
        assert_eq!(p.at(1.0).fuel, FuelAsked::Full);
        assert_eq!(p.last_change_s(), 1.0);
    }
}
