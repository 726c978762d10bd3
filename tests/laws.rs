//! Laws that the physics has to obey, and closed forms that it has to meet.
//!
//! Reference tables stand in `tests/data/reference/`; the head of each names its
//! sources and how exact it is; which rows have no test, and why, stands in
//! `docs/validation/reference.csv`.
#![allow(clippy::print_stdout)] // figures that were reached, for `--nocapture`

#[path = "laws/any_elements.rs"]
mod any_elements;
#[path = "laws/any_plant.rs"]
mod any_plant;
#[path = "laws/any_run.rs"]
mod any_run;
#[path = "laws/balances.rs"]
mod balances;
#[path = "validation/equilibria/cantera.rs"]
mod cantera;
#[path = "laws/ceilings.rs"]
mod ceilings;
#[path = "laws/chain.rs"]
mod chain;
#[path = "laws/compare.rs"]
mod compare;
#[path = "laws/cycles.rs"]
mod cycles;
#[path = "laws/elements.rs"]
mod elements;
#[path = "laws/entropy.rs"]
mod entropy;
#[path = "laws/filling.rs"]
mod filling;
#[path = "laws/formulas.rs"]
mod formulas;
#[path = "laws/optional.rs"]
mod optional;
#[path = "laws/plants.rs"]
mod plants;
#[path = "common/proof.rs"]
mod proof;
#[path = "common/random.rs"]
mod random;
#[path = "laws/reference.rs"]
mod reference;
#[path = "laws/shipped.rs"]
mod shipped;
#[path = "laws/trends.rs"]
mod trends;
#[path = "laws/turbocharger.rs"]
mod turbocharger;
#[path = "laws/units.rs"]
mod units;
#[path = "laws/vessels.rs"]
mod vessels;
