//! Made-up sweeps: headrooms along planes, no model behind them.
use ringfence::report::*;

/// An axis of numbers.
pub fn numbers(path: &str, label: &str, unit: &str, values: &[f64]) -> SweepAxis {
    SweepAxis {
        path: path.into(),
        label: label.into(),
        values: SweepValues::Numbers {
            unit: unit.into(),
            values: values.to_vec(),
        },
    }
}

/// An axis of words.
pub fn words(path: &str, label: &str, words: &[&str]) -> SweepAxis {
    SweepAxis {
        path: path.into(),
        label: label.into(),
        values: SweepValues::Words(words.iter().map(|word| (*word).to_owned()).collect()),
    }
}

/// Evenly spaced numbers.
pub fn even(from: f64, to: f64, count: usize) -> Vec<f64> {
    let step = (to - from) / (count.max(2) - 1) as f64;
    (0..count).map(|index| from + step * index as f64).collect()
}

pub fn limits(names: &[&str]) -> Vec<SweepLimit> {
    let limit = |name: &&str| SweepLimit {
        name: (*name).into(),
        label: String::new(),
    };
    names.iter().map(limit).collect()
}

/// A case with these headrooms; the most exceeded limit was the first.
pub fn case(limits: &[SweepLimit], headroom_pct: Vec<Option<f64>>) -> SweepCase {
    let known = headroom_pct.iter().zip(limits);
    let worst = known
        .filter_map(|(pct, limit)| Some(((*pct)?, limit)))
        .filter(|(pct, _)| *pct < 0.0)
        .min_by(|a, b| a.0.total_cmp(&b.0));
    SweepCase {
        verdict: match worst {
            Some(_) => SweepVerdict::Exceeded,
            None => SweepVerdict::Held,
        },
        first_exceeded: worst.map(|(_, limit)| limit.name.clone()),
        headroom_pct,
    }
}

/// A sweep whose headrooms are a function of the numbers of the case, by limit.
pub fn sweep(
    axes: Vec<SweepAxis>,
    names: &[&str],
    headroom: impl Fn(&[f64], usize) -> Option<f64>,
) -> SweepChart {
    let limits = limits(names);
    let places: Vec<Vec<f64>> = axes.iter().map(|axis| places(&axis.values)).collect();
    let total: usize = places.iter().map(Vec::len).product();
    let cases = (0..total).map(|index| {
        let mut rest = index;
        let mut at: Vec<f64> = Vec::new();
        for axis in places.iter().rev() {
            at.insert(0, axis[rest % axis.len()]);
            rest /= axis.len();
        }
        let all = (0..limits.len()).map(|limit| headroom(&at, limit));
        case(&limits, all.collect())
    });
    SweepChart {
        title: "Mountain-rescue tender, larger drop-in turbo, valley to pass".into(),
        data: "invented".into(),
        cases: cases.collect(),
        axes,
        limits,
    }
}

fn places(values: &SweepValues) -> Vec<f64> {
    match values {
        SweepValues::Numbers { values, .. } => values.clone(),
        SweepValues::Words(words) => (0..words.len()).map(|index| index as f64).collect(),
    }
}

/// Boost command and altitude: the reading pins above 328 kPa abs, the shaft is
/// too fast above a command that falls with the altitude, lambda never matters.
pub fn command_and_altitude(commands: usize, altitudes: usize) -> SweepChart {
    let axes = vec![
        numbers(
            "controller.command.full_load",
            "boost command",
            "kPa abs",
            &even(200.0, 350.0, commands),
        ),
        numbers(
            "ambient.altitude",
            "altitude",
            "m",
            &even(0.0, 3000.0, altitudes),
        ),
    ];
    let names = ["shaft_speed", "pinned_time", "lambda"];
    sweep(axes, &names, |at, limit| {
        Some(match limit {
            0 => (345.0 - at[1] * 0.035 - at[0]) * 0.2,
            1 => (328.0 - at[0]) * 0.9,
            _ => 30.0,
        })
    })
}

/// The command alone, at sea level.
pub fn command_alone(commands: &[f64]) -> SweepChart {
    let path = "controller.command.full_load";
    let axes = vec![numbers(path, "boost command", "kPa abs", commands)];
    sweep(
        axes,
        &["shaft_speed", "pinned_time", "choke_margin"],
        |at, limit| {
            Some(match limit {
                0 => (345.0 - at[0]) * 0.2,
                1 => (328.0 - at[0]) * 0.9,
                _ => 800.0,
            })
        },
    )
}
