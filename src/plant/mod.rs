//! The plant: volumes hold state, flow elements join them, `Plant` adds them up.
pub mod compressor;
