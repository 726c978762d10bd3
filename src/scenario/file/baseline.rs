//! The stored course of a run, and how far a later run may be from it.

use crate::judgement::{Channel, Tolerance};
use crate::quantity::*;
use crate::scenario::section::section;

section! {
    /// The stored course of this scenario's run.
    pub struct BaselineEntry {
        /// A CSV file that `ringfence verify FILE --write-baselines` writes. The path is
        /// relative to this file and stays inside the folder of the scenario.
        file: String, eg "baselines/pull.csv";
        /// Time between two rows; left out: 50 ms or more, so that the rows are few.
        spacing: Option<Duration>, eg "100 ms";
        /// How far channels may be from the stored course, where that is not what is
        /// built in.
        tolerance: BaselineTolerances = "{}", eg "{boost_true: {absolute: 1 kPa, relative: 0.5 %, shift: 20 ms}}";
    }
}

section! {
    /// How far channels may be from their stored course: `absolute` in a unit of the
    /// channel, `relative` to the stored value, `shift` earlier or later. The first two
    /// add up. What is left out is as built in. A channel that is named here is stored
    /// even where it is not by itself.
    pub struct BaselineTolerances {
        /// Engine speed.
        engine_speed: Option<SpeedTolerance>, eg "{absolute: 2 rpm}";
        /// Fuel of one injection.
        fuel: Option<FuelTolerance>, eg "{absolute: 0.5 mg}";
        /// The boost command.
        boost_command: Option<PressureTolerance>, eg "{absolute: 1 kPa}";
        /// True boost.
        boost_true: Option<PressureTolerance>, eg "{absolute: 1 kPa, shift: 50 ms}";
        /// Boost as the controller reads it.
        boost_sensed: Option<PressureTolerance>, eg "{absolute: 1 kPa}";
        /// Vane position commanded.
        vane_command: Option<ShareTolerance>, eg "{absolute: 1 %}";
        /// Vane position.
        vane_closed: Option<ShareTolerance>, eg "{absolute: 1 %}";
        /// Integral part of the vane command.
        integrator: Option<ShareTolerance>, eg "{absolute: 1 %}";
        /// Drive pressure.
        drive_pressure: Option<PressureTolerance>, eg "{relative: 1 %}";
        /// Shaft speed.
        shaft_speed: Option<SpeedTolerance>, eg "{absolute: 500 rpm}";
        /// Tip speed of the faster wheel.
        tip_speed: Option<TipSpeedTolerance>, eg "{absolute: 2 m/s}";
        /// Air flow through the compressor.
        compressor_flow: Option<FlowTolerance>, eg "{relative: 1 %}";
        /// Temperature at the compressor outlet.
        compressor_outlet: Option<TemperatureTolerance>, eg "{absolute: 2 K}";
        /// Gas temperature ahead of the turbine.
        turbine_inlet: Option<TemperatureTolerance>, eg "{absolute: 5 K}";
        /// Temperature in the intake volume.
        intake: Option<TemperatureTolerance>, eg "{absolute: 1 K}";
        /// Air to fuel ratio over the stoichiometric one.
        lambda: Option<NumberTolerance>, eg "{absolute: 0.02}";
        /// Peak cylinder pressure.
        cylinder_pressure: Option<PressureTolerance>, eg "{relative: 1 %}";
        /// Torque at the crankshaft.
        torque: Option<TorqueTolerance>, eg "{absolute: 5 N m}";
        /// Power at the crankshaft.
        power: Option<PowerTolerance>, eg "{absolute: 2 kW}";
        /// Distance to the surge line.
        surge_margin: Option<ShareTolerance>, eg "{absolute: 1 %}";
    }
}

