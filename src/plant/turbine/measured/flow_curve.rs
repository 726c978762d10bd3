//! Corrected flow over expansion ratio at one vane position.

use crate::gas::nozzle::flow_function_with_slope;
use crate::map::TurbineSpeedLine;
use crate::map::pchip::{self, EndSlope};

/// Points nearer than this in `ξ = √(1 − p₄/p₃)` become one: their mean. Flow is
/// nearly straight over ξ, so the mean of some points is a point of the curve.
const KNOT_WIDTH: f64 = 0.02;
/// A monotone cubic has no end slope above three times the secant beside it
/// (Fritsch & Carlson, SIAM J. Numer. Anal. 17, 1980).
const STEEPEST: f64 = 3.0;

/// A monotone curve through the points, with a nozzle of the same effective area
/// on either side of them.
///
/// - Between first and last knot: monotone cubic (`pchip`) of flow over ξ.
/// - Below the first: `W₁ ψ(r)/ψ(r₁)`, r = p₄/p₃, through zero at equal pressures
///   with a finite slope.
/// - Above the last: `W_n ψ(r)/ψ(r_n)`, constant once that nozzle chokes.
///
/// The cubic takes over the slopes of the nozzles at its ends, as far as they
/// leave it monotone.
#[derive(Debug, Clone)]
pub(super) struct FlowCurve {
    xi: Vec<f64>,
    flow: Vec<f64>,
    slope: Vec<f64>,
    /// Lowest and highest measured expansion ratio.
    range: [f64; 2],
    /// Outlet over inlet pressure at the first and the last knot.
    ends: [f64; 2],
    /// Flow function there.
    psi: [f64; 2],
    gamma: f64,
}

impl FlowCurve {
    /// A curve through the points of all lines of a vane position, of which
    /// there is at least one with at least three points.
    pub fn new(lines: &[TurbineSpeedLine], gamma: f64) -> Self {
        let mut points: Vec<[f64; 2]> = lines
            .iter()
            .flat_map(|line| &line.points)
            .map(|p| [p.expansion_ratio, p.corrected_flow_kg_s])
            .collect();
        points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
        let range = [points[0][0], points[points.len() - 1][0]];
        let (xi, flow) = knots(&points);
        let ends = [xi[0], xi[xi.len() - 1]].map(|xi| 1.0 - xi * xi);
        let nozzle = ends.map(|r| flow_function_with_slope(r, gamma));
        let slope = if xi.len() > 1 {
            slopes(&xi, &flow, nozzle.map(|n| n.slope / n.flow_function))
        } else {
            vec![0.0]
        };
        Self {
            xi,
            flow,
            slope,
            range,
            ends,
            psi: nozzle.map(|n| n.flow_function),
            gamma,
        }
    }

    /// Lowest and highest measured expansion ratio.
    pub fn range(&self) -> [f64; 2] {
        self.range
    }

    /// Corrected flow \[kg/s\] and its slope over the outlet/inlet pressure, for
    /// 0 to 1.
    pub fn at(&self, outlet: f64) -> [f64; 2] {
        let last = self.xi.len() - 1;
        if outlet >= self.ends[0] {
            return self.nozzle(outlet, self.flow[0] / self.psi[0]);
        }
        if outlet <= self.ends[1] {
            return self.nozzle(outlet, self.flow[last] / self.psi[1]);
        }
        let xi = (1.0 - outlet).sqrt();
        let (flow, slope) = pchip::evaluate(&self.xi, &self.flow, &self.slope, xi);
        // dξ/dr = −1/(2ξ)
        [flow, -0.5 * slope / xi]
    }

    fn nozzle(&self, outlet: f64, flow_per_psi: f64) -> [f64; 2] {
        let nozzle = flow_function_with_slope(outlet, self.gamma);
        [
            flow_per_psi * nozzle.flow_function,
            flow_per_psi * nozzle.slope,
        ]
    }
}

/// Means of neighbouring points over ξ, with flows that do not fall: where they
/// do, the falling ones are levelled to their mean (pool adjacent violators;
/// Barlow, Bartholomew, Bremner & Brunk, Statistical Inference under Order
/// Restrictions, 1972, from memory).
fn knots(points: &[[f64; 2]]) -> (Vec<f64>, Vec<f64>) {
    // ξ, flow, number of points
    let mut pooled: Vec<[f64; 3]> = Vec::new();
    let mut begin = f64::NEG_INFINITY;
    for point in points {
        let xi = (1.0 - 1.0 / point[0]).sqrt();
        match pooled.last_mut() {
            Some([mean_xi, mean_flow, count]) if xi - begin < KNOT_WIDTH => {
                *count += 1.0;
                *mean_xi += (xi - *mean_xi) / *count;
                *mean_flow += (point[1] - *mean_flow) / *count;
            }
            _ => {
                begin = xi;
                pooled.push([xi, point[1], 1.0]);
            }
        }
    }
    let xi = pooled.iter().map(|knot| knot[0]).collect();
    // flow, points, knots
    let mut levels: Vec<(f64, f64, usize)> = Vec::new();
    for [_, flow, count] in pooled {
        let mut level = (flow, count, 1);
        while let Some(&(before, points, knots)) = levels.last()
            && before > level.0
        {
            let all = points + level.1;
            let mean = (before * points + level.0 * level.1) / all;
            level = (mean, all, knots + level.2);
            levels.pop();
        }
        levels.push(level);
    }
    let flow = levels
        .into_iter()
        .flat_map(|(flow, _, knots)| std::iter::repeat_n(flow, knots))
        .collect();
    (xi, flow)
}

/// Slopes over ξ at the knots; at the ends those of the nozzles, given as
/// `ψ'/ψ` over the pressure ratio.
fn slopes(xi: &[f64], flow: &[f64], nozzle: [f64; 2]) -> Vec<f64> {
    let mut slope = pchip::slopes(xi, flow, EndSlope::Level, EndSlope::Level);
    let last = xi.len() - 1;
    for (knot, beside, relative) in [(0, 1, nozzle[0]), (last, last - 1, nozzle[1])] {
        let secant = (flow[beside] - flow[knot]) / (xi[beside] - xi[knot]);
        // r = 1 − ξ²
        let wanted = -2.0 * xi[knot] * flow[knot] * relative;
        slope[knot] = wanted.min(STEEPEST * secant);
    }
    slope
}
