//! Work of a compressor wheel and what it does to the air.

/// Euler work \[J/kg\] of a wheel without inlet swirl:
/// `U2 Cθ2 = U2 (μ U2 − Cm2 tan β2)`.
///
/// Tip speed and meridional exit velocity in m/s; `work_input_factor` μ is 1 −
/// slip velocity over tip speed (Wiesner's slip factor); backsweep from radial
/// in rad, positive against rotation. Dixon & Hall, *Fluid Mechanics and
/// Thermodynamics of Turbomachinery*, ch. 7. Valid while the flow leaves
/// outward; bearing, disc and recirculation losses are not in it.
pub fn euler_work_j_kg(
    tip_speed_m_s: f64,
    work_input_factor: f64,
    meridional_velocity_m_s: f64,
    backsweep_rad: f64,
) -> f64 {
    let swirl_m_s =
        work_input_factor * tip_speed_m_s - meridional_velocity_m_s * backsweep_rad.tan();
    tip_speed_m_s * swirl_m_s
}

/// Outlet total temperature \[K\] of a gas with constant heat capacity \[J/(kg K)\]
/// that has received work \[J/kg\] and no heat: `T01 + w/cp`.
pub fn outlet_temperature_k(
    inlet_temperature_k: f64,
    work_j_kg: f64,
    heat_capacity_j_kg_k: f64,
) -> f64 {
    inlet_temperature_k + work_j_kg / heat_capacity_j_kg_k
}

/// Total pressure ratio from the ratio of temperature rise to inlet temperature
/// and isentropic efficiency: `(1 + η ΔT/T01)^(κ/(κ−1))`. Constant κ; 0.2 % of
/// the ratio against variable heat capacity up to a ratio of 4 in air.
pub fn pressure_ratio(temperature_rise_share: f64, efficiency: f64, kappa: f64) -> f64 {
    (1.0 + efficiency * temperature_rise_share).powf(kappa / (kappa - 1.0))
}

/// Isentropic efficiency, total to total, from measured temperatures \[K\]:
/// `T01 (PR^((κ−1)/κ) − 1) / (T02 − T01)`. Without a temperature rise it has no
/// meaning (infinite or not a number).
pub fn isentropic_efficiency(
    inlet_temperature_k: f64,
    outlet_temperature_k: f64,
    pressure_ratio: f64,
    kappa: f64,
) -> f64 {
    inlet_temperature_k * (pressure_ratio.powf((kappa - 1.0) / kappa) - 1.0)
        / (outlet_temperature_k - inlet_temperature_k)
}
