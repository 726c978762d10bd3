//! Monotone piecewise cubic interpolation: no overshoot between the points.
//!
//! Slopes after Fritsch & Butland, SIAM J. Sci. Stat. Comput. 5 (1984): the
//! weighted harmonic mean of the neighbouring secants, zero where they differ
//! in sign. The curve has a continuous first derivative and is monotone
//! wherever the points are.

/// What the curve does at one of its ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EndSlope {
    /// Three-point estimate, limited so that the curve keeps its shape.
    Shape,
    /// Level, so that a constant can follow with a continuous slope.
    Level,
}

/// Slopes at the points `(x, y)`; `x` strictly rising, at least two points.
pub fn slopes(x: &[f64], y: &[f64], first: EndSlope, last: EndSlope) -> Vec<f64> {
    let count = x.len();
    let width: Vec<f64> = x.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let secant: Vec<f64> = y
        .windows(2)
        .zip(&width)
        .map(|(pair, width)| (pair[1] - pair[0]) / width)
        .collect();
    let mut slope = vec![0.0; count];
    for i in 1..count - 1 {
        let (left, right) = (secant[i - 1], secant[i]);
        if left * right > 0.0 {
            let weight_left = 2.0 * width[i] + width[i - 1];
            let weight_right = width[i] + 2.0 * width[i - 1];
            slope[i] = (weight_left + weight_right) / (weight_left / left + weight_right / right);
        }
    }
    if first == EndSlope::Shape {
        slope[0] = match secant.get(1) {
            Some(next) => end_slope(width[0], width[1], secant[0], *next),
            None => secant[0],
        };
    }
    if last == EndSlope::Shape {
        slope[count - 1] = match count {
            2 => secant[0],
            _ => end_slope(
                width[count - 2],
                width[count - 3],
                secant[count - 2],
                secant[count - 3],
            ),
        };
    }
    slope
}

/// One-sided three-point slope, limited to keep the shape of the end interval.
fn end_slope(width: f64, next_width: f64, secant: f64, next_secant: f64) -> f64 {
    let slope = ((2.0 * width + next_width) * secant - width * next_secant) / (width + next_width);
    if slope * secant <= 0.0 {
        0.0
    } else if secant * next_secant <= 0.0 && slope.abs() > 3.0 * secant.abs() {
        3.0 * secant
    } else {
        slope
    }
}

/// Value and slope of the cubic through two points with given slopes, at `x`.
pub fn hermite(x: f64, x0: f64, x1: f64, y: [f64; 2], slope: [f64; 2]) -> (f64, f64) {
    let width = x1 - x0;
    let c = hermite_coefficients(y, [slope[0] * width, slope[1] * width]);
    let u = (x - x0) / width;
    (
        c[0] + u * (c[1] + u * (c[2] + u * c[3])),
        (c[1] + u * (2.0 * c[2] + u * 3.0 * c[3])) / width,
    )
}

/// Power coefficients over 0..1 of the cubic with end values and end slopes
/// (slopes per unit of the interval).
pub fn hermite_coefficients(y: [f64; 2], slope: [f64; 2]) -> [f64; 4] {
    let rise = y[1] - y[0];
    [
        y[0],
        slope[0],
        3.0 * rise - 2.0 * slope[0] - slope[1],
        slope[0] + slope[1] - 2.0 * rise,
    ]
}

/// Value and slope of the piecewise curve at `x`, which must lie inside.
pub fn evaluate(points: &[f64], y: &[f64], slope: &[f64], x: f64) -> (f64, f64) {
    let i = points[1..points.len() - 1].partition_point(|&p| p <= x);
    hermite(
        x,
        points[i],
        points[i + 1],
        [y[i], y[i + 1]],
        [slope[i], slope[i + 1]],
    )
}
