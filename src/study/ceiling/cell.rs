//! The answer of one cell: its window, at full fuel or at less.
use super::plan::{CeilingPlan, SensorCorner, command_everywhere};
use super::search::{Above, Found, Near, highest};
use super::settled::at_command;
use super::trial::Failure;
use super::window::{Window, window};
use crate::gas::Ambient;
use crate::judgement::{CeilingCell, LimitKind, LimitResult, Margin};
use crate::simulation::Rig;
use std::f64::consts::PI;

/// Name of the bound where the vanes cannot bring more boost.
pub const UNREACHABLE: &str = "command_unreachable";
/// Name of the bound where the controller's own clamp holds the command.
pub const CLAMPED: &str = "command_clamp";
/// Name of the bound where the run leaves the model's validity.
pub const OUTSIDE: &str = "outside_validity";

/// Smallest share of the full-load fuel that a derate goes to \[%\].
const LEAST_FUEL_PCT: u32 = 40;

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
    if let Some(w) = &at_rest
        && let Ok(found) = highest(plan, &rig, speed_rad_s, w, Near::default())
    {
        cell.feasible = true;
        fill(&mut cell, plan, &rig, (speed_rad_s, ambient), w, &found);
        return cell;
    }
    derate(&mut cell, plan, ambient, speed_rad_s);
    cell
}

/// Rounded far finer than anything is known here; zero without a sign.
fn without_crumbs(value: f64) -> f64 {
    (value * 1e6).round() / 1e6 + 0.0
}

/// The largest share of the fuel, of all per cents below the whole, that opens a window;
/// where none does, what stands in its way at the least.
fn derate(cell: &mut CeilingCell, plan: &CeilingPlan, ambient: Ambient, speed_rad_s: f64) {
    let mut in_the_way = InTheWay::default();
    for percent in (LEAST_FUEL_PCT..100).rev() {
        let scale = f64::from(percent) * 0.01;
        let rig = plan.rig_in(ambient, scale);
        let Some(w) = window(plan, &rig, speed_rad_s) else {
            in_the_way = InTheWay::default();
            continue;
        };
        match highest(plan, &rig, speed_rad_s, &w, Near::default()) {
            Ok(found) => {
                cell.fuel_scale = scale;
                fill(cell, plan, &rig, (speed_rad_s, ambient), &w, &found);
                return;
            }
            Err(failure) => in_the_way = InTheWay::of(&w, failure),
        }
    }
    cell.binding_above = Some(
        in_the_way
            .above
            .map_or(OUTSIDE, LimitKind::name)
            .to_string(),
    );
    cell.binding_below = in_the_way.below.map(|kind| kind.name().to_string());
    cell.fails_above = in_the_way.failure.as_ref().map(in_words);
}

/// What keeps a window shut.
#[derive(Default)]
struct InTheWay {
    above: Option<LimitKind>,
    below: Option<LimitKind>,
    failure: Option<Failure>,
}

impl InTheWay {
    /// A failed run where there is a window at rest; where there is none, what breaks at
    /// the most boost, and at the least if that is another limit.
    fn of(w: &Window, failure: Option<Failure>) -> Self {
        if failure.is_some() {
            return Self {
                above: failure.as_ref().and_then(|f| f.limit),
                failure,
                below: None,
            };
        }
        let above = w.rising.last().and_then(|r| r.breaks);
        let below = w.rising.first().and_then(|r| r.breaks);
        Self {
            above,
            below: below.filter(|kind| Some(*kind) != above),
            failure: None,
        }
    }
}

fn fill(
    cell: &mut CeilingCell,
    plan: &CeilingPlan,
    rig: &Rig,
    (speed_rad_s, ambient): (f64, Ambient),
    w: &Window,
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
    fill_equilibrium(cell, rig, speed_rad_s, w, found.command_pa);
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
fn fill_equilibrium(
    cell: &mut CeilingCell,
    rig: &Rig,
    speed_rad_s: f64,
    w: &Window,
    command_pa: f64,
) {
    let mut rig = rig.clone();
    command_everywhere(&mut rig, command_pa);
    let Some(s) = at_command(&rig, speed_rad_s, command_pa, &w.rising) else {
        return;
    };
    cell.power_kw = Some(s.power_kw);
    cell.shaft_speed_rpm = Some(s.shaft_speed_rpm);
    cell.vane_closed_pct = Some(s.vane_closed_pct);
    cell.drive_pressure_kpa_abs = Some(s.drive_pressure_kpa_abs);
}
