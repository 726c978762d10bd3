//! The limited-pressure cycle in its air-standard limits: a perfect gas, no wall
//! loss, exponents equal to gamma, no fuel mass.
use crate::compare::{assert_absolute, assert_relative};
use crate::reference::{Row, number, rows};
use proptest::prelude::*;
use ringfence::gas::WorkingGas;
use ringfence::plant::engine::{CycleResult, LimitedPressureCycle, Trapped};
use std::collections::BTreeMap;

/// A cycle with every loss switched off.
struct AirStandard {
    gas: WorkingGas,
    gas_constant: f64,
    gamma: f64,
    compression_ratio: f64,
    t1_k: f64,
    p1_pa: f64,
}

const VOLUME_M3: f64 = 0.85e-3;

impl AirStandard {
    fn new(gamma: f64, cp: f64, compression_ratio: f64, t1_k: f64, p1_pa: f64) -> Self {
        let gas_constant = cp * (gamma - 1.0) / gamma;
        Self {
            gas: WorkingGas::perfect(gas_constant, gamma, 14.5),
            gas_constant,
            gamma,
            compression_ratio,
            t1_k,
            p1_pa,
        }
    }

    fn mass_kg(&self) -> f64 {
        self.p1_pa * VOLUME_M3 / (self.gas_constant * self.t1_k)
    }

    fn cp(&self) -> f64 {
        self.gas.cp_j_kg_k(self.t1_k, 0.0)
    }

    /// Temperature at the end of compression.
    fn t2_k(&self) -> f64 {
        self.t1_k * self.compression_ratio.powf(self.gamma - 1.0)
    }

    fn run(&self, heat_j: f64, constant_volume_share: f64) -> CycleResult {
        let cycle = LimitedPressureCycle {
            compression_ratio: self.compression_ratio,
            constant_volume_share,
            reference_timing_deg: 6.0,
            share_per_degree: 0.02,
            compression_exponent: self.gamma,
            expansion_exponent: self.gamma,
            wall_loss: 0.0,
            late_burning_below_lambda: 1.6,
            late_burning: 0.35,
        };
        let trapped = Trapped {
            pressure_pa: self.p1_pa,
            volume_m3: VOLUME_M3,
            mass_kg: self.mass_kg(),
            burned: 0.0,
            gas_constant_j_kg_k: self.gas_constant,
            fuel_kg: 0.0,
            heat_j,
            lambda: f64::INFINITY,
        };
        cycle.run(&self.gas, &trapped, 6.0)
    }

    /// Heat that raises the charge to `peak_k` at constant pressure.
    fn diesel_heat_j(&self, peak_k: f64) -> f64 {
        self.mass_kg() * self.cp() * (peak_k - self.t2_k())
    }
}

fn example(id: &str) -> (Row, BTreeMap<String, f64>) {
    let row = rows("cdef_worked_examples.csv")
        .into_iter()
        .find(|row| row["id"] == id)
        .expect("the example is in the table");
    let given = serde_json::from_str(&row["given"]).expect("inputs are numbers");
    (row, given)
}

/// First number of the tolerance column.
fn tolerance(row: &Row) -> f64 {
    let first = row["tolerance"].split(' ').next().expect("a tolerance");
    first.parse().expect("a number")
}

/// Closed form of the diesel cycle (Heywood 1988, ch. 5, or any engine text).
fn diesel_efficiency(ratio: f64, cutoff: f64, gamma: f64) -> f64 {
    1.0 - (cutoff.powf(gamma) - 1.0) / (gamma * (cutoff - 1.0) * ratio.powf(gamma - 1.0))
}

/// Cengel & Boles example 9-3 (f1) and Rajput example 13.17 (f2): efficiency
/// within what the table states, and of the closed form to 1e-12.
#[test]
fn diesel_cycle_of_given_cutoff() {
    let mut to_print = crate::proof::row("diesel-cutoff");
    let mut to_form = crate::proof::row("diesel-closed");
    for id in ["f1", "f2"] {
        let (row, given) = example(id);
        let (r, cutoff, gamma) = (given["r"], given["rho"], given["gamma"]);
        let cycle = AirStandard::new(gamma, 1005.0, r, 300.0, 1e5);
        let heat_j = cycle.diesel_heat_j(cutoff * cycle.t2_k());
        let efficiency = cycle.run(heat_j, 0.0).work_j / heat_j;
        assert_absolute(efficiency, number(&row, "published"), tolerance(&row), &row);
        to_print.absolute(efficiency, number(&row, "published"), &row);
        to_form.relative(efficiency, diesel_efficiency(r, cutoff, gamma), &row);
    }
    to_print.done();
    to_form.done();
}

