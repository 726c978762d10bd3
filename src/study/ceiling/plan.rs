//! What a ceiling study is asked.
use crate::control::{BoostCommand, CommandReference, FullLoadCommand};
use crate::gas::Ambient;
use crate::judgement::{Bench, Limit, LimitKind};
use crate::map::{Table1, Table2};
use crate::procedure::{FuelAsked, Part, Procedure};
use crate::simulation::Rig;

/// One corner of the stated sensor error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SensorCorner {
    /// Offset ahead of the clamp \[Pa\].
    pub offset_pa: f64,
    /// Offset after the clamp \[Pa\].
    pub after_clamp_pa: f64,
}

/// The standard transients.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Transients {
    /// Engine speed at which the pull starts \[rad/s\].
    pub pull_from_rad_s: f64,
    /// How long the pull takes to the highest speed of the plan \[s\]; to lower
    /// speeds it goes at the same rate.
    pub pull_s: f64,
    /// Fuel before the load step \[kg per injection\].
    pub load_step_from_kg: f64,
    /// When the load step comes \[s\].
    pub load_step_at_s: f64,
    /// The gear shift to the speed of the cell; `None` where none is driven.
    pub shift: Option<ShiftTransient>,
    /// How long limits are watched after each \[s\].
    pub afterwards_s: f64,
}

/// A gear shift to the speed of a cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShiftTransient {
    /// Engine speed in the next gear over that before the shift \[-\].
    pub ratio: f64,
    /// How long the torque is cut \[s\].
    pub cut_s: f64,
    /// How long the fuel then takes to come back \[s\].
    pub resume_s: f64,
    /// Highest engine speed that the engine is described for \[rad/s\].
    pub highest_rad_s: f64,
}

/// A ceiling study.
#[derive(Debug, Clone)]
pub struct CeilingPlan {
    /// The rig; its command table is replaced by the commands on trial.
    pub rig: Rig,
    /// The limits.
    pub limits: Vec<Limit>,
    /// How the runs are judged besides the limits.
    pub bench: Bench,
    /// Engine speeds \[rad/s\].
    pub speeds_rad_s: Vec<f64>,
    /// Ambients.
    pub ambients: Vec<Ambient>,
    /// Step of the search \[Pa\].
    pub step_pa: f64,
    /// The transients.
    pub transients: Transients,
    /// Stated sensor error ahead of the clamp, either way \[Pa\].
    pub sensor_offset_pa: f64,
    /// Stated sensor error after the clamp, either way \[Pa\].
    pub sensor_after_clamp_pa: f64,
    /// Whether each run is watched to its end even where the rest can tell nothing
    /// new. Costs time and serves to prove that it tells nothing new.
    pub watch_to_the_end: bool,
}

/// Samples this close to the speed of a cell belong to it \[rpm\].
pub const NEAR_RPM: f64 = 50.0;
/// Longest time at the clamp where the scenario states none \[s\].
pub const PINNED_S: f64 = 0.5;

impl CeilingPlan {
    /// The corners of the sensor error. The first hides most boost and pins
    /// first, the second shows most: between them they decide almost always,
    /// so a search asks them before the rest. A perfect sensor has one corner.
    pub fn corners(&self) -> Vec<SensorCorner> {
        let (offset_pa, after_clamp_pa) = (self.sensor_offset_pa, self.sensor_after_clamp_pa);
        let mut corners: Vec<SensorCorner> = Vec::with_capacity(4);
        for (o, a) in [(-1.0, -1.0), (1.0, 1.0), (1.0, -1.0), (-1.0, 1.0)] {
            // adding zero turns a negative zero into a plain one
            let corner = SensorCorner {
                offset_pa: o * offset_pa + 0.0,
                after_clamp_pa: a * after_clamp_pa + 0.0,
            };
            if !corners.contains(&corner) {
                corners.push(corner);
            }
        }
        corners
    }

    /// The limits with a bound on pinned time in any case.
    pub fn bench_with_pinned_time(&self) -> Bench {
        let mut bench = self.bench.clone();
        bench.limits = self.limits.clone();
        if !bench.limits.iter().any(|l| l.kind == LimitKind::PinnedTime) {
            bench.limits.push(Limit {
                kind: LimitKind::PinnedTime,
                bound: PINNED_S,
            });
        }
        bench
    }

