//! The plant: volumes hold state, flow elements join them, [`Plant`] adds them up.
//!
//! Ambient → filter → compressor → charge cooler → intake volume → engine →
//! exhaust volume → turbine with vanes (and a wastegate beside it) → exhaust system
//! → ambient; the shaft joins turbine and compressor, the actuator moves the vanes.
pub mod actuator;
pub mod compressor;
pub mod cooler;
pub mod duct;
pub mod engine;
pub mod health;
pub mod rest;
pub mod restriction;
mod scalar;
pub mod shaft;
pub mod state;
pub mod turbine;
pub mod volume;
pub mod wastegate;
pub mod wheel_stress;

use crate::gas::{Ambient, WorkingGas};
use actuator::VaneActuator;
use compressor::{CompressorDemand, CompressorForm, CompressorPoint};
use cooler::Cooler;
use duct::ChargeDuct;
use engine::{EngineDemand, EngineForm, EnginePoint};
use health::{Health, Leak};
use restriction::Restriction;
use shaft::Shaft;
use state::{COMMON_SLOTS, Content, DUCT_SLOT, Extras, Ledger, PlantState, SLOTS, is_audit};
use std::sync::Arc;
use turbine::{Stream, TurbineForm, TurbinePoint};
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
    /// What is broken.
    pub health: Health,
}

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
    /// Heat taken by the charge cooler \[W\].
    pub cooler_heat_w: f64,
    /// Heat through the walls of both volumes \[W\].
    pub wall_heat_w: f64,
    /// Enthalpy flow into the intake volume \[W\].
    pub charge_enthalpy_w: f64,
    /// Enthalpy flow of the air at the filter \[W\].
    pub inlet_enthalpy_w: f64,
    /// Combustion products into the intake volume by way of the cooler: below
    /// zero where gas flows back to the ambient \[kg/s\].
    pub charge_burned_kg_s: f64,
    /// Rate of the flow in the duct, where it has inertia \[kg/s²\].
    pub duct_rate_kg_s2: f64,
    /// Heat through the walls of the intake volume \[W\].
    pub intake_wall_heat_w: f64,
    /// Rate of the vane position \[1/s\].
    pub vane_rate_1_s: f64,
    /// Leak of the intake volume.
    pub boost_leak: Leak,
    /// Leak of the exhaust volume.
    pub exhaust_leak: Leak,
}

/// What happens from the filter to the intake volume.
struct ChargeSide {
    compressor: CompressorPoint,
    compressor_power_w: f64,
    outlet_enthalpy_j_kg: f64,
    cooler_heat_w: f64,
    charge_enthalpy_w: f64,
    inlet_enthalpy_w: f64,
    burned_kg_s: f64,
    duct_rate_kg_s2: f64,
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

    /// Whether it has any of the states of [`Extras`].
    pub fn has_extras(&self) -> bool {
        self.duct.is_some()
    }

    /// Whether a slot of the state vector belongs to an element that this plant has.
    fn has_slot(&self, slot: usize) -> bool {
        match slot {
            DUCT_SLOT => self.duct.is_some(),
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

        let charge = self.charge_side(&intake, shaft_speed_rad_s, state.extras.duct_flow_kg_s);
        let (turbine, wastegate) = self.turbine_side(&exhaust, shaft_speed_rad_s, state, input);
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
            wall_heat_w: intake_wall_heat_w + exhaust_wall_heat_w,
            charge_enthalpy_w: charge.charge_enthalpy_w,
            inlet_enthalpy_w: charge.inlet_enthalpy_w,
            charge_burned_kg_s: charge.burned_kg_s,
            duct_rate_kg_s2: charge.duct_rate_kg_s2,
            intake_wall_heat_w,
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

    /// The same instant under another input: only the engine and the vane rate
    /// answer at once, everything else follows from the state. Where turbine or
    /// exhaust temperature answer as well, everything is seen anew.
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
            vane_rate_1_s: self.vane_rate_1_s(state, input),
            ..point
        }
    }

    /// Rates of all states, one visible line for each term.
    pub fn rates(&self, p: &PlantPoint) -> PlantState {
        let exhaust_wall_heat_w = p.wall_heat_w - p.intake_wall_heat_w;
        let burned_drawn_kg_s = p.engine.intake_flow_kg_s * p.intake.burned;
        let mut rates = PlantState {
            intake: Content {
                mass_kg: p.compressor.flow_kg_s
                    - p.engine.intake_flow_kg_s
                    - p.boost_leak.flow_kg_s,
                energy_j: p.charge_enthalpy_w
                    - p.engine.intake_flow_kg_s * p.intake.properties.enthalpy_j_kg
                    - p.intake_wall_heat_w
                    - p.boost_leak.enthalpy_w,
                burned_kg: p.charge_burned_kg_s - burned_drawn_kg_s - p.boost_leak.burned_kg_s,
            },
            exhaust: Content {
                mass_kg: p.engine.intake_flow_kg_s + p.engine.fuel_flow_kg_s
                    - p.turbine.flow_kg_s
                    - p.wastegate.flow_kg_s
                    - p.exhaust_leak.flow_kg_s,
                energy_j: p.engine.exhaust_enthalpy_w
                    - p.turbine.inlet_enthalpy_w
                    - p.wastegate.enthalpy_w
                    - exhaust_wall_heat_w
                    - p.exhaust_leak.enthalpy_w,
                burned_kg: burned_drawn_kg_s + p.engine.burned_made_kg_s
                    - p.turbine.outlet_burned_kg_s
                    - p.wastegate.burned_kg_s
                    - p.exhaust_leak.burned_kg_s,
            },
            shaft_energy_j: p.turbine.power_w - p.compressor_power_w - p.bearing_power_w,
            vane_closed: p.vane_rate_1_s,
            ledger: self.ledger_rates(p),
            extras: Extras {
                duct_flow_kg_s: p.duct_rate_kg_s2,
                ..Extras::default()
            },
        };
        rates.intake = self.intake.kept(rates.intake, &p.intake);
        rates.exhaust = self.exhaust.kept(rates.exhaust, &p.exhaust);
        rates
    }

