//! The cells of a ceiling as panels of engine speed and altitude, and where the
//! binding limit changes between neighbours.
use super::canvas::{Area, Point};
use crate::judgement::{CeilingCell, CeilingResult};
use crate::report::groups::temperature;
use crate::report::units::{Units, fixed};

/// What is told of a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind<'a> {
    /// The limit of this name binds.
    Limit(&'a str),
    /// The search ended without meeting a limit.
    NothingBinds,
    /// No command holds.
    NoWindow,
    /// The result has no such cell.
    NotAsked,
}

/// Where a cell stands upwards: altitude, or pressure where there is none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Height {
    AltitudeM(f64),
    PressureKpa(f64),
}

impl Height {
    fn of(cell: &CeilingCell) -> Self {
        match cell.altitude_m {
            Some(m) => Height::AltitudeM(m),
            None => Height::PressureKpa(cell.ambient_kpa_abs),
        }
    }

    /// Rises with the altitude.
    fn rising(self) -> (u8, f64) {
        match self {
            Height::AltitudeM(m) => (0, m),
            Height::PressureKpa(kpa) => (1, -kpa),
        }
    }
}

/// The cells of one ambient temperature above or below the usual.
pub(super) struct Panel<'a> {
    /// Engine speeds, rising \[rpm\].
    pub(super) columns: Vec<f64>,
    /// Heights, rising.
    pub(super) rows: Vec<Height>,
    /// Row by row from the lowest.
    cells: Vec<Option<&'a CeilingCell>>,
}

