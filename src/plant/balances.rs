//! What changes and what crosses the boundary: the balances of all states, and the
//! ledger beside them.
use super::state::{Content, Extras, Ledger, PlantState};
use super::{Plant, PlantPoint};

impl Plant {
    /// Rates of all states, one visible line for each term.
    pub fn rates(&self, p: &PlantPoint) -> PlantState {
        let exhaust_wall_heat_w = p.wall_heat_w - p.intake_wall_heat_w;
        let burned_drawn_kg_s = p.engine.intake_flow_kg_s * p.intake.burned;
        let mut rates = PlantState {
            intake: Content {
                mass_kg: p.charge.flow_kg_s + p.recirculated.into_intake.flow_kg_s
                    - p.engine.intake_flow_kg_s
                    - p.boost_leak.flow_kg_s,
                energy_j: p.charge.enthalpy_w + p.recirculated.into_intake.enthalpy_w
                    - p.engine.intake_flow_kg_s * p.intake.properties.enthalpy_j_kg
                    - p.intake_wall_heat_w
                    - p.boost_leak.enthalpy_w,
                burned_kg: p.charge.burned_kg_s + p.recirculated.into_intake.burned_kg_s
                    - burned_drawn_kg_s
                    - p.boost_leak.burned_kg_s,
            },
            exhaust: Content {
                mass_kg: p.engine.intake_flow_kg_s + p.engine.fuel_flow_kg_s
                    - p.recirculated.from_exhaust.flow_kg_s
                    - p.turbine.flow_kg_s
                    - p.wastegate.flow_kg_s
                    - p.exhaust_leak.flow_kg_s,
                energy_j: p.engine.exhaust_enthalpy_w
                    - p.recirculated.from_exhaust.enthalpy_w
                    - p.turbine.inlet_enthalpy_w
                    - p.wastegate.enthalpy_w
                    - exhaust_wall_heat_w
                    - p.exhaust_leak.enthalpy_w,
                burned_kg: burned_drawn_kg_s + p.engine.burned_made_kg_s
                    - p.recirculated.from_exhaust.burned_kg_s
                    - p.turbine.outlet_burned_kg_s
                    - p.wastegate.burned_kg_s
                    - p.exhaust_leak.burned_kg_s,
            },
            shaft_energy_j: p.turbine.power_w - p.compressor_power_w - p.bearing_power_w,
            vane_closed: p.vane_rate_1_s,
            ledger: self.ledger_rates(p),
            extras: Extras {
                duct_flow_kg_s: p.duct_rate_kg_s2,
                cooler_core_j: p.cooler_core_w,
                volumes: p.further.rates,
            },
        };
        rates.intake = self.intake.kept(rates.intake, &p.intake);
        rates.exhaust = self.exhaust.kept(rates.exhaust, &p.exhaust);
        rates
    }

    /// What crosses the boundary per second, each term at its port.
    fn ledger_rates(&self, p: &PlantPoint) -> Ledger {
        // out at the tail: behind the exhaust system, which starts at the turbine
        let behind_turbine = p.turbine.outlet().and(p.wastegate);
        let tail = p.further.system.unwrap_or(behind_turbine);
        Ledger {
            air_in_kg: p.inlet.flow_kg_s,
            fuel_in_kg: p.engine.fuel_flow_kg_s,
            gas_out_kg: tail.flow_kg_s + p.boost_leak.flow_kg_s + p.exhaust_leak.flow_kg_s,
            burned_made_kg: p.engine.burned_made_kg_s,
            burned_out_kg: tail.burned_kg_s - p.inlet.burned_kg_s
                + p.boost_leak.burned_kg_s
                + p.exhaust_leak.burned_kg_s,
            enthalpy_in_j: p.inlet.enthalpy_w,
            fuel_energy_j: p.engine.fuel_power_w,
            enthalpy_out_j: tail.enthalpy_w + p.boost_leak.enthalpy_w + p.exhaust_leak.enthalpy_w,
            brake_work_j: p.engine.brake_power_w,
            heat_out_j: p.engine.heat_w
                + p.engine.unburned_w
                + p.cooler_heat_w
                + p.recirculated.heat_w
                + p.wall_heat_w
                + p.further.wall_heat_w
                + p.bearing_power_w,
        }
    }
}
