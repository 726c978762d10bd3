//! The limits: what is measured, in which unit, from which natural zero.
//!
//! Adding a limit touches this file only: a variant, its facts and how it is
//! read from a sample.
use crate::simulation::Sample;

/// What can be limited.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LimitKind {
    /// Turbocharger shaft speed \[rpm\].
    ShaftSpeed,
    /// Tip speed of the faster wheel \[m/s\].
    TipSpeed,
    /// Pressure ahead of the turbine \[kPa abs\].
    DrivePressure,
    /// Drive pressure over boost, both gauge, where boost is above 50 kPa gauge \[-\].
    DriveToBoost,
    /// Gas temperature ahead of the turbine \[K\].
    TurbineInlet,
    /// Temperature at the compressor outlet \[K\].
    CompressorOutlet,
    /// Peak cylinder pressure \[kPa abs\].
    CylinderPressure,
    /// Lowest air to fuel ratio over the stoichiometric one \[-\].
    Lambda,
    /// Lowest distance to the surge line \[%\].
    SurgeMargin,
    /// Lowest distance to choke \[%\].
    ChokeMargin,
    /// Longest time for which the boost reading may stand at its clamp \[s\].
    PinnedTime,
}

/// Boost above which the ratio of drive pressure to boost means something
/// \[kPa gauge\].
pub const RATIO_ABOVE_KPA_GAUGE: f64 = 50.0;

/// Where a limit counts from when its headroom is put in per cent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum NaturalZero {
    Zero,
    AmbientPressure,
    AmbientTemperature,
}

impl LimitKind {
    /// All kinds in the order of the results.
    pub const ALL: [Self; 11] = [
        Self::ShaftSpeed,
        Self::TipSpeed,
        Self::DrivePressure,
        Self::DriveToBoost,
        Self::TurbineInlet,
        Self::CompressorOutlet,
        Self::CylinderPressure,
        Self::Lambda,
        Self::SurgeMargin,
        Self::ChokeMargin,
        Self::PinnedTime,
    ];

    /// Name in scenarios and results.
    pub fn name(self) -> &'static str {
        match self {
            Self::ShaftSpeed => "shaft_speed",
            Self::TipSpeed => "tip_speed",
            Self::DrivePressure => "drive_pressure",
            Self::DriveToBoost => "drive_to_boost",
            Self::TurbineInlet => "turbine_inlet",
            Self::CompressorOutlet => "compressor_outlet",
            Self::CylinderPressure => "cylinder_pressure",
            Self::Lambda => "lambda",
            Self::SurgeMargin => "surge_margin",
            Self::ChokeMargin => "choke_margin",
            Self::PinnedTime => "pinned_time",
        }
    }

    /// Unit of the limit and of its headroom.
    pub fn unit(self) -> &'static str {
        match self {
            Self::ShaftSpeed => "rpm",
            Self::TipSpeed => "m/s",
            Self::DrivePressure | Self::CylinderPressure => "kPa",
            Self::DriveToBoost | Self::Lambda => "-",
            Self::TurbineInlet | Self::CompressorOutlet => "K",
            Self::SurgeMargin | Self::ChokeMargin => "%",
            Self::PinnedTime => "s",
        }
    }

    /// Whether less than the limit is what breaks it.
    pub fn is_lower(self) -> bool {
        matches!(self, Self::Lambda | Self::SurgeMargin | Self::ChokeMargin)
    }

    /// Two limits on one wheel count once where the next limit is sought.
    pub fn is_twin_of(self, other: Self) -> bool {
        let wheel = |k| matches!(k, Self::ShaftSpeed | Self::TipSpeed);
        self == other || (wheel(self) && wheel(other))
    }

    fn natural_zero(self) -> NaturalZero {
        match self {
            Self::DrivePressure | Self::CylinderPressure => NaturalZero::AmbientPressure,
            Self::TurbineInlet | Self::CompressorOutlet => NaturalZero::AmbientTemperature,
            _ => NaturalZero::Zero,
        }
    }

    /// The value in a sample; `None` where the limit does not apply. The
    /// pinned time is not a value of one sample and is given from outside.
    pub fn value(self, s: &Sample, pinned_for_s: f64) -> Option<f64> {
        match self {
            Self::ShaftSpeed => Some(s.shaft_speed_rpm),
            Self::TipSpeed => Some(s.tip_speed_m_s),
            Self::DrivePressure => Some(s.drive_pressure_kpa_abs),
            Self::DriveToBoost => drive_to_boost_gauge(s),
            Self::TurbineInlet => Some(s.turbine_inlet_k),
            Self::CompressorOutlet => Some(s.compressor_outlet_k),
            Self::CylinderPressure => Some(s.cylinder_pressure_kpa_abs),
            Self::Lambda => s.lambda.is_finite().then_some(s.lambda),
            Self::SurgeMargin => Some(s.surge_margin_pct),
            Self::ChokeMargin => Some(s.choke_margin_pct),
            Self::PinnedTime => Some(pinned_for_s),
        }
    }
}

/// Drive pressure over boost, both gauge, where boost is above 50 kPa gauge.
pub fn drive_to_boost_gauge(s: &Sample) -> Option<f64> {
    let boost = s.boost_true_kpa_abs - s.ambient_kpa_abs;
    (boost > RATIO_ABOVE_KPA_GAUGE).then(|| (s.drive_pressure_kpa_abs - s.ambient_kpa_abs) / boost)
}

/// One limit with its bound, in the unit of its kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// What is limited.
    pub kind: LimitKind,
    /// The bound.
    pub bound: f64,
}

impl Limit {
    /// Distance from the bound, positive while held.
    pub fn headroom(&self, value: f64) -> f64 {
        if self.kind.is_lower() {
            value - self.bound
        } else {
            self.bound - value
        }
    }

    /// Headroom over the bound's distance from its natural zero \[%\].
    pub fn headroom_pct(&self, headroom: f64, ambient_kpa_abs: f64, ambient_k: f64) -> f64 {
        let zero = match self.kind.natural_zero() {
            NaturalZero::Zero => 0.0,
            NaturalZero::AmbientPressure => ambient_kpa_abs,
            NaturalZero::AmbientTemperature => ambient_k,
        };
        100.0 * headroom / (self.bound - zero)
    }
}
