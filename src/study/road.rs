//! Safe ceilings along the road of a climb.
use super::ceiling::{CeilingPlan, cells_along};
use super::progress::Progress;
use crate::judgement::CeilingCell;
use crate::scenario::Scenario;
use crate::scenario::build::{BuildFailure, Setup, ambient_at};
use crate::scenario::{CeilingAlong, Climb, ProcedurePart};
use crate::simulation::Sample;
use crate::study::single::SingleRun;
use std::f64::consts::PI;

/// Engine speeds that nobody asked for are rounded to this \[rpm\].
const ROUND_RPM: f64 = 50.0;

/// Computes the ceilings along the road of a climb that asks for them and puts
/// them into the result of its run.
///
/// # Errors
/// An altitude at which the day is outside the standard atmosphere's range.
pub fn ceiling_along(
    scenario: &Scenario,
    setup: &Setup,
    run: &mut SingleRun,
    progress: &dyn Progress,
) -> Result<(), BuildFailure> {
    let (Some((climb, along)), Some(road)) = (asked(scenario), &mut run.result.road) else {
        return Ok(());
    };
    let speed_rad_s = along.engine_speed.map_or_else(
        || (road.mean_engine_speed_rpm / ROUND_RPM).round() * ROUND_RPM * PI / 30.0,
        |n| n.rad_s(),
    );
    let plan = CeilingPlan::of(scenario, setup)?;
    let ambients = altitudes_m(climb, along.every.m())
        .into_iter()
        .map(|m| ambient_at(scenario, m))
        .collect::<Result<Vec<_>, _>>()?;
    road.cells = cells_along(&plan, &ambients, speed_rad_s, progress);
    road.command_above_ceiling_from_m = first_above_m(&run.samples, &road.cells);
    Ok(())
}

fn asked(scenario: &Scenario) -> Option<(&Climb, &CeilingAlong)> {
    scenario.procedure.iter().find_map(|part| match part {
        ProcedurePart::Climb(climb) => Some((&**climb, climb.ceiling_along.as_ref()?)),
        _ => None,
    })
}

/// From the lowest altitude of the road in steps to the highest, that one
/// included.
fn altitudes_m(climb: &Climb, every_m: f64) -> Vec<f64> {
    let (low, high) = climb
        .road
        .altitude
        .iter()
        .map(|h| h.m())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), h| {
            (low.min(h), high.max(h))
        });
    // a step that ends within a hair of the top is the top
    let whole = ((high - low) / every_m - 1e-6).ceil().max(0.0) as usize;
    let mut list: Vec<f64> = (0..whole).map(|k| low + k as f64 * every_m).collect();
    list.push(high);
    list
}

/// Altitude of the first sample whose command lies above the ceiling \[m\].
fn first_above_m(samples: &[Sample], cells: &[CeilingCell]) -> Option<f64> {
    samples.iter().find_map(|s| {
        let altitude_m = s.altitude_m?;
        let above = s.boost_command_kpa_abs? > ceiling_at_kpa(cells, altitude_m)?;
        above.then_some(altitude_m)
    })
}

/// The ceiling at an altitude, straight between the cells \[kPa abs\].
fn ceiling_at_kpa(cells: &[CeilingCell], altitude_m: f64) -> Option<f64> {
    cells.windows(2).find_map(|pair| {
        let (low, high) = (pair[0].altitude_m?, pair[1].altitude_m?);
        if !(low..=high).contains(&altitude_m) {
            return None;
        }
        let share = (altitude_m - low) / (high - low);
        let (a, b) = (pair[0].ceiling_kpa_abs?, pair[1].ceiling_kpa_abs?);
        Some(a + (b - a) * share)
    })
}
