//! From the plant's true state to the readings of a tick.
use super::faults::{Held, HeldReading};
use super::rig::{Rig, Sensors};
use crate::control::Readings;
use crate::gas::isentropic_flow::total_pressure_pa;
use crate::plant::PlantPoint;
use crate::plant::further::Place;
use crate::sensor::{FirstOrderLag, PressureReading, SensorPlace};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use std::f64::consts::TAU;

/// The sensors with their memory.
#[derive(Debug, Clone)]
pub struct Measurement {
    boost: FirstOrderLag,
    drive: Option<FirstOrderLag>,
    shaft: Option<FirstOrderLag>,
    noise: ChaCha8Rng,
    held: Held,
    last: Option<Measured>,
}

/// What the sensors say at a tick.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measured {
    /// Boost.
    pub boost: PressureReading,
    /// Drive pressure \[Pa abs\].
    pub drive_pressure_pa: Option<f64>,
    /// Shaft speed \[rad/s\].
    pub shaft_speed_rad_s: Option<f64>,
}

/// The pressure at the boost sensor's place \[Pa abs\].
///
/// The pipe between cooler and manifold belongs to the intake volume, so that
/// static pressure there is the volume's; total pressure adds the dynamic head
/// of the flow in the pipe. At the compressor outlet it is that of the charge pipe
/// where this has a volume of its own.
pub fn boost_at_sensor_pa(sensors: &Sensors, p: &PlantPoint) -> f64 {
    let (static_pa, temperature_k) = match sensors.boost.place {
        SensorPlace::CompressorOutlet => match p.further.gas.at(Place::ChargePipe) {
            Some(pipe) => (pipe.pressure_pa, pipe.temperature_k),
            None => {
                let rise = p.compressor_outlet_enthalpy_j_kg - p.intake.properties.enthalpy_j_kg;
                (
                    p.compressor.outlet_pressure_pa,
                    p.intake.temperature_k + rise / p.intake.properties.cp_j_kg_k,
                )
            }
        },
        SensorPlace::CoolerOutlet | SensorPlace::Manifold => {
            (p.intake.pressure_pa, p.intake.temperature_k)
        }
    };
    match sensors.boost.total_in_pipe_m2 {
        None => static_pa,
        Some(area_m2) => {
            let r = p.intake.properties.gas_constant_j_kg_k;
            let density = static_pa / (r * temperature_k);
            let velocity_m_s = p.compressor.flow_kg_s / (density * area_m2);
            total_pressure_pa(
                static_pa,
                temperature_k,
                velocity_m_s,
                r,
                p.intake.properties.gamma,
            )
        }
    }
}

impl Measurement {
    /// Sensors at rest at a state.
    pub fn at_rest(sensors: &Sensors, p: &PlantPoint, held: Held) -> Self {
        let boost_pa = boost_at_sensor_pa(sensors, p);
        Self {
            boost: FirstOrderLag::at_rest(sensors.boost.chain.time_constant_s, boost_pa),
            drive: sensors
                .drive_pressure
                .map(|c| FirstOrderLag::at_rest(c.time_constant_s, p.exhaust.pressure_pa)),
            shaft: sensors
                .shaft_speed
                .map(|c| FirstOrderLag::at_rest(c.time_constant_s, p.shaft_speed_rad_s)),
            noise: ChaCha8Rng::seed_from_u64(sensors.noise_seed),
            held,
            last: None,
        }
    }

    /// Takes over time constants and held readings after a fault.
    pub fn spoil(&mut self, sensors: &Sensors, held: Held) {
        self.held = held;
        self.boost
            .set_time_constant_s(sensors.boost.chain.time_constant_s);
        if let (Some(lag), Some(chain)) = (&mut self.drive, sensors.drive_pressure) {
            lag.set_time_constant_s(chain.time_constant_s);
        }
    }

    /// Advances the lags to a state `step_s` later and reads.
    pub fn read(
        &mut self,
        sensors: &Sensors,
        p: &PlantPoint,
        time_s: f64,
        step_s: f64,
    ) -> Measured {
        let boost_pa = self.boost.advance(step_s, boost_at_sensor_pa(sensors, p));
        let noise = match sensors.boost.chain.error.noise_pa {
            0.0 => 0.0,
            _ => self.standard_normal(),
        };
        let drive_pressure_pa = match (&mut self.drive, sensors.drive_pressure) {
            (Some(lag), Some(chain)) => {
                let lagged = lag.advance(step_s, p.exhaust.pressure_pa);
                Some(chain.read(lagged, time_s, 0.0).pressure_pa)
            }
            _ => None,
        };
        let shaft_speed_rad_s = match (&mut self.shaft, sensors.shaft_speed) {
            (Some(lag), Some(pickup)) => {
                Some(pickup.read_rad_s(lag.advance(step_s, p.shaft_speed_rad_s)))
            }
            _ => None,
        };
        let fresh = Measured {
            boost: sensors.boost.chain.read(boost_pa, time_s, noise),
            drive_pressure_pa,
            shaft_speed_rad_s,
        };
        let measured = self.hold(fresh);
        self.last = Some(measured);
        measured
    }

    /// Replaces readings that no longer follow their sensor.
    fn hold(&self, fresh: Measured) -> Measured {
        let last = self.last.unwrap_or(fresh);
        let mut measured = fresh;
        match self.held.boost {
            None => {}
            Some(HeldReading::AtLast) => measured.boost = last.boost,
            Some(HeldReading::At(pressure_pa)) => {
                measured.boost = PressureReading {
                    pressure_pa,
                    pinned: false,
                };
            }
        }
        match self.held.drive_pressure {
            None => {}
            Some(HeldReading::AtLast) => measured.drive_pressure_pa = last.drive_pressure_pa,
            Some(HeldReading::At(pa)) => measured.drive_pressure_pa = Some(pa),
        }
        if self.held.shaft_speed {
            measured.shaft_speed_rad_s = last.shaft_speed_rad_s;
        }
        measured
    }

    /// A draw from the standard normal distribution (Box & Muller, Annals of
    /// Mathematical Statistics 29, 1958).
    fn standard_normal(&mut self) -> f64 {
        let unit = |bits: u64| (bits >> 11) as f64 * (1.0 / (1u64 << 53) as f64);
        let u = 1.0 - unit(self.noise.next_u64());
        let v = unit(self.noise.next_u64());
        (-2.0 * u.ln()).sqrt() * (TAU * v).cos()
    }
}

/// Readings without lag, converter steps and noise, for equilibria.
pub fn smooth_readings(
    rig: &Rig,
    p: &PlantPoint,
    engine_speed_rad_s: f64,
    fuel_asked_kg: f64,
) -> Readings {
    let s = &rig.sensors;
    Readings {
        time_s: 0.0,
        engine_speed_rad_s,
        fuel_asked_kg,
        boost_pa: s.boost.chain.smooth_pa(boost_at_sensor_pa(s, p)),
        ambient_pa: rig.plant.ambient.pressure_pa,
        intake_k: p.intake.temperature_k,
        drive_pressure_pa: s.drive_pressure.map(|c| c.smooth_pa(p.exhaust.pressure_pa)),
        shaft_speed_rad_s: s.shaft_speed.map(|c| c.read_rad_s(p.shaft_speed_rad_s)),
    }
}
