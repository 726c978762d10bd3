//! Speed lines on a grid that is uniform along each line.
//!
//! Along a line runs `beta`: 0 where the stable branch begins, 1 at the last
//! measured point, linear in flow. Tabulated are similarity quantities, which
//! vary little with speed: flow over relative speed `w / n` and isentropic head
//! over its square `h / n²`, with `h = PR^((κ−1)/κ) − 1`, κ = 1.4 (a fixed
//! change of variable: it cancels when the ratio is formed again). Both
//! directions are cubic Hermite with shape-preserving slopes, so the field has
//! continuous first derivatives; at the lowest and highest speed the slopes
//! across speed are level, so that similarity continues them smoothly.

use crate::map::SpeedLine;
use crate::map::pchip::{self, EndSlope};

/// Cells along a line.
const CELLS: usize = 32;
/// Steps of the first-guess table.
const GUESS: usize = 32;
/// Bins that find the interval between two speeds.
const BINS: usize = 64;

/// Head from pressure ratio: `PR^(2/7) − 1`.
pub(super) fn head_of_ratio(ratio: f64) -> f64 {
    ratio.powf(2.0 / 7.0) - 1.0
}

/// Pressure ratio from head, `(1 + h)^3.5`; a vacuum is the lowest outlet.
#[inline]
pub(super) fn ratio_of_head(head: f64) -> f64 {
    let t = (1.0 + head).max(0.0);
    t * t * t * t.sqrt()
}

/// Pressure ratio from head with its first and second derivative.
#[inline]
pub(super) fn ratio_with_derivatives(head: f64) -> [f64; 3] {
    let t = (1.0 + head).max(0.0);
    let t1 = t * t.sqrt();
    let t2 = t1 * t;
    [t2 * t, 3.5 * t2, 8.75 * t1]
}

/// One measured line in similarity quantities, resampled over beta.
struct Row {
    speed: f64,
    surge_flow: f64,
    choke_flow: f64,
    head: Vec<f64>,
    head_slope: Vec<f64>,
    efficiency: Vec<f64>,
    efficiency_slope: Vec<f64>,
}

/// Edges of the lines between two measured speeds: cubics over the interval.
#[derive(Debug, Clone)]
struct Interval {
    lowest: f64,
    inverse_width: f64,
    surge_flow: [f64; 4],
    choke_flow: [f64; 4],
    surge_head: [f64; 4],
    choke_head: [f64; 4],
}

/// The tabulated map.
#[derive(Debug, Clone)]
pub(super) struct Grid {
    /// Corrected speed of the fastest line \[rad/s\]; relative speed is over it.
    pub highest_rad_s: f64,
    /// Corrected speed of the slowest line over that of the fastest.
    pub lowest: f64,
    intervals: Vec<Interval>,
    bins: Vec<u32>,
    /// Per interval and cell: coefficients, `[power of speed][power of beta]`.
    head: Vec<[[f64; 4]; 4]>,
    efficiency: Vec<[[f64; 4]; 4]>,
    /// Per row: beta over the square root of the fallen share of the ratio.
    guess: Vec<[f64; GUESS + 1]>,
}

/// The map at one speed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slice<'a> {
    grid: &'a Grid,
    interval: usize,
    across: f64,
    /// Relative corrected speed.
    pub n: f64,
    /// Corrected flow where the stable branch begins \[kg/s\].
    pub surge_flow: f64,
    /// Corrected flow of the last measured point \[kg/s\].
    pub choke_flow: f64,
    /// Head where the stable branch begins.
    pub surge_head: f64,
    /// Head at the last measured point.
    pub choke_head: f64,
}

/// The cell of a line that was looked at last.
#[derive(Debug, Clone, Copy)]
pub(super) struct NearCell {
    cell: usize,
    coefficients: [f64; 4],
}

impl Default for NearCell {
    fn default() -> Self {
        Self {
            cell: usize::MAX,
            coefficients: [0.0; 4],
        }
    }
}

