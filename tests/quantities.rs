//! Quantities against published conversion factors, in both directions; text
//! and value in a circle; what is refused and how.
//!
//! Sources: NIST Special Publication 811 (2008), appendix B, as quoted in
//! `tests/data/reference/l_unit_factors.csv`; for units that the file does not
//! hold, the exact definitions (SI Brochure, 9th edition; international yard
//! and pound) or the figure of SP 811 written beside the row (from memory).
#[path = "quantities/factors.rs"]
mod factors;
#[path = "common/proof.rs"]
mod proof;

use proptest::prelude::*;
use ringfence::quantity::*;
use serde::{Deserialize, Serialize};

/// The word that must follow the unit of a kind of pressure.
fn suffix(kind: &Kind) -> &'static str {
    match kind.reference() {
        Reference::None => "",
        Reference::Gauge => " gauge",
        Reference::Absolute | Reference::Either => " abs",
    }
}

fn read<Q: Quantity>(text: &str) -> Q {
    text.parse()
        .unwrap_or_else(|error| panic!("{text:?}: {error}"))
}

/// Fixed points of the scales. SP 811, appendix B.8: t/degC = T/K - 273.15,
/// T/K = (t/degF + 459.67)/1.8, T/K = (T/degR)/1.8; all exact.
#[test]
fn temperature_scales_meet_at_their_fixed_points() {
    let mut proof = proof::row("unit-temperature");
    for (text, kelvin) in [
        ("0 degC", 273.15),
        ("32 degF", 273.15),
        ("491.67 degR", 273.15),
        ("212 degF", 373.15),
        ("-40 degC", 233.15),
        ("-40 degF", 233.15),
        ("-459.67 degF", 0.0),
        ("15 °C", 288.15),
        ("59°F", 288.15),
    ] {
        let temperature: Temperature = read(text);
        proof.absolute(temperature.k(), kelvin, &text);
    }
    proof.done();
    let day = Temperature::from_k(288.15);
    assert!((day.deg_c() - 15.0).abs() < 1e-9);
    assert!((day.deg_f() - 59.0).abs() < 1e-9);
    // A rise has no zero of its own.
    assert!((read::<TemperatureRise>("18 degF").k() - 10.0).abs() < 1e-12);
    assert_eq!(read::<TemperatureRise>("18 degC").k(), 18.0);
}

/// Absolute is gauge plus the barometer: the definition, and the head line of
/// the table of factors.
#[test]
fn gauge_becomes_absolute_with_the_barometer() {
    let ambient: AbsolutePressure = read("14.3 psi abs");
    let boost: Pressure = read("30 psi gauge");
    let mut proof = proof::row("unit-gauge");
    proof.absolute(boost.to_absolute(ambient).psi(), 44.3, &boost);
    let same: Pressure = read("44.3 psi abs");
    proof.absolute(same.to_absolute(ambient).psi(), 44.3, &same);
    let back = same.to_absolute(ambient).to_gauge(ambient);
    proof.absolute(back.psi(), 30.0, &same);
    proof.done();
}

