//! The only place that meets the solver crate: Dormand–Prince 5(4) from tick to
//! tick.
//!
//! The controller's output jumps at every tick, so each tick is a new start.
//! States are scaled by their typical size because the solver takes one
//! tolerance for all. A lost number surfaces in the solver as a step of size
//! zero; here it becomes the name of the state that was lost.
use crate::plant::state::{COMMON_SLOTS, PlantState, SLOTS, StateVector};
use crate::plant::{Plant, PlantInput, PlantPoint};
use ode_solvers::dop_shared::{OutputType, Stats};
use ode_solvers::{Dopri5, System};
use std::cell::Cell;

/// Counters of the integrator.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Effort {
    /// Accepted steps.
    pub steps: u64,
    /// Rejected steps.
    pub rejected: u64,
    /// Evaluations of the plant.
    pub evaluations: u64,
}

/// Why a tick could not be integrated.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum IntegrationFailure {
    /// A state is no longer a finite number.
    #[error("{state} was lost between {last_good_s:.3} s and {time_s:.3} s")]
    NotFinite {
        /// Name of the state.
        state: &'static str,
        /// When \[s\].
        time_s: f64,
        /// Last good point \[s\].
        last_good_s: f64,
    },
    /// The solver could not meet its tolerance.
    #[error("the step size fell to nothing at {time_s:.3} s, last good point {last_good_s:.3} s")]
    StepSize {
        /// When \[s\].
        time_s: f64,
        /// Last good point \[s\].
        last_good_s: f64,
    },
}

/// Integrates the plant between two controller ticks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Integrator {
    tolerance: f64,
    first_step_s: f64,
    ticks_left: u32,
    wait_ticks: u32,
    /// What it has done so far.
    pub effort: Effort,
}

/// One tick to be integrated.
struct Tick<'a> {
    plant: &'a Plant,
    state: &'a PlantState,
    /// Rates at its start.
    first: PlantState,
    input: &'a TickInput,
    step_s: f64,
}

/// What a tick leads to, or the name of the state that was lost, if one was.
type TickEnd = Result<(Stats, PlantState, PlantPoint), Option<&'static str>>;

impl Tick<'_> {
    /// The figures of the solver, the state and the plant at the end.
    fn integrate(&self, tolerance: f64, first_step_s: f64) -> TickEnd {
        if self.plant.has_extras() {
            self.integrate_slots::<SLOTS>(tolerance, first_step_s)
        } else {
            self.integrate_slots::<COMMON_SLOTS>(tolerance, first_step_s)
        }
    }

    /// The same with the first `N` slots of the state.
    fn integrate_slots<const N: usize>(&self, tolerance: f64, first_step_s: f64) -> TickEnd {
        let last = Cell::new(None);
        let equations = Equations::<N> {
            plant: self.plant,
            input: *self.input,
            first: self.first.to_vector(),
            last: &last,
        };
        let mut solver = Dopri5::from_param(
            equations,
            0.0,
            self.step_s,
            self.step_s,
            self.state.to_vector(),
            tolerance,
            tolerance,
            SAFETY,
            BETA,
            SHRINK,
            GROW,
            self.step_s,
            first_step_s,
            MOST_STEPS,
            NO_STIFFNESS_TEST,
            OutputType::Sparse,
        );
        let outcome = solver.integrate();
        let end = solver.y_out().last().map(PlantState::from_vector::<N>);
        let lost = end.and_then(|s| s.first_not_finite()).map(|s| s.name);
        match (outcome, end, last.get()) {
            (Ok(stats), Some(end), Some(point)) if lost.is_none() => Ok((stats, end, point)),
            _ => Err(lost),
        }
    }
}

/// Input of the plant over one tick: everything held but the engine speed,
/// which goes in a straight line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TickInput {
    /// Input at the start of the tick.
    pub start: PlantInput,
    /// Rate of the engine speed \[rad/s²\].
    pub speed_rate_rad_s2: f64,
}

struct Equations<'a, const N: usize> {
    plant: &'a Plant,
    input: TickInput,
    /// Rates at the start of the tick, known from sampling it.
    first: StateVector<N>,
    /// The plant at the last evaluation; the method evaluates the end of every
    /// step last, so that this is the next tick's start.
    last: &'a Cell<Option<PlantPoint>>,
}

