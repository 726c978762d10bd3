//! A step of any inputs at a steady speed, without control.
use super::{Asked, FuelAsked};

/// Inputs that a procedure sets itself; what is `None` stays with controller and
/// scenario.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct InputOverrides {
    /// Vane command, 0 open to 1 closed \[-\]; the actuator follows it.
    pub vanes: Option<f64>,
    /// Opening of the wastegate, 0 shut to 1 open \[-\], at once.
    pub wastegate: Option<f64>,
    /// Factor on the area of a turbine without vanes \[-\], at once.
    pub turbine_area: Option<f64>,
}

impl InputOverrides {
    /// These, and where one is not set, the other's.
    fn or(self, other: Self) -> Self {
        Self {
            vanes: self.vanes.or(other.vanes),
            wastegate: self.wastegate.or(other.wastegate),
            turbine_area: self.turbine_area.or(other.turbine_area),
        }
    }
}

/// Inputs on one side of a step.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StepSide {
    /// Fuel; full before the step and unchanged after it where it is `None`.
    pub fuel: Option<FuelAsked>,
    /// The other inputs.
    pub set: InputOverrides,
}

/// A step at a steady speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepPart {
    /// Engine speed \[rad/s\].
    pub speed_rad_s: f64,
    /// When the step comes \[s\].
    pub at_s: f64,
    /// How long in all \[s\].
    pub duration_s: f64,
    /// Inputs before the step.
    pub before: StepSide,
    /// What changes; inputs that are not named stay as they are.
    pub after: StepSide,
}

/// A step counts as come this much ahead of its time \[s\]: rounding of ticks.
const ROUNDING_S: f64 = 1e-9;

impl StepPart {
    /// What is asked at a time \[s\].
    pub(super) fn at(&self, t_s: f64) -> Asked {
        let fuel = self.before.fuel.unwrap_or(FuelAsked::Full);
        let (fuel, set) = if t_s < self.at_s - ROUNDING_S {
            (fuel, self.before.set)
        } else {
            let fuel = self.after.fuel.unwrap_or(fuel);
            (fuel, self.after.set.or(self.before.set))
        };
        Asked {
            set,
            ..Asked::steady(self.speed_rad_s, fuel)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::procedure::{Part, Procedure};

    #[test]
    fn what_is_not_named_stays() {
        let step = Part::Step(StepPart {
            speed_rad_s: 150.0,
            at_s: 0.3,
            duration_s: 2.0,
            before: StepSide {
                fuel: Some(FuelAsked::Quantity(5e-5)),
                set: InputOverrides {
                    wastegate: Some(0.2),
                    ..InputOverrides::default()
                },
            },
            after: StepSide {
                fuel: None,
                set: InputOverrides {
                    turbine_area: Some(0.9),
                    ..InputOverrides::default()
                },
            },
        });
        let p = Procedure::new(&[step]);
        assert_eq!((p.name(), p.duration_s()), ("step", 2.0));
        assert_eq!(p.last_change_s(), 0.3);
        assert!(!p.is_hold());
        let (before, after) = (p.at(0.29), p.at(3.0 * 0.1));
        assert_eq!(before.fuel, FuelAsked::Quantity(5e-5));
        assert_eq!(after.fuel, before.fuel);
        assert_eq!(
            (before.set.wastegate, after.set.wastegate),
            (Some(0.2), Some(0.2))
        );
        assert_eq!(
            (before.set.turbine_area, after.set.turbine_area),
            (None, Some(0.9))
        );
        assert_eq!(after.set.vanes, None);
    }
}
