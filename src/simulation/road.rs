//! The vehicle that the engine drives up a road.
//!
//! States: road speed, distance along the road, and in a gear change the engine
//! speed, which otherwise follows from the road speed and the gear. They are
//! advanced from tick to tick to second order: the torque at both ends of a tick
//! enters by the trapezoidal rule. Inside the tick the plant sees the engine
//! speed go in a straight line, at the rate at the start and half the change of
//! rate over the tick before.
use super::validity::ValidityStop;
use crate::procedure::{Asked, Climb, ClimbEnd, FuelAsked};
use std::f64::consts::PI;
use std::sync::Arc;

/// Standard acceleration of free fall \[m/s²\], ISO 2533.
const GRAVITY_M_S2: f64 = 9.806_65;
const RPM: f64 = 30.0 / PI;

/// Where the work of the crankshaft went \[J\].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DriveEnergy {
    /// Into the motion of vehicle, wheels and crankshaft.
    pub kinetic_j: f64,
    /// Into height.
    pub potential_j: f64,
    /// Into air drag.
    pub drag_j: f64,
    /// Into rolling resistance.
    pub rolling_j: f64,
    /// Lost between gearbox and wheels.
    pub driveline_j: f64,
    /// Lost in bringing the engine to the next gear's speed.
    pub gear_change_j: f64,
}

impl DriveEnergy {
    /// All of it \[J\].
    pub fn sum_j(&self) -> f64 {
        self.kinetic_j
            + self.potential_j
            + self.drag_j
            + self.rolling_j
            + self.driveline_j
            + self.gear_change_j
    }
}

/// What a drive leaves behind.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DriveOutcome {
    /// Distance driven \[m\].
    pub distance_m: f64,
    /// Altitude at the end over that at the beginning \[m\].
    pub climbed_m: f64,
    /// Gear changes completed.
    pub gear_changes: u32,
    /// Mean engine speed with a gear engaged \[rad/s\].
    pub mean_speed_rad_s: f64,
    /// Where the work went.
    pub energy: DriveEnergy,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Phase {
    /// A gear is engaged, for so long \[s\].
    Engaged { since_s: f64 },
    /// The driveline is open, for so many ticks more.
    Changing { to: u8, ticks_left: u32 },
}

/// A vehicle under way.
#[derive(Debug, Clone)]
pub struct Drive {
    climb: Arc<Climb>,
    period_s: f64,
    distance_m: f64,
    road_speed_m_s: f64,
    /// Engine speed \[rad/s\].
    speed_rad_s: f64,
    gear: u8,
    phase: Phase,
    /// Change of the road acceleration over the last tick \[m/s²\].
    trend_m_s2: f64,
    kinetic_at_start_j: f64,
    engaged_s: f64,
    turned_rad: f64,
    gear_changes: u32,
    energy: DriveEnergy,
}

/// Forces on the vehicle and what they do.
#[derive(Debug, Clone, Copy, Default)]
struct Motion {
    acceleration_m_s2: f64,
    drag_w: f64,
    rolling_w: f64,
    driveline_w: f64,
}

impl Drive {
    /// A vehicle at the foot of its road, driven in ticks of a period \[s\].
    pub fn new(climb: Arc<Climb>, period_s: f64) -> Self {
        let start = climb.start;
        let mut drive = Self {
            distance_m: climb.road.ends_m().0,
            road_speed_m_s: climb.road_speed_m_s(start.gear, start.speed_rad_s),
            speed_rad_s: start.speed_rad_s,
            gear: start.gear,
            phase: Phase::Engaged { since_s: 0.0 },
            trend_m_s2: 0.0,
            kinetic_at_start_j: 0.0,
            engaged_s: 0.0,
            turned_rad: 0.0,
            gear_changes: 0,
            energy: DriveEnergy::default(),
            climb,
            period_s,
        };
        drive.kinetic_at_start_j = drive.kinetic_j();
        drive
    }

    /// Begins a tick: changes gear where that is due, and says what is asked.
    /// The rate of the engine speed follows once the torque is known.
    pub fn asked(&mut self) -> Asked {
        if let Phase::Engaged { since_s } = self.phase
            && let Some(to) = self.climb.next_gear(self.gear, self.speed_rad_s, since_s)
        {
            let ticks = (self.climb.gearbox.cut_s / self.period_s).round().max(1.0);
            self.phase = Phase::Changing {
                to,
                ticks_left: ticks as u32,
            };
            self.trend_m_s2 = 0.0;
        }
        let (fuel, gear) = match self.phase {
            Phase::Engaged { since_s } => (self.fuel(since_s), self.gear),
            Phase::Changing { .. } => (FuelAsked::Quantity(0.0), 0),
        };
        Asked {
            speed_rad_s: self.speed_rad_s,
            speed_rate_rad_s2: 0.0,
            fuel,
            altitude_m: Some(self.altitude_m()),
            gear: Some(gear),
            ..Asked::default()
        }
    }

