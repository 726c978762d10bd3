//! What must hold between the points of a turbine map before anything can be
//! computed with it.

use super::{TurbineSpeedLine, VaneLines, VanePoint};
use crate::map::text::figures::{self, line_itself, rpm};
use crate::map::text::{MapProblem, problem};

/// Bounds of an expansion ratio, the lower one excluded.
const EXPANSION_RATIO: [f64; 2] = [1.0, 20.0];
/// Bounds of a wheel's diameter \[m\].
const DIAMETER_M: [f64; 2] = [0.01, 0.5];
/// Fewest vane positions.
const FEWEST_VANES: usize = 2;
/// Fewest points of a line.
const FEWEST_POINTS: usize = 3;

/// Checks diameter and gas; the lines are those of the text where they stand.
pub(super) fn header(
    diameter_line: usize,
    burned_line: usize,
    wheel_diameter_m: f64,
    burned: f64,
) -> Vec<MapProblem> {
    let mut problems = Vec::new();
    let [low, high] = DIAMETER_M;
    if !(wheel_diameter_m >= low && wheel_diameter_m <= high) {
        problems.push(problem(
            diameter_line,
            None,
            "wheel_diameter",
            format!("{} mm", wheel_diameter_m * 1e3),
            format!("{} mm to {} mm", low * 1e3, high * 1e3),
            "the outer diameter of the turbine wheel that was measured",
        ));
    }
    if !(0.0..=1.0).contains(&burned) {
        problems.push(problem(
            burned_line,
            None,
            "burned",
            format!("{} %", burned * 100.0),
            "0 % to 100 %".to_owned(),
            "0 % is air, 100 % the exhaust of a flame that uses all of its oxygen",
        ));
    }
    problems
}

/// Checks all vane positions; `place` gives the text line of a point.
pub(super) fn vanes(
    vanes: &[VaneLines],
    place: impl Fn(usize, usize, usize) -> usize,
) -> Vec<MapProblem> {
    let mut problems = Vec::new();
    if vanes.len() < FEWEST_VANES {
        problems.push(problem(
            place(0, 0, 0),
            None,
            "vane_position",
            format!("{} vane position(s)", vanes.len()),
            format!("at least {FEWEST_VANES} vane positions"),
            "interpolation between vane positions needs more of them; repeat the position in \
             each of its rows",
        ));
    }
    for (v, vane) in vanes.iter().enumerate() {
        let closed = vane.vane_closed;
        if !(0.0..=1.0).contains(&closed) {
            problems.push(problem(
                place(v, 0, 0),
                Some(1),
                "vane_position",
                format!("{} %", percent(closed)),
                "0 % to 100 % closed".to_owned(),
                "0 % is open, 100 % the closed stop; per cent needs the column \
                 `vane_position [%]`",
            ));
        }
        for (l, line) in vane.lines.iter().enumerate() {
            problems.extend(points(line, |p| place(v, l, p)));
        }
        for (l, pair) in vane.lines.windows(2).enumerate() {
            let [slow, fast] = [&pair[0], &pair[1]].map(|line| line.corrected_speed_rad_s);
            if fast <= slow {
                problems.push(problem(
                    place(v, l + 1, 0),
                    Some(2),
                    "corrected_speed",
                    format!("{} rpm after {} rpm", rpm(fast), rpm(slow)),
                    "speed rising from line to line at one vane position".to_owned(),
                    "write the slowest line first and keep the rows of one line together",
                ));
            }
        }
    }
    for (v, pair) in vanes.windows(2).enumerate() {
        let [a, b] = [&pair[0], &pair[1]].map(|vane| vane.vane_closed);
        if b <= a {
            problems.push(problem(
                place(v + 1, 0, 0),
                Some(1),
                "vane_position",
                format!("{} % after {} %", percent(b), percent(a)),
                "vane position rising, the most open one first".to_owned(),
                "vane position counts closed; keep the rows of one position together",
            ));
        }
    }
    problems
}

/// Checks one line by itself.
fn points(line: &TurbineSpeedLine, place: impl Fn(usize) -> usize) -> Vec<MapProblem> {
    let mut problems = line_itself(
        place(0),
        (2, line.corrected_speed_rad_s),
        (line.points.len(), FEWEST_POINTS),
        "vane position and speed",
    );
    for (p, point) in line.points.iter().enumerate() {
        problems.extend(figures_of(point, place(p)));
    }
    for (p, pair) in line.points.windows(2).enumerate() {
        if pair[1].expansion_ratio <= pair[0].expansion_ratio {
            problems.push(problem(
                place(p + 1),
                Some(3),
                "expansion_ratio",
                format!(
                    "{} after {}",
                    pair[1].expansion_ratio, pair[0].expansion_ratio
                ),
                "expansion ratio rising from row to row inside a line".to_owned(),
                "write each line from its lowest expansion ratio to its highest",
            ));
        }
    }
    problems
}

/// Checks the figures of one point.
fn figures_of(point: &VanePoint, line: usize) -> Vec<MapProblem> {
    let mut problems = Vec::new();
    let [low, high] = EXPANSION_RATIO;
    if !(point.expansion_ratio > low && point.expansion_ratio <= high) {
        problems.push(problem(
            line,
            Some(3),
            "expansion_ratio",
            format!("{}", point.expansion_ratio),
            format!("above {low}, at most {high}"),
            "inlet total pressure over outlet static pressure",
        ));
    }
    problems.extend(figures::flow(
        line,
        4,
        point.corrected_flow_kg_s,
        "the way to zero is modelled",
    ));
    problems.extend(figures::efficiency(line, 5, point.efficiency));
    problems
}

/// Vane position in per cent, rounded for messages.
pub(in crate::map) fn percent(share: f64) -> f64 {
    (share * 1e5).round() / 1e3
}
