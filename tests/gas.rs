//! The gas room against published figures and against laws of physics.
//!
//! Reference tables are read from `tests/data/reference/`; the head of each file
//! names its sources and tolerances, `README.md` there sums them up.
use ringfence::gas::atmosphere::{self, AtmosphereError};
use ringfence::gas::isentropic_flow;
use ringfence::gas::nozzle;
use ringfence::gas::{Ambient, WorkingGas, humidity_ratio};
use std::collections::BTreeMap;

#[path = "gas/laws.rs"]
mod laws;
#[path = "common/proof.rs"]
mod proof;
#[path = "common/random.rs"]
mod random;

/// Hydrogen per carbon of the fuel behind the reference files.
const HYDROGEN_TO_CARBON: f64 = 1.85;

type Row = BTreeMap<String, String>;

fn rows(file: &str) -> Vec<Row> {
    let path = format!("{}/tests/data/reference/{file}", env!("CARGO_MANIFEST_DIR"));
    let rows: Vec<Row> = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .and_then(|mut reader| reader.deserialize().collect())
        .expect("reference table reads");
    assert!(rows.len() >= 6, "{file} lost its rows");
    rows
}

fn number(row: &Row, column: &str) -> f64 {
    given(row, column).unwrap_or_else(|| panic!("no number in {column} of {row:?}"))
}

fn given(row: &Row, column: &str) -> Option<f64> {
    row[column].parse().ok()
}

#[track_caller]
fn assert_relative(got: f64, expected: f64, tolerance: f64, what: &impl std::fmt::Debug) {
    let error = (got - expected).abs();
    assert!(
        error <= tolerance * expected.abs(),
        "{got} instead of {expected} in {what:?}"
    );
}

#[track_caller]
fn assert_absolute(got: f64, expected: f64, tolerance: f64, what: &impl std::fmt::Debug) {
    assert!(
        (got - expected).abs() <= tolerance,
        "{got} instead of {expected} in {what:?}"
    );
}

/// Half a unit in the last digit a table prints (figures without a point are taken
/// as printed to the unit), with room for the rounding of the comparison.
fn half_last_digit(printed: &str) -> f64 {
    let decimals = printed.split_once('.').map_or(0, |(_, after)| after.len());
    0.5 * 10_f64.powi(-(decimals as i32)) * (1.0 + 1e-9)
}

/// The working gas and burned fraction a name of the reference files means.
fn gas_named(name: &str) -> (WorkingGas, f64) {
    if let Some(lambda) = name.strip_prefix("products_lambda") {
        let gas = WorkingGas::new(0.0, HYDROGEN_TO_CARBON);
        let lambda: f64 = lambda.parse().expect("lambda in the name");
        let air_fuel = gas.stoichiometric_air_fuel();
        return (gas, (1.0 + air_fuel) / (1.0 + lambda * air_fuel));
    }
    let humidity = name
        .strip_prefix("air_humid_w")
        .map_or(0.0, |w| w.parse().expect("humidity in the name"));
    (WorkingGas::new(humidity, HYDROGEN_TO_CARBON), 0.0)
}

// ---------------------------------------------------------------- gas properties

/// Cantera 3.2.0 (file head). The coefficients descend from the same report, so
/// this checks mixing, units and integration; the file's tolerance for such a set
/// is 0.2 %, and what is left is atomic weights: 1e-5.
#[test]
fn properties_agree_with_a_general_purpose_library() {
    let (mut of_cp, mut of_gamma) = (proof::row("gas-cp"), proof::row("gas-gamma"));
    let mut of_enthalpy = proof::row("gas-enthalpy");
    for row in rows("b_gas_properties.csv") {
        let (gas, burned) = gas_named(&row["gas"]);
        let t = number(&row, "T_K");
        let properties = gas.properties(t, burned);
        of_cp.relative(properties.cp_j_kg_k, number(&row, "cp_J_kgK"), &row);
        of_gamma.absolute(properties.gamma, number(&row, "gamma"), &row);
        let gas_constant = number(&row, "R_J_kgK");
        of_cp.relative(properties.gas_constant_j_kg_k, gas_constant, &row);
        // 10 kJ/kg: enthalpy passes through zero at 298.15 K.
        let h = number(&row, "h_minus_h298_J_kg");
        let off = (properties.enthalpy_j_kg - h).abs();
        of_enthalpy.see(off / (h.abs() + 1e4), &row);
    }
    of_cp.done();
    of_gamma.done();
    of_enthalpy.done();
}

