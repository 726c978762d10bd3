//! What production spread does to a run: how likely each limit is exceeded, why, and
//! which command keeps that rare.
//!
//! Engines are drawn independently, each from its number and the seed alone, so that a
//! count of them is binomial and its interval honest. The same procedure is run with
//! each.
//!
//! | file | what it does |
//! | --- | --- |
//! | `draws` | engines drawn |
//! | `trial` | what one engine does |
//! | `interval` | how well a share of the draws is known |
//! | `causes` | which inputs make a headroom vary |
//! | `assess` | from the trials to the result |
//! | `command` | the highest command that keeps the probability below a level |
mod assess;
mod causes;
mod command;
mod draws;
mod interval;
mod trial;

use rayon::prelude::*;

use crate::judgement::{Probability, ToleranceResult};
use crate::scenario::Loaded;
use crate::scenario::build::Setup;
use crate::study::progress::Progress;

pub use causes::{Explained, explain};
pub use draws::{Engine, Input, engine, inputs};
pub use interval::{draws_needed, high, low, most_allowed};
pub use trial::{End, Met, Trial};

/// How many engines are drawn where nothing else is asked for.
pub const DRAWS: u32 = 400;
/// Fewest engines: with less no interval says anything.
pub const FEWEST_DRAWS: u32 = 10;
/// Most engines.
pub const MOST_DRAWS: u32 = 100_000;

/// Most engines that are kept built for the search of the command; to build one again
/// takes longer than its run.
const MOST_KEPT: u32 = 1000;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// How many engines.
    pub draws: u32,
    /// Their seed.
    pub seed: u32,
    /// Confidence of the intervals \[-\].
    pub confidence: f64,
    /// The level that the probability is to be kept below \[-\].
    pub level: f64,
    /// Whether what is not known of the model is drawn as well.
    pub with_uncertainty: bool,
}

impl Default for Asked {
    fn default() -> Self {
        Self {
            draws: DRAWS,
            seed: 1,
            confidence: 0.95,
            level: 0.01,
            with_uncertainty: false,
        }
    }
}

/// The answer with what it was found from.
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerance {
    /// The answer.
    pub result: ToleranceResult,
    /// The numbers that were drawn.
    pub inputs: Vec<Input>,
    /// The engines.
    pub engines: Vec<Engine>,
    /// What each did.
    pub trials: Vec<Trial>,
}

/// Draws the engines, runs each and judges them together; `None` where nothing is
/// stated that could be drawn.
///
/// `runs` is told about the engines as written, `search` about the search of the
/// command.
pub fn tolerance(
    loaded: &Loaded,
    setup: &Setup,
    asked: Asked,
    runs: &dyn Progress,
    search: &dyn Progress,
) -> Option<Tolerance> {
    let inputs = inputs(loaded, asked.with_uncertainty);
    if inputs.is_empty() {
        return None;
    }
    let engines: Vec<Engine> = (0..asked.draws)
        .map(|index| engine(&inputs, asked.seed, index))
        .collect();
    runs.begin(engines.len());
    let (trials, setups): (Vec<Trial>, Vec<Option<Setup>>) = engines
        .par_iter()
        .map(|engine| {
            let (trial, setup) = trial::trial(loaded, engine, 0.0);
            runs.advance();
            (trial, setup.filter(|_| engine.index < MOST_KEPT))
        })
        .unzip();
    runs.end();
    let advice = command::Search {
        loaded,
        setup,
        asked,
        engines: &engines,
        trials: &trials,
        setups: &setups,
        progress: search,
    }
    .advice();
    let result = assess::Draws {
        setup,
        asked,
        inputs: &inputs,
        engines: &engines,
        trials: &trials,
    }
    .result(advice);
    Some(Tolerance {
        result,
        inputs,
        engines,
        trials,
    })
}

/// A probability from counts. What is not known counts in the high end only, as if it
/// had happened.
fn probability(exceeding: u32, unknown: u32, asked: Asked) -> Probability {
    let Asked {
        draws, confidence, ..
    } = asked;
    Probability {
        exceeding,
        unknown,
        probability_pct: 100.0 * f64::from(exceeding) / f64::from(draws),
        low_pct: 100.0 * low(exceeding, draws, confidence),
        high_pct: 100.0 * high(exceeding + unknown, draws, confidence),
    }
}
