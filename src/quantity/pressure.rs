//! Absolute pressure, gauge pressure and pressure difference: three types, so
//! that none is taken for another.
use super::define::{additive, as_text, quantity};
use super::error::QuantityError;
use super::parse;
use super::unit::{Kind, Quantity, Reference, Unit, UnitSystem, labelled};
use super::units::*;
use std::ops::{Add, Div, Mul, Sub};

const UNITS: &[Unit] = &[
    PA, HPA, KPA, MPA, BAR, MBAR, PSI, IN_HG, IN_HG_32F, IN_HG_60F, MM_HG, IN_H2O, ATM, AT,
];

/// What is common to the kinds of pressure.
pub(super) struct PressureKind;

impl PressureKind {
    pub(super) const DIMENSION: &'static str = "pressure";
    /// Either absolute or gauge, as the text says.
    pub(super) const ANY: &'static Kind = &Kind {
        name: "pressure",
        reference: Reference::Either,
        examples: &["350 kPa abs", "2.2 bar gauge", "30 psi gauge"],
        ..ABSOLUTE
    };
}

const ABSOLUTE: Kind = Kind {
    name: "absolute pressure",
    dimension: PressureKind::DIMENSION,
    units: UNITS,
    reference: Reference::Absolute,
    minimum_si: Some(0.0),
    text: labelled(KPA, "kPa abs"),
    si: labelled(KPA, "kPa abs"),
    us: labelled(PSI, "psi abs"),
    examples: &["350 kPa abs", "3.5 bar abs", "50.8 psi abs"],
};

const GAUGE: Kind = Kind {
    name: "gauge pressure",
    reference: Reference::Gauge,
    minimum_si: None,
    text: labelled(KPA, "kPa gauge"),
    si: labelled(KPA, "kPa gauge"),
    us: labelled(PSI, "psi gauge"),
    examples: &["220 kPa gauge", "2.2 bar gauge", "30 psi gauge"],
    ..ABSOLUTE
};

quantity! {
    /// A pressure counted from vacuum.
    ///
    /// The difference of two is a [`PressureDifference`]; a difference may be
    /// added. Their quotient is a pressure ratio.
    ///
    /// ```
    /// use ringfence::quantity::{AbsolutePressure, PressureDifference};
    /// let boost = AbsolutePressure::from_kpa(350.0);
    /// let ambient = AbsolutePressure::from_kpa(100.0);
    /// let rise: PressureDifference = boost - ambient;
    /// let back: AbsolutePressure = ambient + rise;
    /// assert_eq!(back, boost);
    /// assert_eq!(boost / ambient, 3.5);
    /// ```
    ///
    /// Two absolute pressures have no sum:
    ///
    /// ```compile_fail,E0308
    /// use ringfence::quantity::AbsolutePressure;
    /// let boost = AbsolutePressure::from_kpa(350.0);
    /// let ambient = AbsolutePressure::from_kpa(100.0);
    /// let sum = boost + ambient;
    /// ```
    ///
    /// A function that wants a difference takes a difference:
    ///
    /// ```
    /// use ringfence::quantity::{AbsolutePressure, PressureDifference};
    /// fn outlet(inlet: AbsolutePressure, loss: PressureDifference) -> AbsolutePressure {
    ///     inlet - loss
    /// }
    /// let inlet = AbsolutePressure::from_kpa(350.0);
    /// assert_eq!(outlet(inlet, PressureDifference::from_kpa(12.0)).kpa(), 338.0);
    /// ```
    ///
    /// … and no absolute pressure, nor the other way round:
    ///
    /// ```compile_fail,E0308
    /// use ringfence::quantity::{AbsolutePressure, PressureDifference};
    /// fn outlet(inlet: AbsolutePressure, loss: PressureDifference) -> AbsolutePressure {
    ///     inlet - loss
    /// }
    /// let inlet = PressureDifference::from_kpa(350.0);
    /// outlet(inlet, PressureDifference::from_kpa(12.0));
    /// ```
    AbsolutePressure: ABSOLUTE;
    from_pa, pa = PA;
    from_kpa, kpa = KPA;
    from_bar, bar = BAR;
    from_psi, psi = PSI;
}

quantity! {
    /// A pressure counted from the ambient pressure at its place and moment.
    ///
    /// ```
    /// use ringfence::quantity::{AbsolutePressure, GaugePressure};
    /// fn density_ratio(pressure: AbsolutePressure) -> f64 {
    ///     pressure / AbsolutePressure::from_kpa(101.325)
    /// }
    /// let ambient = AbsolutePressure::from_kpa(81.0);
    /// let boost = GaugePressure::from_kpa(219.0).to_absolute(ambient);
    /// assert_eq!(boost, AbsolutePressure::from_kpa(300.0));
    /// assert!(boost > ambient);
    /// assert!(density_ratio(boost) > 2.9);
    /// ```
    ///
    /// It is no absolute pressure until the ambient is named:
    ///
    /// ```compile_fail,E0308
    /// use ringfence::quantity::{AbsolutePressure, GaugePressure};
    /// fn density_ratio(pressure: AbsolutePressure) -> f64 {
    ///     pressure / AbsolutePressure::from_kpa(101.325)
    /// }
    /// density_ratio(GaugePressure::from_kpa(219.0));
    /// ```
    ///
    /// … and is not compared with one:
    ///
    /// ```compile_fail,E0308
    /// use ringfence::quantity::{AbsolutePressure, GaugePressure};
    /// let ambient = AbsolutePressure::from_kpa(81.0);
    /// let higher = GaugePressure::from_kpa(219.0) > ambient;
    /// ```
    GaugePressure: GAUGE;
    from_pa, pa = PA;
    from_kpa, kpa = KPA;
    from_bar, bar = BAR;
    from_psi, psi = PSI;
}

