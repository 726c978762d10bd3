//! Power correction to standard weather, to set a computed power beside a figure
//! from a dyno.
//!
//! Sources: ISO 1585 (as UN Regulation 85 and the compression-ignition part of
//! SAE J1349 have it); form and range of use as printed in an engine maker's
//! service manual, the exponents of the turbocharged forms from memory. The
//! older spark-ignition form is SAE J1349 of June 1990.

/// Dry air pressure of the standard weather \[Pa\].
pub const STANDARD_DRY_PRESSURE_PA: f64 = 99e3;
/// Temperature of the standard weather \[K\].
pub const STANDARD_TEMPERATURE_K: f64 = 298.0;
/// Factors that the standard accepts; beyond them the weather was too far off.
pub const ACCEPTED_FACTORS: [f64; 2] = [0.9, 1.1];

/// How an engine gets its air; it decides how much the weather matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Charging {
    /// No charger, or one driven by the crankshaft.
    NaturallyAspirated,
    /// Turbocharger without charge cooler, or with one cooled by ambient air.
    Turbocharged,
    /// Turbocharger with a charge cooler on the coolant.
    TurbochargedCoolantCooled,
}

/// Why a power cannot be corrected.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum CorrectionProblem {
    /// The weather was too far from standard.
    #[error(
        "the power correction is {factor:.4}, outside 0.9 to 1.1: \
         the weather is too far from 99 kPa dry and 25 °C"
    )]
    FactorOutOfRange {
        /// The factor that the formula gives.
        factor: f64,
    },
    /// Something that is no pressure, temperature or fuel quantity.
    #[error("{name} of {value} is not above zero")]
    NotPositive {
        /// Which quantity.
        name: &'static str,
        /// What was given.
        value: f64,
    },
}

/// The conditions of a measurement on a compression-ignition engine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Pressure of the dry air, without its water vapour \[Pa\].
    pub dry_pressure_pa: f64,
    /// Air temperature at the inlet \[K\].
    pub temperature_k: f64,
    /// How the engine gets its air.
    pub charging: Charging,
    /// Fuel per litre of displacement and working cycle, all cylinders
    /// \[kg/m³\]; the same number as mg/(l cycle) times 1e-3.
    pub fuel_kg_m3: f64,
    /// Absolute pressure at the compressor outlet over ambient \[-\]; 1 without
    /// charger.
    pub boost_ratio: f64,
}

impl Measured {
    /// Atmospheric factor \[-\], 1 in standard weather: a power of 99 kPa over the
    /// dry pressure times a power of T over 298 K.
    pub fn atmospheric_factor(&self) -> f64 {
        let (of_pressure, of_temperature) = match self.charging {
            Charging::NaturallyAspirated => (1.0, 0.7),
            Charging::Turbocharged => (0.7, 1.5),
            Charging::TurbochargedCoolantCooled => (0.7, 0.7),
        };
        (STANDARD_DRY_PRESSURE_PA / self.dry_pressure_pa).powf(of_pressure)
            * (self.temperature_k / STANDARD_TEMPERATURE_K).powf(of_temperature)
    }

    /// Engine factor \[-\], the exponent of the atmospheric one: how near the
    /// engine is to its smoke limit. With q the fuel over the boost ratio in
    /// mg/(l cycle): 0.036 q − 1.14 from 37.2 to 65, 0.3 below and 1.2 above.
    ///
    /// The step from 0.3 to 0.2 at 37.2 is the printed form's own.
    pub fn engine_factor(&self) -> f64 {
        let q_mg_l = self.fuel_kg_m3 * 1e3 / self.boost_ratio;
        if q_mg_l < 37.2 {
            0.3
        } else if q_mg_l > 65.0 {
            1.2
        } else {
            0.036 * q_mg_l - 1.14
        }
    }

    /// Factor \[-\] by which a measured power is multiplied to be compared with
    /// one in standard weather: atmospheric factor to the power of the engine
    /// factor.
    ///
    /// # Errors
    /// A factor outside [`ACCEPTED_FACTORS`], and input that is not above zero.
    pub fn correction(&self) -> Result<f64, CorrectionProblem> {
        let given = [
            ("dry_pressure_pa", self.dry_pressure_pa),
            ("temperature_k", self.temperature_k),
            ("fuel_kg_m3", self.fuel_kg_m3),
            ("boost_ratio", self.boost_ratio),
        ];
        if let Some((name, value)) = given.into_iter().find(|(_, v)| v.is_nan() || *v <= 0.0) {
            return Err(CorrectionProblem::NotPositive { name, value });
        }
        let factor = self.atmospheric_factor().powf(self.engine_factor());
        let [least, most] = ACCEPTED_FACTORS;
        if (least..=most).contains(&factor) {
            Ok(factor)
        } else {
            Err(CorrectionProblem::FactorOutOfRange { factor })
        }
    }
}

/// Factor \[-\] of the older form for naturally aspirated spark-ignition engines
/// with a mechanical efficiency of 85 %: 1.18 (99 kPa/p) √(T/298 K) − 0.18.
///
/// Many chassis dynos apply it to any engine, so that a printed "corrected"
/// power of a turbo diesel has to be divided by it again. Dry pressure in Pa and
/// temperature in K above zero; meant for factors of 0.93 to 1.07 (from memory),
/// which the caller judges.
pub fn spark_ignition_1990(dry_pressure_pa: f64, temperature_k: f64) -> f64 {
    1.18 * (STANDARD_DRY_PRESSURE_PA / dry_pressure_pa)
        * (temperature_k / STANDARD_TEMPERATURE_K).sqrt()
        - 0.18
}
