//! The compressor map against published correlations, worked examples and its
//! own measured points.

#[path = "compressor_map/corrected.rs"]
mod corrected;
#[path = "compressor_map/demo.rs"]
mod demo;
#[path = "compressor_map/files.rs"]
mod files;
#[path = "compressor_map/findings.rs"]
mod findings;
#[path = "compressor_map/operation.rs"]
mod operation;
#[path = "common/proof.rs"]
mod proof;
#[path = "common/random.rs"]
mod random;
#[path = "compressor_map/wheel.rs"]
mod wheel;
