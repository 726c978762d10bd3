//! Reads a turbine map from its text form and names everything that is wrong
//! with it.

use super::check;
use super::{TurbineMapData, TurbineSpeedLine, VaneLines, VanePoint};
use crate::map::text::header::{HeaderLines, positive};
use crate::map::text::table::{Layout, Row, not_a_text, read_rows};
use crate::map::text::{MapProblem, problem};
use crate::quantity::{Fraction, Length};

/// Header keys of a turbine map beyond those of every map.
const KEYS: [&str; 2] = ["wheel_diameter", "burned"];

/// Columns with the units that each may carry.
const LAYOUT: Layout<5> = Layout {
    columns: [
        ("vane_position", &["%", "-"]),
        ("corrected_speed", &["rpm", "krpm"]),
        ("expansion_ratio", &["-"]),
        ("corrected_flow", &["kg/s", "g/s", "kg/h", "lb/min"]),
        ("efficiency", &["-", "%"]),
    ],
    needs: "the table needs vane position, speed, expansion ratio, flow and efficiency",
};

impl TurbineMapData {
    /// Reads a map; all problems of the text are returned at once.
    pub fn parse(text: &str) -> Result<Self, Vec<MapProblem>> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        if let Some(refused) = not_a_text(text) {
            return Err(vec![refused]);
        }
        let mut problems = Vec::new();
        let lines = HeaderLines::collect(text, &KEYS, &mut problems);
        let header = lines.common(&mut problems);
        let machine = read_machine(&lines, &mut problems);
        let table = read_rows(&LAYOUT, text, &mut problems);
        let grouped = table.map(|table| {
            let (vanes, places) = group(&table.rows);
            let place = |v: usize, l: usize, p: usize| {
                let vane: Option<&Vec<Vec<usize>>> = places.get(v);
                vane.and_then(|lines| lines.get(l)?.get(p))
                    .copied()
                    .unwrap_or(table.names_line)
            };
            // A figure that could not be read is not a number here: that has been said.
            let found = table.placed(check::vanes(&vanes, place), &problems);
            problems.extend(found);
            (vanes, places)
        });
        match (header, machine, grouped) {
            (Some(header), Some((wheel_diameter_m, burned)), Some((vanes, places)))
                if problems.is_empty() =>
            {
                Ok(Self {
                    header,
                    wheel_diameter_m,
                    burned,
                    vanes,
                    places,
                })
            }
            _ => {
                problems.sort_by_key(|p| (p.line, p.column));
                Err(problems)
            }
        }
    }
}

/// Wheel diameter \[m\] and share of combustion products.
fn read_machine(lines: &HeaderLines, problems: &mut Vec<MapProblem>) -> Option<(f64, f64)> {
    let diameter = lines.required(KEYS[0], problems);
    let diameter_m =
        diameter.and_then(|entry| positive::<Length>(entry, KEYS[0], Length::m, problems));
    let burned = lines.optional(KEYS[1]);
    let share = match burned {
        None => Some(0.0),
        Some((line, text)) => match text.parse::<Fraction>() {
            Ok(fraction) => Some(fraction.fraction()),
            Err(error) => {
                let read = format!("{text:?}");
                problems.push(problem(
                    line,
                    None,
                    KEYS[1],
                    read,
                    error.allowed(),
                    error.hint(),
                ));
                None
            }
        },
    };
    let (diameter_m, share) = (diameter_m?, share?);
    let line = |entry: Option<(usize, &str)>| entry.map_or(1, |(line, _)| line);
    problems.extend(check::header(
        line(diameter),
        line(burned),
        diameter_m,
        share,
    ));
    Some((diameter_m, share))
}

/// Rows of equal vane position that follow each other make a position, rows of
/// equal speed inside it a line. A figure that is not a number starts nothing new.
fn group(rows: &[Row<5>]) -> (Vec<VaneLines>, Vec<Vec<Vec<usize>>>) {
    let mut vanes: Vec<VaneLines> = Vec::new();
    let mut places: Vec<Vec<Vec<usize>>> = Vec::new();
    for row in rows {
        let [vane_closed, speed, expansion_ratio, flow, efficiency] = row.figures;
        let same = vanes
            .last()
            .is_some_and(|vane| vane_closed.is_nan() || vane.vane_closed == vane_closed);
        if !same {
            vanes.push(VaneLines {
                vane_closed,
                lines: Vec::new(),
            });
            places.push(Vec::new());
        }
        let (Some(vane), Some(place)) = (vanes.last_mut(), places.last_mut()) else {
            continue;
        };
        let same = vane
            .lines
            .last()
            .is_some_and(|line| speed.is_nan() || line.corrected_speed_rad_s == speed);
        if !same {
            vane.lines.push(TurbineSpeedLine {
                corrected_speed_rad_s: speed,
                points: Vec::new(),
            });
            place.push(Vec::new());
        }
        if let (Some(line), Some(place)) = (vane.lines.last_mut(), place.last_mut()) {
            line.points.push(VanePoint {
                expansion_ratio,
                corrected_flow_kg_s: flow,
                efficiency,
            });
            place.push(row.line);
        }
    }
    (vanes, places)
}
