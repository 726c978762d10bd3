//! What compressor and turbine maps ask of a line and a point alike.
use super::{MapProblem, problem};
use std::f64::consts::PI;

/// Bounds, both excluded, of an isentropic efficiency. Below 1 % no machine is
/// measured: such a figure is a slip of the decimal point.
const EFFICIENCY: [f64; 2] = [0.01, 0.95];

/// Speed in rpm, rounded for messages.
pub(in crate::map) fn rpm(speed_rad_s: f64) -> f64 {
    (speed_rad_s * 30.0 / PI * 1000.0).round() / 1000.0
}

/// Speed and number of points of a line whose first row stands at a text line:
/// (column of the speed, speed \[rad/s\]), (points, fewest of them), and what the
/// rows of one line have in common.
pub(in crate::map) fn line_itself(
    first_row: usize,
    (column, speed_rad_s): (usize, f64),
    (points, fewest): (usize, usize),
    in_common: &str,
) -> Vec<MapProblem> {
    let mut problems = Vec::new();
    let speed_rpm = rpm(speed_rad_s);
    if !(speed_rad_s.is_finite() && speed_rad_s > 0.0) {
        problems.push(problem(
            first_row,
            Some(column),
            "corrected_speed",
            format!("{speed_rpm} rpm"),
            "a finite speed above zero".to_owned(),
            "a line at standstill is not part of a map",
        ));
    }
    if points < fewest {
        problems.push(problem(
            first_row,
            None,
            "corrected_speed",
            format!("a line at {speed_rpm} rpm with {points} point(s)"),
            format!("at least {fewest} points in each line"),
            &format!(
                "all rows of one line must follow each other and carry exactly the same {in_common}"
            ),
        ));
    }
    problems
}

/// A flow \[kg/s\] in a column; `beyond` says what is done instead of points
/// without one.
pub(in crate::map) fn flow(
    row: usize,
    column: usize,
    flow_kg_s: f64,
    beyond: &str,
) -> Option<MapProblem> {
    (!(flow_kg_s.is_finite() && flow_kg_s > 0.0)).then(|| {
        problem(
            row,
            Some(column),
            "corrected_flow",
            format!("{flow_kg_s} kg/s"),
            "a finite flow above zero".to_owned(),
            &format!("leave out points without flow; {beyond}"),
        )
    })
}

/// An isentropic efficiency \[-\] in a column.
pub(in crate::map) fn efficiency(row: usize, column: usize, share: f64) -> Option<MapProblem> {
    let [low, high] = EFFICIENCY;
    (!(share > low && share < high)).then(|| {
        problem(
            row,
            Some(column),
            "efficiency",
            format!("{share}"),
            format!("between {low} and {high}, both excluded"),
            "per cent needs the column `efficiency [%]`; leave out points without a measured \
             efficiency",
        )
    })
}
