//! One row of a trace: everything that is known at one instant of a run.
use serde::{Deserialize, Serialize};

/// Names of the protections in the order of their bits in
/// [`Sample::active_protections`].
pub const PROTECTIONS: [&str; 6] = [
    "command_clamp",
    "pinned_sensor",
    "frozen_sensor",
    "drive_pressure",
    "shaft_speed",
    "over_boost",
];

/// The plant, the sensors and the controller at one instant.
///
/// The fields up to `active_protections` are the columns of the trace CSV, in
/// order; those after it serve judgement and pictures.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Sample {
    /// Time since the start of the procedure \[s\].
    pub time_s: f64,
    /// Engine speed \[rpm\].
    pub engine_speed_rpm: f64,
    /// Gear engaged; `None` where no vehicle is modelled.
    pub gear: Option<u8>,
    /// Altitude \[m\]; `None` where the ambient is given by pressure.
    pub altitude_m: Option<f64>,
    /// Ambient pressure \[kPa abs\].
    pub ambient_kpa_abs: f64,
    /// Fuel injected \[mg per injection\].
    pub fuel_mg_per_injection: f64,
    /// Boost command as the controller uses it \[kPa abs\]; `None` in open loop.
    pub boost_command_kpa_abs: Option<f64>,
    /// True pressure in the intake volume \[kPa abs\].
    pub boost_true_kpa_abs: f64,
    /// Boost as the controller reads it \[kPa abs\].
    pub boost_sensed_kpa_abs: f64,
    /// Vane position commanded \[% closed\].
    pub vane_command_pct: f64,
    /// Vane position \[% closed\].
    pub vane_closed_pct: f64,
    /// Pressure in the exhaust volume ahead of the turbine \[kPa abs\].
    pub drive_pressure_kpa_abs: f64,
    /// Turbocharger shaft speed \[rpm\].
    pub shaft_speed_rpm: f64,
    /// Air flow through the compressor \[kg/s\].
    pub compressor_flow_kg_s: f64,
    /// Compressor pressure ratio \[-\].
    pub compressor_pressure_ratio: f64,
    /// Compressor isentropic efficiency \[-\].
    pub compressor_efficiency: f64,
    /// Temperature at the compressor outlet \[K\].
    pub compressor_outlet_k: f64,
    /// Turbine expansion ratio, inlet over outlet pressure \[-\].
    pub turbine_expansion_ratio: f64,
    /// Turbine isentropic efficiency \[-\].
    pub turbine_efficiency: f64,
    /// Gas temperature ahead of the turbine \[K\].
    pub turbine_inlet_k: f64,
    /// Temperature in the intake volume \[K\].
    pub intake_k: f64,
    /// Air to fuel ratio over the stoichiometric one \[-\]; infinite without fuel.
    pub lambda: f64,
    /// Peak cylinder pressure \[kPa abs\].
    pub cylinder_pressure_kpa_abs: f64,
    /// Torque at the crankshaft \[N m\].
    pub torque_nm: f64,
    /// Power at the crankshaft \[kW\].
    pub power_kw: f64,
    /// Distance to the surge line: flow above the surge flow at the same
    /// speed, as a share of the flow \[%\]; negative while surging.
    pub surge_margin_pct: f64,
    /// Whether the compressor works outside its measured map.
    pub compressor_extrapolated: bool,
    /// Whether the turbine works outside its stated range.
    pub turbine_extrapolated: bool,
    /// Bit set of protections that act now, see [`PROTECTIONS`].
    pub active_protections: u8,

    /// Bit set of protections that would act on the true state but cannot see
    /// it, see [`PROTECTIONS`].
    pub blind_protections: u8,
    /// Whether the boost reading stands at the sensor's upper clamp.
    pub pinned: bool,
    /// Distance to choke: choke flow at the same speed above the flow, as a
    /// share of the choke flow \[%\].
    pub choke_margin_pct: f64,
    /// Corrected compressor flow on the map's reference conditions \[kg/s\].
    pub compressor_corrected_flow_kg_s: f64,
    /// Corrected compressor speed on the map's reference conditions \[rpm\].
    pub compressor_corrected_speed_rpm: f64,
    /// Compressor power \[kW\].
    pub compressor_power_kw: f64,
    /// Turbine power, before bearing loss \[kW\].
    pub turbine_power_kw: f64,
    /// Bearing loss \[kW\].
    pub bearing_power_kw: f64,
    /// Gas flow through the turbine \[kg/s\].
    pub turbine_flow_kg_s: f64,
    /// Pressure at the turbine outlet \[kPa abs\].
    pub turbine_outlet_kpa_abs: f64,
    /// Pressure at the compressor inlet, after the filter \[kPa abs\].
    pub compressor_inlet_kpa_abs: f64,
    /// Pressure at the compressor outlet \[kPa abs\].
    pub compressor_outlet_kpa_abs: f64,
    /// Ambient temperature \[K\].
    pub ambient_k: f64,
    /// Burned-gas mass fraction ahead of the turbine \[-\].
    pub exhaust_burned_fraction: f64,
    /// Tip speed of the faster wheel \[m/s\].
    pub tip_speed_m_s: f64,
    /// Drive pressure as the controller reads it \[kPa abs\]; `None` without such a sensor.
    pub drive_pressure_sensed_kpa_abs: Option<f64>,
    /// Shaft speed as the controller reads it \[rpm\]; `None` without such a sensor.
    pub shaft_speed_sensed_rpm: Option<f64>,
    /// Integral part of the vane command \[% closed\].
    pub integrator_pct: f64,
}