/// CoolProp 8.0.0, real air after Lemmon and others (2000): a source of its own for
/// the heat capacity. At 1 bar real air differs from ideal air by up to 0.26 %.
#[test]
fn heat_capacity_agrees_with_real_air_at_low_pressure() {
    let gas = WorkingGas::new(0.0, HYDROGEN_TO_CARBON);
    let mut proof = proof::row("gas-real-air");
    for row in rows("b_real_vs_ideal.csv") {
        if number(&row, "p_bar") == 1.0 {
            let cp = gas.cp_j_kg_k(number(&row, "T_K"), 0.0);
            proof.relative(cp, number(&row, "cp_real"), &row);
        }
    }
    proof.done();
}

/// Ideal-gas tables of air after Keenan and Kaye, as printed in Cengel and Boles,
/// Thermodynamics, table A-17 (kJ/kg, from memory). 0.15 %: the table rests on
/// older spectroscopic data and another composition.
#[test]
fn enthalpy_agrees_with_printed_air_tables() {
    let gas = WorkingGas::new(0.0, HYDROGEN_TO_CARBON);
    let h = |t| gas.enthalpy_j_kg(t, 0.0);
    let at_300_kj_kg = 300.19;
    let mut proof = proof::row("gas-printed-air");
    for (t, printed_kj_kg) in [
        (400.0, 400.98),
        (600.0, 607.02),
        (800.0, 821.95),
        (1000.0, 1046.04),
        (1200.0, 1277.79),
        (1400.0, 1515.42),
    ] {
        let expected = 1e3 * (printed_kj_kg - at_300_kj_kg);
        proof.relative(h(t) - h(300.0), expected, &t);
    }
    proof.done();
}

/// Heywood (1988), table D.4: diesel fuels need 14.4 to 14.6 kg of air per kg; the
/// head of b_gas_properties.csv gives 14.5754 for CH1.85.
#[test]
fn stoichiometric_air_fuel_ratio() {
    let dry = WorkingGas::new(0.0, HYDROGEN_TO_CARBON).stoichiometric_air_fuel();
    proof::row("gas-stoichiometric").reached((dry - 14.5754).abs());
    let humid = WorkingGas::new(0.02, HYDROGEN_TO_CARBON).stoichiometric_air_fuel();
    assert_relative(humid, 1.02 * dry, 1e-12, &"the water comes on top");
}

/// A step at the join of the polynomials would be work from nowhere.
#[test]
fn enthalpy_is_seamless_at_the_join() {
    let gas = WorkingGas::new(0.01, HYDROGEN_TO_CARBON);
    for burned in [0.0, 0.4, 1.0] {
        let below = gas.enthalpy_j_kg(1000.0_f64.next_down(), burned);
        let above = gas.enthalpy_j_kg(1000.0, burned);
        assert_relative(above, below, 1e-12, &burned);
        let cp_below = gas.cp_j_kg_k(1000.0_f64.next_down(), burned);
        assert_relative(gas.cp_j_kg_k(1000.0, burned), cp_below, 1e-7, &burned);
    }
}

/// Isentropic work with variable heat capacity, Cantera 3.2.0 (file head). The
/// file asks for 0.5 %; the method claims 1e-5, atomic weights add as much.
#[test]
fn isentropic_work_of_compressor_and_turbine() {
    let mut proof = proof::row("gas-isentropic");
    for row in rows("b_expansion.csv") {
        let (gas, burned) = gas_named(&row["gas"]);
        let end = gas.isentropic(number(&row, "T1_K"), burned, number(&row, "p2_over_p1"));
        let expected = number(&row, "dh_s_J_kg");
        proof.relative(end.enthalpy_change_j_kg, expected, &row);
        assert_absolute(end.temperature_k, number(&row, "T2s_K"), 0.005, &row);
    }
    proof.done();
}

