//! Flow through vane ring, rotor and exhaust system in series.
//!
//! Everything is over the inlet state: pressures over p₃, temperatures over T₃,
//! flow as the function ψ = ṁ √(RT₃) / (A_rotor p₃). The interspace pressure y
//! and the outlet pressure x are the two unknowns of
//!
//! - continuity: a ψ(y) = y ψ(x/y), with a the ring's throat over the rotor's;
//! - exhaust system: x = x_ambient + k ψ² θ/x, with θ = T₄/T₃.
use crate::gas::nozzle::flow_function_with_slope;

/// What flows where between the exhaust manifold and the ambient.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passage {
    /// Throat of the ring over that of the rotor \[-\].
    pub ring_over_rotor: f64,
    /// Ratio of specific heats at the inlet \[-\].
    pub gamma: f64,
    /// Ambient over inlet pressure \[-\], below 1.
    pub ambient: f64,
    /// Loss of the exhaust system over p₃ at ψ = 1, T₄ = T₃ and p₄ = p₃ \[-\].
    pub loss: f64,
    /// Share of the isentropic drop that becomes work, for T₄ in the density of
    /// the exhaust system only \[-\]. T₄ within 2 % moves p₄ by less than 0.3 %.
    pub power_share: f64,
}

/// The solved passage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solved {
    /// Flow function on the rotor's throat and the inlet state \[-\].
    pub rotor_flow_function: f64,
    /// Interspace over inlet pressure \[-\].
    pub interspace: f64,
    /// Outlet over inlet pressure \[-\].
    pub outlet: f64,
}

const NEWTON_STEPS: usize = 12;
/// Newton doubles the digits: a step this small leaves an error of its square.
const LAST_STEP: f64 = 1e-8;

impl Passage {
    /// Solves both equations: Newton from a tabulated guess, and where that
    /// leaves the admissible range a nested bisection that cannot.
    pub fn solve(&self, guess: &SeriesGuess) -> Solved {
        self.newton(guess).unwrap_or_else(|| self.nested())
    }

    fn newton(&self, guess: &SeriesGuess) -> Option<Solved> {
        let exponent = (self.gamma - 1.0) / self.gamma;
        let mut x = self.ambient;
        let mut y = guess.interspace(self.ring_over_rotor, x);
        // the loss moves the outlet: one plain step before Newton
        let ring = flow_function_with_slope(y, self.gamma);
        let psi = self.ring_over_rotor * ring.flow_function;
        x = (x + self.loss * psi * psi * 0.9 / x).min(0.5 * (x + y));
        for _ in 0..NEWTON_STEPS {
            let ring = flow_function_with_slope(y, self.gamma);
            let z = x / y;
            let rotor = flow_function_with_slope(z, self.gamma);
            let psi = self.ring_over_rotor * ring.flow_function;
            let psi_y = self.ring_over_rotor * ring.slope;
            // continuity and its slopes
            let f = psi - y * rotor.flow_function;
            let f_y = psi_y - rotor.flow_function + z * rotor.slope;
            let f_x = -rotor.slope;
            // exhaust system and its slopes
            let isentropic = (exponent * x.ln()).exp();
            let theta = 1.0 - self.power_share * (1.0 - isentropic);
            let theta_x = self.power_share * exponent * isentropic / x;
            let loss = self.loss * psi * psi / x;
            let g = x - self.ambient - loss * theta;
            let g_x = 1.0 + loss * (theta / x - theta_x);
            let g_y = -2.0 * self.loss * psi * psi_y / x * theta;
            let determinant = f_y * g_x - f_x * g_y;
            let dy = (f_x * g - f * g_x) / determinant;
            let dx = (f * g_y - f_y * g) / determinant;
            let (next_y, next_x) = (y + dy, x + dx);
            if !(next_x >= self.ambient * (1.0 - 1e-9) && next_y > next_x && next_y < 1.0) {
                return None;
            }
            (y, x) = (next_y, next_x);
            if dy.abs() <= LAST_STEP && dx.abs() <= LAST_STEP {
                return Some(Solved {
                    // over so small a step the curvature is nothing
                    rotor_flow_function: psi + psi_y * dy,
                    interspace: y,
                    outlet: x,
                });
            }
        }
        None
    }

    /// Bisection over the outlet pressure around the bracketed series flow.
    /// More outlet pressure gives less flow and less loss, so that the miss
    /// rises with x.
    fn nested(&self) -> Solved {
        let exponent = (self.gamma - 1.0) / self.gamma;
        let (mut low, mut high) = (self.ambient, 1.0);
        for _ in 0..200 {
            let x = 0.5 * (low + high);
            let (_, psi) = series_flow(self.ring_over_rotor, x, self.gamma);
            let theta = 1.0 - self.power_share * (1.0 - (exponent * x.ln()).exp());
            if x - self.ambient - self.loss * psi * psi * theta / x > 0.0 {
                high = x;
            } else {
                low = x;
            }
            if high - low < 1e-14 {
                break;
            }
        }
        let outlet = 0.5 * (low + high);
        let (interspace, rotor_flow_function) =
            series_flow(self.ring_over_rotor, outlet, self.gamma);
        Solved {
            rotor_flow_function,
            interspace,
            outlet,
        }
    }
}

