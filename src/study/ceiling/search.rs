//! The highest command that holds, on the grid of steps.
use super::plan::{CeilingPlan, SensorCorner};
use super::trial::{Failure, Trial, merge_worst, try_command};
use super::window::{HeldWindow, Window, edge, full_fuel, window};
use crate::gas::Ambient;
use crate::judgement::{CeilingCell, LimitKind, LimitResult, Margin};
use crate::simulation::{OpenLoop, Rig, equilibrium_sample, start};
use std::f64::consts::PI;

/// Name of the bound where the vanes cannot bring more boost.
pub const UNREACHABLE: &str = "command_unreachable";
/// Name of the bound where the controller's own clamp holds the command.
pub const CLAMPED: &str = "command_clamp";
/// Name of the bound where the run leaves the model's validity.
pub const OUTSIDE: &str = "outside_validity";

/// Smallest share of the full-load fuel that a derate goes to, and its step.
const LEAST_FUEL: f64 = 0.40;
const FUEL_STEP: f64 = 0.01;

/// A ceiling found at one fuel.
pub(super) struct Found {
    /// The command \[Pa abs\].
    pub command_pa: f64,
    worst: Vec<LimitResult>,
    above: Above,
    held: HeldWindow,
}

/// What ends the window above.
enum Above {
    Limit(Failure),
    Reach,
    Clamp,
}

/// The answer for one engine speed in one ambient.
pub fn cell(plan: &CeilingPlan, ambient: Ambient, speed_rad_s: f64) -> CeilingCell {
    let mut cell = CeilingCell {
        // asked for in rpm: without the last bits that the way through rad/s adds
        engine_speed_rpm: without_crumbs(speed_rad_s * 30.0 / PI),
        altitude_m: ambient.altitude_m,
        temperature_offset_k: ambient.temperature_offset_k().map(without_crumbs),
        ambient_kpa_abs: ambient.pressure_pa * 1e-3,
        ambient_k: ambient.temperature_k,
        fuel_scale: 1.0,
        ..CeilingCell::default()
    };
    let rig = plan.rig_in(ambient, 1.0);
    let at_rest = window(plan, &rig, speed_rad_s);
    cell.reachable_kpa_abs = at_rest.as_ref().map(|w| w.reachable_pa * 1e-3);
    if let Some(found) = at_rest.and_then(|w| highest(plan, &rig, speed_rad_s, &w, None)) {
        cell.feasible = true;
        fill(&mut cell, plan, &rig, speed_rad_s, ambient, &found);
        return cell;
    }
    if let Some((scale, rig, found)) = derate(plan, ambient, speed_rad_s) {
        cell.fuel_scale = scale;
        fill(&mut cell, plan, &rig, speed_rad_s, ambient, &found);
    }
    cell
}

/// Rounded far finer than anything is known here; zero without a sign.
fn without_crumbs(value: f64) -> f64 {
    (value * 1e6).round() / 1e6 + 0.0
}

/// The largest share of the fuel, on a grid of per cents, that opens a window.
fn derate(plan: &CeilingPlan, ambient: Ambient, speed_rad_s: f64) -> Option<(f64, Rig, Found)> {
    let at = |percent: i64| {
        let scale = percent as f64 * FUEL_STEP;
        let rig = plan.rig_in(ambient, scale);
        let w = window(plan, &rig, speed_rad_s)?;
        let found = highest(plan, &rig, speed_rad_s, &w, None)?;
        Some((scale, rig, found))
    };
    let least = (LEAST_FUEL / FUEL_STEP).round() as i64;
    let mut empty = (1.0 / FUEL_STEP).round() as i64;
    let mut stride = 4;
    let mut open = None;
    while open.is_none() && empty > least {
        let percent = (empty - stride).max(least);
        match at(percent) {
            Some(found) => open = Some((percent, found)),
            None => empty = percent,
        }
        stride *= 2;
    }
    let (mut open_percent, mut found) = open?;
    while empty - open_percent > 1 {
        let middle = (empty + open_percent) / 2;
        match at(middle) {
            Some(better) => (open_percent, found) = (middle, better),
            None => empty = middle,
        }
    }
    Some(found)
}

