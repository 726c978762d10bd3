//! The highest command that holds, on the grid of steps.
use super::plan::CeilingPlan;
use super::trial::{Failure, Runs};
use super::window::{HeldWindow, Window, edge};
use crate::judgement::LimitResult;
use crate::simulation::Rig;

/// A ceiling found at one fuel.
pub(super) struct Found {
    /// The command \[Pa abs\].
    pub command_pa: f64,
    /// The worst of each limit over all runs.
    pub worst: Vec<LimitResult>,
    /// What ends it above.
    pub above: Above,
    /// The window at rest.
    pub held: HeldWindow,
}

/// What ends the window above.
pub(super) enum Above {
    /// A run one step above.
    Limit(Failure),
    /// The vanes cannot bring more.
    Reach,
    /// The controller holds the command.
    Clamp,
}

/// Where an answer is expected.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Near {
    /// At which command \[Pa abs\].
    pub command_pa: Option<f64>,
    /// Which run fails above it.
    pub run: Option<usize>,
}

/// The commands that come into question, in steps of the search.
struct Range {
    bottom: i64,
    top: i64,
    /// What ends it where all up to the top hold.
    end: Above,
}

/// The highest command on the grid that holds.
///
/// A run that fails once mostly decides: alone it is sought where it stops failing,
/// and only there the others are asked. Where one of them fails it leads from then on.
/// `Err` holds what fails where none holds, if anything was driven.
pub(super) fn highest(
    plan: &CeilingPlan,
    rig: &Rig,
    speed_rad_s: f64,
    w: &Window,
    near: Near,
) -> Result<Found, Option<Failure>> {
    let held = w.held.clone().ok_or(None)?;
    let Range { bottom, top, end } = range(plan, rig, &held);
    let runs = Runs::new(plan, rig, speed_rad_s, &w.rising);
    let found = |n: i64, above| Found {
        command_pa: n as f64 * plan.step_pa,
        worst: runs.worst(n),
        above,
        held: held.clone(),
    };
    let near_n = near
        .command_pa
        .map(|pa| ((pa / plan.step_pa).round() as i64).clamp(bottom, top));
    if let Some(run) = near.run {
        runs.lead_with(run);
    }
    // the lowest command known to fail; beyond the top none is asked
    let mut fails = match near_n {
        Some(near) => first_that_fails_from(&runs, near, top),
        None => top + 1,
    };
    if fails > top {
        if runs.failing(top).is_none() {
            return Ok(found(top, end));
        }
        fails = top;
    }
    loop {
        let Some(lead_holds) = below(&|n| runs.lead_holds(n), bottom, fails) else {
            // a window that is narrow at both its ends may lie between what was asked
            let Some(n) = somewhere(&|n| runs.failing(n).is_none(), bottom, fails) else {
                return Err(runs
                    .first_failure(bottom)
                    .or_else(|| runs.first_failure(fails)));
            };
            let n = climb(&|n| runs.failing(n).is_none(), n, fails);
            return Ok(found(n, above(&runs, n)));
        };
        let n = climb(&|n| runs.lead_holds(n), lead_holds, fails);
        if runs.failing(n).is_none() {
            return Ok(found(n, above(&runs, n)));
        }
        fails = n;
    }
}

fn above(runs: &Runs<'_>, n: i64) -> Above {
    runs.first_failure(n + 1).map_or(Above::Reach, Above::Limit)
}

fn range(plan: &CeilingPlan, rig: &Rig, held: &HeldWindow) -> Range {
    let step = plan.step_pa;
    let controller = rig.fresh_controller();
    // a command above all that can be read stays pinned for good
    let readable = (rig.sensors.boost.chain.readable_ceiling_pa() / step).floor() as i64;
    let (lowest, mut top) = if controller.meets_command() {
        // a command is met by the reading, which errors of the sensor and the place
        // where it sits keep apart from the true boost
        let reach = (held.above_reading_pa / step).floor() as i64;
        let beyond = i64::from(held.above.is_some());
        let lowest = (held.low.reading_pa / step).ceil() as i64;
        (lowest, (reach + beyond).min(readable + 1))
    } else {
        // boost may come to rest anywhere below or above the command
        let ambient = (rig.plant.ambient.pressure_pa / step).ceil() as i64;
        (ambient, readable + 1)
    };
    let mut end = Above::Reach;
    if let Some(most_pa) = controller.highest_command_pa() {
        let most = (most_pa / step).floor() as i64;
        if most < top {
            top = most;
            end = Above::Clamp;
        }
    }
    Range {
        bottom: lowest.min(top),
        top,
        end,
    }
}

/// Up from a command in growing strides to one at which the leading run fails; past the
/// top where there is none.
fn first_that_fails_from(runs: &Runs<'_>, near: i64, top: i64) -> i64 {
    let (mut n, mut stride) = (near, 1);
    while n <= top {
        if !runs.lead_holds(n) {
            return n;
        }
        if n == top {
            break;
        }
        n = (n + stride).min(top);
        stride *= 2;
    }
    top + 1
}

/// Down from a command that fails in growing strides to one that holds.
fn below(holds: &impl Fn(i64) -> bool, bottom: i64, fails: i64) -> Option<i64> {
    let (mut n, mut stride) = (fails, 1);
    while n > bottom {
        n = (n - stride).max(bottom);
        if holds(n) {
            return Some(n);
        }
        stride *= 2;
    }
    None
}

/// From a command that holds up to the last that does before one that fails.
fn climb(holds: &impl Fn(i64) -> bool, from: i64, fails: i64) -> i64 {
    let (mut low, mut high) = (from, fails);
    while high - low > 1 {
        let middle = (low + high) / 2;
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// Some command between bottom and top that holds: the window may be narrower
/// under transients than at rest, so its middle and quarters are tried first.
fn somewhere(holds: &impl Fn(i64) -> bool, bottom: i64, top: i64) -> Option<i64> {
    let span = top - bottom;
    [0.5, 0.75, 0.9, 0.25, 0.97, 0.0]
        .into_iter()
        .map(|share| bottom + (share * span as f64).floor() as i64)
        .find(|&n| n < top && holds(n))
}

/// Boost at which the limit above a window at rest begins to be broken
/// \[Pa abs\]; the highest that can be reached where none is.
pub(super) fn edge_above_pa(
    plan: &CeilingPlan,
    rig: &Rig,
    speed_rad_s: f64,
    held: &HeldWindow,
) -> f64 {
    match held.above_broken {
        Some(broken) => edge(plan, rig, speed_rad_s, broken, held.top).boost_pa,
        None => held.above_pa,
    }
}
