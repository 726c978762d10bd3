//! The mean-line model against published correlations and worked examples.

use super::corrected::{number, rows};
use super::demo;
use proptest::prelude::*;
use ringfence::map::{CompressorMapData, MapPoint, SpeedLine};
use ringfence::plant::compressor::{
    CompressorDemand, CompressorForm, SlipModel, SpeedLineCompressor, WheelGeometry,
    wheel::WheelLosses, work,
};

/// Slip factors; tests/data/reference/ef_formula_samples.csv, rows wiesner
/// (J. Eng. Power 89, 1967), stodola, stanitz; 1e-6 of the formula.
#[test]
fn slip_factors() {
    let mut seen = 0;
    let mut proof = crate::proof::row("slip");
    for row in rows("ef_formula_samples.csv") {
        let model = match row[0].as_str() {
            "wiesner" => SlipModel::Wiesner,
            "stodola" => SlipModel::Stodola,
            "stanitz" => SlipModel::Stanitz,
            _ => continue,
        };
        seen += 1;
        let args: Vec<f64> = serde_json::from_str(&row[1]).unwrap();
        let backsweep_deg: f64 = args.get(1).copied().unwrap_or(0.0);
        let factor = model.factor(args[0], backsweep_deg.to_radians(), 0.0);
        proof.relative(factor, number(&row[2]), &row);
    }
    proof.done();
    assert_eq!(seen, 4);
}

fn example(id: &str) -> (serde_json::Value, f64) {
    let row = rows("cdef_worked_examples.csv")
        .into_iter()
        .find(|row| row[0] == id)
        .expect("the example is there");
    let expected = if row[5].is_empty() { &row[7] } else { &row[5] };
    (serde_json::from_str(&row[3]).unwrap(), number(expected))
}

/// Gorla & Khan, Turbomachinery Design and Theory (2003), example 4.2: total
/// temperature and pressure ratio of a radial-bladed wheel (rows e2a, e2b of
/// tests/data/reference/cdef_worked_examples.csv, 0.1 and 0.2 %).
#[test]
fn work_of_a_radial_wheel() {
    let (given, temperature_k) = example("e2a");
    let figure = |key: &str| given[key].as_f64().unwrap();
    let work_j_kg = work::euler_work_j_kg(figure("U2"), figure("slip"), figure("Cr2"), 0.0);
    let outlet_k = work::outlet_temperature_k(figure("T01"), work_j_kg, figure("cp"));
    crate::proof::row("wheel-temperature").reached((outlet_k / temperature_k - 1.0).abs());
    let (_, ratio) = example("e2b");
    let rise = outlet_k / figure("T01") - 1.0;
    let got = work::pressure_ratio(rise, figure("eta"), 1.4);
    crate::proof::row("wheel-ratio").reached((got / ratio - 1.0).abs());
}

/// Cengel & Boles, Thermodynamics 8e, problem 7-214: compressor efficiency of a
/// turbocharger from its energy balance (row e1b, ±0.005).
#[test]
fn efficiency_of_a_measured_compressor() {
    let (_, outlet_c) = example("e1a");
    let (given, efficiency) = example("e1b");
    let figure = |key: &str| given[key].as_f64().unwrap();
    let got = work::isentropic_efficiency(
        figure("T1_C") + 273.15,
        outlet_c + 273.15,
        figure("p2_kPa") / figure("p1_kPa"),
        figure("gamma_air"),
    );
    crate::proof::row("compressor-efficiency").reached((got - efficiency).abs());
}

/// A 70 mm truck wheel with the sizes used as an example in the theory of this
/// model; what such wheels do is workshop knowledge (from memory): near 5 at
/// 648 m/s, 3.6 to 4 at 550 m/s, width from surge to choke about 2 at 3.
fn truck_wheel() -> WheelGeometry {
    WheelGeometry {
        tip_diameter_m: 0.070,
        tip_width_m: 0.0068,
        backsweep_deg: 32.0,
        full_blades: 6,
        splitter_blades: 6,
        inducer_tip_diameter_m: 0.053,
        inducer_hub_diameter_m: 0.018,
        throat_area_m2: 1.78e-3,
        peak_efficiency: 0.77,
        slip: SlipModel::Wiesner,
        losses: WheelLosses::default(),
    }
}

fn lines_of(wheel: &WheelGeometry, top_m_s: f64) -> CompressorMapData {
    wheel
        .speed_lines(demo::map().header().clone(), top_m_s)
        .expect("the wheel is sound")
}

fn best(line: &SpeedLine) -> MapPoint {
    *line
        .points
        .iter()
        .max_by(|a, b| a.efficiency.total_cmp(&b.efficiency))
        .unwrap()
}

#[test]
fn truck_wheel_is_plausible() {
    let map = lines_of(&truck_wheel(), 648.0);
    let top = map.lines().last().unwrap();
    assert!((0.72..0.85).contains(&top.points.last().unwrap().corrected_flow_kg_s));
    assert!((4.4..5.2).contains(&best_ratio_at_middle(top)), "{top:?}");
    let at_550 = lines_of(&truck_wheel(), 550.0);
    let line = at_550.lines().last().unwrap();
    assert!((3.5..4.1).contains(&best_ratio_at_middle(line)), "{line:?}");
    let peak = map
        .lines()
        .iter()
        .map(|l| best(l).efficiency)
        .fold(0.0, f64::max);
    assert!((0.755..0.785).contains(&peak), "{peak}");
    assert!(best(top).efficiency < peak - 0.05);
}

