//! What differs most between two scenarios, in words.
use super::names;
use super::table::Paint;
use super::text_compare::{letter, shown};
use super::units::{Units, fixed, signed};
use crate::judgement::{
    Compared, Comparison, Difference, DifferenceKind, LimitResult, Matters, Verdict, limit,
};

/// Most sentences about one scenario, where few are compared and where many are.
const MOST: usize = 4;
const MOST_OF_MANY: usize = 3;
/// So many others are few.
const FEW: usize = 2;

/// Times closer than this are the same to a driver \[s\].
const SAME_TIME_S: f64 = 0.05;
/// Peaks that differ by less than this share are not worth a word \[-\].
const SAME_SHARE: f64 = 0.01;
/// A difference that counts as large \[K\]: it stands beside a share of one for the
/// other quantities, for which a share of a temperature means little.
const LARGE_K: f64 = 300.0;

/// How much more a share of shaft speed counts than one of another quantity \[-\].
const SHAFT_COUNTS: f64 = 2.0;

/// How one scenario ended, and how that is painted.
pub(super) fn outcome(letter: &str, scenario: &Compared, units: Units) -> (String, Paint) {
    let Some(result) = &scenario.result else {
        let why = scenario.error.as_deref().unwrap_or("no reason is known");
        return (format!("{letter} was not run: {why}."), Paint::Bad);
    };
    match result.verdict {
        Verdict::Held | Verdict::HeldInsideBand => {
            (format!("{letter} holds every limit."), Paint::Good)
        }
        Verdict::OutsideValidity => (
            format!(
                "{letter} left what the model can describe: {}.",
                result.why_stopped.text.trim_end_matches('.')
            ),
            Paint::Bad,
        ),
        Verdict::Exceeded => {
            let mut gone: Vec<&LimitResult> = result.limits.iter().filter(|l| !l.held).collect();
            let when = |l: &LimitResult| l.first_exceeded_s.unwrap_or(f64::INFINITY);
            gone.sort_by(|a, b| when(a).total_cmp(&when(b)));
            let list: Vec<String> = gone
                .iter()
                .map(|l| {
                    let bound = units.limit_text(&l.unit, l.limit, false);
                    let at = l
                        .first_exceeded_s
                        .map_or_else(String::new, |s| format!(" at {} s", fixed(s, 2)));
                    format!("{} past {bound}{at}", names::limit_label(&l.name))
                })
                .collect();
            (
                format!("{letter} exceeds limits: {}.", list.join(", ")),
                Paint::Bad,
            )
        }
    }
}

/// The differences of one scenario from the base that matter most, most pressing
/// first: limits crossed, boost in time, headroom used up, then the largest ones.
pub(super) fn differences(
    c: &Comparison,
    base: usize,
    other: usize,
    units: Units,
    others: usize,
) -> Vec<String> {
    let (a, b) = (letter(base), letter(other));
    let own: Vec<&Difference> = c
        .differences
        .iter()
        .filter(|d| d.scenario == other)
        .collect();
    if own.iter().all(|d| d.base == d.value) {
        return vec![format!("{b} differs nowhere from {a}.")];
    }
    let mut said = crossed(c, &own, &a, &b, other);
    said.extend(boost_in_time(c, &own, &a, &b, units));
    said.extend(used_up(c, &own, &a, &b, units));
    let most = if others > FEW { MOST_OF_MANY } else { MOST };
    let mut peaks: Vec<&Difference> = own
        .iter()
        .copied()
        .filter(|d| d.kind == DifferenceKind::Peak && weight(d) >= SAME_SHARE)
        .collect();
    peaks.sort_by(|x, y| weight(y).total_cmp(&weight(x)));
    // torque and power say the same thing twice: the larger difference speaks
    let drive = |d: &Difference| matches!(d.name.as_str(), "power" | "torque");
    if let Some(second) = peaks.iter().position(|d| drive(d)).and_then(|first| {
        let rest = &peaks[first + 1..];
        Some(first + 1 + rest.iter().position(|d| drive(d))?)
    }) {
        peaks.remove(second);
    }
    said.extend(peaks.iter().filter_map(|d| peak(d, &b, units)));
    said.truncate(most);
    if said.is_empty() {
        said.push(format!(
            "{b} differs from {a} by less than a hundredth in every highest value."
        ));
    }
    said
}

/// How much of a difference it is \[-\].
fn weight(d: &Difference) -> f64 {
    let (Some(difference), Some(base)) = (d.difference, d.base) else {
        return 0.0;
    };
    // the shaft is what everything turns on, and it lives in a narrow range
    let scale = match d.unit.as_str() {
        "rpm" => base.abs() / SHAFT_COUNTS,
        "K" => LARGE_K,
        "%" => 100.0,
        _ => base.abs(),
    };
    if scale > 0.0 {
        difference.abs() / scale
    } else {
        0.0
    }
}

