//! A comparison as CSV: a row for each quantity of each scenario.
use crate::judgement::{Comparison, DifferenceKind, Matters, PEAKS};

/// The columns, in order.
pub const COMPARISON_COLUMNS: [&str; 9] = [
    "scenario",
    "file",
    "kind",
    "name",
    "unit",
    "limit",
    "value",
    "difference",
    "matters",
];

/// A row before it is text: kind, name, unit, limit, value.
type Entry<'a> = (DifferenceKind, &'a str, &'a str, Option<f64>, Option<f64>);

/// The comparison with its header line; what is not known is an empty field.
pub fn comparison_csv(c: &Comparison) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // writing to memory cannot fail, and every row has the header's length
    let mut written = writer.write_record(COMPARISON_COLUMNS).is_ok();
    for (index, scenario) in c.scenarios.iter().enumerate() {
        let Some(result) = &scenario.result else {
            continue;
        };
        let peaks = PEAKS.iter().map(|&(name, unit, peak)| -> Entry {
            (
                DifferenceKind::Peak,
                name,
                unit,
                None,
                Some(peak(&result.peaks)),
            )
        });
        let time: Entry = (
            DifferenceKind::Time,
            "time_to_boost",
            "s",
            None,
            scenario.time_to_boost_s,
        );
        let limits = result.limits.iter().map(|l| -> Entry {
            (
                DifferenceKind::Headroom,
                &l.name,
                &l.unit,
                Some(l.limit),
                l.headroom,
            )
        });
        for (kind, name, unit, limit, value) in peaks.chain([time]).chain(limits) {
            let against = c.difference(index, kind, name);
            written &= writer
                .write_record([
                    index.to_string(),
                    scenario.file.clone(),
                    kind_word(kind).to_owned(),
                    name.to_owned(),
                    unit.to_owned(),
                    number(limit),
                    number(value),
                    number(against.and_then(|d| d.difference)),
                    against
                        .and_then(|d| d.matters)
                        .map_or("", matters_word)
                        .to_owned(),
                ])
                .is_ok();
        }
    }
    debug_assert!(written);
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

fn number(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| format!("{value:.3}"))
}

/// As in the JSON.
fn kind_word(kind: DifferenceKind) -> &'static str {
    match kind {
        DifferenceKind::Peak => "peak",
        DifferenceKind::Headroom => "headroom",
        DifferenceKind::Time => "time",
    }
}

/// As in the JSON.
fn matters_word(matters: Matters) -> &'static str {
    match matters {
        Matters::LimitCrossed => "limit_crossed",
        Matters::HeadroomUsed => "headroom_used",
        Matters::BoostMissed => "boost_missed",
    }
}