fn best_ratio_at_middle(line: &SpeedLine) -> f64 {
    let (first, last) = (line.points[0], line.points[line.points.len() - 1]);
    let middle = 0.5 * (first.corrected_flow_kg_s + last.corrected_flow_kg_s);
    line.points
        .windows(2)
        .find(|pair| pair[1].corrected_flow_kg_s >= middle)
        .map(|pair| pair[0].pressure_ratio)
        .unwrap()
}

/// Width of the map at a pressure ratio of 3: last flow over surge flow.
#[test]
fn truck_wheel_width() {
    let map = lines_of(&truck_wheel(), 600.0);
    let lines = map.lines();
    let between = |side: &dyn Fn(&SpeedLine) -> MapPoint, ratio: f64| {
        lines
            .windows(2)
            .find_map(|pair| {
                let (a, b) = (side(&pair[0]), side(&pair[1]));
                (a.pressure_ratio <= ratio && ratio <= b.pressure_ratio).then(|| {
                    let share = (ratio - a.pressure_ratio) / (b.pressure_ratio - a.pressure_ratio);
                    a.corrected_flow_kg_s + share * (b.corrected_flow_kg_s - a.corrected_flow_kg_s)
                })
            })
            .unwrap()
    };
    let surge = between(&|line| line.points[0], 3.0);
    // The fastest line's flow at the same ratio.
    let top = lines.last().unwrap();
    let choke = top
        .points
        .windows(2)
        .find(|pair| pair[1].pressure_ratio <= 3.0)
        .map(|pair| pair[0].corrected_flow_kg_s)
        .unwrap();
    assert!((1.8..2.3).contains(&(choke / surge)), "{choke} / {surge}");
}

/// The best point and the surge point wander toward choke with speed, instead of
/// standing at one share of every line; up to tip Mach 1.5 every line
/// begins left of its best point.
#[test]
fn islands_move_with_speed() {
    for (wheel, top) in [(truck_wheel(), 520.0), (demo::geometry(), 600.0)] {
        let map = lines_of(&wheel, top);
        let share = |line: &SpeedLine, point: MapPoint| {
            point.corrected_flow_kg_s / line.points.last().unwrap().corrected_flow_kg_s
        };
        let surge: Vec<f64> = map.lines().iter().map(|l| share(l, l.points[0])).collect();
        assert!(surge.windows(2).all(|pair| pair[1] > pair[0]), "{surge:?}");
        for line in map.lines() {
            assert!(best(line).corrected_flow_kg_s > line.points[0].corrected_flow_kg_s);
            assert_eq!(line.stable_from(), 0);
        }
    }
}

#[test]
fn impossible_wheels_are_refused() {
    let mut wheel = truck_wheel();
    wheel.inducer_tip_diameter_m = 0.08;
    wheel.peak_efficiency = f64::NAN;
    let header = demo::map().header().clone();
    let problems = wheel.speed_lines(header, 648.0).unwrap_err();
    let fields: Vec<&str> = problems.iter().map(|p| p.field.as_str()).collect();
    assert_eq!(fields, ["inducer_tip_diameter_m", "peak_efficiency"]);
}

proptest! {
    #![proptest_config(crate::random::cases(150))]

    /// Any wheel of usual proportions gives a map, and the map a compressor
    /// whose flow falls with the pressure behind it.
    #[test]
    fn wheels_of_usual_proportions(
        tip_diameter_m in 0.045..0.110_f64,
        width_share in 0.075..0.115_f64,
        backsweep_deg in 15.0..48.0_f64,
        inducer_share in 0.68..0.80_f64,
        throat_share in 0.72..0.95_f64,
        top_tip_speed_m_s in 420.0..650.0_f64,
        peak_efficiency in 0.68..0.80_f64,
    ) {
        let inducer_tip_diameter_m = inducer_share * tip_diameter_m;
        let inducer_hub_diameter_m = 0.26 * tip_diameter_m;
        let annulus_m2 = 0.25 * std::f64::consts::PI
            * (inducer_tip_diameter_m.powi(2) - inducer_hub_diameter_m.powi(2));
        let wheel = WheelGeometry {
            tip_diameter_m,
            tip_width_m: width_share * tip_diameter_m,
            backsweep_deg,
            inducer_tip_diameter_m,
            inducer_hub_diameter_m,
            throat_area_m2: throat_share * annulus_m2,
            peak_efficiency,
            ..truck_wheel()
        };
        let map = lines_of(&wheel, top_tip_speed_m_s);
        prop_assert_eq!(map.lines().len(), 9);
        let compressor = SpeedLineCompressor::new(&map);
        for s in 0..40 {
            let mut last = f64::INFINITY;
            for p in 0..60 {
                let point = compressor.operate(&CompressorDemand {
                    shaft_speed_rad_s: compressor.highest_speed_rad_s() * f64::from(s) / 36.0,
                    ambient_pressure_pa: 95_000.0,
                    inlet_temperature_k: 300.0,
                    gas_constant_j_kg_k: 287.05,
                    inlet_loss_pa_s2_kg2: 0.0,
                    outlet_loss_pa_s2_kg2: 0.0,
                    outlet_pressure_pa: 80_000.0 + 10_000.0 * f64::from(p),
                });
                prop_assert!(point.flow_kg_s <= last && point.flow_kg_s >= 0.0);
                last = point.flow_kg_s;
            }
        }
    }
}
