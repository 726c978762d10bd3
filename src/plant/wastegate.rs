//! The wastegate: exhaust gas past the turbine, back in ahead of the exhaust
//! system.
use super::further::{FurtherGas, Place};
use super::stream::Stream;
use super::turbine::{TurbineDemand, TurbineForm, TurbinePoint, behind_loss, root_flow};
use super::{Plant, PlantInput};
use crate::gas::Ambient;
use crate::gas::nozzle::{Reservoir, mass_flow_between};
use crate::plant::restriction::Restriction;
use crate::plant::volume::GasState;

/// A valve in parallel to the turbine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wastegate {
    /// Effective area when fully open \[m²\].
    pub area_m2: f64,
    /// Opening at rest, where nothing else orders one, 0 shut to 1 open \[-\].
    pub opening: f64,
    /// Its flow.
    pub law: WastegateLaw,
}

/// How gas flows through a wastegate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WastegateLaw {
    /// An isentropic opening that chokes; see [`crate::gas::nozzle`].
    Isentropic,
    /// ṁ = A c₁ p₃ √(1 − Π^c₂)/√(R T₃), M. Sivertsson, L. Eriksson, SIMS 55 (2014).
    Root {
        /// c₁ \[-\].
        factor: f64,
        /// c₂ \[-\].
        exponent: f64,
    },
}

impl Wastegate {
    /// The stream at an opening, between the exhaust volume and an outlet that
    /// holds ambient air should it flow backwards. The area goes linearly with the
    /// opening; the valve passes the gas at its enthalpy.
    fn stream(&self, d: &TurbineDemand, open: f64) -> Stream {
        let area_m2 = open * self.area_m2;
        if area_m2 == 0.0 {
            return Stream::default();
        }
        let air = d.gas.properties(d.ambient.temperature_k, 0.0);
        let (inlet, a) = (d.inlet, d.ambient);
        let forward = inlet.pressure_pa >= a.pressure_pa;
        let flow_kg_s = match self.law {
            WastegateLaw::Isentropic => mass_flow_between(
                area_m2,
                Reservoir {
                    pressure_pa: inlet.pressure_pa,
                    temperature_k: inlet.temperature_k,
                    gas_constant_j_kg_k: inlet.properties.gas_constant_j_kg_k,
                    gamma: inlet.properties.gamma,
                },
                Reservoir {
                    pressure_pa: a.pressure_pa,
                    temperature_k: a.temperature_k,
                    gas_constant_j_kg_k: air.gas_constant_j_kg_k,
                    gamma: air.gamma,
                },
            ),
            WastegateLaw::Root { factor, exponent } => {
                let rt = if forward {
                    inlet.properties.gas_constant_j_kg_k * inlet.temperature_k
                } else {
                    air.gas_constant_j_kg_k * a.temperature_k
                };
                let ratio = a.pressure_pa / inlet.pressure_pa;
                area_m2 * factor * inlet.pressure_pa * root_flow(ratio, exponent) / rt.sqrt()
            }
        };
        let (enthalpy_j_kg, burned) = if forward {
            (inlet.properties.enthalpy_j_kg, inlet.burned)
        } else {
            (air.enthalpy_j_kg, 0.0)
        };
        Stream {
            flow_kg_s,
            enthalpy_w: flow_kg_s * enthalpy_j_kg,
            burned_kg_s: flow_kg_s * burned,
        }
    }

    /// Turbine and wastegate side by side.
    fn beside(
        &self,
        turbine: &dyn TurbineForm,
        demand: &TurbineDemand,
        open: f64,
    ) -> (TurbinePoint, Stream) {
        behind_loss(demand, |d| (turbine.operate(d), self.stream(d, open)))
    }
}

impl Plant {
    /// From the exhaust volume to the tailpipe.
    pub(super) fn turbine_side(
        &self,
        exhaust: &GasState,
        further: &FurtherGas,
        shaft_speed_rad_s: f64,
        vane_closed: f64,
        input: &PlantInput,
    ) -> (TurbinePoint, Stream) {
        let demand = TurbineDemand {
            gas: &self.gas,
            inlet: exhaust,
            ambient: &self.ambient,
            shaft_speed_rad_s,
            vane_closed,
            area_factor: input.turbine_area_factor,
            system: &self.exhaust_system,
        };
        if let Some(outlet) = further.at(Place::TurbineOutlet) {
            let behind = Ambient {
                pressure_pa: outlet.pressure_pa,
                temperature_k: outlet.temperature_k,
                ..self.ambient
            };
            let demand = TurbineDemand {
                ambient: &behind,
                system: &Restriction::NONE,
                ..demand
            };
            let (turbine, past) = self.turbine_beside(&demand, input);
            return (turbine.carrying_back(outlet), past.carrying_back(outlet));
        }
        let Some(pressure_pa) = self.outlet_pressure_pa else {
            return self.turbine_beside(&demand, input);
        };
        self.turbine_beside(
            &TurbineDemand {
                ambient: &Ambient {
                    pressure_pa,
                    ..self.ambient
                },
                system: &Restriction::NONE,
                ..demand
            },
            input,
        )
    }

    fn turbine_beside(&self, demand: &TurbineDemand, input: &PlantInput) -> (TurbinePoint, Stream) {
        match &self.wastegate {
            None => (self.turbine.operate(demand), Stream::default()),
            Some(valve) => valve.beside(self.turbine.as_ref(), demand, input.wastegate_open),
        }
    }
}
