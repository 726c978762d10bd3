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
    /// A flow \[kg/s\] at an enthalpy \[J/kg\] and a burned fraction.
    pub fn at(flow_kg_s: f64, enthalpy_j_kg: f64, burned: f64) -> Self {
        Self {
            flow_kg_s,
            enthalpy_w: flow_kg_s * enthalpy_j_kg,
            burned_kg_s: flow_kg_s * burned,
        }
    }

    /// The same stream, carrying the gas of a volume behind it where it flows
    /// backwards out of that.
    pub fn carrying_back(self, behind: &GasState) -> Self {
        if self.flow_kg_s >= 0.0 {
            return self;
        }
        Self::carrying(self.flow_kg_s, behind)
    }

    /// Two streams together.
    pub fn and(self, other: Self) -> Self {
        Self {
            flow_kg_s: self.flow_kg_s + other.flow_kg_s,
            enthalpy_w: self.enthalpy_w + other.enthalpy_w,
            burned_kg_s: self.burned_kg_s + other.burned_kg_s,
        }
    }

    /// A flow \[kg/s\] that carries the gas of the side that it comes from.
    pub fn carrying(flow_kg_s: f64, gas: &GasState) -> Self {
        Self {
            flow_kg_s,
            enthalpy_w: flow_kg_s * gas.properties.enthalpy_j_kg,
            burned_kg_s: flow_kg_s * gas.burned,
        }
    }
}
