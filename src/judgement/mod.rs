//! Samples against limits: worst values, time exceeded, headroom, verdict.
mod result;
pub use result::*;
