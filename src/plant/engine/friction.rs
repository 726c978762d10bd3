//! Mechanical friction.

/// Friction mean effective pressure, constant + peak pressure + piston speed.
///
/// FMEP = a + b·p_max + c·S_p + d·S_p², the form of Chen & Flynn (SAE 650733);
/// their own figures are a 13.7 kPa, b 1/200, c 16.2 kPa s/m, d 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Friction {
    /// a \[Pa\].
    pub constant_pa: f64,
    /// b \[-\].
    pub peak_pressure_share: f64,
    /// c \[Pa s/m\].
    pub per_piston_speed_pa_s_m: f64,
    /// d \[Pa s²/m²\].
    pub per_piston_speed_squared_pa_s2_m2: f64,
}

impl Friction {
    /// Friction mean effective pressure \[Pa\] at a peak pressure \[Pa abs\] and a
    /// mean piston speed \[m/s\] (valid to about 20 m/s).
    pub fn mean_effective_pressure_pa(&self, peak_pressure_pa: f64, piston_speed_m_s: f64) -> f64 {
        self.constant_pa
            + self.peak_pressure_share * peak_pressure_pa
            + piston_speed_m_s
                * (self.per_piston_speed_pa_s_m
                    + piston_speed_m_s * self.per_piston_speed_squared_pa_s2_m2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Chen & Flynn, SAE 650733: 0.137 + 150/200 + 0.162·10 = 2.507 bar
    /// (row `chen_flynn` of tests/data/reference/ef_formula_samples.csv).
    #[test]
    fn chen_and_flynn() {
        let f = Friction {
            constant_pa: 13_700.0,
            peak_pressure_share: 1.0 / 200.0,
            per_piston_speed_pa_s_m: 16_200.0,
            per_piston_speed_squared_pa_s2_m2: 0.0,
        };
        let fmep = f.mean_effective_pressure_pa(150e5, 10.0);
        assert!((fmep / 2.507e5 - 1.0).abs() < 1e-6);
    }
}
