//! What is asked of the engine, what must hold, where the ceiling is sought.

use super::{Climb, FuelDemand, InputStep, Playback};
use crate::quantity::*;
use crate::scenario::section::{choice, section};

choice! {
    /// One part of a procedure.
    pub enum ProcedurePart {
        key /// Steady speed and fuel.
        "hold" => Hold(Hold);
        key /// A ramp of engine speed at full fuel.
        "pull" => Pull(Pull);
        key /// A step of fuel at steady speed.
        "load_step" => LoadStep(LoadStep);
        key /// A drive up a road: the engine speed follows from vehicle, gear and grade.
        "climb" => Climb(Climb);
        key /// A gear shift: a full pull, a torque cut while the engine speed falls, full fuel again.
        "shift" => Shift(Shift);
        key /// A step of any inputs without boost control.
        "step" => Step(InputStep);
        key /// A recorded course of engine speed and fuel.
        "playback" => Playback(Playback);
    }
}

section! {
    /// Steady speed and fuel.
    pub struct Hold {
        /// Engine speed.
        engine_speed: RotationalSpeed, eg "2000 rpm";
        /// Fuel of one injection.
        fuel: FuelDemand = "full", eg "60 mg";
        /// How long.
        duration: Duration, eg "20 s";
    }
}

section! {
    /// A ramp of engine speed at full fuel.
    pub struct Pull {
        /// Engine speed at the start.
        from: RotationalSpeed, eg "1300 rpm";
        /// Engine speed at the end.
        to: RotationalSpeed, eg "2700 rpm";
        /// How long the ramp takes.
        duration: Duration, eg "8 s";
        /// Full fuel at the last speed, afterwards.
        settle: Duration = "0 s", eg "3 s";
    }
}

section! {
    /// A gear shift under load: full fuel up to the shift, no fuel while the engine
    /// speed falls to the next gear's, then full fuel again. The turbocharger keeps
    /// its speed while the engine swallows less.
    pub struct Shift {
        /// Engine speed at the start of the pull before the shift.
        from: RotationalSpeed, eg "1900 rpm";
        /// Engine speed at which the shift comes.
        at: RotationalSpeed, eg "2600 rpm";
        /// Engine speed in the next gear.
        to: RotationalSpeed, eg "1950 rpm";
        /// How long the pull before the shift takes.
        pull: Duration = "4 s", eg "4 s";
        /// How long the torque is cut.
        cut: Duration = "0.4 s", eg "0.3 s";
        /// How long the fuel then takes to come back to full, in a straight line.
        resume: Duration = "0 s", eg "0.3 s";
        /// At the next gear's speed, after the cut.
        settle: Duration = "3 s", eg "5 s";
    }
}

section! {
    /// A step of fuel at steady speed.
    pub struct LoadStep {
        /// Engine speed.
        engine_speed: RotationalSpeed, eg "1600 rpm";
        /// Fuel of one injection before.
        fuel_from: FuelDemand, eg "30 mg";
        /// Fuel of one injection after.
        fuel_to: FuelDemand = "full", eg "full";
        /// When the step comes.
        at: Duration = "1 s", eg "2 s";
        /// How long it all takes.
        duration: Duration, eg "10 s";
    }
}

section! {
    /// What must hold. A limit that is left out is not judged.
    pub struct Limits {
        /// Highest speed of the turbocharger shaft.
        shaft_speed: Option<RotationalSpeed>, eg "146000 rpm";
        /// Highest tip speed of either wheel.
        tip_speed: Option<Speed>, eg "520 m/s";
        /// Highest exhaust pressure ahead of the turbine.
        drive_pressure: Option<AbsolutePressure>, eg "520 kPa abs";
        /// Highest ratio of drive to boost pressure, both gauge; judged where boost
        /// is above 50 kPa gauge.
        drive_to_boost: Option<f64>, eg "2.2";
        /// Highest gas temperature ahead of the turbine.
        turbine_inlet: Option<Temperature>, eg "760 degC";
        /// Highest gas temperature behind the compressor.
        compressor_outlet: Option<Temperature>, eg "230 degC";
        /// Highest peak pressure in the cylinder.
        cylinder_pressure: Option<AbsolutePressure>, eg "20 MPa abs";
        /// Lowest air ratio.
        lambda: Option<f64>, eg "1.15";
        /// Smallest distance of the flow above the surge flow of the same speed, as a
        /// share of the flow.
        surge_margin: Option<Fraction>, eg "3 %";
        /// Smallest distance of the flow from choke, as a share of the choke flow.
        choke_margin: Option<Fraction>, eg "2 %";
        /// Longest time that the boost reading may stay at its ceiling.
        pinned_time: Option<Duration>, eg "0.5 s";
    }
}

section! {
    /// Where and how the safe ceiling of the boost command is sought.
    pub struct CeilingSearch {
        /// Engine speeds of the cells; those of the full-load table if left out.
        engine_speeds: Option<Vec<RotationalSpeed>>, eg "[1400 rpm, 2000 rpm, 2600 rpm]";
        /// Altitudes of the cells; only the ambient of this file if left out.
        altitudes: Option<Vec<Length>>, eg "[400 m, 2600 m]";
        /// How much warmer than the standard atmosphere it is in the cells of each
        /// altitude; only as warm as this file says if left out.
        temperature_offsets: Option<Vec<TemperatureRise>>, eg "[-20 K, 0 K, 25 K]";
        /// Step of the command between "holds" and "fails".
        step: PressureDifference = "1 kPa", eg "2 kPa";
        /// The transients that a command must hold through.
        transients: Transients = "{}";
    }
}

section! {
    /// The transients of the ceiling.
    pub struct Transients {
        /// A full pull to the speed of the cell.
        pull: CeilingPull = "{}";
        /// A load step at the speed of the cell.
        load_step: CeilingLoadStep = "{}";
        /// The gear shift. None is driven if left out.
        shift: Option<CeilingShift>;
        /// How long the command must hold after each of them.
        afterwards: Duration = "20 s", eg "20 s";
    }
}

section! {
    /// A full pull to the speed of the cell.
    pub struct CeilingPull {
        /// Engine speed at the start; the lowest of the full-load table if left out.
        from: Option<RotationalSpeed>, eg "1300 rpm";
        /// How long the pull takes.
        duration: Duration = "6 s", eg "8 s";
    }
}

section! {
    /// A load step to full fuel at the speed of the cell.
    pub struct CeilingLoadStep {
        /// Fuel of one injection before.
        fuel_from: FuelQuantity = "30 mg", eg "20 mg";
        /// When the step comes.
        at: Duration = "1 s", eg "2 s";
    }
}

section! {
    /// The gear shift to each engine speed.
    pub struct CeilingShift {
        /// Engine speed in the next gear over that before the shift.
        ratio: f64 = "0.75", eg "0.8";
        /// How long the torque is cut.
        cut: Duration = "0.4 s", eg "0.3 s";
        /// How long the fuel then takes to come back to full, in a straight line.
        resume: Duration = "0.3 s", eg "0.5 s";
    }
}
