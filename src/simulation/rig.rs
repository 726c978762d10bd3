//! Everything that runs together: plant, sensors, controller, solver settings.
use super::faults::Fault;
use crate::control::{BoostControllerSettings, ChosenForm, Controller};
use crate::plant::Plant;
use crate::procedure::Asked;
use crate::sensor::{PressureChain, SensorPlace, SpeedPickup};

/// The boost sensor: where it sits and its chain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoostSensor {
    /// Where it sits.
    pub place: SensorPlace,
    /// Flow area of the pipe there, for a sensor of total pressure \[m²\];
    /// `None` senses static pressure.
    pub total_in_pipe_m2: Option<f64>,
    /// From pressure to reading.
    pub chain: PressureChain,
}

/// All sensors that the controller has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensors {
    /// Boost.
    pub boost: BoostSensor,
    /// Drive pressure, where fitted.
    pub drive_pressure: Option<PressureChain>,
    /// Shaft speed, where fitted.
    pub shaft_speed: Option<SpeedPickup>,
    /// Seed of the noise.
    pub noise_seed: u64,
}

/// What holds the vanes when no boost control does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OpenLoop {
    /// A position, 0 open to 1 closed \[-\].
    Position(f64),
    /// The position that gives a drive pressure at the start's equilibrium \[Pa abs\].
    DrivePressure(f64),
    /// The position that gives a boost at the start's equilibrium \[Pa abs\].
    Boost(f64),
}

/// Beyond these the model does not describe the machine and a run stops.
///
/// Vane flutter, wheel stall and material limits are not modelled; the bounds
/// are where results of such a model turn into numbers without a machine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ValidityBounds {
    /// Highest ratio of drive pressure to boost, both absolute \[-\].
    pub drive_to_boost_abs: f64,
    /// Hottest gas ahead of the turbine \[K\].
    pub turbine_inlet_k: f64,
    /// Longest time without any stable compressor flow \[s\].
    pub no_flow_s: f64,
    /// Furthest vane position with data, 0 open to 1 closed \[-\].
    pub vane_closed: f64,
}

impl ValidityBounds {
    /// The bounds for a plant: with inertia in the compressor's duct surge and
    /// reverse flow are modelled, and time without flow is no bound.
    pub fn of(plant: &Plant) -> Self {
        let usual = Self::default();
        Self {
            no_flow_s: if plant.duct.is_some() {
                f64::INFINITY
            } else {
                usual.no_flow_s
            },
            ..usual
        }
    }
}

impl Default for ValidityBounds {
    fn default() -> Self {
        Self {
            drive_to_boost_abs: 3.0,
            turbine_inlet_k: 1300.0,
            no_flow_s: 0.2,
            vane_closed: 1.0,
        }
    }
}

/// A plant with its sensors and its controller.
#[derive(Debug, Clone)]
pub struct Rig {
    /// Plant.
    pub plant: Plant,
    /// Sensors.
    pub sensors: Sensors,
    /// What the controller is set to.
    pub controller: BoostControllerSettings,
    /// Which controller is made of these settings.
    pub form: ChosenForm,
    /// Vanes held from outside instead of boost control.
    pub open_loop: Option<OpenLoop>,
    /// Relative tolerance of the integrator on scaled states \[-\].
    pub tolerance: f64,
    /// Validity stops.
    pub validity: ValidityBounds,
    /// What goes wrong, and when.
    pub faults: Vec<Fault>,
}

impl Rig {
    /// A controller of this rig, at rest.
    pub fn fresh_controller(&self) -> Box<dyn Controller> {
        self.form.controller(&self.controller)
    }

    /// What the controller reads as the fuel that is asked for \[kg per
    /// injection\]; infinite for full.
    pub fn fuel_asked_kg(&self, asked: &Asked) -> f64 {
        let full_load_kg = self.controller.fuel.full_load.at(asked.speed_rad_s);
        asked.fuel.kg(full_load_kg)
    }

    /// Takes the plant to an altitude \[m\] on a day warmer than standard by an
    /// offset \[K\], with the vapour that its air holds. Says whether that is
    /// another place. Stays where no altitude is asked for.
    pub fn go_to(&mut self, altitude_m: Option<f64>, temperature_offset_k: f64) -> bool {
        let here = &mut self.plant.ambient;
        let Some(there) = altitude_m.filter(|&m| here.altitude_m != Some(m)) else {
            return false;
        };
        // whoever builds a procedure has looked at its lowest and highest place
        let Ok(ambient) = here.moved_to(there, temperature_offset_k) else {
            return false;
        };
        *here = ambient;
        true
    }
}
