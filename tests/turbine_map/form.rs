//! The form of measured vane positions against what it was measured from, and
//! its laws.

use crate::demo::{self, BURNED, NO_LOSS, OUTLET_PA, STAND_K, WHEEL_M, on_stand, rad_s};
use proptest::prelude::*;
use ringfence::gas::{Ambient, WorkingGas};
use ringfence::map::{
    DataOrigin, MapHeader, ReferenceConditions, TurbineMapData, TurbineSpeedLine, VaneLines,
    VanePoint,
};
use ringfence::plant::restriction::Restriction;
use ringfence::plant::turbine::{
    MeasuredVanes, Pulsation, TurbineDemand, TurbineForm, TurbinePoint,
};
use ringfence::plant::volume::GasState;

const STEADY: Pulsation = Pulsation {
    flow_factor: 1.0,
    power_factor: 1.0,
};

fn measured() -> MeasuredVanes {
    let shipped = include_str!("../../scenarios/rescue-tender/turbine.csv");
    let data = TurbineMapData::parse(shipped).expect("the shipped map");
    MeasuredVanes::new(&data, WHEEL_M, STEADY)
}

/// A map sampled from the two throats and read back gives their flow and
/// efficiency, also between its points, within the error of interpolation: the
/// map is straight between vane positions 10 % apart and speeds 10 to 50 % apart.
/// Bounds: 0.3 % of flow; 1 point of efficiency at the corner that the throats' law
/// has at a ratio of 4, and 0.2 points in the mean.
#[test]
fn a_sampled_map_reproduces_the_two_throats() {
    let (measured, throats, gas) = (measured(), demo::two_throats(), demo::gas());
    let (mut flow, mut efficiency) = (0.0_f64, 0.0_f64);
    let (mut sum, mut tried) = (0.0_f64, 0);
    for vane in (0..=50).map(|i| f64::from(i) / 50.0) {
        for rpm in [40e3, 51e3, 70e3, 91e3, 110e3, 127e3, 142e3, 157e3] {
            for ratio in [1.15, 1.3, 1.6, 2.1, 2.4, 3.2, 4.3, 5.5] {
                let got = on_stand(&measured, &gas, vane, rad_s(rpm), ratio);
                if got.extrapolated {
                    continue;
                }
                let want = on_stand(throats.as_ref(), &gas, vane, rad_s(rpm), ratio);
                flow = flow.max((got.flow_kg_s / want.flow_kg_s - 1.0).abs());
                let off = (got.efficiency - want.efficiency).abs();
                efficiency = efficiency.max(off);
                sum += off;
                assert!((got.blade_speed_ratio / want.blade_speed_ratio - 1.0).abs() < 1e-9);
                tried += 1;
            }
        }
    }
    let mean = sum / f64::from(tried);
    println!(
        "{tried} points: flow within {flow:.1e}, efficiency within {efficiency:.1e}, {mean:.1e} in \
         the mean"
    );
    assert!(tried > 800, "{tried} points inside the map");
    assert!(flow < 3e-3, "flow is off by {flow}");
    assert!(efficiency < 1e-2, "efficiency is off by {efficiency}");
    assert!(mean < 2e-3, "efficiency is off by {mean} in the mean");
}

/// The points themselves come back: rounding of the file and pooling of
/// neighbours only.
#[test]
fn measured_points_come_back() {
    let (measured, gas) = (measured(), demo::gas());
    for vane in measured.data().vanes() {
        for line in &vane.lines {
            for point in &line.points {
                let speed = line.corrected_speed_rad_s;
                let got = on_stand(
                    &measured,
                    &gas,
                    vane.vane_closed,
                    speed,
                    point.expansion_ratio,
                );
                let flow = got.flow_kg_s / point.expansion_ratio / point.corrected_flow_kg_s;
                assert!((flow - 1.0).abs() < 1e-3, "{flow} at {point:?}");
                assert!(
                    (got.efficiency - point.efficiency).abs() < 1e-6,
                    "{point:?}"
                );
                assert!(!got.extrapolated, "{point:?}");
            }
        }
    }
}

fn gas_state(gas: &WorkingGas, pressure_pa: f64, temperature_k: f64) -> GasState {
    GasState {
        pressure_pa,
        temperature_k,
        burned: BURNED,
        properties: gas.properties(temperature_k, BURNED),
    }
}

