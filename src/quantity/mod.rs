//! Quantities with their units: a small type each, SI inside, text at the
//! edges.
//!
//! Every quantity is read from text with its unit and written the same way;
//! a bare number is refused, because a guessed unit is a wrong answer later.
//! What must not be mixed does not compile: absolute and gauge pressure,
//! pressure difference, temperature and temperature rise, rpm and rad/s, power
//! and torque, share and per cent.
//!
//! ```
//! use ringfence::quantity::{AbsolutePressure, Pressure, UnitSystem};
//! let command: Pressure = "30 psi gauge".parse()?;
//! let ambient: AbsolutePressure = "810 hPa abs".parse()?;
//! let boost = command.to_absolute(ambient);
//! assert_eq!(boost.display(UnitSystem::Si, 1), "287.8 kPa abs");
//! # Ok::<(), ringfence::quantity::QuantityError>(())
//! ```
//!
//! A text that does not say what it means is refused with the repair:
//!
//! ```
//! use ringfence::quantity::Pressure;
//! let error = "30 psi".parse::<Pressure>().unwrap_err();
//! assert_eq!(error.hint(), r#"write "30 psi abs" or "30 psi gauge""#);
//! ```
mod convert;
mod define;
mod error;
mod gain;
mod mechanics;
mod parse;
mod pressure;
mod temperature;
pub(crate) mod text;
mod unit;
mod units;

pub use convert::steps;
pub use error::{QuantityError, Reading};
pub use gain::*;
pub use mechanics::*;
use pressure::PressureKind;
pub use pressure::{AbsolutePressure, GaugePressure, Pressure, PressureDifference};
pub use temperature::{Temperature, TemperatureRise};
pub use unit::{Kind, Parts, Quantity, Reference, Shown, Unit, UnitSystem};

/// Every kind of quantity, for the reference of the scenario file and to tell
/// what a foreign unit measures. Kinds that lend their name to a dimension come
/// before those that borrow it.
pub fn kinds() -> [&'static Kind; 37] {
    [
        Pressure::kind(),
        AbsolutePressure::kind(),
        GaugePressure::kind(),
        PressureDifference::kind(),
        Temperature::kind(),
        TemperatureRise::kind(),
        MassFlow::kind(),
        Mass::kind(),
        FuelQuantity::kind(),
        RotationalSpeed::kind(),
        RotationalAcceleration::kind(),
        Speed::kind(),
        Power::kind(),
        Torque::kind(),
        Length::kind(),
        Area::kind(),
        Volume::kind(),
        VolumeFlow::kind(),
        Duration::kind(),
        Angle::kind(),
        Fraction::kind(),
        Voltage::kind(),
        Inertia::kind(),
        Energy::kind(),
        SpecificEnergy::kind(),
        SpecificHeat::kind(),
        SpecificFuel::kind(),
        HeatConductance::kind(),
        HeatCapacity::kind(),
        PressureRate::kind(),
        VaneRate::kind(),
        VanePerPressure::kind(),
        VaneIntegral::kind(),
        VaneDerivative::kind(),
        VanePerSpeed::kind(),
        PressurePerSpeed::kind(),
        PressurePerSpeedSquared::kind(),
    ]
}
