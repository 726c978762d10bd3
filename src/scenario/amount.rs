//! Amounts of the section `expect`: what their text means depends on the channel or
//! limit that they belong to.
use super::document::Fault;
use super::file::{Amount, ExpectCheck};
use crate::judgement::{Channel, LimitKind, Reserve};
use crate::quantity::*;

/// A level of a channel, in its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    /// The number.
    pub value: f64,
    /// Whether it counts from the ambient pressure of the moment.
    pub gauge: bool,
}

/// The level that a text means for a channel.
pub fn level(of: Channel, written: &Amount) -> Result<Level, Fault> {
    let text = &written.0;
    let absolute = |value: f64| Level {
        value,
        gauge: false,
    };
    match of.unit() {
        "kPa" => read::<Pressure>(text).map(|pressure| match pressure {
            Pressure::Absolute(pressure) => absolute(pressure.kpa()),
            Pressure::Gauge(pressure) => Level {
                value: pressure.kpa(),
                gauge: true,
            },
        }),
        "K" => read::<Temperature>(text).map(|temperature| absolute(temperature.k())),
        unit => plain(unit, text).map(absolute),
    }
}

/// The difference that a text means for a channel, in its unit.
pub fn difference(of: Channel, written: &Amount) -> Result<f64, Fault> {
    difference_in(of.unit(), &written.0)
}

/// The reserve that a text means for a limit. Per cent are a share, but of a limit
/// that is itself in per cent.
pub fn reserve(of: LimitKind, written: &Amount) -> Result<Reserve, Fault> {
    let text = &written.0;
    if of.unit() != "%" && text.trim_end().ends_with('%') {
        return read::<Fraction>(text).map(|share| Reserve::Share(share.percent()));
    }
    difference_in(of.unit(), text).map(Reserve::Amount)
}

fn difference_in(unit: &str, text: &str) -> Result<f64, Fault> {
    match unit {
        "kPa" => read::<PressureDifference>(text).map(|difference| difference.kpa()),
        "K" => read::<TemperatureRise>(text).map(|rise| rise.k()),
        "s" => read::<Duration>(text).map(|time| time.s()),
        unit => plain(unit, text),
    }
}

/// Units in which a level and a difference are written alike.
fn plain(unit: &str, text: &str) -> Result<f64, Fault> {
    match unit {
        "rpm" => read::<RotationalSpeed>(text).map(|speed| speed.rpm()),
        "mg" => read::<FuelQuantity>(text).map(|fuel| fuel.mg()),
        "%" => read::<Fraction>(text).map(|share| share.percent()),
        "m/s" => read::<Speed>(text).map(|speed| speed.m_s()),
        "kg/s" => read::<MassFlow>(text).map(|flow| flow.kg_s()),
        "N m" => read::<Torque>(text).map(|torque| torque.nm()),
        "kW" => read::<Power>(text).map(|power| power.kw()),
        _ => number(text),
    }
}

fn read<Q: Quantity>(text: &str) -> Result<Q, Fault> {
    text.parse()
        .map_err(|error: QuantityError| Fault::new(error.message(), error.allowed(), error.hint()))
}

fn number(text: &str) -> Result<f64, Fault> {
    let found = text.trim().parse::<f64>().ok();
    found.filter(|number| number.is_finite()).ok_or_else(|| {
        Fault::new(
            "a bare number is wanted here, without a unit",
            "a number",
            "write a number such as 1.2",
        )
    })
}

/// Whether a check has what makes it one of a kind.
type IsOf = fn(&ExpectCheck) -> bool;

impl ExpectCheck {
    /// Every kind, and whether a check is of it.
    pub const KINDS: [(&'static str, IsOf); 10] = [
        ("peak", |check| check.peak.is_some()),
        ("value", |check| check.value.is_some()),
        ("never", |check| check.never.is_some()),
        ("settles", |check| check.settles.is_some()),
        ("overshoot", |check| check.overshoot.is_some()),
        ("undershoot", |check| check.undershoot.is_some()),
        ("limit", |check| check.limit.is_some()),
        ("acts", |check| check.acts.is_some()),
        ("silent", |check| check.silent.is_some()),
        ("order", |check| check.order.is_some()),
    ];

    /// The kinds that are written; a sound check has one.
    pub fn kinds(&self) -> Vec<&'static str> {
        let written = Self::KINDS.into_iter().filter(|(_, is)| is(self));
        written.map(|(kind, _)| kind).collect()
    }

    /// Its own name, or else its kind and what it looks at.
    pub fn called(&self) -> String {
        if let Some(name) = &self.name {
            return name.clone();
        }
        let channels = [
            self.peak.as_ref().map(|check| check.of),
            self.value.as_ref().map(|check| check.of),
            self.never.as_ref().map(|check| check.of),
            self.settles.as_ref().map(|check| check.of),
            self.overshoot.as_ref().map(|check| check.of),
            self.undershoot.as_ref().map(|check| check.of),
        ];
        let of = (channels.into_iter().flatten())
            .map(|channel| channel.0.name())
            .chain(self.limit.as_ref().map(|check| check.name.0.name()))
            .chain(self.acts.as_ref().map(|check| check.protection.0))
            .chain(self.silent.as_ref().map(|check| check.protection.0))
            .next();
        let kind = self.kinds().first().copied().unwrap_or("nothing");
        match of {
            Some(of) => format!("{kind} {of}"),
            None => kind.to_owned(),
        }
    }
}

/// No difference at all, as a text shows it.
pub fn zero(of: Channel) -> String {
    match of.unit() {
        "-" => "0".to_owned(),
        unit => format!("0 {unit}"),
    }
}
