//! The boost controller: sensors in, vane command and fuel out, at its period.
//!
//! A controller sees readings only, never the plant.
mod boost;
mod command;
mod feedback;
mod fuel;
mod protection;

pub use boost::{BoostController, BoostControllerSettings};
pub use command::{BoostCommand, CommandReference, FullLoadCommand};
pub use feedback::{AntiWindup, Feedback, FeedbackSettings, FeedbackTick, VaneStops};
pub use fuel::{FuelSchedule, SmokeLimit};
pub use protection::{
    CommandClamp, DrivePressureLimiter, FrozenSensor, OverBoost, PinnedSensor, Protection,
    ProtectionSettings, Protections, ShaftSpeedLimiter,
};

/// What the controller reads at a tick.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Readings {
    /// Time since the start \[s\].
    pub time_s: f64,
    /// Engine speed \[rad/s\].
    pub engine_speed_rad_s: f64,
    /// Fuel that the driver or the dyno asks for, per injection \[kg\]; infinite
    /// for "all that the table gives".
    pub fuel_asked_kg: f64,
    /// Boost \[Pa abs\].
    pub boost_pa: f64,
    /// Barometer \[Pa abs\].
    pub ambient_pa: f64,
    /// Temperature in the intake manifold \[K\].
    pub intake_k: f64,
    /// Drive pressure \[Pa abs\], where sensed.
    pub drive_pressure_pa: Option<f64>,
    /// Shaft speed \[rad/s\], where sensed.
    pub shaft_speed_rad_s: Option<f64>,
}

/// What the controller orders at a tick.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Orders {
    /// Vane command, 0 open to 1 closed \[-\].
    pub vane_command: f64,
    /// Fuel per injection \[kg\].
    pub fuel_kg: f64,
    /// Start of injection before top dead centre \[deg\].
    pub advance_deg: f64,
    /// Opening of the recirculation valve, 0 shut to 1 open \[-\].
    pub recirculation_open: f64,
    /// Boost command in use \[Pa abs\]; `None` without boost control.
    pub boost_command_pa: Option<f64>,
    /// Integral part of the vane command \[-\].
    pub integrator: f64,
    /// Bit set of protections that act.
    pub active: u8,
}

/// A boost controller. One implementation is built in; others may take its
/// place without any change elsewhere.
pub trait Controller: Send {
    /// Period between two ticks \[s\].
    fn period_s(&self) -> f64;
    /// Starts from the readings of an equilibrium, integrator empty.
    fn start(&mut self, readings: &Readings) -> Orders;
    /// One tick.
    fn step(&mut self, readings: &Readings) -> Orders;
    /// Protections whose threshold these values exceed; the simulation asks
    /// with readings and with true values, and calls the difference blind.
    fn beyond_threshold(&self, values: &Readings) -> u8;
    /// Position of the vanes and the fuel that a run starts from.
    fn feed_forward(&self, readings: &Readings) -> Orders;
}
