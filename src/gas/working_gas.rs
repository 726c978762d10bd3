//! The gas in the engine: air and its stoichiometric products, blended by mass.
use super::inverse::FirstGuess;
use super::mixture::{Coefficients, Mixture, curvature, entropy_without_logarithm, slope, value};
use super::species::{JOIN_K, REFERENCE_K};

/// Temperatures between which the inverses have their first guess fitted, K.
const GUESS_RANGE_K: [f64; 2] = [180.0, 3500.0];

/// A property that is linear in the burned mass fraction.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Blend {
    air: f64,
    difference: f64,
}

impl Blend {
    fn new(air: f64, products: f64) -> Self {
        Blend {
            air,
            difference: products - air,
        }
    }

    #[inline(always)]
    fn at(&self, burned: f64) -> f64 {
        self.air + burned * self.difference
    }
}

/// An enthalpy polynomial whose coefficients are linear in the burned fraction.
#[derive(Debug, Clone, Copy, PartialEq)]
struct BlendedPolynomial {
    air: Coefficients,
    difference: Coefficients,
}

impl BlendedPolynomial {
    fn new(air: Coefficients, products: Coefficients) -> Self {
        BlendedPolynomial {
            air,
            difference: std::array::from_fn(|k| products[k] - air[k]),
        }
    }

    #[inline(always)]
    fn at(&self, burned: f64) -> Coefficients {
        std::array::from_fn(|k| self.air[k] + burned * self.difference[k])
    }
}

/// Air of a given humidity and its stoichiometric combustion products, as one
/// ideal gas of frozen composition.
///
/// The state of mixing is `burned`, the mass fraction of stoichiometric products:
/// 0 is air, 1 is exhaust without oxygen. The products of a lean mixture at
/// excess-air ratio λ have burned = (1 + s)/(1 + λ s), where s is
/// [`stoichiometric_air_fuel`](Self::stoichiometric_air_fuel). Because enthalpies
/// and gas constants per mass mix linearly, this is exact for ideal gases.
///
/// Range 200 K … 6000 K (see [`species`](super::species)); cp within 0.2 % and
/// gamma within 0.002 of `tests/data/reference/b_gas_properties.csv`. Without
/// dissociation, whose share in cp passes 1 % above some 1800 K in lean products.
/// Outside the range the polynomials are continued; the caller judges validity.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkingGas {
    low: BlendedPolynomial,
    high: BlendedPolynomial,
    gas_constant: Blend,
    enthalpy_at_join: Blend,
    energy_guess_low: FirstGuess,
    energy_guess_high: FirstGuess,
    enthalpy_guess_low: FirstGuess,
    enthalpy_guess_high: FirstGuess,
    stoichiometric_air_fuel: f64,
    two_constants: bool,
}

/// Gas constant and specific heat of a gas whose properties do not depend on
/// temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConstantGas {
    /// Gas constant, J/(kg K), above zero.
    pub gas_constant_j_kg_k: f64,
    /// Heat capacity at constant pressure, J/(kg K), above the gas constant.
    pub cp_j_kg_k: f64,
}

/// What one evaluation of the gas at a temperature yields.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasProperties {
    /// Heat capacity at constant pressure, J/(kg K).
    pub cp_j_kg_k: f64,
    /// Ratio of heat capacities cp/(cp − R).
    pub gamma: f64,
    /// Sensible enthalpy, zero at 298.15 K, J/kg.
    pub enthalpy_j_kg: f64,
    /// Gas constant R, J/(kg K).
    pub gas_constant_j_kg_k: f64,
}

/// Where an isentropic change of pressure ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IsentropicEnd {
    /// Temperature after the change, K.
    pub temperature_k: f64,
    /// Enthalpy after minus before, J/kg: positive = work into the gas.
    pub enthalpy_change_j_kg: f64,
}

