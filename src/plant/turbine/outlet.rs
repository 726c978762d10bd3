//! The pressure behind turbine and wastegate, where the exhaust system begins.
use super::{TurbineDemand, TurbinePoint};
use crate::gas::Ambient;
use crate::plant::restriction::Restriction;
use crate::plant::scalar::rising_root;
use crate::plant::stream::Stream;

/// How close the outlet pressure is sought, over the inlet pressure \[-\].
const CLOSE: f64 = 1e-13;

/// Turbine and what flows beside it, with the loss of the exhaust system that
/// both bring about.
///
/// `free` answers for a demand whose ambient pressure is the outlet pressure p₄
/// and whose exhaust system is without loss. p₄ is the root of p₄ − p_ambient −
/// Δp(ṁ, ρ₄), where ṁ is the sum of both streams and ρ₄ follows from their mixed
/// enthalpy. More outlet pressure gives less flow and less loss, so that the
/// function rises; its root lies between ambient and inlet pressure. With the
/// inlet at or below ambient the system's loss is left out.
pub fn behind_loss(
    d: &TurbineDemand,
    free: impl Fn(&TurbineDemand) -> (TurbinePoint, Stream),
) -> (TurbinePoint, Stream) {
    let ambient_pa = d.ambient.pressure_pa;
    let inlet_pa = d.inlet.pressure_pa;
    if d.system.loss_pa == 0.0 {
        return free(d);
    }
    let at = |pressure_pa: f64| {
        free(&TurbineDemand {
            ambient: &Ambient {
                pressure_pa,
                ..*d.ambient
            },
            system: &Restriction::NONE,
            ..*d
        })
    };
    if inlet_pa <= ambient_pa {
        return at(ambient_pa);
    }
    let surplus_pa = |pressure_pa: f64| {
        let (turbine, beside) = at(pressure_pa);
        pressure_pa - ambient_pa - loss_pa(d, pressure_pa, &turbine, &beside)
    };
    at(rising_root(
        ambient_pa,
        inlet_pa,
        CLOSE * inlet_pa,
        surplus_pa,
    ))
}

/// Loss of the exhaust system \[Pa\] behind both streams mixed.
fn loss_pa(d: &TurbineDemand, outlet_pa: f64, turbine: &TurbinePoint, beside: &Stream) -> f64 {
    let flow = turbine.flow_kg_s + beside.flow_kg_s;
    if flow <= 0.0 {
        return 0.0;
    }
    let enthalpy_j_kg = (turbine.outlet_enthalpy_w + beside.enthalpy_w) / flow;
    let burned = d.inlet.burned;
    let temperature_k = d.gas.temperature_from_enthalpy_k(enthalpy_j_kg, burned);
    let density_kg_m3 = outlet_pa / (d.gas.gas_constant_j_kg_k(burned) * temperature_k);
    d.system.coefficient_pa_s2_kg2(density_kg_m3) * flow * flow
}
