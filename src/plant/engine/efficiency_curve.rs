//! A published mean-value engine: breathing by formula, torque from an
//! efficiency curve, exhaust temperature from a formula.
//!
//! Source: M. Sivertsson, L. Eriksson, "Modelling for Optimal Control: A
//! Validated Diesel-Electric Powertrain Model" and "An Optimal Control
//! Benchmark: Transient Optimization of a Diesel-Electric Powertrain", SIMS 55
//! (2014); symbols as there where they are given. The equations were fitted to
//! one engine between idling and full load; beyond that they are but formulas.
use super::breathing::ASSUMED_INTAKE_PA;
use super::{Breathing, EngineDemand, EngineForm, EngineGeometry, EnginePoint};
use std::f64::consts::PI;

/// Below this speed the fuel per speed is taken as at this speed \[rad/s\].
const SLOWEST_RAD_S: f64 = 1.0;

/// Indicated efficiency over fuel per engine speed.
///
/// η = [η₀ + (η₁ − η₀)(2 x − x²)] (1 − r^(1−γ)) with x = (u/ω)/k: a parabola
/// with its top η₁ at x = 1, times the ideal constant-volume cycle's efficiency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IndicatedEfficiency {
    /// Factor on the ideal efficiency without fuel, η₀ \[-\].
    pub without_fuel: f64,
    /// Highest factor, η₁ \[-\].
    pub best: f64,
    /// Fuel per cycle and cylinder over crankshaft speed at that factor, k
    /// \[mg s/rad\].
    pub best_fuel_per_speed_mg_s_rad: f64,
    /// Ratio of specific heats of the ideal cycle, γ \[-\].
    pub cycle_gamma: f64,
}

impl IndicatedEfficiency {
    /// Indicated efficiency \[-\] at a fuel quantity \[kg\] and speed \[rad/s\].
    /// Fuel over speed is taken as at 1 rad/s below that: an engine that slow gives
    /// no work anyway.
    pub fn at(&self, fuel_kg: f64, speed_rad_s: f64, compression_ratio: f64) -> f64 {
        let mg_s_rad = 1e6 * fuel_kg / speed_rad_s.max(SLOWEST_RAD_S);
        let x = mg_s_rad / self.best_fuel_per_speed_mg_s_rad;
        let factor = self.without_fuel + (self.best - self.without_fuel) * x * (2.0 - x);
        factor * (1.0 - compression_ratio.powf(1.0 - self.cycle_gamma))
    }
}

/// Friction mean effective pressure over crankshaft speed: f₂ ω² + f₁ ω + f₀.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedFriction {
    /// f₀ \[Pa\].
    pub constant_pa: f64,
    /// f₁ \[Pa s/rad\].
    pub per_speed_pa_s: f64,
    /// f₂ \[Pa s²/rad²\].
    pub per_speed_squared_pa_s2: f64,
}

impl SpeedFriction {
    /// Friction mean effective pressure \[Pa\].
    pub fn mean_effective_pressure_pa(&self, speed_rad_s: f64) -> f64 {
        self.constant_pa
            + speed_rad_s * (self.per_speed_pa_s + speed_rad_s * self.per_speed_squared_pa_s2)
    }
}

/// From the valves to the turbine: compensation of the ideal cycle, and the
/// heat that the pipe loses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExhaustPipe {
    /// Compensation factor on the Seiliger cycle's exhaust temperature, η_sc \[-\].
    pub compensation: f64,
    /// Temperature of what the pipe stands in \[K\].
    pub surroundings_k: f64,
    /// Heat transfer coefficient times area of the pipe \[W/K\].
    pub loss_w_k: f64,
}

/// The engine.
#[derive(Debug, Clone, PartialEq)]
pub struct EfficiencyCurveEngine {
    /// Size; the stroke plays no part.
    pub geometry: EngineGeometry,
    /// Volumetric efficiency.
    pub breathing: Breathing,
    /// Indicated efficiency.
    pub indicated: IndicatedEfficiency,
    /// Friction.
    pub friction: SpeedFriction,
    /// Exhaust temperature.
    pub pipe: ExhaustPipe,
    /// Lower heating value of the fuel \[J/kg\].
    pub lower_heating_value_j_kg: f64,
}