impl Grid {
    /// Resamples checked lines.
    pub fn new(lines: &[SpeedLine]) -> Self {
        let highest_rad_s = lines.last().map_or(1.0, |line| line.corrected_speed_rad_s);
        let rows: Vec<Row> = lines.iter().map(|line| row(line, highest_rad_s)).collect();
        // Slopes across speed are shape-preserving per beta, which does not
        // quite prove that every line between two measured ones falls with
        // flow. Where one does not, flatter slopes across speed are taken; with
        // level ones a line between is a mean of its neighbours and must fall.
        for scale in [1.0, 0.5, 0.0] {
            let grid = Self::with_slopes(&rows, highest_rad_s, scale);
            if scale == 0.0 || grid.falls_everywhere() {
                return grid;
            }
        }
        unreachable!("the last scale always returns")
    }

    fn with_slopes(rows: &[Row], highest_rad_s: f64, scale: f64) -> Self {
        let speeds: Vec<f64> = rows.iter().map(|row| row.speed).collect();
        let edge = |value: &dyn Fn(&Row) -> f64| across(&speeds, rows, value, scale);
        let surge_flow = edge(&|row| row.surge_flow);
        let choke_flow = edge(&|row| row.choke_flow);
        let surge_head = edge(&|row| row.head[0]);
        let choke_head = edge(&|row| row.head[CELLS]);
        let intervals: Vec<Interval> = (0..rows.len() - 1)
            .map(|i| Interval {
                lowest: speeds[i],
                inverse_width: 1.0 / (speeds[i + 1] - speeds[i]),
                surge_flow: surge_flow[i],
                choke_flow: choke_flow[i],
                surge_head: surge_head[i],
                choke_head: choke_head[i],
            })
            .collect();
        let bins = (0..BINS)
            .map(|bin| {
                let n = bin as f64 / (BINS - 1) as f64;
                (speeds[1..rows.len() - 1].partition_point(|&s| s <= n)) as u32
            })
            .collect();
        let head = cells(&speeds, rows, |r| &r.head, |r| &r.head_slope, scale);
        let efficiency = cells(
            &speeds,
            rows,
            |r| &r.efficiency,
            |r| &r.efficiency_slope,
            scale,
        );
        Self {
            highest_rad_s,
            lowest: speeds[0],
            intervals,
            bins,
            head,
            efficiency,
            guess: rows.iter().map(guess).collect(),
        }
    }

    /// Whether head falls with flow on lines between the measured ones.
    fn falls_everywhere(&self) -> bool {
        let shares = [0.1, 0.25, 0.4, 0.5, 0.6, 0.75, 0.9];
        let along = [0.02, 0.25, 0.5, 0.75, 0.98];
        self.intervals.iter().all(|interval| {
            shares.iter().all(|share| {
                let slice = self.slice(interval.lowest + share / interval.inverse_width);
                slice.choke_flow > slice.surge_flow
                    && (0..CELLS).all(|cell| {
                        along
                            .iter()
                            .all(|u| slice.head((cell as f64 + u) / CELLS as f64)[1] < 0.0)
                    })
            })
        })
    }

    /// The map at a relative corrected speed of zero or more.
    #[inline]
    pub fn slice(&self, n: f64) -> Slice<'_> {
        let mut i = self.bins[index(n * (BINS - 1) as f64, BINS - 1)] as usize;
        while i + 1 < self.intervals.len() && self.intervals[i + 1].lowest <= n {
            i += 1;
        }
        let interval = &self.intervals[i];
        // Outside the measured speeds similarity holds: the tables stay.
        let t = ((n - interval.lowest) * interval.inverse_width).clamp(0.0, 1.0);
        let square = n * n;
        Slice {
            grid: self,
            interval: i,
            across: t,
            n,
            surge_flow: cubic(&interval.surge_flow, t) * n,
            choke_flow: cubic(&interval.choke_flow, t) * n,
            surge_head: cubic(&interval.surge_head, t) * square,
            choke_head: cubic(&interval.choke_head, t) * square,
        }
    }
}

