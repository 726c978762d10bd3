//! From a true state to a reading: lag, line, noise, clamp, converter, scaling.
mod chain;
mod lag;
mod line;

pub use chain::{PressureChain, PressureReading, SensorError};
pub use lag::FirstOrderLag;
pub use line::{SensorLine, VoltageClamp};

/// Where the boost pressure is sensed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SensorPlace {
    /// At the compressor outlet, before the cooler.
    CompressorOutlet,
    /// After the cooler, in the boost pipe.
    CoolerOutlet,
    /// In the intake manifold.
    Manifold,
}

/// A shaft-speed pick-up: a lag and a highest readable speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedPickup {
    /// Time constant \[s\].
    pub time_constant_s: f64,
    /// Highest readable speed \[rad/s\]; the reading stops there.
    pub highest_readable_rad_s: f64,
}

impl SpeedPickup {
    /// The reading of a lagged speed \[rad/s\].
    pub fn read_rad_s(&self, lagged_rad_s: f64) -> f64 {
        lagged_rad_s.min(self.highest_readable_rad_s)
    }
}
