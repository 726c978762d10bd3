//! The equilibria of every shipped scenario, rebuilt from what is reported with
//! gas properties from outside the project.
#![allow(clippy::print_stdout)] // figures that were reached, for `--nocapture`

#[path = "validation/equilibria/cantera.rs"]
mod cantera;
#[path = "validation/equilibria/power.rs"]
mod power;
#[path = "common/proof.rs"]
mod proof;
#[path = "laws/reference.rs"]
mod reference;
#[path = "laws/shipped.rs"]
mod shipped;
