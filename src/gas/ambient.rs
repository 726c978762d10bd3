//! The air outside: what the intake draws and the exhaust blows against.
use super::atmosphere::{self, AtmosphereError};

/// State of the air around the engine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ambient {
    /// Absolute pressure, Pa.
    pub pressure_pa: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    /// Mass of water vapour per mass of dry air, kg/kg.
    pub humidity_kg_kg: f64,
    /// Geopotential height the pressure was taken from, m; none when the pressure
    /// was given.
    pub altitude_m: Option<f64>,
}

impl Ambient {
    /// Standard pressure at a geopotential height, with a temperature that differs
    /// from the standard by `temperature_offset_k` (a hot day: positive).
    ///
    /// The height is thus a pressure altitude: the offset does not change the
    /// pressure. `relative_humidity` is a fraction 0 … 1.
    ///
    /// # Errors
    /// Height outside −2000 … 11000 m, a temperature outside 233.15 … 373.15 K, a
    /// humidity outside 0 … 1, or vapour that would boil.
    pub fn at_altitude(
        altitude_m: f64,
        temperature_offset_k: f64,
        relative_humidity: f64,
    ) -> Result<Self, AtmosphereError> {
        let standard = Self::given(
            atmosphere::pressure_pa(altitude_m)?,
            atmosphere::temperature_k(altitude_m)? + temperature_offset_k,
            relative_humidity,
        )?;
        Ok(Ambient {
            altitude_m: Some(altitude_m),
            ..standard
        })
    }

    /// How much warmer than the standard atmosphere of its height it is \[K\]; none
    /// where the pressure was given.
    pub fn temperature_offset_k(&self) -> Option<f64> {
        let standard_k = atmosphere::temperature_k(self.altitude_m?).ok()?;
        Some(self.temperature_k - standard_k)
    }

    /// The same air, by the vapour in it, at another height of the standard
    /// atmosphere with a temperature offset as in [`Self::at_altitude`].
    ///
    /// Whether the vapour would condense there is not asked.
    ///
    /// # Errors
    /// Height outside −2000 … 11000 m, or a temperature outside 233.15 … 373.15 K.
    pub fn moved_to(
        &self,
        altitude_m: f64,
        temperature_offset_k: f64,
    ) -> Result<Self, AtmosphereError> {
        let dry = Self::at_altitude(altitude_m, temperature_offset_k, 0.0)?;
        Ok(Ambient {
            humidity_kg_kg: self.humidity_kg_kg,
            ..dry
        })
    }

    /// Pressure and temperature as measured. `relative_humidity` is a fraction
    /// 0 … 1.
    ///
    /// # Errors
    /// A pressure that is not positive, a temperature outside 233.15 … 373.15 K, a
    /// humidity outside 0 … 1, or vapour that would boil.
    pub fn given(
        pressure_pa: f64,
        temperature_k: f64,
        relative_humidity: f64,
    ) -> Result<Self, AtmosphereError> {
        Ok(Ambient {
            pressure_pa,
            temperature_k,
            humidity_kg_kg: atmosphere::checked_humidity_ratio(
                relative_humidity,
                temperature_k,
                pressure_pa,
            )?,
            altitude_m: None,
        })
    }
}
