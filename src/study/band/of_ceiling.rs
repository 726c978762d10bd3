//! The band of a ceiling.
use super::draws::Draw;
use super::{HIGH, LOW, quantile};
use crate::judgement::{Band, BandBasis, CeilingResult};
use crate::scenario::build::BuildFailure;
use crate::study::ceiling::{CeilingPlan, Neighbour};
use crate::study::progress::Progress;
use rayon::prelude::*;

/// Seeks the ceiling of every cell in every draw and lays the band over a
/// result.
///
/// It is the same search as for the stated figures, begun near their ceiling,
/// at the fuel that the cell has there. A draw in which no command holds at
/// that fuel counts as lower than all others.
///
/// # Errors
/// A draw whose ambient does not exist.
pub fn ceiling_band(
    result: &mut CeilingResult,
    plan: &CeilingPlan,
    basis: BandBasis,
    draws: &[Draw],
    progress: &dyn Progress,
) -> Result<(), BuildFailure> {
    let plans: Vec<CeilingPlan> = draws
        .iter()
        .map(|draw| CeilingPlan::of(&draw.scenario, &draw.setup))
        .collect::<Result<_, _>>()?;
    let neighbours = Neighbour::all(plan, &result.cells);
    let work: Vec<(usize, usize)> = (0..neighbours.len())
        .flat_map(|cell| (0..plans.len()).map(move |draw| (cell, draw)))
        .collect();
    progress.begin(work.len());
    let ceilings: Vec<Option<f64>> = work
        .par_iter()
        .map(|&(cell, draw)| {
            let ceiling = neighbours[cell].ceiling_pa(&plans[draw]);
            progress.advance();
            ceiling
        })
        .collect();
    progress.end();
    for (cell, found) in result
        .cells
        .iter_mut()
        .zip(ceilings.chunks(draws.len().max(1)))
    {
        cell.band = Some(band(found));
    }
    result.band = Some(basis);
    Ok(())
}

fn band(ceilings_pa: &[Option<f64>]) -> Band {
    let mut kpa: Vec<f64> = ceilings_pa
        .iter()
        .map(|pa| pa.map_or(f64::NEG_INFINITY, |pa| pa * 1e-3))
        .collect();
    let none = ceilings_pa.iter().filter(|pa| pa.is_none()).count();
    let mut at = |probability| quantile::of(&mut kpa, probability).filter(|kpa| kpa.is_finite());
    Band {
        low_kpa_abs: at(LOW),
        high_kpa_abs: at(HIGH),
        no_window_pct: 100.0 * none as f64 / ceilings_pa.len().max(1) as f64,
    }
}