/// Choked flux with variable heat capacity, Cantera 3.2.0 (file head): a nozzle of
/// constant gamma taken at the total temperature is within 0.2 %.
#[test]
fn choked_flux_of_air_and_exhaust() {
    let mut proof = proof::row("gas-choked-flux");
    for row in rows("b_choked_flux.csv") {
        let (gas, burned) = gas_named(&row["gas"]);
        let t = number(&row, "T0_K");
        let gamma = gas.gamma(t, burned);
        let gas_constant = gas.gas_constant_j_kg_k(burned);
        let flux = nozzle::mass_flow_kg_s(1.0, 1e5, t, 2e4, gas_constant, gamma);
        proof.relative(flux, number(&row, "flux_kg_m2s_at_1bar"), &row);
        let critical = nozzle::critical_pressure_ratio(gamma);
        assert_relative(critical, number(&row, "crit_constant_gamma"), 1e-5, &row);
    }
    proof.done();
}

// ------------------------------------------------------------------------ nozzle

/// NACA Report 1135 (1953), tables I and II: half of the last printed digit; the
/// closed forms of the same file to 1e-9.
#[test]
fn isentropic_flow_tables() {
    let (mut to_table, mut to_form) = (proof::row("nozzle-table"), proof::row("nozzle-closed"));
    for row in rows("c_isentropic.csv") {
        let (mach, gamma) = (number(&row, "M"), number(&row, "gamma"));
        for (got, closed, table, figures) in [
            (
                isentropic_flow::pressure_ratio(mach, gamma),
                "p_over_p0",
                "p_table",
                4,
            ),
            (
                isentropic_flow::density_ratio(mach, gamma),
                "rho_over_rho0",
                "rho_table",
                4,
            ),
            (
                isentropic_flow::temperature_ratio(mach, gamma),
                "T_over_T0",
                "T_table",
                4,
            ),
            (
                isentropic_flow::area_ratio(mach, gamma),
                "A_over_Astar",
                "A_table",
                3,
            ),
        ] {
            to_form.relative(got, number(&row, closed), &row);
            // The tables print four figures; trailing zeros are lost in the file.
            let half = 0.5 * 10_f64.powi(-figures) * (1.0 + 1e-9);
            to_table.see((got - number(&row, table)).abs() / half, &row);
        }
    }
    to_form.done();
    to_table.done();
}

/// Shapiro (1953) ch. 4, confirmed by `fluids` 1.3.1 (file head): a formula, 1e-9.
#[test]
fn flow_function_against_its_closed_form() {
    let mut proof = proof::row("nozzle-function");
    for row in rows("c_flow_function.csv") {
        let gamma = number(&row, "gamma");
        let ratio = number(&row, "p_back_over_p0");
        let got = nozzle::flow_function_with_slope(ratio, gamma);
        // at equal pressures both are zero
        let expected = number(&row, "flow_function");
        assert_eq!(got.flow_function == 0.0, expected == 0.0, "{row:?}");
        proof.see(
            (got.flow_function - expected).abs() / expected.max(1e-9),
            &row,
        );
        let critical = number(&row, "critical_ratio");
        proof.relative(nozzle::critical_pressure_ratio(gamma), critical, &row);
        if number(&row, "choked") == 1.0 && ratio < critical {
            assert_eq!(got.slope, 0.0);
        }
    }
    proof.done();
}

/// The values of a worked example, and how near to the printed answer it asks for.
fn worked_example(id: &str) -> (BTreeMap<String, f64>, f64, f64) {
    let row = rows("cdef_worked_examples.csv")
        .into_iter()
        .find(|row| row["id"] == id)
        .expect("worked example is in the table");
    let tolerance: f64 = row["tolerance"]
        .strip_suffix(" %")
        .and_then(|percent| percent.parse().ok())
        .expect("tolerance in per cent");
    let inputs = serde_json::from_str(&row["given"]).expect("inputs are numbers");
    (inputs, number(&row, "published"), tolerance / 100.0)
}

