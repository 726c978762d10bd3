//! What came of each check, in words.
use super::baseline_words::baseline_line;
use super::names;
use super::units::{Units, fixed};
use crate::judgement::{
    Asked, Bounds, Channel, CheckResult, LimitKind, Reserve, Seen, Target, verdict_word,
};

/// The name of a check and what came of it.
pub fn named_text(check: &CheckResult, units: Units) -> String {
    let text = check_text(check, units);
    match check.asked {
        // its sentence begins with the channel
        Asked::Baseline(_) => text,
        _ => format!("{}: {text}", check.name),
    }
}

/// What came of one check, in a sentence without a full stop.
pub fn check_text(check: &CheckResult, units: Units) -> String {
    let words = Words { units };
    let text = words.told(&check.asked, &check.seen);
    match (check.held, check.must_fail) {
        (true, true) => format!("it held and should have failed (`must_fail`): {text}"),
        (false, true) => format!("{text}, as it must"),
        _ => text,
    }
}

/// A channel as sentences call it.
pub fn channel_label(channel: Channel) -> String {
    match channel {
        Channel::BoostCommand => "boost command".to_owned(),
        Channel::BoostTrue => "true boost".to_owned(),
        Channel::BoostSensed => "boost reading".to_owned(),
        Channel::VaneClosed => "vane position".to_owned(),
        Channel::CompressorOutlet => "compressor outlet temperature".to_owned(),
        Channel::TurbineInlet => "turbine inlet temperature".to_owned(),
        Channel::Intake => "intake temperature".to_owned(),
        other => other.name().replace('_', " "),
    }
}

/// Puts what was seen into words, with more decimals where the usual ones would show
/// no difference.
struct Words {
    units: Units,
}

impl Words {
    fn told(&self, asked: &Asked, seen: &Seen) -> String {
        match seen {
            Seen::CutShort { ended_s } => format!(
                "the run ended at {}, before all of it could be seen",
                time(*ended_s)
            ),
            Seen::NoEvent(kind) => format!("{} never happened", kind.name()),
            Seen::NoWindow { from_s, until_s } => format!(
                "its window ends at {}, before it begins at {}",
                time(*until_s),
                time(*from_s)
            ),
            Seen::NoValue => match asked.channel() {
                Some(channel) => format!("{} has no value there", channel_label(channel)),
                None => "there is no value".to_owned(),
            },
            Seen::Ended {
                verdict,
                exceeded,
                stopped,
            } => {
                let wanted = match asked {
                    Asked::Verdict(wanted) if wanted != verdict => {
                        format!(", not {}", verdict_word(*wanted))
                    }
                    _ => String::new(),
                };
                let labels: Vec<&str> =
                    exceeded.iter().map(|key| names::limit_label(key)).collect();
                let why = if labels.is_empty() {
                    stopped.clone().unwrap_or_default()
                } else {
                    labels.join(", ")
                };
                let why = why.trim_end_matches('.');
                let gap = if why.is_empty() { "" } else { ": " };
                format!(
                    "the verdict is {}{wanted}{gap}{why}",
                    verdict_word(*verdict)
                )
            }
            _ => self.told_of(asked, seen),
        }
    }

    fn told_of(&self, asked: &Asked, seen: &Seen) -> String {
        match asked {
            Asked::Peak { of, bounds, .. } => self.level(*of, *bounds, seen, "peaked at"),
            Asked::Value { of, bounds, .. } => self.level(*of, *bounds, seen, "was"),
            Asked::Never { of, bounds, .. } => self.never(*of, *bounds, seen),
            Asked::Settles {
                of,
                to,
                within,
                in_s,
                ..
            } => self.settles(*of, *to, *within, *in_s, seen),
            Asked::Overshoot {
                of, over, at_most, ..
            } => self.furthest(*of, *over, *at_most, seen, "above"),
            Asked::Undershoot {
                of, under, at_most, ..
            } => self.furthest(*of, *under, *at_most, seen, "below"),
            Asked::Limit { kind, reserve } => self.limit(*kind, *reserve, seen),
            Asked::Acts {
                protection,
                within_s,
                of,
            } => {
                let since = match of {
                    Some(crate::judgement::When::Event(kind)) => format!(" after {}", kind.name()),
                    _ => String::new(),
                };
                acts(protection, *within_s, &since, seen)
            }
            Asked::Silent { protection, .. } => match seen {
                Seen::Acted { time_s, .. } => format!("{protection} acted at {}", time(*time_s)),
                Seen::NeverActed { .. } => format!("{protection} never acted"),
                _ => format!("the controller has no {protection}"),
            },
            Asked::Order(events) => order(events, seen),
            Asked::Baseline(_) => match seen {
                Seen::Differs(difference) => baseline_line(difference, self.units),
                Seen::Follows { channels, rows } => {
                    format!("the run follows its baseline: {channels} channels at {rows} times")
                }
                _ => String::new(),
            },
            Asked::Verdict(_) => String::new(),
        }
    }

