//! Heat-capacity polynomials and molar masses of the five species the working
//! gas is made of.
//!
//! Form (NASA seven-coefficient): cp/R = a1 + a2 T + a3 T² + a4 T³ + a5 T⁴, one
//! set up to [`JOIN_K`] and one above. Source: B. J. McBride, S. Gordon,
//! M. A. Reno, Coefficients for Calculating Thermodynamic and Transport Properties
//! of Individual Species, NASA TM-4513 (1993), the table of each species, as
//! carried by the file `nasa_gas.yaml` of the general-purpose library Cantera
//! 3.2.0. The note beside each species is the one printed there.
//!
//! The sixth and seventh coefficients (constants of integration) are not used:
//! enthalpy is zero at [`REFERENCE_K`] by definition here, and the constant of
//! the upper set is shifted so that enthalpy is continuous at the join. With the
//! published constants it would jump there by at most 2e-8 of itself; cp, left as
//! published, jumps by at most 3e-9 of itself.
//!
//! Range: 200 K to 6000 K. Outside, the polynomials are continued as they stand
//! and soon lose their meaning.

/// Molar gas constant, J/(mol K); CODATA 2018, exact by definition of the SI.
pub const MOLAR_GAS_CONSTANT_J_MOL_K: f64 = 8.314_462_618_153_24;

/// Temperature at which the lower polynomial hands over to the upper, K.
pub const JOIN_K: f64 = 1000.0;

/// Temperature at which the sensible enthalpy is zero, K.
pub const REFERENCE_K: f64 = 298.15;

/// Molar mass of carbon, kg/mol (IUPAC abridged atomic weights, 2021).
pub const CARBON_KG_MOL: f64 = 12.011e-3;

/// Molar mass of atomic hydrogen, kg/mol (IUPAC abridged atomic weights, 2021).
pub const HYDROGEN_KG_MOL: f64 = 1.008e-3;

const NITROGEN_KG_MOL: f64 = 14.007e-3;
const OXYGEN_KG_MOL: f64 = 15.999e-3;
const ARGON_KG_MOL: f64 = 39.95e-3;

/// One chemical species.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Species {
    /// Molar mass, kg/mol.
    pub molar_mass_kg_mol: f64,
    /// a1 … a5 of cp/R up to [`JOIN_K`]; powers 0 … 4 of T in kelvin.
    pub low: [f64; 5],
    /// a1 … a5 of cp/R above [`JOIN_K`].
    pub high: [f64; 5],
}

/// N2. Note "TPIS78": fitted to V. P. Glushko, L. V. Gurvich and others,
/// Thermodynamic Properties of Individual Substances, vol. 1 (1978).
pub const NITROGEN: Species = Species {
    molar_mass_kg_mol: 2.0 * NITROGEN_KG_MOL,
    low: [
        3.53100528,
        -0.000123660987,
        -5.02999437e-07,
        2.43530612e-09,
        -1.40881235e-12,
    ],
    high: [
        2.95257626,
        0.00139690057,
        -4.92631691e-07,
        7.86010367e-11,
        -4.60755321e-15,
    ],
};

/// O2. Note "TPIS89": fitted to L. V. Gurvich and others, Thermodynamic
/// Properties of Individual Substances, vol. 1 (1989).
pub const OXYGEN: Species = Species {
    molar_mass_kg_mol: 2.0 * OXYGEN_KG_MOL,
    low: [
        3.78245636,
        -0.00299673415,
        9.847302e-06,
        -9.68129508e-09,
        3.24372836e-12,
    ],
    high: [
        3.66096083,
        0.000656365523,
        -1.41149485e-07,
        2.05797658e-11,
        -1.29913248e-15,
    ],
};

/// Ar. Note "L 6/88": calculated at NASA Lewis, June 1988; a monatomic gas, so cp
/// is 5/2 R throughout.
pub const ARGON: Species = Species {
    molar_mass_kg_mol: ARGON_KG_MOL,
    low: [2.5, 0.0, 0.0, 0.0, 0.0],
    high: [2.5, 0.0, 0.0, 0.0, 0.0],
};

/// CO2. Note "L 7/88": calculated at NASA Lewis, July 1988.
pub const CARBON_DIOXIDE: Species = Species {
    molar_mass_kg_mol: CARBON_KG_MOL + 2.0 * OXYGEN_KG_MOL,
    low: [
        2.35677352,
        0.00898459677,
        -7.12356269e-06,
        2.45919022e-09,
        -1.43699548e-13,
    ],
    high: [
        4.63659493,
        0.00274131991,
        -9.95828531e-07,
        1.60373011e-10,
        -9.16103468e-15,
    ],
};

/// H2O. Note "L 8/89": calculated at NASA Lewis, August 1989.
pub const WATER: Species = Species {
    molar_mass_kg_mol: 2.0 * HYDROGEN_KG_MOL + OXYGEN_KG_MOL,
    low: [
        4.19864056,
        -0.0020364341,
        6.52040211e-06,
        -5.48797062e-09,
        1.77197817e-12,
    ],
    high: [
        2.67703787,
        0.00297318329,
        -7.7376969e-07,
        9.44336689e-11,
        -4.26900959e-15,
    ],
};
