//! A drive up a road as text: what it was, and the ceilings along it.
use super::body::Body;
use super::names;
use super::table::{Cell, Paint, number, words};
use super::units::{Units, fixed};
use crate::judgement::RoadResult;

/// What was driven, and the ceilings along it.
pub(super) fn road_body(text: &mut Body, road: &RoadResult, units: Units) {
    text.heading("Road");
    let drive = format!(
        "Driven {} km and {} up, with {} gear changes; the engine turned {} rpm in the mean. \
         Of the crankshaft's work {} % went into height.",
        fixed(road.distance_m * 1e-3, 1),
        units.altitude_text(road.climbed_m),
        road.gear_changes,
        fixed(road.mean_engine_speed_rpm, 0),
        fixed(
            100.0 * road.work.potential_kj / road.work.crankshaft_kj.max(f64::MIN_POSITIVE),
            0
        ),
    );
    text.plain(drive);
    let Some(first) = road.cells.first() else {
        return;
    };
    text.plain(verdict(road, units));
    let title = format!(
        "Safe ceiling along the road, at {} rpm",
        fixed(first.engine_speed_rpm, 0)
    );
    text.heading(title);
    cells(text, road, units);
}

/// The command against the ceiling, and the derate.
fn verdict(road: &RoadResult, units: Units) -> String {
    let mut text = match road.command_above_ceiling_from_m {
        Some(m) => format!(
            "From {} on the command stood above the safe ceiling, which counts with load steps, \
             gear changes and the stated sensor error.",
            units.altitude_text(m)
        ),
        None => "The command stayed below the safe ceiling all along.".to_owned(),
    };
    let derated = road
        .cells
        .iter()
        .rev()
        .take_while(|cell| cell.fuel_scale < 1.0 || cell.ceiling_kpa_abs.is_none())
        .last();
    if let Some(altitude_m) = derated.and_then(|cell| cell.altitude_m) {
        text.push_str(&format!(
            " From {} on no command is safe at full fuel: take fuel out there.",
            units.altitude_text(altitude_m)
        ));
    }
    text
}

fn cells(text: &mut Body, road: &RoadResult, units: Units) {
    let columns = [
        number("altitude", 0),
        number("ambient", 1),
        number("ceiling", 0),
        number("gauge", 2),
        words("binds", 0),
        number("krpm", 3),
        number("fuel", 0),
    ];
    let places = units.pressure_decimals();
    let pressure = |kpa: Option<f64>| {
        kpa.map_or_else(|| "-".to_owned(), |kpa| fixed(units.pressure(kpa), places))
    };
    let rows: Vec<Vec<Cell>> = road
        .cells
        .iter()
        .map(|cell| {
            let shut = cell.ceiling_kpa_abs.is_none();
            let fuel = if shut {
                "none".to_owned()
            } else if cell.fuel_scale < 1.0 {
                format!("×{}", fixed(cell.fuel_scale, 2))
            } else {
                "full".to_owned()
            };
            vec![
                units.altitude_text(cell.altitude_m.unwrap_or(0.0)).into(),
                pressure(Some(cell.ambient_kpa_abs)).into(),
                Cell {
                    text: if shut {
                        "none".to_owned()
                    } else {
                        pressure(cell.ceiling_kpa_abs)
                    },
                    paint: if shut { Paint::Bad } else { Paint::Bold },
                },
                pressure(cell.ceiling_kpa_gauge).into(),
                cell.binding_above
                    .as_deref()
                    .map_or("-", names::limit_label)
                    .into(),
                cell.shaft_speed_rpm
                    .map_or_else(|| "-".to_owned(), |rpm| fixed(rpm / 1000.0, 1))
                    .into(),
                fuel.into(),
            ]
        })
        .collect();
    text.table(&columns, rows);
}
