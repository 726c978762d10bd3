//! Centrifugal stress of a wheel over its tip speed.
//!
//! Both forms grow with the square of the tip speed: 5 % more speed is 10 % more
//! stress. That is why a tip-speed limit binds so suddenly, and why two wheels
//! of one material share a limit whatever their diameters.
//!
//! A real wheel has a bore, blades and a thick hub; its peak stress lies between
//! the two forms. They show the law and bound the stress; they do not replace
//! the maker's figure.

/// Stress \[Pa\] at the centre of a solid disc of constant thickness, where it is
/// largest and the same in all directions: (3 + ν)/8 · ρ u².
///
/// Density in kg/m³ above zero, Poisson's ratio 0 … 0.5 (0.33 for aluminium), tip
/// speed in m/s. Linear elasticity, thin disc, uniform temperature.
/// S. Timoshenko, J. N. Goodier, Theory of Elasticity, rotating discs (from
/// memory).
pub fn disc_centre_stress_pa(density_kg_m3: f64, poisson_ratio: f64, tip_speed_m_s: f64) -> f64 {
    (3.0 + poisson_ratio) / 8.0 * ring_stress_pa(density_kg_m3, tip_speed_m_s)
}

/// Hoop stress \[Pa\] of a thin ring that turns freely: ρ u². No wheel of the same
/// tip speed is stressed higher by its own body (its blades come on top).
///
/// Density in kg/m³ above zero, tip speed in m/s. Equilibrium of a ring element,
/// any text on strength of materials.
pub fn ring_stress_pa(density_kg_m3: f64, tip_speed_m_s: f64) -> f64 {
    density_kg_m3 * tip_speed_m_s * tip_speed_m_s
}
