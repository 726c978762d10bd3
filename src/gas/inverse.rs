//! Temperature from enthalpy or internal energy: an explicit first guess and a
//! fixed number of Newton steps.
use super::mixture::{Coefficients, slope, value};

/// Newton steps after the first guess. The guess is within 1 K between 200 K and
/// 3000 K; the error of a step is about 1e-4/K times the square of the error
/// before it, so two steps leave less than rounding does.
const NEWTON_STEPS: usize = 2;

/// The guess is a polynomial in MJ/kg, so that its coefficients stay near one.
const MJ_PER_J: f64 = 1e-6;

/// Powers 0 … 4 of the energy in the first guess.
const TERMS: usize = 5;

/// Explicit approximation of T(energy, burned) on one temperature range:
/// quartic in the energy, quadratic in the burned fraction.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FirstGuess {
    /// For each power of the energy, the powers 0, 1, 2 of the burned fraction.
    constant: [f64; TERMS],
    linear: [f64; TERMS],
    square: [f64; TERMS],
}

impl FirstGuess {
    /// Interpolates T over `low_k` … `high_k`, given the energy polynomials (J/kg
    /// over K) at burned fractions 0, 1/2 and 1.
    pub(super) fn new(energies: [Coefficients; 3], low_k: f64, high_k: f64) -> Self {
        let [air, half, products] = energies.map(|c| interpolate(&c, low_k, high_k));
        let (mut linear, mut square) = ([0.0; TERMS], [0.0; TERMS]);
        for k in 0..TERMS {
            square[k] = 2.0 * (air[k] - 2.0 * half[k] + products[k]);
            linear[k] = products[k] - air[k] - square[k];
        }
        FirstGuess {
            constant: air,
            linear,
            square,
        }
    }

    #[inline(always)]
    fn temperature_k(&self, energy_j_kg: f64, burned: f64) -> f64 {
        let x = energy_j_kg * MJ_PER_J;
        let p: [f64; TERMS] = std::array::from_fn(|k| {
            self.constant[k] + burned * (self.linear[k] + burned * self.square[k])
        });
        p[0] + x * (p[1] + x * (p[2] + x * (p[3] + x * p[4])))
    }

    /// Solves `energy(T) = energy_j_kg` for the polynomial already blended to
    /// this burned fraction.
    #[inline(always)]
    pub(super) fn solve_k(&self, energy: &Coefficients, energy_j_kg: f64, burned: f64) -> f64 {
        let mut t = self.temperature_k(energy_j_kg, burned);
        for _ in 0..NEWTON_STEPS {
            t -= (value(energy, t) - energy_j_kg) / slope(energy, t);
        }
        t
    }
}

/// Polynomial T(energy in MJ/kg) through Chebyshev nodes of the temperature
/// range, by divided differences turned into powers.
fn interpolate(energy: &Coefficients, low_k: f64, high_k: f64) -> [f64; TERMS] {
    let mut differences: [f64; TERMS] = std::array::from_fn(|i| {
        let angle = std::f64::consts::PI * (i as f64 + 0.5) / TERMS as f64;
        0.5 * (low_k + high_k) - 0.5 * (high_k - low_k) * angle.cos()
    });
    let x = differences.map(|t| value(energy, t) * MJ_PER_J);
    for order in 1..TERMS {
        for i in (order..TERMS).rev() {
            differences[i] = (differences[i] - differences[i - 1]) / (x[i] - x[i - order]);
        }
    }
    let mut powers = [0.0; TERMS];
    for i in (0..TERMS).rev() {
        // powers ← powers · (x − x_i) + difference_i
        for k in (1..TERMS).rev() {
            powers[k] = powers[k - 1] - x[i] * powers[k];
        }
        powers[0] = differences[i] - x[i] * powers[0];
    }
    powers
}
