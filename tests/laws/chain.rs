//! From true boost to reading to vanes, by hand.
use crate::plants::DEMO;
use crate::proof;
use crate::shipped::setup;
use ringfence::control::{AntiWindup, Feedback, FeedbackSettings, FeedbackTick, VaneStops};
use ringfence::map::Table1;
use ringfence::sensor::FirstOrderLag;

/// The demonstration's sensor reads 0.40 V at 20 kPa and 4.60 V at 320 kPa and is clamped
/// at 4.75 V: by hand 20 + (4.75 − 0.40) / 4.20 × 300 = 330.714 kPa. The converter of
/// 12 bits over 5 V makes that a reading half a step away at most.
#[test]
fn the_demonstration_reads_what_line_and_clamp_say() {
    let by_hand_pa = 1e3 * (20.0 + (4.75 - 0.40) / 4.20 * 300.0);
    let step_pa = 5.0 / 4095.0 * 300e3 / 4.20;
    let chain = setup(DEMO, &[]).rig.sensors.boost.chain;
    let off_pa = (chain.readable_ceiling_pa() - by_hand_pa).abs();
    proof::row("sensor-ceiling").reached(off_pa / step_pa);
    proof::row("sensor-pins").reached((chain.pins_at_pa() - by_hand_pa).abs());
}

/// A ramp u = s t through a lag of first order: x = s (t − τ + τ e^(−t/τ)) (any control
/// text), in any number of steps.
#[test]
fn a_lag_follows_a_ramp_in_closed_form() {
    let mut proof = proof::row("sensor-lag");
    for tau in [0.01, 0.03, 0.2] {
        let (slope, end) = (50.0, 0.1_f64);
        let exact = slope * (end - tau + tau * (-end / tau).exp());
        for steps in [1, 7, 100, 1000] {
            let mut lag = FirstOrderLag::at_rest(tau, 0.0);
            let h = end / f64::from(steps);
            for k in 1..=steps {
                lag.advance(h, slope * h * f64::from(k));
            }
            proof.relative(lag.value(), exact, &(tau, steps));
        }
    }
    proof.done();
}

/// While the reading is pinned the error is what the command has over it, and the
/// integrator closes the vanes at gain × excess; by hand 1e-6 × 10 kPa × t.
#[test]
fn an_integrator_closes_at_gain_times_excess() {
    let settings = FeedbackSettings {
        proportional_1_pa: 0.0,
        integral_1_pa_s: 1e-6,
        derivative_s_pa: 0.0,
        gain_schedule: Table1::constant(1.0),
        anti_windup: AntiWindup::Clamping,
        integrator_authority: 10.0,
    };
    let stops = VaneStops {
        most_open: Table1::constant(0.0),
        most_closed: Table1::constant(0.8),
    };
    let mut feedback = Feedback::empty();
    let mut proof = proof::row("pinned-vanes");
    for k in 1..=1000 {
        let tick = FeedbackTick {
            engine_speed_rad_s: 200.0,
            command_pa: 340e3,
            reading_pa: 330e3,
            feed_forward: 0.2,
            open_bias: 0.0,
            step_s: 0.01,
        };
        feedback.step(&settings, &stops, &tick);
        proof.absolute(feedback.integral(), 1e-4 * f64::from(k), &k);
    }
    proof.done();
}
