//! The values along an axis of a sweep as a reader sees them: in the units asked
//! for, with as many decimals as tell them apart.
use super::sweep_data::{SweepAxis, SweepValues};
use crate::quantity::{Length, MassFlow, Power, Pressure, Quantity, Speed, Temperature, Torque};
use crate::report::units::{Units, fixed};

/// An axis to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ShownAxis {
    /// What stands beside the axis, with the unit.
    pub(super) name: String,
    /// The places of the values, rising; `None` for words, which have none.
    pub(super) places: Option<Vec<f64>>,
    /// Each value as text, in the order of `places`, without the unit.
    pub(super) texts: Vec<String>,
    /// The same with the unit.
    pub(super) full_texts: Vec<String>,
    /// Which value of the sweep each of them is.
    pub(super) order: Vec<usize>,
}

impl ShownAxis {
    pub(super) fn new(axis: &SweepAxis, units: Units) -> Self {
        let label = match axis.label.trim() {
            "" => axis.path.clone(),
            label => label.to_owned(),
        };
        match &axis.values {
            SweepValues::Words(words) => ShownAxis::of_words(label, words.clone()),
            SweepValues::Numbers { unit, values } => numbers(label, unit, values, units),
        }
    }

    fn of_words(name: String, words: Vec<String>) -> Self {
        ShownAxis {
            name,
            places: None,
            full_texts: words.clone(),
            order: (0..words.len()).collect(),
            texts: words,
        }
    }

    pub(super) fn len(&self) -> usize {
        self.order.len()
    }
}

/// An axis of numbers. Those that have no place of their own (twins, no number at
/// all, closer than can be drawn) stand side by side like words.
fn numbers(label: String, unit: &str, values: &[f64], units: Units) -> ShownAxis {
    let (shown, unit) = converted(values, unit, units);
    let mut order: Vec<usize> = (0..shown.len()).collect();
    order.sort_by(|&a, &b| shown[a].total_cmp(&shown[b]));
    let sorted: Vec<f64> = order.iter().map(|&index| shown[index]).collect();
    let greatest = sorted.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
    let gaps = sorted.windows(2).map(|pair| pair[1] - pair[0]);
    let gap = gaps.fold(f64::INFINITY, f64::min);
    let placed =
        sorted.iter().all(|value| value.abs() < 1e200) && sorted.len() > 1 && gap > greatest * 1e-7;
    if !placed {
        let words = shown.iter().map(|v| joined(&plain(*v), &unit)).collect();
        return ShownAxis::of_words(label, words);
    }
    let power = thousands(greatest);
    let scaled: Vec<f64> = sorted.iter().map(|v| v / 10_f64.powi(power)).collect();
    let places = decimals(&scaled, gap / 10_f64.powi(power));
    let unit = match power {
        0 => unit,
        _ => joined(&format!("10{}", raised(power)), &unit),
    };
    let texts: Vec<String> = scaled
        .iter()
        .map(|v| fixed(*v, places).replace('-', "−"))
        .collect();
    ShownAxis {
        name: match unit.as_str() {
            "" => label,
            unit => format!("{label}, {unit}"),
        },
        full_texts: texts.iter().map(|text| joined(text, &unit)).collect(),
        texts,
        places: Some(scaled),
        order,
    }
}

/// Values in the system asked for, with their unit.
fn converted(values: &[f64], unit: &str, units: Units) -> (Vec<f64>, String) {
    let (bare, reference) = match unit.rsplit_once(' ') {
        Some((bare, reference @ ("abs" | "gauge"))) => (bare, reference),
        _ => (unit, ""),
    };
    let si = |quantity: &'static crate::quantity::Kind| {
        let mut known = quantity.units().iter();
        let unit = known.find(|unit| unit.spellings().any(|name| name == bare))?;
        Some(values.iter().map(|v| unit.to_si(*v)).collect::<Vec<_>>())
    };
    type Shown = (
        fn() -> &'static crate::quantity::Kind,
        fn(Units, f64) -> f64,
        fn(Units) -> &'static str,
    );
    let known: [Shown; 7] = [
        (
            Pressure::kind,
            |u, pa| u.pressure(pa / 1e3),
            Units::pressure_unit,
        ),
        (
            Temperature::kind,
            Units::temperature,
            Units::temperature_unit,
        ),
        (MassFlow::kind, Units::mass_flow, Units::mass_flow_unit),
        (Power::kind, |u, w| u.power(w / 1e3), Units::power_unit),
        (Torque::kind, Units::torque, Units::torque_unit),
        (Speed::kind, Units::speed, Units::speed_unit),
        (Length::kind, long, long_unit),
    ];
    for (kind, show, name) in known {
        // K may be a temperature or a rise: only the author knows. Lengths in mm
        // are sizes, not altitudes.
        if matches!(bare, "K" | "mm" | "in" | "cm") {
            break;
        }
        if let Some(si) = si(kind()) {
            let shown = si.into_iter().map(|v| show(units, v)).collect();
            return (shown, joined(name(units), reference));
        }
    }
    let name = match unit {
        "degC" => "°C",
        "degF" => "°F",
        other => other,
    };
    (values.to_vec(), name.to_owned())
}

fn long(units: Units, length_m: f64) -> f64 {
    match units {
        Units::Si => length_m,
        Units::Us => length_m / 0.3048,
    }
}

fn long_unit(units: Units) -> &'static str {
    match units {
        Units::Si => "m",
        Units::Us => "ft",
    }
}

fn joined(text: &str, unit: &str) -> String {
    format!("{text} {unit}").trim().to_owned()
}

/// Power of a thousand to be taken out of very large or very small numbers.
fn thousands(greatest: f64) -> i32 {
    if greatest > 0.0 && !(0.01..1e6).contains(&greatest) {
        (greatest.log10() / 3.0).floor() as i32 * 3
    } else {
        0
    }
}

/// An exponent in raised numerals.
fn raised(power: i32) -> String {
    let raise = |digit| match digit {
        '-' => '⁻',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        digit => char::from_u32('⁰' as u32 + digit as u32 - '0' as u32).unwrap_or(digit),
    };
    power.to_string().chars().map(raise).collect()
}

/// Decimals by which neighbours are told apart: no value is off by more than a
/// twentieth of the least gap.
fn decimals(values: &[f64], gap: f64) -> usize {
    let close = |places: usize| {
        let power = 10_f64.powi(places as i32);
        values
            .iter()
            .all(|v| (v - (v * power).round() / power).abs() <= gap * 0.05)
    };
    (0..6).find(|&places| close(places)).unwrap_or(6)
}

/// A number by itself, in as few signs as it needs.
fn plain(value: f64) -> String {
    if !value.is_finite() {
        let sign = if value < 0.0 { "−" } else { "" };
        return if value.is_nan() {
            "no number".to_owned()
        } else {
            format!("{sign}∞")
        };
    }
    let text = if value == 0.0 || (1e-3..1e7).contains(&value.abs()) {
        format!("{value}")
    } else {
        format!("{value:e}")
    };
    text.replace('-', "−")
}
