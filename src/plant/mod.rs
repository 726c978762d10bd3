//! The plant: volumes hold state, flow elements join them, [`Plant`] adds them up.
//!
//! Ambient → filter → compressor → charge cooler → intake volume → engine →
//! exhaust volume → turbine with vanes (and a wastegate beside it) → exhaust system
//! → ambient; the shaft joins turbine and compressor, the actuator moves the vanes.
pub mod actuator;
mod balances;
mod charge;
pub mod compressor;
pub mod cooler;
pub mod duct;
pub mod engine;
pub mod further;
pub mod health;
pub mod heat_soak;
mod point;
pub mod recirculation;
pub mod rest;
mod rest_elements;
pub mod restriction;
mod scalar;
pub mod shaft;
pub mod state;
pub mod stream;
pub mod turbine;
pub mod volume;
pub mod wastegate;
pub mod wheel_stress;

use crate::gas::{Ambient, WorkingGas};
use actuator::VaneActuator;
use compressor::CompressorForm;
use cooler::Cooler;
use duct::ChargeDuct;
use engine::{EngineDemand, EngineForm, EnginePoint};
use further::{Ends, FurtherVolumes, Place};
use health::{Health, Leak};
pub use point::{PlantInput, PlantPoint, StateGuess};
use recirculation::{Recirculated, Recirculation};
use restriction::Restriction;
use shaft::Shaft;
use state::{
    COMMON_SLOTS, CORE_SLOT, DUCT_SLOT, FIRST_FURTHER_SLOT, Ledger, PlantState, SLOTS, is_audit,
};
use std::sync::Arc;
use turbine::TurbineForm;
use volume::{GasState, Thermal, Volume};
use wastegate::Wastegate;

/// Everything between the filter and the tailpipe.
#[derive(Debug, Clone)]
pub struct Plant {
    /// Air of the day and the products that it burns to.
    pub gas: WorkingGas,
    /// Hydrogen to carbon ratio of the fuel, by atoms \[-\].
    pub hydrogen_to_carbon: f64,
    /// The ambient at this place.
    pub ambient: Ambient,
    /// Air filter.
    pub filter: Restriction,
    /// Compressor.
    pub compressor: Arc<dyn CompressorForm>,
    /// The column of air from filter to intake volume, where it has inertia;
    /// `None` lets the flow follow at once, on the stable branch alone.
    pub duct: Option<ChargeDuct>,
    /// Charge cooler.
    pub cooler: Cooler,
    /// Pressure loss of the charge cooler.
    pub cooler_loss: Restriction,
    /// Intake manifold with the boost pipe.
    pub intake: Volume,
    /// Engine.
    pub engine: Arc<dyn EngineForm>,
    /// Exhaust manifold.
    pub exhaust: Volume,
    /// Turbine with vanes.
    pub turbine: Arc<dyn TurbineForm>,
    /// Exhaust system after the turbine.
    pub exhaust_system: Restriction,
    /// Valve in parallel to the turbine.
    pub wastegate: Option<Wastegate>,
    /// Pressure at the turbine outlet \[Pa abs\], where it is held instead of
    /// following from the exhaust system.
    pub outlet_pressure_pa: Option<f64>,
    /// Turbocharger shaft.
    pub shaft: Shaft,
    /// Vane actuator.
    pub actuator: VaneActuator,
    /// Recirculation of exhaust gas, where there is one.
    pub recirculation: Option<Recirculation>,
    /// Further volumes.
    pub further: FurtherVolumes,
    /// What is broken.
    pub health: Health,
}

impl Plant {
    /// The same plant in another ambient; the gas follows its humidity.
    pub fn in_ambient(&self, ambient: Ambient) -> Self {
        Self {
            gas: self
                .gas
                .on_a_day(ambient.humidity_kg_kg, self.hydrogen_to_carbon),
            ambient,
            ..self.clone()
        }
    }

    /// Whether it has any of the states of [`state::Extras`].
    pub fn has_extras(&self) -> bool {
        self.duct.is_some() || self.cooler.heat_soak.is_some() || !self.further.are_none()
    }

    /// Whether a slot of the state vector belongs to an element that this plant has.
    fn has_slot(&self, slot: usize) -> bool {
        match slot {
            DUCT_SLOT => self.duct.is_some(),
            CORE_SLOT => self.cooler.heat_soak.is_some(),
            FIRST_FURTHER_SLOT.. => {
                let place = Place::ALL[(slot - FIRST_FURTHER_SLOT) / 3];
                self.further.at(place).is_some()
            }
            _ => slot < COMMON_SLOTS,
        }
    }

    /// Slots of the state vector that are physics of this plant, audit columns
    /// and states that it does not have left out.
    pub fn active_slots(&self) -> Vec<usize> {
        (0..SLOTS)
            .filter(|&slot| self.has_slot(slot) && !is_audit(slot) && !self.rests(slot))
            .collect()
    }