    /// "shaft speed peaked at 153.2 krpm at 4.31 s, 3.2 krpm above 150.0 krpm"
    fn level(&self, of: Channel, bounds: Bounds, seen: &Seen, verb: &str) -> String {
        let Seen::Value { value, time_s, .. } = seen else {
            return String::new();
        };
        let digits = self.digits_between(of, *value, bounds);
        format!(
            "{} {verb} {} at {}{}",
            channel_label(of),
            self.amount(of, *value, Some(bounds.gauge), digits),
            time(*time_s),
            self.beside(of, *value, bounds, digits)
        )
    }

    /// How far beside the nearest bound, and on which side.
    fn beside(&self, of: Channel, value: f64, bounds: Bounds, digits: usize) -> String {
        let Some(bound) = bounds.nearest_to(Some(value)) else {
            return String::new();
        };
        let side = if value >= bound { "above" } else { "below" };
        format!(
            ", {} {side} {}",
            self.difference(of, (value - bound).abs(), digits),
            self.amount(of, bound, Some(bounds.gauge), digits)
        )
    }

    fn never(&self, of: Channel, bounds: Bounds, seen: &Seen) -> String {
        let Seen::Value {
            value,
            first_outside_s,
            ..
        } = seen
        else {
            return String::new();
        };
        let Some(first_s) = first_outside_s else {
            return self.level(of, bounds, seen, "came to");
        };
        let bound = bounds.nearest_to(Some(*value)).unwrap_or(*value);
        let side = if *value >= bound { "above" } else { "below" };
        format!(
            "{}; it went {side} first at {}",
            self.level(of, bounds, seen, "came to"),
            time(*first_s)
        )
    }

    fn settles(&self, of: Channel, to: Target, within: f64, in_s: f64, seen: &Seen) -> String {
        let label = channel_label(of);
        let target = self.target(of, to);
        let band = self.difference(of, within, self.digits(of, within));
        match seen {
            Seen::Settled { from_s, took_s } => {
                let stays = format!(
                    "{label} stays within {band} of {target} from {} on, {} after {}",
                    time(from_s + took_s),
                    time(*took_s),
                    time(*from_s)
                );
                if *took_s > in_s {
                    format!("{stays}, {} later than allowed", time(took_s - in_s))
                } else {
                    format!("{stays}; {} is allowed", time(in_s))
                }
            }
            Seen::NeverSettled { off, time_s } => {
                let side = if *off >= 0.0 { "above" } else { "below" };
                format!(
                    "{label} never settled: {} {side} {target} at {}, {band} is allowed",
                    self.difference(of, off.abs(), self.digits(of, off.abs() - within)),
                    time(*time_s)
                )
            }
            _ => String::new(),
        }
    }

    fn furthest(
        &self,
        of: Channel,
        target: Target,
        at_most: f64,
        seen: &Seen,
        side: &str,
    ) -> String {
        let Seen::Value { value, time_s, .. } = seen else {
            return String::new();
        };
        let digits = self.digits(of, value - at_most);
        let (label, target) = (channel_label(of), self.target(of, target));
        let went = if *value >= 0.0 {
            format!(
                "{label} went {} {side} {target} at {}",
                self.difference(of, *value, digits),
                time(*time_s)
            )
        } else {
            format!("{label} never went {side} {target}")
        };
        let allowed = self.difference(of, at_most, digits);
        if *value > at_most {
            let more = self.difference(of, value - at_most, digits);
            format!("{went}, {more} more than the {allowed} allowed")
        } else {
            format!("{went}; {allowed} is allowed")
        }
    }

    fn target(&self, of: Channel, target: Target) -> String {
        match target {
            Target::Command => "the command".to_owned(),
            Target::Level { value, gauge } => {
                self.amount(of, value, Some(gauge), self.digits(of, 1.0))
            }
        }
    }

    fn limit(&self, kind: LimitKind, reserve: Option<Reserve>, seen: &Seen) -> String {
        let label = names::limit_label(kind.name());
        let Seen::Worst {
            value,
            limit,
            headroom,
            headroom_pct,
            time_s,
        } = *seen
        else {
            return match seen {
                Seen::NeverApplied => format!("{label} was never put to the test"),
                _ => format!("the scenario has no limit {}", kind.name()),
            };
        };
        let unit = kind.unit();
        let came = format!(
            "{label} came to {} at {}",
            self.units.level_text(unit, value),
            time(time_s)
        );
        let bound = self.units.level_text(unit, limit);
        if headroom < 0.0 {
            let past = self.units.limit_text(unit, -headroom, true);
            return format!("{came}, {past} past the limit of {bound}");
        }
        let (left, wanted) = match reserve {
            Some(Reserve::Share(wanted)) => (
                headroom_pct.map_or_else(|| "nothing".to_owned(), |pct| percent(pct, wanted)),
                Some(percent(wanted, wanted)),
            ),
            Some(Reserve::Amount(wanted)) => (
                self.units.limit_text(unit, headroom, true),
                Some(self.units.limit_text(unit, wanted, true)),
            ),
            None => (self.units.limit_text(unit, headroom, true), None),
        };
        let wanted = wanted.map_or_else(String::new, |wanted| format!("; {wanted} is wanted"));
        format!("{came}, which leaves {left} to the limit of {bound}{wanted}")
    }

