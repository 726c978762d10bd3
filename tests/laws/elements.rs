//! Flow elements of the shipped scenarios in any state: which way their flow goes,
//! and that it makes no jumps.
use crate::random::cases;
use crate::shipped::{setup, shipped};
use proptest::prelude::*;
use ringfence::plant::Plant;
use ringfence::plant::compressor::{CompressorDemand, CompressorPoint};
use ringfence::plant::turbine::{TurbineDemand, TurbinePoint};
use ringfence::plant::volume::GasState;
use std::sync::LazyLock;

static PLANTS: LazyLock<Vec<(String, Plant)>> = LazyLock::new(|| {
    let plant = |path: String| {
        let plant = setup(&path, &[]).rig.plant;
        (path, plant)
    };
    shipped().into_iter().map(plant).collect()
});

fn turbine(plant: &Plant, ratio: f64, inlet_k: f64, shaft: f64, vane: f64) -> TurbinePoint {
    let burned = 0.7;
    plant.turbine.operate(&TurbineDemand {
        gas: &plant.gas,
        inlet: &GasState {
            pressure_pa: ratio * plant.ambient.pressure_pa,
            temperature_k: inlet_k,
            burned,
            properties: plant.gas.properties(inlet_k, burned),
        },
        ambient: &plant.ambient,
        shaft_speed_rad_s: shaft,
        vane_closed: vane,
        area_factor: 1.0,
        system: &plant.exhaust_system,
    })
}

fn compressor(plant: &Plant, ratio: f64, shaft: f64) -> CompressorPoint {
    let a = &plant.ambient;
    let r = plant.gas.gas_constant_j_kg_k(0.0);
    let density = |pressure_pa: f64, k: f64| pressure_pa / (r * k);
    let outlet_pressure_pa = ratio * a.pressure_pa;
    plant.compressor.operate(&CompressorDemand {
        shaft_speed_rad_s: shaft,
        ambient_pressure_pa: a.pressure_pa,
        inlet_temperature_k: a.temperature_k,
        gas_constant_j_kg_k: r,
        inlet_loss_pa_s2_kg2: plant
            .filter
            .coefficient_pa_s2_kg2(density(a.pressure_pa, a.temperature_k)),
        outlet_loss_pa_s2_kg2: plant
            .cooler_loss
            .coefficient_pa_s2_kg2(density(outlet_pressure_pa, 330.0)),
        outlet_pressure_pa,
    })
}

proptest! {
    #![proptest_config(cases(1000))]

    /// Two throats and a pipe in series: more pressure ahead never passes less
    /// (choked, it passes more in proportion), and closing the vanes always less.
    #[test]
    fn turbine_flow_follows_pressure_and_vanes(
        ratio in 1.002..7.0,
        inlet_k in 500.0..1290.0,
        shaft in 1000.0..17_000.0,
        vane in 0.0..0.98,
    ) {
        for (path, plant) in PLANTS.iter() {
            let flow = |ratio, vane| turbine(plant, ratio, inlet_k, shaft, vane).flow_kg_s;
            let here = flow(ratio, vane);
            prop_assert!(here > 0.0, "{path}: {here}");
            prop_assert!(flow(ratio * 1.01, vane) > here, "{path}");
            prop_assert!(flow(ratio, vane + 0.02) < here, "{path}");
        }
    }

    /// Through equal pressures the turbine's flow changes its sign without a
    /// jump: a millionth of the pressure moves it by less than a hundredth of what
    /// 1 % of pressure drives.
    #[test]
    fn turbine_flow_is_smooth_through_zero(
        inlet_k in 300.0..1200.0,
        shaft in 0.0..10_000.0,
        vane in 0.0..1.0,
    ) {
        for (path, plant) in PLANTS.iter() {
            let flow = |ratio: f64| turbine(plant, ratio, inlet_k, shaft, vane).flow_kg_s;
            let scale = flow(1.01);
            prop_assert!(flow(1.0) == 0.0, "{path}: {}", flow(1.0));
            for (outward, sign) in [(1.0 + 1e-6, 1.0), (1.0 - 1e-6, -1.0)] {
                let little = sign * flow(outward);
                prop_assert!(little >= 0.0 && little < 1e-2 * scale, "{path}: {little} of {scale}");
            }
        }
    }

    /// Nowhere does a ten-millionth of the pressure make a step, choking of either
    /// throat included: the slope over the logarithm of pressure stays below 60
    /// flows, which the square-root law reaches near equal pressures.
    #[test]
    fn turbine_flow_makes_no_steps(
        ratio in 1.01..7.0,
        inlet_k in 500.0..1290.0,
        vane in 0.0..1.0,
    ) {
        for (path, plant) in PLANTS.iter() {
            let flow = |ratio: f64| turbine(plant, ratio, inlet_k, 8000.0, vane).flow_kg_s;
            let (before, after) = (flow(ratio), flow(ratio * (1.0 + 1e-7)));
            prop_assert!((after / before - 1.0).abs() < 60e-7, "{path}: {before} to {after}");
        }
    }

    /// On the stable branch a compressor passes less against more pressure and
    /// more at more speed; its efficiency is a share. The speeds differ by 2 %: at
    /// the knee where a line turns to choke, interpolation between lines may ripple
    /// by a thousandth of the flow.
    #[test]
    fn compressor_flow_follows_pressure_and_speed(
        ratio in 1.0..4.5,
        shaft in 2000.0..17_000.0,
    ) {
        for (path, plant) in PLANTS.iter() {
            let here = compressor(plant, ratio, shaft);
            prop_assert!(here.flow_kg_s.is_finite() && here.efficiency > 0.0);
            prop_assert!(here.efficiency < 1.0, "{path}: {here:?}");
            let against = compressor(plant, ratio * 1.002, shaft);
            let faster = compressor(plant, ratio, shaft * 1.02);
            if here.surging || against.surging || faster.surging {
                continue;
            }
            prop_assert!(against.flow_kg_s < here.flow_kg_s, "{path}: {here:?} {against:?}");
            prop_assert!(faster.flow_kg_s > here.flow_kg_s, "{path}: {here:?} {faster:?}");
            // what the compressor gives is what its surroundings take
            let a = &plant.ambient;
            prop_assert!(here.inlet_pressure_pa <= a.pressure_pa, "{path}: {here:?}");
            prop_assert!(here.outlet_pressure_pa >= ratio * a.pressure_pa, "{path}: {here:?}");
            let own = here.outlet_pressure_pa / here.inlet_pressure_pa;
            prop_assert!((own / here.pressure_ratio - 1.0).abs() < 1e-6, "{path}: {here:?}");
        }
    }
}
