//! Every unit with its worth in SI.
//!
//! Inch, foot, pound and pound-force follow from exact definitions (0.0254 m,
//! 0.45359237 kg, 9.80665 m/s²); the manometric units and the British thermal
//! unit are those of NIST SP 811 (2008), appendix B.
#![allow(missing_docs)] // The name in quotes says all there is to say.
use super::unit::Unit;
use std::f64::consts::PI;

const INCH_M: f64 = 0.0254;
const FOOT_M: f64 = 0.3048;
const POUND_KG: f64 = 0.453_592_37;
const STANDARD_GRAVITY_M_S2: f64 = 9.806_65;
const POUND_FORCE_N: f64 = POUND_KG * STANDARD_GRAVITY_M_S2;
const PSI_PA: f64 = POUND_FORCE_N / (INCH_M * INCH_M);
const HORSEPOWER_W: f64 = 550.0 * FOOT_M * POUND_FORCE_N;
/// 75 kilogram-force metres a second.
const METRIC_HORSEPOWER_W: f64 = 75.0 * STANDARD_GRAVITY_M_S2;
/// International Table: 2326 J/kg is exactly 1 Btu/lb.
const BTU_J: f64 = 2326.0 * POUND_KG;
const RPM_RAD_S: f64 = PI / 30.0;
const PERCENT: f64 = 0.01;

// pressure
pub const PA: Unit = Unit::new("Pa", 1.0);
pub const HPA: Unit = Unit::new("hPa", 100.0);
pub const KPA: Unit = Unit::new("kPa", 1e3);
pub const MPA: Unit = Unit::new("MPa", 1e6);
pub const BAR: Unit = Unit::new("bar", 1e5);
pub const MBAR: Unit = Unit::new("mbar", 100.0);
pub const PSI: Unit = Unit::new("psi", PSI_PA);
/// Conventional mercury, 13 595.1 kg/m³.
pub const IN_HG: Unit = Unit::new("inHg", 13_595.1 * STANDARD_GRAVITY_M_S2 * INCH_M);
pub const IN_HG_32F: Unit = Unit::new("inHg32F", 3386.38);
pub const IN_HG_60F: Unit = Unit::new("inHg60F", 3376.85);
pub const MM_HG: Unit = Unit::new("mmHg", 13_595.1 * STANDARD_GRAVITY_M_S2 * 1e-3);
/// Conventional water, 1000 kg/m³.
pub const IN_H2O: Unit = Unit::new("inH2O", 1000.0 * STANDARD_GRAVITY_M_S2 * INCH_M);
pub const ATM: Unit = Unit::new("atm", 101_325.0);
pub const AT: Unit = Unit::new("at", 98_066.5);

// temperature on its scales, and temperature rise
pub const K: Unit = Unit::new("K", 1.0);
pub const DEG_C: Unit = Unit::new("degC", 1.0).with_offset(273.15);
pub const DEG_F: Unit = Unit::new("degF", 5.0 / 9.0).with_offset(459.67);
pub const DEG_R: Unit = Unit::new("degR", 5.0 / 9.0);
pub const DEG_C_RISE: Unit = Unit::new("degC", 1.0);
pub const DEG_F_RISE: Unit = Unit::new("degF", 5.0 / 9.0);

// mass and its flow
pub const KG: Unit = Unit::new("kg", 1.0);
pub const G: Unit = Unit::new("g", 1e-3);
pub const MG: Unit = Unit::new("mg", 1e-6);
pub const LB: Unit = Unit::new("lb", POUND_KG);
pub const KG_S: Unit = Unit::new("kg/s", 1.0);
pub const G_S: Unit = Unit::new("g/s", 1e-3);
pub const KG_H: Unit = Unit::new("kg/h", 1.0 / 3600.0);
pub const LB_MIN: Unit = Unit::new("lb/min", POUND_KG / 60.0);
pub const LB_H: Unit = Unit::new("lb/h", POUND_KG / 3600.0);