/// Each named constructor and reader against the same unit as text.
#[test]
fn constructors_and_readers_agree_with_text() {
    macro_rules! pairs {
        ($($kind:ident $($from:ident $reader:ident $unit:literal),+;)+) => {
            $($({
                let text: $kind = read(concat!("250 ", $unit));
                let built = $kind::$from(250.0);
                assert_eq!(text, built, "{}", $unit);
                assert!((built.$reader() - 250.0).abs() < 1e-9, "{}", $unit);
            })+)+
        };
    }
    pairs! {
        AbsolutePressure from_pa pa "Pa abs", from_kpa kpa "kPa abs", from_bar bar "bar abs", from_psi psi "psi abs";
        GaugePressure from_pa pa "Pa gauge", from_kpa kpa "kPa gauge", from_bar bar "bar gauge", from_psi psi "psi gauge";
        PressureDifference from_pa pa "Pa", from_kpa kpa "kPa", from_bar bar "bar", from_psi psi "psi";
        Temperature from_k k "K", from_deg_c deg_c "degC", from_deg_f deg_f "degF";
        TemperatureRise from_k k "K", from_deg_f deg_f "degF";
        Mass from_kg kg "kg", from_g g "g", from_lb lb "lb";
        FuelQuantity from_mg mg "mg";
        MassFlow from_kg_s kg_s "kg/s", from_lb_min lb_min "lb/min";
        VolumeFlow from_m3_s m3_s "m3/s", from_ft3_min ft3_min "ft3/min";
        RotationalSpeed from_rad_s rad_s "rad/s", from_rpm rpm "rpm";
        RotationalAcceleration from_rad_s2 rad_s2 "rad/s2", from_rpm_s rpm_s "rpm/s";
        Speed from_m_s m_s "m/s", from_km_h km_h "km/h", from_mph mph "mph";
        Power from_w w "W", from_kw kw "kW", from_hp hp "hp";
        Torque from_nm nm "N m", from_lbf_ft lbf_ft "lbf ft";
        Energy from_j j "J", from_kj kj "kJ";
        SpecificEnergy from_j_kg j_kg "J/kg", from_mj_kg mj_kg "MJ/kg";
        SpecificHeat from_j_kg_k j_kg_k "J/(kg K)";
        SpecificFuel from_g_kwh g_kwh "g/kWh";
        HeatConductance from_w_k w_k "W/K";
        HeatCapacity from_j_k j_k "J/K";
        Length from_m m "m", from_mm mm "mm", from_ft ft "ft";
        Area from_m2 m2 "m2", from_cm2 cm2 "cm2";
        Volume from_m3 m3 "m3", from_l l "l";
        Inertia from_kg_m2 kg_m2 "kg m2";
        Duration from_s s "s", from_ms ms "ms";
        Angle from_rad rad "rad", from_deg deg "deg";
        Voltage from_v v "V", from_mv mv "mV";
        Fraction from_percent percent "%";
        PressureRate from_kpa_s kpa_s "kPa/s";
        VaneRate from_percent_s percent_s "%/s";
        VanePerPressure from_percent_per_kpa percent_per_kpa "%/kPa";
        VaneIntegral from_percent_per_kpa_s percent_per_kpa_s "%/(kPa s)";
        VaneDerivative from_percent_s_per_kpa percent_s_per_kpa "% s/kPa";
        VanePerSpeed from_percent_per_rpm percent_per_rpm "%/rpm", from_percent_per_krpm percent_per_krpm "%/krpm";
        PressurePerSpeed from_kpa_s_m kpa_s_m "kPa s/m";
        PressurePerSpeedSquared from_kpa_s2_m2 kpa_s2_m2 "kPa s2/m2";
    }
    assert_eq!(Fraction::from_fraction(0.4), read("40 %"));
}

/// Presentation in both systems; figures of SP 811: 1 atm = 14.695 95 psi,
/// 1 hp = 745.6999 W, 1 lbf ft = 1.355 818 N m, 1 kg/s = 132.2774 lb/min.
#[test]
fn presentation_follows_the_unit_system() {
    use UnitSystem::{Si, Us};
    let atmosphere = AbsolutePressure::from_kpa(101.325);
    assert_eq!(atmosphere.display(Si, 1), "101.3 kPa abs");
    assert_eq!(atmosphere.display(Us, 5), "14.69595 psi abs");
    assert_eq!(
        GaugePressure::from_kpa(-0.01).display(Si, 1),
        "0.0 kPa gauge"
    );
    assert_eq!(
        Pressure::Gauge(GaugePressure::from_psi(30.0)).display(Us, 1),
        "30.0 psi gauge"
    );
    assert_eq!(
        PressureDifference::from_psi(1.0).display(Si, 3),
        "6.895 kPa"
    );
    assert_eq!(Temperature::from_k(288.15).display(Si, 1), "15.0 degC");
    assert_eq!(Temperature::from_k(288.15).display(Us, 1), "59.0 degF");
    assert_eq!(TemperatureRise::from_k(10.0).display(Us, 1), "18.0 degF");
    assert_eq!(MassFlow::from_kg_s(1.0).display(Us, 4), "132.2774 lb/min");
    assert_eq!(Power::from_w(745.6999).display(Us, 3), "1.000 hp");
    assert_eq!(Torque::from_nm(1.355818).display(Us, 3), "1.000 lbf ft");
    assert_eq!(RotationalSpeed::from_rpm(2800.0).display(Us, 0), "2800 rpm");
    assert_eq!(Length::from_ft(8500.0).display(Us, 0), "8500 ft");
    assert_eq!(Length::from_mm(70.0).display_small(Si, 1), "70.0 mm");
    assert_eq!(Length::from_mm(25.4).display_small(Us, 2), "1.00 in");
    assert_eq!(Fraction::from_fraction(0.4).present(Si), (40.0, "%"));
}

