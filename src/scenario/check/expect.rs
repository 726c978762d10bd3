//! What is expected: amounts in the units of their channels, names that the scenario
//! has, times inside the procedure.

use super::Checker;
use crate::judgement::{Channel, EventKind, LimitKind};
use crate::quantity::Duration;
use crate::scenario::amount::{self, Level};
use crate::scenario::document::{Fault, nearest};
use crate::scenario::file::{
    Amount, ChannelName, EventName, ExpectCheck, LimitName, Moment, ProtectionName,
};
use crate::scenario::tree::Content;

/// The keys under which a check may name a moment.
const MOMENTS: [&str; 5] = ["from", "until", "after", "at", "of"];

pub fn check(c: &mut Checker) {
    if !c.has("expect") {
        return;
    }
    something_is_expected(c);
    let must_fail: Vec<String> = c.get("expect.must_fail").unwrap_or_default();
    // the names that those checks have which are no entries of the list
    let taken = |name: &str| {
        (name == "verdict" && c.has("expect.verdict"))
            || name == "baseline"
            || name.starts_with("baseline ")
    };
    let taken: Vec<bool> = (0..c.count("expect.checks"))
        .map(|index| {
            let check = c.get::<ExpectCheck>(&format!("expect.checks.{index}"));
            check.is_some_and(|check| taken(&check.called()))
        })
        .collect();
    let mut names: Vec<String> = Vec::new();
    let mut all_read = true;
    for index in 0..c.count("expect.checks") {
        let path = format!("expect.checks.{index}");
        let Some(check) = c.get::<ExpectCheck>(&path) else {
            all_read = false;
            one_kind_is_written(c, &path);
            continue;
        };
        if !one_kind_is_written(c, &path) {
            all_read = false;
            continue;
        }
        let name = check.called();
        if names.contains(&name) || taken.get(index) == Some(&true) {
            let fault = Fault::new(
                format!("two checks are called `{name}`"),
                "a name of its own for each check",
                "give one of them a `name`",
            );
            c.refuse(&path, fault.reading(&name));
        }
        // what has to fail may ask for what was taken away
        let there = !must_fail.contains(&name);
        one(c, &path, check.kinds().first().copied(), there);
        names.push(name);
    }
    if c.has("expect.verdict") {
        names.push("verdict".to_owned());
    }
    if all_read {
        known_names(c, &must_fail, &names);
    }
}

fn something_is_expected(c: &mut Checker) {
    let empty = |c: &Checker, path: &str| match c.node(path).map(|node| &node.content) {
        Some(Content::List(items)) => items.is_empty(),
        _ => false,
    };
    let example =
        "add `- peak: {of: shaft_speed, at_most: 150000 rpm}` below `checks`, for example";
    if empty(c, "expect.checks") {
        let fault = Fault::new(
            "the list of checks is empty",
            "at least one check, or no `checks`",
            example,
        );
        c.refuse_section("expect.checks", fault.reading("an empty list"));
    } else if !(c.has("expect.checks") || c.has("expect.verdict") || c.has("expect.baseline")) {
        let fault = Fault::new(
            "nothing is expected",
            "at least `checks`, `verdict` or `baseline`",
            example,
        );
        c.refuse_section("expect", fault);
    }
}

/// A check is one of the kinds.
fn one_kind_is_written(c: &mut Checker, path: &str) -> bool {
    let Some(Content::Map(entries)) = c.node(path).map(|node| &node.content) else {
        return false;
    };
    let keys: Vec<&str> = entries.iter().map(|entry| entry.key.as_str()).collect();
    let written = keys.into_iter().filter(|key| *key != "name").count();
    if written == 1 {
        return true;
    }
    let kinds = ExpectCheck::KINDS.map(|(kind, _)| kind);
    let fault = Fault::new(
        if written == 0 {
            "this check checks nothing".to_owned()
        } else {
            format!("a check is of one kind, not {written}")
        },
        format!("exactly one of {}", kinds.join(", ")),
        "begin each check with a `-` of its own",
    );
    c.refuse(path, fault);
    false
}

/// The check of one kind, whose section can be read.
fn one(c: &mut Checker, path: &str, kind: Option<&str>, must_be_there: bool) {
    let Some(kind) = kind else { return };
    let path = format!("{path}.{kind}");
    let at = |key: &str| format!("{path}.{key}");
    match kind {
        "peak" | "value" => bounds(c, &path, "at_least", "at_most"),
        "never" => bounds(c, &path, "below", "above"),
        "settles" => from_target(c, &path, "within", "to", true),
        "overshoot" => from_target(c, &path, "at_most", "over", false),
        "undershoot" => from_target(c, &path, "at_most", "under", false),
        "limit" => limit(c, &path),
        _ => {}
    }
    for key in ["in", "within"] {
        c.not_negative::<Duration>(&at(key), "0 s", "a span of time such as 0.5 s");
    }
    if kind == "order" && c.count(&at("events")) == 0 {
        let fault = Fault::new(
            "the list of events is empty",
            "at least one event",
            "such as [command_above_readable, reading_pinned]",
        );
        c.refuse(&at("events"), fault.reading("an empty list"));
    }
    if let (Some(Moment::Time(from)), Some(Moment::Time(until))) = (
        c.get(&at("from")).or(c.get(&at("after"))),
        c.get(&at("until")),
    ) && until < from
    {
        let fault = Fault::new(
            "the window ends before it begins",
            format!("{from} or later"),
            "let `until` come after its begin",
        );
        c.refuse(&at("until"), fault);
    }
    if must_be_there {
        names_are_there(c, &path);
    }
}

