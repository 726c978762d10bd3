//! A scenario as it is meant: every value checked, alternatives chosen, defaults
//! filled in. Only this reaches the physics.

use super::check::Tables;
use super::file::{self, ScenarioFile};
use super::read::Raw;
use crate::map::CompressorMapData;
use crate::quantity::*;

pub use super::file::{
    About, AntiWindup, BoostPlace, Clamp, Combustion, CommandClamp, CoolerEffectiveness,
    DataSource, DrivePressureLimiter, DrivePressureSensor, Engine, Exhaust, FeedForward, Feedback,
    Friction, FrozenSensor, Fuel, FuelDemand, FullLoad, GainSchedule, Hold, LimitedPressure,
    Limits, Line, LinePoint, LoadStep, OpenLoopVanes, OverBoost, PinnedSensor, PipeLoss,
    Protections, Pull, Pulsation, SensorError, Shaft, ShaftSpeedLimiter, ShaftSpeedSensor, Solver,
    Tapping, Timing, Turbine, TurbineForm, TwoThroats, VaneStops, Vanes, VolumetricEfficiency,
    VolumetricEfficiencyTable, WheelGeometry,
};

/// A checked scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario {
    /// What the file says of itself.
    pub about: About,
    /// The air around the engine.
    pub ambient: Ambient,
    /// The engine.
    pub engine: Engine,
    /// Fuel and injection.
    pub fuel: Fuel,
    /// From filter to intake manifold.
    pub intake: Intake,
    /// From exhaust manifold to tailpipe.
    pub exhaust: Exhaust,
    /// The compressor.
    pub compressor: Compressor,
    /// The turbine.
    pub turbine: Turbine,
    /// The shaft.
    pub shaft: Shaft,
    /// The vane actuator.
    pub vanes: Vanes,
    /// The sensors.
    pub sensors: Sensors,
    /// The controller. `None` only with `open_loop`.
    pub controller: Option<Controller>,
    /// Vanes without feedback; wins over the controller's vane command.
    pub open_loop: Option<OpenLoopVanes>,
    /// What is asked of the engine.
    pub procedure: Vec<ProcedurePart>,
    /// What must hold.
    pub limits: Limits,
    /// Where the ceiling is sought.
    pub ceiling: CeilingSearch,
    /// Dotted paths of uncertain numbers and their relative spread.
    pub uncertainty: Vec<(String, Fraction)>,
    /// Expected results as written, for a later version.
    pub expect: Option<Raw>,
    /// Settings of the solution.
    pub solver: Solver,
}

/// The air around the engine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ambient {
    /// Where pressure and temperature come from.
    pub source: AmbientSource,
    /// Relative humidity.
    pub relative_humidity: Fraction,
}

/// Where ambient pressure and temperature come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AmbientSource {
    /// The standard atmosphere.
    Altitude {
        /// Height above sea level.
        altitude: Length,
        /// How much warmer than standard it is.
        temperature_offset: TemperatureRise,
    },
    /// Both are given.
    Given {
        /// Ambient pressure.
        pressure: AbsolutePressure,
        /// Ambient temperature.
        temperature: Temperature,
    },
}

/// From filter to intake manifold.
#[derive(Debug, Clone, PartialEq)]
pub struct Intake {
    /// Volume from compressor to valves.
    pub volume: Volume,
    /// Burned share of the charge.
    pub burned_fraction: Fraction,
    /// Heat conductance to ambient.
    pub wall_loss: HeatConductance,
    /// Loss of filter and suction pipe.
    pub filter: PipeLoss,
    /// The charge cooler.
    pub cooler: Cooler,
}

/// The charge cooler.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooler {
    /// Effectiveness over flow.
    pub effectiveness: CoolerEffectiveness,
    /// Pressure loss.
    pub loss: PipeLoss,
    /// Temperature of the coolant.
    pub coolant: Coolant,
}

/// Temperature of the coolant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Coolant {
    /// Over ambient.
    AboveAmbient(TemperatureRise),
    /// The same in any weather.
    Fixed(Temperature),
}

