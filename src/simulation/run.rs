//! One run: start, then tick by tick sense, control, record, integrate.
use super::audit::{Residuals, residuals};
use super::faults::{Fault, Held};
use super::integrator::{Effort, IntegrationFailure, Integrator, TickInput};
use super::measure::{Measured, Measurement};
use super::orders::{BadOrders, sound};
use super::rig::Rig;
use super::road::{Drive, DriveOutcome};
use super::sample::Sample;
use super::sampling::{TickView, sample};
use super::start::{Start, StartFailure, start};
use super::validity::{ValidityStop, Watch};
use crate::control::{Controller, Orders, Readings};
use crate::plant::state::PlantState;
use crate::plant::{PlantInput, PlantPoint};
use crate::procedure::{Asked, Procedure};
use std::ops::ControlFlow;

/// Watches a run; it may end it.
pub trait Observer {
    /// Sees one sample.
    fn see(&mut self, sample: &Sample) -> ControlFlow<()>;
}

/// Keeps every sample.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Recorder {
    /// The trace.
    pub samples: Vec<Sample>,
}

impl Observer for Recorder {
    fn see(&mut self, sample: &Sample) -> ControlFlow<()> {
        self.samples.push(*sample);
        ControlFlow::Continue(())
    }
}

/// Why a run ended.
#[derive(Debug, Clone, PartialEq)]
pub enum Ending {
    /// The procedure came to its end.
    Finished,
    /// The observer had seen enough.
    Observer,
    /// A quantity left the model's range.
    OutsideValidity(ValidityStop),
    /// The numbers failed.
    Failed(IntegrationFailure),
    /// The controller ordered what cannot be carried out.
    BadOrders(BadOrders),
}

/// What a run leaves behind besides its samples.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Why it ended.
    pub ending: Ending,
    /// Where it started.
    pub start: Start,
    /// The last state.
    pub last: PlantState,
    /// The input at the last state.
    pub last_input: PlantInput,
    /// Last good time \[s\].
    pub time_s: f64,
    /// Conservation at the boundary.
    pub residuals: Residuals,
    /// The integrator's counters.
    pub effort: Effort,
    /// What the vehicle did, where one was driven.
    pub drive: Option<DriveOutcome>,
}

/// Runs a procedure on a rig.
pub fn run(
    rig: &Rig,
    procedure: &Procedure,
    observer: &mut dyn Observer,
) -> Result<Outcome, StartFailure> {
    let (mut broken, _) = rig.broken_at_start();
    let asked = procedure.at(0.0);
    broken.go_to(asked.altitude_m, procedure.temperature_offset_k());
    let start = start(&broken, asked)?;
    Ok(run_from(rig, procedure, start, observer))
}

/// Runs a procedure from a given start.
pub fn run_from(
    rig: &Rig,
    procedure: &Procedure,
    start: Start,
    observer: &mut dyn Observer,
) -> Outcome {
    let mut run = Run::new(rig, procedure, &start);
    let ticks = (procedure.duration_s() / run.period_s).round() as u64;
    let mut ending = Ending::Finished;
    for tick in 0..=ticks {
        let time_s = tick as f64 * run.period_s;
        let (sample, input) = match run.tick(time_s) {
            Ok(seen) => seen,
            Err(bad) => {
                ending = Ending::BadOrders(bad);
                break;
            }
        };
        if observer.see(&sample).is_break() {
            ending = Ending::Observer;
            break;
        }
        if let Some(stop) = run.watch.check(&sample).or_else(|| run.beyond_engine()) {
            ending = Ending::OutsideValidity(stop);
            break;
        }
        if tick == ticks || run.arrived() {
            break;
        }
        if let Err(failure) = run.advance(time_s, &input) {
            ending = Ending::Failed(failure);
            break;
        }
    }
    Outcome {
        ending,
        last: run.state,
        last_input: run.last_input,
        time_s: run.time_s,
        residuals: residuals(&start.state, &run.state),
        effort: run.integrator.effort,
        drive: run.drive.as_ref().map(Drive::outcome),
        start,
    }
}