/// The highest command on the grid that holds, by bisection between one that
/// holds and one that does not. With an answer expected at `near_pa` the two are
/// sought around it first.
pub(super) fn highest(
    plan: &CeilingPlan,
    rig: &Rig,
    speed_rad_s: f64,
    w: &Window,
    near_pa: Option<f64>,
) -> Option<Found> {
    let held = w.held.clone()?;
    let step = plan.step_pa;
    let corners = plan.corners();
    let (first, rest) = corners.split_at(corners.len().min(2));
    let try_with = |n: i64, corners: &[SensorCorner]| {
        try_command(plan, rig, speed_rad_s, n as f64 * step, corners)
    };
    // the deciding corners, then the rest where those hold
    let try_at = |n: i64| match try_with(n, first) {
        Trial::Holds(mut worst) if !rest.is_empty() => match try_with(n, rest) {
            Trial::Holds(more) => {
                merge_worst(&mut worst, more);
                Trial::Holds(worst)
            }
            fails => fails,
        },
        trial => trial,
    };
    // a command is met by the reading, which errors of the sensor and the place
    // where it sits keep apart from the true boost
    let mut top = (held.above_reading_pa / step).floor() as i64;
    if held.above.is_some() {
        top += 1;
    }
    // a command above all that can be read stays pinned for good
    let readable = (rig.sensors.boost.chain.readable_ceiling_pa() / step).floor() as i64;
    top = top.min(readable + 1);
    let mut end = Above::Reach;
    if let Some(clamp) = rig.controller.protections.command_clamp {
        let most = rig.controller.readable_ceiling_pa - clamp.margin_pa;
        let most = (most / step).floor() as i64;
        if most < top {
            top = most;
            end = Above::Clamp;
        }
    }
    let bottom = ((held.low.reading_pa / step).ceil() as i64).min(top);
    let found = |n: i64, worst, above| Found {
        command_pa: n as f64 * step,
        worst,
        above,
        held: held.clone(),
    };
    let near = near_pa.map(|pa| ((pa / step).round() as i64).clamp(bottom, top));
    let around = near.and_then(|near| bracket(&|n| try_with(n, first), bottom, near, top));
    let (mut holds, mut fails) = match around {
        Some(around) => around,
        None => {
            let fails = match try_at(top) {
                Trial::Holds(worst) => return Some(found(top, worst, end)),
                Trial::Fails(failure) => (top, failure),
            };
            let holds = first_that_holds(&|n| try_with(n, first), bottom, top)?;
            (holds, fails)
        }
    };
    // between the two with the deciding corners; what they let pass must then
    // hold at all corners, and where it does not the search goes on below
    loop {
        while fails.0 - holds.0 > 1 {
            let middle = (fails.0 + holds.0) / 2;
            match try_with(middle, first) {
                Trial::Holds(worst) => holds = (middle, worst),
                Trial::Fails(failure) => fails = (middle, failure),
            }
        }
        match try_at(holds.0) {
            Trial::Holds(worst) => return Some(found(holds.0, worst, Above::Limit(fails.1))),
            Trial::Fails(failure) => {
                fails = (holds.0, failure);
                holds = first_that_holds(&try_at, bottom, fails.0)?;
            }
        }
    }
}

/// A command that holds and the end of its bracket, one that fails.
type Bracket = ((i64, Vec<LimitResult>), (i64, Failure));