/// The compressor.
#[derive(Debug, Clone, PartialEq)]
pub struct Compressor {
    /// How it is described.
    pub form: CompressorForm,
    /// Outer diameter of the wheel.
    pub wheel_diameter: Length,
}

/// How the compressor is described.
#[derive(Debug, Clone, PartialEq)]
pub enum CompressorForm {
    /// Measured speed lines, read from their file.
    SpeedLines(Box<CompressorMapData>),
    /// Geometry of the wheel.
    Wheel(WheelGeometry),
}

/// The sensors.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensors {
    /// Boost pressure.
    pub boost: BoostSensor,
    /// Exhaust pressure.
    pub drive_pressure: Option<DrivePressureSensor>,
    /// Shaft speed.
    pub shaft_speed: Option<ShaftSpeedSensor>,
}

/// The boost sensor.
#[derive(Debug, Clone, PartialEq)]
pub struct BoostSensor {
    /// Where it sits.
    pub place: BoostPlace,
    /// Which pressure it reads.
    pub tapping: BoostTapping,
    /// Time constant.
    pub time_constant: Duration,
    /// Supply voltage.
    pub supply: Voltage,
    /// The sensor's own line.
    pub line: Line,
    /// The line that the controller believes in.
    pub ecu_line: Line,
    /// Output clamp.
    pub clamp: Clamp,
    /// Bits of the converter.
    pub converter_bits: u32,
    /// Relative error of the slope.
    pub gain_error: Fraction,
    /// Error ahead of the clamp.
    pub offset: PressureDifference,
    /// Error behind the clamp.
    pub offset_after_clamp: PressureDifference,
    /// Change of the offset over time.
    pub drift: PressureRate,
    /// Standard deviation of each sample.
    pub noise: PressureDifference,
    /// Seed of the noise.
    pub noise_seed: u32,
    /// Corners of the stated error.
    pub error: SensorError,
}

/// Which pressure the boost sensor reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BoostTapping {
    /// Static pressure.
    Static,
    /// Total pressure in a pipe of this area.
    Total(Area),
}

/// The controller.
#[derive(Debug, Clone, PartialEq)]
pub struct Controller {
    /// Time between two calculations.
    pub period: Duration,
    /// The boost command.
    pub command: Command,
    /// Feed-forward vane table.
    pub feed_forward: FeedForward,
    /// Feedback.
    pub feedback: Feedback,
    /// Vane stops over engine speed.
    pub vane_stops: Option<VaneStops>,
    /// Lowest air ratio.
    pub smoke_limit: Option<f64>,
    /// Protections.
    pub protections: Protections,
}

/// The boost command.
#[derive(Debug, Clone, PartialEq)]
pub struct Command {
    /// Engine speeds of the rows.
    pub engine_speed: Vec<RotationalSpeed>,
    /// Fuel quantities of the columns.
    pub fuel: Vec<FuelQuantity>,
    /// The table.
    pub boost: CommandTable,
    /// Fastest change.
    pub rate_limit: Option<PressureRate>,
    /// Barometric correction; `None` without one.
    pub barometric: Option<Barometric>,
}

/// A command table, absolute or gauge.
#[derive(Debug, Clone, PartialEq)]
pub enum CommandTable {
    /// Absolute pressures.
    Absolute(Vec<Vec<AbsolutePressure>>),
    /// Pressures against the ambient of the moment.
    Gauge(Vec<Vec<GaugePressure>>),
}

/// Command taken off at low ambient pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Barometric {
    /// Command per ambient pressure below the reference.
    pub correction: f64,
    /// Ambient pressure without correction.
    pub reference: AbsolutePressure,
}

/// One part of a procedure.
#[derive(Debug, Clone, PartialEq)]
pub enum ProcedurePart {
    /// Steady speed and fuel.
    Hold(Hold),
    /// A ramp of engine speed at full fuel.
    Pull(Pull),
    /// A step of fuel at steady speed.
    LoadStep(LoadStep),
}

