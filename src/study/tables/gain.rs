//! Power against shaft speed as the command rises, and where more stops paying.
use super::plan::TablesPlan;
use super::row::{Row, rpm};
use crate::judgement::{GainCurve, GainPoint, Knee};

/// A slope below this share of the best one is past the knee.
pub const KNEE_SHARE: f64 = 1.0 / 3.0;
/// A curve over less shaft speed than this tells nothing \[rpm\].
const LONG_RPM: f64 = 2000.0;
/// Points on the way from open vanes to the ceiling.
const POINTS: usize = 17;

/// The curves of all rows and places, row by row.
pub fn curves(plan: &TablesPlan, rows: &[Row]) -> Vec<GainCurve> {
    let mut curves = Vec::new();
    for row in rows {
        for place in 0..plan.places.len() {
            curves.extend(one(plan, row, place));
        }
    }
    curves
}

fn one(plan: &TablesPlan, row: &Row, place: usize) -> Option<GainCurve> {
    let curve = row.curves[place].as_ref()?;
    let cell = &row.cells[place];
    let ceiling = cell.ceiling_kpa_abs.filter(|_| cell.feasible)? * 1e3;
    let low = curve.open_pa().max(cell.floor_kpa_abs.unwrap_or(0.0) * 1e3);
    let high = ceiling.min(curve.reach_pa());
    let mut points: Vec<GainPoint> = Vec::new();
    if high > low {
        for k in 0..POINTS {
            let at = low + (high - low) * k as f64 / (POINTS - 1) as f64;
            let rest = curve.at(at);
            points.push(GainPoint {
                command_kpa_abs: at * 1e-3,
                vane_closed_pct: 100.0 * rest.vane_closed,
                shaft_speed_rpm: rest.shaft_speed_rpm,
                power_kw: rest.power_kw,
                drive_pressure_kpa_abs: rest.drive_pressure_kpa_abs,
                slope_kw_per_krpm: points
                    .last()
                    .and_then(|before| slope(before, rest.shaft_speed_rpm, rest.power_kw)),
            });
        }
    }
    let ambient = plan.places[place].ambient;
    Some(GainCurve {
        engine_speed_rpm: rpm(row.speed_rad_s),
        altitude_m: ambient.altitude_m,
        ambient_kpa_abs: ambient.pressure_pa * 1e-3,
        ambient_k: ambient.temperature_k,
        least: row.least_place == Some(place),
        knee: knee(&points),
        points,
        chosen_kpa_abs: row.command_pa.map(|pa| plan.at_place_pa(place, pa) * 1e-3),
    })
}

fn slope(before: &GainPoint, rpm: f64, power_kw: f64) -> Option<f64> {
    let krpm = (rpm - before.shaft_speed_rpm) * 1e-3;
    (krpm > 0.0).then(|| (power_kw - before.power_kw) / krpm)
}

/// The curve that turns the shaft fastest: of those with a knee where there are
/// any, and that are long enough to be seen.
pub fn critical(curves: &[GainCurve]) -> Option<usize> {
    let long = |curve: &GainCurve| match (curve.points.first(), curve.points.last()) {
        (Some(a), Some(b)) => b.shaft_speed_rpm - a.shaft_speed_rpm > LONG_RPM,
        _ => false,
    };
    let fastest = |wanted: &dyn Fn(&GainCurve) -> bool| {
        curves
            .iter()
            .enumerate()
            .filter(|(_, curve)| wanted(curve))
            .filter_map(|(at, curve)| Some((at, curve.points.last()?.shaft_speed_rpm)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(at, _)| at)
    };
    fastest(&|curve| curve.knee.is_some() && long(curve)).or_else(|| fastest(&long))
}

/// The knee: the last point before every further slope stays below a third of
/// the best. `None` where the slope never falls that far, or nothing is gained
/// at all.
pub fn knee(points: &[GainPoint]) -> Option<Knee> {
    let slopes: Vec<f64> = points
        .windows(2)
        .map(|pair| slope(&pair[0], pair[1].shaft_speed_rpm, pair[1].power_kw).unwrap_or(0.0))
        .collect();
    let best = slopes.iter().copied().fold(0.0, f64::max);
    if best <= 0.0 {
        return None;
    }
    let bound = best * KNEE_SHARE;
    let last_good = slopes.iter().rposition(|s| *s >= bound)?;
    let at = points.get(last_good + 1)?;
    // the last slope of all is good: the curve ends before its knee
    (last_good + 1 < slopes.len()).then_some(Knee {
        command_kpa_abs: at.command_kpa_abs,
        shaft_speed_rpm: at.shaft_speed_rpm,
        power_kw: at.power_kw,
        best_slope_kw_per_krpm: best,
        least_slope_kw_per_krpm: bound,
    })
}