/// Operates between two pressures.
fn at(
    turbine: &MeasuredVanes,
    [inlet_pa, outlet_pa]: [f64; 2],
    temperature_k: f64,
    speed_rad_s: f64,
    vane_closed: f64,
    system: &Restriction,
) -> TurbinePoint {
    let gas = demo::gas();
    turbine.operate(&TurbineDemand {
        gas: &gas,
        inlet: &gas_state(&gas, inlet_pa, temperature_k),
        ambient: &Ambient::given(outlet_pa, 288.15, 0.0).expect("an ambient"),
        shaft_speed_rad_s: speed_rad_s,
        vane_closed,
        area_factor: 1.0,
        system,
    })
}

/// Shapiro (1953) ch. 4: once choked, flow does not know the pressure behind, and
/// corrected flow is constant. The narrow ring of nearly closed vanes chokes
/// within the map.
#[test]
fn choked_flow_is_constant() {
    let turbine = measured();
    let flow = |ratio: f64| {
        let pressures = [400e3, 400e3 / ratio];
        at(&turbine, pressures, 900.0, 8000.0, 1.0, &NO_LOSS)
    };
    let at_once = flow(6.1);
    assert!(at_once.ring_choked && at_once.rotor_choked);
    for ratio in [6.5, 7.0, 8.0, 10.0, 12.0] {
        let point = flow(ratio);
        assert_eq!(point.flow_kg_s, at_once.flow_kg_s, "at {ratio}");
        assert!(point.extrapolated, "{ratio} is beyond the map");
    }
    assert!(!flow(1.3).ring_choked);
}

/// A convergent nozzle of constant area is the plainest turbine: its corrected
/// flow is known in closed form (Shapiro, 1953, ch. 4), below, within and beyond
/// the measured ratios. Interpolation of six points: 0.3 %; beyond them the
/// law is the same: 1e-3 by the knots.
#[test]
fn a_nozzle_stays_a_nozzle() {
    let gas = WorkingGas::new(0.0, 1.85);
    let properties = gas.properties(600.0, 0.0);
    let (gamma, r) = (properties.gamma, properties.gas_constant_j_kg_k);
    let psi = |ratio: f64| {
        let critical = (2.0 / (gamma + 1.0)).powf(gamma / (gamma - 1.0));
        let x = (1.0 / ratio).max(critical);
        (2.0 * gamma / (gamma - 1.0) * (x.powf(2.0 / gamma) - x.powf((gamma + 1.0) / gamma))).sqrt()
    };
    let corrected = |ratio: f64| 8e-4 * 100e3 / (r * 600.0).sqrt() * psi(ratio);
    let line = |area: f64| VaneLines {
        vane_closed: 1.0 - area,
        lines: vec![TurbineSpeedLine {
            corrected_speed_rad_s: 8000.0,
            points: [1.2, 1.35, 1.5, 1.7, 2.0, 2.5]
                .map(|ratio| VanePoint {
                    expansion_ratio: ratio,
                    corrected_flow_kg_s: area * corrected(ratio),
                    efficiency: 0.6,
                })
                .to_vec(),
        }],
    };
    let header = MapHeader {
        about: "a nozzle".to_owned(),
        data: DataOrigin::Invented,
        reference: ReferenceConditions {
            pressure_pa: 100e3,
            temperature_k: 600.0,
        },
        source: "closed form".to_owned(),
    };
    let vanes = vec![line(1.0), line(0.5)];
    let data = TurbineMapData::new(header, 0.06, 0.0, vanes).expect("a map");
    let turbine = MeasuredVanes::new(&data, 0.06, STEADY);
    for (ratio, allowed) in [
        (1.02, 1e-3),
        (1.1, 1e-3),
        (1.25, 3e-3),
        (1.42, 3e-3),
        (1.6, 3e-3),
        (1.8, 3e-3),
        (3.0, 1e-3),
        (6.0, 1e-3),
    ] {
        for (vane, area) in [(0.0, 1.0), (0.25, 0.75), (0.5, 0.5)] {
            let (got, _) = turbine.corrected_flow_kg_s(vane, ratio);
            let off = got / (area * corrected(ratio)) - 1.0;
            assert!(off.abs() < allowed, "{off} at {ratio}, vane {vane}");
        }
    }
}

