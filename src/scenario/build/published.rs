//! Forms of published models, and what they stand on.
use crate::gas::{ConstantGas, WorkingGas};
use crate::map::ReferenceConditions;
use crate::plant::compressor::{HeadAndFlow, HeadAt};
use crate::plant::engine::{
    Breathing, EfficiencyCurveEngine, EngineGeometry, ExhaustPipe, Filling, FillingFormula,
    IndicatedEfficiency, SpeedFriction,
};
use crate::plant::turbine::{AreaAndSpeedTurbine, Pulsation};
use crate::plant::volume::Thermal;
use crate::plant::wastegate::{Wastegate, WastegateLaw};
use crate::procedure::{InputOverrides, Part, StepPart, StepSide};
use crate::scenario::checked::{self, Scenario};

/// Bar to pascal: units of published friction coefficients.
const BAR_PA: f64 = 1e5;

/// Air and exhaust gas.
pub fn gas(s: &Scenario, humidity_kg_kg: f64) -> WorkingGas {
    let of = |g: &checked::ConstantGas| ConstantGas {
        gas_constant_j_kg_k: g.gas_constant.j_kg_k(),
        cp_j_kg_k: g.specific_heat.j_kg_k(),
    };
    match &s.gas {
        checked::GasModel::Mixture => WorkingGas::new(humidity_kg_kg, s.fuel.hydrogen_to_carbon),
        checked::GasModel::Constant(c) => {
            WorkingGas::constant(of(&c.air), of(&c.exhaust), c.stoichiometric_air_fuel)
        }
    }
}

/// What the temperature in the intake volume follows from.
pub fn intake_thermal(s: &Scenario) -> Thermal {
    match s.intake.thermal {
        checked::IntakeThermal::EnergyBalance => Thermal::EnergyBalance,
        checked::IntakeThermal::Isothermal(t) => Thermal::Held(t.k()),
    }
}

/// What the temperature in the exhaust volume follows from.
pub fn exhaust_thermal(s: &Scenario) -> Thermal {
    match s.exhaust.thermal {
        checked::ExhaustThermal::EnergyBalance => Thermal::EnergyBalance,
        checked::ExhaustThermal::Isothermal(checked::IsothermalExhaust::Engine) => {
            Thermal::ByEngine
        }
    }
}

/// Filling of the cylinders by formula.
pub fn breathing(f: &checked::VolumetricEfficiencyFormula) -> Breathing {
    Breathing {
        filling: Filling::Formula(FillingFormula {
            per_root_pressure: f.per_root_pressure,
            per_root_speed: f.per_root_speed,
            constant: f.constant,
        }),
        back_pressure_effect: f.back_pressure_effect,
    }
}

/// The engine with an efficiency curve.
pub fn engine(
    s: &Scenario,
    c: &checked::EfficiencyCurve,
    geometry: EngineGeometry,
    breathing: Breathing,
) -> EfficiencyCurveEngine {
    EfficiencyCurveEngine {
        geometry,
        breathing,
        indicated: IndicatedEfficiency {
            without_fuel: c.efficiency_without_fuel,
            best: c.best_efficiency,
            best_fuel_per_speed_mg_s_rad: c.best_fuel_per_speed,
            cycle_gamma: c.cycle_gamma,
        },
        friction: SpeedFriction {
            constant_pa: c.friction_constant.pa(),
            per_speed_pa_s: c.friction_per_speed * BAR_PA,
            per_speed_squared_pa_s2: c.friction_per_speed_squared * BAR_PA,
        },
        pipe: ExhaustPipe {
            compensation: c.exhaust_compensation,
            surroundings_k: c.pipe_surroundings.k(),
            loss_w_k: c.pipe_loss.w_k(),
        },
        lower_heating_value_j_kg: s.fuel.lower_heating_value.j_kg(),
    }
}

/// The compressor with head and flow by formula.
pub fn compressor(c: &checked::HeadAndFlow, gas: &WorkingGas) -> HeadAndFlow {
    let reference = ReferenceConditions {
        pressure_pa: c.reference_pressure.pa(),
        temperature_k: c.reference_temperature.k(),
    };
    let air = gas.properties(reference.temperature_k, 0.0);
    HeadAndFlow {
        reference,
        radius_m: c.radius.m(),
        head_coefficient: c.head_coefficient,
        head_at: match c.head_at {
            checked::HeadAt::Inlet => HeadAt::Inlet,
            checked::HeadAt::Reference => HeadAt::Reference,
        },
        speed_scale_rad_s: c.speed_scale.rad_s(),
        flow_kg_s: [
            c.flow_constant.kg_s(),
            c.flow_per_speed.kg_s(),
            c.flow_per_speed_squared.kg_s(),
        ],
        peak_efficiency: c.peak_efficiency,
        best_flow_coefficient: c.best_flow_coefficient,
        best_speed: c.best_speed,
        curvature: [c.curvature_flow, c.curvature_cross, c.curvature_speed],
        surge_line: [c.surge_slope, c.surge_intercept],
        stated_to_rad_s: c.stated_to_speed.rad_s(),
        cp_j_kg_k: air.cp_j_kg_k,
        gas_constant_j_kg_k: air.gas_constant_j_kg_k,
    }
}

/// The turbine with an effective area.
pub fn turbine(s: &Scenario, t: &checked::AreaAndSpeed) -> AreaAndSpeedTurbine {
    AreaAndSpeedTurbine {
        area_m2: t.area.m2() * t.area_factor,
        flow_factor: t.flow_factor,
        flow_exponent: t.flow_exponent,
        wheel_diameter_m: s.turbine.wheel_diameter.m(),
        peak_efficiency: t.peak_efficiency,
        best_blade_speed_ratio: t.best_blade_speed_ratio,
        curvature: t.efficiency_curvature,
        stated_blade_speed_ratio: [
            t.stated_from_blade_speed_ratio,
            t.stated_to_blade_speed_ratio,
        ],
        pulsation: Pulsation {
            flow_factor: s.turbine.pulsation.flow_factor,
            power_factor: s.turbine.pulsation.power_factor,
        },
    }
}

/// The wastegate.
pub fn wastegate(w: &checked::Wastegate) -> Wastegate {
    Wastegate {
        area_m2: w.area.m2(),
        opening: w.opening.fraction(),
        law: match &w.flow {
            checked::WastegateFlow::Isentropic => WastegateLaw::Isentropic,
            checked::WastegateFlow::Root(r) => WastegateLaw::Root {
                factor: r.factor,
                exponent: r.exponent,
            },
        },
    }
}

/// A step of inputs.
pub fn step(x: &checked::InputStep) -> Part {
    let side = |i: &checked::StepInputs| StepSide {
        fuel: i.fuel.map(super::fuel),
        set: InputOverrides {
            vanes: i.vanes.map(|v| v.fraction()),
            wastegate: i.wastegate.map(|w| w.fraction()),
            turbine_area: i.turbine_area,
        },
    };
    Part::Step(StepPart {
        speed_rad_s: x.engine_speed.rad_s(),
        at_s: x.at.s(),
        duration_s: x.duration.s(),
        before: side(&x.before),
        after: side(&x.after),
    })
}
