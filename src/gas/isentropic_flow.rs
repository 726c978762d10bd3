//! Static against total state in isentropic flow of an ideal gas with constant
//! gamma, over the Mach number.
//!
//! Source: Ames Research Staff, Equations, Tables, and Charts for Compressible
//! Flow, NACA Report 1135 (1953), equations 43 to 45 and 80 (numbers from
//! memory). Valid for 0 ≤ Mach and 1 < gamma; exact within that model.

/// T/T0 = 1/(1 + (γ − 1)/2 M²).
pub fn temperature_ratio(mach: f64, gamma: f64) -> f64 {
    1.0 / (1.0 + 0.5 * (gamma - 1.0) * mach * mach)
}

/// p/p0 = (T/T0)^(γ/(γ − 1)).
pub fn pressure_ratio(mach: f64, gamma: f64) -> f64 {
    temperature_ratio(mach, gamma).powf(gamma / (gamma - 1.0))
}

/// ρ/ρ0 = (T/T0)^(1/(γ − 1)).
pub fn density_ratio(mach: f64, gamma: f64) -> f64 {
    temperature_ratio(mach, gamma).powf(1.0 / (gamma - 1.0))
}

/// A/A*: area of a stream tube over the area at which it is sonic; infinite at
/// rest.
pub fn area_ratio(mach: f64, gamma: f64) -> f64 {
    let exponent = 0.5 * (gamma + 1.0) / (gamma - 1.0);
    let sonic = temperature_ratio(1.0, gamma);
    (sonic / temperature_ratio(mach, gamma)).powf(exponent) / mach
}

/// Speed of sound √(γ R T), m/s, at the static temperature.
pub fn speed_of_sound_m_s(temperature_k: f64, gas_constant_j_kg_k: f64, gamma: f64) -> f64 {
    (gamma * gas_constant_j_kg_k * temperature_k).sqrt()
}

/// Total pressure, Pa, of a stream with static pressure and temperature moving at
/// `velocity_m_s`.
pub fn total_pressure_pa(
    static_pressure_pa: f64,
    static_temperature_k: f64,
    velocity_m_s: f64,
    gas_constant_j_kg_k: f64,
    gamma: f64,
) -> f64 {
    let mach = velocity_m_s / speed_of_sound_m_s(static_temperature_k, gas_constant_j_kg_k, gamma);
    static_pressure_pa / pressure_ratio(mach, gamma)
}

/// Total temperature, K, of a stream with static temperature moving at
/// `velocity_m_s`: T + v²/(2 cp) with cp = γ R/(γ − 1).
pub fn total_temperature_k(
    static_temperature_k: f64,
    velocity_m_s: f64,
    gas_constant_j_kg_k: f64,
    gamma: f64,
) -> f64 {
    let mach = velocity_m_s / speed_of_sound_m_s(static_temperature_k, gas_constant_j_kg_k, gamma);
    static_temperature_k / temperature_ratio(mach, gamma)
}
