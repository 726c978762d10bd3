//! The discrete PID around the boost error, with its anti-windup.
use crate::map::Table1;

/// What keeps the integrator from winding up while the output is at a stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AntiWindup {
    /// Nothing.
    None,
    /// The integrator stands still while the output is at a stop and the error
    /// pushes further into it.
    Clamping,
    /// The integrator is drawn back by the excess over this time \[s\].
    ///
    /// Åström & Hägglund, Advanced PID Control (2006), sec. 3.5 (from memory).
    BackCalculation(f64),
}

/// Gains of the vane controller. A positive error (boost too low) closes.
#[derive(Debug, Clone, PartialEq)]
pub struct FeedbackSettings {
    /// Proportional gain \[1/Pa\], share of the vane travel.
    pub proportional_1_pa: f64,
    /// Integral gain \[1/(Pa s)\].
    pub integral_1_pa_s: f64,
    /// Derivative gain on the reading \[s/Pa\].
    pub derivative_s_pa: f64,
    /// Factor on all gains over engine speed \[rad/s → -\].
    pub gain_schedule: Table1,
    /// Anti-windup.
    pub anti_windup: AntiWindup,
    /// Largest integral part in either direction \[-\], share of the travel.
    pub integrator_authority: f64,
}

/// The part of the travel that the controller may use, over engine speed.
#[derive(Debug, Clone, PartialEq)]
pub struct VaneStops {
    /// Most open position \[rad/s → -\].
    pub most_open: Table1,
    /// Most closed position \[rad/s → -\].
    pub most_closed: Table1,
}

impl VaneStops {
    /// From fully open to fully closed at any speed.
    pub fn whole_travel() -> Self {
        Self {
            most_open: Table1::constant(0.0),
            most_closed: Table1::constant(1.0),
        }
    }

    /// The command within the stops at a speed.
    pub fn held(&self, engine_speed_rad_s: f64, command: f64) -> f64 {
        let open = self.most_open.at(engine_speed_rad_s);
        let closed = self.most_closed.at(engine_speed_rad_s);
        command.max(open).min(closed)
    }
}

/// What the PID works on at one tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FeedbackTick {
    /// Engine speed \[rad/s\].
    pub engine_speed_rad_s: f64,
    /// Boost command \[Pa abs\].
    pub command_pa: f64,
    /// Boost reading \[Pa abs\].
    pub reading_pa: f64,
    /// Feed-forward vane position \[-\].
    pub feed_forward: f64,
    /// Opening that limiters ask for \[-\].
    pub open_bias: f64,
    /// Time since the last tick \[s\].
    pub step_s: f64,
}

/// The PID with its memory.
#[derive(Debug, Clone, PartialEq)]
pub struct Feedback {
    integral: f64,
    last_reading_pa: Option<f64>,
}

impl Feedback {
    /// An empty integrator.
    pub fn empty() -> Self {
        Self {
            integral: 0.0,
            last_reading_pa: None,
        }
    }

    /// Integral part \[-\].
    pub fn integral(&self) -> f64 {
        self.integral
    }

    /// Lets a tick pass without feedback: the integrator keeps its value, and the
    /// derivative starts anew.
    pub fn rest(&mut self) {
        self.last_reading_pa = None;
    }

    /// One tick: the vane command within the stops.
    ///
    /// u = u_ff + K_p e + I − K_d dp/dt, I += K_i e T, trapezoid-free (backward
    /// rectangle), the derivative on the reading so that a step of the command
    /// does not kick. `open_bias` is taken off by limiters; while it acts the
    /// integrator does not close further.
    pub fn step(
        &mut self,
        settings: &FeedbackSettings,
        stops: &VaneStops,
        tick: &FeedbackTick,
    ) -> f64 {
        let FeedbackTick {
            engine_speed_rad_s,
            command_pa,
            reading_pa,
            feed_forward,
            open_bias,
            step_s,
        } = *tick;
        let factor = settings.gain_schedule.at(engine_speed_rad_s);
        let error_pa = command_pa - reading_pa;
        let slope_pa_s = self
            .last_reading_pa
            .map_or(0.0, |last| (reading_pa - last) / step_s);
        self.last_reading_pa = Some(reading_pa);
        let direct = feed_forward + factor * settings.proportional_1_pa * error_pa
            - factor * settings.derivative_s_pa * slope_pa_s
            - open_bias;
        let growth = factor * settings.integral_1_pa_s * error_pa * step_s;

        let trial = direct + self.integral + growth;
        let held = stops.held(engine_speed_rad_s, trial);
        let into_stop = (trial > held && growth > 0.0) || (trial < held && growth < 0.0);
        let limited = open_bias > 0.0 && growth > 0.0;
        self.integral += match settings.anti_windup {
            _ if limited => 0.0,
            AntiWindup::Clamping if into_stop => 0.0,
            AntiWindup::None | AntiWindup::Clamping => growth,
            AntiWindup::BackCalculation(time_s) => growth + (held - trial) * step_s / time_s,
        };
        let authority = settings.integrator_authority;
        self.integral = self.integral.clamp(-authority, authority);
        stops.held(engine_speed_rad_s, direct + self.integral)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn settings(anti_windup: AntiWindup) -> FeedbackSettings {
        FeedbackSettings {
            proportional_1_pa: 0.0,
            integral_1_pa_s: 1e-6,
            derivative_s_pa: 0.0,
            gain_schedule: Table1::constant(1.0),
            anti_windup,
            integrator_authority: 10.0,
        }
    }

    fn stops() -> VaneStops {
        VaneStops {
            most_open: Table1::constant(0.0),
            most_closed: Table1::constant(0.8),
        }
    }

    fn run(anti_windup: AntiWindup, error_pa: f64, ticks: usize) -> Feedback {
        let mut f = Feedback::empty();
        for _ in 0..ticks {
            let tick = FeedbackTick {
                engine_speed_rad_s: 200.0,
                command_pa: 300e3 + error_pa,
                reading_pa: 300e3,
                feed_forward: 0.2,
                open_bias: 0.0,
                step_s: 0.01,
            };
            f.step(&settings(anti_windup), &stops(), &tick);
        }
        f
    }

    #[test]
    fn a_pinned_reading_closes_the_vanes_at_gain_times_excess() {
        // Ki × excess × time, by hand: 1e-6 × 10 kPa × 1 s = 0.01
        let f = run(AntiWindup::Clamping, 10e3, 100);
        assert!((f.integral() - 0.01).abs() < 1e-12);
    }

    #[test]
    fn clamping_stops_at_the_stop_and_none_does_not() {
        let clamped = run(AntiWindup::Clamping, 100e3, 2000);
        assert!((clamped.integral() - 0.6).abs() < 2e-3);
        let free = run(AntiWindup::None, 100e3, 2000);
        assert!((free.integral() - 2.0).abs() < 1e-9);
        let back = run(AntiWindup::BackCalculation(0.5), 100e3, 2000);
        // steady excess = Ki e Tt = 0.05 beyond the stop
        assert!((back.integral() - 0.65).abs() < 5e-3);
    }
}
