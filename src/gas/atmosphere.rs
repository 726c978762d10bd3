//! The standard atmosphere's lowest layer, and how much water vapour air holds.
//!
//! Source: ISO 2533:1975, Standard Atmosphere (identical to ICAO Doc 7488 and the
//! US Standard Atmosphere 1976 at these heights). Height is geopotential. Layer
//! from [`LOWEST_M`] to [`HIGHEST_M`]; anything else is an error.
use super::species::WATER;

/// Sea-level temperature, K (ISO 2533 table 1).
pub const SEA_LEVEL_TEMPERATURE_K: f64 = 288.15;
/// Sea-level pressure, Pa (ISO 2533 table 1).
pub const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;
/// Specific gas constant of the standard's dry air, J/(kg K) (ISO 2533 table 1).
pub const GAS_CONSTANT_J_KG_K: f64 = 287.05287;
/// Standard acceleration of free fall, m/s² (ISO 2533 table 1).
pub const GRAVITY_M_S2: f64 = 9.80665;
/// Temperature gradient of the lowest layer, K per metre (ISO 2533 table 4).
pub const LAPSE_K_M: f64 = -0.0065;
/// Lowest height of the standard's tables, geopotential metres.
pub const LOWEST_M: f64 = -2000.0;
/// Top of the lowest layer, geopotential metres.
pub const HIGHEST_M: f64 = 11_000.0;

/// Temperatures between which [`saturation_pressure_pa`] is used, K.
const HUMID_RANGE_K: [f64; 2] = [233.15, 373.15];

/// Mean molar mass of dry air, kg/mol (ISO 2533 table 1).
const DRY_AIR_KG_MOL: f64 = 28.964_420e-3;

/// Why an ambient state cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum AtmosphereError {
    /// Height outside the lowest layer of the standard atmosphere.
    #[error(
        "altitude {altitude_m} m is outside the standard atmosphere's lowest layer, \
         {LOWEST_M} m to {HIGHEST_M} m"
    )]
    Altitude {
        /// Geopotential height asked for, m.
        altitude_m: f64,
    },
    /// Temperature outside the range of the humidity formula.
    #[error("ambient temperature {temperature_k} K is outside 233.15 K to 373.15 K")]
    Temperature {
        /// Temperature asked for, K.
        temperature_k: f64,
    },
    /// Pressure that no air has.
    #[error("ambient pressure {pressure_pa} Pa is not a positive, finite pressure")]
    Pressure {
        /// Pressure asked for, Pa.
        pressure_pa: f64,
    },
    /// Relative humidity that is no fraction.
    #[error("relative humidity {relative_humidity} is outside 0 to 1")]
    RelativeHumidity {
        /// Relative humidity asked for, as a fraction.
        relative_humidity: f64,
    },
    /// More vapour than the total pressure allows.
    #[error(
        "vapour at {vapour_pressure_pa} Pa leaves no room for air at {pressure_pa} Pa: \
         water boils there"
    )]
    Boiling {
        /// Partial pressure of the vapour, Pa.
        vapour_pressure_pa: f64,
        /// Total pressure asked for, Pa.
        pressure_pa: f64,
    },
}

/// Standard temperature at a geopotential height, K: T0 + L h.
pub fn temperature_k(altitude_m: f64) -> Result<f64, AtmosphereError> {
    if (LOWEST_M..=HIGHEST_M).contains(&altitude_m) {
        Ok(SEA_LEVEL_TEMPERATURE_K + LAPSE_K_M * altitude_m)
    } else {
        Err(AtmosphereError::Altitude { altitude_m })
    }
}

/// Standard pressure at a geopotential height, Pa: p0 (T/T0)^(−g/(L R)), the
/// hydrostatic balance of an ideal gas with constant gradient.
pub fn pressure_pa(altitude_m: f64) -> Result<f64, AtmosphereError> {
    let exponent = -GRAVITY_M_S2 / (LAPSE_K_M * GAS_CONSTANT_J_KG_K);
    let ratio = temperature_k(altitude_m)? / SEA_LEVEL_TEMPERATURE_K;
    Ok(SEA_LEVEL_PRESSURE_PA * ratio.powf(exponent))
}

/// Standard density at a geopotential height, kg/m³: p/(R T), dry air.
pub fn density_kg_m3(altitude_m: f64) -> Result<f64, AtmosphereError> {
    Ok(pressure_pa(altitude_m)? / (GAS_CONSTANT_J_KG_K * temperature_k(altitude_m)?))
}

/// Saturation pressure of water vapour over liquid water, Pa.
///
/// Source: W. Wagner, A. Pruss, J. Phys. Chem. Ref. Data 22 (1993) 783, equation 1
/// (IAPWS supplementary release on saturation properties). Its range is 273.16 K
/// to 647.096 K with an error below 0.1 %. Below freezing it is continued over
/// supercooled water, as meteorology refers relative humidity to liquid water
/// there too; within 1 % to 253 K, where the vapour hardly counts.
pub fn saturation_pressure_pa(temperature_k: f64) -> f64 {
    const CRITICAL_K: f64 = 647.096;
    const CRITICAL_PA: f64 = 22.064e6;
    const TERMS: [(f64, f64); 6] = [
        (-7.85951783, 1.0),
        (1.84408259, 1.5),
        (-11.7866497, 3.0),
        (22.6807411, 3.5),
        (-15.9618719, 4.0),
        (1.80122502, 7.5),
    ];
    let distance = 1.0 - temperature_k / CRITICAL_K;
    let sum: f64 = TERMS.iter().map(|(a, n)| a * distance.powf(*n)).sum();
    CRITICAL_PA * (CRITICAL_K / temperature_k * sum).exp()
}

/// Mass of water vapour per mass of dry air, kg/kg: ε φ ps/(p − φ ps) with
/// ε = 0.622, the ratio of molar masses (ideal gases).
///
/// `relative_humidity` φ is a fraction 0 … 1, the temperature 233 … 373 K. The
/// vapour must stay below the total pressure; [`Ambient`](super::Ambient) checks
/// all three.
pub fn humidity_ratio(relative_humidity: f64, temperature_k: f64, pressure_pa: f64) -> f64 {
    let vapour_pa = relative_humidity * saturation_pressure_pa(temperature_k);
    WATER.molar_mass_kg_mol / DRY_AIR_KG_MOL * vapour_pa / (pressure_pa - vapour_pa)
}

/// [`humidity_ratio`] with its range enforced.
pub(super) fn checked_humidity_ratio(
    relative_humidity: f64,
    temperature_k: f64,
    pressure_pa: f64,
) -> Result<f64, AtmosphereError> {
    if !(pressure_pa.is_finite() && pressure_pa > 0.0) {
        return Err(AtmosphereError::Pressure { pressure_pa });
    }
    let [coldest_k, hottest_k] = HUMID_RANGE_K;
    if !(coldest_k..=hottest_k).contains(&temperature_k) {
        return Err(AtmosphereError::Temperature { temperature_k });
    }
    if !(0.0..=1.0).contains(&relative_humidity) {
        return Err(AtmosphereError::RelativeHumidity { relative_humidity });
    }
    let vapour_pressure_pa = relative_humidity * saturation_pressure_pa(temperature_k);
    if vapour_pressure_pa >= pressure_pa {
        return Err(AtmosphereError::Boiling {
            vapour_pressure_pa,
            pressure_pa,
        });
    }
    Ok(humidity_ratio(
        relative_humidity,
        temperature_k,
        pressure_pa,
    ))
}