impl WorkingGas {
    /// Prepares the polynomials for air with `humidity_kg_kg` kilograms of water
    /// vapour per kilogram of dry air and fuel CHy, y = `hydrogen_to_carbon`
    /// (atoms; about 1.85 for diesel fuel).
    pub fn new(humidity_kg_kg: f64, hydrogen_to_carbon: f64) -> Self {
        let air = Mixture::humid_air(humidity_kg_kg);
        let products = air.burned_stoichiometrically(hydrogen_to_carbon);
        let (air_low, air_high) = air.enthalpy_polynomials();
        let (products_low, products_high) = products.enthalpy_polynomials();
        Self::prepared(
            BlendedPolynomial::new(air_low, products_low),
            BlendedPolynomial::new(air_high, products_high),
            Blend::new(air.gas_constant_j_kg_k(), products.gas_constant_j_kg_k()),
            air.stoichiometric_air_fuel(hydrogen_to_carbon),
        )
    }

    /// A perfect gas: one gas constant \[J/(kg K)\], above zero, and one ratio of
    /// heat capacities, above 1, at every temperature and burned fraction.
    ///
    /// cp = γ R/(γ − 1) and h = cp (T − 298.15 K), exactly. This is the gas of the
    /// textbooks' closed forms and of published models with constant cp; exhaust
    /// gas departs from it by some per cent (`tests/data/reference/b_expansion.csv`).
    /// What the fuel is decides the last number, the mass of air that burns one
    /// mass of it (about 14.5 for diesel fuel).
    pub fn perfect(gas_constant_j_kg_k: f64, gamma: f64, stoichiometric_air_fuel: f64) -> Self {
        let gas = ConstantGas {
            gas_constant_j_kg_k,
            cp_j_kg_k: gamma * gas_constant_j_kg_k / (gamma - 1.0),
        };
        Self {
            two_constants: false,
            ..Self::constant(gas, gas, stoichiometric_air_fuel)
        }
    }

    /// Air and exhaust gas, each with constant properties, as published
    /// mean-value models have them: h = cp (T - 298.15 K), gamma = cp/(cp - R).
    ///
    /// `burned` is then the share of exhaust gas, whatever was burned in it: all
    /// that an engine swallows turns into exhaust gas. No more exact than its
    /// constants: cp of exhaust gas varies by some 6 % between 700 K and 1000 K
    /// (`tests/data/reference/b_gas_properties.csv`).
    pub fn constant(air: ConstantGas, exhaust: ConstantGas, stoichiometric_air_fuel: f64) -> Self {
        let enthalpy =
            |g: ConstantGas| [-g.cp_j_kg_k * REFERENCE_K, g.cp_j_kg_k, 0.0, 0.0, 0.0, 0.0];
        let everywhere = BlendedPolynomial::new(enthalpy(air), enthalpy(exhaust));
        let gas_constant = Blend::new(air.gas_constant_j_kg_k, exhaust.gas_constant_j_kg_k);
        Self {
            two_constants: true,
            ..Self::prepared(
                everywhere,
                everywhere,
                gas_constant,
                stoichiometric_air_fuel,
            )
        }
    }

    /// The same gas on a day of another humidity; constant properties stay.
    pub fn on_a_day(&self, humidity_kg_kg: f64, hydrogen_to_carbon: f64) -> Self {
        if self.two_constants {
            self.clone()
        } else {
            Self::new(humidity_kg_kg, hydrogen_to_carbon)
        }
    }

    /// Combustion products that come of `burning_kg` of the `fuel_kg` in
    /// `air_kg` of air \[kg\]: those of the stoichiometric mixture, or, where
    /// there are but air and exhaust gas, all of it.
    #[inline]
    pub fn products_kg(&self, air_kg: f64, fuel_kg: f64, burning_kg: f64) -> f64 {
        if self.two_constants {
            air_kg + fuel_kg
        } else {
            burning_kg * (1.0 + self.stoichiometric_air_fuel)
        }
    }