/// Cengel and Cimbala, Fluid Mechanics, example 12-4: nozzle with inlet velocity,
/// back pressure above (a) and below (b) the critical one.
#[test]
fn worked_nozzle_with_inlet_velocity() {
    let mut proof = proof::row("nozzle-inlet-velocity");
    for id in ["c1a", "c1b"] {
        let (x, published, tolerance) = worked_example(id);
        let total_k = isentropic_flow::total_temperature_k(x["T_K"], x["V_ms"], x["R"], x["gamma"]);
        let total_pa =
            isentropic_flow::total_pressure_pa(x["p_Pa"], x["T_K"], x["V_ms"], x["R"], x["gamma"]);
        let flow =
            nozzle::mass_flow_kg_s(x["A_m2"], total_pa, total_k, x["pb"], x["R"], x["gamma"]);
        assert_relative(flow, published, tolerance, &id);
        proof.relative(flow, published, &id);
    }
    proof.done();
}

/// Cengel and Cimbala, Fluid Mechanics, example 12-6: sonic throat.
#[test]
fn worked_sonic_throat() {
    let (x, published, tolerance) = worked_example("c2");
    let flow = nozzle::mass_flow_kg_s(x["A_throat"], x["p0"], x["T0"], 0.0, x["R"], x["gamma"]);
    assert_relative(flow, published, tolerance, &"c2");
    proof::row("nozzle-sonic").reached((flow / published - 1.0).abs());
}

/// API Standard 520 part I, gas sizing example. The compressibility Z enters as in
/// the standard: Z R in place of R.
#[test]
fn worked_relief_valve() {
    let (x, published, tolerance) = worked_example("c3");
    let gas_constant = x["Z"] * 8314.462618 / x["M"];
    let area = x["Cd"] * x["A"];
    let flow = nozzle::mass_flow_kg_s(area, x["p0"], x["T0"], 1e5, gas_constant, x["gamma"]);
    assert_relative(flow, published, tolerance, &"c3");
    proof::row("nozzle-relief").reached((flow / published - 1.0).abs());
}

// -------------------------------------------------------------------- atmosphere

/// ISO 2533:1975. Library columns within the file's 0.01 K and 2e-5; printed table
/// figures within one unit of their last digit.
#[test]
fn standard_atmosphere() {
    let mut of_temperature = proof::row("atmosphere-temperature");
    let mut of_pressure = proof::row("atmosphere-pressure");
    for row in rows("a_atmosphere.csv") {
        let altitude = number(&row, "H_geopotential_m");
        let t = atmosphere::temperature_k(altitude).unwrap();
        let p = atmosphere::pressure_pa(altitude).unwrap();
        let rho = atmosphere::density_kg_m3(altitude).unwrap();
        of_temperature.absolute(t, number(&row, "T_K_lib"), &row);
        of_pressure.relative(p, number(&row, "p_Pa_lib"), &row);
        of_pressure.relative(rho, number(&row, "rho_kgm3_lib"), &row);
        for (got, column) in [(t, "T_K_table"), (p, "p_Pa_table"), (rho, "rho_table")] {
            if let Some(printed) = given(&row, column) {
                let unit = 2.0 * half_last_digit(&row[column]);
                assert_absolute(got, printed, unit, &row);
            }
        }
    }
    of_temperature.done();
    of_pressure.done();
}

