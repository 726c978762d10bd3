//! The tables driven in the scenario: a full pull, load steps, a gear shift, at
//! every place and every corner of the stated sensor error.
use super::assemble::{Tables, rig_with};
use super::plan::TablesPlan;
use super::row::{at_corner, rpm};
use crate::judgement::{Bench, Judge, LimitKind, ProofRun, Verdict, WorstHeadroom};
use crate::procedure::{Part, Procedure};
use crate::simulation::{Ending, Observer, Rig, Sample, run};
use crate::study::ceiling::SensorCorner;
use rayon::prelude::*;
use std::f64::consts::PI;
use std::ops::ControlFlow;

/// Time over which nothing may move before a run counts as settled \[s\].
const REST_S: f64 = 1.0;
/// How long after a failure a run is looked at for how far it goes, where only
/// that is asked \[s\].
const LACK_S: f64 = 1.5;
/// How long after the last change of what is asked a run is watched at least \[s\].
const WATCHED_S: f64 = 2.0;

/// One run and what went wrong in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Driven {
    /// What is told of it.
    pub run: ProofRun,
    /// Where a reserve was first taken, if anywhere.
    pub failure: Option<Failure>,
    /// Whether the limits as stated held.
    pub limits_held: bool,
}

/// The first sample beyond a limit with its reserve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Failure {
    /// The limit; `None` where the run left the model's validity.
    pub limit: Option<LimitKind>,
    /// Engine speed \[rad/s\].
    pub speed_rad_s: f64,
    /// Fuel on the axis of the tables \[kg per injection\]; infinite for full.
    pub fuel_kg: f64,
    /// Fuel injected \[kg per injection\].
    pub injected_kg: f64,
    /// Worst headroom over the whole run \[%\]; negative.
    pub lack_pct: f64,
}

/// Drives everything, in order.
pub fn drive(plan: &TablesPlan, tables: &Tables) -> Vec<Driven> {
    driven(plan, tables, |_| true, f64::INFINITY)
}

/// Drives the runs that are wanted by their place in the order of all, to see
/// whether they fail: each only until a while after it does.
pub fn drive_some(
    plan: &TablesPlan,
    tables: &Tables,
    wanted: impl Fn(usize) -> bool,
) -> Vec<Driven> {
    driven(plan, tables, wanted, LACK_S)
}

fn driven(
    plan: &TablesPlan,
    tables: &Tables,
    wanted: impl Fn(usize) -> bool,
    beyond_failure_s: f64,
) -> Vec<Driven> {
    let procedures = procedures(plan);
    let work: Vec<(usize, SensorCorner, usize)> = (0..plan.places.len())
        .flat_map(|place| {
            let corners = plan.ceiling.corners();
            corners.into_iter().map(move |corner| (place, corner))
        })
        .flat_map(|(place, corner)| (0..procedures.len()).map(move |p| (place, corner, p)))
        .enumerate()
        .filter(|(index, _)| wanted(*index))
        .map(|(_, work)| work)
        .collect();
    work.par_iter()
        .map(|&(place, corner, p)| {
            let mut rig = rig_with(plan, place, tables);
            at_corner(&mut rig, corner);
            let at = (place, corner);
            one(plan, &rig, at, &procedures[p], beyond_failure_s)
        })
        .collect()
}

/// The verdict of all runs.
pub fn verdict(runs: &[Driven]) -> Verdict {
    let beyond = |r: &&Driven| r.run.verdict == Verdict::OutsideValidity;
    if runs.iter().any(|r| r.run.verdict == Verdict::Exceeded) {
        Verdict::Exceeded
    } else if runs.iter().find(beyond).is_some() {
        Verdict::OutsideValidity
    } else {
        Verdict::Held
    }
}

struct Course {
    name: &'static str,
    speed_rad_s: f64,
    procedure: Procedure,
}

fn procedures(plan: &TablesPlan) -> Vec<Course> {
    let t = &plan.ceiling.transients;
    let speeds = &plan.speeds_rad_s;
    let (low, high) = (speeds[0], speeds[speeds.len() - 1]);
    let mut marks = vec![low, speeds[speeds.len() / 2], high];
    marks.dedup();
    // through the whole table at the rate of the ceiling's pull
    let part = (high - t.pull_from_rad_s).max(0.25 * (high - low));
    let mut courses = vec![Course {
        name: "pull",
        speed_rad_s: high,
        procedure: Procedure::new(&[Part::Pull {
            from_rad_s: low,
            to_rad_s: high,
            duration_s: t.pull_s * (high - low) / part,
            settle_s: t.afterwards_s,
        }]),
    }];
    for &speed_rad_s in &marks {
        courses.push(Course {
            name: "load step",
            speed_rad_s,
            procedure: plan.ceiling.load_step(speed_rad_s),
        });
    }
    // to the highest row that the engine reaches from
    let shift = speeds
        .iter()
        .rev()
        .find_map(|&n| Some((n, plan.ceiling.shift(n)?)));
    if let Some((speed_rad_s, procedure)) = shift {
        courses.push(Course {
            name: "shift",
            speed_rad_s,
            procedure,
        });
    }
    courses
}

