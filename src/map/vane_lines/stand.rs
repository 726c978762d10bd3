//! The gas of the stand on which a turbine was measured.

use super::TurbineMapData;
use crate::gas::WorkingGas;

/// Hydrogen to carbon of the stand's fuel: diesel. Gas fuels have up to 4, which
/// moves the heat capacity of lean products by less than 1 %.
const HYDROGEN_TO_CARBON: f64 = 1.85;

/// What the stand's gas is at the reference temperature.
#[derive(Debug, Clone)]
pub struct StandGas {
    gas: WorkingGas,
    temperature_k: f64,
    burned: f64,
    /// Gas constant \[J/(kg K)\].
    pub gas_constant_j_kg_k: f64,
    /// Ratio of heat capacities at the reference temperature \[-\].
    pub gamma: f64,
}

impl StandGas {
    /// Isentropic drop from the reference temperature \[J/kg\] over an expansion
    /// ratio above 1.
    pub fn drop_j_kg(&self, expansion_ratio: f64) -> f64 {
        -self
            .gas
            .isentropic(self.temperature_k, self.burned, 1.0 / expansion_ratio)
            .enthalpy_change_j_kg
    }
}

impl TurbineMapData {
    /// The gas of the stand: dry air with the stated share of the products of
    /// diesel fuel.
    pub fn stand_gas(&self) -> StandGas {
        let gas = WorkingGas::new(0.0, HYDROGEN_TO_CARBON);
        let temperature_k = self.header.reference.temperature_k;
        let properties = gas.properties(temperature_k, self.burned);
        StandGas {
            gas,
            temperature_k,
            burned: self.burned,
            gas_constant_j_kg_k: properties.gas_constant_j_kg_k,
            gamma: properties.gamma,
        }
    }

    /// Blade-speed ratio, tip speed over the speed of a loss-free expansion, of a
    /// corrected speed \[rad/s\] and an expansion ratio above 1, in the gas of the
    /// stand.
    pub fn blade_speed_ratio(&self, corrected_speed_rad_s: f64, expansion_ratio: f64) -> f64 {
        let tip_m_s = 0.5 * self.wheel_diameter_m * corrected_speed_rad_s;
        tip_m_s / (2.0 * self.stand_gas().drop_j_kg(expansion_ratio)).sqrt()
    }
}
