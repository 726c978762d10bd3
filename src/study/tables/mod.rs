//! The command table and the feed-forward vane table that give most power
//! inside all limits with a reserve, and the proof that they do.
//!
//! | file | what it does |
//! | --- | --- |
//! | `plan` | what is asked: axes, places, limits tightened by their reserve |
//! | `rests` | equilibria over the vane travel at a fuel, as a curve over the command |
//! | `row` | one engine speed at full load: the window at all places, most power in it |
//! | `part_load` | the commands below full load |
//! | `assemble` | rows to tables: columns, monotone, vanes, rounding |
//! | `proof` | the tables driven: pull, load steps, shift, at every corner |
//! | `mend` | proof and repair in turn, then what was lowered too far raised again |
//! | `repair` | which cell a failure comes from, and by how much it moves |
//! | `gain` | power against shaft speed, and the knee |
mod assemble;
mod gain;
mod mend;
mod part_load;
mod plan;
mod proof;
mod repair;
mod rests;
mod row;

pub use gain::knee;
pub use plan::{Place, Reserve, TablesPlan, Unplanned};

use crate::judgement::{TOOL, TablesPlace, TablesProof, TablesResult, Titles};
use crate::study::progress::Progress;
use assemble::Tables;
use rayon::prelude::*;
use row::Row;

/// Makes the tables and proves them.
///
/// Rows do not know of each other, and runs are collected in order: the answer
/// does not depend on the number of threads.
pub fn tables(plan: &TablesPlan, titles: &Titles, progress: &dyn Progress) -> TablesResult {
    progress.begin(2 * plan.speeds_rad_s.len());
    let each = |make: &(dyn Fn(usize) -> Row + Sync)| -> Vec<Row> {
        (0..plan.speeds_rad_s.len())
            .into_par_iter()
            .map(|at| {
                let row = make(at);
                progress.advance();
                row
            })
            .collect()
    };
    let first = each(&|at| row::row(plan, at));
    // transients depend on where the vanes start from: the ceilings are sought
    // again with the vanes that the first ones lead to
    let second = plan.with_vanes(&assemble::assemble(plan, &first).vane_pct);
    let plan = &second;
    let mut rows = each(&|at| row::again(plan, at, &first[at]));
    progress.end();
    let mend::Mended {
        made,
        runs,
        changes,
        repairs,
    } = mend::mend(plan, &mut rows);
    let proof = TablesProof {
        verdict: proof::verdict(&runs),
        limits_held: runs.iter().all(|r| r.limits_held),
        repairs,
        changes,
        runs: runs.into_iter().map(|r| r.run).collect(),
    };
    result(plan, titles, &rows, &made, proof)
}

fn result(
    plan: &TablesPlan,
    titles: &Titles,
    rows: &[Row],
    made: &Tables,
    proof: TablesProof,
) -> TablesResult {
    let gain = gain::curves(plan, rows);
    let critical_gain = gain::critical(&gain);
    TablesResult {
        tool: TOOL.to_string(),
        version: env!("CARGO_PKG_VERSION").to_string(),
        scenario: titles.scenario.clone(),
        data: titles.data.clone(),
        engine_speeds_rpm: plan.speeds_rad_s.iter().map(|n| row::rpm(*n)).collect(),
        fuels_mg: plan.fuels_kg.iter().map(|kg| tidy(kg * 1e6)).collect(),
        command_kpa_abs: made.command_kpa.clone(),
        vane_closed_pct: made.vane_pct.clone(),
        binding: made.binding.clone(),
        fuel_scale: rows.iter().map(|row| row.fuel_scale).collect(),
        full_load_engine_speeds_rpm: made.full_load.iter().map(|(n, _)| row::rpm(*n)).collect(),
        full_load_mg: made.full_load.iter().map(|(_, mg)| *mg).collect(),
        full_load: rows.iter().map(Row::told).collect(),
        places: plan
            .places
            .iter()
            .map(|place| TablesPlace {
                altitude_m: place.ambient.altitude_m,
                ambient_kpa_abs: place.ambient.pressure_pa * 1e-3,
                ambient_k: place.ambient.temperature_k,
                taken_off_kpa: place.taken_off_pa * 1e-3,
            })
            .collect(),
        reserve: plan.told_reserve(),
        readable_ceiling_kpa_abs: plan.ceiling.rig.sensors.boost.chain.readable_ceiling_pa() * 1e-3,
        proof,
        gain,
        critical_gain,
    }
}

/// Without the last bits that the way through SI adds.
fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}
