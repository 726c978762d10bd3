//! From rows to tables: columns, monotone in fuel, vanes, rounding.
//!
//! The table is linear between its columns. Where the full-load fuel of a row
//! lies between two columns, the one above it is set so that the straight line
//! through the one below meets the row's command exactly at full load; that
//! column itself is never asked for.
use super::part_load::{PartLoad, part_load};
use super::plan::TablesPlan;
use super::rests::Curve;
use super::row::{NO_WINDOW, Row};
use crate::control::CommandReference;
use crate::map::{Table1, Table2};
use crate::simulation::Rig;
use rayon::prelude::*;

/// A command beyond the fuel that the engine is given.
pub const BEYOND: &str = "beyond_full_load";

/// Steepest column beyond full load, over the slope of the straight line from no
/// fuel: steeper, and the column below is lifted instead.
const STEEPEST: f64 = 3.0;

/// Tables as they are written, rounded.
#[derive(Debug, Clone, PartialEq)]
pub struct Tables {
    /// Command \[kPa abs\].
    pub command_kpa: Vec<Vec<f64>>,
    /// Vanes \[% closed\].
    pub vane_pct: Vec<Vec<f64>>,
    /// What decides each command.
    pub binding: Vec<Vec<String>>,
    /// Full-load fuel over engine speed \[rad/s, mg\].
    pub full_load: Vec<(f64, f64)>,
}

/// Makes the tables of some rows.
pub fn assemble(plan: &TablesPlan, rows: &[Row]) -> Tables {
    let columns: Vec<Column> = rows.par_iter().map(|row| one_row(plan, row)).collect();
    let mut tables = Tables {
        command_kpa: Vec::new(),
        vane_pct: Vec::new(),
        binding: Vec::new(),
        full_load: full_load(plan, rows),
    };
    for row in columns {
        // down, so that rounding takes nothing from a reserve
        let command = row.command_pa.iter().map(|pa| tenth_down(pa * 1e-3));
        tables.command_kpa.push(command.collect());
        let vanes = row.vane.iter().map(|v| (v * 1e3).round() / 10.0);
        tables.vane_pct.push(vanes.collect());
        tables.binding.push(row.binding);
    }
    tables
}

fn tenth_down(value: f64) -> f64 {
    (value * 10.0 + 1e-6).floor() / 10.0
}

/// The scenario's table with the derates of the rows, rounded down.
fn full_load(plan: &TablesPlan, rows: &[Row]) -> Vec<(f64, f64)> {
    let own = &plan.ceiling.rig.controller.fuel.full_load;
    let axis: Vec<f64> = rows.iter().map(|row| row.speed_rad_s).collect();
    let scales = rows.iter().map(|row| row.fuel_scale).collect();
    let scale = Table1::new(axis, scales).unwrap_or_else(|_| Table1::constant(1.0));
    own.points()
        .map(|(n, kg)| {
            let share = scale.at(n);
            let mg = kg * 1e6;
            let kept = if share < 1.0 {
                tenth_down(mg * share)
            } else {
                (mg * 1e6).round() / 1e6
            };
            (n, kept)
        })
        .collect()
}

struct Column {
    command_pa: Vec<f64>,
    vane: Vec<f64>,
    binding: Vec<String>,
}

fn one_row(plan: &TablesPlan, row: &Row) -> Column {
    let base = plan.least_command_pa();
    let full_pa = row.command_pa.unwrap_or(base);
    let full_binding = match row.command_pa {
        Some(_) => row.binding.clone(),
        None => NO_WINDOW.to_string(),
    };
    let below = row.part_curves.len();
    let part: Vec<PartLoad> = (0..below)
        .map(|j| part_load(plan, row, j, full_pa))
        .collect();
    let mut made = Column {
        command_pa: Vec::new(),
        vane: Vec::new(),
        binding: Vec::new(),
    };
    for cell in &part {
        let before = made.command_pa.last().copied().unwrap_or(0.0);
        let command_pa = cell.command_pa.max(before).min(full_pa.max(before));
        let curves = &row.part_curves[made.vane.len()];
        made.vane.push(vane(plan, curves, command_pa));
        made.command_pa.push(command_pa);
        made.binding.push(cell.binding.clone());
    }
    let full_vane = vane(plan, &row.curves, full_pa);
    beyond(plan, row, &mut made, (full_pa, full_vane), &full_binding);
    // no fuel tells nothing about vanes: they stay where the first fuel has them,
    // so that a gear change does not move them
    if plan.fuels_kg[0] <= 0.0 && made.vane.len() > 1 {
        made.vane[0] = made.vane[1];
    }
    made.vane[0] = made.vane[0].min(row.first_vane_most);
    made
}