fn crossed(c: &Comparison, own: &[&Difference], a: &str, b: &str, other: usize) -> Vec<String> {
    let held = |d: &&&Difference| {
        let result = c.scenarios[other].result.as_ref();
        result
            .and_then(|run| limit(run, &d.name))
            .is_some_and(|l| l.held)
    };
    let all = || {
        own.iter()
            .filter(|d| d.matters == Some(Matters::LimitCrossed))
    };
    let names = |list: Vec<&&Difference>| {
        let labels: Vec<&str> = list.iter().map(|d| names::limit_label(&d.name)).collect();
        listed(&labels)
    };
    let (kept, lost): (Vec<_>, Vec<_>) = all().partition(held);
    let mut said = Vec::new();
    if !lost.is_empty() {
        said.push(format!(
            "{b} goes past limits that {a} holds: {}.",
            names(lost)
        ));
    }
    if !kept.is_empty() {
        said.push(format!(
            "{b} holds limits that {a} goes past: {}.",
            names(kept)
        ));
    }
    said
}

fn listed(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn boost_in_time(
    c: &Comparison,
    own: &[&Difference],
    a: &str,
    b: &str,
    units: Units,
) -> Option<String> {
    let d = own.iter().find(|d| d.kind == DifferenceKind::Time)?;
    let boost = format!("{} abs", units.pressure_text(c.boost_target_kpa_abs?));
    match (d.base, d.value) {
        (Some(base_s), Some(own_s)) => {
            let later_s = own_s - base_s;
            let word = if later_s > 0.0 { "later" } else { "sooner" };
            (later_s.abs() >= SAME_TIME_S).then(|| {
                format!(
                    "{b} reaches {boost} {} s {word}, {} s after full load against {} s.",
                    fixed(later_s.abs(), 2),
                    fixed(own_s, 2),
                    fixed(base_s, 2)
                )
            })
        }
        (Some(base_s), None) => Some(format!(
            "{b} never reaches {boost}; {a} does after {} s.",
            fixed(base_s, 2)
        )),
        (None, Some(own_s)) => Some(format!(
            "{b} reaches {boost} after {} s; {a} never does.",
            fixed(own_s, 2)
        )),
        (None, None) => None,
    }
}

/// The limit that has come closest among those whose headroom is used up.
fn used_up(c: &Comparison, own: &[&Difference], a: &str, b: &str, units: Units) -> Option<String> {
    let left = |d: &&&Difference| {
        let run = c.scenarios[d.scenario].result.as_ref();
        let pct = run.and_then(|run| limit(run, &d.name)?.headroom_pct);
        pct.unwrap_or(f64::INFINITY)
    };
    let d = own
        .iter()
        .filter(|d| d.matters == Some(Matters::HeadroomUsed))
        .min_by(|x, y| left(x).total_cmp(&left(y)))?;
    let text = |value: f64| units.headroom_text(&d.unit, value);
    Some(format!(
        "{b} leaves {} to its limit of {}, {a} leaves {}.",
        text(d.value?),
        names::limit_label(&d.name),
        text(d.base?)
    ))
}

/// One peak in words.
fn peak(d: &Difference, b: &str, units: Units) -> Option<String> {
    let difference = d.difference?;
    let (value, unit, decimals) = shown(units, &d.unit, difference, true);
    let by = format!("{} {unit}", fixed(value.abs(), decimals));
    let up = difference > 0.0;
    let pick = |more: &'static str, less: &'static str| if up { more } else { less };
    Some(match d.name.as_str() {
        "shaft_speed" => format!(
            "{b}'s shaft runs {by} {} at most.",
            pick("faster", "slower")
        ),
        "boost" => format!("{b}'s true boost peaks {by} {}.", pick("higher", "lower")),
        "drive_pressure" => {
            format!(
                "{b}'s drive pressure peaks {by} {}.",
                pick("higher", "lower")
            )
        }
        "vane_closed" => format!(
            "{b}'s vanes close {} per cent of their travel {}.",
            fixed(value.abs(), decimals),
            pick("further", "less far")
        ),
        "turbine_inlet" => format!(
            "{b}'s gas ahead of the turbine is {by} {} at most.",
            pick("hotter", "cooler")
        ),
        "cylinder_pressure" => {
            format!(
                "{b}'s cylinder pressure peaks {by} {}.",
                pick("higher", "lower")
            )
        }
        "power" => format!("{b} makes {by} {} at most.", pick("more", "less")),
        "torque" => format!("{b} pulls {by} {} at most.", pick("more", "less")),
        other => format!("{b}: {other} {} {unit}.", signed(value, decimals)),
    })
}
