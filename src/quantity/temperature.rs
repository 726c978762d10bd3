//! Temperature and temperature rise: two types, because 10 degC is a mild day
//! and a rise of 10 degC is not.
use super::define::{additive, quantity};
use super::unit::{Kind, Unit};
use super::units::*;
use std::ops::{Add, Div, Sub};

const DIMENSION: &str = "temperature";
const SCALES: &[Unit] = &[K, DEG_C, DEG_F, DEG_R];
const RISES: &[Unit] = &[K, DEG_C_RISE, DEG_F_RISE, DEG_R];

quantity! {
    /// A temperature on the absolute scale.
    ///
    /// ```
    /// use ringfence::quantity::{Temperature, TemperatureRise};
    /// let outlet = Temperature::from_k(450.0);
    /// let inlet = Temperature::from_k(300.0);
    /// let rise: TemperatureRise = outlet - inlet;
    /// let back: Temperature = inlet + rise;
    /// assert_eq!(back, outlet);
    /// ```
    ///
    /// Two temperatures have no sum:
    ///
    /// ```compile_fail,E0308
    /// use ringfence::quantity::Temperature;
    /// let sum = Temperature::from_k(450.0) + Temperature::from_k(300.0);
    /// ```
    Temperature: Kind::new(DIMENSION, SCALES, DEG_C, DEG_F, &["288.15 K", "720 degC", "59 degF"])
        .written_in(K)
        .not_below_zero();
    from_k, k = K;
    from_deg_c, deg_c = DEG_C;
    from_deg_f, deg_f = DEG_F;
}

quantity! {
    /// A difference of two temperatures. Its degC and degF are steps of those
    /// scales, without their zero.
    ///
    /// ```
    /// use ringfence::quantity::{Temperature, TemperatureRise};
    /// fn speed_of_sound_squared(temperature: Temperature) -> f64 {
    ///     1.4 * 287.05 * temperature.k()
    /// }
    /// let day = Temperature::from_k(288.15) + TemperatureRise::from_k(15.0);
    /// assert!(speed_of_sound_squared(day) > 0.0);
    /// ```
    ///
    /// It is no temperature:
    ///
    /// ```compile_fail,E0308
    /// use ringfence::quantity::{Temperature, TemperatureRise};
    /// fn speed_of_sound_squared(temperature: Temperature) -> f64 {
    ///     1.4 * 287.05 * temperature.k()
    /// }
    /// speed_of_sound_squared(TemperatureRise::from_k(15.0));
    /// ```
    TemperatureRise: Kind::new("temperature rise", RISES, K, DEG_F_RISE, &["15 K", "27 degF"])
        .of_dimension(DIMENSION);
    from_k, k = K;
    from_deg_f, deg_f = DEG_F_RISE;
}

additive!(TemperatureRise);

impl Sub for Temperature {
    type Output = TemperatureRise;
    fn sub(self, other: Self) -> TemperatureRise {
        TemperatureRise(self.0 - other.0)
    }
}

/// The temperature ratio.
impl Div for Temperature {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

impl Add<TemperatureRise> for Temperature {
    type Output = Self;
    fn add(self, rise: TemperatureRise) -> Self {
        Self(self.0 + rise.0)
    }
}

impl Sub<TemperatureRise> for Temperature {
    type Output = Self;
    fn sub(self, rise: TemperatureRise) -> Self {
        Self(self.0 - rise.0)
    }
}
