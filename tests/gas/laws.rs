//! Laws the gas and the nozzle obey at any state, tried on random ones.
use super::{HYDROGEN_TO_CARBON, assert_absolute, assert_relative};
use proptest::prelude::*;
use ringfence::gas::WorkingGas;
use ringfence::gas::nozzle::{self, Reservoir};

fn temperatures() -> impl Strategy<Value = f64> {
    180.0..3500.0
}

fn gammas() -> impl Strategy<Value = f64> {
    1.1..1.66
}

proptest! {
    #![proptest_config(crate::random::cases(256))]

    /// cp = dh/dT: central difference over 0.1 K, whose own error is below 1e-8.
    #[test]
    fn heat_capacity_is_the_slope_of_enthalpy(
        t in temperatures(), burned in 0.0..1.0, humidity in 0.0..0.04,
    ) {
        let gas = WorkingGas::new(humidity, HYDROGEN_TO_CARBON);
        let step = 0.05;
        let rise = gas.enthalpy_j_kg(t + step, burned) - gas.enthalpy_j_kg(t - step, burned);
        assert_relative(gas.cp_j_kg_k(t, burned), rise / (2.0 * step), 1e-7, &t);
    }

    /// u = h − R T, gamma = cp/(cp − R), and the combined call says the same.
    #[test]
    fn properties_belong_together(t in temperatures(), burned in 0.0..1.0) {
        let gas = WorkingGas::new(0.01, HYDROGEN_TO_CARBON);
        let all = gas.properties(t, burned);
        prop_assert_eq!(all.cp_j_kg_k, gas.cp_j_kg_k(t, burned));
        prop_assert_eq!(all.gamma, gas.gamma(t, burned));
        prop_assert_eq!(all.enthalpy_j_kg, gas.enthalpy_j_kg(t, burned));
        let r = gas.gas_constant_j_kg_k(burned);
        prop_assert_eq!(all.gas_constant_j_kg_k, r);
        let u = gas.internal_energy_j_kg(t, burned);
        assert_absolute(u, all.enthalpy_j_kg - r * t, 1e-6, &t);
        assert_relative(all.gamma, all.cp_j_kg_k / (all.cp_j_kg_k - r), 1e-14, &t);
    }

    /// The inverses return where they came from. 1e-12 of the temperature.
    #[test]
    fn temperature_comes_back_from_energy(
        t in temperatures(), burned in 0.0..1.0, humidity in 0.0..0.04,
    ) {
        let gas = WorkingGas::new(humidity, HYDROGEN_TO_CARBON);
        let u = gas.internal_energy_j_kg(t, burned);
        assert_relative(gas.temperature_from_internal_energy_k(u, burned), t, 1e-12, &burned);
        let h = gas.enthalpy_j_kg(t, burned);
        assert_relative(gas.temperature_from_enthalpy_k(h, burned), t, 1e-12, &burned);
    }

    /// Forth and back along an isentrope ends where it began: entropy is a state
    /// function. Each way claims 1e-5 of its work, and the work is mostly below a
    /// third of cp T: 3e-6 of the temperature.
    #[test]
    fn isentropic_change_is_reversible(
        t in 250.0..1100.0, burned in 0.0..1.0, ratio in 0.2..5.0,
    ) {
        let gas = WorkingGas::new(0.0, HYDROGEN_TO_CARBON);
        let there = gas.isentropic(t, burned, ratio);
        let back = gas.isentropic(there.temperature_k, burned, 1.0 / ratio);
        assert_relative(back.temperature_k, t, 3e-6, &ratio);
        prop_assert!((ratio - 1.0) * there.enthalpy_change_j_kg >= 0.0);
    }

    /// Raising the back pressure never raises the flow.
    #[test]
    fn flow_falls_with_back_pressure(a in 0.0..1.2, b in 0.0..1.2, gamma in gammas()) {
        let (low, high) = if a < b { (a, b) } else { (b, a) };
        let flow = |ratio| nozzle::flow_function(ratio, gamma);
        prop_assert!(flow(low) >= flow(high) - 1e-15);
    }

    /// Below the critical pressure ratio the back pressure is not felt.
    #[test]
    fn choked_flow_is_constant(share in 0.0..0.999_999, gamma in gammas()) {
        let ratio = share * nozzle::critical_pressure_ratio(gamma);
        let got = nozzle::flow_function_with_slope(ratio, gamma);
        prop_assert_eq!(got.flow_function, nozzle::flow_function(0.0, gamma));
        prop_assert_eq!(got.slope, 0.0);
    }

    /// The slope is the derivative of the flow function, on every branch and
    /// through equal pressures. Around the joins the difference straddles a kink of
    /// the curvature; 1e-4 of the largest slope in the neighbourhood covers it.
    #[test]
    fn slope_is_the_derivative(ratio in prop_oneof![0.3..0.999, 0.999..1.001, 1.0..3.0],
        gamma in gammas(),
    ) {
        let step = 1e-7;
        let at = |r| nozzle::flow_function_with_slope(r, gamma);
        let rise = at(ratio + step).flow_function - at(ratio - step).flow_function;
        let slope = at(ratio).slope;
        assert_absolute(slope, rise / (2.0 * step), 1e-4 * slope.abs() + 1e-6, &ratio);
    }

    /// Equal pressures: exactly nothing, whatever the temperatures.
    #[test]
    fn equal_pressures_give_no_flow(
        p in 1.0..1e7, t_a in 200.0..1500.0, t_b in 200.0..1500.0, gamma in gammas(),
    ) {
        let side = |t| reservoir(p, t, gamma);
        prop_assert_eq!(nozzle::mass_flow_between(1e-3, side(t_a), side(t_b)), 0.0);
    }

    /// Exchanging the sides exchanges the sign; the flow runs down the pressure.
    #[test]
    fn exchanged_sides_exchange_the_sign(
        p_a in 1.0..1e7, p_b in 1.0..1e7, t_a in 200.0..1500.0, t_b in 200.0..1500.0,
    ) {
        let (a, b) = (reservoir(p_a, t_a, 1.4), reservoir(p_b, t_b, 1.33));
        let flow = nozzle::mass_flow_between(1e-3, a, b);
        prop_assert_eq!(nozzle::mass_flow_between(1e-3, b, a), -flow);
        prop_assert!(flow * (p_a - p_b) >= 0.0);
    }

    /// Finite for every pair of positive pressures, twenty powers of ten apart or
    /// one rounding error.
    #[test]
    fn flow_is_always_finite(
        exponent_a in -10.0..10.0, exponent_b in -10.0..10.0, gamma in gammas(),
    ) {
        let p_a = 10_f64.powf(exponent_a);
        for p_b in [10_f64.powf(exponent_b), p_a.next_up(), p_a.next_down(), p_a] {
            let (a, b) = (reservoir(p_a, 300.0, gamma), reservoir(p_b, 900.0, gamma));
            prop_assert!(nozzle::mass_flow_between(1e-3, a, b).is_finite());
            let both = nozzle::flow_function_with_slope(p_b / p_a, gamma);
            prop_assert!(both.flow_function.is_finite() && both.slope.is_finite());
        }
    }
}

fn reservoir(pressure_pa: f64, temperature_k: f64, gamma: f64) -> Reservoir {
    Reservoir {
        pressure_pa,
        temperature_k,
        gas_constant_j_kg_k: 287.0,
        gamma,
    }
}
