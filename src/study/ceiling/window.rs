//! Equilibria over the vane travel: which boost holds the limits at rest.
use super::plan::CeilingPlan;
use crate::judgement::{Judge, LimitKind};
use crate::plant::state::PlantState;
use crate::procedure::{Asked, FuelAsked};
use crate::simulation::{Rig, equilibrium_sample, steady_state};

/// Positions between the open and the closed stop.
const POSITIONS: usize = 33;

/// One equilibrium.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// Boost \[Pa abs\].
    pub boost_pa: f64,
    /// What the sensor reads of it \[Pa abs\]: a command is met by the reading.
    pub reading_pa: f64,
    /// The limit that it breaks, if any.
    pub breaks: Option<LimitKind>,
    /// The state.
    pub state: PlantState,
}

/// What the equilibria allow.
#[derive(Debug, Clone, PartialEq)]
pub struct Window {
    /// Highest boost of any valid equilibrium \[Pa abs\].
    pub reachable_pa: f64,
    /// The window at rest, if there is one.
    pub held: Option<HeldWindow>,
    /// The equilibria walked, from open vanes to the most boost.
    pub rising: Vec<Rest>,
}

/// The highest stretch of boosts that hold at rest.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldWindow {
    /// The lowest boost that holds.
    pub low: Rest,
    /// Whether the vanes are at their open stop there.
    pub low_is_open_stop: bool,
    /// The limit below, where the open stop is not what ends the window.
    pub below: Option<LimitKind>,
    /// First boost above that breaks a limit, or the highest reachable \[Pa abs\].
    pub above_pa: f64,
    /// What the sensor reads there \[Pa abs\].
    pub above_reading_pa: f64,
    /// The limit above; `None` where the vanes cannot bring more.
    pub above: Option<LimitKind>,
    /// The highest of the equilibria walked that holds.
    pub top: Rest,
    /// The one above it, which breaks the limit.
    pub above_broken: Option<Rest>,
}

/// Full fuel at a speed.
pub fn full_fuel(speed_rad_s: f64) -> Asked {
    Asked {
        speed_rad_s,
        speed_rate_rad_s2: 0.0,
        fuel: FuelAsked::Full,
        ..Asked::default()
    }
}

/// Walks the vanes from open to closed.
pub fn window(plan: &CeilingPlan, rig: &Rig, speed_rad_s: f64) -> Option<Window> {
    let rests = walk(plan, rig, speed_rad_s);
    let reachable_pa = rests.iter().map(|r| r.boost_pa).reduce(f64::max)?;
    let peak = rests.iter().position(|r| r.boost_pa == reachable_pa)?;
    // past the peak the same boost comes with more drive pressure; a controller
    // that closes for more boost never gets it there
    let rising = &rests[..=peak];
    let held = rising.iter().rposition(|r| r.breaks.is_none()).map(|top| {
        let mut bottom = top;
        while bottom > 0 && rising[bottom - 1].breaks.is_none() {
            bottom -= 1;
        }
        let below = bottom.checked_sub(1).map(|b| rising[b]);
        let above = rising.get(top + 1);
        HeldWindow {
            low: below.map_or(rising[bottom], |b| {
                edge(plan, rig, speed_rad_s, b, rising[bottom])
            }),
            low_is_open_stop: below.is_none(),
            below: below.and_then(|b| b.breaks),
            above_pa: above.map_or(reachable_pa, |a| a.boost_pa),
            above_reading_pa: above.unwrap_or(&rests[peak]).reading_pa,
            above: above.and_then(|a| a.breaks),
            top: rising[top],
            above_broken: above.copied(),
        }
    });
    let rising = rising.to_vec();
    Some(Window {
        reachable_pa,
        held,
        rising,
    })
}

fn walk(plan: &CeilingPlan, rig: &Rig, speed_rad_s: f64) -> Vec<Rest> {
    let stops = rig.fresh_controller().vane_stops();
    let open = stops.held(speed_rad_s, rig.plant.actuator.stop_open);
    let closed = stops.held(speed_rad_s, rig.plant.actuator.stop_closed);
    let mut rests: Vec<Rest> = Vec::with_capacity(POSITIONS);
    for k in 0..POSITIONS {
        let vane = open + (closed - open) * k as f64 / (POSITIONS - 1) as f64;
        let warm = rests.last().map(|r| r.state);
        match rest(plan, rig, speed_rad_s, vane, warm.as_ref()) {
            Some(rest) => rests.push(rest),
            // the walk goes towards ever harder states: beyond the first that
            // has no equilibrium or no validity there is nothing to find
            None if !rests.is_empty() => break,
            None => {}
        }
    }
    rests
}

/// The equilibrium at a vane position; `None` where there is none that the
/// model can describe.
pub fn rest(
    plan: &CeilingPlan,
    rig: &Rig,
    speed_rad_s: f64,
    vane_closed: f64,
    warm: Option<&PlantState>,
) -> Option<Rest> {
    let asked = full_fuel(speed_rad_s);
    let state = steady_state(rig, asked, vane_closed, warm).ok()?;
    let sample = equilibrium_sample(rig, asked, &state);
    let bounds = &rig.validity;
    let valid = sample.drive_pressure_kpa_abs
        <= bounds.drive_to_boost_abs * sample.boost_true_kpa_abs
        && sample.turbine_inlet_k <= bounds.turbine_inlet_k
        && vane_closed <= bounds.vane_closed;
    if !valid {
        return None;
    }
    let mut judge = Judge::new(plan.bench_with_pinned_time());
    judge.watch(&sample);
    Some(Rest {
        boost_pa: sample.boost_true_kpa_abs * 1e3,
        reading_pa: sample.boost_sensed_kpa_abs * 1e3,
        breaks: judge.first_exceeded(),
        state,
    })
}

/// Where a limit stops being broken between two neighbours, by bisection over the
/// vane position.
pub fn edge(plan: &CeilingPlan, rig: &Rig, speed_rad_s: f64, broken: Rest, held: Rest) -> Rest {
    let (mut broken, mut held) = (broken, held);
    while (held.boost_pa - broken.boost_pa).abs() > 0.2 * plan.step_pa {
        let middle = 0.5 * (broken.state.vane_closed + held.state.vane_closed);
        match rest(plan, rig, speed_rad_s, middle, Some(&held.state)) {
            Some(r) if r.breaks.is_none() => held = r,
            Some(r) => broken = r,
            None => break,
        }
    }
    held
}