#[test]
fn products_of_quantities_are_quantities() {
    let torque = Torque::from_nm(900.0);
    let speed = RotationalSpeed::from_rad_s(200.0);
    assert_eq!((torque * speed).kw(), 180.0);
    assert_eq!((speed * torque) / speed, torque);
    let flow = MassFlow::from_kg_s(0.01);
    assert_eq!((flow * SpecificEnergy::from_mj_kg(42.8)).kw(), 428.0);
    assert_eq!((flow * Duration::from_s(60.0)).kg(), 0.6);
    assert_eq!(Mass::from_kg(3.0) / Mass::from_kg(1.5), 2.0);
}

/// Text variants that mean the same.
#[test]
fn spellings_that_mean_the_same_are_read_the_same() {
    let boost = AbsolutePressure::from_kpa(350.0);
    for text in [
        "350 kPa abs",
        "350kPa abs",
        "  +350.0   kPa   abs ",
        "3.5e2 kPa abs",
        "3.5E+5Pa abs",
        "350\u{a0}kPa\u{a0}abs",
        ".35 MPa abs",
    ] {
        assert_eq!(read::<AbsolutePressure>(text), boost, "{text}");
    }
    assert_eq!(read::<Torque>("900 N·m"), read("900 Nm"));
    assert_eq!(read::<Torque>("664 ft lbf"), read("664 lbf ft"));
    assert_eq!(read::<Area>("990 mm²"), read("990 mm2"));
    assert_eq!(read::<GaugePressure>("−20 kPa gauge").kpa(), -20.0);
}

/// Asserts that `text` is refused with `message` in the message and `hint` in
/// the hint, and that the one-line text holds message, units and hint.
fn refused<Q: Quantity>(text: &str, message: &str, hint: &str) {
    let error = match text.parse::<Q>() {
        Ok(value) => panic!("{text:?} was taken for {value}"),
        Err(error) => error,
    };
    assert!(error.message().contains(message), "{text:?}: {error}");
    assert!(error.hint().contains(hint), "{text:?}: {error}");
    for unit in Q::kind().units() {
        assert!(error.allowed().contains(unit.name()), "{text:?}: {error}");
    }
    let line = error.to_string();
    let (message, allowed) = (error.message(), error.allowed());
    let parts = (message.as_str(), allowed.as_str(), error.hint());
    assert_eq!(QuantityError::split_line(&line), Some(parts));
    assert_eq!(line.lines().count(), 1);
}

#[test]
fn pressures_without_a_reference_are_refused_with_both_repairs() {
    for repair in ["\"4 bar abs\"", "\"4 bar gauge\""] {
        refused::<Pressure>("4 bar", "absolute or gauge", repair);
        refused::<AbsolutePressure>("4 bar", "absolute or gauge", repair);
        refused::<GaugePressure>("4 bar", "absolute or gauge", repair);
    }
}

#[test]
fn the_wrong_reference_is_refused() {
    refused::<AbsolutePressure>("4 bar gauge", "says gauge", "give it as absolute");
    refused::<GaugePressure>("4 bar abs", "says abs", "(gauge)");
    refused::<PressureDifference>("4 kPa abs", "says abs", "\"4 kPa\"");
    refused::<PressureDifference>("4 kPa gauge", "says gauge", "\"4 kPa\"");
    refused::<Temperature>("300 K abs", "says abs", "\"300 K\"");
    refused::<Pressure>("30 psig", "\"psig\"", "\"30 psi gauge\"");
    refused::<AbsolutePressure>("3 bara", "\"bara\"", "\"3 bar abs\"");
    refused::<AbsolutePressure>("30 psig", "says gauge", "give it as absolute");
    refused::<Pressure>("3 kPa absolute", "absolute", "\"3 kPa abs\"");
}

#[test]
fn missing_and_unknown_units_are_refused_with_the_nearest() {
    refused::<Pressure>("350", "no unit", "\"350 kPa gauge\"");
    refused::<Pressure>("3 abs", "no unit", "\"3 kPa abs\"");
    refused::<RotationalSpeed>("2800", "no unit", "\"2800 rpm\"");
    refused::<Fraction>("0.4", "no unit", "%");
    refused::<RotationalSpeed>("2800 rmp", "unknown unit \"rmp\"", "nearest unit is rpm");
    refused::<AbsolutePressure>("350 kpa abs", "unknown unit", "nearest unit is kPa");
    refused::<Torque>("664 lb ft", "unknown unit", "nearest unit is lbf ft");
    refused::<RotationalSpeed>("46 Hz", "unknown unit \"Hz\"", "rpm");
}

