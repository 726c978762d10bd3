//! Proof and repair in turn, until all holds or nothing is left to mend; then
//! what the last strides lowered too far is raised again.
use super::assemble::{self, Tables};
use super::plan::TablesPlan;
use super::proof::{self, Driven};
use super::repair::repair;
use super::row::{Row, rpm};

/// Most rounds of repair.
const MOST_REPAIRS: usize = 40;
/// A command that can be raised by less than this share of it is left.
const NEAR: f64 = 0.015;

/// Tables with the proof they came to.
pub struct Mended {
    /// The tables.
    pub made: Tables,
    /// Every run of the last proof.
    pub runs: Vec<Driven>,
    /// What was changed, in words.
    pub changes: Vec<String>,
    /// Rounds of repair.
    pub repairs: usize,
}

/// Proves the tables of some rows and mends them. Runs that failed are driven
/// again alone until they hold, then all of them.
pub fn mend(plan: &TablesPlan, rows: &mut [Row]) -> Mended {
    let made = assemble::assemble(plan, rows);
    let mut now = Mended {
        runs: proof::drive(plan, &made),
        made,
        changes: Vec::new(),
        repairs: 0,
    };
    let mut suspects = vec![false; now.runs.len()];
    while !held(&now.runs) && now.repairs < MOST_REPAIRS {
        for (suspect, run) in suspects.iter_mut().zip(&now.runs) {
            *suspect |= run.failure.is_some();
        }
        let before = now.repairs;
        let mut failing = now.runs.clone();
        while now.repairs < MOST_REPAIRS && !held(&failing) {
            let Some(change) = repair(plan, rows, &now.made, &failing) else {
                break;
            };
            now.changes.extend(change);
            now.repairs += 1;
            now.made = assemble::assemble(plan, rows);
            failing = proof::drive_some(plan, &now.made, |index| suspects[index]);
        }
        if now.repairs == before {
            break;
        }
        now.runs = proof::drive(plan, &now.made);
    }
    if now.repairs > 0 && held(&now.runs) {
        raise(plan, rows, &suspects, &mut now);
    }
    now
}

fn held(runs: &[Driven]) -> bool {
    runs.iter().all(|run| run.failure.is_none())
}

/// Raises what was lowered, from the fastest row down, by bisection with the runs that have
/// failed before; keeps it if all runs then hold.
fn raise(plan: &TablesPlan, rows: &mut [Row], suspects: &[bool], now: &mut Mended) {
    let proved = rows.to_vec();
    let mut said = Vec::new();
    for at in (0..rows.len()).rev() {
        let (Some(low), Some(high)) = (rows[at].command_pa, rows[at].lowered_from) else {
            continue;
        };
        let (mut holds, mut fails) = (low, high);
        let step = plan.ceiling.step_pa;
        while fails - holds > (NEAR * holds).max(1.5 * step) {
            let middle = (0.5 * (holds + fails) / step).floor() * step;
            rows[at].command_pa = Some(middle);
            let made = assemble::assemble(plan, rows);
            if held(&proof::drive_some(plan, &made, |index| suspects[index])) {
                holds = middle;
            } else {
                fails = middle;
            }
        }
        rows[at].command_pa = Some(holds);
        if holds > low {
            said.push(format!(
                "{:.0} rpm: command back up to {:.0} kPa abs",
                rpm(rows[at].speed_rad_s),
                holds * 1e-3
            ));
        }
    }
    if said.is_empty() {
        return;
    }
    let made = assemble::assemble(plan, rows);
    let runs = proof::drive(plan, &made);
    if held(&runs) {
        now.made = made;
        now.runs = runs;
        now.changes.extend(said);
    } else {
        rows.clone_from_slice(&proved);
    }
}