    /// What the driver asks for, less while it comes back after a gear change.
    fn fuel(&self, since_s: f64) -> FuelAsked {
        let wanted = self.climb.fuel(self.road_speed_m_s);
        let back = since_s / self.climb.gearbox.resume_s;
        if self.gear_changes == 0 || back.is_nan() || back >= 1.0 {
            return wanted;
        }
        match wanted {
            FuelAsked::Full => FuelAsked::Share(back),
            FuelAsked::Share(share) => FuelAsked::Share(share.min(back)),
            FuelAsked::Quantity(kg) => FuelAsked::Quantity(kg * back),
        }
    }

    /// Rate of the engine speed over the coming tick \[rad/s²\] at the torque of
    /// its start \[N m\] in air of a density \[kg/m³\].
    pub fn speed_rate_rad_s2(&self, torque_nm: f64, density_kg_m3: f64) -> f64 {
        let now = self.motion(
            torque_nm,
            self.road_speed_m_s,
            self.distance_m,
            density_kg_m3,
        );
        match self.phase {
            Phase::Engaged { .. } => {
                self.climb.turns_rad_m(self.gear) * (now.acceleration_m_s2 + 0.5 * self.trend_m_s2)
            }
            Phase::Changing { to, ticks_left } => {
                let left_s = f64::from(ticks_left) * self.period_s;
                let then_m_s = self.road_speed_m_s + now.acceleration_m_s2 * left_s;
                (self.climb.turns_rad_m(to) * then_m_s - self.speed_rad_s) / left_s
            }
        }
    }

    /// Drives on to the end of the tick, with the torque at its two ends \[N m\],
    /// in air of a density \[kg/m³\].
    pub fn advance(&mut self, torques_nm: (f64, f64), density_kg_m3: f64) {
        let h = self.period_s;
        let rate = self.speed_rate_rad_s2(torques_nm.0, density_kg_m3);
        let (v0, s0) = (self.road_speed_m_s, self.distance_m);
        let first = self.motion(torques_nm.0, v0, s0, density_kg_m3);
        let guess = v0 + h * (first.acceleration_m_s2 + 0.5 * self.trend_m_s2);
        let last = self.motion(
            torques_nm.1,
            guess,
            s0 + 0.5 * h * (v0 + guess),
            density_kg_m3,
        );
        let mean = |a: f64, b: f64| 0.5 * h * (a + b);
        self.road_speed_m_s += mean(first.acceleration_m_s2, last.acceleration_m_s2);
        self.distance_m += mean(v0, self.road_speed_m_s);
        self.energy.drag_j += mean(first.drag_w, last.drag_w);
        self.energy.rolling_j += mean(first.rolling_w, last.rolling_w);
        self.energy.driveline_j += mean(first.driveline_w, last.driveline_w);
        self.trend_m_s2 = last.acceleration_m_s2 - first.acceleration_m_s2;
        let before_rad_s = self.speed_rad_s;
        match self.phase {
            Phase::Engaged { since_s } => {
                self.speed_rad_s = self.climb.turns_rad_m(self.gear) * self.road_speed_m_s;
                self.phase = Phase::Engaged {
                    since_s: since_s + h,
                };
                self.engaged_s += h;
                self.turned_rad += mean(before_rad_s, self.speed_rad_s);
            }
            Phase::Changing { to, ticks_left } => {
                self.speed_rad_s += rate * h;
                self.trend_m_s2 = 0.0;
                if ticks_left <= 1 {
                    self.engage(to);
                } else {
                    self.phase = Phase::Changing {
                        to,
                        ticks_left: ticks_left - 1,
                    };
                }
                // what accelerates the engine and is not its own torque
                let inertia = self.climb.vehicle.engine_inertia_kg_m2;
                let led = |torque_nm: f64, speed| (torque_nm - inertia * rate) * speed;
                self.energy.gear_change_j += mean(
                    led(torques_nm.0, before_rad_s),
                    led(torques_nm.1, before_rad_s + rate * h),
                );
            }
        }
    }

    fn engage(&mut self, gear: u8) {
        self.gear = gear;
        self.speed_rad_s = self.climb.turns_rad_m(gear) * self.road_speed_m_s;
        self.phase = Phase::Engaged { since_s: 0.0 };
        self.gear_changes += 1;
    }

    /// Whether it has come to its end.
    pub fn finished(&self, time_s: f64) -> bool {
        let by_time = match self.climb.until {
            ClimbEnd::Duration(s) => time_s >= s - 1e-9,
            ClimbEnd::Road | ClimbEnd::Distance(_) => false,
        };
        by_time || self.distance_m >= self.climb.last_m()
    }

    /// Altitude of the place \[m\].
    pub fn altitude_m(&self) -> f64 {
        self.climb.road.altitude_m(self.distance_m)
    }