// motion
pub const RAD_S: Unit = Unit::new("rad/s", 1.0);
pub const RPM: Unit = Unit::new("rpm", RPM_RAD_S);
pub const KRPM: Unit = Unit::new("krpm", 1e3 * RPM_RAD_S);
pub const PER_MIN: Unit = Unit::new("1/min", RPM_RAD_S);
pub const RAD_S2: Unit = Unit::new("rad/s2", 1.0);
pub const RPM_S: Unit = Unit::new("rpm/s", RPM_RAD_S);
pub const M_S: Unit = Unit::new("m/s", 1.0);
pub const KM_H: Unit = Unit::new("km/h", 1.0 / 3.6);
pub const MPH: Unit = Unit::new("mph", 5280.0 * FOOT_M / 3600.0);
pub const FT_S: Unit = Unit::new("ft/s", FOOT_M);

// power, torque, energy
pub const W: Unit = Unit::new("W", 1.0);
pub const KW: Unit = Unit::new("kW", 1e3);
pub const HP: Unit = Unit::new("hp", HORSEPOWER_W);
pub const PS: Unit = Unit::new("PS", METRIC_HORSEPOWER_W);
pub const N_M: Unit = Unit::new("N m", 1.0).also(&["Nm"]);
pub const LBF_FT: Unit = Unit::new("lbf ft", POUND_FORCE_N * FOOT_M).also(&["ft lbf"]);
pub const J: Unit = Unit::new("J", 1.0);
pub const KJ: Unit = Unit::new("kJ", 1e3);
pub const MJ: Unit = Unit::new("MJ", 1e6);
pub const BTU: Unit = Unit::new("Btu", BTU_J);
pub const J_KG: Unit = Unit::new("J/kg", 1.0);
pub const KJ_KG: Unit = Unit::new("kJ/kg", 1e3);
pub const MJ_KG: Unit = Unit::new("MJ/kg", 1e6);
pub const J_KG_K: Unit = Unit::new("J/(kg K)", 1.0);
pub const KJ_KG_K: Unit = Unit::new("kJ/(kg K)", 1e3);
pub const BTU_LB: Unit = Unit::new("Btu/lb", 2326.0);
pub const KG_J: Unit = Unit::new("kg/J", 1.0);
pub const G_KWH: Unit = Unit::new("g/kWh", 1e-3 / 3.6e6);
pub const LB_HP_H: Unit = Unit::new("lb/(hp h)", POUND_KG / (HORSEPOWER_W * 3600.0));
pub const W_K: Unit = Unit::new("W/K", 1.0);
pub const KW_K: Unit = Unit::new("kW/K", 1e3);
pub const J_K: Unit = Unit::new("J/K", 1.0);
pub const KJ_K: Unit = Unit::new("kJ/K", 1e3);

// sizes
pub const M: Unit = Unit::new("m", 1.0);
pub const MM: Unit = Unit::new("mm", 1e-3);
pub const CM: Unit = Unit::new("cm", 1e-2);
pub const KM: Unit = Unit::new("km", 1e3);
pub const IN: Unit = Unit::new("in", INCH_M);
pub const FT: Unit = Unit::new("ft", FOOT_M);
pub const M2: Unit = Unit::new("m2", 1.0);
pub const CM2: Unit = Unit::new("cm2", 1e-4);
pub const MM2: Unit = Unit::new("mm2", 1e-6);
pub const IN2: Unit = Unit::new("in2", INCH_M * INCH_M);
pub const M3: Unit = Unit::new("m3", 1.0);
pub const L: Unit = Unit::new("l", 1e-3).also(&["L"]);
pub const CM3: Unit = Unit::new("cm3", 1e-6);
pub const IN3: Unit = Unit::new("in3", INCH_M * INCH_M * INCH_M);
pub const M3_S: Unit = Unit::new("m3/s", 1.0);
pub const FT3_MIN: Unit = Unit::new("ft3/min", FOOT_M * FOOT_M * FOOT_M / 60.0);
pub const KG_M2: Unit = Unit::new("kg m2", 1.0);
pub const KG_CM2: Unit = Unit::new("kg cm2", 1e-4);
pub const G_CM2: Unit = Unit::new("g cm2", 1e-7);
pub const LB_IN2: Unit = Unit::new("lb in2", POUND_KG * INCH_M * INCH_M);

