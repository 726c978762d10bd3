//! A pressure sensor from the pipe to the number in the controller.
//!
//! lag → line with errors and noise → clamp at both rails → converter → the
//! controller's own scaling. The readable ceiling follows from the chain.
use super::{SensorLine, VoltageClamp};

/// What a sensor adds of its own. Zero for a perfect one.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SensorError {
    /// Offset ahead of the clamp, positive reads high \[Pa\].
    pub offset_pa: f64,
    /// Gain error ahead of the clamp \[-\].
    pub gain: f64,
    /// Drift of the offset over time \[Pa/s\].
    pub drift_pa_s: f64,
    /// Standard deviation of the noise ahead of the clamp \[Pa\].
    pub noise_pa: f64,
    /// Offset after the clamp (wiring, ground, converter), positive reads high \[Pa\].
    pub after_clamp_pa: f64,
    /// Shift of the upper rail \[V\].
    pub clamp_v: f64,
}

/// Line, clamp, converter and the controller's scaling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressureChain {
    /// Time constant \[s\].
    pub time_constant_s: f64,
    /// The transducer's line.
    pub line: SensorLine,
    /// The transducer's output rails.
    pub clamp: VoltageClamp,
    /// Supply and converter reference \[V\].
    pub supply_v: f64,
    /// Bits of the converter.
    pub converter_bits: u32,
    /// The line that the controller believes in.
    pub believed_line: SensorLine,
    /// The sensor's own errors.
    pub error: SensorError,
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PressureReading {
    /// What the controller reads \[Pa abs\].
    pub pressure_pa: f64,
    /// Whether the transducer stands at its upper rail.
    pub pinned: bool,
}

impl PressureChain {
    /// The reading of a lagged pressure \[Pa abs\] at a time \[s\] with a standard
    /// normal draw `noise` \[-\].
    pub fn read(&self, lagged_pa: f64, time_s: f64, noise: f64) -> PressureReading {
        let e = &self.error;
        let shown_pa =
            lagged_pa * (1.0 + e.gain) + e.offset_pa + e.drift_pa_s * time_s + e.noise_pa * noise;
        let volts = self.line.volts(shown_pa);
        let top_v = self.top_v();
        let clamped_v = volts.clamp(self.clamp.low_v, top_v);
        PressureReading {
            pressure_pa: self.scaled_pa(clamped_v),
            pinned: volts >= top_v,
        }
    }

    /// The reading of a lagged pressure without converter steps, noise and drift
    /// \[Pa abs\]: smooth, for equilibria.
    pub fn smooth_pa(&self, lagged_pa: f64) -> f64 {
        let e = &self.error;
        let volts = self.line.volts(lagged_pa * (1.0 + e.gain) + e.offset_pa);
        self.believed_line
            .pressure_pa(volts.clamp(self.clamp.low_v, self.top_v()))
            + e.after_clamp_pa
    }

    /// Highest reading that the chain can give \[Pa abs\].
    pub fn readable_ceiling_pa(&self) -> f64 {
        self.scaled_pa(self.top_v())
    }

    /// What one step of the converter is worth around a pressure \[Pa\].
    pub fn converter_step_pa(&self) -> f64 {
        let steps = f64::from((1u32 << self.converter_bits) - 1);
        let volts = self.supply_v / steps;
        (self.scaled_pa(self.supply_v) - self.scaled_pa(self.supply_v - volts)).abs()
    }

    /// True pressure at which the reading pins, without drift and noise \[Pa abs\].
    pub fn pins_at_pa(&self) -> f64 {
        (self.line.pressure_pa(self.top_v()) - self.error.offset_pa) / (1.0 + self.error.gain)
    }

    /// Upper rail with its error; the converter cannot see above its supply \[V\].
    fn top_v(&self) -> f64 {
        (self.clamp.high_v + self.error.clamp_v).min(self.supply_v)
    }

    /// Converter and scaling: volts to the pressure that the controller believes.
    fn scaled_pa(&self, volts: f64) -> f64 {
        let steps = f64::from((1u32 << self.converter_bits) - 1);
        let counts = (volts / self.supply_v * steps).round().clamp(0.0, steps);
        self.believed_line
            .pressure_pa(counts / steps * self.supply_v)
            + self.error.after_clamp_pa
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chain() -> PressureChain {
        let line = SensorLine {
            low: (20e3, 0.4),
            high: (320e3, 4.6),
        };
        PressureChain {
            time_constant_s: 0.03,
            line,
            clamp: VoltageClamp {
                low_v: 0.25,
                high_v: 4.75,
            },
            supply_v: 5.0,
            converter_bits: 12,
            believed_line: line,
            error: SensorError::default(),
        }
    }

    #[test]
    fn reads_the_truth_within_one_converter_step() {
        let c = chain();
        let step_pa = 5.0 / 4095.0 / c.line.slope_v_pa();
        for p in [30e3, 101_325.0, 250e3, 320e3] {
            let r = c.read(p, 0.0, 0.0);
            assert!((r.pressure_pa - p).abs() <= 0.5 * step_pa);
            assert!(!r.pinned);
        }
    }

    #[test]
    fn the_ceiling_follows_from_line_clamp_and_scaling() {
        let c = chain();
        // (4.75 − 0.4) / 14 V/MPa above 20 kPa, by hand: 330.714 kPa
        let by_hand = 20e3 + (4.75 - 0.4) / (4.2 / 300e3);
        let step_pa = 5.0 / 4095.0 / c.line.slope_v_pa();
        assert!((c.readable_ceiling_pa() - by_hand).abs() <= 0.5 * step_pa);
        assert!((c.pins_at_pa() - by_hand).abs() < 1e-6);
        let r = c.read(500e3, 0.0, 0.0);
        assert!(r.pinned);
        assert_eq!(r.pressure_pa, c.readable_ceiling_pa());
    }

    #[test]
    fn an_offset_ahead_of_the_clamp_moves_where_it_pins_not_what_it_reads() {
        let mut c = chain();
        c.error.offset_pa = -5e3;
        assert_eq!(c.readable_ceiling_pa(), chain().readable_ceiling_pa());
        assert!((c.pins_at_pa() - chain().pins_at_pa() - 5e3).abs() < 1e-6);
        let mut c = chain();
        c.error.after_clamp_pa = -5e3;
        assert!((c.readable_ceiling_pa() - chain().readable_ceiling_pa() + 5e3).abs() < 1e-6);
        assert_eq!(c.pins_at_pa(), chain().pins_at_pa());
    }

    #[test]
    fn a_wrong_scaling_in_the_controller_moves_the_ceiling() {
        let mut c = chain();
        c.believed_line.high.0 = 420e3;
        assert!(c.readable_ceiling_pa() > 430e3);
        assert_eq!(c.pins_at_pa(), chain().pins_at_pa());
    }
}
