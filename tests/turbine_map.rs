//! Turbine maps: the file format, the form that follows measured vane positions,
//! and the shipped map.
#[path = "turbine_map/demo.rs"]
mod demo;
#[path = "turbine_map/files.rs"]
mod files;
#[path = "turbine_map/findings.rs"]
mod findings;
#[path = "turbine_map/form.rs"]
mod form;