    /// Fits the first guesses of the inverses to the polynomials.
    fn prepared(
        low: BlendedPolynomial,
        high: BlendedPolynomial,
        gas_constant: Blend,
        stoichiometric_air_fuel: f64,
    ) -> Self {
        let enthalpies = |range: &BlendedPolynomial| [0.0, 0.5, 1.0].map(|b| range.at(b));
        let energies = |range: &BlendedPolynomial| {
            [0.0, 0.5, 1.0].map(|b| internal_energy(range.at(b), gas_constant.at(b)))
        };
        let [coldest_k, hottest_k] = GUESS_RANGE_K;
        WorkingGas {
            energy_guess_low: FirstGuess::new(energies(&low), coldest_k, JOIN_K),
            energy_guess_high: FirstGuess::new(energies(&high), JOIN_K, hottest_k),
            enthalpy_guess_low: FirstGuess::new(enthalpies(&low), coldest_k, JOIN_K),
            enthalpy_guess_high: FirstGuess::new(enthalpies(&high), JOIN_K, hottest_k),
            enthalpy_at_join: Blend::new(value(&low.at(0.0), JOIN_K), value(&low.at(1.0), JOIN_K)),
            stoichiometric_air_fuel,
            two_constants: false,
            low,
            high,
            gas_constant,
        }
    }

    /// Mass of (humid) air per mass of fuel that uses up all the oxygen.
    pub fn stoichiometric_air_fuel(&self) -> f64 {
        self.stoichiometric_air_fuel
    }

    /// Gas constant R, J/(kg K).
    #[inline]
    pub fn gas_constant_j_kg_k(&self, burned: f64) -> f64 {
        self.gas_constant.at(burned)
    }

    /// Heat capacity at constant pressure cp = dh/dT, J/(kg K).
    #[inline]
    pub fn cp_j_kg_k(&self, temperature_k: f64, burned: f64) -> f64 {
        slope(&self.enthalpy(temperature_k, burned), temperature_k)
    }

    /// Ratio of heat capacities, cp/(cp − R).
    #[inline]
    pub fn gamma(&self, temperature_k: f64, burned: f64) -> f64 {
        let cp = self.cp_j_kg_k(temperature_k, burned);
        cp / (cp - self.gas_constant.at(burned))
    }

    /// Sensible enthalpy h, zero at 298.15 K for every burned fraction, J/kg.
    /// Continuous everywhere; cp has a step below 1e-8 of itself at 1000 K.
    #[inline]
    pub fn enthalpy_j_kg(&self, temperature_k: f64, burned: f64) -> f64 {
        value(&self.enthalpy(temperature_k, burned), temperature_k)
    }

    /// Internal energy u = h − R T, J/kg (so −R · 298.15 K at 298.15 K).
    #[inline]
    pub fn internal_energy_j_kg(&self, temperature_k: f64, burned: f64) -> f64 {
        self.enthalpy_j_kg(temperature_k, burned) - self.gas_constant.at(burned) * temperature_k
    }

    /// cp, gamma, h and R in one go; cheaper than asking for each.
    #[inline]
    pub fn properties(&self, temperature_k: f64, burned: f64) -> GasProperties {
        let polynomial = self.enthalpy(temperature_k, burned);
        let cp_j_kg_k = slope(&polynomial, temperature_k);
        let gas_constant_j_kg_k = self.gas_constant.at(burned);
        GasProperties {
            cp_j_kg_k,
            gamma: cp_j_kg_k / (cp_j_kg_k - gas_constant_j_kg_k),
            enthalpy_j_kg: value(&polynomial, temperature_k),
            gas_constant_j_kg_k,
        }
    }

    /// Temperature at which the internal energy is `u_j_kg`, K.
    ///
    /// An explicit first guess and two Newton steps, always the same work;
    /// converged to 1e-12 of itself between 180 K and 3500 K and
    /// 0 ≤ burned ≤ 1.
    #[inline]
    pub fn temperature_from_internal_energy_k(&self, u_j_kg: f64, burned: f64) -> f64 {
        let gas_constant = self.gas_constant.at(burned);
        let join = self.enthalpy_at_join.at(burned) - gas_constant * JOIN_K;
        let (range, guess) = if u_j_kg < join {
            (&self.low, &self.energy_guess_low)
        } else {
            (&self.high, &self.energy_guess_high)
        };
        let energy = internal_energy(range.at(burned), gas_constant);
        guess.solve_k(&energy, u_j_kg, burned)
    }

