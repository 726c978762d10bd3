//! What is set from outside, what the plant does then, and states as people guess
//! them.
use super::compressor::CompressorPoint;
use super::engine::EnginePoint;
use super::further::FurtherPoint;
use super::health::Leak;
use super::recirculation::Recirculated;
use super::stream::Stream;
use super::turbine::TurbinePoint;
use super::volume::GasState;

/// What is set from outside at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlantInput {
    /// Crankshaft speed \[rad/s\].
    pub engine_speed_rad_s: f64,
    /// Fuel per injection and cylinder \[kg\].
    pub fuel_kg: f64,
    /// Start of injection before top dead centre \[deg\].
    pub advance_deg: f64,
    /// Vane command, 0 open to 1 closed \[-\].
    pub vane_command: f64,
    /// Opening of the wastegate, where there is one, 0 shut to 1 open \[-\].
    pub wastegate_open: f64,
    /// Opening of the valve for recirculated exhaust gas, where there is one,
    /// 0 shut to 1 open \[-\].
    pub recirculation_open: f64,
    /// Factor on the turbine's area, where its form has one instead of vanes \[-\].
    pub turbine_area_factor: f64,
    /// Where the vanes stood when this input set in, which is all that their play
    /// remembers; `None` for the middle of the play. 0 open to 1 closed \[-\].
    pub vanes_before: Option<f64>,
}

impl Default for PlantInput {
    /// At rest: no fuel, vanes open, valves shut, the turbine as it is.
    fn default() -> Self {
        Self {
            engine_speed_rad_s: 0.0,
            fuel_kg: 0.0,
            advance_deg: 0.0,
            vane_command: 0.0,
            wastegate_open: 0.0,
            recirculation_open: 0.0,
            turbine_area_factor: 1.0,
            vanes_before: None,
        }
    }
}

/// Everything that the plant does at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlantPoint {
    /// Gas in the intake volume.
    pub intake: GasState,
    /// Gas in the exhaust volume.
    pub exhaust: GasState,
    /// Shaft speed \[rad/s\].
    pub shaft_speed_rad_s: f64,
    /// Compressor.
    pub compressor: CompressorPoint,
    /// Compressor power \[W\].
    pub compressor_power_w: f64,
    /// Enthalpy at the compressor outlet \[J/kg\].
    pub compressor_outlet_enthalpy_j_kg: f64,
    /// Engine.
    pub engine: EnginePoint,
    /// Turbine.
    pub turbine: TurbinePoint,
    /// What goes past the turbine.
    pub wastegate: Stream,
    /// Bearing loss \[W\].
    pub bearing_power_w: f64,
    /// Heat that the coolant of the charge cooler takes \[W\].
    pub cooler_heat_w: f64,
    /// Heat that stays in the core of the charge cooler \[W\].
    pub cooler_core_w: f64,
    /// Heat through the walls of intake and exhaust volume \[W\].
    pub wall_heat_w: f64,
    /// Into the intake volume, out of the cooler.
    pub charge: Stream,
    /// From the ambient through the filter.
    pub inlet: Stream,
    /// Rate of the flow in the duct, where it has inertia \[kg/s²\].
    pub duct_rate_kg_s2: f64,
    /// From the exhaust to the intake volume.
    pub recirculated: Recirculated,
    /// The further volumes.
    pub further: FurtherPoint,
    /// Heat through the walls of the intake volume \[W\].
    pub intake_wall_heat_w: f64,
    /// Where the vanes are, behind the play of their linkage, 0 open to 1 closed \[-\].
    pub vane_closed: f64,
    /// Rate of the actuator's position \[1/s\].
    pub vane_rate_1_s: f64,
    /// Leak of the intake volume.
    pub boost_leak: Leak,
    /// Leak of the exhaust volume.
    pub exhaust_leak: Leak,
}

/// A state in the terms that people guess in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StateGuess {
    /// Pressure in the intake volume \[Pa abs\].
    pub intake_pressure_pa: f64,
    /// Temperature there \[K\].
    pub intake_temperature_k: f64,
    /// Pressure in the exhaust volume \[Pa abs\].
    pub exhaust_pressure_pa: f64,
    /// Temperature there \[K\].
    pub exhaust_temperature_k: f64,
    /// Burned fraction there \[-\].
    pub exhaust_burned: f64,
    /// Shaft speed \[rad/s\].
    pub shaft_speed_rad_s: f64,
    /// Vane position, 0 open to 1 closed \[-\].
    pub vane_closed: f64,
}
