//! The runs that a command must hold through: the standard transients at the
//! corners of the sensor error.
use super::plan::{CeilingPlan, NEAR_RPM, SensorCorner, command_everywhere, sensor_at_corner};
use super::settled::{Approach, Settled};
use super::window::Rest;
use crate::judgement::{Bench, Judge, Limit, LimitKind, LimitResult};
use crate::procedure::Procedure;
use crate::simulation::{Ending, Observer, Rig, Sample, run};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::f64::consts::PI;
use std::ops::ControlFlow;

/// What failed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Failure {
    /// The limit, or `None` where the run left the model's validity.
    pub limit: Option<LimitKind>,
    /// At which corner.
    pub corner: SensorCorner,
    /// In the load step, in the pull or in the shift.
    pub transient: &'static str,
    /// Which of the runs it was.
    pub run: usize,
}

/// Watches the samples near a speed, or all; stops at the first limit broken and when
/// the rest can tell nothing new.
pub struct Watch {
    judge: Judge,
    limits: Vec<Limit>,
    /// The speed \[rpm\] whose samples are judged; `None`: all are.
    pub near_rpm: Option<f64>,
    /// From when on they are \[s\].
    pub judged_from_s: f64,
    /// Where the run comes to rest, if that is known.
    pub approach: Option<Approach>,
}

impl Watch {
    /// Judges all samples of a whole run.
    pub fn new(bench: Bench) -> Self {
        Self {
            limits: bench.limits.clone(),
            judge: Judge::new(bench),
            near_rpm: None,
            judged_from_s: 0.0,
            approach: None,
        }
    }

    /// Drives a procedure: the worst of each limit, or the limit that failed, `None`
    /// where the run left the model's validity.
    pub fn drive(
        mut self,
        rig: &Rig,
        procedure: &Procedure,
    ) -> Result<Vec<LimitResult>, Option<LimitKind>> {
        let Ok(outcome) = run(rig, procedure, &mut self) else {
            return Err(None);
        };
        if self.judge.exceeded() {
            return Err(self.judge.first_exceeded());
        }
        match outcome.ending {
            Ending::Finished | Ending::Observer => Ok(self.judge.limits()),
            Ending::OutsideValidity(_) | Ending::Failed(_) | Ending::BadOrders(_) => Err(None),
        }
    }
}

impl Observer for Watch {
    fn see(&mut self, s: &Sample) -> ControlFlow<()> {
        let near = self
            .near_rpm
            .is_none_or(|rpm| (s.engine_speed_rpm - rpm).abs() <= NEAR_RPM);
        if near && s.time_s >= self.judged_from_s {
            self.judge.watch(s);
            if self.judge.exceeded() {
                return ControlFlow::Break(());
            }
        } else {
            self.judge.pass_by(s);
        }
        let rest = self
            .approach
            .as_mut()
            .and_then(|approach| approach.ends_at(s, &self.limits));
        match rest {
            Some(rest) => {
                self.judge.watch(&rest);
                ControlFlow::Break(())
            }
            None => ControlFlow::Continue(()),
        }
    }
}

/// The runs of one cell, each driven at most once for a command.
pub struct Runs<'a> {
    plan: &'a CeilingPlan,
    /// In its ambient with its derate.
    rig: &'a Rig,
    speed_rad_s: f64,
    walked: &'a [Rest],
    bench: Bench,
    transients: Vec<(&'static str, Procedure)>,
    corners: Vec<SensorCorner>,
    /// The order in which they are asked: the one that failed last comes first.
    order: RefCell<Vec<usize>>,
    driven: RefCell<BTreeMap<(i64, usize), Driven>>,
    settled: RefCell<BTreeMap<(i64, usize), Option<Settled>>>,
}

type Driven = Result<Vec<LimitResult>, Option<LimitKind>>;

