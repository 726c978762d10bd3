//! The cells of a ceiling, sorted by ambient.
use super::units::{Units, fixed};
use crate::judgement::{CeilingCell, CeilingResult};

/// The cells of one ambient, in the order of engine speed.
pub(super) struct Group<'a> {
    pub(super) cells: Vec<&'a CeilingCell>,
    /// Whether another group shares the altitude.
    twin: bool,
}

impl Group<'_> {
    /// What tells this group from the others: altitude or pressure, and the
    /// temperature where it is needed.
    pub(super) fn name(&self, units: Units) -> String {
        let Some(cell) = self.cells.first() else {
            return String::new();
        };
        let mut name = match cell.altitude_m {
            Some(altitude_m) => units.altitude_text(altitude_m),
            None => format!(
                "{} {} abs",
                fixed(units.pressure(cell.ambient_kpa_abs), 1),
                units.pressure_unit()
            ),
        };
        if self.twin {
            name.push_str(&format!(", {}", temperature(units, cell.ambient_k)));
        }
        name
    }

    /// The same, saying that a pressure is that of the ambient.
    pub(super) fn place(&self, units: Units) -> String {
        match self.cells.first() {
            Some(cell) if cell.altitude_m.is_none() => format!("{} ambient", self.name(units)),
            _ => self.name(units),
        }
    }
}

/// The groups that share an altitude or a pressure, together.
pub(super) fn by_altitude(result: &CeilingResult) -> Vec<Vec<Group<'_>>> {
    let place = |group: &Group<'_>| {
        let cell = group.cells.first()?;
        let given = cell.altitude_m.is_none().then_some(cell.ambient_kpa_abs);
        Some((cell.altitude_m, given))
    };
    let mut together: Vec<Vec<Group<'_>>> = Vec::new();
    for group in groups(result) {
        match together.iter_mut().find(|t| place(&t[0]) == place(&group)) {
            Some(same) => same.push(group),
            None => together.push(vec![group]),
        }
    }
    together
}

/// A temperature as text.
pub(super) fn temperature(units: Units, temperature_k: f64) -> String {
    format!(
        "{} {}",
        fixed(units.temperature(temperature_k), 0),
        units.temperature_unit()
    )
}

/// Sorts the cells by ambient, in the order in which the ambients first come.
pub(super) fn groups(result: &CeilingResult) -> Vec<Group<'_>> {
    let place = |cell: &CeilingCell| {
        (
            cell.altitude_m,
            cell.altitude_m.is_none().then_some(cell.ambient_kpa_abs),
        )
    };
    let mut groups: Vec<Group<'_>> = Vec::new();
    for cell in &result.cells {
        let same = groups.iter_mut().find(|group| {
            group.cells.first().is_some_and(|first| {
                place(first) == place(cell) && first.ambient_k == cell.ambient_k
            })
        });
        match same {
            Some(group) => group.cells.push(cell),
            None => groups.push(Group {
                cells: vec![cell],
                twin: false,
            }),
        }
    }
    for group in &mut groups {
        group
            .cells
            .sort_by(|a, b| a.engine_speed_rpm.total_cmp(&b.engine_speed_rpm));
    }
    for index in 0..groups.len() {
        let own = groups[index].cells.first().map(|cell| place(cell));
        groups[index].twin = groups.iter().enumerate().any(|(other, group)| {
            other != index && group.cells.first().map(|cell| place(cell)) == own
        });
    }
    groups
}