/// A tolerance in the unit of a quantity.
macro_rules! tolerance {
    ($(#[doc = $doc:literal])+ $name:ident, $quantity:ty, $example:literal, $in_unit:expr) => {
        section! {
            $(#[doc = $doc])+
            pub struct $name {
                /// How far off a value may be.
                absolute: Option<$quantity>, eg $example;
                /// How far off it may be besides, as a share of the stored value.
                relative: Option<Fraction>, eg "0.5 %";
                /// How much earlier or later it may come.
                shift: Option<Duration>, eg "20 ms";
            }
        }

        impl $name {
            fn over(&self, builtin: Tolerance) -> Tolerance {
                let in_unit: fn($quantity) -> f64 = $in_unit;
                Tolerance {
                    absolute: self.absolute.map_or(builtin.absolute, in_unit),
                    relative: self.relative.map_or(builtin.relative, |share| share.fraction()),
                    shift_s: self.shift.map_or(builtin.shift_s, |shift| shift.s()),
                }
            }
        }
    };
}

tolerance!(
    /// Tolerance of a rotational speed.
    SpeedTolerance, RotationalSpeed, "500 rpm", |speed| speed.rpm()
);
tolerance!(
    /// Tolerance of a fuel quantity.
    FuelTolerance, FuelQuantity, "0.5 mg", |fuel| fuel.mg()
);
tolerance!(
    /// Tolerance of a pressure.
    PressureTolerance, PressureDifference, "1 kPa", |pressure| pressure.kpa()
);
tolerance!(
    /// Tolerance of a channel in per cent, in points of it.
    ShareTolerance, Fraction, "1 %", |share| share.percent()
);
tolerance!(
    /// Tolerance of a tip speed.
    TipSpeedTolerance, Speed, "2 m/s", |speed| speed.m_s()
);
tolerance!(
    /// Tolerance of a mass flow.
    FlowTolerance, MassFlow, "0.002 kg/s", |flow| flow.kg_s()
);
tolerance!(
    /// Tolerance of a temperature.
    TemperatureTolerance, TemperatureRise, "2 K", |rise| rise.k()
);
tolerance!(
    /// Tolerance of a number without a unit.
    NumberTolerance, f64, "0.02", |number| number
);
tolerance!(
    /// Tolerance of a torque.
    TorqueTolerance, Torque, "5 N m", |torque| torque.nm()
);
tolerance!(
    /// Tolerance of a power.
    PowerTolerance, Power, "2 kW", |power| power.kw()
);

impl BaselineTolerances {
    /// What is written for a channel over what is built in; `None` where nothing is
    /// written.
    pub fn written(&self, channel: Channel) -> Option<Tolerance> {
        macro_rules! over {
            ($field:ident) => {
                self.$field.as_ref().map(|t| t.over(Tolerance::of(channel)))
            };
        }
        match channel {
            Channel::EngineSpeed => over!(engine_speed),
            Channel::Fuel => over!(fuel),
            Channel::BoostCommand => over!(boost_command),
            Channel::BoostTrue => over!(boost_true),
            Channel::BoostSensed => over!(boost_sensed),
            Channel::VaneCommand => over!(vane_command),
            Channel::VaneClosed => over!(vane_closed),
            Channel::Integrator => over!(integrator),
            Channel::DrivePressure => over!(drive_pressure),
            Channel::ShaftSpeed => over!(shaft_speed),
            Channel::TipSpeed => over!(tip_speed),
            Channel::CompressorFlow => over!(compressor_flow),
            Channel::CompressorOutlet => over!(compressor_outlet),
            Channel::TurbineInlet => over!(turbine_inlet),
            Channel::Intake => over!(intake),
            Channel::Lambda => over!(lambda),
            Channel::CylinderPressure => over!(cylinder_pressure),
            Channel::Torque => over!(torque),
            Channel::Power => over!(power),
            Channel::SurgeMargin => over!(surge_margin),
        }
    }

    /// How far a channel may be from its baseline.
    pub fn of(&self, channel: Channel) -> Tolerance {
        self.written(channel)
            .unwrap_or_else(|| Tolerance::of(channel))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_documented_default_and_example_can_be_read() {
        let bad = [
            BaselineEntry::unreadable_notes(),
            BaselineTolerances::unreadable_notes(),
            SpeedTolerance::unreadable_notes(),
            FuelTolerance::unreadable_notes(),
            PressureTolerance::unreadable_notes(),
            ShareTolerance::unreadable_notes(),
            TipSpeedTolerance::unreadable_notes(),
            FlowTolerance::unreadable_notes(),
            TemperatureTolerance::unreadable_notes(),
            NumberTolerance::unreadable_notes(),
            TorqueTolerance::unreadable_notes(),
            PowerTolerance::unreadable_notes(),
        ]
        .concat();
        assert!(bad.is_empty(), "{}", bad.join("\n"));
    }
}
