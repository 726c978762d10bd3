//! The boost controller, and vanes without one.

use super::{Later, OwnNumbers, Protections};
use crate::quantity::*;
use crate::scenario::section::{choice, section};

section! {
    /// The boost controller.
    pub struct Controller {
        /// Time between two calculations, at most 100 ms.
        period: Duration, eg "10 ms";
        /// The boost command.
        command: Command;
        /// Vane position ahead of any feedback.
        feed_forward: FeedForward;
        /// Correction by the difference of command and reading.
        feedback: Feedback;
        /// Vane positions that the controller keeps to, over engine speed.
        vane_stops: Option<VaneStops>;
        /// Lowest air ratio; fuel is cut back to keep it. It reckons the air from
        /// the boost reading. Not limited if left out.
        smoke_limit: Option<f64>, eg "1.20";
        /// What steps in when something is wrong.
        protections: Protections = "{}";
        /// Which controller is made of these settings: `built_in`, or the name of one
        /// that a program of its own brings along.
        form: String = "built_in", eg "gentle_close";
        /// Numbers that a controller of another form takes besides.
        own: OwnNumbers = "{}";
    }
}

section! {
    /// The boost-command table: a row for each engine speed, a column for each fuel
    /// quantity; straight lines between the points, the last value beyond the ends.
    pub struct Command {
        /// A table in a CSV file. Comes with a later version.
        table: Option<Later>;
        /// One command at full load for every speed, in place of the table's; at
        /// part load the table moves with it in proportion to the fuel. For trying
        /// a command with `--set`.
        full_load: Option<Pressure>, eg "300 kPa abs";
        /// Added to the command at full load, at part load in proportion to the fuel.
        /// For trying the whole table higher or lower with `--set`.
        full_load_shift: PressureDifference = "0 kPa", eg "-6 kPa";
        /// Engine speeds of the rows, rising.
        engine_speed: Vec<RotationalSpeed>, eg "[800 rpm, 2800 rpm]";
        /// Fuel quantities of the columns, rising.
        fuel: Vec<FuelQuantity>, eg "[0 mg, 130 mg]";
        /// Boost command, all absolute or all gauge.
        boost: Vec<Vec<Pressure>>, eg "[[100 kPa abs, 160 kPa abs], [110 kPa abs, 300 kPa abs]]";
        /// Fastest change of the command. Not limited if left out.
        rate_limit: Option<PressureRate>, eg "400 kPa/s";
        /// Command taken off for each unit of ambient pressure below the reference.
        barometric_correction: f64 = "0", eg "0.5";
        /// Ambient pressure without correction. Needed with a correction.
        barometric_reference: Option<AbsolutePressure>, eg "97 kPa abs";
    }
}

section! {
    /// The feed-forward table: a row for each engine speed, a column for each fuel
    /// quantity.
    pub struct FeedForward {
        /// Engine speeds of the rows, rising.
        engine_speed: Vec<RotationalSpeed>, eg "[800 rpm, 2800 rpm]";
        /// Fuel quantities of the columns, rising.
        fuel: Vec<FuelQuantity>, eg "[0 mg, 130 mg]";
        /// Vane position, per cent closed.
        vanes: Vec<Vec<Fraction>>, eg "[[60 %, 70 %], [20 %, 10 %]]";
    }
}

section! {
    /// Proportional, integral and derivative feedback from boost to vanes.
    pub struct Feedback {
        /// Vane position per pressure error.
        proportional: VanePerPressure, eg "0.15 %/kPa";
        /// Vane position per pressure error and time.
        integral: VaneIntegral, eg "0.36 %/(kPa s)";
        /// Vane position per rate of pressure error.
        derivative: VaneDerivative = "0 % s/kPa", eg "0.01 % s/kPa";
        /// What keeps the integrator from running away at the vane stops.
        anti_windup: AntiWindup = "clamping", eg "{back_calculation: 0.5 s}";
        /// Largest vane correction, either way, that the integrator may build up.
        integrator_authority: Fraction = "100 %", eg "60 %";
        /// Factor on all gains over engine speed. 1 everywhere if left out.
        gain_schedule: Option<GainSchedule>;
        /// What the feedback does while no fuel is injected, as in the torque cut of
        /// a gear change.
        without_fuel: WithoutFuel = "acts", eg "rests";
    }
}

choice! {
    /// What the feedback does while no fuel is injected.
    pub enum WithoutFuel {
        word /// It goes on: boost falls, so it closes the vanes, and they are closed when the fuel comes back.
        "acts" => Acts;
        word /// It rests: the vanes stand at their feed-forward position, the integrator keeps its value, and the command waits at the reading and rises from there when the fuel comes back, as fast as `rate_limit` lets it.
        "rests" => Rests;
    }
}

choice! {
    /// What keeps the integrator from running away at the vane stops.
    pub enum AntiWindup {
        word /// Nothing.
        "none" => None;
        word /// The integrator holds while the vane command is at a stop and would go further.
        "clamping" => Clamping;
        key /// The integrator is drawn back from the stop with this time constant.
        "back_calculation" => BackCalculation(Duration);
    }
}

section! {
    /// Factor on the gains over engine speed.
    pub struct GainSchedule {
        /// Engine speeds, rising.
        engine_speed: Vec<RotationalSpeed>, eg "[800 rpm, 2800 rpm]";
        /// Factor at each speed.
        factor: Vec<f64>, eg "[0.6, 1.0]";
    }
}

section! {
    /// Vane positions that the controller keeps to.
    pub struct VaneStops {
        /// Engine speeds, rising.
        engine_speed: Vec<RotationalSpeed>, eg "[800 rpm, 2800 rpm]";
        /// Most open position at each speed, per cent closed.
        most_open: Vec<Fraction>, eg "[0 %, 0 %]";
        /// Most closed position at each speed, per cent closed.
        most_closed: Vec<Fraction>, eg "[95 %, 85 %]";
    }
}

section! {
    /// Vanes held without feedback.
    pub struct OpenLoop {
        /// What the vanes are held at, or moved until.
        vanes: OpenLoopVanes, eg "{closed: 40 %}";
        /// Time between two rows of the trace, at most 100 ms. Where there is a
        /// controller, its own period stands.
        period: Duration = "10 ms", eg "1 ms";
    }
}

choice! {
    /// What vanes without feedback are held at.
    pub enum OpenLoopVanes {
        key /// This position, per cent closed.
        "closed" => Closed(Fraction);
        key /// The position that gives this exhaust pressure.
        "drive_pressure" => DrivePressure(AbsolutePressure);
        key /// The position that gives this boost pressure.
        "boost" => Boost(AbsolutePressure);
    }
}