/// Where the ceiling is sought.
#[derive(Debug, Clone, PartialEq)]
pub struct CeilingSearch {
    /// Engine speeds of the cells.
    pub engine_speeds: Vec<RotationalSpeed>,
    /// Altitudes of the cells; empty: only the ambient of the scenario.
    pub altitudes: Vec<Length>,
    /// Step between "holds" and "fails".
    pub step: PressureDifference,
    /// Where the pull to a cell starts.
    pub pull_from: RotationalSpeed,
    /// How long that pull takes.
    pub pull_duration: Duration,
    /// Fuel ahead of the load step.
    pub load_step_fuel_from: FuelQuantity,
    /// When the load step comes.
    pub load_step_at: Duration,
    /// How long the command must hold afterwards.
    pub afterwards: Duration,
}

impl Scenario {
    /// From a file that passed every check. `None` where a part is missing after
    /// all, which the checks should have reported.
    pub(super) fn new(file: ScenarioFile, tables: Tables) -> Option<Self> {
        let ceiling = ceiling(file.ceiling, &file.fuel.full_load)?;
        Some(Self {
            about: file.about,
            ambient: ambient(file.ambient)?,
            engine: file.engine,
            fuel: file.fuel,
            intake: intake(file.intake)?,
            exhaust: file.exhaust,
            compressor: compressor(file.compressor, tables)?,
            turbine: file.turbine,
            shaft: file.shaft,
            vanes: file.vanes,
            sensors: sensors(file.sensors)?,
            controller: match file.controller {
                Some(written) => Some(controller(written)?),
                None => None,
            },
            open_loop: file.open_loop.map(|open_loop| open_loop.vanes),
            procedure: file
                .procedure
                .into_iter()
                .map(part)
                .collect::<Option<_>>()?,
            limits: file.limits,
            ceiling,
            uncertainty: file.uncertainty.0,
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
        burned_fraction: written.burned_fraction,
        wall_loss: written.wall_loss,
        filter: written.filter,
        cooler: Cooler {
            effectiveness: cooler.effectiveness,
            loss: PipeLoss {
                loss: cooler.loss,
                at_flow: cooler.at_flow,
            },
            coolant,
        },
    })
}

fn compressor(written: file::Compressor, tables: Tables) -> Option<Compressor> {
    let (form, own_diameter) = match written.form {
        file::CompressorForm::SpeedLines(_) => (
            CompressorForm::SpeedLines(Box::new(tables.speed_lines?)),
            None,
        ),
        file::CompressorForm::Wheel(wheel) => {
            let diameter = wheel.tip_diameter;
            (CompressorForm::Wheel(wheel), Some(diameter))
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

fn controller(written: file::Controller) -> Option<Controller> {
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
            rate_limit: command.rate_limit,
            barometric,
        },
        feed_forward: written.feed_forward,
        feedback: written.feedback,
        vane_stops: written.vane_stops,
        smoke_limit: written.smoke_limit,
        protections: written.protections,
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

fn part(written: file::ProcedurePart) -> Option<ProcedurePart> {
    match written {
        file::ProcedurePart::Hold(hold) => Some(ProcedurePart::Hold(hold)),
        file::ProcedurePart::Pull(pull) => Some(ProcedurePart::Pull(pull)),
        file::ProcedurePart::LoadStep(step) => Some(ProcedurePart::LoadStep(step)),
        file::ProcedurePart::Climb(later)
        | file::ProcedurePart::Shift(later)
        | file::ProcedurePart::Step(later)
        | file::ProcedurePart::Playback(later) => match later {},
    }
}

fn ceiling(written: file::CeilingSearch, full_load: &FullLoad) -> Option<CeilingSearch> {
    let transients = written.transients;
    Some(CeilingSearch {
        engine_speeds: written
            .engine_speeds
            .unwrap_or_else(|| full_load.engine_speed.clone()),
        altitudes: written.altitudes.unwrap_or_default(),
        step: written.step,
        pull_from: transients
            .pull
            .from
            .or(full_load.engine_speed.first().copied())?,
        pull_duration: transients.pull.duration,
        load_step_fuel_from: transients.load_step.fuel_from,
        load_step_at: transients.load_step.at,
        afterwards: transients.afterwards,
    })
}
