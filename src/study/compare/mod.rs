//! The same procedure on several scenarios.
mod fit;

pub use fit::Misfit;

use super::progress::Progress;
use super::single::{SingleRun, single};
use crate::scenario::Scenario;
use crate::scenario::build::{BuildFailure, Setup};
use crate::simulation::StartFailure;
use rayon::prelude::*;
use std::borrow::Cow;

/// A scenario that is to be compared.
#[derive(Debug, Clone, Copy)]
pub struct Rival<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// What it stands for.
    pub setup: &'a Setup,
}

impl Rival<'_> {
    /// Whether its own procedure is another than that of the first.
    pub fn drives_otherwise(&self, first: &Rival) -> bool {
        self.scenario.procedure != first.scenario.procedure
    }
}

/// A run with what it was asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Driven {
    /// Result and trace.
    pub run: SingleRun,
    /// When full load was first asked for \[s\].
    pub full_load_from_s: Option<f64>,
}

/// Why a scenario could not be driven.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WhyNot {
    /// The procedure of the first does not fit it.
    #[error("{0}")]
    Misfit(#[from] Misfit),
    /// It cannot be built with that procedure.
    #[error("{0}")]
    Build(#[from] BuildFailure),
    /// Its run could not start.
    #[error("{0}")]
    Start(#[from] StartFailure),
}

/// Runs each scenario through the procedure of the first, or each through its own;
/// the answers are in the order of the scenarios.
pub fn drive(
    rivals: &[Rival],
    own_procedures: bool,
    progress: &dyn Progress,
) -> Vec<Result<Driven, WhyNot>> {
    progress.begin(rivals.len());
    let driven = rivals
        .par_iter()
        .map(|rival| {
            let asked = if own_procedures { rival } else { &rivals[0] };
            let driven = one(rival, asked);
            progress.advance();
            driven
        })
        .collect();
    progress.end();
    driven
}

/// Runs a scenario through the procedure of another.
fn one(rival: &Rival, asked: &Rival) -> Result<Driven, WhyNot> {
    let setup = if rival.drives_otherwise(asked) {
        fit::fits(rival.scenario, rival.setup, &asked.scenario.procedure)?;
        // built anew: a road begins where it begins, and what a driver does there
        // depends on the engine
        let scenario = Scenario {
            procedure: asked.scenario.procedure.clone(),
            ..rival.scenario.clone()
        };
        Cow::Owned(Setup::new(&scenario)?)
    } else {
        Cow::Borrowed(rival.setup)
    };
    Ok(Driven {
        run: single(&setup)?,
        full_load_from_s: setup.procedure.full_load_from_s(),
    })
}
