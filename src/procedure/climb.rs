//! A drive up a road: what vehicle, what road, how it is driven.
//!
//! The motion itself is integrated in `simulation`, beside the plant that
//! drives it.
use super::road::RoadProfile;
use super::{Asked, FuelAsked};
use std::f64::consts::PI;

/// Width of the band of road speed over which a driver who holds a speed eases
/// the pedal from full to nothing \[m/s\]: 2 km/h.
pub const HOLDING_BAND_M_S: f64 = 2.0 / 3.6;

/// The vehicle.
#[derive(Debug, Clone, PartialEq)]
pub struct Vehicle {
    /// Mass, laden \[kg\].
    pub mass_kg: f64,
    /// Drag coefficient times frontal area \[m²\].
    pub drag_area_m2: f64,
    /// Rolling resistance over weight on the road \[-\].
    pub rolling_resistance: f64,
    /// Rolling radius of the driven tyres \[m\].
    pub tyre_radius_m: f64,
    /// Moment of inertia of all wheels, hubs and shafts that turn with them \[kg m²\].
    pub wheel_inertia_kg_m2: f64,
    /// Moment of inertia of crankshaft, flywheel and clutch \[kg m²\].
    pub engine_inertia_kg_m2: f64,
    /// Power at the wheels over power into the gearbox \[-\].
    pub driveline_efficiency: f64,
}

/// Gears and when they are changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Gearbox {
    /// Turns of the engine for a turn of the wheels, gear by gear, final drive
    /// included \[-\].
    pub ratios: Vec<f64>,
    /// Engine speed at which the next higher gear is taken \[rad/s\].
    pub up_at_rad_s: f64,
    /// Engine speed at which the next lower gear is taken \[rad/s\].
    pub down_at_rad_s: f64,
    /// How long the torque is cut \[s\].
    pub cut_s: f64,
    /// How long the fuel then takes to come back \[s\].
    pub resume_s: f64,
    /// Shortest time from the end of a change to the next lower gear \[s\].
    pub apart_s: f64,
}

/// How the pedal is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pedal {
    /// Fuel asked for at most.
    pub fuel: FuelAsked,
    /// Road speed that the driver does not go beyond \[m/s\].
    pub hold_m_s: Option<f64>,
}

/// How the drive begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClimbStart {
    /// Gear, from 1.
    pub gear: u8,
    /// Engine speed \[rad/s\].
    pub speed_rad_s: f64,
}

/// How it ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ClimbEnd {
    /// At the end of the road.
    Road,
    /// This far from its beginning \[m\].
    Distance(f64),
    /// After this time \[s\].
    Duration(f64),
}

/// A drive up a road.
#[derive(Debug, Clone, PartialEq)]
pub struct Climb {
    /// The road.
    pub road: RoadProfile,
    /// The vehicle.
    pub vehicle: Vehicle,
    /// Its gears.
    pub gearbox: Gearbox,
    /// How it begins.
    pub start: ClimbStart,
    /// How the pedal is held.
    pub pedal: Pedal,
    /// How it ends.
    pub until: ClimbEnd,
    /// Engine speeds that the engine is described for \[rad/s\].
    pub engine_range_rad_s: (f64, f64),
}

/// Longest drive that anybody waits for \[s\]: a day.
const LONGEST_S: f64 = 86_400.0;

impl Climb {
    /// The longest that it can take \[s\].
    pub fn longest_s(&self) -> f64 {
        match self.until {
            ClimbEnd::Duration(s) => s,
            ClimbEnd::Road | ClimbEnd::Distance(_) => LONGEST_S,
        }
    }

    /// Where on the road it ends at the latest \[m\].
    pub fn last_m(&self) -> f64 {
        let (first, last) = self.road.ends_m();
        match self.until {
            ClimbEnd::Distance(m) => (first + m).min(last),
            ClimbEnd::Road | ClimbEnd::Duration(_) => last,
        }
    }

    /// What is asked at its first instant.
    pub fn first(&self) -> Asked {
        Asked {
            speed_rad_s: self.start.speed_rad_s,
            speed_rate_rad_s2: 0.0,
            fuel: self.fuel(self.road_speed_m_s(self.start.gear, self.start.speed_rad_s)),
            altitude_m: Some(self.road.altitude_m(self.road.ends_m().0)),
            gear: Some(self.start.gear),
            ..Asked::default()
        }
    }

    /// Engine speed over road speed in a gear \[rad/m\].
    pub fn turns_rad_m(&self, gear: u8) -> f64 {
        self.gearbox.ratios[usize::from(gear.max(1)) - 1] / self.vehicle.tyre_radius_m
    }

    /// Road speed at an engine speed in a gear \[m/s\].
    pub fn road_speed_m_s(&self, gear: u8, speed_rad_s: f64) -> f64 {
        speed_rad_s / self.turns_rad_m(gear)
    }

    /// Fuel that the driver asks for at a road speed.
    pub fn fuel(&self, road_speed_m_s: f64) -> FuelAsked {
        let Some(hold_m_s) = self.pedal.hold_m_s else {
            return self.pedal.fuel;
        };
        let share = ((hold_m_s - road_speed_m_s) / HOLDING_BAND_M_S + 0.5).clamp(0.0, 1.0);
        match self.pedal.fuel {
            fuel if share >= 1.0 => fuel,
            FuelAsked::Full => FuelAsked::Share(share),
            FuelAsked::Quantity(kg) => FuelAsked::Quantity(share * kg),
            FuelAsked::Share(most) => FuelAsked::Share(share * most),
        }
    }

    /// The gear that follows at an engine speed, if one has to, so long after the
    /// last change \[s\].
    pub fn next_gear(&self, gear: u8, speed_rad_s: f64, since_s: f64) -> Option<u8> {
        let top = self.gearbox.ratios.len() as u8;
        // the time is summed tick by tick: rounding must not cost one
        let rested = since_s + 1e-9 >= self.gearbox.apart_s;
        if speed_rad_s >= self.gearbox.up_at_rad_s && gear < top {
            Some(gear + 1)
        } else if speed_rad_s <= self.gearbox.down_at_rad_s && gear > 1 && rested {
            Some(gear - 1)
        } else {
            None
        }
    }

    /// In words: how it begins.
    pub fn start_words(&self) -> String {
        format!(
            "gear {} at {:.0} rpm, {:.0} km/h",
            self.start.gear,
            self.start.speed_rad_s * 30.0 / PI,
            3.6 * self.road_speed_m_s(self.start.gear, self.start.speed_rad_s)
        )
    }
}
