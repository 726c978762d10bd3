//! The flow function of published mean-value turbines and wastegates.

/// Pressure ratio above which an odd polynomial replaces the root.
pub const SMOOTH_ABOVE_PRESSURE_RATIO: f64 = 0.9995;

/// √(1 − Π^c) with Π the outlet over the inlet pressure, smooth through zero.
///
/// M. Sivertsson, L. Eriksson, "Modelling for Optimal Control: A Validated
/// Diesel-Electric Powertrain Model", SIMS 55 (2014), for c fitted to a turbine
/// (2.3633) or a wastegate (5.3517). It never chokes. For Π from 0 to 1; above
/// one the flow is backwards and the value −Π √(1 − Π^(−c)), as the inlet
/// pressure stands outside.
///
/// The root's slope has no bound at Π = 1. Above
/// `SMOOTH_ABOVE_PRESSURE_RATIO` the odd polynomial c₁t + c₃t³ + c₅t⁵ in t =
/// (1 − Π)/(1 − Π_join) takes over, with value, slope and curvature of the root
/// at t = 1.
pub fn root_flow(pressure_ratio_down_up: f64, exponent: f64) -> f64 {
    if pressure_ratio_down_up > 1.0 {
        return -pressure_ratio_down_up * forward(1.0 / pressure_ratio_down_up, exponent);
    }
    forward(pressure_ratio_down_up, exponent)
}

fn forward(ratio: f64, exponent: f64) -> f64 {
    if ratio <= SMOOTH_ABOVE_PRESSURE_RATIO {
        return (1.0 - ratio.powf(exponent)).sqrt();
    }
    let join = SMOOTH_ABOVE_PRESSURE_RATIO;
    let width = 1.0 - join;
    // f = √g with g = 1 − r^c, and its first two derivatives at the join
    let power = join.powf(exponent);
    let first = -exponent * power / join;
    let second = first * (exponent - 1.0) / join;
    let value = (1.0 - power).sqrt();
    let slope = first / (2.0 * value);
    let curvature = (0.5 * second - slope * slope) / value;
    // in terms of t, whose direction is against the ratio's
    let (f0, f1, f2) = (value, -slope * width, curvature * width * width);
    let c5 = (f2 - 3.0 * f1 + 3.0 * f0) / 8.0;
    let c3 = 0.5 * (f1 - f0) - 2.0 * c5;
    let c1 = f0 - c3 - c5;
    let t = (1.0 - ratio) / width;
    let t2 = t * t;
    t * (c1 + t2 * (c3 + t2 * c5))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_polynomial_meets_the_root_in_value_slope_and_curvature() {
        for exponent in [2.3633, 5.3517] {
            let join = SMOOTH_ABOVE_PRESSURE_RATIO;
            let f = |r: f64| root_flow(r, exponent);
            let step = 1e-5;
            let root = |r: f64| (1.0 - r.powf(exponent)).sqrt();
            // above the join the root itself stands for what it would have been
            for (k, close) in [(1.0, 1e-5), (2.0, 1e-4)] {
                let off = f(join + k * step) / root(join + k * step) - 1.0;
                assert!(off.abs() < close, "{exponent} {k}: {off:e}");
            }
        }
    }

    #[test]
    fn it_rises_through_zero_and_is_odd_about_equal_pressures() {
        let f = |r: f64| root_flow(r, 2.3633);
        assert_eq!(f(1.0), 0.0);
        let mut last = f64::INFINITY;
        for k in 0..=40_000 {
            let value = f(f64::from(k) * 5e-5);
            assert!(
                value.is_finite() && value < last,
                "at {}",
                f64::from(k) * 5e-5
            );
            last = value;
        }
        assert!((f(1.0 + 1e-8) + f(1.0 - 1e-8)).abs() < 1e-6 * f(1.0 - 1e-8));
    }
}