/// Cengel & Boles, chapter 9 problem (f3): from the highest temperature to
/// efficiency and mean effective pressure.
#[test]
fn diesel_cycle_of_given_temperature() {
    let (row, given) = example("f3a");
    let cycle = AirStandard::new(
        given["gamma"],
        given["cp"],
        given["r"],
        given["T1"],
        1e3 * given["p1_kPa"],
    );
    let heat_j = cycle.diesel_heat_j(given["Tmax"]);
    let result = cycle.run(heat_j, 0.0);
    assert_relative(result.peak_k, given["Tmax"], 1e-12, &row);
    let efficiency = result.work_j / heat_j;
    let published = number(&row, "published");
    assert_absolute(efficiency, published, tolerance(&row), &row);
    crate::proof::row("diesel-temperature").reached((efficiency - published).abs());

    let (row, _) = example("f3b");
    let swept_m3 = VOLUME_M3 * (1.0 - 1.0 / cycle.compression_ratio);
    let kpa = 1e-3 * result.work_j / swept_m3;
    let published = number(&row, "published");
    assert_absolute(kpa, published, tolerance(&row), &row);
    crate::proof::row("diesel-pressure").reached((kpa - published).abs());
}

/// The dual (Seiliger) cycle in closed form: pressure ratio α of the heat at constant
/// volume, cut-off ρ of that at constant pressure; heat, work and temperatures state by
/// state (Heywood 1988, ch. 5, from memory). Rounding only. α = 1 is the diesel cycle,
/// ρ = 1 the constant-volume cycle.
#[test]
fn dual_cycle() {
    let mut proof = crate::proof::row("dual-cycle");
    let ratios = || prop_oneof![Just(1.0), 1.01..2.5];
    let cases = (
        1.25..1.45_f64,
        8.0..25.0_f64,
        280.0..400.0_f64,
        ratios(),
        ratios(),
    );
    crate::random::for_random(256, &cases, |(gamma, ratio, t1, alpha, rho)| {
        if alpha == 1.0 && rho == 1.0 {
            return; // no heat
        }
        let cycle = AirStandard::new(gamma, 1005.0, ratio, t1, 2.5e5);
        let (cp, m) = (1005.0, cycle.mass_kg());
        let cv = cp / gamma;
        let t2 = t1 * ratio.powf(gamma - 1.0);
        let t3 = alpha * t2;
        let t4 = rho * t3;
        let t5 = t4 * (rho / ratio).powf(gamma - 1.0);
        let at_volume_j = m * cv * (t3 - t2);
        let heat_j = at_volume_j + m * cp * (t4 - t3);
        let result = cycle.run(heat_j, at_volume_j / heat_j);
        proof.relative(result.compression_end_k, t2, &"T2");
        proof.relative(result.peak_k, t4, &"T4");
        proof.relative(result.peak_pressure_pa, 2.5e5 * ratio * t3 / t1, &"p3");
        proof.relative(result.work_j, heat_j - m * cv * (t5 - t1), &"work");
    });
    proof.done();
}

proptest! {
    #![proptest_config(crate::random::cases(256))]

    /// No cycle of a compression ratio beats the constant-volume cycle, none is
    /// below the diesel cycle of the same heat, and more at constant volume is
    /// more work (Heywood 1988, ch. 5).
    #[test]
    fn more_heat_at_constant_volume_is_more_work(
        ratio in 10.0..22.0,
        heat in 0.5..3.0,
        a in 0.0..1.0,
        b in 0.0..1.0,
    ) {
        prop_assume!(f64::abs(a - b) > 1e-3);
        let cycle = AirStandard::new(1.35, 1050.0, ratio, 330.0, 2e5);
        let heat_j = 1e6 * heat * cycle.mass_kg();
        let (less, more) = (f64::min(a, b), f64::max(a, b));
        let work = |share| cycle.run(heat_j, share).work_j;
        prop_assert!(work(less) < work(more));
        let otto = 1.0 - ratio.powf(-0.35);
        prop_assert!(work(more) <= otto * heat_j * (1.0 + 1e-12));
    }

    /// The share's curve keeps to its slope at the reference and never leaves 0
    /// to 1, the ends included.
    #[test]
    fn share_over_timing(share in 0.0..=1.0, slope in -0.05..0.05, advance in -20.0..40.0) {
        let cycle = |s| LimitedPressureCycle {
            compression_ratio: 16.0,
            constant_volume_share: s,
            reference_timing_deg: 5.0,
            share_per_degree: slope,
            compression_exponent: 1.35,
            expansion_exponent: 1.3,
            wall_loss: 0.1,
            late_burning_below_lambda: 1.5,
            late_burning: 0.3,
        };
        for s in [share, 0.0, 1.0] {
            prop_assert!((0.0..=1.0).contains(&cycle(s).share_at(advance)));
            prop_assert!((cycle(s).share_at(5.0) - s).abs() < 1e-12);
        }
        prop_assume!((0.05..0.95).contains(&share));
        let rise = cycle(share).share_at(5.001) - cycle(share).share_at(4.999);
        prop_assert!((rise / 0.002 - slope).abs() < 1e-5);
    }
}
