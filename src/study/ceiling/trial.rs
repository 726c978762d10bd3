//! One command through the standard transients at the corners of the sensor
//! error.
use super::plan::{CeilingPlan, NEAR_RPM, SensorCorner, command_everywhere, sensor_at_corner};
use crate::judgement::{Judge, LimitKind, LimitResult};
use crate::procedure::Procedure;
use crate::simulation::{Ending, Observer, Rig, Sample, run};
use std::f64::consts::PI;
use std::ops::ControlFlow;

/// How a command fared.
#[derive(Debug, Clone, PartialEq)]
pub enum Trial {
    /// It held; the worst of each limit over all runs.
    Holds(Vec<LimitResult>),
    /// It failed.
    Fails(Failure),
}

/// What failed first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Failure {
    /// The limit, or `None` where the run left the model's validity.
    pub limit: Option<LimitKind>,
    /// At which corner.
    pub corner: SensorCorner,
    /// In the load step, in the pull or in the shift.
    pub transient: &'static str,
}

/// Watches the samples near the cell's speed, stops at the first limit broken
/// and when everything has come to rest.
struct CellWatch {
    judge: Judge,
    speed_rpm: f64,
    judged_from_s: f64,
    quiet_from_s: f64,
    anchor: Option<Sample>,
}

/// Time over which nothing may move before a run counts as settled \[s\].
const REST_S: f64 = 0.8;

impl CellWatch {
    fn at_rest(&mut self, s: &Sample) -> bool {
        if s.time_s < self.quiet_from_s || s.pinned {
            self.anchor = None;
            return false;
        }
        let Some(a) = &self.anchor else {
            self.anchor = Some(*s);
            return false;
        };
        let still = (s.vane_command_pct - a.vane_command_pct).abs() < 0.03
            && (s.boost_true_kpa_abs - a.boost_true_kpa_abs).abs() < 0.1
            && (s.drive_pressure_kpa_abs - a.drive_pressure_kpa_abs).abs() < 0.2
            && (s.shaft_speed_rpm - a.shaft_speed_rpm).abs() < 30.0
            && (s.turbine_inlet_k - a.turbine_inlet_k).abs() < 0.3;
        if !still {
            self.anchor = Some(*s);
            return false;
        }
        s.time_s - a.time_s >= REST_S
    }
}

impl Observer for CellWatch {
    fn see(&mut self, s: &Sample) -> ControlFlow<()> {
        let near = (s.engine_speed_rpm - self.speed_rpm).abs() <= NEAR_RPM;
        if near && s.time_s >= self.judged_from_s {
            self.judge.watch(s);
            if self.judge.exceeded() {
                return ControlFlow::Break(());
            }
        } else {
            self.judge.pass_by(s);
        }
        if self.at_rest(s) {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }
}

/// Tries a command at a speed and some corners. `rig` is in its ambient with its
/// derate.
pub fn try_command(
    plan: &CeilingPlan,
    rig: &Rig,
    speed_rad_s: f64,
    command_pa: f64,
    corners: &[SensorCorner],
) -> Trial {
    let mut worst: Vec<LimitResult> = Vec::new();
    for &corner in corners {
        let mut rig = rig.clone();
        command_everywhere(&mut rig, command_pa);
        sensor_at_corner(&mut rig, corner);
        let transients = [
            ("load step", Some(plan.load_step(speed_rad_s))),
            ("pull", plan.pull(speed_rad_s)),
            ("shift", plan.shift(speed_rad_s)),
        ];
        for (transient, procedure) in transients {
            let Some(procedure) = procedure else { continue };
            match one_run(plan, &rig, speed_rad_s, &procedure) {
                Ok(limits) => merge_worst(&mut worst, limits),
                Err(limit) => {
                    return Trial::Fails(Failure {
                        limit,
                        corner,
                        transient,
                    });
                }
            }
        }
    }
    Trial::Holds(worst)
}

fn one_run(
    plan: &CeilingPlan,
    rig: &Rig,
    speed_rad_s: f64,
    procedure: &Procedure,
) -> Result<Vec<LimitResult>, Option<LimitKind>> {
    let mut watch = CellWatch {
        judge: Judge::new(plan.bench_with_pinned_time()),
        speed_rpm: speed_rad_s * 30.0 / PI,
        judged_from_s: procedure.first_cut_s(),
        quiet_from_s: procedure.last_change_s() + 0.5,
        anchor: None,
    };
    let Ok(outcome) = run(rig, procedure, &mut watch) else {
        return Err(None);
    };
    if watch.judge.exceeded() {
        return Err(watch.judge.first_exceeded());
    }
    match outcome.ending {
        Ending::Finished | Ending::Observer => Ok(watch.judge.limits()),
        Ending::OutsideValidity(_) | Ending::Failed(_) => Err(None),
    }
}

/// Keeps for each limit the result with the least headroom.
pub fn merge_worst(worst: &mut Vec<LimitResult>, limits: Vec<LimitResult>) {
    if worst.is_empty() {
        *worst = limits;
        return;
    }
    for (kept, new) in worst.iter_mut().zip(limits) {
        let less = match (kept.headroom, new.headroom) {
            (Some(k), Some(n)) => n < k,
            (None, Some(_)) => true,
            _ => false,
        };
        if less {
            *kept = new;
        }
    }
}
