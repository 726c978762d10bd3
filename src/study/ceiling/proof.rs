//! The assembled table of all cells, driven through once more.
use super::plan::{CeilingPlan, command_over_speed, sensor_at_corner};
use crate::gas::Ambient;
use crate::judgement::{CeilingCell, Judge, TableProof, Verdict};
use crate::map::Table1;
use crate::procedure::{Part, Procedure};
use crate::simulation::{Ending, Rig, run};

/// Pulls through the table of each ambient, at every corner of the sensor
/// error; `None` where no ambient has a table of two speeds or more.
pub fn prove(plan: &CeilingPlan, cells: &[CeilingCell]) -> Option<TableProof> {
    let speeds = plan.speeds_rad_s.len();
    let mut exceeded = Vec::new();
    let mut proved = false;
    for (a, ambient) in plan.ambients.iter().enumerate() {
        let row = &cells[a * speeds..(a + 1) * speeds];
        let Some(rig) = rig_with_table(plan, *ambient, row) else {
            continue;
        };
        proved = true;
        exceeded.extend(pulls(plan, &rig, *ambient));
    }
    exceeded.dedup();
    proved.then(|| TableProof {
        verdict: if exceeded.is_empty() {
            Verdict::Held
        } else {
            Verdict::Exceeded
        },
        procedure: "pull through the table".to_string(),
        exceeded,
    })
}

/// The rig with the ceilings as its command table and the derates as its fuel.
fn rig_with_table(plan: &CeilingPlan, ambient: Ambient, row: &[CeilingCell]) -> Option<Rig> {
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
    let over_speed = Table1::new(axis.clone(), points.iter().map(|p| p.1).collect()).ok()?;
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
