//! Comparison of figures.

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
