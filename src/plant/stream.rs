//! What goes through an element per second.
use super::volume::GasState;

/// A stream of gas; which way counts positive is the element's to say.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Stream {
    /// Mass flow \[kg/s\].
    pub flow_kg_s: f64,
    /// Enthalpy flow \[W\].
    pub enthalpy_w: f64,
    /// Combustion products \[kg/s\].
    pub burned_kg_s: f64,
}

impl Stream {
    /// A flow \[kg/s\] that carries the gas of the side that it comes from.
    pub fn carrying(flow_kg_s: f64, gas: &GasState) -> Self {
        Self {
            flow_kg_s,
            enthalpy_w: flow_kg_s * gas.properties.enthalpy_j_kg,
            burned_kg_s: flow_kg_s * gas.burned,
        }
    }
}
