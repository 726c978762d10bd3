//! Figures of a run that a page has room for and a terminal has not.
use crate::judgement::{Peaks, RunResult, Steady};
use crate::report::body::Body;
use crate::report::table::{Cell, number, words};
use crate::report::text_compare::shown;
use crate::report::units::{Units, fixed};

/// A quantity: what it is called, the unit it is kept in, where it is found.
type Quantity = (&'static str, &'static str, fn(&Peaks) -> Option<f64>);

const QUANTITIES: [Quantity; 14] = [
    ("shaft speed", "rpm", |p| Some(p.shaft_speed_rpm)),
    ("tip speed", "m/s", |p| Some(p.tip_speed_m_s)),
    ("true boost", "kPa abs", |p| Some(p.boost_kpa_abs)),
    ("boost reading", "kPa abs", |p| Some(p.boost_sensed_kpa_abs)),
    ("boost command", "kPa abs", |p| p.boost_command_kpa_abs),
    ("drive pressure", "kPa abs", |p| {
        Some(p.drive_pressure_kpa_abs)
    }),
    ("drive to boost, both gauge", "-", |p| {
        p.drive_to_boost_gauge
    }),
    ("vanes closed", "%", |p| Some(p.vane_closed_pct)),
    ("turbine inlet", "K", |p| Some(p.turbine_inlet_k)),
    ("compressor outlet", "K", |p| Some(p.compressor_outlet_k)),
    ("cylinder pressure", "kPa abs", |p| {
        Some(p.cylinder_pressure_kpa_abs)
    }),
    ("lambda (lowest)", "-", |p| p.lambda),
    ("power", "kW", |p| Some(p.power_kw)),
    ("torque", "N m", |p| Some(p.torque_nm)),
];

/// Highest values, and the values at the instant of the fastest shaft.
pub(super) fn highest(result: &RunResult, units: Units) -> Body {
    let at = &result.at_peak_shaft_speed;
    let columns = [
        words("quantity", 0),
        words("unit", 0),
        number("highest", 0),
        number("at the fastest shaft", 0),
    ];
    let rows = QUANTITIES.iter().map(|&(name, unit, of)| {
        let text = |peaks: &Peaks| -> Cell {
            let value = of(peaks).map(|value| {
                let (value, _, decimals) = shown(units, unit, value, false);
                fixed(value, decimals)
            });
            value.unwrap_or_else(|| "-".to_owned()).into()
        };
        let unit = unit_words(units, unit);
        vec![
            name.into(),
            unit.into(),
            text(&result.peaks),
            text(&at.values),
        ]
    });
    let mut body = Body::default();
    body.heading("Highest values");
    body.table(&columns, rows.collect());
    body.plain(format!(
        "The shaft was fastest at {} s, at {} rpm of the engine.",
        fixed(at.time_s, 2),
        fixed(at.engine_speed_rpm, 0)
    ));
    body
}

/// A unit as it is read; pressures say that they are absolute.
fn unit_words(units: Units, unit: &str) -> String {
    let (_, shown_unit, _) = shown(units, unit, 0.0, false);
    match unit {
        "kPa abs" => format!("{shown_unit} abs"),
        _ => shown_unit,
    }
}

/// The equilibrium that a hold ended in.
pub(super) fn steady(s: &Steady, units: Units) -> Body {
    let pressure = |pa: f64| {
        let places = units.pressure_decimals() + 1;
        let unit = format!("{} abs", units.pressure_unit());
        (fixed(units.pressure(pa * 1e-3), places), unit)
    };
    let warmth = |k: f64| {
        let unit = units.temperature_unit().to_owned();
        (fixed(units.temperature(k), 1), unit)
    };
    let flow = |kg_s: f64| {
        let unit = units.mass_flow_unit().to_owned();
        let places = if units == Units::Si { 4 } else { 2 };
        (fixed(units.mass_flow(kg_s), places), unit)
    };
    let power = |w: f64| {
        let unit = units.power_unit().to_owned();
        (fixed(units.power(w * 1e-3), 2), unit)
    };
    let share = |share: f64| (fixed(100.0 * share, 1), "%".to_owned());
    let krpm = s.shaft_speed_rad_s * 60.0 / std::f64::consts::TAU * 1e-3;
    let rows = [
        ("intake pressure", pressure(s.intake_pressure_pa)),
        ("intake temperature", warmth(s.intake_temperature_k)),
        ("exhaust pressure", pressure(s.exhaust_pressure_pa)),
        ("exhaust temperature", warmth(s.exhaust_temperature_k)),
        ("shaft speed", (fixed(krpm, 2), "krpm".to_owned())),
        ("compressor flow", flow(s.compressor_flow_kg_s)),
        ("turbine flow", flow(s.turbine_flow_kg_s)),
        ("wastegate flow", flow(s.wastegate_flow_kg_s)),
        ("compressor efficiency", share(s.compressor_efficiency)),
        ("turbine efficiency", share(s.turbine_efficiency)),
        ("compressor power", power(s.compressor_power_w)),
        ("turbine power", power(s.turbine_power_w)),
        ("bearing power", power(s.bearing_power_w)),
        (
            "vanes closed",
            (fixed(s.vane_closed_pct, 1), "%".to_owned()),
        ),
        ("lambda", (fixed(s.lambda, 3), String::new())),
        (
            "torque",
            (
                fixed(units.torque(s.torque_nm), 1),
                units.torque_unit().to_owned(),
            ),
        ),
    ];
    let columns = [words("quantity", 0), words("unit", 0), number("value", 0)];
    let rows = rows.into_iter().map(|(name, (value, unit))| {
        let cells: Vec<Cell> = vec![name.into(), unit.into(), value.into()];
        cells
    });
    let mut body = Body::default();
    body.heading("The equilibrium it settled in");
    body.table(&columns, rows.collect());
    body
}
