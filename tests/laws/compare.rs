//! Comparison of figures, and how random ones are drawn.
use proptest::test_runner::{Config, RngSeed};

/// Fails unless `got` is within `tolerance` of `expected`, relative to it; tells
/// how far off it was.
#[track_caller]
pub fn assert_relative(
    got: f64,
    expected: f64,
    tolerance: f64,
    what: &impl std::fmt::Debug,
) -> f64 {
    let error = (got / expected - 1.0).abs();
    assert!(
        error <= tolerance,
        "{got} instead of {expected}, off by {error:.2e} of it, in {what:?}"
    );
    error
}

/// Fails unless `got` is within `tolerance` of `expected`, in their unit.
#[track_caller]
pub fn assert_absolute(got: f64, expected: f64, tolerance: f64, what: &impl std::fmt::Debug) {
    assert!(
        (got - expected).abs() <= tolerance,
        "{got} instead of {expected} in {what:?}"
    );
}

/// Settings of a property test. The cases are the same in every run unless
/// `PROPTEST_RNG_SEED` says otherwise; a failing case is shown, not kept in a file.
pub fn cases(cases: u32) -> Config {
    let usual = Config::default();
    let rng_seed = match usual.rng_seed {
        RngSeed::Random => RngSeed::Fixed(1585),
        given => given,
    };
    Config {
        cases,
        rng_seed,
        failure_persistence: None,
        ..usual
    }
}
