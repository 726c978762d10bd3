//! Mass flow through an opening: isentropic nozzle with choking, in both
//! directions, smooth and finite through zero.
//!
//! The flow function is ψ = ṁ √(R T0)/(A p0) with the total state 0 upstream and
//! the effective area A (geometric area times discharge coefficient):
//!
//! ψ² = 2γ/(γ − 1) · (r^(2/γ) − r^((γ+1)/γ)), r = p_down/p0,
//!
//! constant below the critical pressure ratio. Sources: A. H. Shapiro, The
//! Dynamics and Thermodynamics of Compressible Fluid Flow (1953), ch. 4;
//! J. B. Heywood, Internal Combustion Engine Fundamentals (1988), appendix C.
//! Valid for an ideal gas of constant γ, 1 < γ ≤ 5/3.
//!
//! Near r = 1 the formula behaves as √(1 − r): its slope has no bound, which no
//! integrator survives. Above [`SMOOTH_ABOVE_PRESSURE_RATIO`] an odd polynomial in
//! 1 − r takes over, with value, slope and curvature of the formula at the join.
//! It passes through exactly zero at equal pressures. A real opening does the same
//! once its flow turns laminar; the polynomial does not claim to model that.

/// Pressure ratio above which the odd polynomial replaces the formula. The flow
/// differs only there: pressure differences below 0.05 % of the pressure, 50 Pa in
/// 1 bar.
pub const SMOOTH_ABOVE_PRESSURE_RATIO: f64 = 0.9995;

/// ln([`SMOOTH_ABOVE_PRESSURE_RATIO`]); a test holds the two together.
const LN_SMOOTH_ABOVE: f64 = -5.001_250_416_822_429e-4;

/// Below this pressure ratio every gas with γ ≤ 5/3 is choked (the critical ratio
/// of γ = 5/3 is 0.4871): no need to look closer.
const CHOKED_FOR_ALL_BELOW: f64 = 0.487;

/// State of the gas on one side of an opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reservoir {
    /// Total pressure, Pa, above zero.
    pub pressure_pa: f64,
    /// Total temperature, K, above zero.
    pub temperature_k: f64,
    /// Gas constant R, J/(kg K).
    pub gas_constant_j_kg_k: f64,
    /// Ratio of heat capacities.
    pub gamma: f64,
}

/// Flow function and its derivative with respect to the pressure ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NozzleSlope {
    /// ψ = ṁ √(R T0)/(A p0), dimensionless.
    pub flow_function: f64,
    /// dψ/d(p_down/p0): zero when choked, negative otherwise.
    pub slope: f64,
}

/// Pressure ratio p_down/p0 at and below which the throat is sonic:
/// (2/(γ + 1))^(γ/(γ − 1)).
pub fn critical_pressure_ratio(gamma: f64) -> f64 {
    (2.0 / (gamma + 1.0)).powf(gamma / (gamma - 1.0))
}

/// Flow function ψ of the module's head. `pressure_ratio_down_up` may be anything
/// from zero; above one the flow is backwards and ψ negative, still referred to
/// the pressure of the first side: ψ(r) = −r ψ(1/r).
#[inline]
pub fn flow_function(pressure_ratio_down_up: f64, gamma: f64) -> f64 {
    flow_function_with_slope(pressure_ratio_down_up, gamma).flow_function
}

/// [`flow_function`] and its slope over the pressure ratio; both are continuous
/// for every ratio from zero, and finite.
#[inline]
pub fn flow_function_with_slope(pressure_ratio_down_up: f64, gamma: f64) -> NozzleSlope {
    if pressure_ratio_down_up > 1.0 {
        let inverse = 1.0 / pressure_ratio_down_up;
        let back = forward(inverse, gamma);
        return NozzleSlope {
            flow_function: -pressure_ratio_down_up * back.flow_function,
            slope: back.slope * inverse - back.flow_function,
        };
    }
    forward(pressure_ratio_down_up, gamma)
}

/// The three branches for ratios 0 … 1.
#[inline]
fn forward(r: f64, gamma: f64) -> NozzleSlope {
    if r > SMOOTH_ABOVE_PRESSURE_RATIO {
        return near_equal(1.0 - r, gamma);
    }
    if r < CHOKED_FOR_ALL_BELOW {
        return choked(gamma);
    }
    // r^(1/γ) is the density ratio throat/upstream.
    let density = (r.ln() / gamma).exp();
    // dψ²/dr has the sign of this bracket; positive = below the critical ratio.
    let bracket = 2.0 * density / r - gamma - 1.0;
    if bracket >= 0.0 {
        return choked(gamma);
    }
    let flow_function = (2.0 * gamma / (gamma - 1.0) * density * (density - r)).sqrt();
    NozzleSlope {
        flow_function,
        slope: density * bracket / ((gamma - 1.0) * flow_function),
    }
}

