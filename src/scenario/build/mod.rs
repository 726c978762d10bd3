//! From a checked scenario to what runs: plant, sensors, controller, procedure,
//! limits.
mod controller;
mod elements;
mod expect;
mod faults;
pub(super) mod limits;
mod plant;
mod published;
mod road;
mod sensors;

use super::checked::{FuelDemand, ProcedurePart, Scenario, WheelGeometry};
use crate::control::ChosenForm;
use crate::gas::{Ambient, AtmosphereError};
use crate::judgement::{Bench, Expectations, Limit, Titles};
use crate::map::{CompressorMapData, MapDrawing, TableError};
use crate::plant::compressor::wheel::GeometryProblem;
use crate::procedure::RoadProblem;
use crate::procedure::{FuelAsked, Part, Procedure};
use crate::simulation::{Rig, ValidityBounds};
use std::sync::Arc;

/// Everything that a checked scenario stands for.
#[derive(Debug, Clone)]
pub struct Setup {
    /// What results are called after.
    pub titles: Titles,
    /// Plant, sensors, controller.
    pub rig: Rig,
    /// What the run is asked to do.
    pub procedure: Procedure,
    /// How the run is judged.
    pub bench: Bench,
    /// What is expected of the run, if anything is.
    pub expect: Option<Expectations>,
    /// The compressor map as a picture needs it.
    pub map: MapDrawing,
}

/// Why a checked scenario still cannot be built: its parts do not fit.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BuildFailure {
    /// The ambient is outside the standard atmosphere's range.
    #[error("ambient: {0}")]
    Ambient(#[from] AtmosphereError),
    /// A table is not one.
    #[error("{path}: {error}")]
    Table {
        /// Path of the table in the scenario.
        path: &'static str,
        /// What is wrong.
        error: TableError,
    },
    /// The wheel's sizes do not make a compressor.
    #[error("compressor.form.wheel: {}", words(.0))]
    Wheel(Vec<GeometryProblem>),
    /// A search sets a command that the controller does not take up.
    #[error(
        "controller.form: `{0}` does not follow the boost command of its settings, which a \
         search puts on trial"
    )]
    DeafController(String),
    /// The road is none.
    #[error("procedure: {0}")]
    Road(#[from] RoadProblem),
}

fn words(problems: &[GeometryProblem]) -> String {
    let lines: Vec<String> = problems.iter().map(ToString::to_string).collect();
    lines.join("; ")
}

/// The ambient of a scenario at another altitude \[m\].
pub fn ambient_at(scenario: &Scenario, altitude_m: f64) -> Result<Ambient, BuildFailure> {
    plant::ambient(scenario, Some(altitude_m))
}

/// The ambient of a scenario at another altitude \[m\] on a day warmer than the
/// standard atmosphere by an offset \[K\].
pub fn ambient_on_day(
    scenario: &Scenario,
    altitude_m: f64,
    temperature_offset_k: f64,
) -> Result<Ambient, BuildFailure> {
    let humidity = scenario.ambient.relative_humidity.fraction();
    Ok(Ambient::at_altitude(
        altitude_m,
        temperature_offset_k,
        humidity,
    )?)
}

/// Speed lines drafted from the sizes of a wheel, marked as an estimate that
/// names method and sizes.
pub fn draft(wheel: &WheelGeometry) -> Result<CompressorMapData, BuildFailure> {
    plant::draft(wheel)
}

impl Setup {
    /// Builds everything.
    pub fn new(scenario: &Scenario) -> Result<Self, BuildFailure> {
        let procedure = procedure(scenario)?;
        let ambient = plant::ambient(scenario, road::first_altitude_m(scenario, &procedure)?)?;
        let (plant, map) = plant::plant(scenario, ambient)?;
        let sensors = sensors::sensors(scenario);
        let controller = controller::controller(scenario, &plant, &sensors)?;
        let rig = Rig {
            validity: ValidityBounds::of(&plant),
            plant,
            sensors,
            controller,
            form: scenario
                .controller
                .as_ref()
                .map_or_else(ChosenForm::built_in, |c| c.form.clone()),
            open_loop: scenario.open_loop.as_ref().map(controller::open_loop),
            tolerance: scenario.solver.tolerance,
            faults: faults::faults(scenario),
        };
        let bench = limits::bench(&rig, limits::limits(scenario));
        Ok(Self {
            titles: Titles {
                scenario: title(scenario, &rig),
                data: limits::data_words(&scenario.about.data).to_string(),
                procedure: procedure.name().to_string(),
            },
            rig,
            procedure,
            bench,
            expect: scenario.expect.as_ref().map(expect::expectations),
            map,
        })
    }

    /// The limits.
    pub fn limits(&self) -> &[Limit] {
        &self.bench.limits
    }
}

/// How long the procedure of a scenario takes at most \[s\]; none where it cannot be
/// built.
pub(super) fn duration_s(scenario: &Scenario) -> Option<f64> {
    Some(procedure(scenario).ok()?.duration_s())
}

/// The scenario's own; with the controller where that is not the built-in one, so that
/// no result is taken for one of it.
fn title(scenario: &Scenario, rig: &Rig) -> String {
    let title = &scenario.about.title;
    if rig.form.is_built_in() {
        return title.clone();
    }
    format!("{title} (controller `{}`)", rig.form.name())
}

fn procedure(scenario: &Scenario) -> Result<Procedure, BuildFailure> {
    let parts: Vec<Part> = scenario
        .procedure
        .iter()
        .map(|part| {
            Ok(match part {
                ProcedurePart::Hold(h) => Part::Hold {
                    speed_rad_s: h.engine_speed.rad_s(),
                    fuel: fuel(h.fuel),
                    duration_s: h.duration.s(),
                },
                ProcedurePart::Pull(p) => Part::Pull {
                    from_rad_s: p.from.rad_s(),
                    to_rad_s: p.to.rad_s(),
                    duration_s: p.duration.s(),
                    settle_s: p.settle.s(),
                },
                ProcedurePart::Climb(climb) => Part::Climb(Arc::new(road::climb(scenario, climb)?)),
                ProcedurePart::Playback(recording) => Part::Playback(recording.clone()),
                ProcedurePart::LoadStep(l) => Part::LoadStep {
                    speed_rad_s: l.engine_speed.rad_s(),
                    fuel_from: fuel(l.fuel_from),
                    fuel_to: fuel(l.fuel_to),
                    at_s: l.at.s(),
                    duration_s: l.duration.s(),
                },
                ProcedurePart::Shift(x) => Part::Shift {
                    from_rad_s: x.from.rad_s(),
                    at_rad_s: x.at.rad_s(),
                    to_rad_s: x.to.rad_s(),
                    pull_s: x.pull.s(),
                    cut_s: x.cut.s(),
                    resume_s: x.resume.s(),
                    settle_s: x.settle.s(),
                },
                ProcedurePart::Step(x) => published::step(x),
            })
        })
        .collect::<Result<_, BuildFailure>>()?;
    Ok(Procedure::new(&parts).on_day(road::temperature_offset_k(scenario)))
}

pub(super) fn fuel(demand: FuelDemand) -> FuelAsked {
    match demand {
        FuelDemand::Full => FuelAsked::Full,
        FuelDemand::Quantity(q) => FuelAsked::Quantity(q.kg()),
    }
}