struct Run<'a> {
    /// The rig as it is now, with all that has broken so far.
    rig: Rig,
    held: Held,
    procedure: &'a Procedure,
    /// The vehicle, where one is driven.
    drive: Option<Drive>,
    controller: Box<dyn Controller>,
    /// Bits of the protections that it has.
    listed: u8,
    measurement: Measurement,
    integrator: Integrator,
    watch: Watch,
    state: PlantState,
    /// The plant at the state, under the input of the tick before.
    seen: PlantPoint,
    /// The plant at the state, under this tick's input.
    point: PlantPoint,
    period_s: f64,
    time_s: f64,
    started: bool,
    held_vane: Option<f64>,
    last_input: PlantInput,
}

impl<'a> Run<'a> {
    fn new(rig: &Rig, procedure: &'a Procedure, start: &Start) -> Self {
        let (mut rig, held) = rig.broken_at_start();
        let controller = rig.fresh_controller();
        let asked = procedure.at(0.0);
        rig.go_to(asked.altitude_m, procedure.temperature_offset_k());
        let input = rig.asked_input(&asked);
        let point = rig.plant.evaluate(&start.state, &input);
        Self {
            procedure,
            drive: procedure
                .climb()
                .map(|climb| Drive::new(climb.clone(), controller.period_s())),
            period_s: controller.period_s(),
            listed: controller.protections(),
            controller,
            measurement: Measurement::at_rest(&rig.sensors, &point, held),
            integrator: Integrator::new(rig.tolerance),
            watch: Watch::new(rig.validity),
            state: start.state,
            seen: point,
            point,
            time_s: 0.0,
            started: false,
            held_vane: rig.open_loop.map(|_| start.vane_closed),
            last_input: input,
            held,
            rig,
        }
    }

    /// Senses, controls and samples at a tick.
    fn tick(&mut self, time_s: f64) -> Result<(Sample, TickInput), BadOrders> {
        self.let_faults_set_in(time_s);
        let asked = match &mut self.drive {
            Some(drive) => drive.asked(),
            None => self.procedure.at(time_s),
        };
        self.go_along(&asked);
        // pressures, temperatures and speeds, all that sensors see, do not
        // depend on the input that the controller is about to order
        let seen = self.seen;
        let step_s = if self.started { self.period_s } else { 0.0 };
        let measured = self
            .measurement
            .read(&self.rig.sensors, &seen, time_s, step_s);
        let readings = self.readings(time_s, asked, &measured, &seen);
        let orders = self.orders(&readings, asked);
        let blind = self.blind(&readings, &seen);
        sound(&orders, blind, self.listed, time_s)?;
        let mut input = TickInput {
            start: PlantInput {
                fuel_kg: orders.fuel_kg,
                advance_deg: orders.advance_deg,
                vane_command: orders.vane_command,
                recirculation_open: orders.recirculation_open,
                vanes_before: Some(seen.vane_closed),
                ..self.rig.asked_input(&asked)
            },
            speed_rate_rad_s2: asked.speed_rate_rad_s2,
        };
        // the engine answers at once to new fuel; the rest is as seen
        let point = self.rig.plant.with_input(seen, &self.state, &input.start);
        if let Some(drive) = &self.drive {
            let density = self.air_density_kg_m3();
            input.speed_rate_rad_s2 = drive.speed_rate_rad_s2(point.engine.torque_nm, density);
        }
        let sample = sample(&TickView {
            rig: &self.rig,
            time_s,
            asked,
            point: &point,
            measured: &measured,
            orders: &orders,
            blind,
        });
        self.last_input = input.start;
        self.point = point;
        self.time_s = time_s;
        Ok((sample, input))
    }

