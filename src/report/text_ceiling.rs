//! The ceiling as text: how high the command may go, where, and what binds.
use super::body::{Body, data_words};
use super::groups::{Group, by_altitude, groups, temperature};
use super::names;
use super::table::{Cell, Paint, number, words};
use super::text_band::band_story;
use super::units::{Units, fixed, signed};
use crate::judgement::{CeilingCell, CeilingResult, TableProof, Verdict};

/// The ceiling in at most `width` columns.
pub fn ceiling_text(result: &CeilingResult, units: Units, width: usize, colour: bool) -> String {
    ceiling_body(result, units).text(width.max(40), colour)
}

/// The ceiling: the answer, what to do, the cells of each ambient.
pub(crate) fn ceiling_body(result: &CeilingResult, units: Units) -> Body {
    let mut text = Body::default();
    text.head(&result.scenario, &[data_words(&result.data)]);
    text.gap();
    let complete = result
        .cells
        .iter()
        .all(|cell| cell.feasible && cell.ceiling_kpa_abs.is_some());
    let (word, paint) = match complete {
        true => ("A ceiling everywhere", Paint::Good),
        false => ("Not at full fuel everywhere", Paint::Bad),
    };
    text.verdict(word, verdict(result, units), paint);
    for sentence in story(result, units) {
        text.plain(sentence);
    }
    text.heading("What to do");
    for advice in advice(result, units) {
        text.item("-", advice);
    }
    for groups in by_altitude(result) {
        let Some(first) = groups.first().and_then(|group| group.cells.first()) else {
            continue;
        };
        let mut title = match first.altitude_m {
            Some(altitude_m) => format!(
                "At {} ({} {} abs",
                units.altitude_text(altitude_m),
                fixed(units.pressure(first.ambient_kpa_abs), 1),
                units.pressure_unit()
            ),
            None => format!(
                "At {} {} abs (",
                fixed(units.pressure(first.ambient_kpa_abs), 1),
                units.pressure_unit()
            ),
        };
        if groups.len() == 1 {
            let comma = if first.altitude_m.is_some() { ", " } else { "" };
            title.push_str(&format!("{comma}{}", temperature(units, first.ambient_k)));
        }
        title.push(')');
        text.heading(title);
        cells_table(&mut text, &groups, units);
    }
    text.gap();
    text.paragraph(units_line(units), Paint::Faint);
    text.plain("An estimate, not a measurement; a wheel can burst. See the cautions.");
    text
}

