//! The published diesel benchmark, point by point, and the forms that it brought.
//!
//! M. Sivertsson, L. Eriksson, "Modelling for Optimal Control: A Validated
//! Diesel-Electric Powertrain Model" and "An Optimal Control Benchmark: Transient
//! Optimization of a Diesel-Electric Powertrain", SIMS 55 (2014). Reference points:
//! `tests/data/reference/g_bench_*.csv`, solved with CVODE from an implementation
//! of their own (`bench.py` there).
#[path = "cli/bench.rs"]
#[allow(dead_code)]
mod bench;
#[path = "published/calls.rs"]
mod calls;
#[path = "published/equilibria.rs"]
mod equilibria;
#[path = "published/forms.rs"]
mod forms;
#[path = "published/points.rs"]
mod points;
#[path = "common/proof.rs"]
mod proof;
#[path = "published/transients.rs"]
mod transients;
#[path = "published/wastegate.rs"]
mod wastegate;
