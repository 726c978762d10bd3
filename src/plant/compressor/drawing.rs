//! The picture of a tabulated map.

use super::grid::{Grid, ratio_of_head};
use crate::map::{CompressorMapData, EfficiencyGrid, LineDrawing, MapDrawing};
use std::f64::consts::PI;

/// Columns (flow) and rows (pressure ratio) of the efficiency field.
const COLUMNS: usize = 72;
const ROWS: usize = 54;

/// Draws measured lines, the begin of the stable branch as surge line, and the
/// efficiency between slowest and fastest line, surge line and last points.
pub(super) fn draw(data: &CompressorMapData, grid: &Grid) -> MapDrawing {
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
        efficiency: efficiency(&lines, grid),
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
    let (flow, ratio) = (range(0), range(1));
    let at = |range: [f64; 2], index: usize, count: usize| {
        range[0] + (range[1] - range[0]) * index as f64 / (count - 1) as f64
    };
    let values = (0..ROWS)
        .flat_map(|row| (0..COLUMNS).map(move |column| (row, column)))
        .map(|(row, column)| efficiency_at(grid, at(flow, column, COLUMNS), at(ratio, row, ROWS)))
        .collect();
    EfficiencyGrid {
        flow_kg_s: flow,
        pressure_ratio: ratio,
        columns: COLUMNS,
        rows: ROWS,
        values,
    }
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
