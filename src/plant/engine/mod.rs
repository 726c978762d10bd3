//! The engine behind one interface: gas and fuel in, torque and hot gas out.
//!
//! The plant does not know which form drives it; a crank-angle-resolved form
//! would implement the same trait.
mod breathing;
mod efficiency_curve;
mod friction;
mod limited_pressure;
mod mean_value;
pub mod power_correction;

pub use breathing::{ASSUMED_INTAKE_PA, Breathing, Filling, FillingFormula};
pub use efficiency_curve::{
    EfficiencyCurveEngine, ExhaustPipe, IndicatedEfficiency, SpeedFriction,
};
pub use friction::Friction;
pub use limited_pressure::{CycleResult, LimitedPressureCycle, Trapped};
pub use mean_value::MeanValueEngine;

use super::volume::GasState;
use crate::gas::WorkingGas;

/// Size of the engine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EngineGeometry {
    /// Number of cylinders.
    pub cylinders: f64,
    /// Swept volume of all cylinders \[m³\].
    pub displacement_m3: f64,
    /// Stroke \[m\].
    pub stroke_m: f64,
    /// Compression ratio \[-\].
    pub compression_ratio: f64,
}

impl EngineGeometry {
    /// Mean piston speed \[m/s\]: stroke × ω / π.
    pub fn mean_piston_speed_m_s(&self, speed_rad_s: f64) -> f64 {
        self.stroke_m * speed_rad_s / std::f64::consts::PI
    }

    /// Working cycles per second of one cylinder of a four-stroke \[1/s\].
    pub fn cycles_per_second(&self, speed_rad_s: f64) -> f64 {
        speed_rad_s / (4.0 * std::f64::consts::PI)
    }
}

/// What surrounds the engine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EngineDemand<'a> {
    /// The working gas.
    pub gas: &'a WorkingGas,
    /// Gas in the intake volume.
    pub intake: &'a GasState,
    /// Gas in the exhaust volume.
    pub exhaust: &'a GasState,
    /// Crankshaft speed \[rad/s\].
    pub speed_rad_s: f64,
    /// Fuel per injection and cylinder \[kg\].
    pub fuel_kg: f64,
    /// Start of injection before top dead centre \[deg\].
    pub advance_deg: f64,
}

/// What the engine does there.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EnginePoint {
    /// Gas drawn from the intake volume \[kg/s\].
    pub intake_flow_kg_s: f64,
    /// Fuel flow \[kg/s\].
    pub fuel_flow_kg_s: f64,
    /// Combustion products made \[kg/s\].
    pub burned_made_kg_s: f64,
    /// Enthalpy flow into the exhaust volume \[W\].
    pub exhaust_enthalpy_w: f64,
    /// Heat of the fuel injected, lower heating value \[W\].
    pub fuel_power_w: f64,
    /// Fuel energy that found no air \[W\].
    pub unburned_w: f64,
    /// Heat to coolant and oil: walls, ports and friction \[W\].
    pub heat_w: f64,
    /// Torque at the crankshaft \[N m\].
    pub torque_nm: f64,
    /// Power at the crankshaft \[W\].
    pub brake_power_w: f64,
    /// Peak cylinder pressure \[Pa abs\]; not a number where the form knows none.
    pub peak_pressure_pa: f64,
    /// Air to fuel ratio over the stoichiometric one \[-\].
    pub lambda: f64,
    /// Temperature of the gas in the exhaust volume \[K\], where the form has a
    /// formula for it instead of an energy balance.
    pub exhaust_temperature_k: Option<f64>,
    /// Indicated work of the closed cycle over the fuel heat \[-\].
    pub indicated_efficiency: f64,
}

impl EnginePoint {
    /// Burned fraction of the gas that leaves the cylinders \[-\], for gas drawn in
    /// at a burned fraction; all of it where nothing flows.
    pub fn exhaust_burned(&self, intake_burned: f64) -> f64 {
        let gas_kg_s = self.intake_flow_kg_s + self.fuel_flow_kg_s;
        if gas_kg_s > 0.0 {
            (self.burned_made_kg_s + self.intake_flow_kg_s * intake_burned) / gas_kg_s
        } else {
            1.0
        }
    }
}

/// A form of the engine.
pub trait EngineForm: Send + Sync + std::fmt::Debug {
    /// Flows, torque and heat at one operating point.
    fn operate(&self, demand: &EngineDemand) -> EnginePoint;
    /// Size of the engine.
    fn geometry(&self) -> &EngineGeometry;
    /// Volumetric efficiency that a controller may assume at a speed, at equal
    /// manifold pressures \[-\].
    fn assumed_volumetric_efficiency(&self, speed_rad_s: f64) -> f64;
}
