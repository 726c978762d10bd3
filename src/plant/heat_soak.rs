//! Heat soak of the charge cooler: its core as a lump of heat between charge and
//! coolant.
//!
//! Two resistances in series, the lump between them (Kays & London, Compact Heat
//! Exchangers, ch. 3 on transient behaviour; lumped wall; from memory). The charge
//! gives heat to the core with an effectiveness ε_c towards its temperature; the
//! core gives heat to the coolant over a conductance that follows from asking that
//! at rest both together have the effectiveness ε of the cooler without soak:
//!
//! charge: h_out = h_in − ε_c (h_in − h(T_core)), Q_c = |ṁ| (h_in − h_out)
//! coolant: Q_k = K (h(T_core) − h(T_coolant)), K = |ṁ| ε ε_c/(ε_c − ε)
//! core: d/dt C (T_core − 298.15 K) = Q_c − Q_k
//!
//! All enthalpies are those of the charge's composition, so that the two series
//! resistances 1/(|ṁ| ε_c) + 1/K = 1/(|ṁ| ε) add exactly. With ε ≈ 0.74…0.93 over
//! the flow and ε_c = 0.96, K is nearly constant, as the coolant's side should be.
//! Without flow the core keeps its heat. The core has one temperature; heat along
//! it and radiation are left out.
use crate::gas::WorkingGas;

/// Temperature at which the core's heat counts from zero \[K\].
const REFERENCE_K: f64 = 298.15;

/// The core of a charge cooler.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatSoak {
    /// Heat capacity of the core \[J/K\].
    pub capacity_j_k: f64,
    /// Effectiveness from the charge towards the core \[-\], above that of the
    /// whole cooler at every flow.
    pub core_effectiveness: f64,
}

impl HeatSoak {
    /// Temperature of the core \[K\] at its heat above 298.15 K \[J\].
    pub fn core_k(&self, core_j: f64) -> f64 {
        REFERENCE_K + core_j / self.capacity_j_k
    }

    /// Heat of the core above 298.15 K \[J\] at its temperature \[K\].
    pub fn core_j(&self, core_k: f64) -> f64 {
        self.capacity_j_k * (core_k - REFERENCE_K)
    }

    /// Conductance from core to coolant on enthalpies of the charge \[kg/s\], at
    /// an effectiveness of the whole cooler \[-\].
    pub fn coolant_kg_s(&self, flow_kg_s: f64, effectiveness: f64) -> f64 {
        let core = self.core_effectiveness;
        flow_kg_s.abs() * effectiveness * core / (core - effectiveness)
    }
}

/// What a charge cooler does to a stream.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoolerPass {
    /// Enthalpy of the charge behind it \[J/kg\].
    pub outlet_enthalpy_j_kg: f64,
    /// Heat that the charge gives \[W\].
    pub from_charge_w: f64,
    /// Heat that the coolant takes \[W\]; the same without heat soak.
    pub to_coolant_w: f64,
}

impl super::cooler::Cooler {
    /// A stream through the cooler: its flow \[kg/s\] in either direction, the
    /// enthalpy \[J/kg\] and burned fraction that it enters with, and the heat in
    /// the core \[J\].
    pub fn pass(
        &self,
        gas: &WorkingGas,
        ambient_k: f64,
        (flow_kg_s, inlet_enthalpy_j_kg, burned): (f64, f64, f64),
        core_j: f64,
    ) -> CoolerPass {
        let coolant_j_kg = gas.enthalpy_j_kg(self.coolant_k(ambient_k), burned);
        let flow = flow_kg_s.abs();
        let Some(soak) = &self.heat_soak else {
            let outlet = self.outlet_enthalpy_j_kg(flow, inlet_enthalpy_j_kg, coolant_j_kg);
            let heat_w = flow * (inlet_enthalpy_j_kg - outlet);
            return CoolerPass {
                outlet_enthalpy_j_kg: outlet,
                from_charge_w: heat_w,
                to_coolant_w: heat_w,
            };
        };
        let core_j_kg = gas.enthalpy_j_kg(soak.core_k(core_j), burned);
        let given_j_kg = soak.core_effectiveness * (inlet_enthalpy_j_kg - core_j_kg);
        let conductance = soak.coolant_kg_s(flow, self.effectiveness.at(flow));
        CoolerPass {
            outlet_enthalpy_j_kg: inlet_enthalpy_j_kg - given_j_kg,
            from_charge_w: flow * given_j_kg,
            to_coolant_w: conductance * (core_j_kg - coolant_j_kg),
        }
    }
}
