//! Laws that the physics has to obey, and closed forms that it has to meet.
//!
//! Reference tables stand in `tests/data/reference/`; the head of each names its
//! sources and how exact it is. Woschni's heat transfer and Wiebe's heat release
//! (two formulas of `ef_formula_samples.csv`) have no test here: they belong to
//! a crank-angle-resolved engine, and no code of this project answers them yet.
#![allow(clippy::print_stdout)] // figures that were reached, for `--nocapture`

#[path = "laws/balances.rs"]
mod balances;
#[path = "validation/equilibria/cantera.rs"]
mod cantera;
#[path = "laws/ceilings.rs"]
mod ceilings;
#[path = "laws/compare.rs"]
mod compare;
#[path = "laws/cycles.rs"]
mod cycles;
#[path = "laws/elements.rs"]
mod elements;
#[path = "laws/entropy.rs"]
mod entropy;
#[path = "laws/formulas.rs"]
mod formulas;
#[path = "laws/optional.rs"]
mod optional;
#[path = "laws/reference.rs"]
mod reference;
#[path = "laws/shipped.rs"]
mod shipped;
#[path = "laws/trends.rs"]
mod trends;
#[path = "laws/turbocharger.rs"]
mod turbocharger;
#[path = "laws/vessels.rs"]
mod vessels;
