//! The tabulated map at work: measured points, branches, smoothness.

use super::demo;
use crate::random::for_random;
use ringfence::map::CompressorMapData;
use ringfence::plant::compressor::{
    CompressorDemand, CompressorForm, CompressorPoint, SpeedLineCompressor,
};
use std::sync::LazyLock;

static DEMO: LazyLock<SpeedLineCompressor> =
    LazyLock::new(|| SpeedLineCompressor::new(&demo::map()));

/// Demand at the map's reference conditions without losses.
fn bare(speed_rad_s: f64, ratio: f64) -> CompressorDemand {
    CompressorDemand {
        shaft_speed_rad_s: speed_rad_s,
        ambient_pressure_pa: 100_000.0,
        inlet_temperature_k: 298.15,
        gas_constant_j_kg_k: 287.05,
        inlet_loss_pa_s2_kg2: 0.0,
        outlet_loss_pa_s2_kg2: 0.0,
        outlet_pressure_pa: 100_000.0 * ratio,
    }
}

/// The same behind a filter of 4 kPa and a cooler of 10 kPa at 0.4 kg/s.
fn ducted(speed_rad_s: f64, ratio: f64) -> CompressorDemand {
    CompressorDemand {
        inlet_loss_pa_s2_kg2: 25_000.0,
        outlet_loss_pa_s2_kg2: 62_500.0,
        ..bare(speed_rad_s, ratio)
    }
}

fn head(ratio: f64) -> f64 {
    ratio.powf(2.0 / 7.0) - 1.0
}

/// Every measured point is reproduced. Resampling 12 points on 32 cells keeps
/// them within 3e-4 of the flow range and of the efficiency.
#[test]
fn measured_points_are_met() {
    let mut proof = crate::proof::row("map-points");
    for line in demo::map().lines() {
        let last = line.points.last().unwrap().corrected_flow_kg_s;
        for point in &line.points[line.stable_from()..] {
            let demand = bare(line.corrected_speed_rad_s, point.pressure_ratio);
            let got = DEMO.operate(&demand);
            let off = (got.corrected_flow_kg_s - point.corrected_flow_kg_s).abs() / last;
            proof.see(off, point);
            assert!(
                (got.efficiency - point.efficiency).abs() < 1e-3,
                "{got:?} {point:?}"
            );
        }
    }
    proof.done();
}

/// A map whose lines rise before they fall: the stable branch begins at the
/// peak, and left of it surge is reported.
#[test]
fn rising_part_of_a_line_is_surge() {
    let text = "# about: lines with a peak
# data: invented
# reference_pressure: 100 kPa abs
# reference_temperature: 298.15 K
# source: this test
corrected_speed [krpm], corrected_flow [g/s], pressure_ratio [-], efficiency [%]
60, 40, 1.28, 60
60, 60, 1.30, 68
60, 100, 1.22, 66
60, 120, 1.10, 50
90, 80, 1.70, 62
90, 110, 1.75, 70
90, 150, 1.62, 70
90, 180, 1.35, 52
120, 150, 2.40, 64
120, 180, 2.44, 70
120, 230, 2.20, 70
120, 250, 1.80, 55
";
    let data = CompressorMapData::parse(text).unwrap();
    let compressor = SpeedLineCompressor::new(&data);
    let speed = data.lines()[1].corrected_speed_rad_s;
    let stable = compressor.operate(&ducted(speed, 1.6));
    assert!(
        !stable.surging && stable.corrected_flow_kg_s > 0.110,
        "{stable:?}"
    );
    let surge = compressor.operate(&ducted(speed, 1.76));
    assert!(
        surge.surging && surge.corrected_flow_kg_s < 0.110,
        "{surge:?}"
    );
    assert!(surge.surge_margin < 0.0);
    let shut = compressor.operate(&ducted(speed, 2.5));
    assert!(
        shut.surging && shut.flow_kg_s == 0.0 && shut.surge_margin == -1.0,
        "{shut:?}"
    );
}

