//! A first-order lag that is exact for an input that ramps between two samples.

/// τ dx/dt = u − x, stepped from sample to sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstOrderLag {
    time_constant_s: f64,
    value: f64,
    input: f64,
}

impl FirstOrderLag {
    /// A lag at rest at `value`; a time constant of zero follows at once.
    pub fn at_rest(time_constant_s: f64, value: f64) -> Self {
        Self {
            time_constant_s,
            value,
            input: value,
        }
    }

    /// The same memory with another time constant \[s\].
    pub fn set_time_constant_s(&mut self, time_constant_s: f64) {
        self.time_constant_s = time_constant_s;
    }

    /// The lagged value.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// Advances by `step_s` while the input goes in a straight line to `input`.
    ///
    /// x(t) = u(t) − s τ + (x₀ − u₀ + s τ) e^(−t/τ) with s the slope of u: the
    /// closed solution for a ramp, so that the result does not depend on how
    /// the step is divided.
    pub fn advance(&mut self, step_s: f64, input: f64) -> f64 {
        if self.time_constant_s <= 0.0 || step_s <= 0.0 {
            if self.time_constant_s <= 0.0 {
                self.value = input;
            }
            self.input = input;
            return self.value;
        }
        let behind = (input - self.input) / step_s * self.time_constant_s;
        let decay = (-step_s / self.time_constant_s).exp();
        self.value = input - behind + (self.value - self.input + behind) * decay;
        self.input = input;
        self.value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ramp response of a first-order lag: u = s t gives x = s (t − τ + τ e^(−t/τ))
    /// (any control text).
    #[test]
    fn ramp_response_in_any_number_of_steps() {
        let (tau, slope, end) = (0.03, 50.0, 0.1_f64);
        let exact = slope * (end - tau + tau * (-end / tau).exp());
        for steps in [1, 7, 100] {
            let mut lag = FirstOrderLag::at_rest(tau, 0.0);
            let h = end / steps as f64;
            for k in 1..=steps {
                lag.advance(h, slope * h * k as f64);
            }
            assert!((lag.value() - exact).abs() < 1e-12, "{steps} steps");
        }
    }
}