    /// Temperature at which the sensible enthalpy is `h_j_kg`, K. Range and
    /// accuracy as for
    /// [`temperature_from_internal_energy_k`](Self::temperature_from_internal_energy_k).
    #[inline]
    pub fn temperature_from_enthalpy_k(&self, h_j_kg: f64, burned: f64) -> f64 {
        let (range, guess) = if h_j_kg < self.enthalpy_at_join.at(burned) {
            (&self.low, &self.enthalpy_guess_low)
        } else {
            (&self.high, &self.enthalpy_guess_high)
        };
        guess.solve_k(&range.at(burned), h_j_kg, burned)
    }

    /// End of an isentropic change from `t1_k` over the pressure ratio p2/p1 > 0
    /// (above one compresses, below one expands).
    ///
    /// With y = ln(T2/T1), constant entropy asks for ∫ cp dy = R ln(p2/p1). A guess
    /// of y from cp and its slope at T1, then one Newton step on the exact
    /// integral, whose slope in y is cp(T2): no iteration, one logarithm (two when
    /// the change crosses the polynomials' join) and two exponentials. Within 1e-5
    /// of the exact enthalpy change for pressure ratios 1/10 … 8; checked against
    /// `tests/data/reference/b_expansion.csv`.
    #[inline]
    pub fn isentropic(&self, t1_k: f64, burned: f64, pressure_ratio_p2_p1: f64) -> IsentropicEnd {
        let start = self.enthalpy(t1_k, burned);
        let cp_start = slope(&start, t1_k);
        let entropy = self.gas_constant.at(burned) * pressure_ratio_p2_p1.ln();

        let half_cp_rise = 0.5 * t1_k * curvature(&start, t1_k);
        let y_guess = entropy / (cp_start + half_cp_rise * entropy / cp_start);
        let guess_k = t1_k * y_guess.exp();
        let end = self.enthalpy(guess_k, burned);
        let integral = entropy_integral((&start, t1_k), (&end, guess_k), y_guess);

        let correction = (entropy - integral) / slope(&end, guess_k);
        let temperature_k = guess_k * correction.exp();
        IsentropicEnd {
            temperature_k,
            enthalpy_change_j_kg: self.enthalpy_j_kg(temperature_k, burned) - value(&start, t1_k),
        }
    }

    /// Enthalpy polynomial of the range that holds `temperature_k`.
    #[inline(always)]
    fn enthalpy(&self, temperature_k: f64, burned: f64) -> Coefficients {
        if temperature_k < JOIN_K {
            self.low.at(burned)
        } else {
            self.high.at(burned)
        }
    }
}

/// ∫ cp dT/T between two states, each with the enthalpy polynomial of its range;
/// `logarithm` is ln(T_end/T_start).
#[inline(always)]
fn entropy_integral(
    (start, start_k): (&Coefficients, f64),
    (end, end_k): (&Coefficients, f64),
    logarithm: f64,
) -> f64 {
    let within = |c: &Coefficients, from_k: f64, to_k: f64, logarithm: f64| {
        c[1] * logarithm + entropy_without_logarithm(c, to_k) - entropy_without_logarithm(c, from_k)
    };
    if (start_k < JOIN_K) == (end_k < JOIN_K) {
        return within(start, start_k, end_k, logarithm);
    }
    let to_join = (JOIN_K / start_k).ln();
    within(start, start_k, JOIN_K, to_join) + within(end, JOIN_K, end_k, logarithm - to_join)
}

/// u = h − R T as a polynomial.
#[inline(always)]
fn internal_energy(mut enthalpy: Coefficients, gas_constant_j_kg_k: f64) -> Coefficients {
    enthalpy[1] -= gas_constant_j_kg_k;
    enthalpy
}
