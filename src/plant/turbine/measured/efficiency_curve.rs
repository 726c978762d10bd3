//! Efficiency over blade-speed ratio at one measured speed.

use crate::map::pchip;
use crate::map::{TurbineMapData, TurbineSpeedLine};

/// How far a line that ends while its efficiency still rises may go on rising:
/// slope over efficiency per blade-speed ratio at the last point. The parabola
/// beyond then peaks no more than 5 % above that point.
const STEEPEST_RISE: f64 = 0.35;
/// A monotone cubic has no slope above three times a secant beside it (Fritsch &
/// Carlson, SIAM J. Numer. Anal. 17, 1980).
const STEEPEST: f64 = 3.0;
/// Slope at a point that is higher or lower than both its neighbours, times the
/// wider interval beside it: the curve then passes no more than a quarter of
/// this above its points, and 0.95, the highest that a map may hold, stays below 1.
const ROUND_PEAK: f64 = 0.16;

/// What is got out of a drop.
#[derive(Debug, Clone, Copy)]
pub(super) struct Work {
    /// Work per flow \[J/kg\].
    pub specific: f64,
    /// Outside the measured points.
    pub outside: bool,
}

/// A curve through the points of one line, with parabolas through standstill on
/// either side of them.
///
/// - Between the points: cubic over the blade-speed ratio ν with the slopes of the
///   parabolas through three neighbours, bounded so that the curve is monotone
///   where the points are and a peak stays a round one.
/// - Beyond them: `η = a ν + b ν²`, without efficiency at standstill, with value
///   and slope of the cubic at its end: the parabola of a wheel whose torque
///   falls straight with speed.
///
/// The cubic's end slopes are bounded so that the parabolas are those of a
/// turbine: toward standstill efficiency falls and by no more than in proportion
/// to ν; toward high ν it falls, or rises on by at most 5 %.
#[derive(Debug, Clone)]
pub(super) struct EfficiencyCurve {
    ratio: Vec<f64>,
    efficiency: Vec<f64>,
    slope: Vec<f64>,
    /// `[a, b]` below and above the points.
    beyond: [[f64; 2]; 2],
}

impl EfficiencyCurve {
    /// A curve of a line of at least three points.
    pub fn new(data: &TurbineMapData, line: &TurbineSpeedLine) -> Self {
        // At one speed the ratio falls as the expansion rises.
        let (ratio, efficiency): (Vec<f64>, Vec<f64>) = line
            .points
            .iter()
            .rev()
            .map(|p| {
                let ratio = data.blade_speed_ratio(line.corrected_speed_rad_s, p.expansion_ratio);
                (ratio, p.efficiency)
            })
            .unzip();
        let mut slope = slopes(&ratio, &efficiency);
        let last = ratio.len() - 1;
        let proportional = |end: usize| efficiency[end] / ratio[end];
        slope[0] = slope[0].clamp(0.0, proportional(0));
        slope[last] = slope[last].min(STEEPEST_RISE * proportional(last));
        // where a bound turned the slope against the points: level is both
        for (end, beside) in [(0, 1), (last, last - 1)] {
            let secant = (efficiency[beside] - efficiency[end]) / (ratio[beside] - ratio[end]);
            if slope[end] * secant < 0.0 {
                slope[end] = 0.0;
            }
            slope[end] = slope[end].clamp(-STEEPEST * secant.abs(), STEEPEST * secant.abs());
        }
        let beyond = [0, last].map(|end| {
            let straight = proportional(end);
            [
                2.0 * straight - slope[end],
                (slope[end] - straight) / ratio[end],
            ]
        });
        Self {
            ratio,
            efficiency,
            slope,
            beyond,
        }
    }

    /// Lowest and highest measured blade-speed ratio.
    pub fn range(&self) -> [f64; 2] {
        [self.ratio[0], self.ratio[self.ratio.len() - 1]]
    }

    /// Work per flow \[J/kg\] from a drop \[J/kg\] at a blade-speed ratio, with the
    /// tip speed over √2 \[m/s\]. Written for the parabolas so that it stays finite
    /// as the drop goes to zero: ν Δh = (U/√2) √Δh and ν² Δh = U²/2.
    pub fn work(&self, blade_speed_ratio: f64, drop_j_kg: f64, tip_over_root_2: f64) -> f64 {
        let [low, high] = self.range();
        let beyond = if blade_speed_ratio < low {
            self.beyond[0]
        } else if blade_speed_ratio > high {
            self.beyond[1]
        } else {
            return drop_j_kg
                * pchip::evaluate(
                    &self.ratio,
                    &self.efficiency,
                    &self.slope,
                    blade_speed_ratio,
                )
                .0;
        };
        let [a, b] = beyond;
        tip_over_root_2 * (a * drop_j_kg.sqrt() + b * tip_over_root_2)
    }
}

/// Slopes of the parabolas through each point and its neighbours (through the
/// first and last three at the ends), bounded.
fn slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let last = x.len() - 1;
    let width = |i: usize| x[i + 1] - x[i];
    let secant = |i: usize| (y[i + 1] - y[i]) / width(i);
    // slope of the parabola through i − 1, i and i + 1 at its middle
    let middle = |i: usize| {
        let (left, right) = (width(i - 1), width(i));
        (right * secant(i - 1) + left * secant(i)) / (left + right)
    };
    (0..=last)
        .map(|i| {
            if i == 0 {
                return 2.0 * secant(0) - middle(1);
            }
            if i == last {
                return 2.0 * secant(last - 1) - middle(last - 1);
            }
            let (left, right) = (secant(i - 1), secant(i));
            let bound = if left * right > 0.0 {
                STEEPEST * left.abs().min(right.abs())
            } else {
                ROUND_PEAK / width(i - 1).max(width(i))
            };
            middle(i).clamp(-bound, bound)
        })
        .collect()
}