/// More pressure behind the compressor never gives more flow, at any speed.
#[test]
fn flow_falls_with_pressure() {
    let top = DEMO.highest_speed_rad_s();
    for s in 0..60 {
        let speed = top * 1.2 * f64::from(s) / 59.0;
        let mut last = f64::INFINITY;
        for r in 0..2000 {
            let ratio = 0.5 + 6.0 * f64::from(r) / 1999.0;
            let point = DEMO.operate(&ducted(speed, ratio));
            assert!(
                point.flow_kg_s < last || point.flow_kg_s == 0.0,
                "{speed} rad/s, ratio {ratio}: {point:?}"
            );
            last = point.flow_kg_s;
        }
    }
}

/// Below the lowest line: flow ∝ speed, isentropic head ∝ speed², the same
/// efficiency (similarity of incompressible flow; Dixon & Hall ch. 2).
#[test]
fn similarity_below_the_lowest_line() {
    let lowest = DEMO.lowest_speed_rad_s();
    let mut proof = crate::proof::row("map-similarity");
    for share in [0.25, 0.5, 0.9] {
        for ratio in [1.09, 1.12, 1.15] {
            let high = DEMO.operate(&bare(lowest, ratio));
            let reduced = (1.0 + share * share * head(ratio)).powf(3.5);
            let low = DEMO.operate(&bare(share * lowest, reduced));
            let flow = low.corrected_flow_kg_s / share / high.corrected_flow_kg_s;
            proof.absolute(flow, 1.0, &(share, ratio));
            proof.absolute(low.efficiency, high.efficiency, &(share, ratio));
            assert!(low.extrapolated && !high.extrapolated);
        }
    }
    proof.done();
}

/// Without rotation the compressor is a restriction: no pressure difference, no
/// flow; an open one passes an idling engine's air with less than 1 kPa.
#[test]
fn standing_wheel_passes_air() {
    let closed = DEMO.operate(&bare(0.0, 1.0));
    assert_eq!(closed.flow_kg_s, 0.0);
    let open = DEMO.operate(&bare(0.0, 0.99));
    assert!(open.flow_kg_s > 0.03 && open.flow_kg_s < 0.2, "{open:?}");
    assert!(open.efficiency > 0.0 && !open.surging);
}

/// Flow and its slope have no jump where branches and lines meet: a second
/// difference over 1e-5 of the argument is that small against the slope that a
/// jump of the slope by 2 % would show.
#[test]
fn slopes_are_continuous() {
    let check = |at: f64, step: f64, what: &str, flow: &dyn Fn(f64) -> f64| {
        let (below, here, above) = (flow(at - step), flow(at), flow(at + step));
        let (left, right) = ((here - below) / step, (above - here) / step);
        let scale = left.abs().max(right.abs()).max(1e-9);
        assert!(
            (left - right).abs() < 0.02 * scale,
            "{what} at {at}: {left} {right}"
        );
    };
    let lowest = DEMO.lowest_speed_rad_s();
    for line in demo::map().lines() {
        let speed = line.corrected_speed_rad_s;
        let ends = [line.points[0], *line.points.last().unwrap()];
        for end in ends {
            let ratio = pressure_behind(end.corrected_flow_kg_s, end.pressure_ratio);
            let flow = |ratio: f64| DEMO.operate(&ducted(speed, ratio)).flow_kg_s;
            check(ratio, 1e-6, "branch", &flow);
        }
        let middle = line.points[6];
        let ratio = pressure_behind(middle.corrected_flow_kg_s, middle.pressure_ratio);
        let flow = |speed: f64| DEMO.operate(&ducted(speed, ratio)).flow_kg_s;
        check(speed, 1e-4 * lowest, "line", &flow);
    }
}

/// Pressure behind the duct over ambient at a corrected flow, by fixed point.
fn pressure_behind(corrected_flow_kg_s: f64, ratio: f64) -> f64 {
    let mut inlet_pa = 100_000.0;
    for _ in 0..60 {
        let flow = corrected_flow_kg_s * inlet_pa / 100_000.0;
        inlet_pa = 100_000.0 - 25_000.0 * flow * flow;
    }
    let flow = corrected_flow_kg_s * inlet_pa / 100_000.0;
    (inlet_pa * ratio - 62_500.0 * flow * flow) / 100_000.0
}