/// What lies outside the data is said to.
#[test]
fn outside_is_marked() {
    let (turbine, gas) = (measured(), demo::gas());
    let marked = |vane, rpm, ratio| on_stand(&turbine, &gas, vane, rad_s(rpm), ratio).extrapolated;
    assert!(!marked(0.5, 100e3, 2.0));
    assert!(marked(0.5, 100e3, 6.5), "expansion ratio");
    assert!(marked(0.5, 39e3, 1.2), "low speed");
    assert!(marked(0.5, 165e3, 4.0), "high speed");
    assert!(marked(0.5, 60e3, 4.0), "low blade-speed ratio");
    assert!(marked(0.5, 150e3, 1.7), "high blade-speed ratio");
    assert!(marked(-0.01, 100e3, 2.0), "vanes more open");
    let open = MeasuredVanes::new(&without_ends(), WHEEL_M, STEADY);
    let point = on_stand(&open, &gas, 0.95, rad_s(100e3), 2.0);
    assert!(point.extrapolated, "vanes more closed");
    let inside = on_stand(&open, &gas, 0.9, rad_s(100e3), 2.0);
    assert!(!inside.extrapolated);
    assert!(point.flow_kg_s < inside.flow_kg_s && point.flow_kg_s > 0.0);
}

/// The demo map without its first and last vane position.
fn without_ends() -> TurbineMapData {
    let map = demo::map();
    let vanes = map.vanes()[1..map.vanes().len() - 1].to_vec();
    TurbineMapData::new(map.header().clone(), WHEEL_M, BURNED, vanes).expect("a map")
}

/// At standstill and without pressure difference there is neither work nor heat,
/// and the wheel brakes where the gas does not drive it.
#[test]
fn nothing_from_nothing() {
    let turbine = measured();
    let equal = at(&turbine, [120e3, 120e3], 800.0, 9000.0, 0.4, &NO_LOSS);
    assert_eq!(equal.flow_kg_s, 0.0);
    assert_eq!(equal.power_w, 0.0);
    let standing = at(&turbine, [200e3, 100e3], 800.0, 0.0, 0.4, &NO_LOSS);
    assert!(standing.flow_kg_s > 0.0 && standing.power_w == 0.0);
    assert!(at(&turbine, [101e3, 100e3], 800.0, 12e3, 0.4, &NO_LOSS).power_w < 0.0);
    let back = at(&turbine, [90e3, 100e3], 800.0, 9000.0, 0.4, &NO_LOSS);
    assert!(back.flow_kg_s < 0.0 && back.power_w == 0.0);
    // through zero in both directions the flow has a finite slope
    for step_pa in [1e-3, 1e-1, 1.0, 10.0] {
        let flow =
            |inlet_pa: f64| at(&turbine, [inlet_pa, 100e3], 800.0, 9e3, 0.4, &NO_LOSS).flow_kg_s;
        for slope in [
            flow(100e3 + step_pa) / step_pa,
            -flow(100e3 - step_pa) / step_pa,
        ] {
            assert!(
                slope > 0.0 && slope < 1e-2,
                "{slope} kg/s per Pa at {step_pa} Pa"
            );
        }
    }
}

/// A made-up line: ratio, flow and efficiency of its points.
fn any_line() -> impl Strategy<Value = TurbineSpeedLine> {
    let point = (0.05..0.6_f64, 0.0..0.08_f64, 0.02..0.94_f64);
    (
        0.3..1.0_f64,
        0.05..0.4_f64,
        prop::collection::vec(point, 3..7),
    )
        .prop_map(|(speed, first, steps)| {
            let (mut ratio, mut flow) = (1.02, first);
            let points = steps
                .into_iter()
                .map(|(up, more, efficiency)| {
                    ratio += up;
                    flow += more;
                    VanePoint {
                        expansion_ratio: ratio,
                        corrected_flow_kg_s: flow,
                        efficiency,
                    }
                })
                .collect();
            TurbineSpeedLine {
                corrected_speed_rad_s: speed * 12e3,
                points,
            }
        })
}

