//! Heat-capacity polynomials and molar masses of the five species the working
//! gas is made of.
//!
//! Form (NASA seven-coefficient): cp/R = a1 + a2 T + a3 T² + a4 T³ + a5 T⁴, one
//! set up to [`JOIN_K`] and one above. Coefficients as distributed with
//! GRI-Mech 3.0 (G. P. Smith and others, 1999, file `thermo30.dat`), read from
//! `gri30.yaml` of the general-purpose library Cantera 3.2.0. The code beside
//! each species is the one printed there; which publication it abbreviates is
//! given from memory.
//!
//! The sixth and seventh coefficients (constants of integration) are not used:
//! enthalpy is zero at [`REFERENCE_K`] by definition here, and the constant of
//! the upper set is shifted so that enthalpy is continuous at the join. The
//! published constants jump there by less than 3e-6 of the enthalpy.
//!
//! Range: 200 K to 3500 K (nitrogen and argon are published from 300 K; down to
//! 250 K they are checked against the nine-coefficient set of
//! `tests/data/reference/b_gas_properties.csv`). Outside, the polynomials are
//! continued as they stand and soon lose their meaning.

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

/// N2. "121286": R. J. Kee, F. M. Rupley, J. A. Miller, The Chemkin
/// Thermodynamic Data Base, Sandia report SAND87-8215 (1987), entry N2; 300 K to
/// 5000 K.
pub const NITROGEN: Species = Species {
    molar_mass_kg_mol: 2.0 * NITROGEN_KG_MOL,
    low: [
        3.298677,
        1.4082404e-3,
        -3.963222e-6,
        5.641515e-9,
        -2.444854e-12,
    ],
    high: [
        2.92664,
        1.4879768e-3,
        -5.68476e-7,
        1.0097038e-10,
        -6.753351e-15,
    ],
};

/// O2. "TPIS89": fit of B. J. McBride, S. Gordon, M. A. Reno, NASA TM-4513
/// (1993), entry O2, to L. V. Gurvich and others, Thermodynamic Properties of
/// Individual Substances, vol. 1 (1989); 200 K to 3500 K.
pub const OXYGEN: Species = Species {
    molar_mass_kg_mol: 2.0 * OXYGEN_KG_MOL,
    low: [
        3.78245636,
        -2.99673416e-3,
        9.84730201e-6,
        -9.68129509e-9,
        3.24372837e-12,
    ],
    high: [
        3.28253784,
        1.48308754e-3,
        -7.57966669e-7,
        2.09470555e-10,
        -2.16717794e-14,
    ],
};

/// Ar. "120186": Kee, Rupley, Miller, SAND87-8215 (1987), entry AR; a monatomic
/// gas, so cp is 5/2 R throughout.
pub const ARGON: Species = Species {
    molar_mass_kg_mol: ARGON_KG_MOL,
    low: [2.5, 0.0, 0.0, 0.0, 0.0],
    high: [2.5, 0.0, 0.0, 0.0, 0.0],
};

/// CO2. "L7/88": fit made at NASA Lewis, July 1988; McBride, Gordon, Reno, NASA
/// TM-4513 (1993), entry CO2; 200 K to 3500 K.
pub const CARBON_DIOXIDE: Species = Species {
    molar_mass_kg_mol: CARBON_KG_MOL + 2.0 * OXYGEN_KG_MOL,
    low: [
        2.35677352,
        8.98459677e-3,
        -7.12356269e-6,
        2.45919022e-9,
        -1.43699548e-13,
    ],
    high: [
        3.85746029,
        4.41437026e-3,
        -2.21481404e-6,
        5.23490188e-10,
        -4.72084164e-14,
    ],
};

/// H2O. "L8/89": fit made at NASA Lewis, August 1989; McBride, Gordon, Reno,
/// NASA TM-4513 (1993), entry H2O; 200 K to 3500 K.
pub const WATER: Species = Species {
    molar_mass_kg_mol: 2.0 * HYDROGEN_KG_MOL + OXYGEN_KG_MOL,
    low: [
        4.19864056,
        -2.0364341e-3,
        6.52040211e-6,
        -5.48797062e-9,
        1.77197817e-12,
    ],
    high: [
        3.03399249,
        2.17691804e-3,
        -1.64072518e-7,
        -9.7041987e-11,
        1.68200992e-14,
    ],
};
