//! From the plant, the sensors and the controller to one row of the trace.
use super::measure::{Measured, boost_at_sensor_pa, smooth_readings};
use super::rig::Rig;
use super::sample::Sample;
use super::start::steady_input;
use crate::control::Orders;
use crate::plant::PlantPoint;
use crate::plant::state::PlantState;
use crate::procedure::Asked;
use crate::sensor::PressureReading;
use std::f64::consts::PI;

/// Everything known at a tick.
pub struct TickView<'a> {
    /// The rig.
    pub rig: &'a Rig,
    /// Time \[s\].
    pub time_s: f64,
    /// What is asked.
    pub asked: Asked,
    /// Plant flows.
    pub point: &'a PlantPoint,
    /// Readings.
    pub measured: &'a Measured,
    /// Orders.
    pub orders: &'a Orders,
    /// Protections that cannot see.
    pub blind: u8,
}

const RPM: f64 = 30.0 / PI;

/// The row of a tick.
pub fn sample(v: &TickView) -> Sample {
    let p = v.point;
    let plant = &v.rig.plant;
    let ambient = &plant.ambient;
    let c = &p.compressor;
    let t = &p.turbine;
    Sample {
        time_s: v.time_s,
        engine_speed_rpm: v.asked.speed_rad_s * RPM,
        gear: v.asked.gear,
        altitude_m: ambient.altitude_m,
        ambient_kpa_abs: ambient.pressure_pa * 1e-3,
        fuel_mg_per_injection: v.orders.fuel_kg * 1e6,
        boost_command_kpa_abs: v.orders.boost_command_pa.map(|p| p * 1e-3),
        boost_true_kpa_abs: p.intake.pressure_pa * 1e-3,
        boost_sensed_kpa_abs: v.measured.boost.pressure_pa * 1e-3,
        vane_command_pct: 100.0 * v.orders.vane_command,
        vane_closed_pct: 100.0 * p.vane_closed,
        drive_pressure_kpa_abs: p.exhaust.pressure_pa * 1e-3,
        shaft_speed_rpm: p.shaft_speed_rad_s * RPM,
        compressor_flow_kg_s: c.flow_kg_s,
        compressor_pressure_ratio: c.pressure_ratio,
        compressor_efficiency: c.efficiency,
        compressor_outlet_k: plant
            .gas
            .temperature_from_enthalpy_k(p.compressor_outlet_enthalpy_j_kg, 0.0),
        turbine_expansion_ratio: t.expansion_ratio,
        turbine_efficiency: t.efficiency,
        turbine_inlet_k: p.exhaust.temperature_k,
        intake_k: p.intake.temperature_k,
        lambda: p.engine.lambda,
        cylinder_pressure_kpa_abs: p.engine.peak_pressure_pa * 1e-3,
        torque_nm: p.engine.torque_nm,
        power_kw: p.engine.brake_power_w * 1e-3,
        surge_margin_pct: 100.0 * c.surge_margin,
        compressor_extrapolated: c.extrapolated,
        turbine_extrapolated: t.extrapolated,
        active_protections: v.orders.active,
        blind_protections: v.blind,
        pinned: v.measured.boost.pinned,
        choke_margin_pct: 100.0 * c.choke_margin,
        compressor_corrected_flow_kg_s: c.corrected_flow_kg_s,
        compressor_corrected_speed_rpm: c.corrected_speed_rad_s * RPM,
        compressor_power_kw: p.compressor_power_w * 1e-3,
        turbine_power_kw: t.power_w * 1e-3,
        bearing_power_kw: p.bearing_power_w * 1e-3,
        turbine_flow_kg_s: t.flow_kg_s,
        turbine_outlet_kpa_abs: t.outlet_pressure_pa * 1e-3,
        compressor_inlet_kpa_abs: c.inlet_pressure_pa * 1e-3,
        compressor_outlet_kpa_abs: c.outlet_pressure_pa * 1e-3,
        ambient_k: ambient.temperature_k,
        exhaust_burned_fraction: p.exhaust.burned,
        tip_speed_m_s: plant.shaft.tip_speed_m_s(p.shaft_speed_rad_s),
        drive_pressure_sensed_kpa_abs: v.measured.drive_pressure_pa.map(|p| p * 1e-3),
        shaft_speed_sensed_rpm: v.measured.shaft_speed_rad_s.map(|w| w * RPM),
        integrator_pct: 100.0 * v.orders.integrator,
    }
}

/// The sample of an equilibrium, with smooth readings and the vanes at their
/// command.
pub fn equilibrium_sample(rig: &Rig, asked: Asked, state: &PlantState) -> Sample {
    let controller = rig.fresh_controller();
    let input = steady_input(rig, &*controller, asked, state);
    let point = rig.plant.evaluate(state, &input);
    let readings = smooth_readings(rig, &point, asked.speed_rad_s, rig.fuel_asked_kg(&asked));
    let chain = &rig.sensors.boost.chain;
    let measured = Measured {
        boost: PressureReading {
            pressure_pa: readings.boost_pa,
            pinned: boost_at_sensor_pa(&rig.sensors, &point) >= chain.pins_at_pa(),
        },
        drive_pressure_pa: readings.drive_pressure_pa,
        shaft_speed_rad_s: readings.shaft_speed_rad_s,
    };
    let orders = Orders {
        vane_command: state.vane_closed,
        fuel_kg: input.fuel_kg,
        advance_deg: input.advance_deg,
        ..Orders::default()
    };
    sample(&TickView {
        rig,
        time_s: 0.0,
        asked,
        point: &point,
        measured: &measured,
        orders: &orders,
        blind: 0,
    })
}
