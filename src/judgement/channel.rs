//! The channels of a trace that expectations and baselines speak of.
use crate::simulation::Sample;

/// One quantity over the time of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs)]
pub enum Channel {
    EngineSpeed,
    Fuel,
    BoostCommand,
    BoostTrue,
    BoostSensed,
    VaneCommand,
    VaneClosed,
    Integrator,
    DrivePressure,
    ShaftSpeed,
    TipSpeed,
    CompressorFlow,
    CompressorOutlet,
    TurbineInlet,
    Intake,
    Lambda,
    CylinderPressure,
    Torque,
    Power,
    SurgeMargin,
}

impl Channel {
    /// All channels in the order of the trace's columns.
    pub const ALL: [Self; 20] = [
        Self::EngineSpeed,
        Self::Fuel,
        Self::BoostCommand,
        Self::BoostTrue,
        Self::BoostSensed,
        Self::VaneCommand,
        Self::VaneClosed,
        Self::Integrator,
        Self::DrivePressure,
        Self::ShaftSpeed,
        Self::TipSpeed,
        Self::CompressorFlow,
        Self::CompressorOutlet,
        Self::TurbineInlet,
        Self::Intake,
        Self::Lambda,
        Self::CylinderPressure,
        Self::Torque,
        Self::Power,
        Self::SurgeMargin,
    ];

    /// Name in scenarios, and name with its unit as in traces and results.
    fn names(self) -> (&'static str, &'static str) {
        match self {
            Self::EngineSpeed => ("engine_speed", "engine_speed_rpm"),
            Self::Fuel => ("fuel", "fuel_mg_per_injection"),
            Self::BoostCommand => ("boost_command", "boost_command_kpa_abs"),
            Self::BoostTrue => ("boost_true", "boost_true_kpa_abs"),
            Self::BoostSensed => ("boost_sensed", "boost_sensed_kpa_abs"),
            Self::VaneCommand => ("vane_command", "vane_command_pct"),
            Self::VaneClosed => ("vane_closed", "vane_closed_pct"),
            Self::Integrator => ("integrator", "integrator_pct"),
            Self::DrivePressure => ("drive_pressure", "drive_pressure_kpa_abs"),
            Self::ShaftSpeed => ("shaft_speed", "shaft_speed_rpm"),
            Self::TipSpeed => ("tip_speed", "tip_speed_m_s"),
            Self::CompressorFlow => ("compressor_flow", "compressor_flow_kg_s"),
            Self::CompressorOutlet => ("compressor_outlet", "compressor_outlet_k"),
            Self::TurbineInlet => ("turbine_inlet", "turbine_inlet_k"),
            Self::Intake => ("intake", "intake_k"),
            Self::Lambda => ("lambda", "lambda"),
            Self::CylinderPressure => ("cylinder_pressure", "cylinder_pressure_kpa_abs"),
            Self::Torque => ("torque", "torque_nm"),
            Self::Power => ("power", "power_kw"),
            Self::SurgeMargin => ("surge_margin", "surge_margin_pct"),
        }
    }

    /// Name in scenarios.
    pub fn name(self) -> &'static str {
        self.names().0
    }

    /// Name with its unit, as the columns of traces have it.
    pub fn column(self) -> &'static str {
        self.names().1
    }

    /// The channel of a name in scenarios.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|channel| channel.name() == name)
    }

    /// Unit of the values, as the limits name theirs.
    pub fn unit(self) -> &'static str {
        match self {
            Self::EngineSpeed | Self::ShaftSpeed => "rpm",
            Self::Fuel => "mg",
            Self::BoostCommand
            | Self::BoostTrue
            | Self::BoostSensed
            | Self::DrivePressure
            | Self::CylinderPressure => "kPa",
            Self::VaneCommand | Self::VaneClosed | Self::Integrator | Self::SurgeMargin => "%",
            Self::TipSpeed => "m/s",
            Self::CompressorFlow => "kg/s",
            Self::CompressorOutlet | Self::TurbineInlet | Self::Intake => "K",
            Self::Lambda => "-",
            Self::Torque => "N m",
            Self::Power => "kW",
        }
    }

    /// The value in a sample; `None` where there is none: no command in open loop,
    /// no lambda without fuel.
    pub fn value(self, s: &Sample) -> Option<f64> {
        let value = match self {
            Self::EngineSpeed => s.engine_speed_rpm,
            Self::Fuel => s.fuel_mg_per_injection,
            Self::BoostCommand => s.boost_command_kpa_abs?,
            Self::BoostTrue => s.boost_true_kpa_abs,
            Self::BoostSensed => s.boost_sensed_kpa_abs,
            Self::VaneCommand => s.vane_command_pct,
            Self::VaneClosed => s.vane_closed_pct,
            Self::Integrator => s.integrator_pct,
            Self::DrivePressure => s.drive_pressure_kpa_abs,
            Self::ShaftSpeed => s.shaft_speed_rpm,
            Self::TipSpeed => s.tip_speed_m_s,
            Self::CompressorFlow => s.compressor_flow_kg_s,
            Self::CompressorOutlet => s.compressor_outlet_k,
            Self::TurbineInlet => s.turbine_inlet_k,
            Self::Intake => s.intake_k,
            Self::Lambda => s.lambda,
            Self::CylinderPressure => s.cylinder_pressure_kpa_abs,
            Self::Torque => s.torque_nm,
            Self::Power => s.power_kw,
            Self::SurgeMargin => s.surge_margin_pct,
        };
        value.is_finite().then_some(value)
    }
}

#[cfg(test)]
mod tests {
    use super::Channel;

    #[test]
    fn every_channel_is_found_by_its_own_name_and_no_other() {
        for channel in Channel::ALL {
            assert_eq!(Channel::named(channel.name()), Some(channel));
        }
    }
}
