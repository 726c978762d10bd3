//! From the file as written to the scenario as meant: alternatives chosen,
//! defaults that depend on other fields filled in.

use super::check::Tables;
use super::checked::*;
use super::file::{self, ScenarioFile};
use crate::control::ControllerForms;
use crate::map::{CompressorMapData, TurbineMapData};
use crate::procedure::Recording;
use crate::quantity::*;
use std::sync::Arc;

impl Scenario {
    /// From a file that passed every check. `None` where a part is missing after
    /// all, which the checks should have reported.
    pub(super) fn new(
        file: ScenarioFile,
        mut tables: Tables,
        forms: &ControllerForms,
    ) -> Option<Self> {
        let mut recordings = std::mem::take(&mut tables.recordings);
        let ceiling = ceiling(file.ceiling, &file.fuel.full_load)?;
        let Tables {
            speed_lines, vanes, ..
        } = tables;
        Some(Self {
            about: file.about,
            ambient: ambient(file.ambient)?,
            gas: file.gas,
            engine: file.engine,
            fuel: file.fuel,
            intake: intake(file.intake)?,
            exhaust: file.exhaust,
            compressor: compressor(file.compressor, speed_lines)?,
            turbine: turbine(file.turbine, vanes)?,
            shaft: file.shaft,
            vanes: file.vanes,
            recirculation: file.recirculation,
            volumes: file.volumes,
            sensors: sensors(file.sensors)?,
            controller: match file.controller {
                Some(written) => Some(controller(written, forms)?),
                None => None,
            },
            open_loop: file.open_loop,
            procedure: file
                .procedure
                .into_iter()
                .enumerate()
                .map(|(index, written)| part(written, recordings.remove(&index)))
                .collect::<Option<_>>()?,
            faults: file.faults,
            limits: file.limits,
            ceiling,
            uncertainty: file.uncertainty.0,
            production: file.production.0,
            expect: file.expect,
            solver: file.solver,
        })
    }
}

fn ambient(written: file::Ambient) -> Option<Ambient> {
    let source = match (written.altitude, written.pressure, written.temperature) {
        (Some(altitude), _, _) => AmbientSource::Altitude {
            altitude,
            temperature_offset: written
                .temperature_offset
                .unwrap_or(TemperatureRise::from_k(0.0)),
        },
        (None, Some(pressure), Some(temperature)) => AmbientSource::Given {
            pressure,
            temperature,
        },
        _ => return None,
    };
    Some(Ambient {
        source,
        relative_humidity: written.relative_humidity,
    })
}

fn intake(written: file::Intake) -> Option<Intake> {
    let cooler = written.cooler;
    let coolant = match (cooler.coolant, cooler.coolant_above_ambient) {
        (Some(coolant), _) => Coolant::Fixed(coolant),
        (None, Some(rise)) => Coolant::AboveAmbient(rise),
        (None, None) => return None,
    };
    Some(Intake {
        volume: written.volume,
        wall_loss: written.wall_loss,
        thermal: written.thermal,
        duct: written.duct,
        filter: written.filter,
        cooler: Cooler {
            effectiveness: cooler.effectiveness,
            loss: PipeLoss {
                loss: cooler.loss,
                at_flow: cooler.at_flow,
            },
            coolant,
            heat_soak: cooler.heat_soak,
        },
    })
}

fn turbine(written: file::Turbine, vanes: Option<TurbineMapData>) -> Option<Turbine> {
    Some(Turbine {
        form: match written.form {
            file::TurbineForm::TwoThroats(throats) => TurbineForm::TwoThroats(throats),
            file::TurbineForm::AreaAndSpeed(sizes) => TurbineForm::AreaAndSpeed(sizes),
            file::TurbineForm::Measured(_) => TurbineForm::Measured(Box::new(vanes?)),
        },
        wheel_diameter: written.wheel_diameter,
        pulsation: written.pulsation,
        wastegate: written.wastegate,
    })
}

fn compressor(
    written: file::Compressor,
    speed_lines: Option<CompressorMapData>,
) -> Option<Compressor> {
    let (form, own_diameter) = match written.form {
        file::CompressorForm::SpeedLines(_) => {
            (CompressorForm::SpeedLines(Box::new(speed_lines?)), None)
        }
        file::CompressorForm::Wheel(wheel) => {
            let diameter = wheel.tip_diameter;
            (CompressorForm::Wheel(wheel), Some(diameter))
        }
        file::CompressorForm::HeadAndFlow(form) => {
            let diameter = Length::from_m(2.0 * form.radius.m());
            let own = written.wheel_diameter.is_none().then_some(diameter);
            (CompressorForm::HeadAndFlow(form), own)
        }
    };
    Some(Compressor {
        form,
        wheel_diameter: own_diameter.or(written.wheel_diameter)?,
    })
}

