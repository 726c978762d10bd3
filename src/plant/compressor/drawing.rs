//! The picture of a tabulated map.

use super::grid::{Grid, Slice, ratio_of_head};
use super::speed_lines::SpeedLineCompressor;
use crate::map::{
    CompressorMapData, CompressorSurvey, Curve, CurveKind, EfficiencyGrid, LineDrawing, MapDrawing,
    RawSpeedLines,
};
use std::f64::consts::PI;

/// Columns (flow) and rows (pressure ratio) of the efficiency field.
const COLUMNS: usize = 72;
const ROWS: usize = 54;

/// Steps of a drawn curve.
const STEPS: usize = 48;
/// Speeds below the slowest and above the fastest line that are drawn, over those.
const SLOWER: f64 = 0.6;
const FASTER: f64 = 1.06;
/// How far along the continuation past choke is drawn: near its end it falls
/// without bound.
const PAST_CHOKE: f64 = 0.97;

/// A map of any shape with what interpolation and extrapolation make of it.
/// Where the lines make no compressor, those with a stable branch are drawn as if
/// they did.
pub fn survey(raw: &RawSpeedLines) -> CompressorSurvey {
    let compressor = raw.drawable().map(|data| SpeedLineCompressor::new(&data));
    let grid = compressor.as_ref().map(SpeedLineCompressor::grid);
    CompressorSurvey {
        map: measured(raw, grid),
        curves: compressor.as_ref().map_or_else(Vec::new, curves),
    }
}

fn curves(compressor: &SpeedLineCompressor) -> Vec<Curve> {
    let grid = compressor.grid();
    let speeds: Vec<f64> = compressor
        .data()
        .lines()
        .iter()
        .map(|line| line.corrected_speed_rad_s / grid.highest_rad_s)
        .collect();
    let mut curves = Vec::new();
    for &n in &speeds {
        let slice = grid.slice(n);
        curves.push(curve(CurveKind::Measured, |share| stable(&slice, share)));
        let past = compressor.past_choke(&slice);
        curves.push(curve(CurveKind::Beyond, |share| {
            let z = PAST_CHOKE * share;
            [past.flow + z * past.width, ratio_of_head(past.head(z)[0])]
        }));
        let left = SpeedLineCompressor::left_of_surge(&slice);
        curves.push(curve(CurveKind::Beyond, |share| {
            let u = 1.0 - share;
            [u * slice.surge_flow, ratio_of_head(left.head(u)[0])]
        }));
    }
    for pair in speeds.windows(2) {
        let slice = grid.slice(0.5 * (pair[0] + pair[1]));
        curves.push(curve(CurveKind::Between, |share| stable(&slice, share)));
    }
    for n in [SLOWER * grid.lowest, FASTER] {
        let slice = grid.slice(n);
        curves.push(curve(CurveKind::Beyond, |share| stable(&slice, share)));
    }
    curves
}

/// A point of the stable branch.
fn stable(slice: &Slice<'_>, share: f64) -> [f64; 2] {
    let flow = slice.surge_flow + share * (slice.choke_flow - slice.surge_flow);
    [flow, ratio_of_head(slice.head(share)[0])]
}

fn curve(kind: CurveKind, at: impl Fn(f64) -> [f64; 2]) -> Curve {
    let points = (0..=STEPS)
        .map(|step| at(step as f64 / STEPS as f64))
        .collect();
    Curve { kind, points }
}

/// Draws measured lines, the begin of the stable branch as surge line, and the
/// efficiency between slowest and fastest line, surge line and last points.
pub(super) fn draw(data: &CompressorMapData, grid: &Grid) -> MapDrawing {
    measured(data.raw(), Some(grid))
}

fn measured(data: &RawSpeedLines, grid: Option<&Grid>) -> MapDrawing {
    let header = data.header();
    let lines: Vec<LineDrawing> = data
        .lines()
        .iter()
        .map(|line| LineDrawing {
            corrected_speed_rpm: line.corrected_speed_rad_s * 30.0 / PI,
            points: line
                .points
                .iter()
                .map(|p| [p.corrected_flow_kg_s, p.pressure_ratio])
                .collect(),
        })
        .collect();
    let surge = data
        .lines()
        .iter()
        .map(|line| {
            let p = line.points[line.stable_from()];
            [p.corrected_flow_kg_s, p.pressure_ratio]
        })
        .collect();
    MapDrawing {
        reference_pressure_pa: header.reference.pressure_pa,
        reference_temperature_k: header.reference.temperature_k,
        data: header.data.word().to_owned(),
        efficiency: grid.map_or_else(EfficiencyGrid::default, |grid| efficiency(&lines, grid)),
        lines,
        surge,
    }
}

fn efficiency(lines: &[LineDrawing], grid: &Grid) -> EfficiencyGrid {
    let range = |axis: usize| {
        lines
            .iter()
            .flat_map(|line| &line.points)
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], point| {
                [low.min(point[axis]), high.max(point[axis])]
            })
    };
    EfficiencyGrid::over(range(0), range(1), [COLUMNS, ROWS], |flow, ratio| {
        efficiency_at(grid, flow, ratio)
    })
}

/// Efficiency at a corrected flow and pressure ratio; none outside the lines.
fn efficiency_at(grid: &Grid, flow: f64, ratio: f64) -> Option<f64> {
    // At one flow the ratio rises with speed: bisect the speed.
    let (mut low, mut high) = (grid.lowest, 1.0);
    for _ in 0..32 {
        let middle = 0.5 * (low + high);
        let slice = grid.slice(middle);
        let too_slow = flow > slice.choke_flow
            || flow >= slice.surge_flow
                && ratio_of_head(slice.head(beta(slice.surge_flow, slice.choke_flow, flow))[0])
                    < ratio;
        if too_slow {
            low = middle;
        } else {
            high = middle;
        }
    }
    let slice = grid.slice(0.5 * (low + high));
    let beta = beta(slice.surge_flow, slice.choke_flow, flow);
    let inside = (0.0..=1.0).contains(&beta)
        && (ratio_of_head(slice.head(beta)[0]) - ratio).abs() < 1e-5 * ratio;
    inside.then(|| slice.efficiency(beta))
}

fn beta(surge_flow: f64, choke_flow: f64, flow: f64) -> f64 {
    (flow - surge_flow) / (choke_flow - surge_flow)
}
