//! A compressor whose duct has inertia: equilibria, surge cycles, reverse flow.
//!
//! Against Greitzer, J. Eng. Power 98 (1976), 190-198, Moore & Greitzer, J. Eng.
//! Gas Turbines Power 108 (1986), 68-76, and Helmholtz's resonator, all from
//! memory; what each test takes from them stands beside it.
#![allow(clippy::print_stdout)] // figures that were reached, for `--nocapture`

#[path = "surge/branches.rs"]
mod branches;
#[path = "surge/cycles.rs"]
mod cycles;
#[path = "common/proof.rs"]
mod proof;
#[path = "common/random.rs"]
mod random;
#[path = "surge/rest.rs"]
mod rest;
#[path = "laws/shipped.rs"]
#[allow(dead_code)] // the list of all scenarios is for others
mod shipped;
#[path = "surge/tube.rs"]
mod tube;