/// Goes from `near` up or down in growing strides to a command that holds and
/// one above it that fails; `None` where all up to the top hold, or none down
/// to the bottom does.
fn bracket(try_at: &impl Fn(i64) -> Trial, bottom: i64, near: i64, top: i64) -> Option<Bracket> {
    let mut holds = None;
    let mut fails = None;
    let (mut n, mut stride) = (near, 1);
    loop {
        match try_at(n) {
            Trial::Holds(worst) => holds = Some((n, worst)),
            Trial::Fails(failure) => fails = Some((n, failure)),
        }
        n = match (&holds, &fails) {
            (Some(_), Some(_)) => return holds.zip(fails),
            (Some((high, _)), None) if *high < top => (high + stride).min(top),
            (None, Some((low, _))) if *low > bottom => (low - stride).max(bottom),
            _ => return None,
        };
        stride *= 2;
    }
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

/// Some command between bottom and top that holds: the window may be narrower
/// under transients than at rest, so its middle and quarters are tried first.
fn first_that_holds(
    try_at: &impl Fn(i64) -> Trial,
    bottom: i64,
    top: i64,
) -> Option<(i64, Vec<LimitResult>)> {
    let span = top - bottom;
    let mut tried = Vec::new();
    for share in [0.5, 0.75, 0.9, 0.25, 0.97, 0.0] {
        let n = bottom + (share * span as f64).floor() as i64;
        if n >= top || tried.contains(&n) {
            continue;
        }
        tried.push(n);
        if let Trial::Holds(worst) = try_at(n) {
            return Some((n, worst));
        }
    }
    None
}

fn fill(
    cell: &mut CeilingCell,
    plan: &CeilingPlan,
    rig: &Rig,
    speed_rad_s: f64,
    ambient: Ambient,
    found: &Found,
) {
    cell.ceiling_kpa_abs = Some(found.command_pa * 1e-3);
    cell.ceiling_kpa_gauge = Some((found.command_pa - ambient.pressure_pa) * 1e-3);
    cell.floor_kpa_abs = (!found.held.low_is_open_stop).then_some(found.held.low.reading_pa * 1e-3);
    cell.binding_below = found.held.below.map(|k| k.name().to_string());
    cell.margins = margins(&found.worst);
    let mut binding_kind = None;
    match &found.above {
        Above::Reach => cell.binding_above = Some(UNREACHABLE.to_string()),
        Above::Clamp => cell.binding_above = Some(CLAMPED.to_string()),
        Above::Limit(failure) => {
            binding_kind = failure.limit;
            let name = failure.limit.map_or(OUTSIDE, LimitKind::name);
            cell.binding_above = Some(name.to_string());
            cell.fails_above = Some(in_words(failure));
            cell.replay = replay(plan, failure, found.command_pa + plan.step_pa);
        }
    }
    cell.next_above = next_above(&found.worst, binding_kind);
    fill_equilibrium(cell, rig, speed_rad_s, found.command_pa);
}

/// Headroom of every limit that has one.
fn margins(worst: &[LimitResult]) -> Vec<Margin> {
    worst
        .iter()
        .filter_map(|l| {
            Some(Margin {
                limit: l.name.clone(),
                headroom: l.headroom?,
                headroom_pct: l.headroom_pct?,
            })
        })
        .collect()
}

/// The limit with the least relative headroom besides the binding one and its
/// twin on the same wheel.
fn next_above(worst: &[LimitResult], binding: Option<LimitKind>) -> Option<String> {
    let kind = |name: &str| LimitKind::ALL.into_iter().find(|k| k.name() == name);
    worst
        .iter()
        .filter(|l| match (kind(&l.name), binding) {
            (Some(k), Some(b)) => !k.is_twin_of(b),
            (Some(_), None) => true,
            (None, _) => false,
        })
        .filter_map(|l| Some((l.headroom_pct?, l.name.clone())))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name)| name)
}

fn in_words(failure: &Failure) -> String {
    let c = &failure.corner;
    let mut words = format!("in the {}", failure.transient);
    if c.offset_pa != 0.0 || c.after_clamp_pa != 0.0 {
        words += &format!(
            " with the boost sensor {:+.1} kPa ahead of its clamp and {:+.1} kPa after it",
            c.offset_pa * 1e-3,
            c.after_clamp_pa * 1e-3
        );
    }
    words
}

/// Overrides that show the failure in a run.
fn replay(plan: &CeilingPlan, failure: &Failure, command_pa: f64) -> Vec<String> {
    let SensorCorner {
        offset_pa,
        after_clamp_pa,
    } = failure.corner;
    let mut sets = vec![format!(
        "controller.command.full_load={:.3} kPa abs",
        command_pa * 1e-3
    )];
    // the corner comes on top of the errors that the scenario's sensor has
    let own = plan.rig.sensors.boost.chain.error;
    for (key, own_pa, corner_pa) in [
        ("offset", own.offset_pa, offset_pa),
        ("offset_after_clamp", own.after_clamp_pa, after_clamp_pa),
    ] {
        if corner_pa != 0.0 {
            let kpa = (own_pa + corner_pa) * 1e-3;
            sets.push(format!("sensors.boost.{key}={kpa:.3} kPa"));
        }
    }
    sets
}

/// Power, shaft speed, vanes and drive pressure at the ceiling's equilibrium: where
/// the reading meets the command.
fn fill_equilibrium(cell: &mut CeilingCell, rig: &Rig, speed_rad_s: f64, command_pa: f64) {
    /// The reading differs from the true boost by a nearly constant amount.
    const CORRECTIONS: usize = 4;
    const CLOSE_PA: f64 = 10.0;
    let asked = full_fuel(speed_rad_s);
    let mut rig = rig.clone();
    let mut boost_pa = command_pa;
    for _ in 0..CORRECTIONS {
        rig.open_loop = Some(OpenLoop::Boost(boost_pa));
        let Ok(at) = start(&rig, asked) else {
            return;
        };
        let s = equilibrium_sample(&rig, asked, &at.state);
        cell.power_kw = Some(s.power_kw);
        cell.shaft_speed_rpm = Some(s.shaft_speed_rpm);
        cell.vane_closed_pct = Some(s.vane_closed_pct);
        cell.drive_pressure_kpa_abs = Some(s.drive_pressure_kpa_abs);
        let short_pa = command_pa - s.boost_sensed_kpa_abs * 1e3;
        if short_pa.abs() < CLOSE_PA {
            return;
        }
        boost_pa += short_pa;
    }
}
