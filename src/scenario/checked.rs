//! A scenario as it is meant: every value checked, alternatives chosen, defaults
//! filled in. Only this reaches the physics.

use crate::control::ChosenForm;
use crate::map::{CompressorMapData, TurbineMapData};
use crate::procedure::Recording;
use crate::quantity::*;
use std::sync::Arc;

pub use super::file::{
    About, AntiWindup, AreaAndSpeed, BoostPlace, CeilingAlong, CeilingShift, ChargeDuct, Clamp,
    Climb, ClimbEnd, Combustion, CommandClamp, ConstantGas, ConstantGases, CoolerEffectiveness,
    DataSource, Deviation, DrivePressureLimiter, DrivePressureSensor, EfficiencyCurve, Engine,
    Exhaust, ExhaustThermal, Expect, ExpectCheck, ExpectedVerdict, FaultEntry, FeedForward,
    Feedback, Friction, FrozenSensor, Fuel, FuelDemand, FullLoad, FurtherVolume, GainSchedule,
    GasModel, HeadAndFlow, HeadAt, HeatSoak, Hold, InputStep, IntakeThermal, IsothermalExhaust,
    LimitedPressure, Limits, Line, LinePoint, LoadStep, OpenLoop, OpenLoopVanes, OverBoost,
    PinnedSensor, PipeLoss, PressureSensorFaultKind, ProductionSpread, Protections, Pull,
    Pulsation, Recirculation, RootFlow, SensorError, Shaft, ShaftSpeedLimiter, ShaftSpeedSensor,
    Shift, Solver, Spread, SpreadShape, StepInputs, Tapping, Timing, TwoThroats, VaneStops, Vanes,
    VolumePlace, VolumetricEfficiency, VolumetricEfficiencyFormula, VolumetricEfficiencyTable,
    Wastegate, WastegateFlow, WheelGeometry, WithoutFuel,
};

/// A checked scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario {
    /// What the file says of itself.
    pub about: About,
    /// The air around the engine.
    pub ambient: Ambient,
    /// The gas.
    pub gas: GasModel,
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
    /// Recirculation of exhaust gas.
    pub recirculation: Option<Recirculation>,
    /// Further volumes, each place at most once.
    pub volumes: Vec<FurtherVolume>,
    /// The sensors.
    pub sensors: Sensors,
    /// The controller. `None` only with `open_loop`.
    pub controller: Option<Controller>,
    /// Vanes without feedback; wins over the controller's vane command.
    pub open_loop: Option<OpenLoop>,
    /// What is asked of the engine.
    pub procedure: Vec<ProcedurePart>,
    /// What goes wrong, and when.
    pub faults: Vec<FaultEntry>,
    /// What must hold.
    pub limits: Limits,
    /// Where the ceiling is sought.
    pub ceiling: CeilingSearch,
    /// Dotted paths of uncertain numbers and their spread.
    pub uncertainty: Vec<(String, Spread)>,
    /// Dotted paths of numbers that differ from engine to engine, and by how much.
    pub production: Vec<(String, ProductionSpread)>,
    /// What is expected of the run.
    pub expect: Option<Expect>,
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
    /// Heat conductance to ambient.
    pub wall_loss: HeatConductance,
    /// What its temperature follows from.
    pub thermal: IntakeThermal,
    /// The column of air, where it has inertia.
    pub duct: Option<ChargeDuct>,
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
    /// Heat stored in its core.
    pub heat_soak: Option<HeatSoak>,
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
    /// A published form.
    HeadAndFlow(HeadAndFlow),
}

/// The turbine.
#[derive(Debug, Clone, PartialEq)]
pub struct Turbine {
    /// How it is described.
    pub form: TurbineForm,
    /// Outer diameter of the wheel.
    pub wheel_diameter: Length,
    /// Correction for the pulsating flow of the exhaust.
    pub pulsation: Pulsation,
    /// A valve in parallel to it.
    pub wastegate: Option<Wastegate>,
}

/// How the turbine is described.
#[derive(Debug, Clone, PartialEq)]
pub enum TurbineForm {
    /// Vane ring and rotor as two throats.
    TwoThroats(TwoThroats),
    /// A published form.
    AreaAndSpeed(AreaAndSpeed),
    /// Measured vane positions, read from their file.
    Measured(Box<TurbineMapData>),
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
    /// Which controller is made of all this, with its own numbers.
    pub form: ChosenForm,
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
    /// One command at full load for every speed, in place of the table's.
    pub full_load: Option<Pressure>,
    /// Added to the command at full load.
    pub full_load_shift: PressureDifference,
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
    /// A gear shift.
    Shift(Shift),
    /// A drive up a road.
    Climb(Box<Climb>),
    /// A recorded course.
    Playback(Arc<Recording>),
    /// A step of any inputs.
    Step(InputStep),
}

/// Where the ceiling is sought.
#[derive(Debug, Clone, PartialEq)]
pub struct CeilingSearch {
    /// Engine speeds of the cells.
    pub engine_speeds: Vec<RotationalSpeed>,
    /// Altitudes of the cells; empty: only the ambient of the scenario.
    pub altitudes: Vec<Length>,
    /// Offsets to the standard atmosphere; empty: only that of the scenario.
    pub temperature_offsets: Vec<TemperatureRise>,
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
    /// The gear shift, if one is driven.
    pub shift: Option<CeilingShift>,
}
