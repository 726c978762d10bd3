//! A drive up a road, and a recorded course.

use super::FuelDemand;
use crate::quantity::*;
use crate::scenario::section::{choice, section};

section! {
    /// A drive up a road. The engine speed follows from what the engine gives and
    /// what vehicle and road ask of it; air pressure and temperature follow the
    /// altitude. It starts at the foot of the road, at the equilibrium of the first
    /// instant, whatever `ambient.altitude` says; `ambient.temperature_offset` holds
    /// all along the road.
    pub struct Climb {
        /// The road.
        road: Road;
        /// The vehicle.
        vehicle: Vehicle;
        /// How it begins.
        start: ClimbStart;
        /// Fuel of one injection that the driver asks for.
        pedal: FuelDemand = "full", eg "90 mg";
        /// Road speed that the driver does not go beyond. Around it, over 2 km/h, the
        /// pedal is eased from full to nothing. Left out, nobody holds a speed.
        hold_speed: Option<Speed>, eg "70 km/h";
        /// When gears are changed.
        gear_change: GearChange;
        /// How it ends.
        until: ClimbEnd = "road_end", eg "{distance: 6 km}";
        /// Where along the road the safe ceiling is computed. Nowhere if left out.
        ceiling_along: Option<CeilingAlong>;
    }
}

section! {
    /// A road as altitude over distance, straight between the points.
    pub struct Road {
        /// Distances along the road, rising.
        distance: Vec<Length>, eg "[0 km, 3 km, 8 km]";
        /// Altitude at each.
        altitude: Vec<Length>, eg "[400 m, 640 m, 1150 m]";
    }
}

section! {
    /// What is driven.
    pub struct Vehicle {
        /// Mass, laden.
        mass: Mass, eg "7500 kg";
        /// Drag coefficient times frontal area.
        drag_area: Area, eg "4.4 m2";
        /// Rolling resistance over weight.
        rolling_resistance: f64 = "0.010", eg "0.012";
        /// Rolling radius of the driven tyres.
        tyre_radius: Length, eg "390 mm";
        /// Turns of the propeller shaft for one turn of the wheels.
        final_drive: f64, eg "4.1";
        /// Turns of the engine for one turn of the propeller shaft, gear by gear.
        gears: Vec<f64>, eg "[6.0, 3.5, 2.1, 1.4, 1.0]";
        /// Power at the wheels over power into the gearbox.
        driveline_efficiency: f64 = "0.92", eg "0.9";
        /// Moment of inertia of crankshaft, flywheel and clutch.
        engine_inertia: Inertia, eg "1.0 kg m2";
        /// Moment of inertia of all wheels and what turns with them.
        wheel_inertia: Inertia, eg "25 kg m2";
    }
}

section! {
    /// How a climb begins.
    pub struct ClimbStart {
        /// Gear, from 1.
        gear: u32, eg "3";
        /// Engine speed.
        engine_speed: RotationalSpeed, eg "1800 rpm";
    }
}

section! {
    /// When and how gears are changed: no fuel while the engine is brought to the
    /// speed of the next gear, then the fuel comes back. The turbocharger is left to
    /// itself.
    pub struct GearChange {
        /// Engine speed at which the next higher gear is taken.
        up_at: RotationalSpeed, eg "2500 rpm";
        /// Engine speed at which the next lower gear is taken.
        down_at: RotationalSpeed, eg "1400 rpm";
        /// How long the torque is cut.
        cut: Duration = "0.5 s", eg "0.4 s";
        /// How long the fuel then takes to come back, in a straight line.
        resume: Duration = "0.3 s", eg "0.5 s";
        /// Shortest time from a change to the next lower gear. A higher gear is taken
        /// whenever the engine speed calls for it.
        apart: Duration = "3 s", eg "2 s";
    }
}

choice! {
    /// How a climb ends.
    pub enum ClimbEnd {
        word /// At the end of the road.
        "road_end" => RoadEnd;
        key /// This far from the foot of the road.
        "distance" => Distance(Length);
        key /// After this time.
        "duration" => Duration(Duration);
    }
}

section! {
    /// Safe ceilings of the boost command at altitudes of the road, as `ringfence
    /// ceiling` computes them, with the transients of `ceiling`.
    pub struct CeilingAlong {
        /// Step of altitude from the lowest point of the road to its highest.
        every: Length, eg "550 m";
        /// Engine speed of the ceilings; the mean of the drive, to 50 rpm, if left out.
        engine_speed: Option<RotationalSpeed>, eg "2200 rpm";
    }
}

section! {
    /// Engine speed and fuel as recorded, straight between the rows, and altitude
    /// where it was recorded. The controller has its own period as always.
    pub struct Playback {
        /// CSV file with the columns `time [s]`, `engine_speed [rpm]`, `fuel [mg]` (of one
        /// injection) and perhaps `altitude [m]`, and a line `# data: invented` (or
        /// measured, published, estimated, mixed) ahead of them. The path is relative to this file and
        /// stays inside the folder of the scenario.
        file: String, eg "drive.csv";
    }
}