impl EngineForm for EfficiencyCurveEngine {
    /// Air η_v p_i V_D ω/(4π R T_i), fuel u ω n/(4π), torque from indicated,
    /// friction and pumping work over 4π, exhaust temperature by formula. What the
    /// first law leaves between fuel, air, torque and that exhaust is called heat.
    fn operate(&self, d: &EngineDemand) -> EnginePoint {
        let g = &self.geometry;
        let cycles = g.cycles_per_second(d.speed_rad_s);
        let intake = d.intake;
        let intake_flow_kg_s = cycles * self.charge_kg(d);
        let fuel_flow_kg_s = cycles * g.cylinders * d.fuel_kg;

        let air_kg_s = intake_flow_kg_s * (1.0 - intake.burned);
        let stoichiometric = d.gas.stoichiometric_air_fuel();
        let burning_kg_s = fuel_flow_kg_s.min(air_kg_s / stoichiometric);
        let efficiency = self
            .indicated
            .at(d.fuel_kg, d.speed_rad_s, g.compression_ratio);
        let indicated_j = g.cylinders * self.lower_heating_value_j_kg * efficiency * d.fuel_kg;
        let friction_pa = self.friction.mean_effective_pressure_pa(d.speed_rad_s);
        let pumping_pa = d.exhaust.pressure_pa - intake.pressure_pa;
        let work_j = indicated_j - g.displacement_m3 * (friction_pa + pumping_pa);

        let gas_flow_kg_s = intake_flow_kg_s + fuel_flow_kg_s;
        let burned_made_kg_s = d.gas.products_kg(air_kg_s, fuel_flow_kg_s, burning_kg_s);
        let burned = share(
            burned_made_kg_s + intake_flow_kg_s * intake.burned,
            gas_flow_kg_s,
        );
        let temperature_k = self.exhaust_temperature_k(d, fuel_flow_kg_s, gas_flow_kg_s, burned);
        let exhaust_enthalpy_w = gas_flow_kg_s * d.gas.enthalpy_j_kg(temperature_k, burned);
        let fuel_power_w = fuel_flow_kg_s * self.lower_heating_value_j_kg;
        let brake_power_w = cycles * work_j;
        EnginePoint {
            intake_flow_kg_s,
            fuel_flow_kg_s,
            burned_made_kg_s,
            exhaust_enthalpy_w,
            fuel_power_w,
            unburned_w: 0.0,
            heat_w: fuel_power_w + intake_flow_kg_s * intake.properties.enthalpy_j_kg
                - brake_power_w
                - exhaust_enthalpy_w,
            torque_nm: work_j / (4.0 * PI),
            brake_power_w,
            peak_pressure_pa: f64::NAN,
            lambda: air_kg_s / (stoichiometric * fuel_flow_kg_s),
            exhaust_temperature_k: Some(temperature_k),
            indicated_efficiency: efficiency,
        }
    }

    fn geometry(&self) -> &EngineGeometry {
        &self.geometry
    }

    fn assumed_volumetric_efficiency(&self, speed_rad_s: f64) -> f64 {
        self.breathing.filling.at(speed_rad_s, ASSUMED_INTAKE_PA)
    }
}

impl EfficiencyCurveEngine {
    /// Gas that all cylinders draw in one cycle \[kg\].
    fn charge_kg(&self, d: &EngineDemand) -> f64 {
        let i = d.intake;
        let efficiency = self.breathing.volumetric_efficiency(
            d.speed_rad_s,
            i.pressure_pa,
            d.exhaust.pressure_pa / i.pressure_pa,
            self.geometry.compression_ratio,
            i.properties.gamma,
        );
        efficiency * i.pressure_pa * self.geometry.displacement_m3
            / (i.properties.gas_constant_j_kg_k * i.temperature_k)
    }

    /// Temperature ahead of the turbine \[K\].
    ///
    /// Leaving the cylinder T_eo = η_sc (p_e/p_i)^(1−1/γ) r^(1−γ) (q/c_p + T_i
    /// r^(γ−1)), with the fuel heat per gas q and the γ and c_p of the charge; the
    /// pipe then brings it nearer to its surroundings by exp(−hA/(ṁ c_p,e)).
    /// Without any flow it is the surroundings' temperature.
    fn exhaust_temperature_k(
        &self,
        d: &EngineDemand,
        fuel_flow_kg_s: f64,
        gas_flow_kg_s: f64,
        burned: f64,
    ) -> f64 {
        let charge = &d.intake.properties;
        let gamma = charge.gamma;
        let heat_j_kg = share(
            fuel_flow_kg_s * self.lower_heating_value_j_kg,
            gas_flow_kg_s,
        );
        let compression = self.geometry.compression_ratio.powf(gamma - 1.0);
        let backed_up = (d.exhaust.pressure_pa / d.intake.pressure_pa).powf(1.0 - 1.0 / gamma);
        let leaving_k = self.pipe.compensation * backed_up / compression
            * (heat_j_kg / charge.cp_j_kg_k + d.intake.temperature_k * compression);
        let cp = d.gas.cp_j_kg_k(leaving_k, burned);
        let capacity_w_k = (gas_flow_kg_s * cp).max(f64::MIN_POSITIVE);
        let kept = (-self.pipe.loss_w_k / capacity_w_k).exp();
        self.pipe.surroundings_k + (leaving_k - self.pipe.surroundings_k) * kept
    }
}

/// A share of a flow, nothing of nothing.
fn share(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { part / whole } else { 0.0 }
}