/// Sorts the cells into panels: the coldest at each speed and altitude into the
/// first, the next into the second.
pub(super) fn panels(result: &CeilingResult) -> Vec<Panel<'_>> {
    let known = |cell: &&CeilingCell| {
        cell.engine_speed_rpm.is_finite() && Height::of(cell).rising().1.is_finite()
    };
    let mut sorted: Vec<&CeilingCell> = result.cells.iter().filter(known).collect();
    sorted.sort_by(|a, b| a.ambient_k.total_cmp(&b.ambient_k));
    let mut columns: Vec<f64> = sorted.iter().map(|cell| cell.engine_speed_rpm).collect();
    columns.sort_by(f64::total_cmp);
    columns.dedup();
    let mut rows: Vec<Height> = sorted.iter().map(|cell| Height::of(cell)).collect();
    rows.sort_by(|a, b| {
        let (a, b) = (a.rising(), b.rising());
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    rows.dedup();
    let mut panels: Vec<Panel<'_>> = Vec::new();
    for cell in sorted {
        let column = columns.iter().position(|rpm| *rpm == cell.engine_speed_rpm);
        let row = rows.iter().position(|row| *row == Height::of(cell));
        let (Some(column), Some(row)) = (column, row) else {
            continue;
        };
        let index = row * columns.len() + column;
        match panels.iter_mut().find(|panel| panel.cells[index].is_none()) {
            Some(panel) => panel.cells[index] = Some(cell),
            None => {
                let mut cells = vec![None; columns.len() * rows.len()];
                cells[index] = Some(cell);
                panels.push(Panel {
                    columns: columns.clone(),
                    rows: rows.clone(),
                    cells,
                });
            }
        }
    }
    panels
}

impl<'a> Panel<'a> {
    pub(super) fn cell(&self, column: usize, row: usize) -> Option<&'a CeilingCell> {
        self.cells[row * self.columns.len() + column]
    }

    pub(super) fn kind(&self, column: usize, row: usize) -> Kind<'a> {
        kind(self.cell(column, row))
    }

    pub(super) fn holds(&self, wanted: Kind<'_>) -> bool {
        self.cells.iter().any(|cell| kind(*cell) == wanted)
    }

    pub(super) fn derated(&self) -> bool {
        let mut cells = self.cells.iter().flatten();
        cells.any(|cell| cell.fuel_scale < 1.0)
    }

    /// The temperature at the lowest place, which tells panels apart.
    pub(super) fn name(&self, units: Units) -> String {
        let first = (0..self.cells.len())
            .find_map(|index| self.cells[index].map(|cell| (index / self.columns.len(), cell)));
        first.map_or_else(String::new, |(row, cell)| {
            let warmth = temperature(units, cell.ambient_k);
            format!("{warmth} at {}", self.row_name(row, units))
        })
    }

    pub(super) fn row_name(&self, row: usize, units: Units) -> String {
        match self.rows[row] {
            Height::AltitudeM(m) => units.altitude_text(m),
            Height::PressureKpa(kpa) => {
                format!(
                    "{} {}",
                    fixed(units.pressure(kpa), 1),
                    units.pressure_unit()
                )
            }
        }
    }

    pub(super) fn rows_name(&self) -> &'static str {
        let altitudes = |row: &Height| matches!(row, Height::AltitudeM(_));
        if self.rows.iter().all(altitudes) {
            "altitude"
        } else if self.rows.iter().any(altitudes) {
            "altitude, or ambient pressure abs"
        } else {
            "ambient pressure, abs"
        }
    }

    /// The part of the picture of a cell: half way to its neighbours.
    pub(super) fn cell_area(&self, area: Area, column: usize, row: usize) -> Area {
        let across = ends(&self.columns);
        let places: Vec<f64> = self.rows.iter().map(|row| row.rising().1).collect();
        let mixed = self
            .rows
            .iter()
            .any(|row| row.rising().0 != self.rows[0].rising().0);
        let up = match mixed {
            true => ends(&(0..places.len()).map(|row| row as f64).collect::<Vec<_>>()),
            false => ends(&places),
        };
        Area::new(
            area.left + across[column] * area.width(),
            area.bottom - up[row + 1] * area.height(),
            area.left + across[column + 1] * area.width(),
            area.bottom - up[row] * area.height(),
        )
    }

    /// The lines between neighbours of which not the same is told.
    pub(super) fn borders(&self, area: Area) -> Vec<(Point, Point)> {
        let mut lines = Vec::new();
        for row in 0..self.rows.len() {
            for column in 0..self.columns.len() {
                let (own, place) = (self.kind(column, row), self.cell_area(area, column, row));
                if column + 1 < self.columns.len() && self.kind(column + 1, row) != own {
                    lines.push(((place.right, place.top), (place.right, place.bottom)));
                }
                if row + 1 < self.rows.len() && self.kind(column, row + 1) != own {
                    lines.push(((place.left, place.top), (place.right, place.top)));
                }
            }
        }
        lines
    }

    /// The cell in the middle of each region of connected cells of one kind.
    pub(super) fn regions(&self) -> Vec<(usize, usize)> {
        let (columns, rows) = (self.columns.len(), self.rows.len());
        let mut seen = vec![false; self.cells.len()];
        let mut hearts = Vec::new();
        for start in 0..self.cells.len() {
            if seen[start] {
                continue;
            }
            seen[start] = true;
            let own = kind(self.cells[start]);
            let (mut region, mut next) = (vec![start], 0);
            while let Some(&index) = region.get(next) {
                next += 1;
                let (column, row) = (index % columns, index / columns);
                let beside = [
                    (column > 0).then(|| index - 1),
                    (column + 1 < columns).then(|| index + 1),
                    (row > 0).then(|| index - columns),
                    (row + 1 < rows).then(|| index + columns),
                ];
                for other in beside.into_iter().flatten() {
                    if !seen[other] && kind(self.cells[other]) == own {
                        seen[other] = true;
                        region.push(other);
                    }
                }
            }
            hearts.push(self.heart(&region));
        }
        hearts
    }

    /// The cell of a region that is nearest to its mean.
    fn heart(&self, region: &[usize]) -> (usize, usize) {
        let columns = self.columns.len();
        let place = |index: usize| ((index % columns) as f64, (index / columns) as f64);
        let count = region.len() as f64;
        let sum = region.iter().map(|index| place(*index));
        let sum = sum.fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
        let mean = (sum.0 / count, sum.1 / count);
        let far = |index: &usize| {
            let (x, y) = place(*index);
            (x - mean.0).hypot(y - mean.1)
        };
        let near = region.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
        near.map_or((0, 0), |index| (index % columns, index / columns))
    }
}

fn kind(cell: Option<&CeilingCell>) -> Kind<'_> {
    match cell {
        None => Kind::NotAsked,
        Some(cell) if cell.ceiling_kpa_abs.is_none() => Kind::NoWindow,
        Some(cell) => cell
            .binding_above
            .as_deref()
            .map_or(Kind::NothingBinds, Kind::Limit),
    }
}

/// Where the cells of rising values end, as shares of the whole: half way between
/// neighbours, at the ends as far out as in.
fn ends(values: &[f64]) -> Vec<f64> {
    let count = values.len();
    if count < 2 {
        return vec![0.0, 1.0];
    }
    let mut ends = vec![values[0] - (values[1] - values[0]) / 2.0];
    ends.extend(values.windows(2).map(|pair| (pair[0] + pair[1]) / 2.0));
    ends.push(values[count - 1] + (values[count - 1] - values[count - 2]) / 2.0);
    let (low, high) = (ends[0], ends[count]);
    let shares = ends.iter().map(|end| (end - low) / (high - low));
    shares.collect()
}