    /// What crosses the boundary per second, each term at its port.
    fn ledger_rates(&self, p: &PlantPoint) -> Ledger {
        Ledger {
            air_in_kg: p.compressor.flow_kg_s,
            fuel_in_kg: p.engine.fuel_flow_kg_s,
            gas_out_kg: p.turbine.flow_kg_s
                + p.wastegate.flow_kg_s
                + p.boost_leak.flow_kg_s
                + p.exhaust_leak.flow_kg_s,
            burned_made_kg: p.engine.burned_made_kg_s,
            burned_out_kg: p.turbine.outlet_burned_kg_s - p.charge_burned_kg_s
                + p.wastegate.burned_kg_s
                + p.boost_leak.burned_kg_s
                + p.exhaust_leak.burned_kg_s,
            enthalpy_in_j: p.inlet_enthalpy_w,
            fuel_energy_j: p.engine.fuel_power_w,
            enthalpy_out_j: p.turbine.outlet_enthalpy_w
                + p.wastegate.enthalpy_w
                + p.boost_leak.enthalpy_w
                + p.exhaust_leak.enthalpy_w,
            brake_work_j: p.engine.brake_power_w,
            heat_out_j: p.engine.heat_w
                + p.engine.unburned_w
                + p.cooler_heat_w
                + p.wall_heat_w
                + p.bearing_power_w,
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

    /// From the filter to the intake volume; the flow in the duct counts where
    /// the duct has inertia.
    fn charge_side(
        &self,
        intake: &GasState,
        shaft_speed_rad_s: f64,
        duct_flow_kg_s: f64,
    ) -> ChargeSide {
        if let Some(duct) = &self.duct {
            return self.moving_charge(duct, intake, shaft_speed_rad_s, duct_flow_kg_s);
        }
        let ambient_k = self.ambient.temperature_k;
        let compressor = self.compressor_point(intake, shaft_speed_rad_s);
        let flow = compressor.flow_kg_s;
        let inlet_j_kg = self.gas.enthalpy_j_kg(ambient_k, 0.0);
        let rise_j_kg = self.compression_j_kg(&compressor);
        let outlet_j_kg = inlet_j_kg + rise_j_kg;
        let coolant_j_kg = self
            .gas
            .enthalpy_j_kg(self.cooler.coolant_k(ambient_k), 0.0);
        let charge_j_kg = self
            .cooler
            .outlet_enthalpy_j_kg(flow, outlet_j_kg, coolant_j_kg);
        ChargeSide {
            compressor,
            compressor_power_w: flow * rise_j_kg,
            outlet_enthalpy_j_kg: outlet_j_kg,
            cooler_heat_w: flow * (outlet_j_kg - charge_j_kg),
            charge_enthalpy_w: flow * charge_j_kg,
            inlet_enthalpy_w: flow * inlet_j_kg,
            burned_kg_s: 0.0,
            duct_rate_kg_s2: 0.0,
        }
    }

    /// The compressor between ambient and intake volume.
    fn compressor_point(&self, intake: &GasState, shaft_speed_rad_s: f64) -> CompressorPoint {
        self.compressor
            .operate(&self.compressor_demand(intake, shaft_speed_rad_s))
    }

    /// What surrounds the compressor.
    fn compressor_demand(&self, intake: &GasState, shaft_speed_rad_s: f64) -> CompressorDemand {
        let a = &self.ambient;
        let r = self.gas.gas_constant_j_kg_k(0.0);
        let ambient_density = a.pressure_pa / (r * a.temperature_k);
        let intake_density = intake.pressure_pa / (r * intake.temperature_k);
        CompressorDemand {
            shaft_speed_rad_s,
            ambient_pressure_pa: a.pressure_pa,
            inlet_temperature_k: a.temperature_k,
            gas_constant_j_kg_k: r,
            inlet_loss_pa_s2_kg2: self.health.filter_loss_factor
                * self.filter.coefficient_pa_s2_kg2(ambient_density),
            outlet_loss_pa_s2_kg2: self.health.cooler_loss_factor
                * self.cooler_loss.coefficient_pa_s2_kg2(intake_density),
            outlet_pressure_pa: intake.pressure_pa,
        }
    }

    /// Enthalpy rise over the compressor \[J/kg\]: isentropic over efficiency.
    /// Below a pressure ratio of 1 the wheel is dragged along by the air and
    /// gives nothing back to the shaft.
    fn compression_j_kg(&self, c: &CompressorPoint) -> f64 {
        self.work_j_kg(c.pressure_ratio, c.efficiency)
    }

    /// The same from pressure ratio and efficiency.
    fn work_j_kg(&self, pressure_ratio: f64, efficiency: f64) -> f64 {
        self.gas
            .isentropic(self.ambient.temperature_k, 0.0, pressure_ratio)
            .enthalpy_change_j_kg
            .max(0.0)
            / efficiency
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
            extras: Extras::default(),
        }
    }
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