#[test]
fn another_dimension_is_named() {
    refused::<Temperature>("3 bar abs", "is a pressure; a temperature", "720 degC");
    refused::<Temperature>("3 bar", "is a pressure; a temperature", "720 degC");
    refused::<Temperature>("30 psig", "is a pressure; a temperature", "720 degC");
    refused::<AbsolutePressure>("15 degC", "is a temperature; an absolute", "kPa abs");
    refused::<Power>("900 N m", "is a torque; a power", "kW");
    refused::<Torque>("220 kW", "is a power; a torque", "N m");
    refused::<MassFlow>("0.4 m3/s", "is a volume flow; a mass flow", "kg/s");
    refused::<VanePerPressure>("0.4 %/(kPa s)", "is an integral gain", "%/kPa");
    refused::<PressureRate>("4 kPa", "is a pressure; a pressure rate", "kPa/s");
}

#[test]
fn what_is_no_number_is_refused() {
    refused::<Length>("", "nothing is written", "70 mm");
    refused::<Length>("  \t ", "nothing is written", "70 mm");
    for text in [
        "nan m",
        "NaN",
        "inf m",
        "-inf m",
        ".inf",
        "+Infinity m",
        "∞ m",
    ] {
        refused::<Length>(text, "not a finite number", "70 mm");
    }
    for text in ["1e999 m", "1e308 km"] {
        refused::<Length>(text, "not a finite number", "70 mm");
    }
    for text in ["m 3", "abc", "-", ".", "e5 m", "1.2.3 m", "--3 m"] {
        refused::<Length>(text, "does not start with a number", "70 mm");
    }
    refused::<Length>("3,5 m", "comma", "\"3.5 m\"");
    refused::<Length>("1,234.5 m", "comma", "\"1234.5 m\"");
}

#[test]
fn less_than_nothing_is_refused_where_nature_has_a_floor() {
    refused::<AbsolutePressure>("-1 kPa abs", "below zero", "vacuum");
    refused::<Pressure>("-1 kPa abs", "below zero", "\"-1 kPa gauge\"");
    refused::<Temperature>("-1 K", "below zero", "288.15 K");
    refused::<Temperature>("-273.16 degC", "below zero", "288.15 K");
    refused::<Temperature>("-459.68 degF", "below zero", "288.15 K");
    assert_eq!(read::<Temperature>("-273.15 degC").k(), 0.0);
    assert_eq!(read::<Pressure>("-1 kPa gauge").to_string(), "-1 kPa gauge");
}

