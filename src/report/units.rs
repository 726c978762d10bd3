//! Units of presentation: what a reader sees, never what is stored.

/// The system of units that text and pictures are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// kPa, °C, kW, kg/s, N m, m.
    #[default]
    Si,
    /// psi, °F, hp, lb/min, lb ft, ft.
    Us,
}

/// Pascal in one pound-force per square inch; exact quotient of the
/// international pound, inch and standard gravity (NIST SP 811, appendix B).
const PA_PER_PSI: f64 = 6_894.757_293_168;
/// Watt in one mechanical horsepower of 550 ft lbf/s (NIST SP 811, appendix B).
const W_PER_HP: f64 = 745.699_871_582_270;
/// Kilogram in one international pound (exact, NIST SP 811).
const KG_PER_LB: f64 = 0.453_592_37;
/// Metre in one international foot (exact, NIST SP 811).
const M_PER_FT: f64 = 0.304_8;
/// Newton metre in one pound-force foot (NIST SP 811, appendix B).
const NM_PER_LBFT: f64 = 1.355_817_948_331;

impl Units {
    /// A pressure or pressure difference given in kPa \[kPa or psi\].
    pub fn pressure(self, value_kpa: f64) -> f64 {
        match self {
            Units::Si => value_kpa,
            Units::Us => value_kpa * 1000.0 / PA_PER_PSI,
        }
    }
    /// Unit of [`Units::pressure`].
    pub fn pressure_unit(self) -> &'static str {
        match self {
            Units::Si => "kPa",
            Units::Us => "psi",
        }
    }
    /// Decimals that suit a pressure.
    pub fn pressure_decimals(self) -> usize {
        match self {
            Units::Si => 0,
            Units::Us => 1,
        }
    }
    /// A pressure as text, without `abs` or `gauge`.
    pub fn pressure_text(self, value_kpa: f64) -> String {
        format!(
            "{} {}",
            fixed(self.pressure(value_kpa), self.pressure_decimals()),
            self.pressure_unit()
        )
    }
    /// A temperature given in K \[°C or °F\].
    pub fn temperature(self, value_k: f64) -> f64 {
        match self {
            Units::Si => value_k - 273.15,
            Units::Us => value_k * 1.8 - 459.67,
        }
    }
    /// A difference of temperatures given in K \[K or °F\].
    pub fn temperature_rise(self, value_k: f64) -> f64 {
        match self {
            Units::Si => value_k,
            Units::Us => value_k * 1.8,
        }
    }
    /// Unit of [`Units::temperature`].
    pub fn temperature_unit(self) -> &'static str {
        match self {
            Units::Si => "°C",
            Units::Us => "°F",
        }
    }
    /// Unit of [`Units::temperature_rise`].
    pub fn temperature_rise_unit(self) -> &'static str {
        match self {
            Units::Si => "K",
            Units::Us => "°F",
        }
    }
    /// A power given in kW \[kW or hp\].
    pub fn power(self, value_kw: f64) -> f64 {
        match self {
            Units::Si => value_kw,
            Units::Us => value_kw * 1000.0 / W_PER_HP,
        }
    }
    /// Unit of [`Units::power`].
    pub fn power_unit(self) -> &'static str {
        match self {
            Units::Si => "kW",
            Units::Us => "hp",
        }
    }
    /// A torque given in N m \[N m or lb ft\].
    pub fn torque(self, value_nm: f64) -> f64 {
        match self {
            Units::Si => value_nm,
            Units::Us => value_nm / NM_PER_LBFT,
        }
    }
    /// Unit of [`Units::torque`].
    pub fn torque_unit(self) -> &'static str {
        match self {
            Units::Si => "N m",
            Units::Us => "lb ft",
        }
    }
    /// A mass flow given in kg/s \[kg/s or lb/min\].
    pub fn mass_flow(self, value_kg_s: f64) -> f64 {
        match self {
            Units::Si => value_kg_s,
            Units::Us => value_kg_s * 60.0 / KG_PER_LB,
        }
    }
    /// Unit of [`Units::mass_flow`].
    pub fn mass_flow_unit(self) -> &'static str {
        match self {
            Units::Si => "kg/s",
            Units::Us => "lb/min",
        }
    }
    /// A speed along a path given in m/s \[m/s or ft/s\].
    pub fn speed(self, value_m_s: f64) -> f64 {
        match self {
            Units::Si => value_m_s,
            Units::Us => value_m_s / M_PER_FT,
        }
    }
    /// Unit of [`Units::speed`].
    pub fn speed_unit(self) -> &'static str {
        match self {
            Units::Si => "m/s",
            Units::Us => "ft/s",
        }
    }
    /// An altitude as text.
    pub fn altitude_text(self, altitude_m: f64) -> String {
        match self {
            Units::Si => format!("{} m", fixed(altitude_m, 0)),
            Units::Us => format!("{} ft", fixed(altitude_m / M_PER_FT, 0)),
        }
    }
    /// A value of a limit in its own unit, as the result names it, together
    /// with the unit and the decimals that a reader sees. `difference` tells a
    /// headroom from a level, which matters for temperatures.
    pub fn limit_value(self, unit: &str, value: f64, difference: bool) -> (f64, String, usize) {
        match unit {
            "rpm" => (value / 1000.0, "krpm".to_owned(), 1),
            "m/s" => (self.speed(value), self.speed_unit().to_owned(), 0),
            "kPa" => (
                self.pressure(value),
                self.pressure_unit().to_owned(),
                self.pressure_decimals(),
            ),
            "K" if difference => (
                self.temperature_rise(value),
                self.temperature_rise_unit().to_owned(),
                0,
            ),
            "K" => (
                self.temperature(value),
                self.temperature_unit().to_owned(),
                0,
            ),
            "%" => (value, "%".to_owned(), 1),
            "-" => (value, String::new(), 2),
            other => (value, other.to_owned(), 2),
        }
    }
    /// A level or headroom of a limit as text with its unit.
    pub fn limit_text(self, unit: &str, value: f64, difference: bool) -> String {
        let (value, unit, decimals) = self.limit_value(unit, value, difference);
        join(&fixed(value, decimals), &unit)
    }
    /// A level of a limit as text: a pressure is said to be absolute, as every limit
    /// on a pressure is.
    pub fn level_text(self, unit: &str, value: f64) -> String {
        let text = self.limit_text(unit, value, false);
        match unit {
            "kPa" => format!("{text} abs"),
            _ => text,
        }
    }
    /// A headroom as signed text with its unit.
    pub fn headroom_text(self, unit: &str, value: f64) -> String {
        let (value, unit, decimals) = self.limit_value(unit, value, true);
        join(&signed(value, decimals), &unit)
    }
}

fn join(number: &str, unit: &str) -> String {
    if unit.is_empty() {
        number.to_owned()
    } else {
        format!("{number} {unit}")
    }
}

/// A number with fixed decimals, never "-0".
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let negative_zero =
        text.starts_with('-') && text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.'));
    if negative_zero {
        text[1..].to_owned()
    } else {
        text
    }
}

/// A number with fixed decimals and its sign, except for a plain zero.
pub fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    let zero = text.bytes().all(|b| matches!(b, b'0' | b'.'));
    if zero || text.starts_with('-') || !value.is_finite() {
        text
    } else {
        format!("+{text}")
    }
}
