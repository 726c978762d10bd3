//! The parts of the text of `tables` that are tables themselves, and the knees.
use super::body::Body;
use super::names;
use super::table::{Cell, Column, Paint, number, words};
use super::text_tables::{held, place_name, run_place};
use super::units::{Units, fixed, signed};
use crate::judgement::{GainCurve, ProofRun, TablesResult};

/// Columns of fuel that fit beside each other.
const COLUMNS: usize = 9;

/// A grid in blocks of columns that fit the page.
pub(super) fn grid(
    text: &mut Body,
    result: &TablesResult,
    rows: &[Vec<f64>],
    show: impl Fn(f64) -> String,
) {
    let mut lines = String::new();
    let all: Vec<usize> = (0..result.fuels_mg.len()).collect();
    for block in all.chunks(COLUMNS) {
        let mut line = format!("  {:>6}", "rpm");
        for &j in block {
            line.push_str(&format!(
                "{:>7} ",
                format!("{} mg", fixed(result.fuels_mg[j], 0))
            ));
        }
        lines.push_str(line.trim_end());
        lines.push('\n');
        for (i, rpm) in result.engine_speeds_rpm.iter().enumerate() {
            let mut line = format!("  {:>6}", fixed(*rpm, 0));
            for &j in block {
                let mark = if unused(result, i, j) { '*' } else { ' ' };
                line.push_str(&format!("{:>7}{mark}", show(rows[i][j])));
            }
            lines.push_str(line.trim_end());
            lines.push('\n');
        }
    }
    text.set(lines, whole_grid(result, rows, show));
}

/// The first column past full load is in use between the two.
fn unused(result: &TablesResult, row: usize, column: usize) -> bool {
    result.binding[row][column] == "beyond_full_load"
        || result.fuels_mg[column] > result.full_load[row].fuel_mg + 1e-6
}

/// The same grid as one table.
fn whole_grid(result: &TablesResult, rows: &[Vec<f64>], show: impl Fn(f64) -> String) -> Body {
    let fuels = result.fuels_mg.iter();
    let headings: Vec<String> = fuels.map(|mg| format!("{} mg", fixed(*mg, 0))).collect();
    let mut columns: Vec<Column> = vec![number("rpm", 0)];
    columns.extend(headings.iter().map(|heading| number(heading, 0)));
    let cell = |i: usize, j: usize| {
        let (mark, paint) = match unused(result, i, j) {
            true => ("*", Paint::Faint),
            false => ("", Paint::Plain),
        };
        let text = format!("{}{mark}", show(rows[i][j]));
        Cell { text, paint }
    };
    let speeds = result.engine_speeds_rpm.iter().enumerate();
    let lines = speeds.map(|(i, rpm)| {
        let values = (0..result.fuels_mg.len()).map(|j| cell(i, j));
        std::iter::once(fixed(*rpm, 0).into())
            .chain(values)
            .collect()
    });
    let mut body = Body::default();
    body.table(&columns, lines.collect());
    body
}

/// Window and command of each row.
pub(super) fn full_load(text: &mut Body, result: &TablesResult, units: Units) {
    let columns = [
        number("rpm", 0),
        number("fuel mg", 1),
        number("floor", 2),
        number("command", 0),
        number("ceiling", 0),
        words("decided by", 0),
        words("least at", 1),
    ];
    let places = units.pressure_decimals();
    let pressure = |kpa: Option<f64>| {
        kpa.map_or_else(|| "-".to_owned(), |kpa| fixed(units.pressure(kpa), places))
    };
    let rows: Vec<Vec<Cell>> = result
        .full_load
        .iter()
        .map(|row| {
            let command = match row.command_kpa_abs {
                Some(_) => Cell {
                    text: pressure(row.command_kpa_abs),
                    paint: Paint::Bold,
                },
                None => Cell {
                    text: "none".to_owned(),
                    paint: Paint::Bad,
                },
            };
            vec![
                fixed(row.engine_speed_rpm, 0).into(),
                fixed(row.fuel_mg, 1).into(),
                pressure(row.floor_kpa_abs).into(),
                command,
                pressure(row.ceiling_kpa_abs).into(),
                decided(&row.binding).into(),
                row.least_place
                    .map_or_else(
                        || "-".to_owned(),
                        |at| place_name(&result.places, at, units),
                    )
                    .into(),
            ]
        })
        .collect();
    text.table(&columns, rows);
}

