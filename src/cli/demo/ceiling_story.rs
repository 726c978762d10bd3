//! The ceiling of the demonstration in few lines.
use super::over::Shown;
use crate::judgement::{CeilingCell, CeilingResult, Verdict};
use crate::report::Body;
use crate::report::names;
use crate::report::table::{Cell, Column, Paint, number, words};
use crate::report::units::fixed;

/// Table and what it says.
pub fn tell(result: &CeilingResult, shown: &Shown) -> Body {
    let places = places(result);
    let mut text = Body::default();
    text.plain(format!(
        "The highest command that holds every limit at that engine speed, in {} abs, and the \
         limit that breaks first above it. Each was tried at rest, through a load step and \
         through a full pull, with the sensor off by its stated error either way.",
        shown.units.pressure_unit()
    ));
    text.gap();
    side_by_side(&mut text, result, &places, shown);
    text.gap();
    for sentence in sentences(result, &places, shown) {
        text.plain(sentence);
    }
    text
}

/// The altitudes, in the order of the cells.
fn places(result: &CeilingResult) -> Vec<Option<f64>> {
    let mut places = Vec::new();
    for cell in &result.cells {
        if !places.contains(&cell.altitude_m) {
            places.push(cell.altitude_m);
        }
    }
    places
}

fn cell_at(result: &CeilingResult, rpm: f64, place: Option<f64>) -> Option<&CeilingCell> {
    result
        .cells
        .iter()
        .find(|cell| cell.engine_speed_rpm == rpm && cell.altitude_m == place)
}

/// A row for each engine speed, two columns for each altitude.
fn side_by_side(text: &mut Body, result: &CeilingResult, places: &[Option<f64>], shown: &Shown) {
    let mut speeds: Vec<f64> = result.cells.iter().map(|c| c.engine_speed_rpm).collect();
    speeds.sort_by(f64::total_cmp);
    speeds.dedup();
    let mut columns: Vec<Column> = vec![number("engine", 0)];
    let mut head: Vec<Cell> = vec!["rpm".into()];
    for &place in places {
        columns.extend([number("", 0), words("", 0)]);
        head.extend(["".into(), Cell::from(place_text(place, shown))]);
    }
    let rows: Vec<Vec<Cell>> = speeds
        .iter()
        .map(|&rpm| {
            let mut row: Vec<Cell> = vec![fixed(rpm, 0).into()];
            for &place in places {
                row.extend(two_cells(cell_at(result, rpm, place), shown));
            }
            row
        })
        .collect();
    let all: Vec<Vec<Cell>> = std::iter::once(head).chain(rows).collect();
    text.table_below(&columns, all, 1);
}

fn two_cells(cell: Option<&CeilingCell>, shown: &Shown) -> [Cell; 2] {
    let Some(cell) = cell else {
        return ["-".into(), "".into()];
    };
    let binds = cell.binding_above.as_deref().map_or("", names::limit_label);
    let Some(kpa) = cell.ceiling_kpa_abs else {
        let none = Cell {
            text: "none".to_owned(),
            paint: Paint::Bad,
        };
        return [none, binds.into()];
    };
    let units = shown.units;
    let value = fixed(units.pressure(kpa), units.pressure_decimals());
    let less_fuel = if cell.fuel_scale < 1.0 {
        format!(" (fuel ×{})", fixed(cell.fuel_scale, 2))
    } else {
        String::new()
    };
    let paint = if cell.feasible {
        Paint::Good
    } else {
        Paint::Bad
    };
    [
        Cell { text: value, paint },
        format!("{binds}{less_fuel}").into(),
    ]
}

/// An altitude as it heads a column.
pub fn place_text(place: Option<f64>, shown: &Shown) -> String {
    place.map_or_else(
        || "here".to_owned(),
        |altitude_m| format!("at {}", shown.units.altitude_text(altitude_m)),
    )
}

fn sentences(result: &CeilingResult, places: &[Option<f64>], shown: &Shown) -> Vec<String> {
    let mut sentences = Vec::new();
    let derated = result.cells.iter().filter(|cell| cell.fuel_scale < 1.0);
    if derated.count() > 0 {
        sentences.push(
            "Where the table says fuel ×, no command holds at full fuel: the figure holds with \
             that share of it."
                .to_owned(),
        );
    }
    let lowest = |place: Option<f64>| {
        let cells = result.cells.iter().filter(|c| c.altitude_m == place);
        let values: Vec<f64> = cells.filter_map(|c| c.ceiling_kpa_abs).collect();
        (!values.is_empty()).then(|| values.into_iter().fold(f64::INFINITY, f64::min))
    };
    let flat: Vec<String> = places
        .iter()
        .filter_map(|&place| {
            let kpa = lowest(place)?;
            let text = shown.units.pressure_text(kpa);
            Some(format!("{text} abs {}", place_text(place, shown)))
        })
        .collect();
    if let Some(proof) = &result.table_proved
        && proof.verdict != Verdict::Held
    {
        let reserve = proof.reserve_kpa.map_or_else(
            || "and no reserve that was tried made it hold".to_owned(),
            |kpa| {
                let text = shown.units.pressure_text(kpa);
                format!("taking {text} off the whole table makes it hold")
            },
        );
        sentences.push(format!(
            "Driven through as one table it does not quite hold: {reserve}."
        ));
    }
    if !flat.is_empty() {
        sentences.push(format!(
            "One flat command for all these speeds: at most {}.",
            flat.join(", ")
        ));
    }
    sentences
}