/// Sonic throat: ψ = √γ (2/(γ+1))^((γ+1)/(2(γ−1))).
#[inline]
fn choked(gamma: f64) -> NozzleSlope {
    let exponent = (gamma + 1.0) / (2.0 * (gamma - 1.0));
    NozzleSlope {
        flow_function: gamma.sqrt() * (exponent * (2.0 / (gamma + 1.0)).ln()).exp(),
        slope: 0.0,
    }
}

/// Odd polynomial c1 t + c3 t³ + c5 t⁵ in t = (1 − r)/(1 − r_join) with the value,
/// slope and curvature of the formula at t = 1.
#[inline]
fn near_equal(drop: f64, gamma: f64) -> NozzleSlope {
    let r = SMOOTH_ABOVE_PRESSURE_RATIO;
    let width = 1.0 - r;
    // The formula and its derivatives at the join: square = ψ², ' = d/dr.
    let density = (LN_SMOOTH_ABOVE / gamma).exp();
    let density_1 = density / (gamma * r);
    let density_2 = density_1 * (1.0 / gamma - 1.0) / r;
    let factor = 2.0 * gamma / (gamma - 1.0);
    let square_1 = factor * (density_1 * (2.0 * density - r) - density);
    let square_2 = factor * (2.0 * density_1 * (density_1 - 1.0) + density_2 * (2.0 * density - r));
    let value = (factor * density * (density - r)).sqrt();
    let slope = square_1 / (2.0 * value);
    let curvature = (0.5 * square_2 - slope * slope) / value;
    // In terms of t, whose direction is against r.
    let (f0, f1, f2) = (value, -slope * width, curvature * width * width);
    let c5 = (f2 - 3.0 * f1 + 3.0 * f0) / 8.0;
    let c3 = 0.5 * (f1 - f0) - 2.0 * c5;
    let c1 = f0 - c3 - c5;
    let t = drop / width;
    let t2 = t * t;
    NozzleSlope {
        flow_function: t * (c1 + t2 * (c3 + t2 * c5)),
        slope: -(c1 + t2 * (3.0 * c3 + t2 * 5.0 * c5)) / width,
    }
}

/// Mass flow from side `a` to side `b`, kg/s; negative when `b` has the higher
/// pressure, and then with the state of `b`.
///
/// `effective_area_m2` is geometric area times discharge coefficient. Continuous
/// through zero; its slope over pressure is continuous too when both sides have
/// the same temperature and gas, and changes by their ratio of densities' roots
/// when not, as the gas that flows is another one.
#[inline]
pub fn mass_flow_between(effective_area_m2: f64, a: Reservoir, b: Reservoir) -> f64 {
    if a.pressure_pa >= b.pressure_pa {
        forward_mass_flow(effective_area_m2, a, b.pressure_pa)
    } else {
        -forward_mass_flow(effective_area_m2, b, a.pressure_pa)
    }
}

/// Mass flow of one gas through an opening, kg/s; negative when `p_down_pa` exceeds
/// `p_up_pa`. The gas has the same temperature, R and gamma on both sides.
#[inline]
pub fn mass_flow_kg_s(
    effective_area_m2: f64,
    p_up_pa: f64,
    t_up_k: f64,
    p_down_pa: f64,
    gas_constant_j_kg_k: f64,
    gamma: f64,
) -> f64 {
    let side = |pressure_pa| Reservoir {
        pressure_pa,
        temperature_k: t_up_k,
        gas_constant_j_kg_k,
        gamma,
    };
    mass_flow_between(effective_area_m2, side(p_up_pa), side(p_down_pa))
}

/// ṁ = A p0 ψ/√(R T0).
#[inline]
fn forward_mass_flow(effective_area_m2: f64, upstream: Reservoir, p_down_pa: f64) -> f64 {
    let psi = forward(p_down_pa / upstream.pressure_pa, upstream.gamma).flow_function;
    effective_area_m2 * upstream.pressure_pa * psi
        / (upstream.gas_constant_j_kg_k * upstream.temperature_k).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn logarithm_of_the_join_belongs_to_the_join() {
        let expected = SMOOTH_ABOVE_PRESSURE_RATIO.ln();
        assert!((LN_SMOOTH_ABOVE - expected).abs() < 1e-17, "{expected:e}");
    }

    /// The formula is evaluated a rounding error below the join, the polynomial
    /// above it. The curvature is judged by differences of the slope, good to 1 %.
    #[test]
    fn polynomial_meets_the_formula_in_value_slope_and_curvature() {
        for gamma in [1.2, 1.3, 1.4, 1.66] {
            let at = |r: f64| forward(r, gamma);
            let join = SMOOTH_ABOVE_PRESSURE_RATIO;
            let (below, above) = (at(join), at(join + 1e-13));
            let scale = below.flow_function;
            assert!((below.flow_function - above.flow_function).abs() < 1e-8 * scale);
            assert!((below.slope - above.slope).abs() < 1e-8 * below.slope.abs());
            let step = 2e-7;
            let curvature_below = (at(join).slope - at(join - step).slope) / step;
            let curvature_above = (at(join + step).slope - at(join + 1e-13).slope) / step;
            assert!((curvature_below / curvature_above - 1.0).abs() < 0.01);
        }
    }
}