fn lowest<'a>(cells: impl Iterator<Item = &'a CeilingCell>) -> Option<(&'a CeilingCell, f64)> {
    cells
        .filter_map(|cell| cell.ceiling_kpa_abs.map(|kpa| (cell, kpa)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

fn both(units: Units, abs_kpa: f64, gauge_kpa: Option<f64>) -> String {
    match gauge_kpa {
        Some(gauge_kpa) => format!(
            "{} abs ({} gauge)",
            units.pressure_text(abs_kpa),
            units.pressure_text(gauge_kpa)
        ),
        None => format!("{} abs", units.pressure_text(abs_kpa)),
    }
}

pub(super) fn cell_place(cell: &CeilingCell, units: Units) -> String {
    let rpm = fixed(cell.engine_speed_rpm, 0);
    match cell.altitude_m {
        Some(altitude_m) => format!("{rpm} rpm, {}", units.altitude_text(altitude_m)),
        None => format!(
            "{rpm} rpm, {} abs ambient",
            units.pressure_text(cell.ambient_kpa_abs)
        ),
    }
}

/// Lowest and highest ceiling of some cells as text.
fn range_text(units: Units, low_kpa: f64, high_kpa: f64) -> String {
    if high_kpa - low_kpa < 0.5 {
        return format!("{} abs", units.pressure_text(low_kpa));
    }
    format!(
        "{} to {} abs",
        fixed(units.pressure(low_kpa), units.pressure_decimals()),
        units.pressure_text(high_kpa)
    )
}

fn highest_kpa<'a>(cells: impl Iterator<Item = &'a CeilingCell>) -> f64 {
    cells
        .filter_map(|cell| cell.ceiling_kpa_abs)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Where a ceiling that is the same everywhere holds: what was not asked is not said.
fn at_speeds(result: &CeilingResult) -> String {
    let speeds = result.cells.iter().map(|cell| cell.engine_speed_rpm);
    let low = speeds.clone().fold(f64::INFINITY, f64::min);
    let high = speeds.fold(f64::NEG_INFINITY, f64::max);
    if low == high {
        format!("at {} rpm", fixed(low, 0))
    } else {
        format!(
            "at every engine speed asked for ({} to {} rpm)",
            fixed(low, 0),
            fixed(high, 0)
        )
    }
}

fn verdict(result: &CeilingResult, units: Units) -> String {
    let without = result
        .cells
        .iter()
        .filter(|cell| cell.ceiling_kpa_abs.is_none())
        .count();
    let derated = result
        .cells
        .iter()
        .filter(|cell| cell.fuel_scale < 1.0)
        .count();
    let Some((cell, kpa)) = lowest(result.cells.iter()) else {
        return "No command holds every limit at any engine speed asked for.".to_owned();
    };
    let groups = groups(result);
    let high_kpa = highest_kpa(result.cells.iter());
    let mut text = if high_kpa - kpa < 0.5 {
        format!(
            "Command at most {} {}",
            both(units, kpa, cell.ceiling_kpa_gauge),
            at_speeds(result)
        )
    } else if groups.len() > MOST_TOLD {
        format!(
            "Command at most, depending on engine speed and ambient, {}",
            range_text(units, kpa, high_kpa)
        )
    } else {
        let ranges: Vec<String> = groups
            .iter()
            .filter_map(|group| {
                let cells = || group.cells.iter().copied();
                let (_, low_kpa) = lowest(cells())?;
                let range = range_text(units, low_kpa, highest_kpa(cells()));
                Some(format!("{range} at {}", group.name(units)))
            })
            .collect();
        format!(
            "Command at most, depending on engine speed, {}",
            ranges.join(", ")
        )
    };
    text.push_str(match (without, derated) {
        (0, 0) => ": every limit holds.",
        (0, _) => ": every limit holds, in some cells only with less fuel.",
        _ => ". Some cells have no window at all.",
    });
    text
}

/// The lowest ceiling of one ambient, and what limits it.
fn lowest_of(group: &Group<'_>, units: Units) -> String {
    let Some((low, low_kpa)) = lowest(group.cells.iter().copied()) else {
        return format!("At {}: no window at any speed.", group.name(units));
    };
    format!(
        "At {} the lowest ceiling is {} at {} rpm{}.",
        group.name(units),
        both(units, low_kpa, low.ceiling_kpa_gauge),
        fixed(low.engine_speed_rpm, 0),
        where_limited(low)
    )
}

fn where_limited(cell: &CeilingCell) -> String {
    cell.binding_above
        .as_deref()
        .map(|name| format!(", where the limit is: {}", names::limit_label(name)))
        .unwrap_or_default()
}

/// The lowest and the highest ceiling of many ambients.
fn extremes(groups: &[Group<'_>], units: Units) -> Vec<String> {
    let mut cells: Vec<(f64, &CeilingCell, &Group<'_>)> = groups
        .iter()
        .flat_map(|group| group.cells.iter().map(move |cell| (*cell, group)))
        .filter_map(|(cell, group)| Some((cell.ceiling_kpa_abs?, cell, group)))
        .collect();
    cells.sort_by(|a, b| a.0.total_cmp(&b.0));
    let tell = |which: &str, (kpa, cell, group): &(f64, &CeilingCell, &Group<'_>)| {
        format!(
            "The {which} ceiling is {} at {}, {} rpm{}.",
            both(units, *kpa, cell.ceiling_kpa_gauge),
            group.name(units),
            fixed(cell.engine_speed_rpm, 0),
            where_limited(cell)
        )
    };
    let ends = [("lowest", cells.first()), ("highest", cells.last())];
    ends.into_iter()
        .filter_map(|(which, cell)| Some(tell(which, cell?)))
        .collect()
}

/// What a cell lacks: a window, or a window at all the fuel.
fn lacking(group: &Group<'_>, cell: &CeilingCell, units: Units) -> Option<String> {
    let place = format!(
        "{} rpm, {}",
        fixed(cell.engine_speed_rpm, 0),
        group.place(units)
    );
    if cell.ceiling_kpa_abs.is_some() {
        return (cell.fuel_scale < 1.0).then(|| {
            format!(
                "At {place} a window exists only with fuel ×{}.",
                fixed(cell.fuel_scale, 2)
            )
        });
    }
    let mut text = format!("No window at {place}");
    let above = cell.binding_above.as_deref();
    if above == Some("command_unreachable")
        && let Some(kpa) = cell.reachable_kpa_abs
    {
        text.push_str(&format!(
            ": the vanes bring at most {} abs",
            units.pressure_text(kpa)
        ));
    } else if let Some(below) = &cell.binding_below {
        text.push_str(&format!(
            ": {} needs more boost than {} allows",
            names::limit_label(below),
            above.map_or("the other limits", names::limit_label)
        ));
    } else if let Some(above) = above {
        text.push_str(&format!(
            ", not even with the least fuel that was tried: what breaks is {}",
            names::limit_label(above)
        ));
    }
    text.push('.');
    Some(text)
}

/// Most ambients, and most cells that lack something, told one by one.
const MOST_TOLD: usize = 4;

fn story(result: &CeilingResult, units: Units) -> Vec<String> {
    let mut story = Vec::new();
    let groups = groups(result);
    if groups.len() > MOST_TOLD {
        story.extend(extremes(&groups, units));
    } else {
        story.extend(groups.iter().map(|group| lowest_of(group, units)));
    }
    if let Some((_, kpa)) = lowest(result.cells.iter()).filter(|_| result.cells.len() > 1) {
        story.push(format!(
            "One flat command for all these cells: at most {} abs.",
            units.pressure_text(kpa)
        ));
    }
    let told: Vec<String> = groups
        .iter()
        .flat_map(|group| group.cells.iter().map(move |cell| (group, cell)))
        .filter_map(|(group, cell)| lacking(group, cell, units))
        .collect();
    let more = told.len().saturating_sub(MOST_TOLD);
    story.extend(told.into_iter().take(MOST_TOLD));
    if more > 0 {
        story.push(format!(
            "So it is, in one way or the other, in {more} more cells: see the tables."
        ));
    }
    if let Some(kpa) = result.readable_ceiling_kpa_abs {
        story.push(format!(
            "The sensor reads up to {} abs.",
            units.pressure_text(kpa)
        ));
    }
    story.extend(band_story(result, units));
    if let Some(proof) = &result.table_proved {
        story.push(proof_text(proof, units));
    }
    story
}

/// How the ceilings fared as one table.
fn proof_text(proof: &TableProof, units: Units) -> String {
    let driven = format!(
        "Taken as one table and driven through by {},",
        proof.procedure
    );
    if matches!(proof.verdict, Verdict::Held | Verdict::HeldInsideBand) {
        return format!("{driven} it held.");
    }
    let what = if proof.exceeded.is_empty() {
        "it did not hold".to_string()
    } else {
        format!(
            "it went past {}",
            proof.exceeded.join(", ").replace('_', " ")
        )
    };
    match proof.reserve_kpa {
        Some(kpa) => format!(
            "{driven} {what} between the cells; with {} taken off the whole table it held.",
            units.pressure_text(kpa)
        ),
        None => format!("{driven} {what}, and no reserve that was tried made it hold."),
    }
}

fn advice(result: &CeilingResult, units: Units) -> Vec<String> {
    let mut advice = Vec::new();
    if result
        .cells
        .iter()
        .any(|cell| cell.ceiling_kpa_abs.is_some())
    {
        advice.push(
            "Keep the command table at or below the ceiling column, cell by cell, and not below \
             the floor where one is given."
                .to_owned(),
        );
    }
    let pinned = result
        .cells
        .iter()
        .any(|cell| cell.binding_above.as_deref() == Some("pinned_time"));
    if pinned {
        advice.push(
            "The sensor sets the ceiling in some cells: more boost there needs a sensor that \
             reads higher, not a higher command."
                .to_owned(),
        );
    }
    if result.cells.iter().any(|cell| cell.fuel_scale < 1.0) {
        advice.push(
            "Take out fuel where the table says ×; no boost command makes up for it.".to_owned(),
        );
    }
    let unreachable = result
        .cells
        .iter()
        .any(|cell| cell.binding_above.as_deref() == Some("command_unreachable"));
    if unreachable {
        advice.push(
            "Where the binding limit is \"out of reach\" a higher command only closes the vanes: \
             command no more than the ceiling."
                .to_owned(),
        );
    }
    if result.band.is_some() {
        advice.push(
            "Until the engine is measured, command no more than the low end of the band."
                .to_owned(),
        );
    }
    advice.push(format!(
        "One step of {} above the ceiling a limit fails: leave yourself room for what you cannot measure.",
        pressure_step(units, result.step_kpa)
    ));
    advice
}

fn pressure_step(units: Units, step_kpa: f64) -> String {
    format!(
        "{} {}",
        fixed(
            units.pressure(step_kpa),
            if units == Units::Us { 2 } else { 1 }
        ),
        units.pressure_unit()
    )
}

fn cells_table(text: &mut Body, groups: &[Group<'_>], units: Units) {
    let places = units.pressure_decimals();
    let cells = || groups.iter().flat_map(|group| group.cells.iter());
    let derated = cells().any(|cell| cell.fuel_scale < 1.0);
    let banded = cells().any(|cell| cell.band.is_some());
    let mut columns = vec![
        number("rpm", 0),
        number("floor", 1),
        number("ceiling", 0),
        number("gauge", 4),
        words("binds", 0),
        words("then", 2),
        number("left", 2),
        number("krpm", 3),
        number("vane", 6),
        number("drive", 5),
    ];
    if banded {
        columns.insert(4, number("band", 1));
    }
    if derated {
        columns.push(number("fuel", 0));
    }
    if groups.len() > 1 {
        columns.insert(0, words("air", 0));
    }
    let rows: Vec<Vec<Cell>> = cells()
        .map(|cell| {
            let pressure = |kpa: Option<f64>| {
                kpa.map_or_else(|| "-".to_owned(), |kpa| fixed(units.pressure(kpa), places))
            };
            let next = cell.next_above.as_deref();
            let left = next
                .and_then(|next| cell.margins.iter().find(|margin| margin.limit == next))
                .map_or_else(
                    || "-".to_owned(),
                    |margin| format!("{} %", signed(margin.headroom_pct, 0)),
                );
            let ceiling = match cell.ceiling_kpa_abs {
                Some(_) => Cell {
                    text: pressure(cell.ceiling_kpa_abs),
                    paint: Paint::Bold,
                },
                None => Cell {
                    text: "none".to_owned(),
                    paint: Paint::Bad,
                },
            };
            let mut row: Vec<Cell> = vec![
                fixed(cell.engine_speed_rpm, 0).into(),
                pressure(cell.floor_kpa_abs).into(),
                ceiling,
                pressure(cell.ceiling_kpa_gauge).into(),
                cell.binding_above
                    .as_deref()
                    .map_or("-", names::limit_label)
                    .into(),
                next.map_or("-", names::limit_label).into(),
                left.into(),
                cell.shaft_speed_rpm
                    .map_or_else(|| "-".to_owned(), |rpm| fixed(rpm / 1000.0, 1))
                    .into(),
                cell.vane_closed_pct
                    .map_or_else(|| "-".to_owned(), |pct| fixed(pct, 0))
                    .into(),
                pressure(cell.drive_pressure_kpa_abs).into(),
            ];
            if banded {
                let band = cell.band.map_or_else(
                    || "-".to_owned(),
                    |band| {
                        let end = |kpa: Option<f64>| match kpa {
                            Some(_) => pressure(kpa),
                            None => "none".to_owned(),
                        };
                        format!("{}-{}", end(band.low_kpa_abs), end(band.high_kpa_abs))
                    },
                );
                row.insert(4, band.into());
            }
            if derated {
                let fuel = if cell.fuel_scale < 1.0 {
                    format!("×{}", fixed(cell.fuel_scale, 2))
                } else {
                    String::new()
                };
                row.push(Cell {
                    text: fuel,
                    paint: Paint::Bad,
                });
            }
            if groups.len() > 1 {
                // told once, where its cells begin
                let begins = groups.iter().any(|group| {
                    let first = group.cells.first();
                    first.is_some_and(|first| std::ptr::eq(*first, *cell))
                });
                let air = begins.then(|| temperature(units, cell.ambient_k));
                row.insert(0, air.unwrap_or_default().into());
            }
            row
        })
        .collect();
    text.table(&columns, rows);
}

fn units_line(units: Units) -> String {
    let unit = units.pressure_unit();
    format!(
        "Pressures in {unit} abs, gauge in {unit} above ambient; vane in % closed; drive is the \
         pressure ahead of the turbine; krpm is shaft speed; left is the headroom to the limit \
         that would bind next."
    )
}