/// The columns at and beyond full load.
fn beyond(plan: &TablesPlan, row: &Row, made: &mut Column, full: (f64, f64), binding: &str) {
    let (full_pa, full_vane) = full;
    let fuels = &plan.fuels_kg;
    let first = made.command_pa.len();
    if first == fuels.len() {
        // the axis ends below full load and is held there: the last column is full load
        let last = first - 1;
        let before = if last > 0 {
            made.command_pa[last - 1]
        } else {
            0.0
        };
        made.command_pa[last] = full_pa.max(before);
        made.vane[last] = full_vane;
        made.binding[last] = binding.to_string();
        return;
    }
    let rest = row.full_fuel_kg;
    let base = plan.least_command_pa();
    let (mut slope, mut vane_slope) = (0.0, 0.0);
    if let Some(last) = first.checked_sub(1) {
        let gap = rest - fuels[last];
        let steepest = STEEPEST * (full_pa - base).max(0.0) / rest;
        slope = (full_pa - made.command_pa[last]) / gap;
        if slope > steepest {
            slope = steepest;
            made.command_pa[last] = full_pa - slope * gap;
        }
        // a vane may not run away between columns that stand close either
        vane_slope = (full_vane - made.vane[last]) / gap.max(0.25 * rest);
    }
    for &fuel in &fuels[first..] {
        let past = (fuel - rest).max(0.0);
        made.command_pa.push(full_pa + slope * past);
        made.vane
            .push((full_vane + vane_slope * past).clamp(0.0, 1.0));
        let at_full = past < 1e-9;
        made.binding
            .push(if at_full { binding } else { BEYOND }.to_string());
    }
    // the first column past full load carries what decided full load
    made.binding[first] = binding.to_string();
}

/// The middle one of the vane positions that meet a command in the places.
fn vane(plan: &TablesPlan, curves: &[Option<Curve>], command_pa: f64) -> f64 {
    let mut met: Vec<f64> = curves
        .iter()
        .enumerate()
        .filter_map(|(k, curve)| {
            let at = plan.at_place_pa(k, command_pa);
            Some(curve.as_ref()?.at(at).vane_closed)
        })
        .collect();
    met.sort_by(f64::total_cmp);
    match met.len() {
        0 => 0.0,
        n if n % 2 == 1 => met[n / 2],
        n => 0.5 * (met[n / 2 - 1] + met[n / 2]),
    }
}

/// The rig at a place with the tables as they are written.
pub fn rig_with(plan: &TablesPlan, place: usize, tables: &Tables) -> Rig {
    let mut rig = plan.ceiling.rig_in(plan.places[place].ambient, 1.0);
    let grid = |values: &[Vec<f64>], factor: f64| {
        Table2::new(
            plan.speeds_rad_s.clone(),
            plan.fuels_kg.clone(),
            values.iter().flatten().map(|v| v * factor).collect(),
        )
    };
    // the axes have been checked, and every row has their length
    if let (Some(command), Ok(table)) =
        (&mut rig.controller.command, grid(&tables.command_kpa, 1e3))
    {
        command.table = table;
        command.reference = CommandReference::Absolute;
        command.full_load = None;
    }
    if let Ok(table) = grid(&tables.vane_pct, 0.01) {
        rig.controller.feed_forward = table;
    }
    let (axis, fuel) = tables
        .full_load
        .iter()
        .map(|(n, mg)| (*n, mg * 1e-6))
        .unzip();
    if let Ok(table) = Table1::new(axis, fuel) {
        rig.controller.fuel.full_load = table;
    }
    rig
}
