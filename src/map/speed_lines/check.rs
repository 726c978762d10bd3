//! What must hold between the points of a map.

use super::{MapPoint, SpeedLine};
use crate::map::text::figures::{self, line_itself, rpm};
use crate::map::text::{MapProblem, problem};

/// Lowest and highest pressure ratio that a point may have.
const PRESSURE_RATIO: [f64; 2] = [0.2, 20.0];
/// Fewest speed lines of a map, and fewest points of a line.
const FEWEST: usize = 3;

/// What is wrong with lines: figures that no map can have, and shapes that
/// cannot be computed with.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Wrong {
    /// Not a number, out of order, out of all bounds, too few.
    pub figures: Vec<MapProblem>,
    /// Sound figures that make no compressor.
    pub shape: Vec<MapProblem>,
}

/// Checks all lines; `place` gives the text line of a point from the indices of
/// its speed line and of the point.
pub(super) fn lines(lines: &[SpeedLine], place: impl Fn(usize, usize) -> usize) -> Wrong {
    let mut wrong = Wrong::default();
    if lines.len() < FEWEST {
        wrong.figures.push(problem(
            place(0, 0),
            None,
            "corrected_speed",
            format!("{} speed line(s)", lines.len()),
            format!("at least {FEWEST} speed lines"),
            "interpolation between speeds needs more lines; repeat the speed in each of its rows",
        ));
    }
    for (l, line) in lines.iter().enumerate() {
        let problems = points(line, |p| place(l, p));
        if problems.is_empty() {
            wrong.shape.extend(shape(line, |p| place(l, p)));
        }
        wrong.figures.extend(problems);
    }
    for (l, pair) in lines.windows(2).enumerate() {
        let [slower, faster] = pair else { continue };
        match speed_order(slower, faster, place(l + 1, 0)) {
            Some(problem) => wrong.figures.push(problem),
            None => wrong
                .shape
                .extend(crossing(slower, faster, |p| place(l + 1, p))),
        }
    }
    wrong
}

/// Checks one line by itself.
fn points(line: &SpeedLine, place: impl Fn(usize) -> usize) -> Vec<MapProblem> {
    let mut problems = line_itself(
        place(0),
        (1, line.corrected_speed_rad_s),
        (line.points.len(), FEWEST),
        "speed",
    );
    for (p, point) in line.points.iter().enumerate() {
        problems.extend(figures_of(point, place(p)));
    }
    for (p, pair) in line.points.windows(2).enumerate() {
        if pair[1].corrected_flow_kg_s <= pair[0].corrected_flow_kg_s {
            problems.push(problem(
                place(p + 1),
                Some(2),
                "corrected_flow",
                format!(
                    "{} kg/s after {} kg/s",
                    pair[1].corrected_flow_kg_s, pair[0].corrected_flow_kg_s
                ),
                "flow rising from row to row inside a line".to_owned(),
                "write each line from surge to choke",
            ));
        }
    }
    problems
}

/// Checks the figures of one point.
fn figures_of(point: &MapPoint, line: usize) -> Vec<MapProblem> {
    let mut problems = Vec::new();
    problems.extend(figures::flow(
        line,
        2,
        point.corrected_flow_kg_s,
        "what lies left of surge is modelled",
    ));
    let [low, high] = PRESSURE_RATIO;
    if !(point.pressure_ratio > low && point.pressure_ratio <= high) {
        problems.push(problem(
            line,
            Some(3),
            "pressure_ratio",
            format!("{}", point.pressure_ratio),
            format!("above {low}, at most {high}"),
            "a ratio of total pressures outlet over inlet, not a boost pressure in bar or kPa",
        ));
    }
    problems.extend(figures::efficiency(line, 4, point.efficiency));
    problems
}

/// Checks that the ratio falls with flow right of the line's peak.
fn shape(line: &SpeedLine, place: impl Fn(usize) -> usize) -> Vec<MapProblem> {
    let points = &line.points;
    let peak = line.stable_from();
    let ratio = |p: usize| points[p].pressure_ratio;
    if peak + 1 == points.len() {
        return vec![problem(
            place(peak),
            Some(3),
            "pressure_ratio",
            format!(
                "{} as the highest of its line at its highest flow",
                ratio(peak)
            ),
            "pressure ratio falling with flow at the choke end".to_owned(),
            "the line must reach beyond its peak toward choke",
        )];
    }
    (peak + 1..points.len())
        .filter(|&p| ratio(p) > ratio(p - 1))
        .map(|p| {
            problem(
                place(p),
                Some(3),
                "pressure_ratio",
                format!("{} after {}", ratio(p), ratio(p - 1)),
                "pressure ratio not rising with flow right of the line's peak".to_owned(),
                "a stable line has one peak; smooth the measured points or remove the outlier",
            )
        })
        .collect()
}

/// Checks the speeds of two neighbouring lines.
fn speed_order(slower: &SpeedLine, faster: &SpeedLine, line: usize) -> Option<MapProblem> {
    let (slow, fast) = (slower.corrected_speed_rad_s, faster.corrected_speed_rad_s);
    (fast <= slow).then(|| {
        problem(
            line,
            Some(1),
            "corrected_speed",
            format!("{} rpm after {} rpm", rpm(fast), rpm(slow)),
            "speed rising from line to line".to_owned(),
            "write the slowest line first and keep the rows of one line together",
        )
    })
}

/// Checks that a line lies above a slower one wherever both have flow.
fn crossing(
    slower: &SpeedLine,
    faster: &SpeedLine,
    place: impl Fn(usize) -> usize,
) -> Option<MapProblem> {
    let (slow, fast) = (slower.corrected_speed_rad_s, faster.corrected_speed_rad_s);
    let crossing = faster.points.iter().enumerate().find(|(_, point)| {
        ratio_at(slower, point.corrected_flow_kg_s)
            .is_some_and(|ratio| point.pressure_ratio <= ratio)
    });
    let crossing = crossing.map(|(p, _)| p).or_else(|| {
        slower.points.iter().find_map(|point| {
            ratio_at(faster, point.corrected_flow_kg_s)
                .filter(|ratio| *ratio <= point.pressure_ratio)
                .map(|_| 0)
        })
    });
    Some(problem(
        place(crossing?),
        Some(3),
        "pressure_ratio",
        format!(
            "line at {} rpm at or below the line at {} rpm at the same flow",
            rpm(fast),
            rpm(slow)
        ),
        "a faster line above the slower one at every common flow".to_owned(),
        "speed lines do not cross; look for a wrong speed or swapped columns",
    ))
}

/// Pressure ratio of a line at a flow, straight between its points; none outside.
pub(in crate::map) fn ratio_at(line: &SpeedLine, flow_kg_s: f64) -> Option<f64> {
    line.points.windows(2).find_map(|pair| {
        let [a, b] = [pair[0].corrected_flow_kg_s, pair[1].corrected_flow_kg_s];
        (a <= flow_kg_s && flow_kg_s <= b && a < b).then(|| {
            let share = (flow_kg_s - a) / (b - a);
            pair[0].pressure_ratio + share * (pair[1].pressure_ratio - pair[0].pressure_ratio)
        })
    })
}
