//! Root of a rising function between two ends that enclose it.

/// The root of a function that does not fall, between `low`, where it is not
/// above zero, and `high`, where it is not below.
///
/// False position with the stale end halved (Dowell & Jarratt 1971, "Illinois"),
/// and a bisection at every third step, so that the bracket shrinks whatever the
/// function looks like. Ends where the bracket is no wider than `close`.
pub fn rising_root(
    mut low: f64,
    mut high: f64,
    close: f64,
    mut function: impl FnMut(f64) -> f64,
) -> f64 {
    let (mut below, mut above) = (function(low), function(high));
    // a lost number has to pass through without an endless search
    if below >= 0.0 || below.is_nan() {
        return low;
    }
    if above <= 0.0 || above.is_nan() {
        return high;
    }
    // on which side the step before fell
    let mut was_above = None;
    for step in 1..200 {
        let x = if step % 3 == 0 {
            0.5 * (low + high)
        } else {
            (low * above - high * below) / (above - below)
        };
        let value = function(x);
        if value == 0.0 || !value.is_finite() {
            return x;
        }
        let is_above = value > 0.0;
        let again = was_above == Some(is_above);
        if is_above {
            (high, above) = (x, value);
            below *= if again { 0.5 } else { 1.0 };
        } else {
            (low, below) = (x, value);
            above *= if again { 0.5 } else { 1.0 };
        }
        if high - low <= close {
            return x;
        }
        was_above = Some(is_above);
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::rising_root;

    /// Roots known by their closed forms, steep, flat and with a corner.
    #[test]
    fn closed_forms() {
        let cube = rising_root(0.0, 3.0, 1e-13, |x| x * x * x - 2.0);
        assert!((cube - 2f64.cbrt()).abs() < 1e-12);
        let steep = rising_root(0.0, 1.0, 1e-13, |x| 1.0 - (1.0 - x).sqrt() - 0.9);
        assert!((steep - 0.99).abs() < 1e-12);
        let corner = rising_root(-1.0, 4.0, 1e-13, |x: f64| {
            if x < 0.3 { x - 0.3 } else { 1e6 * (x - 0.3) }
        });
        assert!((corner - 0.3).abs() < 1e-12);
    }

    #[test]
    fn an_end_may_be_the_root() {
        assert_eq!(rising_root(0.0, 1.0, 1e-12, |x| x), 0.0);
        assert_eq!(rising_root(-1.0, 0.0, 1e-12, |x| x), 0.0);
    }
}
