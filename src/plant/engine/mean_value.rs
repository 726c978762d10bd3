//! The mean-value engine: breathing, limited-pressure cycle, friction, and the
//! first law over the cylinders.
use super::breathing::ASSUMED_INTAKE_PA;
use super::{
    Breathing, EngineDemand, EngineForm, EngineGeometry, EnginePoint, Friction,
    LimitedPressureCycle, Trapped,
};
use std::f64::consts::PI;

/// A four-stroke engine as a continuous flow machine.
#[derive(Debug, Clone, PartialEq)]
pub struct MeanValueEngine {
    /// Size.
    pub geometry: EngineGeometry,
    /// Volumetric efficiency.
    pub breathing: Breathing,
    /// Closed cycle.
    pub cycle: LimitedPressureCycle,
    /// Friction.
    pub friction: Friction,
    /// Lower heating value of the fuel \[J/kg\].
    pub lower_heating_value_j_kg: f64,
    /// Heat loss of the exhaust ports, coefficient times area \[W/K\].
    pub port_loss_w_k: f64,
    /// Coolant temperature that the ports see \[K\].
    pub coolant_k: f64,
}

impl EngineForm for MeanValueEngine {
    fn operate(&self, d: &EngineDemand) -> EnginePoint {
        let g = &self.geometry;
        let cycles = g.cycles_per_second(d.speed_rad_s) * g.cylinders;
        let per_cylinder_m3 = g.displacement_m3 / g.cylinders;

        // gas drawn in per cycle, and the residual in the clearance volume
        let charge_kg = self.charge_kg(d, per_cylinder_m3);
        let clearance_m3 = per_cylinder_m3 / (g.compression_ratio - 1.0);
        let residual_kg = d.exhaust.pressure_pa * clearance_m3
            / (d.exhaust.properties.gas_constant_j_kg_k * d.exhaust.temperature_k);

        let afr = d.gas.stoichiometric_air_fuel();
        let air_kg = charge_kg * (1.0 - d.intake.burned);
        let lambda = air_kg / (afr * d.fuel_kg);
        let burning_kg = d.fuel_kg.min(air_kg / afr);
        let heat_j = burning_kg * self.lower_heating_value_j_kg;

        let mass_kg = charge_kg + residual_kg;
        let trapped = Trapped {
            pressure_pa: d.intake.pressure_pa,
            volume_m3: per_cylinder_m3 + clearance_m3,
            mass_kg,
            burned: (charge_kg * d.intake.burned + residual_kg * d.exhaust.burned) / mass_kg,
            gas_constant_j_kg_k: d.intake.properties.gas_constant_j_kg_k,
            fuel_kg: d.fuel_kg,
            heat_j,
            lambda,
        };
        let cycle = self.cycle.run(d.gas, &trapped, d.advance_deg);

        let pumping_j = (d.exhaust.pressure_pa - d.intake.pressure_pa) * per_cylinder_m3;
        let friction_j = self.friction.mean_effective_pressure_pa(
            cycle.peak_pressure_pa,
            g.mean_piston_speed_m_s(d.speed_rad_s),
        ) * per_cylinder_m3;
        let brake_work_j = cycle.work_j - pumping_j - friction_j;
        let port_w = self.port_loss_w_k * (d.exhaust.temperature_k - self.coolant_k);

        // first law over the cylinders: what is not work or wall heat leaves
        // with the gas; the work of pumping comes back as heat
        let exhaust_enthalpy_w = cycles
            * (charge_kg * d.intake.properties.enthalpy_j_kg + heat_j
                - cycle.wall_heat_j
                - cycle.work_j
                + pumping_j)
            - port_w;
        let fuel_flow_kg_s = cycles * d.fuel_kg;
        EnginePoint {
            intake_flow_kg_s: cycles * charge_kg,
            fuel_flow_kg_s,
            burned_made_kg_s: cycles * d.gas.products_kg(air_kg, d.fuel_kg, burning_kg),
            exhaust_enthalpy_w,
            fuel_power_w: fuel_flow_kg_s * self.lower_heating_value_j_kg,
            unburned_w: cycles * (d.fuel_kg - burning_kg) * self.lower_heating_value_j_kg,
            heat_w: cycles * (cycle.wall_heat_j + friction_j) + port_w,
            torque_nm: g.cylinders * brake_work_j / (4.0 * PI),
            brake_power_w: cycles * brake_work_j,
            peak_pressure_pa: cycle.peak_pressure_pa,
            lambda,
            exhaust_temperature_k: None,
            indicated_efficiency: cycle.work_j
                / (d.fuel_kg * self.lower_heating_value_j_kg).max(f64::MIN_POSITIVE),
        }
    }

    fn geometry(&self) -> &EngineGeometry {
        &self.geometry
    }

    fn assumed_volumetric_efficiency(&self, speed_rad_s: f64) -> f64 {
        self.breathing.filling.at(speed_rad_s, ASSUMED_INTAKE_PA)
    }
}

impl MeanValueEngine {
    /// Gas that one cylinder draws in one cycle \[kg\].
    fn charge_kg(&self, d: &EngineDemand, per_cylinder_m3: f64) -> f64 {
        let efficiency = self.breathing.volumetric_efficiency(
            d.speed_rad_s,
            d.intake.pressure_pa,
            d.exhaust.pressure_pa / d.intake.pressure_pa,
            self.geometry.compression_ratio,
            d.exhaust.properties.gamma,
        );
        efficiency * d.intake.pressure_pa * per_cylinder_m3
            / (d.intake.properties.gas_constant_j_kg_k * d.intake.temperature_k)
    }
}