/// Nowhere between the lines does flow change by leaps with speed.
#[test]
fn no_leaps_across_speed() {
    let top = DEMO.highest_speed_rad_s();
    for ratio in [0.9, 1.0, 1.2, 1.6, 2.2, 3.0, 4.0] {
        let mut last: Option<CompressorPoint> = None;
        for s in 0..=6000 {
            let speed = 1.1 * top * f64::from(s) / 6000.0;
            let point = DEMO.operate(&ducted(speed, ratio));
            if let Some(last) = last {
                // 1/6000 of the speed range: at most 1.5 % of the highest flow,
                // which is the artificial branch with its nearly level line.
                let leap = (point.flow_kg_s - last.flow_kg_s).abs() / 0.54;
                assert!(leap < 0.015, "{leap} at {speed} rad/s, ratio {ratio}");
            }
            last = Some(point);
        }
    }
}

/// Whatever is asked: finite figures, and the pressures add up around the duct with the
/// returned flow.
#[test]
fn the_duct_balances() {
    let mut proof = crate::proof::row("duct");
    let demands = (
        0.0..1.4_f64,
        55_000.0..110_000.0_f64,
        230.0..340.0_f64,
        0.0..200_000.0_f64,
        0.0..400_000.0_f64,
        20_000.0..900_000.0_f64,
    );
    for_random(
        4000,
        &demands,
        |(speed_share, ambient_pa, inlet_k, before, after, outlet_pa)| {
            let demand = CompressorDemand {
                shaft_speed_rad_s: speed_share * DEMO.highest_speed_rad_s(),
                ambient_pressure_pa: ambient_pa,
                inlet_temperature_k: inlet_k,
                gas_constant_j_kg_k: 287.05,
                inlet_loss_pa_s2_kg2: before,
                outlet_loss_pa_s2_kg2: after,
                outlet_pressure_pa: outlet_pa,
            };
            let point = DEMO.operate(&demand);
            let square = point.flow_kg_s * point.flow_kg_s;
            for figure in [
                point.flow_kg_s,
                point.efficiency,
                point.surge_margin,
                point.choke_margin,
            ] {
                assert!(figure.is_finite(), "{point:?}");
            }
            assert!(point.flow_kg_s >= 0.0 && point.efficiency > 0.0 && point.efficiency < 0.9);
            let inlet_pa = ambient_pa - before * square;
            proof.see(
                (point.inlet_pressure_pa - inlet_pa).abs() / ambient_pa,
                &point,
            );
            let own_pa = point.inlet_pressure_pa * point.pressure_ratio;
            proof.relative(own_pa, point.outlet_pressure_pa, &point);
            if point.flow_kg_s > 0.0 {
                let left_over_pa = point.outlet_pressure_pa - after * square - outlet_pa;
                proof.see(left_over_pa.abs() / outlet_pa.max(ambient_pa), &point);
            } else {
                assert!(point.surging, "{point:?}");
                assert!(
                    point.outlet_pressure_pa <= outlet_pa * (1.0 + 1e-12),
                    "{point:?}"
                );
            }
            let reference = DEMO.reference();
            let corrected =
                reference.corrected_flow_kg_s(point.flow_kg_s, point.inlet_pressure_pa, inlet_k);
            assert!(
                (corrected - point.corrected_flow_kg_s).abs() < 1e-12,
                "{point:?}"
            );
            assert_eq!(point.surging, point.surge_margin < 0.0);
            assert_eq!(point, DEMO.operate(&demand));
        },
    );
    proof.done();
}

#[test]
fn drawing_shows_the_measured_part() {
    let drawing = DEMO.drawing();
    assert_eq!((drawing.lines.len(), drawing.surge.len()), (9, 9));
    let grid = &drawing.efficiency;
    assert_eq!(grid.values.len(), grid.columns * grid.rows);
    let shown: Vec<f64> = grid.values.iter().flatten().copied().collect();
    let share = shown.len() as f64 / grid.values.len() as f64;
    assert!(
        (0.25..0.8).contains(&share),
        "{share} of the field is shown"
    );
    let best = shown.iter().copied().fold(0.0, f64::max);
    assert!((0.76..0.78).contains(&best), "{best}");
    // No flow at a high ratio and all flow at none: both outside.
    assert_eq!(grid.values[(grid.rows - 1) * grid.columns], None);
    assert_eq!(grid.values[grid.columns - 1], None);
}
