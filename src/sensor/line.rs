//! The straight line of a pressure transducer and the rails that it ends at.

/// A line through two points, pressure to voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SensorLine {
    /// Lower point: pressure \[Pa abs\] and voltage \[V\].
    pub low: (f64, f64),
    /// Upper point: pressure \[Pa abs\] and voltage \[V\].
    pub high: (f64, f64),
}

impl SensorLine {
    /// Voltage at a pressure.
    pub fn volts(&self, pressure_pa: f64) -> f64 {
        self.low.1 + (pressure_pa - self.low.0) * self.slope_v_pa()
    }

    /// Pressure at a voltage.
    pub fn pressure_pa(&self, volts: f64) -> f64 {
        self.low.0 + (volts - self.low.1) / self.slope_v_pa()
    }

    /// Slope \[V/Pa\].
    pub fn slope_v_pa(&self) -> f64 {
        (self.high.1 - self.low.1) / (self.high.0 - self.low.0)
    }
}

/// The output range of the transducer \[V\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VoltageClamp {
    /// Lower rail \[V\].
    pub low_v: f64,
    /// Upper rail \[V\].
    pub high_v: f64,
}