quantity! {
    /// A difference of two pressures: a loss, a margin, an error.
    PressureDifference: Kind::new("pressure difference", UNITS, KPA, PSI, &["4 kPa", "0.6 psi"])
        .of_dimension(PressureKind::DIMENSION);
    from_pa, pa = PA;
    from_kpa, kpa = KPA;
    from_bar, bar = BAR;
    from_psi, psi = PSI;
}

additive!(PressureDifference);

impl AbsolutePressure {
    /// What it is above `ambient`.
    pub fn to_gauge(self, ambient: AbsolutePressure) -> GaugePressure {
        GaugePressure(self.0 - ambient.0)
    }
}

impl GaugePressure {
    /// Counted from vacuum, the ambient being known.
    pub fn to_absolute(self, ambient: AbsolutePressure) -> AbsolutePressure {
        AbsolutePressure(self.0 + ambient.0)
    }
}

impl Sub for AbsolutePressure {
    type Output = PressureDifference;
    fn sub(self, other: Self) -> PressureDifference {
        PressureDifference(self.0 - other.0)
    }
}

/// The pressure ratio.
impl Div for AbsolutePressure {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

/// Times a pressure ratio.
impl Mul<f64> for AbsolutePressure {
    type Output = Self;
    fn mul(self, ratio: f64) -> Self {
        Self(self.0 * ratio)
    }
}

/// By a pressure ratio.
impl Div<f64> for AbsolutePressure {
    type Output = Self;
    fn div(self, ratio: f64) -> Self {
        Self(self.0 / ratio)
    }
}

impl Sub for GaugePressure {
    type Output = PressureDifference;
    fn sub(self, other: Self) -> PressureDifference {
        PressureDifference(self.0 - other.0)
    }
}

/// Shifting by a difference, which keeps the reference.
macro_rules! shifted {
    ($($name:ident),+) => {$(
        impl Add<PressureDifference> for $name {
            type Output = Self;
            fn add(self, difference: PressureDifference) -> Self {
                Self(self.0 + difference.0)
            }
        }

        impl Sub<PressureDifference> for $name {
            type Output = Self;
            fn sub(self, difference: PressureDifference) -> Self {
                Self(self.0 - difference.0)
            }
        }
    )+};
}

shifted!(AbsolutePressure, GaugePressure);

/// A pressure that says itself whether it is absolute or gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pressure {
    /// Counted from vacuum.
    Absolute(AbsolutePressure),
    /// Counted from ambient.
    Gauge(GaugePressure),
}

impl Pressure {
    /// Counted from vacuum, the ambient being known.
    pub fn to_absolute(self, ambient: AbsolutePressure) -> AbsolutePressure {
        match self {
            Self::Absolute(pressure) => pressure,
            Self::Gauge(pressure) => pressure.to_absolute(ambient),
        }
    }

    /// Number and unit label for presentation, with the reference it has.
    pub fn present(self, system: UnitSystem) -> (f64, &'static str) {
        match self {
            Self::Absolute(pressure) => pressure.present(system),
            Self::Gauge(pressure) => pressure.present(system),
        }
    }

    /// Text for presentation, with a fixed count of decimals.
    pub fn display(self, system: UnitSystem, decimals: usize) -> String {
        Quantity::display(self, system, decimals)
    }
}

impl From<AbsolutePressure> for Pressure {
    fn from(pressure: AbsolutePressure) -> Self {
        Self::Absolute(pressure)
    }
}

impl From<GaugePressure> for Pressure {
    fn from(pressure: GaugePressure) -> Self {
        Self::Gauge(pressure)
    }
}

impl Quantity for Pressure {
    fn kind() -> &'static Kind {
        PressureKind::ANY
    }

    fn present(self, system: UnitSystem) -> (f64, &'static str) {
        Pressure::present(self, system)
    }
}

impl std::str::FromStr for Pressure {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let read = parse::read(PressureKind::ANY, text)?;
        Ok(if read.gauge {
            Self::Gauge(GaugePressure(read.si))
        } else {
            Self::Absolute(AbsolutePressure(read.si))
        })
    }
}

impl std::fmt::Display for Pressure {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Absolute(pressure) => pressure.fmt(formatter),
            Self::Gauge(pressure) => pressure.fmt(formatter),
        }
    }
}

as_text!(Pressure);