/// What decided a command, in words.
fn decided(binding: &str) -> String {
    match binding {
        "most_power" => "most power".to_owned(),
        "no_window" => "no window".to_owned(),
        other => names::limit_label(other).replace('_', " "),
    }
}

/// One line for each procedure and speed.
pub(super) fn proof(text: &mut Body, result: &TablesResult, units: Units) {
    let columns = [
        words("procedure", 0),
        number("to rpm", 0),
        number("runs", 1),
        words("verdict", 0),
        words("closest limit", 0),
        number("headroom", 0),
        words("at", 2),
    ];
    let mut kinds: Vec<(&str, f64)> = Vec::new();
    for run in &result.proof.runs {
        let kind = (run.procedure.as_str(), run.engine_speed_rpm);
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    let rows: Vec<Vec<Cell>> = kinds
        .into_iter()
        .map(|(procedure, rpm)| {
            let runs: Vec<&ProofRun> = result
                .proof
                .runs
                .iter()
                .filter(|run| run.procedure == procedure && run.engine_speed_rpm == rpm)
                .collect();
            let failed = runs.iter().filter(|run| !held(run.verdict)).count();
            let closest = runs
                .iter()
                .flat_map(|run| {
                    let known = run.worst.iter().filter_map(|w| Some((w, w.headroom_pct?)));
                    known.map(|(w, pct)| (w.limit.as_str(), pct, *run))
                })
                .min_by(|a, b| a.1.total_cmp(&b.1));
            let (limit, pct, place) = closest.map_or_else(
                || ("-".to_owned(), "-".to_owned(), "-".to_owned()),
                |(limit, pct, run)| {
                    (
                        names::limit_label(limit).to_owned(),
                        format!("{} %", signed(pct, 1)),
                        run_place(run, units),
                    )
                },
            );
            vec![
                procedure.into(),
                fixed(rpm, 0).into(),
                runs.len().to_string().into(),
                if failed == 0 {
                    Cell {
                        text: "held".to_owned(),
                        paint: Paint::Good,
                    }
                } else {
                    Cell {
                        text: format!("{failed} failed"),
                        paint: Paint::Bad,
                    }
                },
                limit.into(),
                pct.into(),
                place.into(),
            ]
        })
        .collect();
    text.table(&columns, rows);
}

/// The knees, then where there is none.
pub(super) fn knees(result: &TablesResult, units: Units) -> Vec<String> {
    let critical = result.critical_gain.map(|at| &result.gain[at]);
    let mut lines: Vec<String> = result
        .gain
        .iter()
        .filter_map(|curve| knee_text(curve, critical == Some(curve), units))
        .collect();
    let straight: Vec<String> = result
        .gain
        .iter()
        .filter(|curve| curve.knee.is_none())
        .map(|curve| {
            format!(
                "{} rpm at {}",
                fixed(curve.engine_speed_rpm, 0),
                curve_place(curve, units)
            )
        })
        .collect();
    if !straight.is_empty() {
        lines.push(format!(
            "No knee below the ceiling, so that more boost would pay up to there: {}.",
            straight.join(", ")
        ));
    }
    lines
}

fn curve_place(curve: &GainCurve, units: Units) -> String {
    match curve.altitude_m {
        Some(m) => units.altitude_text(m),
        None => format!("{} abs ambient", units.pressure_text(curve.ambient_kpa_abs)),
    }
}

/// The knee of one curve in words.
fn knee_text(curve: &GainCurve, critical: bool, units: Units) -> Option<String> {
    let knee = curve.knee?;
    let mut text = format!(
        "At {} rpm, {}: above {} abs ({} krpm) each further 1000 rpm of shaft brings under {} {}, \
         where it brought up to {} before.",
        fixed(curve.engine_speed_rpm, 0),
        curve_place(curve, units),
        units.pressure_text(knee.command_kpa_abs),
        fixed(knee.shaft_speed_rpm * 1e-3, 0),
        fixed(units.power(knee.least_slope_kw_per_krpm), 2),
        units.power_unit(),
        fixed(units.power(knee.best_slope_kw_per_krpm), 2)
    );
    if critical {
        text.push_str(" Of these the shaft turns fastest here.");
    }
    Some(text)
}