// time, angle, share, voltage
pub const S: Unit = Unit::new("s", 1.0);
pub const MS: Unit = Unit::new("ms", 1e-3);
pub const MIN: Unit = Unit::new("min", 60.0);
pub const H: Unit = Unit::new("h", 3600.0);
pub const RAD: Unit = Unit::new("rad", 1.0);
pub const DEG: Unit = Unit::new("deg", PI / 180.0);
pub const ONE: Unit = Unit::new("1", 1.0);
pub const PERCENT_UNIT: Unit = Unit::new("%", PERCENT);
pub const V: Unit = Unit::new("V", 1.0);
pub const MV: Unit = Unit::new("mV", 1e-3);

// controller gains and rates; vane position counts as a share of full travel
pub const PA_S: Unit = Unit::new("Pa/s", 1.0);
pub const KPA_S: Unit = Unit::new("kPa/s", 1e3);
pub const BAR_S: Unit = Unit::new("bar/s", 1e5);
pub const PSI_S: Unit = Unit::new("psi/s", PSI_PA);
pub const PER_S: Unit = Unit::new("1/s", 1.0);
pub const PERCENT_S: Unit = Unit::new("%/s", PERCENT);
pub const PER_PA: Unit = Unit::new("1/Pa", 1.0);
pub const PERCENT_PER_KPA: Unit = Unit::new("%/kPa", PERCENT / 1e3);
pub const PERCENT_PER_BAR: Unit = Unit::new("%/bar", PERCENT / 1e5);
pub const PERCENT_PER_PSI: Unit = Unit::new("%/psi", PERCENT / PSI_PA);
pub const PER_PA_S: Unit = Unit::new("1/(Pa s)", 1.0);
pub const PERCENT_PER_KPA_S: Unit = Unit::new("%/(kPa s)", PERCENT / 1e3);
pub const PERCENT_PER_BAR_S: Unit = Unit::new("%/(bar s)", PERCENT / 1e5);
pub const PERCENT_PER_PSI_S: Unit = Unit::new("%/(psi s)", PERCENT / PSI_PA);
pub const S_PER_PA: Unit = Unit::new("s/Pa", 1.0);
pub const PERCENT_S_PER_KPA: Unit = Unit::new("% s/kPa", PERCENT / 1e3);
pub const PERCENT_S_PER_BAR: Unit = Unit::new("% s/bar", PERCENT / 1e5);
pub const PERCENT_S_PER_PSI: Unit = Unit::new("% s/psi", PERCENT / PSI_PA);
pub const S_PER_RAD: Unit = Unit::new("s/rad", 1.0);
pub const PERCENT_PER_RPM: Unit = Unit::new("%/rpm", PERCENT / RPM_RAD_S);
pub const PERCENT_PER_KRPM: Unit = Unit::new("%/krpm", PERCENT / (1e3 * RPM_RAD_S));

// friction that grows with piston speed
pub const PA_S_M: Unit = Unit::new("Pa s/m", 1.0);
pub const KPA_S_M: Unit = Unit::new("kPa s/m", 1e3);
pub const BAR_S_M: Unit = Unit::new("bar s/m", 1e5);
pub const PA_S2_M2: Unit = Unit::new("Pa s2/m2", 1.0);
pub const KPA_S2_M2: Unit = Unit::new("kPa s2/m2", 1e3);
pub const BAR_S2_M2: Unit = Unit::new("bar s2/m2", 1e5);
