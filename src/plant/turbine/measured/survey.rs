//! The picture of a measured turbine.

use super::{MeasuredVanes, Vane};
use crate::map::{Curve, CurveKind, TurbineSurvey, VaneSurvey};
use std::f64::consts::PI;

/// Points of a drawn curve.
const STEPS: usize = 60;
/// How far beyond the highest measured expansion ratio curves are drawn.
const BEYOND_RATIO: f64 = 1.2;
/// Highest blade-speed ratio that is drawn.
const HIGHEST_BLADE_SPEED: f64 = 1.2;

/// Measured points with the curves between and beyond them.
pub(super) fn survey(turbine: &MeasuredVanes) -> TurbineSurvey {
    let header = turbine.data.header();
    let highest = turbine
        .vanes
        .iter()
        .fold(1.0_f64, |most, vane| most.max(vane.flow.range()[1]));
    TurbineSurvey {
        reference_pressure_pa: header.reference.pressure_pa,
        reference_temperature_k: header.reference.temperature_k,
        data: header.data.word().to_owned(),
        vanes: turbine
            .vanes
            .iter()
            .enumerate()
            .map(|(v, vane)| of_vane(turbine, v, vane, highest * BEYOND_RATIO))
            .collect(),
    }
}

fn of_vane(turbine: &MeasuredVanes, v: usize, vane: &Vane, to_ratio: f64) -> VaneSurvey {
    let lines = &turbine.data.vanes()[v].lines;
    let points = lines.iter().flat_map(|line| {
        let speed = line.corrected_speed_rad_s;
        line.points.iter().map(move |point| (speed, point))
    });
    let [low, high] = vane.flow.range();
    let flow = |ratio: f64| Some(vane.flow.at(1.0 / ratio)[0]);
    // the line whose speed is in the middle
    let middle = lines.len() / 2;
    let curve = &vane.efficiency[middle];
    let [slow, fast] = curve.range();
    let efficiency = |ratio: f64| {
        let value = curve.work(ratio, 1.0, ratio);
        (value >= 0.0).then_some(value)
    };
    VaneSurvey {
        vane_closed_pct: vane.closed * 100.0,
        flow_points: points
            .clone()
            .map(|(_, p)| [p.expansion_ratio, p.corrected_flow_kg_s])
            .collect(),
        flow: vec![
            sampled(CurveKind::Beyond, [1.0, low], flow),
            sampled(CurveKind::Measured, [low, high], flow),
            sampled(CurveKind::Beyond, [high, to_ratio.max(high)], flow),
        ],
        efficiency_points: points
            .map(|(speed, p)| {
                let ratio = turbine.data.blade_speed_ratio(speed, p.expansion_ratio);
                [ratio, p.efficiency]
            })
            .collect(),
        efficiency: vec![
            sampled(CurveKind::Beyond, [0.0, slow], efficiency),
            sampled(CurveKind::Measured, [slow, fast], efficiency),
            sampled(
                CurveKind::Beyond,
                [fast, HIGHEST_BLADE_SPEED.max(fast)],
                efficiency,
            ),
        ],
        efficiency_at_rpm: vane.speeds_rad_s[middle] * 30.0 / PI,
    }
}

/// A curve over a range, closer where it begins; without the places that have no
/// value.
fn sampled(kind: CurveKind, [from, to]: [f64; 2], of: impl Fn(f64) -> Option<f64>) -> Curve {
    let points = (0..=STEPS)
        .filter_map(|step| {
            let share = (step as f64 / STEPS as f64).powi(2);
            let at = from + share * (to - from);
            Some([at, of(at)?])
        })
        .collect();
    Curve { kind, points }
}
