//! Points at rest: states, flows, eigenvalues, static gains, area for a boost.
use super::points::{BENCHMARK, Row, held, number, rows, setup};
use super::proof;
use ringfence::control::BoostController;
use ringfence::judgement::{Steady, steady_block};
use ringfence::simulation::{steady_input, steady_state};

/// The equilibrium of a point, and its blade-speed ratio.
fn rest(rpm: f64, fuel_mg: f64, wastegate: f64, area: f64) -> (Steady, f64) {
    let setup = setup(BENCHMARK, &held(rpm, fuel_mg, wastegate, area));
    let asked = setup.procedure.at(0.0);
    let rig = &setup.rig;
    let state = steady_state(rig, asked, 0.0, None).expect("a point at rest");
    let controller = BoostController::new(rig.controller.clone());
    let input = steady_input(rig, &controller, asked, &state);
    let point = rig.plant.evaluate(&state, &input);
    assert!(!point.compressor.extrapolated && !point.turbine.extrapolated);
    assert!(!point.compressor.surging, "{:?}", point.compressor);
    (
        steady_block(rig, &state, &input),
        point.turbine.blade_speed_ratio,
    )
}

fn of_row(row: &Row) -> (Steady, f64) {
    let at = |column| number(row, column);
    rest(
        at("rpm"),
        at("fuel_mg_cycle"),
        at("wastegate"),
        at("A_t_factor"),
    )
}

/// Every printed quantity of every equilibrium, 0.05 % as the table's head says for
/// a tool with the same component equations.
#[test]
fn equilibria_of_the_published_diesel() {
    let mut proof = proof::row("published-rest");
    let rows = rows("g_bench_steady.csv");
    assert_eq!(rows.len(), 5);
    for row in &rows {
        let (s, blade_speed_ratio) = of_row(row);
        for (column, got) in [
            ("p_im_Pa", s.intake_pressure_pa),
            ("p_em_Pa", s.exhaust_pressure_pa),
            ("w_tc_rad_s", s.shaft_speed_rad_s),
            (
                "n_tc_rpm",
                s.shaft_speed_rad_s * 30.0 / std::f64::consts::PI,
            ),
            (
                "PR_c",
                s.compressor_outlet_pressure_pa / s.compressor_inlet_pressure_pa,
            ),
            ("m_c_kg_s", s.compressor_flow_kg_s),
            ("eta_c", s.compressor_efficiency),
            ("eta_tm", s.turbine_efficiency),
            ("BSR", blade_speed_ratio),
            ("T_em_K", s.exhaust_temperature_k),
            ("lambda", s.lambda),
            ("torque_Nm", s.torque_nm),
        ] {
            proof.relative(got, number(row, column), &column);
        }
        let through = s.turbine_flow_kg_s + s.wastegate_flow_kg_s;
        let into = s.compressor_flow_kg_s + s.fuel_flow_kg_s;
        assert!((through / into - 1.0).abs() < 1e-9, "{through} {into}");
        assert_eq!(
            s.wastegate_flow_kg_s > 0.0,
            number(row, "wastegate") > 0.0,
            "{row:?}"
        );
    }
    proof.done();
}

/// Three eigenvalues, real and negative: the exhaust's is the fastest, the shaft's
/// the slowest, with a time constant as turbochargers have it.
#[test]
fn eigenvalues_of_the_published_diesel() {
    let mut proof = proof::row("published-eigenvalues");
    let mut slowest = proof::row("published-time-constant");
    for row in &rows("g_bench_steady.csv") {
        let eigenvalues = of_row(row).0.eigenvalues_1_s;
        assert_eq!(eigenvalues.len(), 3, "{eigenvalues:?}");
        for (k, column) in ["eig1_1_s", "eig2_1_s", "eig3_1_s"].iter().enumerate() {
            let [re, im] = eigenvalues[k];
            assert!(re < 0.0 && im == 0.0, "{eigenvalues:?}");
            proof.relative(re, number(row, column), column);
        }
        slowest.see(-1.0 / eigenvalues[2][0], row);
    }
    proof.done();
    slowest.done();
}

/// Differences of equilibria half a per cent of area to either side, as the table
/// was made.
#[test]
fn static_gains_of_the_published_diesel() {
    let mut proof = proof::row("published-gains");
    for row in &rows("g_bench_steady.csv") {
        let at = |column| number(row, column);
        let with = |share: f64| {
            let area = at("A_t_factor") * share;
            rest(at("rpm"), at("fuel_mg_cycle"), at("wastegate"), area).0
        };
        let (wide, narrow) = (with(1.005), with(0.995));
        let boost = wide.intake_pressure_pa - narrow.intake_pressure_pa;
        assert_eq!(boost.signum(), at("dp_im_dA_sign"));
        proof.relative(boost, at("dp_im_dA_Pa_per_percent"), row);
        let drive = wide.exhaust_pressure_pa - narrow.exhaust_pressure_pa;
        proof.relative(drive, at("dp_em_dA_Pa_per_percent"), row);
        let speed = wide.shaft_speed_rad_s - narrow.shaft_speed_rad_s;
        proof.relative(speed, at("dw_tc_dA_per_percent"), row);
    }
    proof.done();
}

/// The area that a boost asks for, by false position over the factor.
#[test]
fn turbine_area_for_a_boost() {
    let mut proof = proof::row("published-area");
    let rows = rows("g_bench_targets.csv");
    assert_eq!(rows.len(), 2);
    for row in &rows {
        let at = |column| number(row, column);
        let wanted = at("target_p_im_Pa");
        let point = |area: f64| rest(at("rpm"), at("fuel_mg_cycle"), at("wastegate"), area).0;
        let (mut a, mut b) = (0.85, 1.25);
        let (mut of_a, mut of_b) = (
            point(a).intake_pressure_pa - wanted,
            point(b).intake_pressure_pa - wanted,
        );
        for _ in 0..12 {
            let area = a - of_a * (b - a) / (of_b - of_a);
            let off = point(area).intake_pressure_pa - wanted;
            (a, of_a, b, of_b) = (b, of_b, area, off);
            if off.abs() < 0.01 {
                break;
            }
        }
        let s = point(b);
        for (column, got) in [
            ("A_t_factor", b),
            ("target_p_im_Pa", s.intake_pressure_pa),
            ("p_em_Pa", s.exhaust_pressure_pa),
            ("w_tc_rad_s", s.shaft_speed_rad_s),
            ("T_em_K", s.exhaust_temperature_k),
        ] {
            proof.relative(got, at(column), &column);
        }
    }
    proof.done();
}
