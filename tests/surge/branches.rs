//! The characteristic at its joints, and the work of the wheel in reverse flow.
use crate::proof;
use crate::shipped::setup;
use crate::tube::{LIFT_OFF, SPEED_RAD_S, Tube};
use proptest::prelude::*;
use ringfence::plant::compressor::{CompressorDemand, CompressorForm};
use ringfence::plant::state::{Extras, PlantState};
use std::sync::{Arc, LazyLock};

static COMPRESSOR: LazyLock<Arc<dyn CompressorForm>> =
    LazyLock::new(|| setup(LIFT_OFF, &[]).rig.plant.compressor);
static TUBE: LazyLock<Tube> = LazyLock::new(|| Tube::new(24.0, 1.2, 20.0, 900.0));

fn demand(speed_rad_s: f64) -> CompressorDemand {
    CompressorDemand {
        shaft_speed_rad_s: speed_rad_s,
        ambient_pressure_pa: 96e3,
        inlet_temperature_k: 288.0,
        gas_constant_j_kg_k: 287.05,
        inlet_loss_pa_s2_kg2: 25e3,
        outlet_loss_pa_s2_kg2: 0.0,
        outlet_pressure_pa: 150e3,
    }
}

/// Pressure ratio, efficiency and work ratio at a flow \[kg/s\].
fn at(demand: &CompressorDemand, flow_kg_s: f64) -> [f64; 3] {
    let at = COMPRESSOR
        .at_flow(demand, flow_kg_s)
        .expect("it knows any flow");
    [at.point.pressure_ratio, at.point.efficiency, at.work_ratio]
}

/// Where the flow leaves the stable branch \[kg/s\], by bisection.
fn surge_flow_kg_s(demand: &CompressorDemand) -> f64 {
    let surging = |flow| {
        COMPRESSOR
            .at_flow(demand, flow)
            .expect("known")
            .point
            .surging
    };
    let (mut low, mut high) = (0.0, 0.6);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if surging(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// Jump of a value and of its slope, each over the size of the curve there: values
/// over the value, slopes over value by surge flow. One-sided slopes of second order,
/// whose error falls with the square of the step.
fn jumps(f: impl Fn(f64) -> f64, joint: f64, scale: f64) -> [f64; 2] {
    let h = 1e-4 * scale;
    let value = f(joint);
    let slope = |h: f64| (4.0 * f(joint + h) - f(joint + 2.0 * h) - 3.0 * value) / (2.0 * h);
    let jump = f(joint + 1e-9 * scale) - f(joint - 1e-9 * scale);
    [
        (jump / value).abs(),
        ((slope(h) - slope(-h)) * scale / value).abs(),
    ]
}

/// Value and slope go on at the surge point and at zero flow: pressure ratio at both;
/// efficiency and work at the surge point. At zero flow the work for each kilogram goes
/// on in value (its slope is level on the reverse side, where it is constant).
#[test]
fn the_characteristic_is_smooth_at_its_joints() {
    let mut row = proof::row("surge-joints");
    for share in [0.35, 0.5, 0.65, 0.8, 0.9, 1.0] {
        let demand = demand(share * SPEED_RAD_S * 1.1);
        let surge = surge_flow_kg_s(&demand);
        for quantity in 0..3 {
            let jump = jumps(|w| at(&demand, w)[quantity], surge, surge);
            row.see(
                jump[0].max(jump[1]),
                &("surge point", share, quantity, jump),
            );
        }
        let jump = jumps(|w| at(&demand, w)[0], 0.0, surge);
        row.see(jump[0].max(jump[1]), &("zero flow", share, jump));
    }
    row.done();
}

/// The state of the lift-off's plant with another flow in its duct.
fn state(speed: f64, intake_pa: f64, flow_kg_s: f64) -> PlantState {
    let state = TUBE.state(intake_pa);
    PlantState {
        shaft_energy_j: TUBE.plant.shaft.energy_j(speed),
        extras: Extras {
            duct_flow_kg_s: flow_kg_s,
            ..state.extras
        },
        ..state
    }
}

proptest! {
    #![proptest_config(crate::random::cases(256))]

    /// A step across zero flow or across the surge point moves the pressure ratio by
    /// no more than the step is worth: at the steepest some 1000 for each kg/s.
    #[test]
    fn no_step_in_pressure_anywhere(speed in 1e3..16e3_f64, flow in -0.3..0.6_f64) {
        let demand = demand(speed);
        // past choke the head falls without end, as it must
        prop_assume!(COMPRESSOR.at_flow(&demand, flow).expect("known").point.choke_margin > 0.0);
        let (a, b) = (at(&demand, flow)[0], at(&demand, flow + 1e-7)[0]);
        prop_assert!(a.is_finite() && a >= 0.0, "{a}");
        prop_assert!((a - b).abs() < 1e-4 * a.max(1.0), "{a} {b}");
    }

    /// Slopes from both sides at the joints, at any speed of the map.
    #[test]
    fn slopes_agree_at_the_joints(speed in 4e3..14e3_f64) {
        let demand = demand(speed);
        let surge = surge_flow_kg_s(&demand);
        for joint in [0.0, surge] {
            let [value, slope] = jumps(|w| at(&demand, w)[0], joint, surge);
            prop_assert!(value < 1e-6 && slope < 1e-4, "{joint}: {value} {slope}");
        }
    }

    /// The wheel takes work from the shaft whichever way the air flows: in reverse
    /// flow no power is gained from it, and more flow takes more.
    #[test]
    fn reverse_flow_gives_the_shaft_nothing(
        speed in 100.0..16e3_f64,
        intake_pa in 80e3..350e3_f64,
        flow in 1e-4..0.3_f64,
    ) {
        let power = |w: f64| TUBE.point(&state(speed, intake_pa, -w)).compressor_power_w;
        prop_assert!(power(flow) > 0.0);
        prop_assert!((power(2.0 * flow) / power(flow) - 2.0).abs() < 1e-9);
    }

    /// First law over the duct in reverse flow: enthalpy that leaves the volume, plus
    /// work, minus heat to the coolant, is what reaches the ambient.
    #[test]
    fn reverse_flow_keeps_its_energy(
        speed in 100.0..16e3_f64,
        intake_pa in 80e3..350e3_f64,
        flow in -0.3..-1e-4_f64,
    ) {
        let p = TUBE.point(&state(speed, intake_pa, flow));
        let left = p.inlet.enthalpy_w + p.compressor_power_w - p.cooler_heat_w - p.charge.enthalpy_w;
        let size = p.compressor_power_w.abs() + p.cooler_heat_w.abs() + p.charge.enthalpy_w.abs();
        prop_assert!(left.abs() < 1e-9 * (size + 1.0), "{left} W of {size} W");
    }
}