/// Protections, limits and faults that a check names.
fn names_are_there(c: &mut Checker, path: &str) {
    let at = |key: &str| format!("{path}.{key}");
    if let Some(ProtectionName(name)) = c.get(&at("protection")) {
        protection(c, &at("protection"), name);
    }
    if let Some(LimitName(kind)) = c.get(&at("name")) {
        has_limit(c, &at("name"), kind);
    }
    for key in MOMENTS {
        if let Some(Moment::Event(kind)) = c.get(&at(key)) {
            event(c, &at(key), kind);
        }
    }
    for index in 0..c.count(&at("events")) {
        let path = format!("{path}.events.{index}");
        if let Some(EventName(kind)) = c.get(&path) {
            event(c, &path, kind);
        }
    }
}

fn protection(c: &mut Checker, path: &str, name: &str) {
    let there = format!("controller.protections.{name}");
    if c.has(&there) || c.is_overridden(&there) {
        return;
    }
    let fault = Fault::new(
        "the controller has no such protection",
        format!("a protection under `controller.protections`, here `{name}`"),
        "add the protection, or list this check under `must_fail` where it was taken away on purpose",
    );
    c.refuse(path, fault);
}

fn has_limit(c: &mut Checker, path: &str, kind: LimitKind) {
    let name = kind.name();
    let there = format!("limits.{name}");
    if c.has(&there) || c.is_overridden(&there) {
        return;
    }
    let fault = Fault::new(
        "the scenario has no such limit",
        format!("a limit under `limits`, here `{name}`"),
        "add the limit, or take the check away",
    );
    c.refuse(path, fault);
}

fn event(c: &mut Checker, path: &str, kind: EventKind) {
    use EventKind as E;
    match kind {
        E::ProtectionActs(name)
        | E::ProtectionRests(name)
        | E::ProtectionBlind(name)
        | E::ProtectionSees(name) => protection(c, path, name),
        E::LimitExceeded(kind) | E::LimitHeldAgain(kind) => has_limit(c, path, kind),
        E::FaultSetsIn(name) => {
            let set_in = (0..c.count("faults")).any(|i| c.has(&format!("faults.{i}.{name}")));
            if !set_in && !c.is_overridden("faults") {
                let fault = Fault::new(
                    "no such fault sets in",
                    format!("a fault under `faults`, here `{name}`"),
                    "add the fault, or name another event",
                );
                c.refuse(path, fault);
            }
        }
        E::CommandAboveReadable
        | E::CommandReadableAgain
        | E::CommandReached
        | E::CommandMissed
        | E::CommandUnreachable
        | E::CommandReachableAgain => needs_command(c, path),
        _ => {}
    }
}

/// There is a command only where a controller closes the loop.
fn needs_command(c: &mut Checker, path: &str) {
    let open_loop = c.has("open_loop") || !c.has("controller");
    if !open_loop || c.is_overridden("open_loop") || c.is_overridden("controller") {
        return;
    }
    let fault = Fault::new(
        "there is no boost command in open loop",
        "a target of its own, or a scenario with a controller and without `open_loop`",
        "name the target, such as `to: 300 kPa abs`",
    );
    c.refuse(path, fault);
}

/// At least one bound, both in the same reference, the lower one below.
fn bounds(c: &mut Checker, path: &str, low: &str, high: &str) {
    let Some(ChannelName(of)) = c.get(&format!("{path}.of")) else {
        return;
    };
    let (low_path, high_path) = (format!("{path}.{low}"), format!("{path}.{high}"));
    if !c.has(&low_path) && !c.has(&high_path) {
        let fault = Fault::new(
            "the check has no bound",
            format!("`{low}`, `{high}` or both"),
            format!("add `{high}:` and an amount"),
        );
        c.refuse(path, fault);
        return;
    }
    let bounds = (level(c, of, &low_path), level(c, of, &high_path));
    let (Some(lower), Some(upper)) = bounds else {
        return;
    };
    if lower.gauge != upper.gauge {
        let fault = Fault::new(
            "one bound is absolute, the other gauge",
            format!("the reference of `{low}`"),
            "write both as abs, or both as gauge",
        );
        c.refuse(&high_path, fault);
    } else if lower.value > upper.value {
        let lower = c.written(&low_path, lower.value);
        let fault = Fault::new(
            format!("`{high}` lies below `{low}`: nothing is between them"),
            format!("{lower} or more"),
            "exchange them, or mend one",
        );
        c.refuse(&high_path, fault);
    }
}

