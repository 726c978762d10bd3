//! Heads beyond the stable branch of a speed line: past its last point and, for a
//! duct without inertia, left of its first.

/// Rise of head from surge to zero flow, over the head at surge.
const SHUT_OFF_RISE: f64 = 0.02;
/// Share of the surge flow over which the slope at surge levels off.
const SURGE_LEVELLING: f64 = 0.1;

/// The continuation past the last measured point at one speed.
#[derive(Debug, Clone, Copy)]
pub(super) struct PastChoke {
    pub flow: f64,
    pub width: f64,
    pub head_at_last: f64,
    /// Slope of head over the share of `width`.
    pub slope: f64,
    pub loss: f64,
}

impl PastChoke {
    /// Head with two derivatives over the share `z` of the way to the limit:
    /// `h = h_e + s z − κ z²/(1−z)`.
    #[inline]
    pub fn head(&self, z: f64) -> [f64; 3] {
        let inverse = 1.0 / (1.0 - z).max(1e-12);
        let square = inverse * inverse;
        [
            self.head_at_last + self.slope * z - self.loss * z * z * inverse,
            self.slope - self.loss * z * (2.0 - z) * square,
            -2.0 * self.loss * square * inverse,
        ]
    }

    /// Share at which a head at or below that of the last point is reached.
    #[inline]
    pub fn share(&self, head: f64) -> f64 {
        let fall = (self.head_at_last - head).max(0.0);
        // (loss − slope') z² + (fall + slope') z − fall = 0 with slope' = −slope,
        // solved for its positive root in the form without cancellation.
        let a = self.loss + self.slope;
        let b = fall - self.slope;
        let root = (b * b + 4.0 * a * fall).max(0.0).sqrt();
        let share = 2.0 * fall / (b + root);
        if share.is_finite() {
            share.clamp(0.0, 1.0)
        } else {
            0.0
        }
    }
}

/// The artificial branch at one speed.
#[derive(Debug, Clone, Copy)]
pub(super) struct LeftOfSurge {
    pub head_at_surge: f64,
    /// Fall of head over the share of the surge flow, at surge; not negative.
    pub fall: f64,
}

impl LeftOfSurge {
    /// Head with two derivatives over the share `u` of the surge flow:
    /// `h = h_s + f v/(1 + v/δ) + ε h_s v²`, `v = 1 − u`.
    #[inline]
    pub fn head(&self, u: f64) -> [f64; 3] {
        let v = 1.0 - u;
        let level = 1.0 / (1.0 + v / SURGE_LEVELLING);
        let rise = SHUT_OFF_RISE * self.head_at_surge.abs();
        [
            self.head_at_surge + self.fall * v * level + rise * v * v,
            -self.fall * level * level - 2.0 * rise * v,
            2.0 * rise - self.fall * level * level * level * (2.0 / SURGE_LEVELLING),
        ]
    }
}
