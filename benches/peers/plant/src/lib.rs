//! The demonstration's pull as a problem that any solver can be given: a start,
//! an input for each controller tick, and the rates in between.
//!
//! [`replay`] records it; `c` hands it to other languages, and is the only place
//! with `unsafe` code.
mod c;
pub mod replay;
