//! Every unit of every kind against a published factor, in both directions.
use super::{read, suffix};
use ringfence::quantity::*;
use std::collections::BTreeSet;

/// Relative tolerance for units with an exact definition.
const EXACT: f64 = 1e-9;

/// A gram a kilowatt-hour in kilograms a joule, exactly.
const G_KWH: f64 = 1.0 / 3.6e9;

/// One unit of one kind: what the program makes of it, and what it should be.
struct Row {
    kind: &'static str,
    unit: String,
    /// One step of the unit, read from text, in SI.
    forward: f64,
    /// The published worth of one step, shown in the unit: should be one.
    backward: f64,
    published: f64,
    tolerance: f64,
}

impl Row {
    /// `reader` gives SI; `published` is the worth of one step in SI.
    fn new<Q: Quantity>(reader: fn(Q) -> f64, unit: &str, published: f64, relative: f64) -> Self {
        let kind = Q::kind();
        let suffix = suffix(kind);
        let read_si = |count: u32| reader(read(&format!("{count} {unit}{suffix}")));
        let known = kind.units().iter().find(|known| known.name() == unit);
        let known = known.unwrap_or_else(|| panic!("{unit} of {}", kind.name()));
        // Scales with a zero of their own are compared by their steps.
        Self {
            kind: kind.name(),
            unit: unit.to_owned(),
            forward: read_si(1) - read_si(0),
            backward: known.of_si(published) - known.of_si(0.0),
            published,
            tolerance: relative,
        }
    }

    /// How far both directions are off, over what the source allows.
    fn check(&self) -> f64 {
        let Self {
            kind,
            unit,
            published,
            tolerance,
            ..
        } = self;
        let forward = (self.forward / published - 1.0).abs();
        assert!(
            forward <= *tolerance,
            "{kind} {unit}: {} instead of {published}",
            self.forward
        );
        let backward = (self.backward - 1.0).abs();
        assert!(
            backward <= *tolerance,
            "{kind} {unit}: backwards {} instead of 1",
            self.backward
        );
        forward.max(backward) / tolerance
    }
}

/// The same row for the four kinds of pressure.
fn pressure_rows(unit: &str, published: f64, relative: f64) -> Vec<Row> {
    fn absolute_pa(pressure: Pressure) -> f64 {
        pressure.to_absolute(AbsolutePressure::from_pa(0.0)).pa()
    }
    vec![
        Row::new(AbsolutePressure::pa, unit, published, relative),
        Row::new(GaugePressure::pa, unit, published, relative),
        Row::new(PressureDifference::pa, unit, published, relative),
        Row::new(absolute_pa, unit, published, relative),
    ]
}

/// Which of our units a row of the published table speaks of.
fn rows_of_published(name: &str, factor: f64, relative: f64) -> Vec<Row> {
    let row = |row: Row| vec![row];
    match name {
        "psi" | "atm" | "bar" => pressure_rows(name, factor, relative),
        "inHg conventional" => pressure_rows("inHg", factor, relative),
        "inHg 32 F" => pressure_rows("inHg32F", factor, relative),
        "inHg 60 F" => pressure_rows("inHg60F", factor, relative),
        "mmHg conventional" => pressure_rows("mmHg", factor, relative),
        "inH2O conventional" => pressure_rows("inH2O", factor, relative),
        "kgf/cm2 (at)" => pressure_rows("at", factor, relative),
        "lb" => row(Row::new(Mass::kg, name, factor, relative)),
        "lb/min" | "lb/h" => row(Row::new(MassFlow::kg_s, name, factor, relative)),
        "hp (550 ft lbf/s)" => row(Row::new(Power::w, "hp", factor, relative)),
        "hp metric (PS)" => row(Row::new(Power::w, "PS", factor, relative)),
        "ft lbf" => row(Row::new(Torque::nm, "lbf ft", factor, relative)),
        "in3" => row(Row::new(Volume::m3, name, factor, relative)),
        "ft3/min" => row(Row::new(VolumeFlow::m3_s, name, factor, relative)),
        "Btu_IT" => row(Row::new(Energy::j, "Btu", factor, relative)),
        "Btu_IT/lb" => row(Row::new(SpecificEnergy::j_kg, "Btu/lb", factor, relative)),
        "degree R" => vec![
            Row::new(Temperature::k, "degR", factor, relative),
            Row::new(TemperatureRise::k, "degR", factor, relative),
            // The step of the Fahrenheit scale is that of the Rankine scale.
            Row::new(Temperature::k, "degF", factor, relative),
            Row::new(TemperatureRise::k, "degF", factor, relative),
        ],
        "lb/(hp h) (BSFC)" => row(Row::new(
            SpecificFuel::kg_j,
            "lb/(hp h)",
            factor * G_KWH,
            relative,
        )),
        "rpm" => vec![
            Row::new(RotationalSpeed::rad_s, "rpm", factor, relative),
            Row::new(RotationalSpeed::rad_s, "1/min", factor, relative),
            Row::new(RotationalAcceleration::rad_s2, "rpm/s", factor, relative),
        ],
        other => panic!("no unit for the row {other}"),
    }
}