    /// Flows, powers and heats at a state.
    pub fn evaluate(&self, state: &PlantState, input: &PlantInput) -> PlantPoint {
        let intake = self.intake.gas_state(&self.gas, &state.intake);
        let (exhaust, engine) = self.exhaust_side(&intake, state, input);
        let shaft_speed_rad_s = self.shaft.speed_rad_s(state.shaft_energy_j);
        let ambient_k = self.ambient.temperature_k;

        let vane_closed = self
            .actuator
            .vanes_behind_play(state.vane_closed, input.vanes_before);

        let further = self.further.gas(&self.gas, &state.extras);
        let charge = self.charge_side(&intake, &further, &state.extras, shaft_speed_rad_s);
        let (turbine, wastegate) =
            self.turbine_side(&exhaust, &further, shaft_speed_rad_s, vane_closed, input);
        let ends = Ends {
            inlet: charge.inlet,
            drawn: charge.drawn,
            delivered: charge.delivered,
            to_cooler: charge.to_cooler,
            turbine: turbine.outlet().and(wastegate),
        };
        let intake_wall_heat_w = self.intake.wall_heat_w(intake.temperature_k, ambient_k);
        let exhaust_wall_heat_w = self.exhaust.wall_heat_w(exhaust.temperature_k, ambient_k);
        PlantPoint {
            intake,
            exhaust,
            shaft_speed_rad_s,
            compressor: charge.compressor,
            compressor_power_w: charge.compressor_power_w,
            compressor_outlet_enthalpy_j_kg: charge.outlet_enthalpy_j_kg,
            engine,
            turbine,
            wastegate,
            bearing_power_w: self.shaft.bearing_power_w(state.shaft_energy_j),
            cooler_heat_w: charge.cooler_heat_w,
            cooler_core_w: charge.cooler_core_w,
            wall_heat_w: intake_wall_heat_w + exhaust_wall_heat_w,
            charge: charge.charge,
            inlet: charge.inlet,
            duct_rate_kg_s2: charge.duct_rate_kg_s2,
            recirculated: self.recirculated(&intake, &exhaust, input),
            further: self.further_point(further, &ends),
            intake_wall_heat_w,
            vane_closed,
            vane_rate_1_s: self.vane_rate_1_s(state, input),
            boost_leak: Leak::through(self.health.boost_leak_m2, &self.gas, &intake, &self.ambient),
            exhaust_leak: Leak::through(
                self.health.exhaust_leak_m2,
                &self.gas,
                &exhaust,
                &self.ambient,
            ),
        }
    }

    /// The same instant under another input: only the engine, the recirculation
    /// and the vane rate answer at once, everything else follows from the state.
    /// Where turbine or exhaust temperature answer as well, everything is seen anew.
    pub fn with_input(
        &self,
        point: PlantPoint,
        state: &PlantState,
        input: &PlantInput,
    ) -> PlantPoint {
        if self.answers_throughout() {
            return self.evaluate(state, input);
        }
        PlantPoint {
            engine: self.engine_point(&point.intake, &point.exhaust, input),
            recirculated: self.recirculated(&point.intake, &point.exhaust, input),
            vane_rate_1_s: self.vane_rate_1_s(state, input),
            ..point
        }
    }

    /// Exhaust volume and engine: where the volume's temperature follows from the
    /// engine, the engine comes first, seeing but the pressure of the exhaust.
    fn exhaust_side(
        &self,
        intake: &GasState,
        state: &PlantState,
        input: &PlantInput,
    ) -> (GasState, EnginePoint) {
        let mut exhaust = self.exhaust.gas_state(&self.gas, &state.exhaust);
        let engine = self.engine_point(intake, &exhaust, input);
        if self.exhaust.thermal == Thermal::ByEngine {
            let t_k = engine
                .exhaust_temperature_k
                .unwrap_or(exhaust.temperature_k);
            let burned = engine.exhaust_burned(intake.burned);
            exhaust = self
                .exhaust
                .isothermal_state(&self.gas, &state.exhaust, t_k, burned);
        }
        (exhaust, engine)
    }

    /// Whether more than the engine and the vane rate answers to the input at once.
    #[inline]
    fn answers_throughout(&self) -> bool {
        self.wastegate.is_some()
            || self.exhaust.thermal == Thermal::ByEngine
            || !self.turbine.has_vanes()
    }

    /// Whether a volume's temperature comes from elsewhere than the first law, so
    /// that energy cannot balance.
    pub fn breaks_first_law(&self) -> bool {
        self.intake.is_isothermal() || self.exhaust.is_isothermal()
    }

    /// The engine between the two volumes.
    fn engine_point(
        &self,
        intake: &GasState,
        exhaust: &GasState,
        input: &PlantInput,
    ) -> EnginePoint {
        self.engine.operate(&EngineDemand {
            gas: &self.gas,
            intake,
            exhaust,
            speed_rad_s: input.engine_speed_rad_s,
            fuel_kg: input.fuel_kg,
            advance_deg: input.advance_deg,
        })
    }

    /// Rate of the vane position \[1/s\].
    fn vane_rate_1_s(&self, state: &PlantState, input: &PlantInput) -> f64 {
        if self.health.vanes_stuck {
            return 0.0;
        }
        self.actuator
            .rate_1_s(state.vane_closed, input.vane_command)
    }

    /// What is recirculated.
    fn recirculated(
        &self,
        intake: &GasState,
        exhaust: &GasState,
        input: &PlantInput,
    ) -> Recirculated {
        match &self.recirculation {
            Some(line) => line.flow(&self.gas, input.recirculation_open, intake, exhaust),
            None => Recirculated::default(),
        }
    }

    /// A state at given pressures, temperatures, exhaust composition, shaft
    /// speed and vane position, with an empty ledger.
    pub fn state_at(&self, at: &StateGuess) -> PlantState {
        PlantState {
            intake: self.intake.content_at(
                &self.gas,
                at.intake_pressure_pa,
                at.intake_temperature_k,
                0.0,
            ),
            exhaust: self.exhaust.content_at(
                &self.gas,
                at.exhaust_pressure_pa,
                at.exhaust_temperature_k,
                at.exhaust_burned,
            ),
            shaft_energy_j: self.shaft.energy_j(at.shaft_speed_rad_s),
            vane_closed: at.vane_closed,
            ledger: Ledger::default(),
            extras: self.extras_at(at),
        }
    }
}
