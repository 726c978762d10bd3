//! What is broken on the plant, and the leaks that follow from it.
use super::volume::GasState;
use crate::gas::nozzle::{Reservoir, mass_flow_between};
use crate::gas::{Ambient, WorkingGas};

/// The condition of the plant; the default is sound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Health {
    /// Effective area of a leak from the intake volume to the ambient \[m²\].
    pub boost_leak_m2: f64,
    /// Effective area of a leak from the exhaust volume to the ambient \[m²\].
    pub exhaust_leak_m2: f64,
    /// Factor on the pressure loss of the filter \[-\].
    pub filter_loss_factor: f64,
    /// Factor on the pressure loss of the charge cooler \[-\].
    pub cooler_loss_factor: f64,
    /// Whether the vanes stick where they are.
    pub vanes_stuck: bool,
}

impl Default for Health {
    fn default() -> Self {
        Self {
            boost_leak_m2: 0.0,
            exhaust_leak_m2: 0.0,
            filter_loss_factor: 1.0,
            cooler_loss_factor: 1.0,
            vanes_stuck: false,
        }
    }
}

/// What goes through a leak, positive outwards.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Leak {
    /// Mass flow \[kg/s\].
    pub flow_kg_s: f64,
    /// Enthalpy flow \[W\].
    pub enthalpy_w: f64,
    /// Combustion products \[kg/s\].
    pub burned_kg_s: f64,
}

impl Leak {
    /// An isentropic opening of an effective area \[m²\] between a volume and
    /// the ambient, in either direction; the stream carries the state of the
    /// side it comes from.
    pub fn through(area_m2: f64, gas: &WorkingGas, inside: &GasState, ambient: &Ambient) -> Self {
        if area_m2 == 0.0 {
            return Self::default();
        }
        let air = gas.properties(ambient.temperature_k, 0.0);
        let flow_kg_s = mass_flow_between(
            area_m2,
            Reservoir {
                pressure_pa: inside.pressure_pa,
                temperature_k: inside.temperature_k,
                gas_constant_j_kg_k: inside.properties.gas_constant_j_kg_k,
                gamma: inside.properties.gamma,
            },
            Reservoir {
                pressure_pa: ambient.pressure_pa,
                temperature_k: ambient.temperature_k,
                gas_constant_j_kg_k: air.gas_constant_j_kg_k,
                gamma: air.gamma,
            },
        );
        let (enthalpy_j_kg, burned) = if flow_kg_s >= 0.0 {
            (inside.properties.enthalpy_j_kg, inside.burned)
        } else {
            (air.enthalpy_j_kg, 0.0)
        };
        Self {
            flow_kg_s,
            enthalpy_w: flow_kg_s * enthalpy_j_kg,
            burned_kg_s: flow_kg_s * burned,
        }
    }
}
