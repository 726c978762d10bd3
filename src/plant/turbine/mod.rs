//! The turbine with its vane ring: forms, and what they answer.
mod area_and_speed;
mod measured;
mod outlet;
mod passage;
mod root_law;
mod two_throats;
pub use area_and_speed::AreaAndSpeedTurbine;
pub use measured::MeasuredVanes;
pub use outlet::behind_loss;
pub use root_law::root_flow;
pub use two_throats::{Pulsation, TurbineEfficiency, TwoThroats, TwoThroatsSizes};

use super::stream::Stream;
use super::volume::GasState;
use crate::gas::{Ambient, WorkingGas};

/// What surrounds a turbine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurbineDemand<'a> {
    /// The working gas.
    pub gas: &'a WorkingGas,
    /// Gas in the exhaust volume.
    pub inlet: &'a GasState,
    /// The ambient that the exhaust system leads to.
    pub ambient: &'a Ambient,
    /// Shaft speed \[rad/s\].
    pub shaft_speed_rad_s: f64,
    /// Vane position, 0 open to 1 closed \[-\].
    pub vane_closed: f64,
    /// Factor on the area of a form without vanes \[-\].
    pub area_factor: f64,
    /// The exhaust system after the turbine.
    pub system: &'a super::restriction::Restriction,
}

/// Where a turbine works.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TurbinePoint {
    /// Gas flow \[kg/s\], negative from the exhaust system into the engine.
    pub flow_kg_s: f64,
    /// Pressure at the turbine outlet \[Pa abs\].
    pub outlet_pressure_pa: f64,
    /// Expansion ratio, inlet over outlet pressure \[-\].
    pub expansion_ratio: f64,
    /// Power given to the shaft \[W\].
    pub power_w: f64,
    /// Isentropic efficiency, total to static \[-\].
    pub efficiency: f64,
    /// Blade-speed ratio, tip speed over spouting velocity \[-\].
    pub blade_speed_ratio: f64,
    /// Enthalpy flow that leaves through the outlet \[W\].
    pub outlet_enthalpy_w: f64,
    /// Combustion products that leave through the outlet \[kg/s\].
    pub outlet_burned_kg_s: f64,
    /// Enthalpy flow that the exhaust volume loses to the turbine \[W\].
    pub inlet_enthalpy_w: f64,
    /// Whether the vane ring is choked.
    pub ring_choked: bool,
    /// Whether the rotor is choked.
    pub rotor_choked: bool,
    /// Outside the stated range of the form.
    pub extrapolated: bool,
}

impl TurbinePoint {
    /// A flow \[kg/s\], below zero, of ambient air with its enthalpy \[J/kg\] back
    /// into the engine: the wheel stands idle, and no form states anything there.
    fn backwards(d: &TurbineDemand, flow_kg_s: f64, air_enthalpy_j_kg: f64) -> Self {
        let enthalpy_w = flow_kg_s * air_enthalpy_j_kg;
        Self {
            flow_kg_s,
            outlet_pressure_pa: d.ambient.pressure_pa,
            expansion_ratio: d.inlet.pressure_pa / d.ambient.pressure_pa,
            outlet_enthalpy_w: enthalpy_w,
            inlet_enthalpy_w: enthalpy_w,
            extrapolated: true,
            ..Self::default()
        }
    }

    /// What leaves through the outlet.
    pub fn outlet(&self) -> Stream {
        Stream {
            flow_kg_s: self.flow_kg_s,
            enthalpy_w: self.outlet_enthalpy_w,
            burned_kg_s: self.outlet_burned_kg_s,
        }
    }

    /// The same turbine between its inlet and a volume behind it: flowing
    /// backwards it carries that volume's gas, not ambient air; the wheel stands
    /// idle.
    pub fn carrying_back(self, behind: &GasState) -> Self {
        if self.flow_kg_s >= 0.0 {
            return self;
        }
        let back = Stream::carrying(self.flow_kg_s, behind);
        Self {
            outlet_enthalpy_w: back.enthalpy_w,
            inlet_enthalpy_w: back.enthalpy_w,
            outlet_burned_kg_s: back.burned_kg_s,
            ..self
        }
    }
}

/// A form of the turbine: flow and power between two pressures.
pub trait TurbineForm: Send + Sync + std::fmt::Debug {
    /// Flow, power and outlet state, the exhaust system's loss included.
    fn operate(&self, demand: &TurbineDemand) -> TurbinePoint;

    /// Whether the vane position plays a part.
    fn has_vanes(&self) -> bool {
        true
    }
}