/// Interspace pressure and flow function of ring and rotor alone between 1 and
/// `outlet`, by bisection: the ring's flow never rises with the interspace
/// pressure and the rotor's never falls.
pub fn series_flow(ring_over_rotor: f64, outlet: f64, gamma: f64) -> (f64, f64) {
    let (mut low, mut high) = (outlet, 1.0);
    let ring = |y: f64| ring_over_rotor * flow_function_with_slope(y, gamma).flow_function;
    for _ in 0..100 {
        let y = 0.5 * (low + high);
        let rotor = y * flow_function_with_slope(outlet / y, gamma).flow_function;
        if ring(y) > rotor {
            low = y;
        } else {
            high = y;
        }
        if high - low < 1e-15 {
            break;
        }
    }
    let y = 0.5 * (low + high);
    // both sides agree at the root; the smaller one is right on either side of it
    let rotor = y * flow_function_with_slope(outlet / y, gamma).flow_function;
    (y, ring(y).min(rotor))
}

/// Interspace pressures on a grid, to start Newton from.
#[derive(Debug, Clone, PartialEq)]
pub struct SeriesGuess {
    values: Vec<f64>,
}

/// Grid over the logarithm of ring over rotor and over the outlet pressure.
const RATIOS: usize = 49;
const OUTLETS: usize = 49;
const LOWEST_LN: f64 = -4.0;
const HIGHEST_LN: f64 = 1.5;
const LOWEST_OUTLET: f64 = 0.02;
/// Usual exhaust; the guess need not be better.
const GAMMA: f64 = 1.33;

impl Default for SeriesGuess {
    fn default() -> Self {
        Self::new()
    }
}

impl SeriesGuess {
    /// Fills the grid.
    pub fn new() -> Self {
        let mut values = Vec::with_capacity(RATIOS * OUTLETS);
        for i in 0..RATIOS {
            let ln = LOWEST_LN + (HIGHEST_LN - LOWEST_LN) * i as f64 / (RATIOS - 1) as f64;
            for j in 0..OUTLETS {
                let outlet =
                    LOWEST_OUTLET + (1.0 - LOWEST_OUTLET) * j as f64 / (OUTLETS - 1) as f64;
                let y = series_flow(ln.exp(), outlet.min(1.0 - 1e-9), GAMMA).0;
                values.push(y);
            }
        }
        Self { values }
    }

    /// A guess within about a per cent, strictly between `outlet` and 1.
    pub fn interspace(&self, ring_over_rotor: f64, outlet: f64) -> f64 {
        let place = |x: f64, low: f64, high: f64, points: usize| {
            let at = ((x - low) / (high - low)).clamp(0.0, 1.0) * (points - 1) as f64;
            let i = (at as usize).min(points - 2);
            (i, at - i as f64)
        };
        let (i, u) = place(ring_over_rotor.ln(), LOWEST_LN, HIGHEST_LN, RATIOS);
        let (j, w) = place(outlet, LOWEST_OUTLET, 1.0, OUTLETS);
        let row = |i: usize| {
            let a = self.values[i * OUTLETS + j];
            a + w * (self.values[i * OUTLETS + j + 1] - a)
        };
        let y = row(i) + u * (row(i + 1) - row(i));
        let gap = 1.0 - outlet;
        // not a clamp: a lost number has to pass through without a panic
        y.max(outlet + 1e-6 * gap).min(1.0 - 1e-6 * gap)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Newton and bisection are two ways to one root.
    #[test]
    fn newton_agrees_with_bisection() {
        let guess = SeriesGuess::new();
        let mut by_newton = 0;
        for ring_over_rotor in [0.05, 0.1, 0.3, 0.5, 0.67, 0.9, 1.5] {
            for ambient in [0.06, 0.12, 0.25, 0.4, 0.6, 0.8, 0.95, 0.999] {
                for loss in [0.0, 0.05, 0.3] {
                    let passage = Passage {
                        ring_over_rotor,
                        gamma: 1.32,
                        ambient,
                        loss,
                        power_share: 0.6,
                    };
                    let nested = passage.nested();
                    let solved = passage.solve(&guess);
                    by_newton += usize::from(passage.newton(&guess).is_some());
                    let what = format!("{ring_over_rotor} {ambient} {loss}");
                    assert!((solved.outlet - nested.outlet).abs() < 1e-9, "{what}");
                    let off = solved.rotor_flow_function - nested.rotor_flow_function;
                    assert!(off.abs() < 1e-8, "{what}: {off}");
                }
            }
        }
        assert!(by_newton > 140, "Newton served only {by_newton} of 168");
    }

    /// With a wide ring the rotor alone sets the flow, with a narrow one the
    /// ring alone: the flow function of one choked throat, Shapiro (1953) ch. 4.
    #[test]
    fn one_throat_limits() {
        let choked = 0.667_262_351_241; // gamma 1.3, tests/data/reference/c_flow_function.csv
        let (_, wide) = series_flow(50.0, 0.2, 1.3);
        assert!((wide / choked - 1.0).abs() < 1e-3);
        let (_, narrow) = series_flow(0.02, 0.2, 1.3);
        assert!((narrow / (0.02 * choked) - 1.0).abs() < 1e-9);
    }
}