    /// Takes the plant to the altitude of the moment. Flows follow at once, so
    /// that it has to be seen anew.
    fn go_along(&mut self, asked: &Asked) {
        let offset_k = self.procedure.temperature_offset_k();
        if self.rig.go_to(asked.altitude_m, offset_k) {
            self.seen = self.rig.plant.evaluate(&self.state, &self.last_input);
        }
    }

    fn air_density_kg_m3(&self) -> f64 {
        let plant = &self.rig.plant;
        let r = plant.gas.gas_constant_j_kg_k(0.0);
        plant.ambient.pressure_pa / (r * plant.ambient.temperature_k)
    }

    /// Whether the vehicle, where one is driven, is at the end of its drive.
    fn arrived(&self) -> bool {
        self.drive
            .as_ref()
            .is_some_and(|drive| drive.finished(self.time_s))
    }

    fn beyond_engine(&self) -> Option<ValidityStop> {
        self.drive.as_ref()?.beyond_engine(self.time_s)
    }

    /// Breaks what has its onset now. Flows follow at once, so that the plant
    /// has to be seen anew.
    fn let_faults_set_in(&mut self, time_s: f64) {
        let due = |f: &Fault| f.onset_s <= time_s + 1e-9;
        if !self.rig.faults.first().is_some_and(due) {
            return;
        }
        while let Some(fault) = self.rig.faults.first().copied().filter(due) {
            self.rig.faults.remove(0);
            let Rig { plant, sensors, .. } = &mut self.rig;
            fault
                .kind
                .set_in(fault.onset_s, plant, sensors, &mut self.held);
        }
        self.measurement.spoil(&self.rig.sensors, self.held);
        self.seen = self.rig.plant.evaluate(&self.state, &self.last_input);
    }

    fn readings(
        &self,
        time_s: f64,
        asked: Asked,
        measured: &Measured,
        point: &PlantPoint,
    ) -> Readings {
        Readings {
            time_s,
            engine_speed_rad_s: asked.speed_rad_s,
            fuel_asked_kg: self.rig.fuel_asked_kg(&asked),
            boost_pa: measured.boost.pressure_pa,
            ambient_pa: self.rig.plant.ambient.pressure_pa,
            intake_k: point.intake.temperature_k,
            drive_pressure_pa: measured.drive_pressure_pa,
            shaft_speed_rad_s: measured.shaft_speed_rad_s,
        }
    }

    fn orders(&mut self, readings: &Readings, asked: Asked) -> Orders {
        if !self.started {
            self.controller.start(readings);
            self.started = true;
        }
        let orders = self.controller.step(readings);
        match asked.set.vanes.or(self.held_vane) {
            Some(vane_command) => Orders {
                vane_command,
                boost_command_pa: None,
                ..orders
            },
            None => orders,
        }
    }

    /// Protections that the true state calls for and the readings do not show.
    fn blind(&self, readings: &Readings, point: &PlantPoint) -> u8 {
        let truth = Readings {
            boost_pa: point.intake.pressure_pa,
            drive_pressure_pa: readings
                .drive_pressure_pa
                .map(|_| point.exhaust.pressure_pa),
            shaft_speed_rad_s: readings.shaft_speed_rad_s.map(|_| point.shaft_speed_rad_s),
            ..*readings
        };
        self.controller.beyond_threshold(&truth) & !self.controller.beyond_threshold(readings)
    }

    fn advance(&mut self, time_s: f64, input: &TickInput) -> Result<(), IntegrationFailure> {
        (self.state, self.seen) = self.integrator.advance(
            &self.rig.plant,
            &self.state,
            &self.point,
            input,
            time_s,
            self.period_s,
        )?;
        let density = self.air_density_kg_m3();
        if let Some(drive) = &mut self.drive {
            let torques_nm = (self.point.engine.torque_nm, self.seen.engine.torque_nm);
            drive.advance(torques_nm, density);
        }
        Ok(())
    }
}