    /// The rig in an ambient with a derate.
    pub fn rig_in(&self, ambient: Ambient, fuel_scale: f64) -> Rig {
        let throughout = self.rig.broken_throughout();
        let (mut rig, _) = throughout.broken_at_start();
        rig.faults = throughout.faults;
        rig.faults.retain(|fault| fault.kind.holds_a_reading());
        rig.plant = rig.plant.in_ambient(ambient);
        rig.open_loop = None;
        rig.controller.fuel_scale = Table1::constant(fuel_scale);
        rig
    }

    /// The load step to a speed and the watch after it.
    pub fn load_step(&self, speed_rad_s: f64) -> Procedure {
        let t = &self.transients;
        Procedure::new(&[Part::LoadStep {
            speed_rad_s,
            fuel_from: FuelAsked::Quantity(t.load_step_from_kg),
            fuel_to: FuelAsked::Full,
            at_s: t.load_step_at_s,
            duration_s: t.load_step_at_s + t.afterwards_s,
        }])
    }

    /// The shift to a speed and the watch after it; none where the plan drives
    /// no shift or the engine does not reach the speed before it.
    pub fn shift(&self, speed_rad_s: f64) -> Option<Procedure> {
        let t = &self.transients;
        let shift = t.shift?;
        let before = speed_rad_s / shift.ratio;
        let highest = self.speeds_rad_s.iter().copied().fold(0.0, f64::max);
        let rate = (highest - t.pull_from_rad_s) / t.pull_s;
        (before <= shift.highest_rad_s && rate > 0.0).then(|| {
            Procedure::new(&[Part::Shift {
                from_rad_s: speed_rad_s,
                at_rad_s: before,
                to_rad_s: speed_rad_s,
                pull_s: (before - speed_rad_s) / rate,
                cut_s: shift.cut_s,
                resume_s: shift.resume_s,
                settle_s: t.afterwards_s,
            }])
        })
    }

    /// The pull to a speed and the watch after it; none where the pull would
    /// start at or above the speed.
    pub fn pull(&self, speed_rad_s: f64) -> Option<Procedure> {
        let t = &self.transients;
        let highest = self.speeds_rad_s.iter().copied().fold(0.0, f64::max);
        let whole = highest - t.pull_from_rad_s;
        let part = speed_rad_s - t.pull_from_rad_s;
        (part > 0.0).then(|| {
            Procedure::new(&[Part::Pull {
                from_rad_s: t.pull_from_rad_s,
                to_rad_s: speed_rad_s,
                duration_s: t.pull_s * part / whole,
                settle_s: t.afterwards_s,
            }])
        })
    }
}

/// The same command at full load at all speeds; at part load the rig's own
/// table moves with it.
pub fn command_everywhere(rig: &mut Rig, command_pa: f64) {
    command_over_speed(rig, Table1::constant(command_pa));
}

/// A command at full load over engine speed \[rad/s → Pa abs\]. A rig without
/// boost control gets one that holds the ambient at no load.
pub fn command_over_speed(rig: &mut Rig, over_speed: Table1) {
    let ambient_pa = rig.plant.ambient.pressure_pa;
    let command = rig.controller.command.get_or_insert_with(|| BoostCommand {
        table: Table2::constant(ambient_pa),
        reference: CommandReference::Absolute,
        barometric_correction: 0.0,
        barometric_reference_pa: 0.0,
        rate_limit_pa_s: f64::INFINITY,
        full_load: None,
        full_load_shift_pa: 0.0,
    });
    // the command on trial is the whole command
    command.full_load_shift_pa = 0.0;
    command.full_load = Some(FullLoadCommand {
        over_speed,
        reference: CommandReference::Absolute,
    });
}

/// The rig with its boost sensor at a corner of the error.
pub fn sensor_at_corner(rig: &mut Rig, corner: SensorCorner) {
    let e = &mut rig.sensors.boost.chain.error;
    e.offset_pa += corner.offset_pa;
    e.after_clamp_pa += corner.after_clamp_pa;
}