impl<'a> Runs<'a> {
    /// The runs of a cell; `walked` are its equilibria with rising boost.
    pub fn new(plan: &'a CeilingPlan, rig: &'a Rig, speed_rad_s: f64, walked: &'a [Rest]) -> Self {
        let transients: Vec<(&'static str, Procedure)> = [
            ("load step", Some(plan.load_step(speed_rad_s))),
            ("pull", plan.pull(speed_rad_s)),
            ("shift", plan.shift(speed_rad_s)),
        ]
        .into_iter()
        .filter_map(|(name, procedure)| Some((name, procedure?)))
        .collect();
        let corners = plan.corners();
        let count = transients.len() * corners.len();
        Self {
            plan,
            rig,
            speed_rad_s,
            walked,
            bench: plan.bench_with_pinned_time(),
            transients,
            corners,
            order: RefCell::new((0..count).collect()),
            driven: RefCell::default(),
            settled: RefCell::default(),
        }
    }

    /// Asks a run ahead of the others.
    pub fn lead_with(&self, run: usize) {
        let mut order = self.order.borrow_mut();
        if let Some(at) = order.iter().position(|&other| other == run) {
            order[..=at].rotate_right(1);
        }
    }

    /// Whether the run that leads holds at a command, in steps of the search. Says
    /// little where it does; where it does not, the command fails.
    pub fn lead_holds(&self, n: i64) -> bool {
        let lead = self.order.borrow()[0];
        self.holds(n, lead)
    }

    /// The run that fails at a command, if one does; it leads from then on.
    pub fn failing(&self, n: i64) -> Option<usize> {
        let order = self.order.borrow().clone();
        let failing = order.into_iter().find(|&run| !self.holds(n, run))?;
        self.lead_with(failing);
        Some(failing)
    }

    /// The first in the order of the corners and transients that fails at a command.
    pub fn first_failure(&self, n: i64) -> Option<Failure> {
        (0..self.order.borrow().len()).find_map(|run| {
            self.drive(n, run);
            let limit = *self.driven.borrow().get(&(n, run))?.as_ref().err()?;
            Some(Failure {
                limit,
                corner: self.corners[run / self.transients.len()],
                transient: self.transients[run % self.transients.len()].0,
                run,
            })
        })
    }

    /// The worst of each limit over all runs at a command that holds.
    pub fn worst(&self, n: i64) -> Vec<LimitResult> {
        let mut worst = Vec::new();
        for run in 0..self.order.borrow().len() {
            self.drive(n, run);
            if let Some(Ok(limits)) = self.driven.borrow().get(&(n, run)) {
                merge_worst(&mut worst, limits.clone());
            }
        }
        worst
    }

    fn holds(&self, n: i64, run: usize) -> bool {
        self.drive(n, run);
        matches!(self.driven.borrow().get(&(n, run)), Some(Ok(_)))
    }

    fn drive(&self, n: i64, run: usize) {
        if self.driven.borrow().contains_key(&(n, run)) {
            return;
        }
        let corner = run / self.transients.len();
        let procedure = &self.transients[run % self.transients.len()].1;
        let command_pa = n as f64 * self.plan.step_pa;
        let mut rig = self.rig.clone();
        command_everywhere(&mut rig, command_pa);
        sensor_at_corner(&mut rig, self.corners[corner]);
        let mut watch = Watch::new(self.bench.clone());
        watch.near_rpm = Some(self.speed_rad_s * 30.0 / PI);
        watch.judged_from_s = procedure.first_cut_s();
        if !self.plan.watch_to_the_end {
            let settled = self
                .settled
                .borrow_mut()
                .entry((n, corner))
                .or_insert_with(|| {
                    let limits = &self.bench.limits;
                    Settled::of(&rig, self.speed_rad_s, command_pa, self.walked, limits)
                })
                .clone();
            watch.approach = settled.map(|s| Approach::new(s, procedure.last_change_s()));
        }
        let driven = watch.drive(&rig, procedure);
        self.driven.borrow_mut().insert((n, run), driven);
    }
}

/// Keeps for each limit the result with the least headroom.
fn merge_worst(worst: &mut Vec<LimitResult>, limits: Vec<LimitResult>) {
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
