//! Compositions of air and of its stoichiometric combustion products, and the
//! enthalpy polynomials per kilogram that follow from them.
use super::species::{
    ARGON, CARBON_DIOXIDE, CARBON_KG_MOL, HYDROGEN_KG_MOL, JOIN_K, MOLAR_GAS_CONSTANT_J_MOL_K,
    NITROGEN, OXYGEN, REFERENCE_K, Species, WATER,
};

/// Dry air, mole fractions of N2, O2, Ar and CO2: the main constituents of
/// ISO 2533:1975 table 1, rounded so that they add up to one.
pub const DRY_AIR_MOLE_FRACTIONS: [(Species, f64); 4] = [
    (NITROGEN, 0.78084),
    (OXYGEN, 0.20946),
    (ARGON, 0.00934),
    (CARBON_DIOXIDE, 0.00036),
];

/// Coefficients of the powers 0 … 5 of the temperature in a sensible enthalpy,
/// J/kg over kelvin.
pub(super) type Coefficients = [f64; 6];

/// Value of a polynomial at `t`.
#[inline(always)]
pub(super) fn value(c: &Coefficients, t: f64) -> f64 {
    c[0] + t * (c[1] + t * (c[2] + t * (c[3] + t * (c[4] + t * c[5]))))
}

/// First derivative of a polynomial at `t`.
#[inline(always)]
pub(super) fn slope(c: &Coefficients, t: f64) -> f64 {
    c[1] + t * (2.0 * c[2] + t * (3.0 * c[3] + t * (4.0 * c[4] + t * (5.0 * c[5]))))
}

/// Second derivative of a polynomial at `t`.
#[inline(always)]
pub(super) fn curvature(c: &Coefficients, t: f64) -> f64 {
    2.0 * c[2] + t * (6.0 * c[3] + t * (12.0 * c[4] + t * (20.0 * c[5])))
}

/// The part of ∫ cp dT/T that is no logarithm, from 0 to `t`; the logarithm's
/// factor is `c[1]`.
#[inline(always)]
pub(super) fn entropy_without_logarithm(c: &Coefficients, t: f64) -> f64 {
    t * (2.0 * c[2] + t * (1.5 * c[3] + t * (4.0 / 3.0 * c[4] + t * (1.25 * c[5]))))
}

/// Amounts of the five species, in moles of an arbitrary whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixture {
    parts: [(Species, f64); 5],
}

impl Mixture {
    /// One mole of dry air with its water vapour.
    ///
    /// `humidity_kg_kg` is the mass of vapour per mass of dry air, 0 … about 0.05.
    pub fn humid_air(humidity_kg_kg: f64) -> Self {
        let [nitrogen, oxygen, argon, carbon_dioxide] = DRY_AIR_MOLE_FRACTIONS;
        let dry = Mixture {
            parts: [nitrogen, oxygen, argon, carbon_dioxide, (WATER, 0.0)],
        };
        let water_moles = humidity_kg_kg * dry.mass_kg() / WATER.molar_mass_kg_mol;
        let mut humid = dry;
        humid.parts[4].1 = water_moles;
        humid
    }

    /// What this air becomes when all its oxygen has burned fuel CHy completely:
    /// CHy + (1 + y/4) O2 → CO2 + y/2 H2O.
    ///
    /// `hydrogen_to_carbon` is y, the atoms of hydrogen per atom of carbon.
    pub fn burned_stoichiometrically(&self, hydrogen_to_carbon: f64) -> Self {
        let fuel_moles = self.stoichiometric_fuel_moles(hydrogen_to_carbon);
        let mut products = *self;
        products.parts[1].1 = 0.0;
        products.parts[3].1 += fuel_moles;
        products.parts[4].1 += fuel_moles * hydrogen_to_carbon / 2.0;
        products
    }

    /// Mass of this air per mass of fuel CHy that uses up all its oxygen.
    pub fn stoichiometric_air_fuel(&self, hydrogen_to_carbon: f64) -> f64 {
        let fuel_kg_mol = CARBON_KG_MOL + hydrogen_to_carbon * HYDROGEN_KG_MOL;
        self.mass_kg() / (self.stoichiometric_fuel_moles(hydrogen_to_carbon) * fuel_kg_mol)
    }

    /// Gas constant per mass, J/(kg K).
    pub fn gas_constant_j_kg_k(&self) -> f64 {
        let moles: f64 = self.parts.iter().map(|(_, n)| n).sum();
        MOLAR_GAS_CONSTANT_J_MOL_K * moles / self.mass_kg()
    }

    fn stoichiometric_fuel_moles(&self, hydrogen_to_carbon: f64) -> f64 {
        self.parts[1].1 / (1.0 + hydrogen_to_carbon / 4.0)
    }

    fn mass_kg(&self) -> f64 {
        self.parts
            .iter()
            .map(|(species, n)| n * species.molar_mass_kg_mol)
            .sum()
    }

    /// Sensible enthalpy per kilogram below and above [`JOIN_K`]: zero at
    /// [`REFERENCE_K`], continuous at the join.
    pub(super) fn enthalpy_polynomials(&self) -> (Coefficients, Coefficients) {
        let mut low = self.integrated(|species| &species.low);
        let mut high = self.integrated(|species| &species.high);
        low[0] = -value(&low, REFERENCE_K);
        high[0] = value(&low, JOIN_K) - value(&high, JOIN_K);
        (low, high)
    }

    /// The heat capacity per kilogram integrated over temperature, constant zero.
    fn integrated(&self, choose: impl Fn(&Species) -> &[f64; 5]) -> Coefficients {
        let per_mass = MOLAR_GAS_CONSTANT_J_MOL_K / self.mass_kg();
        let mut integral = [0.0; 6];
        for (species, moles) in &self.parts {
            for (power, a) in choose(species).iter().enumerate() {
                integral[power + 1] += per_mass * moles * a / (power + 1) as f64;
            }
        }
        integral
    }
}
