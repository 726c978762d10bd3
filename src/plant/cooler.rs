//! The charge cooler: effectiveness over flow.
use super::heat_soak::HeatSoak;
use crate::map::Table1;

/// Temperature of the medium that cools the charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CoolantTemperature {
    /// A rise over the ambient \[K\], as of an air-cooled front end.
    AboveAmbient(f64),
    /// A temperature of its own \[K\], as of a water circuit.
    Fixed(f64),
}

/// A charge cooler, with heat capacity of its own if its core has one.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooler {
    /// Effectiveness over air flow \[kg/s → -\].
    pub effectiveness: Table1,
    /// What cools it.
    pub coolant: CoolantTemperature,
    /// Its core, where that stores heat.
    pub heat_soak: Option<HeatSoak>,
}

impl Cooler {
    /// Temperature of the cooling medium \[K\].
    pub fn coolant_k(&self, ambient_k: f64) -> f64 {
        match self.coolant {
            CoolantTemperature::AboveAmbient(rise) => ambient_k + rise,
            CoolantTemperature::Fixed(k) => k,
        }
    }

    /// Enthalpy of the charge after the cooler \[J/kg\].
    ///
    /// ε = (h₂ − h_out) / (h₂ − h(T_coolant)). The effectiveness is taken on
    /// enthalpies; on temperatures it differs by less than 0.2 % up to 250 °C,
    /// since cp of air varies by 3 % there. Kays & London, Compact Heat
    /// Exchangers, ch. 2 (from memory).
    pub fn outlet_enthalpy_j_kg(
        &self,
        flow_kg_s: f64,
        inlet_enthalpy_j_kg: f64,
        coolant_enthalpy_j_kg: f64,
    ) -> f64 {
        let e = self.effectiveness.at(flow_kg_s);
        inlet_enthalpy_j_kg - e * (inlet_enthalpy_j_kg - coolant_enthalpy_j_kg)
    }
}
