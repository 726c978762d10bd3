//! The assembled table of all cells, driven through once more.
use super::plan::{CeilingPlan, command_over_speed, sensor_at_corner};
use crate::gas::Ambient;
use crate::judgement::{CeilingCell, Judge, TableProof, Verdict};
use crate::map::Table1;
use crate::procedure::{Part, Procedure};
use crate::simulation::{Ending, Rig, run};
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
    let exceeded_with = |off_pa: f64| -> Vec<String> {
        let mut exceeded: Vec<String> = rows
            .par_iter()
            .filter_map(|(ambient, row)| {
                let rig = rig_with_table(plan, *ambient, row, off_pa)?;
                Some(pulls(plan, &rig, *ambient))
            })
            .flatten()
            .collect();
        exceeded.dedup();
        exceeded
    };
    let exceeded = exceeded_with(0.0);
    let reserve_kpa = if exceeded.is_empty() {
        Some(0.0)
    } else {
        (1..=MOST_STEPS_OFF)
            .map(|n| n as f64 * plan.step_pa)
            .find(|&off_pa| exceeded_with(off_pa).is_empty())
            .map(|off_pa| off_pa * 1e-3)
    };
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

fn pulls(plan: &CeilingPlan, rig: &Rig, ambient: Ambient) -> Vec<String> {
    let place = ambient.altitude_m.map_or_else(
        || format!("{:.1} kPa abs", ambient.pressure_pa * 1e-3),
        |m| format!("{m:.0} m"),
    );
    let lowest = plan
        .speeds_rad_s
        .iter()
        .copied()
        .fold(f64::INFINITY, f64::min);
    let highest = plan.speeds_rad_s.iter().copied().fold(0.0, f64::max);
    let pull = Procedure::new(&[Part::Pull {
        from_rad_s: lowest,
        to_rad_s: highest,
        duration_s: plan.transients.pull_s,
        settle_s: plan.transients.afterwards_s,
    }]);
    let mut exceeded = Vec::new();
    for corner in plan.corners() {
        let mut rig = rig.clone();
        sensor_at_corner(&mut rig, corner);
        let mut judge = Judge::new(plan.bench_with_pinned_time());
        let what = match run(&rig, &pull, &mut judge) {
            _ if judge.exceeded() => judge.first_exceeded().map(|k| k.name()),
            Ok(outcome) if matches!(outcome.ending, Ending::Finished | Ending::Observer) => None,
            _ => Some("outside_validity"),
        };
        if let Some(what) = what {
            let line = format!("{what} at {place}");
            if !exceeded.contains(&line) {
                exceeded.push(line);
            }
        }
    }
    exceeded
}