/// ISO 2533:1975: −2000 m opens the tables, 11 000 m is the tropopause, where the
/// table prints 216.65 K and 22 632 Pa (from memory).
#[test]
fn the_lowest_layer_has_ends() {
    assert_absolute(
        atmosphere::temperature_k(11_000.0).unwrap(),
        216.65,
        1e-9,
        &(),
    );
    let tropopause_pa = atmosphere::pressure_pa(11_000.0).unwrap();
    proof::row("atmosphere-ends").reached((tropopause_pa - 22_632.0).abs());
    for altitude_m in [-2000.1, 11_000.1, f64::INFINITY] {
        let error = atmosphere::pressure_pa(altitude_m).unwrap_err();
        assert_eq!(error, AtmosphereError::Altitude { altitude_m });
        assert!(error.to_string().contains(&altitude_m.to_string()));
    }
    assert!(atmosphere::temperature_k(f64::NAN).is_err());
}

/// Steam tables (Wagner and Kretzschmar, International Steam Tables, 2008, from
/// memory): printed to 1 Pa below 100 degrees Celsius. At −20 degrees over liquid
/// water 125.4 Pa (Smithsonian Meteorological Tables, 6th ed., from memory), within
/// the 1 % claimed for the continuation.
#[test]
fn saturation_pressure_of_water() {
    let mut proof = proof::row("water-saturation");
    for (celsius, printed_pa, tolerance_pa) in [
        (0.01, 611.7, 0.1),
        (10.0, 1228.0, 1.0),
        (20.0, 2339.0, 1.0),
        (30.0, 4247.0, 1.0),
        (40.0, 7385.0, 1.0),
        (100.0, 101_420.0, 10.0),
        (-20.0, 125.4, 1.25),
    ] {
        let got = atmosphere::saturation_pressure_pa(celsius + 273.15);
        proof.see((got - printed_pa).abs() / tolerance_pa, &celsius);
    }
    proof.done();
}

/// ASHRAE Handbook Fundamentals, psychrometric table of moist air at 101.325 kPa
/// (from memory): saturated 0.014761 kg/kg at 20 degrees, 0.027333 at 30. The table
/// counts the real-gas enhancement of 0.45 %, hence 0.6 %.
#[test]
fn humidity_ratio_of_saturated_air() {
    let mut proof = proof::row("water-humidity");
    for (celsius, printed) in [(20.0, 0.014761), (30.0, 0.027333)] {
        let got = humidity_ratio(1.0, celsius + 273.15, 101_325.0);
        proof.relative(got, printed, &celsius);
    }
    proof.done();
    assert_eq!(humidity_ratio(0.0, 300.0, 1e5), 0.0);
}

#[test]
fn ambient_by_altitude_is_standard_pressure_and_shifted_temperature() {
    let hot = Ambient::at_altitude(2000.0, 20.0, 0.3).unwrap();
    assert_eq!(hot.altitude_m, Some(2000.0));
    assert_absolute(hot.pressure_pa, 79_495.2, 0.1, &"ISO 2533, 2000 m");
    assert_absolute(hot.temperature_k, 275.15 + 20.0, 1e-9, &"ISO 2533, 2000 m");
    let vapour = humidity_ratio(0.3, hot.temperature_k, hot.pressure_pa);
    assert_eq!(hot.humidity_kg_kg, vapour);
    let given = Ambient::given(hot.pressure_pa, hot.temperature_k, 0.3).unwrap();
    assert_eq!(
        given,
        Ambient {
            altitude_m: None,
            ..hot
        }
    );
}

#[test]
fn an_ambient_that_cannot_be_is_refused() {
    use AtmosphereError as E;
    let refused = |p, t, humidity| Ambient::given(p, t, humidity).unwrap_err();
    assert!(matches!(refused(0.0, 300.0, 0.5), E::Pressure { .. }));
    assert!(matches!(refused(f64::NAN, 300.0, 0.5), E::Pressure { .. }));
    assert!(matches!(refused(1e5, 25.0, 0.5), E::Temperature { .. }));
    assert!(matches!(
        refused(1e5, 300.0, 45.0),
        E::RelativeHumidity { .. }
    ));
    assert!(matches!(refused(5e4, 370.0, 1.0), E::Boiling { .. }));
    let too_high = Ambient::at_altitude(12_000.0, 0.0, 0.5).unwrap_err();
    assert_eq!(
        too_high,
        E::Altitude {
            altitude_m: 12_000.0
        }
    );
}