#[test]
fn long_or_broken_text_stays_one_short_line() {
    refused::<Length>(
        "3 a | hint: b\nc",
        "unknown unit \"a ¦ hint: b c\"",
        "70 mm",
    );
    let long = format!("3 {}", "x".repeat(5000));
    let line = long.parse::<Length>().unwrap_err().to_string();
    assert!(line.len() < 500, "{} bytes", line.len());
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Limits {
    boost: Pressure,
    gas: Option<Temperature>,
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Document {
    limits: Limits,
}

#[test]
fn files_hold_quantities_as_text() {
    let text = "limits:\n  boost: 2.2 bar gauge\n  gas: 720 degC\n";
    let document: Document = serde_yaml::from_str(text).expect("a document");
    let written = serde_yaml::to_string(&document).expect("text");
    assert!(written.contains("boost: 220 kPa gauge"), "{written}");
    assert!(written.contains("gas: 993.15 K"), "{written}");
    let again: Document = serde_yaml::from_str(&written).expect("a document");
    assert_eq!(serde_yaml::to_string(&again).expect("text"), written);
    let ambient = AbsolutePressure::from_kpa(100.0);
    let boost = again.limits.boost.to_absolute(ambient);
    assert!((boost.kpa() - 320.0).abs() < 1e-9, "{boost}");
}

#[test]
fn errors_in_files_keep_field_and_place() {
    for (value, message) in [
        ("350", "\"350\" has no unit"),
        ("-3.5", "\"-3.5\" has no unit"),
        ("'350'", "\"350\" has no unit"),
        ("99999999999999999999999", "has no unit"),
        (".nan", "not a finite number"),
        ("-.inf", "not a finite number"),
        ("true", "true is written"),
        ("[350]", "a list is written"),
        ("{kPa: 350}", "a map is written"),
        ("~", "nothing is written"),
        ("30 psi", "absolute or gauge"),
    ] {
        let text = format!("limits:\n  boost: {value}\n");
        let error = serde_yaml::from_str::<Document>(&text).unwrap_err();
        let line = error.to_string();
        assert!(line.starts_with("limits.boost: "), "{line}");
        assert!(line.contains(message), "{line}");
        assert!(line.contains(" | allowed: Pa, "), "{line}");
        assert!(line.contains(" | hint: "), "{line}");
        let place = error.location().expect("a place");
        assert_eq!((place.line(), place.column()), (2, 10), "{line}");
    }
}

#[test]
fn schemas_describe_text() {
    let schema = schemars::schema_for!(GaugePressure).to_value();
    assert_eq!(schema["type"], "string");
    assert_eq!(schema["examples"][1], "2.2 bar gauge");
    let pattern = schema["pattern"].as_str().expect("a pattern");
    assert!(pattern.ends_with("|atm|at) +gauge *$"), "{pattern}");
    let schema = schemars::schema_for!(VaneIntegral).to_value();
    let pattern = schema["pattern"].as_str().expect("a pattern");
    assert!(pattern.contains(r"%/\(kPa s\)"), "{pattern}");
}

/// Runs `$body` with every type of quantity.
macro_rules! for_every_quantity {
    ($call:ident($($argument:expr),*)) => {
        for_every_quantity!(@ $call ($($argument),*)
            AbsolutePressure GaugePressure PressureDifference Pressure Temperature TemperatureRise
            MassFlow Mass FuelQuantity RotationalSpeed RotationalAcceleration Speed Power Torque
            Length Area Volume VolumeFlow Duration Angle Fraction Voltage Inertia Energy
            SpecificEnergy SpecificHeat SpecificFuel HeatConductance HeatCapacity PressureRate VaneRate VanePerPressure
            VaneIntegral VaneDerivative VanePerSpeed PressurePerSpeed PressurePerSpeedSquared)
    };
    (@ $call:ident $arguments:tt $($kind:ident)+) => { $(for_every_quantity!(# $call $arguments $kind);)+ };
    (# $call:ident ($($argument:expr),*) $kind:ident) => { $call::<$kind>($($argument),*) };
}

/// Text → value → text → value.
fn circle<Q: Quantity + PartialEq>(number: f64) {
    for unit in Q::kind().units() {
        let text = format!("{number:e} {}{}", unit.name(), suffix(Q::kind()));
        let Ok(first) = text.parse::<Q>() else {
            assert!(number < 0.0, "{text} is refused");
            continue;
        };
        let written = first.to_string();
        let second: Q = read(&written);
        // The value itself is private: its figure for presentation stands in.
        let (a, _) = first.present(UnitSystem::Si);
        let (b, _) = second.present(UnitSystem::Si);
        // One part in 1e12, for degC counted from the absolute zero.
        let from_zero = if Q::kind().name() == "temperature" {
            a + 273.15
        } else {
            a
        };
        let allowed = 1e-12 * from_zero.abs().max(a.abs());
        assert!((a - b).abs() <= allowed, "{text} → {written}");
        assert_eq!(second.to_string(), written, "{text}");
    }
}

fn survives<Q: Quantity>(text: &str) {
    if let Err(error) = text.parse::<Q>() {
        let line = error.to_string();
        assert!(QuantityError::split_line(&line).is_some(), "{line}");
    }
}

#[test]
fn examples_of_every_kind_are_read() {
    fn check<Q: Quantity>() {
        for example in Q::kind().examples() {
            read::<Q>(example);
        }
    }
    for_every_quantity!(check());
}

proptest! {
    #[test]
    fn text_and_value_make_a_circle(
        mantissa in -9.999_999_999_999f64..9.999_999_999_999,
        exponent in -9i32..9,
    ) {
        let number = mantissa * 10f64.powi(exponent);
        for_every_quantity!(circle(number));
    }

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        for_every_quantity!(survives(&text));
    }

    #[test]
    fn text_that_looks_right_is_read_or_refused(
        text in "[-+−]?[0-9]{0,3}[.,]?[0-9]{0,3}([eE][-+]?[0-9]{1,4})? ?(kPa|psig|°C|N·m|%/\\(kPa s\\)|[a-zµ²³∞%/]{0,5}) ?(abs|gauge|g)?",
    ) {
        for_every_quantity!(survives(&text));
    }
}