/// Half a unit of the last printed digit, as a share of the figure.
fn half_last_digit(printed: &str) -> f64 {
    let (mantissa, exponent) = printed.split_once(['e', 'E']).unwrap_or((printed, "0"));
    let decimals = mantissa.split_once('.').map_or(0, |(_, d)| d.len());
    let exponent: i32 = exponent.parse().expect("an exponent");
    let unit = 10f64.powi(exponent - decimals as i32);
    0.5 * unit / printed.parse::<f64>().expect("a number")
}

/// NIST SP 811 (2008), appendix B, and exact definitions, row by row.
fn published_rows() -> Vec<Row> {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/reference/l_unit_factors.csv"
    );
    let mut table = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .expect("the table of factors");
    let mut rows = Vec::new();
    for record in table.records() {
        let record = record.expect("a row");
        let (name, printed, note) = (&record[0], &record[2], &record[4]);
        let factor: f64 = printed.parse().expect("a factor");
        let relative = if note.starts_with("exact") {
            EXACT
        } else {
            half_last_digit(printed)
        };
        rows.extend(rows_of_published(name, factor, relative));
    }
    assert!(rows.len() >= 22 + 3 * 9, "rows are missing: {}", rows.len());
    rows
}

/// Units that the table does not hold. Exact by definition unless SP 811 is
/// quoted; then half a unit of its last digit.
fn defined_rows() -> Vec<Row> {
    let mut rows = Vec::new();
    for (unit, worth) in [
        ("Pa", 1.0),
        ("hPa", 100.0),
        ("kPa", 1000.0),
        ("MPa", 1_000_000.0),
        ("mbar", 100.0),
    ] {
        rows.extend(pressure_rows(unit, worth, EXACT));
    }
    let sp811 = |printed: &str| {
        let figure: f64 = printed.parse().expect("a figure");
        (figure, half_last_digit(printed))
    };
    macro_rules! exact {
        ($($reader:path: $($unit:literal $worth:expr),+;)+) => {
            $($(rows.push(Row::new($reader, $unit, $worth, EXACT));)+)+
        };
    }
    macro_rules! printed {
        ($($reader:path: $($unit:literal $text:literal),+;)+) => {
            $($({
                let (figure, relative) = sp811($text);
                rows.push(Row::new($reader, $unit, figure, relative));
            })+)+
        };
    }
    exact! {
        Temperature::k: "K" 1.0, "degC" 1.0;
        TemperatureRise::k: "K" 1.0, "degC" 1.0;
        Mass::kg: "kg" 1.0, "g" 0.001;
        FuelQuantity::kg: "mg" 0.000001, "g" 0.001;
        MassFlow::kg_s: "kg/s" 1.0, "g/s" 0.001;
        VolumeFlow::m3_s: "m3/s" 1.0;
        RotationalSpeed::rad_s: "rad/s" 1.0;
        RotationalAcceleration::rad_s2: "rad/s2" 1.0;
        Speed::m_s: "m/s" 1.0, "mph" 0.44704, "ft/s" 0.3048;
        Power::w: "W" 1.0, "kW" 1000.0;
        Torque::nm: "N m" 1.0;
        Energy::j: "J" 1.0, "kJ" 1000.0, "MJ" 1_000_000.0;
        SpecificEnergy::j_kg: "J/kg" 1.0, "kJ/kg" 1000.0, "MJ/kg" 1_000_000.0;
        SpecificHeat::j_kg_k: "J/(kg K)" 1.0, "kJ/(kg K)" 1000.0;
        SpecificFuel::kg_j: "g/kWh" G_KWH;
        HeatConductance::w_k: "W/K" 1.0, "kW/K" 1000.0;
        HeatCapacity::j_k: "J/K" 1.0, "kJ/K" 1000.0;
        Length::m: "m" 1.0, "mm" 0.001, "cm" 0.01, "km" 1000.0, "in" 0.0254, "ft" 0.3048;
        Area::m2: "m2" 1.0, "cm2" 0.0001, "mm2" 0.000001, "in2" 0.00064516;
        Volume::m3: "m3" 1.0, "l" 0.001, "cm3" 0.000001;
        Inertia::kg_m2: "kg m2" 1.0, "kg cm2" 0.0001, "g cm2" 0.0000001;
        Duration::s: "s" 1.0, "ms" 0.001, "min" 60.0, "h" 3600.0;
        Angle::rad: "rad" 1.0;
        Voltage::v: "V" 1.0, "mV" 0.001;
        Fraction::fraction: "%" 0.01;
        PressureRate::pa_s: "kPa/s" 1000.0, "bar/s" 100_000.0;
        VaneRate::per_s: "%/s" 0.01;
        VanePerPressure::per_pa: "%/kPa" 1e-5, "%/bar" 1e-7;
        VaneIntegral::per_pa_s: "%/(kPa s)" 1e-5, "%/(bar s)" 1e-7;
        VaneDerivative::s_per_pa: "% s/kPa" 1e-5, "% s/bar" 1e-7;
        PressurePerSpeed::pa_s_m: "kPa s/m" 1000.0, "bar s/m" 100_000.0;
        PressurePerSpeedSquared::pa_s2_m2: "kPa s2/m2" 1000.0, "bar s2/m2" 100_000.0;
    }
    printed! {
        // SP 811: kg/h 2.777 778 E-04, km/h 2.777 778 E-01, deg 1.745 329 E-02,
        // lb in2 2.926 397 E-04, psi 6.894 757 E+03, rpm 1.047 198 E-01.
        MassFlow::kg_s: "kg/h" "2.777778E-04";
        Speed::m_s: "km/h" "2.777778E-01";
        Angle::rad: "deg" "1.745329E-02";
        Inertia::kg_m2: "lb in2" "2.926397E-04";
        PressureRate::pa_s: "psi/s" "6.894757E+03";
        RotationalSpeed::rad_s: "krpm" "1.047198E+02";
        // A hundredth of SP 811's pascal in psi, 1.450 377 E-04.
        VanePerPressure::per_pa: "%/psi" "1.450377E-06";
        VaneIntegral::per_pa_s: "%/(psi s)" "1.450377E-06";
        VaneDerivative::s_per_pa: "% s/psi" "1.450377E-06";
        // A hundredth of 30/pi = 9.549 297, and of a thousandth of it.
        VanePerSpeed::s_per_rad: "%/rpm" "9.549297E-02", "%/krpm" "9.549297E-05";
    }
    rows
}

#[test]
fn factors_of_the_published_table_hold_in_both_directions() {
    let mut proof = crate::proof::row("unit-published");
    for row in published_rows() {
        proof.see(row.check(), &row.unit);
    }
    proof.done();
}

#[test]
fn factors_by_definition_hold_in_both_directions() {
    let mut proof = crate::proof::row("unit-defined");
    for row in defined_rows() {
        let share = row.check();
        if row.tolerance == EXACT {
            proof.see(share * EXACT, &row.unit);
        }
    }
    proof.done();
}

#[test]
fn every_unit_of_every_kind_is_checked_against_a_source() {
    let rows = published_rows().into_iter().chain(defined_rows());
    let checked: BTreeSet<_> = rows.map(|row| (row.kind, row.unit)).collect();
    for kind in kinds() {
        for unit in kind.units() {
            let key = (kind.name(), unit.name().to_owned());
            assert!(checked.contains(&key), "{key:?} is not checked");
        }
    }
}
