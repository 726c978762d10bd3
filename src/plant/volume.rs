//! A volume that is filled and emptied: pressure and temperature from its
//! content.
use super::state::Content;
use crate::gas::{GasProperties, WorkingGas};

/// A rigid volume with heat loss to its surroundings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Volume {
    /// Volume \[m³\].
    pub volume_m3: f64,
    /// Heat transfer coefficient times area of the wall \[W/K\].
    pub wall_loss_w_k: f64,
    /// What its temperature follows from.
    pub thermal: Thermal,
}

/// What the temperature in a volume follows from.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Thermal {
    /// The first law.
    #[default]
    EnergyBalance,
    /// It is held \[K\].
    Held(f64),
    /// The engine's formula for its exhaust temperature.
    ByEngine,
}

/// Temperature that stands in \[K\] where only the engine knows the true one.
const STAND_IN_K: f64 = 800.0;

/// The gas in a volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasState {
    /// Pressure \[Pa abs\].
    pub pressure_pa: f64,
    /// Temperature \[K\].
    pub temperature_k: f64,
    /// Mass fraction of combustion products \[-\].
    pub burned: f64,
    /// Specific heat, gamma, sensible enthalpy and gas constant there.
    pub properties: GasProperties,
}

impl Volume {
    /// Pressure, temperature and composition of a content.
    ///
    /// u = U/m gives T through the gas law's internal energy; p = m R T / V.
    /// First law for an ideal gas, any thermodynamics text.
    ///
    /// In an isothermal volume the energy's place holds p V; where the engine
    /// sets the temperature, 800 K stands in for it here, and only the pressure is
    /// right.
    pub fn gas_state(&self, gas: &WorkingGas, content: &Content) -> GasState {
        let burned = content.burned_kg / content.mass_kg;
        match self.thermal {
            Thermal::EnergyBalance => {}
            Thermal::Held(t_k) => return self.isothermal_state(gas, content, t_k, burned),
            Thermal::ByEngine => {
                return self.isothermal_state(gas, content, STAND_IN_K, burned);
            }
        }
        let temperature_k =
            gas.temperature_from_internal_energy_k(content.energy_j / content.mass_kg, burned);
        let properties = gas.properties(temperature_k, burned);
        let pressure_pa =
            content.mass_kg * properties.gas_constant_j_kg_k * temperature_k / self.volume_m3;
        GasState {
            pressure_pa,
            temperature_k,
            burned,
            properties,
        }
    }

    /// The content of the volume at a pressure \[Pa abs\], temperature \[K\] and
    /// burned fraction \[-\].
    pub fn content_at(
        &self,
        gas: &WorkingGas,
        pressure_pa: f64,
        temperature_k: f64,
        burned: f64,
    ) -> Content {
        let r = gas.gas_constant_j_kg_k(burned);
        let mass_kg = pressure_pa * self.volume_m3 / (r * temperature_k);
        Content {
            mass_kg,
            energy_j: match self.thermal {
                Thermal::EnergyBalance => mass_kg * gas.internal_energy_j_kg(temperature_k, burned),
                Thermal::Held(_) | Thermal::ByEngine => pressure_pa * self.volume_m3,
            },
            burned_kg: mass_kg * burned,
        }
    }

    /// The gas in an isothermal volume: the pressure from p V in the energy's place,
    /// the temperature \[K\] and the burned fraction as given.
    pub fn isothermal_state(
        &self,
        gas: &WorkingGas,
        content: &Content,
        temperature_k: f64,
        burned: f64,
    ) -> GasState {
        GasState {
            pressure_pa: content.energy_j / self.volume_m3,
            temperature_k,
            burned,
            properties: gas.properties(temperature_k, burned),
        }
    }

    /// Whether its temperature comes from elsewhere than the first law.
    #[inline]
    pub fn is_isothermal(&self) -> bool {
        self.thermal != Thermal::EnergyBalance
    }

    /// Rates of the content as the volume keeps it.
    ///
    /// An isothermal volume keeps p V where others keep energy, whose rate is
    /// R T Σṁ: the published dp/dt = R T Σṁ/V, in which a change of T itself has no
    /// part. Its mass still counts what came and went.
    #[inline]
    pub fn kept(&self, rates: Content, state: &GasState) -> Content {
        if !self.is_isothermal() {
            return rates;
        }
        Content {
            energy_j: state.properties.gas_constant_j_kg_k * state.temperature_k * rates.mass_kg,
            ..rates
        }
    }

    /// Heat to the surroundings \[W\], positive outwards.
    pub fn wall_heat_w(&self, temperature_k: f64, surroundings_k: f64) -> f64 {
        self.wall_loss_w_k * (temperature_k - surroundings_k)
    }
}
