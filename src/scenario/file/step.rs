//! A step of any inputs without control.

use super::FuelDemand;
use crate::quantity::*;
use crate::scenario::section::section;

section! {
    /// A step of any inputs at steady speed, without boost control. It starts from
    /// the equilibrium of the inputs before. What `before` does not name is as the
    /// scenario has it, fuel full; what `after` does not name stays as it was.
    pub struct InputStep {
        /// Engine speed.
        engine_speed: RotationalSpeed, eg "1500 rpm";
        /// When the step comes.
        at: Duration = "1 s", eg "2 s";
        /// How long it all takes.
        duration: Duration, eg "6 s";
        /// Inputs before the step.
        before: StepInputs = "{}", eg "{fuel: 50 mg, turbine_area: 1.2}";
        /// Inputs after it.
        after: StepInputs, eg "{fuel: 110 mg}";
    }
}

section! {
    /// Inputs on one side of a step.
    pub struct StepInputs {
        /// Fuel of one injection.
        fuel: Option<FuelDemand>, eg "50 mg";
        /// Vane command, per cent closed; the actuator follows it.
        vanes: Option<Fraction>, eg "40 %";
        /// Opening of the wastegate, at once.
        wastegate: Option<Fraction>, eg "20 %";
        /// Factor on the area of a turbine without vanes, beside the form's own, at
        /// once.
        turbine_area: Option<f64>, eg "0.9";
    }
}
