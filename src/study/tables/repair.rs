//! Which cells a failed proof blames, and how they move.
use super::assemble::Tables;
use super::plan::TablesPlan;
use super::proof::{Driven, Failure};
use super::row::{Row, row_from};
use crate::judgement::LimitKind;
use std::f64::consts::PI;

/// A row nearer to the failing speed than this share of the way is in use there.
const IN_USE: f64 = 0.1;
/// A fuel above this share of full load is full load.
const FULL: f64 = 0.97;
/// How much fuel a repair takes out of a row.
const FUEL_STEP: f64 = 0.02;
/// Most that a command moves at once, as a share of it.
const MOST_STRIDE: f64 = 0.06;
/// Most steps that a command moves at least after many repairs.
const BOLDEST: f64 = 4.0;
/// What is left of a vane position that is opened, and below which it goes
/// to the open stop \[% closed\].
const OPENED: f64 = 0.6;
const LEAST_OPENED_PCT: f64 = 8.0;
/// Least share of the fuel that a repair goes down to.
const LEAST_FUEL: f64 = 0.40;

/// How a limit is relieved.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Relief {
    LessBoost,
    MoreBoost,
    LessFuel,
}

fn relief(failure: &Failure, full_fuel_kg: f64) -> Relief {
    match failure.limit {
        Some(LimitKind::TurbineInlet) => Relief::MoreBoost,
        // where the smoke limit holds the fuel back already a lower table takes
        // nothing out; an error of the sensor is less of more boost
        Some(LimitKind::Lambda) if failure.injected_kg < FULL * full_fuel_kg => Relief::MoreBoost,
        Some(LimitKind::Lambda) => Relief::LessFuel,
        _ => Relief::LessBoost,
    }
}

/// Moves what the worst failure at each row blames; says what it did, or `None`
/// where nothing is left to move.
pub fn repair(
    plan: &TablesPlan,
    rows: &mut [Row],
    made: &Tables,
    runs: &[Driven],
) -> Option<Vec<String>> {
    let mut said = Vec::new();
    for at in 0..rows.len() {
        // one failure for each row and round: the one that lacks most
        let worst = runs
            .iter()
            .filter_map(|r| r.failure.as_ref())
            .filter(|f| in_use(plan, at, f.speed_rad_s))
            .min_by(|a, b| a.lack_pct.total_cmp(&b.lack_pct));
        if let Some(failure) = worst {
            said.extend(relieve(plan, rows, made, at, failure));
        }
    }
    (!said.is_empty()).then_some(said)
}

fn in_use(plan: &TablesPlan, at: usize, speed_rad_s: f64) -> bool {
    let speeds = &plan.speeds_rad_s;
    let n = speed_rad_s.clamp(speeds[0], speeds[speeds.len() - 1]);
    let share = |near: Option<&f64>| {
        near.is_some_and(|&other| {
            let way = (n - speeds[at]) / (other - speeds[at]);
            (0.0..1.0 - IN_USE).contains(&way)
        })
    };
    n == speeds[at]
        || share(speeds.get(at + 1))
        || share(at.checked_sub(1).and_then(|before| speeds.get(before)))
}

fn relieve(
    plan: &TablesPlan,
    rows: &mut [Row],
    made: &Tables,
    at: usize,
    failure: &Failure,
) -> Option<String> {
    let step = plan.ceiling.step_pa;
    let row = &mut rows[at];
    let command = row.command_pa?;
    let rpm = row.speed_rad_s * 30.0 / PI;
    let why = failure
        .limit
        .map_or("outside validity", LimitKind::name)
        .replace('_', " ");
    let by = stride_pa(row, command, failure.lack_pct, step);
    let least = plan.least_command_pa();
    if failure.fuel_kg < FULL * row.full_fuel_kg {
        return below_full_load(plan, row, made, at, failure, by, &why);
    }
    let highest = row.window.map_or(command, |w| w.1);
    match relief(failure, row.full_fuel_kg) {
        Relief::MoreBoost if command + by <= highest => row.command_pa = Some(command + by),
        Relief::LessBoost if command - by >= least => {
            row.lowered_from.get_or_insert(command);
            row.command_pa = Some(command - by);
        }
        Relief::LessBoost => return None,
        Relief::MoreBoost if failure.limit == Some(LimitKind::Lambda) => return None,
        Relief::MoreBoost | Relief::LessFuel => {
            return less_fuel(plan, rows, at, &why);
        }
    }
    row.binding = failure
        .limit
        .map_or("outside_validity", LimitKind::name)
        .to_string();
    row.last_lack = Some((command, failure.lack_pct));
    row.repairs += 1;
    let now = row.command_pa.unwrap_or(command);
    Some(format!(
        "{rpm:.0} rpm: command {:.0} to {:.0} kPa abs ({why})",
        command * 1e-3,
        now * 1e-3
    ))
}