impl Slice<'_> {
    /// Head with its first and second derivative over beta, beta from 0 to 1.
    #[inline]
    pub fn head(&self, beta: f64) -> [f64; 3] {
        self.head_near(beta, &mut NearCell::default())
    }

    /// The same, with the coefficients of the cell kept for the next call.
    #[inline]
    pub fn head_near(&self, beta: f64, near: &mut NearCell) -> [f64; 3] {
        const PER_BETA: f64 = CELLS as f64;
        let position = beta * PER_BETA;
        let cell = index(position, CELLS - 1);
        if cell != near.cell {
            *near = NearCell {
                cell,
                coefficients: self.field(&self.grid.head, cell),
            };
        }
        let c = &near.coefficients;
        let u = position - cell as f64;
        let square = self.n * self.n;
        [
            cubic(c, u) * square,
            (c[1] + u * (2.0 * c[2] + u * (3.0 * c[3]))) * (PER_BETA * square),
            (2.0 * c[2] + u * (6.0 * c[3])) * (PER_BETA * PER_BETA * square),
        ]
    }

    /// Efficiency, beta from 0 to 1.
    #[inline]
    pub fn efficiency(&self, beta: f64) -> f64 {
        let position = beta * CELLS as f64;
        let cell = index(position, CELLS - 1);
        let coefficients = self.field(&self.grid.efficiency, cell);
        cubic(&coefficients, position - cell as f64)
    }

    /// Efficiency where the stable branch begins, and its slope over beta.
    pub fn surge_efficiency(&self) -> [f64; 2] {
        let c = self.field(&self.grid.efficiency, 0);
        [c[0], c[1] * CELLS as f64]
    }

    /// Cubic over a cell at this speed.
    #[inline]
    fn field(&self, cells: &[[[f64; 4]; 4]], cell: usize) -> [f64; 4] {
        let a = &cells[self.interval * CELLS + cell];
        let t = self.across;
        let (t2, t3) = (t * t, t * t * t);
        std::array::from_fn(|k| (a[0][k] + t * a[1][k]) + (t2 * a[2][k] + t3 * a[3][k]))
    }

    /// About the beta at which a share of the line's fall in pressure ratio is
    /// reached; outside 0..1 an end.
    #[inline]
    pub fn beta_of_fall(&self, fallen: f64) -> f64 {
        let position = fallen.clamp(0.0, 1.0).sqrt() * GUESS as f64;
        let k = index(position, GUESS - 1);
        let u = position - k as f64;
        let (low, high) = (
            &self.grid.guess[self.interval],
            &self.grid.guess[self.interval + 1],
        );
        let low = low[k] + u * (low[k + 1] - low[k]);
        let high = high[k] + u * (high[k + 1] - high[k]);
        low + self.across * (high - low)
    }
}

/// Whole part of a position that is not negative, at most `last`.
#[inline]
fn index(position: f64, last: usize) -> usize {
    // By way of i32: one machine instruction on every processor.
    ((position as i32).max(0) as usize).min(last)
}

#[inline]
fn cubic(c: &[f64; 4], t: f64) -> f64 {
    c[0] + t * (c[1] + t * (c[2] + t * c[3]))
}

/// A measured line over beta.
fn row(line: &SpeedLine, highest_rad_s: f64) -> Row {
    let n = line.corrected_speed_rad_s / highest_rad_s;
    let points = &line.points[line.stable_from()..];
    let surge_flow = points[0].corrected_flow_kg_s / n;
    let choke_flow = points[points.len() - 1].corrected_flow_kg_s / n;
    let beta: Vec<f64> = points
        .iter()
        .map(|p| (p.corrected_flow_kg_s / n - surge_flow) / (choke_flow - surge_flow))
        .collect();
    let mut head: Vec<f64> = points
        .iter()
        .map(|p| head_of_ratio(p.pressure_ratio) / (n * n))
        .collect();
    // Two points of equal ratio (rounded figures) would leave the flow between
    // them open: let the ratio fall by a part in a million of the head.
    let least_fall = 1e-6 * head[0].abs().max(1e-3);
    for p in 1..head.len() {
        head[p] = head[p].min(head[p - 1] - least_fall);
    }
    let efficiency: Vec<f64> = points.iter().map(|p| p.efficiency).collect();
    let (head, mut head_slope) = resample(&beta, &head);
    let (efficiency, efficiency_slope) = resample(&beta, &efficiency);
    limit_slopes(&head, &mut head_slope);
    Row {
        speed: n,
        surge_flow,
        choke_flow,
        head,
        head_slope,
        efficiency,
        efficiency_slope,
    }
}

