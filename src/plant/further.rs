//! Further volumes by list: airbox, charge pipe, turbine outlet.
//!
//! Where one is fitted, the loss that the plain plant solves together with its
//! machine (filter, charge cooler, exhaust system) becomes a flow of its own
//! between two volumes, [`super::restriction::Restriction::flow_kg_s`]:
//!
//! ambient → filter → **airbox** → compressor → **charge pipe** → cooler → intake
//! exhaust → turbine → **turbine outlet** → exhaust system → ambient
//!
//! The densities in the losses stay those of the plain plant (filter: ambient;
//! cooler: intake volume; exhaust system: turbine outlet), whichever way the gas
//! flows, so that at rest both come to the same pressures.
use super::Plant;
use super::state::{Content, Extras, FURTHER_VOLUMES};
use super::stream::Stream;
use super::volume::{GasState, Volume};
use crate::gas::WorkingGas;

/// Where a further volume sits; also its place in [`Extras::volumes`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Between filter and compressor inlet.
    Airbox,
    /// Between compressor outlet and charge cooler.
    ChargePipe,
    /// Between turbine outlet and exhaust system.
    TurbineOutlet,
}

impl Place {
    /// All places, in the order of their states.
    pub const ALL: [Self; FURTHER_VOLUMES] = [Self::Airbox, Self::ChargePipe, Self::TurbineOutlet];
}

/// The further volumes that a plant has, by place.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FurtherVolumes {
    fitted: [Option<Volume>; FURTHER_VOLUMES],
}

impl FurtherVolumes {
    /// Fits a volume at a place, instead of one that is there.
    pub fn fit(&mut self, place: Place, volume: Volume) {
        self.fitted[place as usize] = Some(volume);
    }

    /// The volume at a place.
    pub fn at(&self, place: Place) -> Option<&Volume> {
        self.fitted[place as usize].as_ref()
    }

    /// Whether there is none.
    pub fn are_none(&self) -> bool {
        self.fitted.iter().all(Option::is_none)
    }

    /// The volumes with their places.
    pub fn iter(&self) -> impl Iterator<Item = (Place, &Volume)> {
        Place::ALL
            .into_iter()
            .filter_map(|place| Some((place, self.at(place)?)))
    }

    /// The gas in them.
    pub(super) fn gas(&self, gas: &WorkingGas, extras: &Extras) -> FurtherGas {
        let mut states = FurtherGas::default();
        for (place, volume) in self.iter() {
            let content = &extras.volumes[place as usize];
            states.states[place as usize] = Some(volume.gas_state(gas, content));
        }
        states
    }
}

/// The gas in the further volumes, by place.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FurtherGas {
    states: [Option<GasState>; FURTHER_VOLUMES],
}

impl FurtherGas {
    /// The gas at a place, where a volume is fitted.
    pub fn at(&self, place: Place) -> Option<&GasState> {
        self.states[place as usize].as_ref()
    }
}

/// What the further volumes do at one instant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FurtherPoint {
    /// The gas in them.
    pub gas: FurtherGas,
    /// Their rates.
    pub rates: [Content; FURTHER_VOLUMES],
    /// Through the exhaust system into the ambient, where the turbine's outlet
    /// has a volume.
    pub system: Option<Stream>,
    /// Heat through their walls \[W\].
    pub wall_heat_w: f64,
}

impl FurtherPoint {
    /// The balance of one volume.
    fn balance(&mut self, place: Place, volume: &Volume, flows: (Stream, Stream), ambient_k: f64) {
        let Some(gas) = self.gas.at(place) else {
            return;
        };
        let (inward, outward) = flows;
        let wall_w = volume.wall_heat_w(gas.temperature_k, ambient_k);
        self.rates[place as usize] = Content {
            mass_kg: inward.flow_kg_s - outward.flow_kg_s,
            energy_j: inward.enthalpy_w - outward.enthalpy_w - wall_w,
            burned_kg: inward.burned_kg_s - outward.burned_kg_s,
        };
        self.wall_heat_w += wall_w;
    }
}

/// The streams at the ends of the further volumes, positive downstream.
pub(super) struct Ends {
    /// Through the filter.
    pub inlet: Stream,
    /// Into the compressor.
    pub drawn: Stream,
    /// Out of the compressor.
    pub delivered: Stream,
    /// Out of the charge pipe into the cooler.
    pub to_cooler: Stream,
    /// Out of the turbine, and past it.
    pub turbine: Stream,
}

impl Plant {
    /// The ambient as a gas.
    pub(super) fn ambient_gas(&self) -> GasState {
        let a = &self.ambient;
        GasState {
            pressure_pa: a.pressure_pa,
            temperature_k: a.temperature_k,
            burned: 0.0,
            properties: self.gas.properties(a.temperature_k, 0.0),
        }
    }

    /// Flow through the filter into an airbox \[kg/s\].
    pub(super) fn filter_flow_kg_s(&self, ambient: &GasState, airbox: &GasState) -> f64 {
        self.filter.flow_kg_s(
            ambient.pressure_pa - airbox.pressure_pa,
            density_kg_m3(ambient),
            self.health.filter_loss_factor,
        )
    }

    /// Flow from a charge pipe through the cooler \[kg/s\].
    pub(super) fn cooler_flow_kg_s(&self, pipe: &GasState, intake: &GasState) -> f64 {
        self.cooler_loss.flow_kg_s(
            pipe.pressure_pa - intake.pressure_pa,
            density_kg_m3(intake),
            self.health.cooler_loss_factor,
        )
    }

    /// From a turbine outlet through the exhaust system.
    fn system_stream(&self, outlet: &GasState) -> Stream {
        let flow_kg_s = self.exhaust_system.flow_kg_s(
            outlet.pressure_pa - self.ambient.pressure_pa,
            density_kg_m3(outlet),
            1.0,
        );
        if flow_kg_s >= 0.0 {
            Stream::carrying(flow_kg_s, outlet)
        } else {
            Stream::carrying(flow_kg_s, &self.ambient_gas())
        }
    }

    /// The balances of all further volumes.
    pub(super) fn further_point(&self, gas: FurtherGas, ends: &Ends) -> FurtherPoint {
        let mut point = FurtherPoint {
            gas,
            ..FurtherPoint::default()
        };
        let ambient_k = self.ambient.temperature_k;
        for (place, volume) in self.further.iter() {
            let flows = match place {
                Place::Airbox => (ends.inlet, ends.drawn),
                Place::ChargePipe => (ends.delivered, ends.to_cooler),
                Place::TurbineOutlet => {
                    let Some(outlet) = gas.at(place) else {
                        continue;
                    };
                    let system = self.system_stream(outlet);
                    point.system = Some(system);
                    (ends.turbine, system)
                }
            };
            point.balance(place, volume, flows, ambient_k);
        }
        point
    }
}

/// ρ = p/(R T).
pub(super) fn density_kg_m3(gas: &GasState) -> f64 {
    gas.pressure_pa / (gas.properties.gas_constant_j_kg_k * gas.temperature_k)
}
