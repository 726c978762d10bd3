//! How far the swirl behind a wheel lags behind its blades.

use std::f64::consts::PI;

/// A correlation for slip. All are for zero inlet swirl and subsonic exit flow;
/// they agree within about ±0.05 for 10 to 30 effective blades.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SlipModel {
    /// Wiesner, J. Eng. Power 89 (1967): `√cos β2 / Z^0.7` of the tip speed,
    /// 0 to 70° backsweep.
    #[default]
    Wiesner,
    /// Stodola: an eddy between the blades, `π cos β2 / Z` of the tip speed.
    Stodola,
    /// Stanitz, Trans. ASME 74 (1952): `0.63 π / Z` of the tip speed, radial or
    /// nearly radial blades (below 45° backsweep).
    Stanitz,
}

impl SlipModel {
    /// Slip velocity over tip speed for `blades` effective blades and backsweep
    /// from radial \[rad\].
    pub fn slip_velocity_share(self, blades: f64, backsweep_rad: f64) -> f64 {
        match self {
            Self::Wiesner => backsweep_rad.cos().sqrt() / blades.powf(0.7),
            Self::Stodola => PI * backsweep_rad.cos() / blades,
            Self::Stanitz => 0.63 * PI / blades,
        }
    }

    /// Slip factor as the author of the correlation defines it: Wiesner refers
    /// the slip velocity to the tip speed; Stodola and Stanitz to the swirl
    /// without slip, `1 − φ2 tan β2` of the tip speed, with the exit flow
    /// coefficient φ2 = Cm2/U2.
    pub fn factor(self, blades: f64, backsweep_rad: f64, flow_coefficient: f64) -> f64 {
        let share = self.slip_velocity_share(blades, backsweep_rad);
        match self {
            Self::Wiesner => 1.0 - share,
            Self::Stodola | Self::Stanitz => {
                1.0 - share / (1.0 - flow_coefficient * backsweep_rad.tan())
            }
        }
    }

    /// Work input factor μ = 1 − slip velocity / tip speed, with Wiesner's
    /// reduction for wheels whose inlet reaches far out: above the radius ratio
    /// `ε0 = exp(−8.16 cos β2 / Z)` it is multiplied by
    /// `1 − ((ε − ε0)/(1 − ε0))³` (Wiesner 1967; form from memory).
    pub fn work_input_factor(self, blades: f64, backsweep_rad: f64, radius_ratio: f64) -> f64 {
        let factor = 1.0 - self.slip_velocity_share(blades, backsweep_rad);
        let limit = (-8.16 * backsweep_rad.cos() / blades).exp();
        if self != Self::Wiesner || radius_ratio <= limit {
            return factor;
        }
        factor * (1.0 - ((radius_ratio - limit) / (1.0 - limit)).powi(3))
    }
}