fn sensors(written: file::Sensors) -> Option<Sensors> {
    let boost = written.boost;
    let tapping = match boost.pressure {
        Tapping::Static => BoostTapping::Static,
        Tapping::Total => BoostTapping::Total(boost.pipe_area?),
    };
    Some(Sensors {
        boost: BoostSensor {
            place: boost.place,
            tapping,
            time_constant: boost.time_constant,
            supply: boost.supply,
            ecu_line: boost.ecu_line.unwrap_or_else(|| boost.line.clone()),
            line: boost.line,
            clamp: boost.clamp,
            converter_bits: boost.converter_bits,
            gain_error: boost.gain_error,
            offset: boost.offset,
            offset_after_clamp: boost.offset_after_clamp,
            drift: boost.drift,
            noise: boost.noise,
            noise_seed: boost.noise_seed,
            error: boost.error,
        },
        drive_pressure: written.drive_pressure,
        shaft_speed: written.shaft_speed,
    })
}

fn controller(written: file::Controller, forms: &ControllerForms) -> Option<Controller> {
    let command = written.command;
    let barometric = match command.barometric_reference {
        Some(reference) if command.barometric_correction != 0.0 => Some(Barometric {
            correction: command.barometric_correction,
            reference,
        }),
        _ => None,
    };
    Some(Controller {
        period: written.period,
        command: Command {
            engine_speed: command.engine_speed,
            fuel: command.fuel,
            boost: command_table(command.boost)?,
            full_load: command.full_load,
            rate_limit: command.rate_limit,
            barometric,
            full_load_shift: command.full_load_shift,
        },
        feed_forward: written.feed_forward,
        feedback: written.feedback,
        vane_stops: written.vane_stops,
        smoke_limit: written.smoke_limit,
        protections: written.protections,
        form: forms.of(&written.form)?.with(&written.own.0)?,
    })
}

fn command_table(rows: Vec<Vec<Pressure>>) -> Option<CommandTable> {
    let gauge = matches!(rows.first()?.first()?, Pressure::Gauge(_));
    if gauge {
        rows_of(rows, |value| match value {
            Pressure::Gauge(value) => Some(value),
            Pressure::Absolute(_) => None,
        })
        .map(CommandTable::Gauge)
    } else {
        rows_of(rows, |value| match value {
            Pressure::Absolute(value) => Some(value),
            Pressure::Gauge(_) => None,
        })
        .map(CommandTable::Absolute)
    }
}

fn rows_of<T>(
    rows: Vec<Vec<Pressure>>,
    one: impl Fn(Pressure) -> Option<T>,
) -> Option<Vec<Vec<T>>> {
    rows.into_iter()
        .map(|row| row.into_iter().map(&one).collect())
        .collect()
}

fn part(written: file::ProcedurePart, recording: Option<Recording>) -> Option<ProcedurePart> {
    match written {
        file::ProcedurePart::Hold(hold) => Some(ProcedurePart::Hold(hold)),
        file::ProcedurePart::Pull(pull) => Some(ProcedurePart::Pull(pull)),
        file::ProcedurePart::LoadStep(step) => Some(ProcedurePart::LoadStep(step)),
        file::ProcedurePart::Shift(shift) => Some(ProcedurePart::Shift(shift)),
        file::ProcedurePart::Step(step) => Some(ProcedurePart::Step(step)),
        file::ProcedurePart::Climb(climb) => Some(ProcedurePart::Climb(Box::new(climb))),
        file::ProcedurePart::Playback(_) => Some(ProcedurePart::Playback(Arc::new(recording?))),
    }
}

fn ceiling(written: file::CeilingSearch, full_load: &FullLoad) -> Option<CeilingSearch> {
    let transients = written.transients;
    Some(CeilingSearch {
        engine_speeds: written
            .engine_speeds
            .unwrap_or_else(|| full_load.engine_speed.clone()),
        altitudes: written.altitudes.unwrap_or_default(),
        temperature_offsets: written.temperature_offsets.unwrap_or_default(),
        step: written.step,
        pull_from: transients
            .pull
            .from
            .or(full_load.engine_speed.first().copied())?,
        pull_duration: transients.pull.duration,
        load_step_fuel_from: transients.load_step.fuel_from,
        load_step_at: transients.load_step.at,
        afterwards: transients.afterwards,
        shift: transients.shift,
    })
}
