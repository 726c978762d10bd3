//! Where a run leaves its baseline, in words: one line for each difference.
use super::units::{Units, fixed};
use crate::judgement::{BaselineDifference, Channel, Divergence};

/// One line on a difference.
pub fn baseline_line(difference: &BaselineDifference, units: Units) -> String {
    match *difference {
        BaselineDifference::Left(left) => left_line(&left, units),
        BaselineDifference::OneSided {
            channel,
            first_s,
            expected,
            got,
        } => {
            let name = channel.name();
            let at = time_text(first_s);
            let level = |value| level_text(units, channel, value);
            match (expected, got) {
                (Some(expected), _) => format!(
                    "{name} has no value at {at}, its baseline {}",
                    level(expected)
                ),
                (None, Some(got)) => {
                    format!(
                        "{name} is {} at {at}, its baseline has no value",
                        level(got)
                    )
                }
                (None, None) => format!("{name} has no value at {at}"),
            }
        }
        BaselineDifference::Ends {
            expected_s, got_s, ..
        } => {
            let way = if got_s < expected_s {
                "earlier"
            } else {
                "later"
            };
            format!(
                "the run ends at {}, {} {way} than its baseline",
                time_text(got_s),
                time_text((got_s - expected_s).abs()),
            )
        }
    }
}

fn left_line(left: &Divergence, units: Units) -> String {
    let channel = left.channel;
    let (off, allowed) = off_and_allowed(units, left);
    let mut line = format!(
        "{} first left its baseline at {}: {} against {}, {off} off, {allowed} allowed",
        channel.name(),
        time_text(left.first_s),
        level_text(units, channel, left.got),
        level_text(units, channel, left.expected),
    );
    if left.worst_s > left.first_s {
        line.push_str(&format!(
            " (worst {} at {})",
            difference_text(units, channel, left.worst_got - left.worst_expected),
            time_text(left.worst_s),
        ));
    }
    line
}

/// How far off a channel first is and may be, with as many decimals as tell the two
/// apart.
pub(super) fn off_and_allowed(units: Units, left: &Divergence) -> (String, String) {
    let text = |value: f64, more: usize| {
        let (value, unit, decimals) = channel_value(units, left.channel, value.abs(), true);
        join(fixed(value, decimals + more), &unit)
    };
    let pair = |more| {
        (
            text(left.got - left.expected, more),
            text(left.allowed, more),
        )
    };
    (0..4)
        .map(pair)
        .find(|(off, allowed)| off != allowed)
        .unwrap_or_else(|| pair(0))
}

/// A time of a row.
pub(super) fn time_text(time_s: f64) -> String {
    format!("{} s", fixed(time_s, 2))
}

/// A value of a channel with its unit.
pub(super) fn level_text(units: Units, channel: Channel, value: f64) -> String {
    let (value, unit, decimals) = channel_value(units, channel, value, false);
    let text = fixed(value, decimals);
    join(text, &level_unit(&unit, channel))
}

/// How far apart two values of a channel are, without its sign.
pub(super) fn difference_text(units: Units, channel: Channel, value: f64) -> String {
    let (value, unit, decimals) = channel_value(units, channel, value.abs(), true);
    join(fixed(value, decimals), &unit)
}

/// The unit of a level: a pressure says what it counts from.
pub(super) fn level_unit(unit: &str, channel: Channel) -> String {
    match channel.unit() {
        "kPa" => format!("{unit} abs"),
        _ => unit.to_owned(),
    }
}

fn join(number: String, unit: &str) -> String {
    match unit {
        "" => number,
        unit => format!("{number} {unit}"),
    }
}

/// A value of a channel as a reader sees it, with its unit, and decimals that show a
/// difference from a baseline. `difference` tells a distance from a level, which
/// matters for temperatures.
pub(super) fn channel_value(
    units: Units,
    channel: Channel,
    value: f64,
    difference: bool,
) -> (f64, String, usize) {
    let (shown, unit, decimals) = match channel {
        Channel::EngineSpeed => (value, "rpm".to_owned(), 1),
        Channel::Fuel => (value, "mg".to_owned(), 2),
        Channel::CompressorFlow => {
            let decimals = if units == Units::Si { 4 } else { 2 };
            let unit = units.mass_flow_unit().to_owned();
            (units.mass_flow(value), unit, decimals)
        }
        Channel::Torque => (units.torque(value), units.torque_unit().to_owned(), 1),
        Channel::Power => (units.power(value), units.power_unit().to_owned(), 1),
        _ => {
            let (value, unit, decimals) = units.limit_value(channel.unit(), value, difference);
            (value, unit, decimals + 1)
        }
    };
    (shown, unit, decimals)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn left() -> Divergence {
        Divergence {
            channel: Channel::BoostTrue,
            first_s: 2.4,
            expected: 296.8,
            got: 301.2,
            allowed: 1.5,
            worst_s: 2.83,
            worst_expected: 290.0,
            worst_got: 280.3,
            outside_s: 1.0,
        }
    }

    #[test]
    fn a_line_names_channel_time_and_size() {
        assert_eq!(
            baseline_line(&BaselineDifference::Left(left()), Units::Si),
            "boost_true first left its baseline at 2.40 s: 301.2 kPa abs against \
             296.8 kPa abs, 4.4 kPa off, 1.5 kPa allowed (worst 9.7 kPa at 2.83 s)"
        );
        let once = Divergence {
            worst_s: 2.4,
            ..left()
        };
        let line = baseline_line(&BaselineDifference::Left(once), Units::Us);
        assert!(line.ends_with("0.64 psi off, 0.22 psi allowed"), "{line}");
        // 1.5 kPa and a little more
        let close = Divergence {
            got: 298.32,
            ..once
        };
        let line = baseline_line(&BaselineDifference::Left(close), Units::Si);
        assert!(line.ends_with("1.52 kPa off, 1.50 kPa allowed"), "{line}");
    }

    #[test]
    fn what_one_side_alone_has_is_said_without_a_figure_for_the_other() {
        let one = |expected, got| BaselineDifference::OneSided {
            channel: Channel::BoostCommand,
            first_s: 1.0,
            expected,
            got,
        };
        assert_eq!(
            baseline_line(&one(Some(300.0), None), Units::Si),
            "boost_command has no value at 1.00 s, its baseline 300.0 kPa abs"
        );
        assert_eq!(
            baseline_line(&one(None, Some(300.0)), Units::Si),
            "boost_command is 300.0 kPa abs at 1.00 s, its baseline has no value"
        );
        let ends = BaselineDifference::Ends {
            expected_s: 11.0,
            got_s: 8.5,
            allowed_s: 0.02,
        };
        assert_eq!(
            baseline_line(&ends, Units::Si),
            "the run ends at 8.50 s, 2.50 s earlier than its baseline"
        );
    }
}
