//! The optional elements at rest: what they add to the unknowns of an equilibrium
//! and to what must vanish there.
//!
//! Air that rests carries no combustion products ahead of the intake volume, and
//! behind the turbine stands the gas of the exhaust volume: the burned fractions of
//! the further volumes are no unknowns.
use super::further::Place;
use super::rest::Unknown;
use super::state::{Content, Extras, FURTHER_VOLUMES, PlantState};
use super::volume::GasState;
use super::{Plant, PlantPoint, StateGuess};

/// Smallest size of the burned fraction in the intake volume, which may be zero.
const LEAST_BURNED: f64 = 0.05;

impl Plant {
    /// Whether the burned fraction of the intake volume is sought: recirculation
    /// brings it there, and an isothermal volume only counts it.
    fn seeks_burned_intake(&self) -> bool {
        self.recirculation.is_some() && !self.intake.is_isothermal()
    }

    /// Burned fraction of the intake volume with recirculation, temperature of the
    /// cooler's core, pressure and temperature of each further volume.
    pub(super) fn unknowns_of_elements(&self, s: &PlantState, intake: &GasState) -> Vec<Unknown> {
        let mut unknowns = Vec::new();
        if self.seeks_burned_intake() {
            unknowns.push(Unknown {
                value: intake.burned,
                size: intake.burned.abs().max(LEAST_BURNED),
            });
        }
        if let Some(soak) = &self.cooler.heat_soak {
            unknowns.push(Unknown::positive(soak.core_k(s.extras.cooler_core_j)));
        }
        for (place, volume) in self.further.iter() {
            let gas = volume.gas_state(&self.gas, &s.extras.volumes[place as usize]);
            unknowns.push(Unknown::positive(gas.pressure_pa));
            unknowns.push(Unknown::positive(gas.temperature_k));
        }
        unknowns
    }

    /// Puts the values of these unknowns into a state whose intake and exhaust
    /// volume stand already.
    pub(super) fn put_elements(&self, z: &[f64], mut state: PlantState) -> PlantState {
        let mut rest = z.iter().copied();
        // a missing value must show, not pass for a zero
        let mut next = || rest.next().unwrap_or(f64::NAN);
        if self.seeks_burned_intake() {
            let i = self.intake.gas_state(&self.gas, &state.intake);
            let burned = next();
            state.intake =
                self.intake
                    .content_at(&self.gas, i.pressure_pa, i.temperature_k, burned);
        }
        if let Some(soak) = &self.cooler.heat_soak {
            state.extras.cooler_core_j = soak.core_j(next());
        }
        let exhaust_burned = state.exhaust.burned_kg / state.exhaust.mass_kg;
        for (place, volume) in self.further.iter() {
            let burned = resting_burned(place, exhaust_burned);
            state.extras.volumes[place as usize] =
                volume.content_at(&self.gas, next(), next(), burned);
        }
        state
    }

    /// What is missing to the rest of these unknowns, in their order, over what
    /// flows through.
    pub(super) fn imbalance_of_elements(&self, p: &PlantPoint, rates: &PlantState) -> Vec<f64> {
        let air = p.engine.intake_flow_kg_s;
        let mut missing = Vec::new();
        if self.seeks_burned_intake() {
            let burned = rates.intake.burned_kg - rates.intake.mass_kg * p.intake.burned;
            missing.push(burned / air);
        }
        if self.cooler.heat_soak.is_some() {
            let through_w = air * p.intake.properties.cp_j_kg_k * p.intake.temperature_k;
            missing.push(rates.extras.cooler_core_j / through_w);
        }
        for (place, _) in self.further.iter() {
            let Some(gas) = p.further.gas.at(place) else {
                continue;
            };
            let rate = &rates.extras.volumes[place as usize];
            let energy = rate.energy_j - rate.mass_kg * gas.properties.enthalpy_j_kg;
            missing.push(rate.mass_kg / air);
            missing.push(energy / (air * gas.properties.cp_j_kg_k * gas.temperature_k));
        }
        missing
    }

    /// The elements' states that go with a guess: losses of a few per cent,
    /// compression with a usual efficiency, a core somewhat warmer than the charge.
    pub(super) fn extras_at(&self, at: &StateGuess) -> Extras {
        let a = &self.ambient;
        let mut volumes = [Content::default(); FURTHER_VOLUMES];
        for (place, volume) in self.further.iter() {
            let (pressure_pa, temperature_k) = match place {
                Place::Airbox => (0.99 * a.pressure_pa, a.temperature_k),
                Place::ChargePipe => {
                    let ratio = (at.intake_pressure_pa / a.pressure_pa).max(1.0);
                    (
                        1.02 * at.intake_pressure_pa,
                        a.temperature_k * ratio.powf(0.38),
                    )
                }
                Place::TurbineOutlet => (1.03 * a.pressure_pa, 0.85 * at.exhaust_temperature_k),
            };
            let burned = resting_burned(place, at.exhaust_burned);
            volumes[place as usize] =
                volume.content_at(&self.gas, pressure_pa, temperature_k, burned);
        }
        let core = self.cooler.heat_soak.as_ref();
        Extras {
            cooler_core_j: core.map_or(0.0, |c| c.core_j(at.intake_temperature_k + 10.0)),
            volumes,
            ..Extras::default()
        }
    }
}

/// Burned fraction that rests in a further volume \[-\].
fn resting_burned(place: Place, exhaust_burned: f64) -> f64 {
    match place {
        Place::Airbox | Place::ChargePipe => 0.0,
        Place::TurbineOutlet => exhaust_burned,
    }
}
