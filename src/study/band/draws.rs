//! Which scenarios the stated uncertainty allows: draws, each by its number.
use super::quantile;
use crate::judgement::{BandBasis, UncertainNumber};
use crate::scenario::build::Setup;
use crate::scenario::{
    Changed, FactorFailure, Loaded, Scenario, Spread, SpreadShape, changed, scaled,
};
use rayon::prelude::*;

/// How many draws are made where nothing else is asked for.
pub const DRAWS: u32 = 32;
/// Seed where nothing else is asked for.
pub const SEED: u32 = 1;
/// Most draws: the sequence has no more points.
pub const MOST_DRAWS: u32 = 1 << 16;

/// How the uncertainty is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Drawing {
    /// How many draws.
    pub draws: u32,
    /// Their seed.
    pub seed: u32,
}

impl Default for Drawing {
    fn default() -> Self {
        Self {
            draws: DRAWS,
            seed: SEED,
        }
    }
}

/// A scenario as it may really be.
#[derive(Debug, Clone)]
pub struct Draw {
    /// Its number, from 0.
    pub index: u32,
    /// The numbers that differ.
    pub changed: Vec<Changed>,
    /// The scenario.
    pub scenario: Scenario,
    /// What runs.
    pub setup: Setup,
}

impl Draw {
    /// Overrides that replay it.
    pub fn replay(&self) -> Vec<String> {
        self.changed
            .iter()
            .map(|c| format!("{}={}", c.path, c.value))
            .collect()
    }
}

/// Why the uncertainty of a scenario cannot be drawn.
#[derive(Debug, Clone, thiserror::Error)]
pub enum DrawFailure {
    /// The scenario states no spread.
    #[error("the scenario states no uncertainty")]
    NothingStated,
    /// A draw is no scenario.
    #[error("draw {index} of the stated uncertainty leaves what a scenario may hold: {failure}")]
    Draw {
        /// Number of the draw, from 0.
        index: u32,
        /// What is wrong with it.
        failure: Box<FactorFailure>,
    },
}

/// All draws of a scenario, each checked and built; nothing has run yet.
pub fn draws(loaded: &Loaded, drawing: Drawing) -> Result<Vec<Draw>, DrawFailure> {
    if loaded.scenario.uncertainty.is_empty() {
        return Err(DrawFailure::NothingStated);
    }
    let all: Vec<Result<Draw, DrawFailure>> = (0..drawing.draws)
        .into_par_iter()
        .map(|index| draw(loaded, drawing.seed, index))
        .collect();
    // of several bad draws the first is named, whichever thread met one first
    all.into_iter().collect()
}

/// One draw by its number. It does not depend on how many there are.
pub fn draw(loaded: &Loaded, seed: u32, index: u32) -> Result<Draw, DrawFailure> {
    let factors = factors(&loaded.scenario.uncertainty, seed, index);
    let failed = |failure| DrawFailure::Draw {
        index,
        failure: Box::new(failure),
    };
    let (scenario, setup) = scaled(loaded, &factors).map_err(failed)?;
    Ok(Draw {
        index,
        changed: changed(loaded, &factors).map_err(failed)?,
        scenario,
        setup,
    })
}

/// What each uncertain number is multiplied with in one draw.
///
/// Normal: 1 + s·z/2, where the spread s is two standard deviations and z a
/// standard normal number, not cut off. Uniform: 1 + s·(2u − 1). The u of all
/// numbers are one point of an Owen-scrambled Sobol sequence.
///
/// Source: B. Burley, Practical Hash-based Owen Scrambling, Journal of Computer
/// Graphics Techniques 9(4), 2020.
pub fn factors(uncertain: &[(String, Spread)], seed: u32, index: u32) -> Vec<(String, f64)> {
    uncertain
        .iter()
        .enumerate()
        .map(|(number, (path, spread))| {
            let half_width = spread.half_width.fraction();
            let u = point(seed, index, number as u32);
            let off = match spread.shape {
                SpreadShape::Normal => half_width * 0.5 * quantile::normal(u),
                SpreadShape::Uniform => half_width * (2.0 * u - 1.0),
            };
            (path.clone(), 1.0 + off)
        })
        .collect()
}

/// A coordinate of a point, between 0 and 1, both left out.
pub(in crate::study) fn point(seed: u32, index: u32, dimension: u32) -> f64 {
    let dimensions = sobol_burley::NUM_DIMENSIONS;
    // beyond its dimensions the sequence starts again with another seed
    let seed = seed.wrapping_add((dimension / dimensions).wrapping_mul(0x9e37_79b9));
    let u = sobol_burley::sample(index % MOST_DRAWS, dimension % dimensions, seed);
    // the middle of the cell that a 24-bit number stands for
    f64::from(u) + 0.5 / f64::from(1u32 << 24)
}

/// What a band of these draws rests on.
pub fn basis(uncertain: &[(String, Spread)], drawing: Drawing) -> BandBasis {
    BandBasis {
        draws: drawing.draws,
        seed: drawing.seed,
        uncertain: uncertain
            .iter()
            .map(|(path, spread)| UncertainNumber {
                path: path.clone(),
                spread_pct: spread.half_width.fraction() * 100.0,
                shape: spread.shape.name().to_owned(),
            })
            .collect(),
    }
}
