//! Quantiles: of the normal distribution, and of a handful of values.

/// z with Φ(z) = `probability`, for a probability between 0 and 1, both left
/// out. Rational approximations in three ranges; absolute error below 5e-7
/// against a table of Φ.
///
/// Source: M. J. Wichura, Algorithm AS 241, Applied Statistics 37 (1988),
/// routine PPND7 (coefficients from memory, checked against a handbook's table).
pub fn normal(probability: f64) -> f64 {
    let q = probability - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        let above = [
            3.387_132_717_9,
            50.434_271_938,
            159.291_132_02,
            59.109_374_720,
        ];
        let below = [1.0, 17.895_169_469, 78.757_757_664, 67.187_563_600];
        return q * polynomial(&above, r) / polynomial(&below, r);
    }
    let r = (-probability.min(1.0 - probability).ln()).sqrt();
    let size = if r <= 5.0 {
        let above = [
            1.423_437_277_7,
            2.756_815_390_0,
            1.306_728_481_6,
            0.170_238_211_03,
        ];
        let below = [1.0, 0.737_001_642_50, 0.120_211_329_75];
        polynomial(&above, r - 1.6) / polynomial(&below, r - 1.6)
    } else {
        let above = [
            6.657_905_115_0,
            3.081_226_386_0,
            0.428_682_943_37,
            0.017_337_203_997,
        ];
        let below = [1.0, 0.241_978_942_25, 0.012_258_202_635];
        polynomial(&above, r - 5.0) / polynomial(&below, r - 5.0)
    };
    size.copysign(q)
}

fn polynomial(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

/// The quantile of some values at a probability; `None` of none.
///
/// The k-th of n sorted values stands at (k − ½)/n, straight lines between,
/// the outermost values beyond: definition 5 of R. J. Hyndman and Y. Fan, The
/// American Statistician 50 (1996) 361. It suits draws that are spread evenly:
/// each stands in the middle of its share.
pub fn of(values: &mut [f64], probability: f64) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let last = values.len().checked_sub(1)?;
    let at = (probability * values.len() as f64 - 0.5).clamp(0.0, last as f64);
    let (below, share) = (at.floor() as usize, at.fract());
    let (low, high) = (values[below], values[(below + 1).min(last)]);
    // between equal values, infinite ones too, there is nothing to weigh
    Some(if share == 0.0 || low == high {
        low
    } else {
        low + share * (high - low)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Percentage points of the normal distribution: Abramowitz and Stegun,
    /// Handbook of Mathematical Functions, table 26.5 (from memory).
    #[test]
    fn normal_quantiles_of_a_handbook() {
        for (probability, z) in [
            (0.5, 0.0),
            (0.75, 0.674_490),
            (0.9, 1.281_552),
            (0.95, 1.644_854),
            (0.975, 1.959_964),
            (0.99, 2.326_348),
            (0.999, 3.090_232),
            (0.999_999, 4.753_424),
        ] {
            assert!((normal(probability) - z).abs() < 2e-6, "{probability}");
            assert!(
                (normal(1.0 - probability) + z).abs() < 2e-6,
                "{probability}"
            );
        }
    }

    #[test]
    fn quantiles_of_a_handful() {
        let mut four = [4.0, 1.0, 3.0, 2.0];
        assert_eq!(of(&mut four, 0.5), Some(2.5));
        assert_eq!(of(&mut four, 0.25), Some(1.5));
        assert_eq!(of(&mut four, 0.0), Some(1.0));
        assert_eq!(of(&mut four, 1.0), Some(4.0));
        assert_eq!(of(&mut [], 0.5), None);
        let none = f64::NEG_INFINITY;
        assert_eq!(of(&mut [none, none, 1.0], 0.2), Some(none));
    }
}
