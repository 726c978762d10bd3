//! Air, combustion products and their flow through openings; the atmosphere
//! they come from.
//!
//! | file | what it holds |
//! | --- | --- |
//! | [`species`] | cited heat-capacity polynomials and molar masses |
//! | [`mixture`] | compositions: humid air and its stoichiometric products |
//! | [`working_gas`] | [`WorkingGas`]: h, u, cp, gamma and their inverses |
//! | [`nozzle`] | mass flow through an opening, choking, both directions |
//! | [`isentropic_flow`] | static against total state over the Mach number |
//! | [`atmosphere`] | the standard atmosphere; humidity of air |
//! | [`ambient`] | [`Ambient`]: the air outside as one value |
//!
//! Everything is SI in plain `f64` with the unit in the name. The gases are
//! ideal and their composition is frozen: no dissociation, no condensation.
pub mod ambient;
pub mod atmosphere;
mod inverse;
pub mod isentropic_flow;
pub mod mixture;
pub mod nozzle;
pub mod species;
pub mod working_gas;

pub use ambient::Ambient;
pub use atmosphere::{AtmosphereError, humidity_ratio};
pub use working_gas::{ConstantGas, GasProperties, IsentropicEnd, WorkingGas};
