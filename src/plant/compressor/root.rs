//! Root of a falling function on 0..1: Newton, kept inside a bracket.

/// Where the root lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Root {
    /// Here.
    At(f64),
    /// The function is below zero already at 0.
    Below,
    /// The function is above zero still at 1.
    Above,
}

/// A function at one place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    pub value: f64,
    pub slope: f64,
    /// Second derivative, or 0 where it is not worth its price.
    pub curvature: f64,
}

/// Solves a falling function.
///
/// Halley's step where the curvature is given, else Newton's. The bracket starts
/// as 0..1 without its ends being evaluated; an end is evaluated only when a
/// step wants to leave through it. A step below `last_step` is the last one:
/// convergence is cubic or quadratic, so its own error is far below it.
#[inline]
pub(super) fn falling(guess: f64, last_step: f64, mut function: impl FnMut(f64) -> Sample) -> Root {
    let (mut low, mut high) = (0.0, 1.0);
    let (mut low_known, mut high_known) = (false, false);
    let mut x = guess;
    // Newton needs 3 to 5 steps; every step past the 12th halves the bracket,
    // which is below the resolution of a double after 55 more.
    for step in 0..70 {
        let Sample {
            value,
            slope,
            curvature,
        } = function(x);
        if value > 0.0 {
            if x >= 1.0 {
                return Root::Above;
            }
            (low, low_known) = (x, true);
        } else if value < 0.0 {
            if x <= 0.0 {
                return Root::Below;
            }
            (high, high_known) = (x, true);
        } else {
            return Root::At(x);
        }
        let mut next = if slope < 0.0 {
            // Halley: x − 2 f f′ / (2 f′² − f f″), the divisor kept near 2 f′².
            let square = slope * slope;
            let divisor = (2.0 * square - value * curvature)
                .max(square)
                .min(4.0 * square);
            x - 2.0 * value * slope / divisor
        } else {
            f64::INFINITY.copysign(value)
        };
        if step >= 12 && low_known && high_known {
            next = 0.5 * (low + high);
        } else if next <= low {
            next = if low_known { 0.5 * (low + high) } else { 0.0 };
        } else if next >= high {
            next = if high_known { 0.5 * (low + high) } else { 1.0 };
        } else if (next - x).abs() < last_step {
            return Root::At(next);
        }
        if high - low < 4.0 * f64::EPSILON {
            break;
        }
        x = next;
    }
    Root::At(x)
}
