//! The trace of a run as CSV: one row per sample, stable columns.
use crate::simulation::Sample;

/// The columns, in order.
pub const TRACE_COLUMNS: [&str; 29] = [
    "time_s",
    "engine_speed_rpm",
    "gear",
    "altitude_m",
    "ambient_kpa_abs",
    "fuel_mg_per_injection",
    "boost_command_kpa_abs",
    "boost_true_kpa_abs",
    "boost_sensed_kpa_abs",
    "vane_command_pct",
    "vane_closed_pct",
    "drive_pressure_kpa_abs",
    "shaft_speed_rpm",
    "compressor_flow_kg_s",
    "compressor_pressure_ratio",
    "compressor_efficiency",
    "compressor_outlet_k",
    "turbine_expansion_ratio",
    "turbine_efficiency",
    "turbine_inlet_k",
    "intake_k",
    "lambda",
    "cylinder_pressure_kpa_abs",
    "torque_nm",
    "power_kw",
    "surge_margin_pct",
    "compressor_extrapolated",
    "turbine_extrapolated",
    "active_protections",
];

/// The samples as CSV text.
///
/// Numbers have fixed decimals, a value that does not exist or is not finite
/// is an empty field, flags are `true` or `false`, and the protections that
/// act are their names joined by `+`.
pub fn trace_csv(samples: &[Sample]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory cannot fail, and every row has the header's length.
    let mut rows_written = writer.write_record(TRACE_COLUMNS).is_ok();
    for sample in samples {
        rows_written &= writer.write_record(row(sample)).is_ok();
    }
    debug_assert!(rows_written);
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

fn row(s: &Sample) -> [String; 29] {
    [
        decimals(s.time_s, 4),
        decimals(s.engine_speed_rpm, 2),
        s.gear.map(|gear| gear.to_string()).unwrap_or_default(),
        optional(s.altitude_m, 2),
        decimals(s.ambient_kpa_abs, 4),
        decimals(s.fuel_mg_per_injection, 3),
        optional(s.boost_command_kpa_abs, 3),
        decimals(s.boost_true_kpa_abs, 3),
        decimals(s.boost_sensed_kpa_abs, 3),
        decimals(s.vane_command_pct, 3),
        decimals(s.vane_closed_pct, 3),
        decimals(s.drive_pressure_kpa_abs, 3),
        decimals(s.shaft_speed_rpm, 1),
        decimals(s.compressor_flow_kg_s, 6),
        decimals(s.compressor_pressure_ratio, 5),
        decimals(s.compressor_efficiency, 5),
        decimals(s.compressor_outlet_k, 3),
        decimals(s.turbine_expansion_ratio, 5),
        decimals(s.turbine_efficiency, 5),
        decimals(s.turbine_inlet_k, 3),
        decimals(s.intake_k, 3),
        decimals(s.lambda, 4),
        decimals(s.cylinder_pressure_kpa_abs, 1),
        decimals(s.torque_nm, 2),
        decimals(s.power_kw, 3),
        decimals(s.surge_margin_pct, 3),
        s.compressor_extrapolated.to_string(),
        s.turbine_extrapolated.to_string(),
        protections(s.active_protections),
    ]
}

fn decimals(value: f64, places: usize) -> String {
    if value.is_finite() {
        super::units::fixed(value, places)
    } else {
        String::new()
    }
}

fn optional(value: Option<f64>, places: usize) -> String {
    value
        .map(|value| decimals(value, places))
        .unwrap_or_default()
}

fn protections(bits: u8) -> String {
    crate::simulation::PROTECTIONS
        .iter()
        .enumerate()
        .filter(|(bit, _)| bits & (1 << bit) != 0)
        .map(|(_, name)| *name)
        .collect::<Vec<_>>()
        .join("+")
}