/// A difference in the unit of the channel, from the command or from a level.
fn from_target(c: &mut Checker, path: &str, off: &str, target: &str, above_zero: bool) {
    let Some(ChannelName(of)) = c.get(&format!("{path}.of")) else {
        return;
    };
    let off_path = format!("{path}.{off}");
    if let Some(off) = amount(c, &off_path, |written| amount::difference(of, written)) {
        let zero = amount::zero(of);
        if off < 0.0 || (above_zero && off == 0.0) {
            let fault = Fault::new(
                "this is no distance",
                if above_zero {
                    format!("more than {zero}")
                } else {
                    format!("{zero} or more")
                },
                "write how far from the target it may be, without a sign",
            );
            c.refuse(&off_path, fault);
        }
    }
    let target_path = format!("{path}.{target}");
    if c.has(&target_path) {
        level(c, of, &target_path);
    } else if !matches!(of, Channel::BoostTrue | Channel::BoostSensed) {
        let fault = Fault::new(
            format!("`{}` has no command to be held against", of.name()),
            format!("`{target}:` and a level"),
            format!("add `{target}:`; only boost_true and boost_sensed have a command"),
        );
        c.refuse(path, fault);
    } else {
        needs_command(c, path);
    }
}

fn limit(c: &mut Checker, path: &str) {
    let Some(LimitName(kind)) = c.get(&format!("{path}.name")) else {
        return;
    };
    let path = format!("{path}.reserve");
    let reserve = amount(c, &path, |written| amount::reserve(kind, written));
    use crate::judgement::Reserve;
    if let Some(Reserve::Share(left) | Reserve::Amount(left)) = reserve
        && left < 0.0
    {
        let fault = Fault::new(
            "a reserve is not negative",
            "zero or more",
            "leave `reserve` out where it is enough that the limit is held",
        );
        c.refuse(&path, fault);
    }
}

fn level(c: &mut Checker, of: Channel, path: &str) -> Option<Level> {
    amount(c, path, |written| amount::level(of, written))
}

fn amount<T>(
    c: &mut Checker,
    path: &str,
    meant: impl Fn(&Amount) -> Result<T, Fault>,
) -> Option<T> {
    let written: Amount = c.get(path)?;
    meant(&written).map_err(|fault| c.refuse(path, fault)).ok()
}

/// `must_fail` names checks, each once.
fn known_names(c: &mut Checker, must_fail: &[String], names: &[String]) {
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    for (index, name) in must_fail.iter().enumerate() {
        let path = format!("expect.must_fail.{index}");
        if must_fail[..index].contains(name) {
            let fault = Fault::new(
                format!("`{name}` is named twice"),
                "each check once",
                "remove one of them",
            );
            c.refuse(&path, fault);
        } else if !names.contains(&name.as_str()) {
            let hint = match nearest(name, &names) {
                Some(near) => format!("did you mean `{near}`?"),
                None => {
                    "name checks as reports name them: their `name`, or kind and channel".to_owned()
                }
            };
            let fault = Fault::new(
                format!("no check is called `{name}`"),
                format!("one of {}", names.join(", ")),
                hint,
            );
            c.refuse(&path, fault);
        }
    }
}

/// Times of checks lie inside the procedure, whose duration \[s\] is known once all
/// else is sound.
pub fn times(c: &mut Checker, duration_s: f64) {
    if c.is_overridden("procedure") {
        return;
    }
    for index in 0..c.count("expect.checks") {
        let path = format!("expect.checks.{index}");
        let Some(check) = c.get::<ExpectCheck>(&path) else {
            continue;
        };
        for kind in check.kinds() {
            for key in MOMENTS {
                let path = format!("{path}.{kind}.{key}");
                let Some(Moment::Time(time)) = c.get(&path) else {
                    continue;
                };
                if !(0.0..=duration_s + 1e-9).contains(&time.s()) {
                    let fault = Fault::new(
                        "the time is not inside the procedure",
                        format!("from 0 s to {} s", rounded(duration_s)),
                        "change the time or make the procedure longer; `--set expect=null` leaves all expectations out",
                    );
                    c.refuse(&path, fault);
                }
            }
        }
    }
}

/// A duration as it is read: the end of a lead-over has many digits.
fn rounded(duration_s: f64) -> f64 {
    // down, so that the time it tells is allowed; what rounding took is given back
    (duration_s * 1e3 + 1e-6).floor() / 1e3
}