impl<const N: usize> System<f64, StateVector<N>> for Equations<'_, N> {
    fn system(&self, since_s: f64, y: &StateVector<N>, dy: &mut StateVector<N>) {
        if since_s == 0.0 {
            *dy = self.first;
            return;
        }
        let mut input = self.input.start;
        input.engine_speed_rad_s += self.input.speed_rate_rad_s2 * since_s;
        let state = PlantState::from_vector(y);
        let point = self.plant.evaluate(&state, &input);
        *dy = self.plant.rates(&point).to_vector();
        self.last.set(Some(point));
    }
}

const SAFETY: f64 = 0.9;
const BETA: f64 = 0.04;
const SHRINK: f64 = 0.2;
const GROW: f64 = 10.0;
const MOST_STEPS: u32 = 2000;
/// First step of a second try, as a share of the tick.
const SECOND_TRY: f64 = 0.02;
/// Ticks in several steps before one step is tried again, at first and at most.
const SHORTEST_WAIT: u32 = 3;
const LONGEST_WAIT: u32 = 24;
/// The stiffness test would stop a run that merely is expensive.
const NO_STIFFNESS_TEST: u32 = u32::MAX;

impl Integrator {
    /// An integrator with a relative tolerance on the scaled states; the same
    /// number serves as absolute tolerance there.
    pub fn new(tolerance: f64) -> Self {
        Self {
            tolerance,
            first_step_s: f64::INFINITY,
            ticks_left: 0,
            wait_ticks: SHORTEST_WAIT,
            effort: Effort::default(),
        }
    }

    /// The state one tick later, and the plant there under this tick's input.
    /// `point` is the plant at the start of the tick.
    ///
    /// A whole tick in one step may reach for a state that no gas can have; such
    /// a tick is tried once more from a small first step before it counts as
    /// failed.
    pub fn advance(
        &mut self,
        plant: &Plant,
        state: &PlantState,
        point: &PlantPoint,
        input: &TickInput,
        time_s: f64,
        step_s: f64,
    ) -> Result<(PlantState, PlantPoint), IntegrationFailure> {
        let tick = Tick {
            plant,
            state,
            first: plant.rates(point),
            input,
            step_s,
        };
        let first_step_s = self.first_step_s.min(step_s);
        let attempt = match tick.integrate(self.tolerance, first_step_s) {
            Err(_) => tick.integrate(self.tolerance, SECOND_TRY * step_s),
            good => good,
        };
        match attempt {
            Ok((stats, end, point)) => {
                self.count(&stats, step_s);
                Ok((end, point))
            }
            Err(lost) => Err(self.failure(plant, state, input, time_s, step_s, lost)),
        }
    }

    fn count(&mut self, stats: &Stats, step_s: f64) {
        self.effort.steps += u64::from(stats.accepted_steps);
        self.effort.rejected += u64::from(stats.rejected_steps);
        // the first of each tick is known already
        self.effort.evaluations += u64::from(stats.num_eval) - 1;
        self.plan_next_tick(stats, step_s);
    }

    /// One step a tick is enough nearly always. A tick that needed more hands
    /// its step on, and after a few such ticks one step is tried again; each
    /// failure makes the next attempt wait twice as long.
    fn plan_next_tick(&mut self, stats: &Stats, step_s: f64) {
        let whole = stats.accepted_steps <= 1 && stats.rejected_steps == 0;
        if whole {
            self.first_step_s = f64::INFINITY;
            self.wait_ticks = SHORTEST_WAIT;
            return;
        }
        if self.first_step_s >= step_s {
            self.ticks_left = self.wait_ticks;
            self.wait_ticks = (2 * self.wait_ticks).min(LONGEST_WAIT);
        }
        self.ticks_left = self.ticks_left.saturating_sub(1);
        self.first_step_s = if self.ticks_left == 0 {
            f64::INFINITY
        } else {
            1.001 * step_s / f64::from(stats.accepted_steps.max(2))
        };
    }

    fn failure(
        &self,
        plant: &Plant,
        state: &PlantState,
        input: &TickInput,
        last_good_s: f64,
        step_s: f64,
        lost: Option<&'static str>,
    ) -> IntegrationFailure {
        let rates = plant.rates(&plant.evaluate(state, &input.start));
        let time_s = last_good_s + step_s;
        match lost.or_else(|| rates.first_not_finite().map(|s| s.name)) {
            Some(state) => IntegrationFailure::NotFinite {
                state,
                time_s,
                last_good_s,
            },
            None => IntegrationFailure::StepSize {
                time_s,
                last_good_s,
            },
        }
    }
}