/// How far a command moves: what the last move says of the lack, nine tenths of
/// it so as not to overshoot; without a last move half as far as the limit is
/// missed; whole steps, at least one.
fn stride_pa(row: &Row, command: f64, lack_pct: f64, step: f64) -> f64 {
    let by: f64 = match row.last_lack {
        Some((before, lack)) if before != command && lack_pct > lack => {
            0.9 * (before - command).abs() * lack_pct / (lack - lack_pct)
        }
        Some((before, _)) => 2.0 * (before - command).abs(),
        None => 0.5e-2 * -lack_pct * command,
    };
    // a limit that jumps from sample to sample misleads; the longer, the bolder
    let least = (0.5 * row.repairs as f64).floor().clamp(1.0, BOLDEST);
    let most = (MOST_STRIDE * command / step).max(least);
    (by / step).floor().clamp(least, most) * step
}

fn below_full_load(
    plan: &TablesPlan,
    row: &mut Row,
    made: &Tables,
    at: usize,
    failure: &Failure,
    by: f64,
    why: &str,
) -> Option<String> {
    if failure.limit == Some(LimitKind::SurgeMargin) && failure.fuel_kg <= plan.fuels_kg[0] {
        return open_without_fuel(row, made.vane_pct[at][0], why);
    }
    let above = plan.fuels_kg.partition_point(|f| *f <= failure.fuel_kg);
    let mut moved = false;
    for column in above.saturating_sub(1)..=above.min(plan.fuels_kg.len() - 1) {
        let now = made.command_kpa[at][column] * 1e3;
        if plan.fuels_kg[column] < row.full_fuel_kg && now > plan.least_command_pa() {
            row.part_most_pa[column] = now - by;
            moved = true;
        }
    }
    let rpm = row.speed_rad_s * 30.0 / PI;
    moved.then(|| {
        format!(
            "{rpm:.0} rpm: command near {:.0} mg down by {:.0} kPa ({why})",
            failure.fuel_kg * 1e6,
            by * 1e-3
        )
    })
}

/// Surge in a torque cut: the shaft coasts on, and vanes that are further open
/// slow it sooner. The feedback rests then, so that the first column decides.
fn open_without_fuel(row: &mut Row, vane_pct: f64, why: &str) -> Option<String> {
    if vane_pct <= 0.0 {
        return None;
    }
    let now_pct = if vane_pct > LEAST_OPENED_PCT {
        OPENED * vane_pct
    } else {
        0.0
    };
    row.first_vane_most = now_pct * 1e-2;
    Some(format!(
        "{:.0} rpm: vanes without fuel {vane_pct:.0} to {now_pct:.0} % closed ({why})",
        row.speed_rad_s * 30.0 / PI
    ))
}

/// Takes fuel out of a row and seeks its window anew.
fn less_fuel(plan: &TablesPlan, rows: &mut [Row], at: usize, why: &str) -> Option<String> {
    let before = rows[at].fuel_scale;
    let scale = ((before - FUEL_STEP) * 1e3).round() / 1e3;
    if scale < LEAST_FUEL {
        return None;
    }
    let part_most_pa = rows[at].part_most_pa.clone();
    let first_vane_most = rows[at].first_vane_most;
    rows[at] = row_from(plan, at, scale);
    rows[at].part_most_pa = part_most_pa;
    rows[at].first_vane_most = first_vane_most;
    Some(format!(
        "{:.0} rpm: full-load fuel ×{before:.2} to ×{:.2} ({why})",
        rows[at].speed_rad_s * 30.0 / PI,
        rows[at].fuel_scale
    ))
}
