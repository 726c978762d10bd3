//! The assembled table of all cells, driven through once more.
use super::cell::OUTSIDE;
use super::plan::{CeilingPlan, SensorCorner, command_over_speed, sensor_at_corner};
use super::settled::{Approach, Settled};
use super::trial::Watch;
use super::window::window;
use crate::gas::Ambient;
use crate::judgement::{CeilingCell, LimitKind, TableProof, Verdict};
use crate::map::Table1;
use crate::procedure::{Part, Procedure};
use crate::simulation::Rig;
use rayon::prelude::*;

/// Most that is taken off a table to make it hold, in steps of the search.
const MOST_STEPS_OFF: usize = 20;

/// Pulls through the table of each ambient, at every corner of the sensor
/// error; `None` where no ambient has a table of two speeds or more.
///
/// Cells are sought one by one with the same command at all speeds; a table
/// that falls or rises between them may exceed a limit by a little on the way.
/// The proof then says how much taken off the whole table makes it hold.
pub fn prove(plan: &CeilingPlan, cells: &[CeilingCell]) -> Option<TableProof> {
    let speeds = plan.speeds_rad_s.len();
    let rows: Vec<(Ambient, &[CeilingCell])> = plan
        .ambients
        .iter()
        .enumerate()
        .map(|(a, ambient)| (*ambient, &cells[a * speeds..(a + 1) * speeds]))
        .filter(|(_, row)| row.iter().filter(|c| c.ceiling_kpa_abs.is_some()).count() > 1)
        .collect();
    if rows.is_empty() {
        return None;
    }
    let corners = plan.corners();
    let pulls: Vec<(usize, usize)> = (0..rows.len())
        .flat_map(|row| (0..corners.len()).map(move |corner| (row, corner)))
        .collect();
    let exceeds = |(row, corner): (usize, usize), off_pa: f64| {
        let (ambient, cells) = rows[row];
        let rig = rig_with_table(plan, ambient, cells, off_pa)?;
        let last = last_command(plan, cells, off_pa)?;
        pull(plan, rig, last, ambient, corners[corner])
    };
    let all = |off_pa: f64| -> Vec<Option<String>> {
        pulls
            .par_iter()
            .map(|&which| exceeds(which, off_pa))
            .collect()
    };
    let whole = all(0.0);
    let mut exceeded: Vec<String> = Vec::new();
    for line in whole.iter().flatten() {
        if !exceeded.contains(line) {
            exceeded.push(line.clone());
        }
    }
    // the pull that exceeded something last is asked first
    let mut lead = whole.iter().position(Option::is_some);
    let mut reserve_kpa = lead.is_none().then_some(0.0);
    for n in 1..=MOST_STEPS_OFF {
        let Some(which) = lead else { break };
        let off_pa = n as f64 * plan.step_pa;
        if exceeds(pulls[which], off_pa).is_some() {
            continue;
        }
        lead = all(off_pa).iter().position(Option::is_some);
        if lead.is_none() {
            reserve_kpa = Some(off_pa * 1e-3);
        }
    }
    Some(TableProof {
        verdict: if exceeded.is_empty() {
            Verdict::Held
        } else {
            Verdict::Exceeded
        },
        procedure: "pull".to_string(),
        exceeded,
        reserve_kpa,
    })
}

/// The rig with the ceilings as its command table and the derates as its fuel.
fn rig_with_table(
    plan: &CeilingPlan,
    ambient: Ambient,
    row: &[CeilingCell],
    off_pa: f64,
) -> Option<Rig> {
    let mut points: Vec<(f64, f64, f64)> = plan
        .speeds_rad_s
        .iter()
        .zip(row)
        .filter_map(|(&speed, cell)| Some((speed, cell.ceiling_kpa_abs? * 1e3, cell.fuel_scale)))
        .collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    if points.len() < 2 {
        return None;
    }
    let axis: Vec<f64> = points.iter().map(|p| p.0).collect();
    let mut rig = plan.rig_in(ambient, 1.0);
    let over_speed =
        Table1::new(axis.clone(), points.iter().map(|p| p.1 - off_pa).collect()).ok()?;
    command_over_speed(&mut rig, over_speed);
    rig.controller.fuel_scale = Table1::new(axis, points.iter().map(|p| p.2).collect()).ok()?;
    Some(rig)
}

/// The speed of the fastest cell that has a ceiling, the command there and the fuel.
fn last_command(plan: &CeilingPlan, row: &[CeilingCell], off_pa: f64) -> Option<(f64, f64, f64)> {
    plan.speeds_rad_s
        .iter()
        .zip(row)
        .filter_map(|(&speed, cell)| {
            let command_pa = cell.ceiling_kpa_abs? * 1e3 - off_pa;
            Some((speed, command_pa, cell.fuel_scale))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

/// What a pull through the table exceeds, and where. Where the pull ends at the last
/// cell with a ceiling, the watch after it ends as that of a cell does.
fn pull(
    plan: &CeilingPlan,
    rig: Rig,
    (last_rad_s, command_pa, fuel_scale): (f64, f64, f64),
    ambient: Ambient,
    corner: SensorCorner,
) -> Option<String> {
    let lowest = plan
        .speeds_rad_s
        .iter()
        .copied()
        .fold(f64::INFINITY, f64::min);
    let highest = plan.speeds_rad_s.iter().copied().fold(0.0, f64::max);
    let procedure = Procedure::new(&[Part::Pull {
        from_rad_s: lowest,
        to_rad_s: highest,
        duration_s: plan.transients.pull_s,
        settle_s: plan.transients.afterwards_s,
    }]);
    let mut rig = rig;
    sensor_at_corner(&mut rig, corner);
    let bench = plan.bench_with_pinned_time();
    let approach = (last_rad_s == highest && !plan.watch_to_the_end)
        .then(|| {
            let held = plan.rig_in(ambient, fuel_scale);
            let w = window(plan, &held, highest)?;
            Settled::of(&rig, highest, command_pa, &w.rising, &bench.limits)
        })
        .flatten()
        .map(|settled| Approach::new(settled, procedure.last_change_s()));
    let mut watch = Watch::new(bench);
    watch.approach = approach;
    let limit = watch.drive(&rig, &procedure).err()?;
    let what = limit.map_or(OUTSIDE, LimitKind::name);
    Some(format!("{what} at {}", place(&ambient, plan)))
}

/// The ambient in words; the temperature where an altitude has several.
fn place(ambient: &Ambient, plan: &CeilingPlan) -> String {
    let Some(m) = ambient.altitude_m else {
        return format!("{:.1} kPa abs", ambient.pressure_pa * 1e-3);
    };
    let twins = plan.ambients.iter().filter(|a| a.altitude_m == Some(m));
    match ambient.temperature_offset_k() {
        Some(offset_k) if twins.count() > 1 => format!("{m:.0} m and {:+.0} K", offset_k + 0.0),
        _ => format!("{m:.0} m"),
    }
}