    /// Decimals that show a value beside the nearest of its bounds.
    fn digits_between(&self, of: Channel, value: f64, bounds: Bounds) -> usize {
        let bound = bounds.nearest_to(Some(value)).unwrap_or(value);
        self.digits(of, value - bound)
    }

    /// The usual decimals of a channel, or more where a difference would vanish.
    fn digits(&self, of: Channel, difference: f64) -> usize {
        let usual = shown(self.units, of, 1.0, true).2;
        let (shown, _, _) = shown(self.units, of, difference, true);
        let visible = |digits: &usize| {
            difference == 0.0
                || fixed(shown.abs(), *digits)
                    .bytes()
                    .any(|b| (b'1'..=b'9').contains(&b))
        };
        (usual..usual + 4).find(visible).unwrap_or(usual)
    }

    fn amount(&self, of: Channel, value: f64, gauge: Option<bool>, digits: usize) -> String {
        let (value, unit, _) = shown(self.units, of, value, false);
        let reference = match gauge.filter(|_| of.unit() == "kPa") {
            Some(true) => " gauge",
            Some(false) => " abs",
            None => "",
        };
        format!("{}{}{unit}{reference}", fixed(value, digits), gap(unit))
    }

    fn difference(&self, of: Channel, value: f64, digits: usize) -> String {
        let (value, unit, _) = shown(self.units, of, value, true);
        format!("{}{}{unit}", fixed(value, digits), gap(unit))
    }
}

fn gap(unit: &str) -> &'static str {
    if unit.is_empty() { "" } else { " " }
}

/// A value of a channel as a reader sees it: number, unit, usual decimals.
fn shown(units: Units, of: Channel, value: f64, difference: bool) -> (f64, &'static str, usize) {
    match of.unit() {
        "rpm" if of == Channel::EngineSpeed => (value, "rpm", 0),
        "rpm" => (value / 1000.0, "krpm", 1),
        "kPa" => (
            units.pressure(value),
            units.pressure_unit(),
            units.pressure_decimals() + 1,
        ),
        "K" if difference => (
            units.temperature_rise(value),
            units.temperature_rise_unit(),
            1,
        ),
        "K" => (units.temperature(value), units.temperature_unit(), 1),
        "%" => (value, "%", 1),
        "m/s" => (units.speed(value), units.speed_unit(), 1),
        "kg/s" => (units.mass_flow(value), units.mass_flow_unit(), 3),
        "N m" => (units.torque(value), units.torque_unit(), 0),
        "kW" => (units.power(value), units.power_unit(), 1),
        "mg" => (value, "mg", 1),
        _ => (value, "", 3),
    }
}

fn time(time_s: f64) -> String {
    format!("{} s", fixed(time_s, 2))
}

/// Per cent with enough decimals to tell what is left from what is wanted.
fn percent(value: f64, beside: f64) -> String {
    let near = (value - beside).abs() < 0.1 && value != beside;
    format!("{} %", fixed(value, if near { 3 } else { 1 }))
}

fn acts(protection: &str, within_s: Option<f64>, since: &str, seen: &Seen) -> String {
    let allowed = |from_s: f64| {
        within_s.map_or_else(String::new, |within_s| {
            format!("; it was due by {}", time(from_s + within_s))
        })
    };
    match *seen {
        Seen::Acted { from_s, time_s } => {
            let took = if from_s > 0.0 || !since.is_empty() {
                let begun = if since.is_empty() {
                    format!(" after {}", time(from_s))
                } else {
                    since.to_owned()
                };
                format!(", {}{begun}", time(time_s - from_s))
            } else {
                String::new()
            };
            format!(
                "{protection} acted at {}{took}{}",
                time(time_s),
                allowed(from_s)
            )
        }
        Seen::NeverActed { from_s } => format!("{protection} never acted{}", allowed(from_s)),
        _ => format!("the controller has no {protection}"),
    }
}

fn order(events: &[crate::judgement::EventKind], seen: &Seen) -> String {
    match seen {
        Seen::OutOfOrder { first, then } => format!(
            "{} came at {}, before {} at {}",
            then.0.name(),
            time(then.1),
            first.0.name(),
            time(first.1)
        ),
        _ if events.len() == 1 => format!("{} happened", events[0].name()),
        _ => format!("{} events came in order", events.len()),
    }
}
