//! The sections of a scenario file, as they are written: one struct each, one
//! documented field for each key. Nothing here has been checked against
//! anything else; that is what [`super::Scenario`] stands for.

mod air;
mod baseline;
mod controller;
mod elements;
mod engine;
mod expect;
mod faults;
mod names;
mod procedure;
mod production;
mod protections;
mod published;
mod road;
mod root;
mod sensors;
mod special;
mod step;
mod turbo;

pub use air::*;
pub use baseline::*;
pub use controller::*;
pub use elements::*;
pub use engine::*;
pub use expect::*;
pub use faults::*;
pub use names::*;
pub use procedure::*;
pub use production::*;
pub use protections::*;
pub use published::*;
pub use road::*;
pub use root::*;
pub use sensors::*;
pub use special::*;
pub use step::*;
pub use turbo::*;

#[cfg(test)]
mod tests {
    use super::*;

    /// What the reference shows as default or example must be accepted as written.
    #[test]
    fn every_documented_default_and_example_can_be_read() {
        let bad: Vec<String> = [
            Ambient::unreadable_notes(),
            Intake::unreadable_notes(),
            PipeLoss::unreadable_notes(),
            Cooler::unreadable_notes(),
            CoolerEffectiveness::unreadable_notes(),
            Exhaust::unreadable_notes(),
            Controller::unreadable_notes(),
            Command::unreadable_notes(),
            FeedForward::unreadable_notes(),
            Feedback::unreadable_notes(),
            GainSchedule::unreadable_notes(),
            VaneStops::unreadable_notes(),
            OpenLoop::unreadable_notes(),
            Engine::unreadable_notes(),
            VolumetricEfficiencyTable::unreadable_notes(),
            LimitedPressure::unreadable_notes(),
            Friction::unreadable_notes(),
            Fuel::unreadable_notes(),
            FullLoad::unreadable_notes(),
            Timing::unreadable_notes(),
            ConstantGases::unreadable_notes(),
            ConstantGas::unreadable_notes(),
            VolumetricEfficiencyFormula::unreadable_notes(),
            EfficiencyCurve::unreadable_notes(),
            HeadAndFlow::unreadable_notes(),
            AreaAndSpeed::unreadable_notes(),
            Wastegate::unreadable_notes(),
            RootFlow::unreadable_notes(),
            InputStep::unreadable_notes(),
            StepInputs::unreadable_notes(),
            Hold::unreadable_notes(),
            Pull::unreadable_notes(),
            LoadStep::unreadable_notes(),
            Shift::unreadable_notes(),
            Climb::unreadable_notes(),
            Road::unreadable_notes(),
            Vehicle::unreadable_notes(),
            ClimbStart::unreadable_notes(),
            GearChange::unreadable_notes(),
            CeilingAlong::unreadable_notes(),
            Playback::unreadable_notes(),
            Limits::unreadable_notes(),
            CeilingSearch::unreadable_notes(),
            Transients::unreadable_notes(),
            CeilingPull::unreadable_notes(),
            CeilingLoadStep::unreadable_notes(),
            Protections::unreadable_notes(),
            OverBoost::unreadable_notes(),
            CommandClamp::unreadable_notes(),
            PinnedSensor::unreadable_notes(),
            FrozenSensor::unreadable_notes(),
            DrivePressureLimiter::unreadable_notes(),
            ShaftSpeedLimiter::unreadable_notes(),
            ScenarioFile::unreadable_notes(),
            About::unreadable_notes(),
            Solver::unreadable_notes(),
            Sensors::unreadable_notes(),
            BoostSensor::unreadable_notes(),
            SensorError::unreadable_notes(),
            Line::unreadable_notes(),
            LinePoint::unreadable_notes(),
            Clamp::unreadable_notes(),
            DrivePressureSensor::unreadable_notes(),
            ShaftSpeedSensor::unreadable_notes(),
            Compressor::unreadable_notes(),
            WheelGeometry::unreadable_notes(),
            Turbine::unreadable_notes(),
            TwoThroats::unreadable_notes(),
            MeasuredTurbine::unreadable_notes(),
            Pulsation::unreadable_notes(),
            Shaft::unreadable_notes(),
            Vanes::unreadable_notes(),
            Recirculation::unreadable_notes(),
            RecirculationValve::unreadable_notes(),
            RecirculationOpening::unreadable_notes(),
            RecirculationCooler::unreadable_notes(),
            HeatSoak::unreadable_notes(),
            Expect::unreadable_notes(),
            ExpectCheck::unreadable_notes(),
            PeakCheck::unreadable_notes(),
            ValueCheck::unreadable_notes(),
            NeverCheck::unreadable_notes(),
            SettlesCheck::unreadable_notes(),
            OvershootCheck::unreadable_notes(),
            UndershootCheck::unreadable_notes(),
            LimitCheck::unreadable_notes(),
            ActsCheck::unreadable_notes(),
            SilentCheck::unreadable_notes(),
            OrderCheck::unreadable_notes(),
            FurtherVolume::unreadable_notes(),
        ]
        .concat();
        assert!(bad.is_empty(), "{}", bad.join("\n"));
    }
}
