//! The plan that a scenario asks for.
use super::follows::follows_command;
use super::plan::{CeilingPlan, ShiftTransient, Transients};
use crate::gas::Ambient;
use crate::scenario::Scenario;
use crate::scenario::build::{BuildFailure, Setup, ambient_at, ambient_on_day};

impl CeilingPlan {
    /// The study of a scenario: at its own lists of altitudes and temperatures, or
    /// in the ambient of its run where it has none.
    ///
    /// # Errors
    /// A controller that does not follow the command of its settings, and ambients
    /// outside the standard atmosphere.
    pub fn of(scenario: &Scenario, setup: &Setup) -> Result<Self, BuildFailure> {
        let c = &scenario.ceiling;
        let speed = c.engine_speeds.first();
        if speed.is_some_and(|speed| !follows_command(&setup.rig, speed.rad_s())) {
            return Err(BuildFailure::DeafController(
                setup.rig.form.name().to_owned(),
            ));
        }
        let ambients = ambients(scenario, setup.rig.plant.ambient)?;
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
            watch_to_the_end: false,
        })
    }
}

/// Altitude by altitude, and at each from the lowest temperature to the highest.
fn ambients(scenario: &Scenario, own: Ambient) -> Result<Vec<Ambient>, BuildFailure> {
    let c = &scenario.ceiling;
    let altitudes_m: Vec<f64> = if c.altitudes.is_empty() {
        own.altitude_m.into_iter().collect()
    } else {
        c.altitudes.iter().map(|h| h.m()).collect()
    };
    if c.temperature_offsets.is_empty() {
        return match c.altitudes.is_empty() {
            true => Ok(vec![own]),
            false => altitudes_m
                .iter()
                .map(|&m| ambient_at(scenario, m))
                .collect(),
        };
    }
    let each = altitudes_m
        .iter()
        .flat_map(|&m| c.temperature_offsets.iter().map(move |t| (m, t.k())));
    each.map(|(m, k)| ambient_on_day(scenario, m, k)).collect()
}
