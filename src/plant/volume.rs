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
}

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
    pub fn gas_state(&self, gas: &WorkingGas, content: &Content) -> GasState {
        let burned = content.burned_kg / content.mass_kg;
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
            energy_j: mass_kg * gas.internal_energy_j_kg(temperature_k, burned),
            burned_kg: mass_kg * burned,
        }
    }

    /// Heat to the surroundings \[W\], positive outwards.
    pub fn wall_heat_w(&self, temperature_k: f64, surroundings_k: f64) -> f64 {
        self.wall_loss_w_k * (temperature_k - surroundings_k)
    }
}
