//! The safe ceiling: the highest boost command that holds every limit.
//!
//! For one engine speed in one ambient the same boost is commanded at all
//! speeds. A command holds when at equilibrium, through a load step to that
//! speed, through a full pull and a gear shift to it and for some time after each no limit is
//! exceeded and the reading is not pinned for longer than allowed, at every
//! corner of the stated sensor error. Limits bind from both sides, so the
//! answer is a window; where it is empty, the fuel is scaled back until one
//! opens.
//!
//! | file | what it does |
//! | --- | --- |
//! | `plan`, `ask` | what is asked, by whom |
//! | `follows` | whether the controller takes up a command that is set |
//! | `window` | equilibria over the vane travel: where a command can hold at all |
//! | `settled` | where a command comes to rest, and when a run is near enough |
//! | `trial` | one command through the transients at the corners |
//! | `search` | the highest command that holds, on the grid of steps |
//! | `cell` | the answer of a cell, at full fuel or at less |
//! | `neighbour` | the same search begun near the answer of a similar plan |
//! | `proof` | the assembled table driven through once more |
mod ask;
mod cell;
mod follows;
mod neighbour;
mod plan;
mod proof;
mod search;
mod settled;
mod trial;
mod window;

pub use follows::follows_command;
pub use neighbour::Neighbour;
pub use plan::{CeilingPlan, SensorCorner, ShiftTransient, Transients};

use crate::gas::Ambient;
use crate::judgement::{CeilingCell, CeilingResult, TOOL, Titles};
use crate::study::progress::Progress;
use rayon::prelude::*;

/// The cells of one engine speed \[rad/s\] in a row of ambients, in order, in
/// parallel, with the transients of a plan.
pub fn cells_along(
    plan: &CeilingPlan,
    ambients: &[Ambient],
    speed_rad_s: f64,
    progress: &dyn Progress,
) -> Vec<CeilingCell> {
    progress.begin(ambients.len());
    let cells = ambients
        .par_iter()
        .map(|&ambient| {
            let cell = cell::cell(plan, ambient, speed_rad_s);
            progress.advance();
            cell
        })
        .collect();
    progress.end();
    cells
}

/// Answers every cell of a plan, in order, in parallel, and proves the table.
///
/// Cells do not know of each other, so the result does not depend on the
/// number of threads.
pub fn ceiling(plan: &CeilingPlan, titles: &Titles, progress: &dyn Progress) -> CeilingResult {
    let work: Vec<(usize, usize)> = (0..plan.ambients.len())
        .flat_map(|a| (0..plan.speeds_rad_s.len()).map(move |s| (a, s)))
        .collect();
    progress.begin(work.len());
    let cells: Vec<_> = work
        .par_iter()
        .map(|&(a, s)| {
            let cell = cell::cell(plan, plan.ambients[a], plan.speeds_rad_s[s]);
            progress.advance();
            cell
        })
        .collect();
    progress.end();
    let table_proved = proof::prove(plan, &cells);
    CeilingResult {
        tool: TOOL.to_string(),
        version: env!("CARGO_PKG_VERSION").to_string(),
        scenario: titles.scenario.clone(),
        data: titles.data.clone(),
        step_kpa: plan.step_pa * 1e-3,
        readable_ceiling_kpa_abs: Some(plan.rig.sensors.boost.chain.readable_ceiling_pa() * 1e-3),
        cells,
        table_proved,
        band: None,
    }
}