/// Any map that the reader would take: nothing says that its figures are sane.
fn any_map() -> impl Strategy<Value = TurbineMapData> {
    let vane = prop::collection::vec(any_line(), 1..4);
    prop::collection::vec(vane, 2..5).prop_map(|vanes| {
        let count = vanes.len() as f64;
        let vanes = vanes
            .into_iter()
            .enumerate()
            .map(|(v, mut lines)| {
                lines.sort_by(|a, b| a.corrected_speed_rad_s.total_cmp(&b.corrected_speed_rad_s));
                lines.dedup_by(|a, b| a.corrected_speed_rad_s == b.corrected_speed_rad_s);
                VaneLines {
                    vane_closed: 0.1 + 0.7 * v as f64 / count,
                    lines,
                }
            })
            .collect();
        let header = MapHeader {
            about: "any".to_owned(),
            data: DataOrigin::Invented,
            reference: ReferenceConditions {
                pressure_pa: OUTLET_PA,
                temperature_k: STAND_K,
            },
            source: "drawn".to_owned(),
        };
        TurbineMapData::new(header, WHEEL_M, BURNED, vanes).expect("a readable map")
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(256) })]

    /// Flow never rises with back pressure, nor falls with inlet pressure, with
    /// and without an exhaust system; both directions.
    #[test]
    fn flow_never_rises_with_back_pressure(
        map in any_map(),
        vane in 0.0..1.0_f64,
        low in 0.3..3.0_f64,
        up in 0.0..1.0_f64,
        loss_pa in 0.0..20e3_f64,
    ) {
        let turbine = MeasuredVanes::new(&map, WHEEL_M, STEADY);
        let system = Restriction { loss_pa, at_flow_kg_s: 0.4, at_density_kg_m3: 0.44 };
        let flow = |back_pa| at(&turbine, [150e3, back_pa], 850.0, 8000.0, vane, &system).flow_kg_s;
        let (a, b) = (flow(low * 100e3), flow((low + up) * 100e3));
        prop_assert!(b <= a + 1e-9 * a.abs(), "{a} then {b}");
    }

    /// Twice the state of the same demand, vanes a hair apart: a hair of flow.
    #[test]
    fn flow_and_power_are_continuous_in_vane_speed_and_pressure(
        map in any_map(),
        vane in 0.0..1.0_f64,
        inlet in 0.9..4.0_f64,
        speed in 0.0..16e3_f64,
    ) {
        let turbine = MeasuredVanes::new(&map, WHEEL_M, STEADY);
        let here = |vane, inlet: f64, speed| at(&turbine, [inlet * 100e3, 100e3], 850.0, speed, vane, &NO_LOSS);
        let a = here(vane, inlet, speed);
        let hair = 1e-7;
        for b in [here(vane + hair, inlet, speed), here(vane, inlet + hair, speed), here(vane, inlet, speed + hair * 1e4)] {
            prop_assert!((a.flow_kg_s - b.flow_kg_s).abs() < 1e-4, "{a:?} {b:?}");
            prop_assert!((a.power_w - b.power_w).abs() < 30.0, "{a:?} {b:?}");
        }
    }

    /// Second law: no more work than the isentropic drop, so that the gas leaves
    /// with no less entropy than it came with; first law: what the gas loses is
    /// the power.
    #[test]
    fn the_second_law_holds(
        map in any_map(),
        vane in 0.0..1.0_f64,
        inlet in 1.0001..8.0_f64,
        temperature_k in 400.0..1250.0_f64,
        speed in 0.0..18e3_f64,
        loss_pa in 0.0..20e3_f64,
    ) {
        let turbine = MeasuredVanes::new(&map, WHEEL_M, STEADY);
        let system = Restriction { loss_pa, at_flow_kg_s: 0.4, at_density_kg_m3: 0.44 };
        let gas = demo::gas();
        let point = at(&turbine, [inlet * 100e3, 100e3], temperature_k, speed, vane, &system);
        prop_assert!(point.efficiency <= 1.0, "{point:?}");
        prop_assert!(point.flow_kg_s > 0.0 && point.power_w.is_finite());
        prop_assert!(point.outlet_pressure_pa >= 100e3 * (1.0 - 1e-12));
        let lost = point.inlet_enthalpy_w - point.outlet_enthalpy_w;
        prop_assert!((lost - point.power_w).abs() <= 1e-9 * point.inlet_enthalpy_w.abs());
        // entropy: the outlet is at least as warm as the isentropic end
        let end = gas.isentropic(temperature_k, BURNED, 1.0 / point.expansion_ratio).temperature_k;
        let outlet_k = gas.temperature_from_enthalpy_k(point.outlet_enthalpy_w / point.flow_kg_s, BURNED);
        prop_assert!(outlet_k >= end - 1e-6, "{outlet_k} below {end}");
    }
}
