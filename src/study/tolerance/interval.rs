//! How well a share of draws is known.
//!
//! The interval of Clopper and Pearson: its ends are the probabilities at which so
//! few, or so many, would be met with half of what is left of the confidence. It
//! covers the truth at least as often as it says, at any count of draws.
//!
//! Source: C. J. Clopper and E. S. Pearson, The use of confidence or fiducial limits
//! illustrated in the case of the binomial, Biometrika 26 (1934), p. 404; by beta
//! quantiles as in N. L. Johnson, A. W. Kemp and S. Kotz, Univariate Discrete
//! Distributions, section 3.8 (from memory).
use statrs::function::beta::inv_beta_reg;

/// Low end for `count` out of `draws` at a confidence between 0 and 1 \[-\].
pub fn low(count: u32, draws: u32, confidence: f64) -> f64 {
    if count == 0 {
        return 0.0;
    }
    let (k, n) = (f64::from(count), f64::from(draws));
    inv_beta_reg(k, n - k + 1.0, (1.0 - confidence) / 2.0)
}

/// High end for `count` out of `draws` at a confidence between 0 and 1 \[-\].
pub fn high(count: u32, draws: u32, confidence: f64) -> f64 {
    if count >= draws {
        return 1.0;
    }
    let (k, n) = (f64::from(count), f64::from(draws));
    inv_beta_reg(k + 1.0, n - k, (1.0 + confidence) / 2.0)
}

/// Most out of `draws` at which the high end is not above a level; `None` where not
/// even none of them is few enough.
pub fn most_allowed(draws: u32, confidence: f64, level: f64) -> Option<u32> {
    (0..=draws)
        .take_while(|&count| high(count, draws, confidence) <= level)
        .last()
}

/// Fewest draws of which none may exceed for the high end to reach a level: the
/// least n with 1 − (α/2)^(1/n) ≤ level.
pub fn draws_needed(confidence: f64, level: f64) -> u32 {
    let n = ((1.0 - confidence) / 2.0).ln() / (1.0 - level).ln();
    // a whole n may come out a rounding above itself
    let near = n.floor().max(1.0) as u32;
    (near..=near.saturating_add(2))
        .find(|&n| high(0, n, confidence) <= level)
        .unwrap_or(near.saturating_add(2))
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::function::beta::beta_reg;

    /// R. G. Newcombe, Two-sided confidence intervals for the single proportion,
    /// Statistics in Medicine 17 (1998), table I, the exact interval at 95 % (from
    /// memory); four printed digits.
    #[test]
    fn intervals_of_a_published_table() {
        for (count, draws, from, to) in [
            (81, 263, 0.2527, 0.3676),
            (15, 148, 0.0578, 0.1617),
            (0, 20, 0.0000, 0.1684),
            (1, 29, 0.0009, 0.1776),
        ] {
            assert!(
                (low(count, draws, 0.95) - from).abs() < 5.1e-5,
                "{count} of {draws}"
            );
            assert!(
                (high(count, draws, 0.95) - to).abs() < 5.1e-5,
                "{count} of {draws}"
            );
        }
    }

    /// By definition: at the low end so many or more come with α/2, at the high end so
    /// few or fewer. Summed term by term, which knows nothing of beta functions.
    #[test]
    fn the_tails_at_the_ends_are_what_is_left_of_the_confidence() {
        let at_most = |count: u32, n: u32, p: f64| {
            let mut term = (1.0 - p).powi(n as i32);
            let mut sum = 0.0;
            for k in 0..=count {
                sum += term;
                term *= f64::from(n - k) / f64::from(k + 1) * p / (1.0 - p);
            }
            sum
        };
        for (count, n) in [(1, 400), (3, 400), (20, 400), (7, 10)] {
            for confidence in [0.8, 0.95, 0.99] {
                let tail = (1.0 - confidence) / 2.0;
                let above = 1.0 - at_most(count - 1, n, low(count, n, confidence));
                let below = at_most(count, n, high(count, n, confidence));
                assert!((above - tail).abs() < 1e-7, "{count} of {n}: {above}");
                assert!((below - tail).abs() < 1e-7, "{count} of {n}: {below}");
            }
        }
        assert!((beta_reg(1.0, 400.0, high(0, 400, 0.95)) - 0.975).abs() < 1e-9);
    }

    /// (1 − p)^n = α/2: at 95 % and 1 % n is 368 by logarithms, ln 0.025 / ln 0.99 =
    /// 367.04.
    #[test]
    fn a_low_level_needs_many_draws() {
        assert_eq!(draws_needed(0.95, 0.01), 368);
        assert_eq!(most_allowed(367, 0.95, 0.01), None);
        assert_eq!(most_allowed(368, 0.95, 0.01), Some(0));
        // without confidence: 1 − 0.5^(1/n) ≤ 0.5 from n = 1 on
        assert_eq!(draws_needed(0.0, 0.5), 1);
        let allowed = most_allowed(1000, 0.95, 0.05).unwrap();
        assert!(high(allowed, 1000, 0.95) <= 0.05 && high(allowed + 1, 1000, 0.95) > 0.05);
    }
}
