//! The sections of a scenario file, as they are written: one struct each, one
//! documented field for each key. Nothing here has been checked against
//! anything else; that is what [`super::Scenario`] stands for.

mod air;
mod controller;
mod engine;
mod procedure;
mod protections;
mod root;
mod sensors;
mod special;
mod turbo;

pub use air::*;
pub use controller::*;
pub use engine::*;
pub use procedure::*;
pub use protections::*;
pub use root::*;
pub use sensors::*;
pub use special::*;
pub use turbo::*;
