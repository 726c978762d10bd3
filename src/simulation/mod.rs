//! From a rig and a procedure to samples: equilibrium, integration, audit.
mod sample;
pub use sample::{PROTECTIONS, Sample};