fn one(
    plan: &TablesPlan,
    rig: &Rig,
    (place, corner): (usize, SensorCorner),
    course: &Course,
    beyond_failure_s: f64,
) -> Driven {
    let reserved = plan.ceiling.bench_with_pinned_time();
    let stated = Bench {
        limits: plan.stated.clone(),
        ..reserved.clone()
    };
    let mut watch = Watch {
        stated: Judge::new(stated),
        reserved: Judge::new(reserved),
        first: None,
        beyond_failure_s,
        quiet_from_s: course.procedure.last_change_s() + WATCHED_S,
        anchor: None,
    };
    let ending = run(rig, &course.procedure, &mut watch).map(|outcome| outcome.ending);
    let finished = matches!(ending, Ok(Ending::Finished | Ending::Observer));
    let failure = failure(&watch, course, finished);
    let limits_held = finished && !watch.stated.exceeded();
    let ambient = plan.places[place].ambient;
    let verdict = match (&failure, finished) {
        (None, _) => Verdict::Held,
        (Some(f), false) if f.limit.is_none() => Verdict::OutsideValidity,
        _ => Verdict::Exceeded,
    };
    Driven {
        run: ProofRun {
            procedure: course.name.to_string(),
            engine_speed_rpm: rpm(course.speed_rad_s),
            altitude_m: ambient.altitude_m,
            ambient_kpa_abs: ambient.pressure_pa * 1e-3,
            ambient_k: ambient.temperature_k,
            sensor_offset_kpa: corner.offset_pa * 1e-3,
            sensor_after_clamp_kpa: corner.after_clamp_pa * 1e-3,
            verdict,
            first_broken: failure.map(|f| {
                let name = f.limit.map_or("outside_validity", LimitKind::name);
                name.to_string()
            }),
            broken_at_rpm: watch.first.map(|s| s.engine_speed_rpm),
            broken_at_s: watch.first.map(|s| s.time_s),
            worst: watch
                .stated
                .limits()
                .into_iter()
                .map(|limit| WorstHeadroom {
                    limit: limit.name,
                    headroom_pct: limit.headroom_pct,
                })
                .collect(),
        },
        failure,
        limits_held,
    }
}

fn failure(watch: &Watch, course: &Course, finished: bool) -> Option<Failure> {
    let Some(s) = watch.first else {
        return (!finished).then_some(Failure {
            limit: None,
            speed_rad_s: course.speed_rad_s,
            fuel_kg: f64::INFINITY,
            injected_kg: 0.0,
            lack_pct: -5.0,
        });
    };
    let limit = watch.reserved.first_exceeded();
    let name = limit.map(LimitKind::name);
    let lack_pct = watch
        .reserved
        .limits()
        .iter()
        .find(|l| Some(l.name.as_str()) == name)
        .and_then(|l| l.headroom_pct)
        .unwrap_or(-1.0);
    let asked = course.procedure.at(s.time_s);
    Some(Failure {
        limit,
        speed_rad_s: s.engine_speed_rpm * PI / 30.0,
        fuel_kg: asked.fuel.kg(f64::INFINITY),
        injected_kg: s.fuel_mg_per_injection * 1e-6,
        lack_pct,
    })
}

/// Judges against the limits as stated and with their reserve; ends a run that
/// has come to rest.
struct Watch {
    stated: Judge,
    reserved: Judge,
    first: Option<Sample>,
    beyond_failure_s: f64,
    quiet_from_s: f64,
    anchor: Option<Sample>,
}

impl Watch {
    fn at_rest(&mut self, s: &Sample) -> bool {
        if s.time_s < self.quiet_from_s || s.pinned {
            self.anchor = None;
            return false;
        }
        let anchor = *self.anchor.get_or_insert(*s);
        let still = (s.vane_command_pct - anchor.vane_command_pct).abs() < 0.03
            && (s.boost_true_kpa_abs - anchor.boost_true_kpa_abs).abs() < 0.1
            && (s.shaft_speed_rpm - anchor.shaft_speed_rpm).abs() < 30.0
            && (s.turbine_inlet_k - anchor.turbine_inlet_k).abs() < 0.3;
        if !still {
            self.anchor = Some(*s);
        }
        still && s.time_s - anchor.time_s >= REST_S
    }
}

impl Observer for Watch {
    fn see(&mut self, s: &Sample) -> ControlFlow<()> {
        self.stated.watch(s);
        self.reserved.watch(s);
        if self.first.is_none() && self.reserved.exceeded() {
            self.first = Some(*s);
        }
        let seen = |first: &Sample| s.time_s - first.time_s > self.beyond_failure_s;
        if self.first.as_ref().is_some_and(seen) || self.at_rest(s) {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }
}