    /// The end of the engine's speed range, where the drive has left it: too
    /// steep for the lowest gear, or driven beyond the highest speed.
    pub fn beyond_engine(&self, time_s: f64) -> Option<ValidityStop> {
        let (low, high) = self.climb.engine_range_rad_s;
        let bound = if self.speed_rad_s < low * (1.0 - 1e-9) {
            low
        } else if self.speed_rad_s > high * (1.0 + 1e-9) {
            high
        } else {
            return None;
        };
        Some(ValidityStop {
            quantity: "engine_speed",
            unit: "rpm",
            value: self.speed_rad_s * RPM,
            bound: bound * RPM,
            time_s,
            last_good_s: (time_s - self.period_s).max(0.0),
        })
    }

    /// What it leaves behind.
    pub fn outcome(&self) -> DriveOutcome {
        let first_m = self.climb.road.ends_m().0;
        let climbed_m = self.altitude_m() - self.climb.road.altitude_m(first_m);
        DriveOutcome {
            distance_m: self.distance_m - first_m,
            climbed_m,
            gear_changes: self.gear_changes,
            mean_speed_rad_s: if self.engaged_s > 0.0 {
                self.turned_rad / self.engaged_s
            } else {
                self.speed_rad_s
            },
            energy: DriveEnergy {
                kinetic_j: self.kinetic_j() - self.kinetic_at_start_j,
                potential_j: self.climb.vehicle.mass_kg * GRAVITY_M_S2 * climbed_m,
                ..self.energy
            },
        }
    }

    /// Energy of motion of vehicle, wheels and crankshaft \[J\].
    fn kinetic_j(&self) -> f64 {
        let v = &self.climb.vehicle;
        let turning = v.engine_inertia_kg_m2 * self.speed_rad_s.powi(2);
        0.5 * (self.rolling_mass_kg() * self.road_speed_m_s.powi(2) + turning)
    }

    /// Mass with that of the turning wheels, m + J_w / r² \[kg\].
    fn rolling_mass_kg(&self) -> f64 {
        let v = &self.climb.vehicle;
        v.mass_kg + v.wheel_inertia_kg_m2 / v.tyre_radius_m.powi(2)
    }

    /// Forces at a torque, road speed and place.
    ///
    /// m' v̇ = F_w − ½ ρ c_d A v² − m g (f_r cos θ + sin θ), with the force at
    /// the wheels F_w = η T_c i/r while the engine drives and T_c i/(r η) while
    /// it is driven, and the torque at the clutch T_c = T − J_e i/r v̇.
    /// A textbook balance (for example Gillespie, Fundamentals of Vehicle
    /// Dynamics, 1992, chapters 2 and 4; from memory).
    fn motion(
        &self,
        torque_nm: f64,
        road_speed_m_s: f64,
        distance_m: f64,
        density_kg_m3: f64,
    ) -> Motion {
        let v = &self.climb.vehicle;
        let sine = self.climb.road.grade(distance_m);
        let weight_n = v.mass_kg * GRAVITY_M_S2;
        let drag_n = 0.5 * density_kg_m3 * v.drag_area_m2 * road_speed_m_s * road_speed_m_s.abs();
        let rolling_n = weight_n * v.rolling_resistance * (1.0 - sine * sine).sqrt();
        let against_n = drag_n + rolling_n + weight_n * sine;
        let (acceleration_m_s2, driveline_w) = match self.phase {
            Phase::Changing { .. } => (-against_n / self.rolling_mass_kg(), 0.0),
            Phase::Engaged { .. } => self.engaged(torque_nm, road_speed_m_s, against_n),
        };
        Motion {
            acceleration_m_s2,
            drag_w: drag_n * road_speed_m_s,
            rolling_w: rolling_n * road_speed_m_s,
            driveline_w,
        }
    }

    /// Acceleration \[m/s²\] and loss of the driveline \[W\] with a gear engaged.
    fn engaged(&self, torque_nm: f64, road_speed_m_s: f64, against_n: f64) -> (f64, f64) {
        let v = &self.climb.vehicle;
        let turns = self.climb.turns_rad_m(self.gear);
        let with = |efficiency: f64| {
            let mass_kg =
                self.rolling_mass_kg() + efficiency * v.engine_inertia_kg_m2 * turns * turns;
            let acceleration = (efficiency * torque_nm * turns - against_n) / mass_kg;
            let clutch_nm = torque_nm - v.engine_inertia_kg_m2 * turns * acceleration;
            (acceleration, clutch_nm, efficiency)
        };
        // the two meet where the clutch carries nothing, so one of them is right
        let driving = with(v.driveline_efficiency);
        let (acceleration, clutch_nm, efficiency) = if driving.1 >= 0.0 {
            driving
        } else {
            with(1.0 / v.driveline_efficiency)
        };
        let loss_w = (1.0 - efficiency) * clutch_nm * turns * road_speed_m_s;
        (acceleration, loss_w)
    }
}

#[cfg(test)]
mod tests;
