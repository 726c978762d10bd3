//! Reads a map from its text form and names everything that is wrong with it.

use super::check;
use super::{CompressorMapData, MapPoint, RawSpeedLines, SpeedLine};
use crate::map::text::MapProblem;
use crate::map::text::header::HeaderLines;
use crate::map::text::table::{Layout, Row, not_a_text, read_rows};

/// Columns in the order of [`MapPoint`], with the units that each may carry.
const LAYOUT: Layout<4> = Layout {
    columns: [
        ("corrected_speed", &["rpm", "krpm"]),
        ("corrected_flow", &["kg/s", "g/s", "kg/h", "lb/min"]),
        ("pressure_ratio", &["-"]),
        ("efficiency", &["-", "%"]),
    ],
    needs: "the table needs speed, flow, pressure ratio and efficiency",
};

impl RawSpeedLines {
    /// Reads a map of any shape; everything that makes it unreadable is
    /// returned at once, with what else is wrong with it.
    pub fn parse(text: &str) -> Result<Self, Vec<MapProblem>> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        if let Some(refused) = not_a_text(text) {
            return Err(vec![refused]);
        }
        let mut problems = Vec::new();
        let header = HeaderLines::collect(text, &[], &mut problems).common(&mut problems);
        let Some(table) = read_rows(&LAYOUT, text, &mut problems) else {
            problems.sort_by_key(|p| (p.line, p.column));
            return Err(problems);
        };
        let (lines, places) = group(&table.rows);
        let place = |l: usize, p: usize| {
            let rows: Option<&Vec<usize>> = places.get(l);
            rows.and_then(|rows| rows.get(p))
                .copied()
                .unwrap_or(table.names_line)
        };
        let wrong = check::lines(&lines, place);
        // A figure that could not be read is not a number here: that has been said.
        let figures = table.placed(wrong.figures, &problems);
        let shape = table.placed(wrong.shape, &problems);
        problems.extend(figures);
        match header {
            Some(header) if problems.is_empty() => Ok(Self {
                header,
                lines,
                places,
                shape,
            }),
            _ => {
                problems.extend(shape);
                problems.sort_by_key(|p| (p.line, p.column));
                Err(problems)
            }
        }
    }
}

impl CompressorMapData {
    /// Reads a map; all problems of the text are returned at once.
    pub fn parse(text: &str) -> Result<Self, Vec<MapProblem>> {
        Self::from_raw(RawSpeedLines::parse(text)?)
    }
}

/// Rows of equal speed that follow each other make a line.
fn group(rows: &[Row<4>]) -> (Vec<SpeedLine>, Vec<Vec<usize>>) {
    let mut lines: Vec<SpeedLine> = Vec::new();
    let mut places: Vec<Vec<usize>> = Vec::new();
    for row in rows {
        let [speed, flow, ratio, efficiency] = row.figures;
        let same = lines
            .last()
            .is_some_and(|line| speed.is_nan() || line.corrected_speed_rad_s == speed);
        if !same {
            lines.push(SpeedLine {
                corrected_speed_rad_s: speed,
                points: Vec::new(),
            });
            places.push(Vec::new());
        }
        if let (Some(line), Some(place)) = (lines.last_mut(), places.last_mut()) {
            line.points.push(MapPoint {
                corrected_flow_kg_s: flow,
                pressure_ratio: ratio,
                efficiency,
            });
            place.push(row.line);
        }
    }
    (lines, places)
}