/// Values and slopes at the cell borders.
fn resample(beta: &[f64], y: &[f64]) -> (Vec<f64>, Vec<f64>) {
    let slope = pchip::slopes(beta, y, EndSlope::Shape, EndSlope::Shape);
    (0..=CELLS)
        .map(|j| pchip::evaluate(beta, y, &slope, j as f64 / CELLS as f64))
        .unzip()
}

/// Limits slopes so that every cell falls (Fritsch & Carlson, SIAM J. Numer.
/// Anal. 17 (1980): no slope above three times either secant).
fn limit_slopes(y: &[f64], slope: &mut [f64]) {
    for (cell, pair) in y.windows(2).enumerate() {
        let steepest = 3.0 * (pair[1] - pair[0]) * CELLS as f64;
        for j in [cell, cell + 1] {
            slope[j] = slope[j].clamp(steepest.min(0.0), 0.0);
        }
    }
}

/// Cubics across speed of one quantity, one per interval.
fn across(speeds: &[f64], rows: &[Row], value: &dyn Fn(&Row) -> f64, scale: f64) -> Vec<[f64; 4]> {
    let y: Vec<f64> = rows.iter().map(value).collect();
    let slope = pchip::slopes(speeds, &y, EndSlope::Level, EndSlope::Level);
    (0..rows.len() - 1)
        .map(|i| {
            let width = (speeds[i + 1] - speeds[i]) * scale;
            pchip::hermite_coefficients([y[i], y[i + 1]], [slope[i] * width, slope[i + 1] * width])
        })
        .collect()
}

/// Bicubic coefficients of one field.
fn cells(
    speeds: &[f64],
    rows: &[Row],
    value: fn(&Row) -> &Vec<f64>,
    slope: fn(&Row) -> &Vec<f64>,
    scale: f64,
) -> Vec<[[f64; 4]; 4]> {
    let values: Vec<Vec<[f64; 4]>> = (0..=CELLS)
        .map(|j| across(speeds, rows, &|row| value(row)[j], scale))
        .collect();
    let slopes: Vec<Vec<[f64; 4]>> = (0..=CELLS)
        .map(|j| across(speeds, rows, &|row| slope(row)[j] / CELLS as f64, scale))
        .collect();
    let mut cells = Vec::with_capacity((rows.len() - 1) * CELLS);
    for i in 0..rows.len() - 1 {
        for j in 0..CELLS {
            let mut cell = [[0.0; 4]; 4];
            for (k, power) in cell.iter_mut().enumerate() {
                *power = pchip::hermite_coefficients(
                    [values[j][i][k], values[j + 1][i][k]],
                    [slopes[j][i][k], slopes[j + 1][i][k]],
                );
            }
            cells.push(cell);
        }
    }
    cells
}

/// Beta at equal steps of the square root of the fallen share of the ratio:
/// straight near a rounded peak, where beta over the ratio itself is not.
fn guess(row: &Row) -> [f64; GUESS + 1] {
    let square = row.speed * row.speed;
    let ratio: Vec<f64> = row
        .head
        .iter()
        .map(|head| ratio_of_head(head * square))
        .collect();
    std::array::from_fn(|k| {
        let fallen = (k as f64 / GUESS as f64).powi(2);
        let wanted = ratio[0] + fallen * (ratio[CELLS] - ratio[0]);
        let j = ratio[1..CELLS].partition_point(|&r| r > wanted);
        (j as f64 + (ratio[j] - wanted) / (ratio[j] - ratio[j + 1])) / CELLS as f64
    })
}
