//! What the stated uncertainty of a scenario does to the answers.
//!
//! A draw is the scenario with each uncertain number multiplied by a factor of
//! its own. The same question is put to every draw; low and high are the 2.5 %
//! and 97.5 % quantiles of the answers, each quantity for itself. A draw is
//! made from its number and the seed alone, so that each can be replayed and
//! the answer does not depend on the number of threads.
//!
//! | file | what it does |
//! | --- | --- |
//! | `draws` | scenarios drawn |
//! | `quantile` | of the normal distribution, of the answers |
//! | `of_run` | the run of each draw |
//! | `of_ceiling` | the ceiling of each draw, sought near the stated one |
mod draws;
mod of_ceiling;
mod of_run;
mod quantile;

pub(in crate::study) use draws::point;
pub use draws::{DRAWS, Draw, DrawFailure, Drawing, MOST_DRAWS, SEED, basis, draw, draws, factors};
pub use of_ceiling::ceiling_band;
pub use of_run::run_band;
pub(in crate::study) use quantile::{normal as normal_quantile, of as quantile_of};

/// Probability of the low end of a band.
pub const LOW: f64 = 0.025;
/// Probability of the high end of a band.
pub const HIGH: f64 = 0.975;
