//! The plan that a scenario asks for.
use super::plan::{CeilingPlan, ShiftTransient, Transients};
use crate::scenario::Scenario;
use crate::scenario::build::{BuildFailure, Setup, ambient_at};

impl CeilingPlan {
    /// The study of a scenario: at its own list of altitudes, or in the ambient
    /// of its run where it has none.
    pub fn of(scenario: &Scenario, setup: &Setup) -> Result<Self, BuildFailure> {
        let c = &scenario.ceiling;
        let ambients = if c.altitudes.is_empty() {
            vec![setup.rig.plant.ambient]
        } else {
            c.altitudes
                .iter()
                .map(|h| ambient_at(scenario, h.m()))
                .collect::<Result<_, _>>()?
        };
        let error = &scenario.sensors.boost.error;
        Ok(Self {
            rig: setup.rig.clone(),
            limits: setup.bench.limits.clone(),
            bench: setup.bench.clone(),
            speeds_rad_s: c.engine_speeds.iter().map(|n| n.rad_s()).collect(),
            ambients,
            step_pa: c.step.pa(),
            transients: Transients {
                pull_from_rad_s: c.pull_from.rad_s(),
                pull_s: c.pull_duration.s(),
                load_step_from_kg: c.load_step_fuel_from.kg(),
                load_step_at_s: c.load_step_at.s(),
                shift: c.shift.as_ref().map(|shift| ShiftTransient {
                    ratio: shift.ratio,
                    cut_s: shift.cut.s(),
                    resume_s: shift.resume.s(),
                    highest_rad_s: setup.rig.controller.fuel.full_load.range().1,
                }),
                afterwards_s: c.afterwards.s(),
            },
            sensor_offset_pa: error.offset.pa(),
            sensor_after_clamp_pa: error.after_clamp.pa(),
        })
    }
}
