//! What happened when: the moments of a trace at which something begins or ends.
//!
//! Expectations ask for their order, and reports tell them in words. An event is
//! seen at a sample, so its time is exact to one period of the controller.
use super::judge::Bench;
use super::limit::LimitKind;
use crate::simulation::{FAULTS, PROTECTIONS, Sample};

/// Something that begins or ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventKind {
    /// The command goes above what the boost sensor can read.
    CommandAboveReadable,
    /// The command comes back to what can be read.
    CommandReadableAgain,
    /// The reading comes up to the command, within what counts as reached.
    CommandReached,
    /// The reading falls short of the command by twice that.
    CommandMissed,
    /// The vanes are at their closed stop and boost is still short of the command.
    CommandUnreachable,
    /// That ends.
    CommandReachableAgain,
    /// The boost reading stands at the top of its range.
    ReadingPinned,
    /// The boost reading moves again.
    ReadingFree,
    /// The vanes come to their closed stop.
    VanesAtStop,
    /// The vanes leave their closed stop.
    VanesLeaveStop,
    /// No fuel is injected from here: a torque cut or a lifted foot.
    FuelCut,
    /// Fuel is injected again.
    FuelBack,
    /// A protection of this name begins to act.
    ProtectionActs(&'static str),
    /// It no longer acts.
    ProtectionRests(&'static str),
    /// The true state calls for a protection, and no reading shows it.
    ProtectionBlind(&'static str),
    /// That ends.
    ProtectionSees(&'static str),
    /// A limit is exceeded.
    LimitExceeded(LimitKind),
    /// It is held again.
    LimitHeldAgain(LimitKind),
    /// The compressor's flow falls below its surge line.
    SurgeBegins,
    /// It is above it again.
    SurgeEnds,
    /// A machine leaves its measured map.
    MapLeft(Machine),
    /// It is inside again.
    MapRegained(Machine),
    /// Something breaks, by its name in the scenario.
    FaultSetsIn(&'static str),
}

/// A machine with a measured map.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Machine {
    Compressor,
    Turbine,
}

impl EventKind {
    /// Its name in scenarios and results, such as `limit_exceeded.shaft_speed`.
    pub fn name(self) -> String {
        let (name, of) = match self {
            Self::CommandAboveReadable => ("command_above_readable", None),
            Self::CommandReadableAgain => ("command_readable_again", None),
            Self::CommandReached => ("command_reached", None),
            Self::CommandMissed => ("command_missed", None),
            Self::CommandUnreachable => ("command_unreachable", None),
            Self::CommandReachableAgain => ("command_reachable_again", None),
            Self::ReadingPinned => ("reading_pinned", None),
            Self::ReadingFree => ("reading_free", None),
            Self::VanesAtStop => ("vanes_at_stop", None),
            Self::VanesLeaveStop => ("vanes_leave_stop", None),
            Self::FuelCut => ("fuel_cut", None),
            Self::FuelBack => ("fuel_back", None),
            Self::ProtectionActs(of) => ("protection_acts", Some(of)),
            Self::ProtectionRests(of) => ("protection_rests", Some(of)),
            Self::ProtectionBlind(of) => ("protection_blind", Some(of)),
            Self::ProtectionSees(of) => ("protection_sees", Some(of)),
            Self::LimitExceeded(limit) => ("limit_exceeded", Some(limit.name())),
            Self::LimitHeldAgain(limit) => ("limit_held_again", Some(limit.name())),
            Self::SurgeBegins => ("surge_begins", None),
            Self::SurgeEnds => ("surge_ends", None),
            Self::MapLeft(machine) => ("map_left", Some(machine.name())),
            Self::MapRegained(machine) => ("map_regained", Some(machine.name())),
            Self::FaultSetsIn(of) => ("fault_sets_in", Some(of)),
        };
        match of {
            Some(of) => format!("{name}.{of}"),
            None => name.to_owned(),
        }
    }

    /// Every kind there is.
    pub fn all() -> Vec<Self> {
        let mut all = vec![
            Self::CommandAboveReadable,
            Self::CommandReadableAgain,
            Self::CommandReached,
            Self::CommandMissed,
            Self::CommandUnreachable,
            Self::CommandReachableAgain,
            Self::ReadingPinned,
            Self::ReadingFree,
            Self::VanesAtStop,
            Self::VanesLeaveStop,
            Self::FuelCut,
            Self::FuelBack,
            Self::SurgeBegins,
            Self::SurgeEnds,
        ];
        for name in PROTECTIONS {
            all.push(Self::ProtectionActs(name));
            all.push(Self::ProtectionRests(name));
            all.push(Self::ProtectionBlind(name));
            all.push(Self::ProtectionSees(name));
        }
        for limit in LimitKind::ALL {
            all.push(Self::LimitExceeded(limit));
            all.push(Self::LimitHeldAgain(limit));
        }
        for machine in [Machine::Compressor, Machine::Turbine] {
            all.push(Self::MapLeft(machine));
            all.push(Self::MapRegained(machine));
        }
        all.extend(FAULTS.map(Self::FaultSetsIn));
        all
    }
}

impl Machine {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Compressor => "compressor",
            Self::Turbine => "turbine",
        }
    }
}

/// An event with the sample at which it was seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// What begins or ends.
    pub kind: EventKind,
    /// Everything at that instant; the time of the event is that of the sample.
    pub at: Sample,
}

/// Something that is so or not, with the events of its two changes.
struct Watched {
    begins: EventKind,
    ends: EventKind,
    so: bool,
}

/// What has to be remembered from sample to sample.
#[derive(Default)]
struct Memory {
    pinned_since_s: Option<f64>,
    reached: bool,
}

/// The events of a trace in the order of time; at the same sample in the order of
/// cause: faults, command, reading, vanes and fuel, protections, limits, maps. What
/// is so at the first sample begins there.
///
/// `faults` are onset \[s\] and name. A fault that the trace does not reach is left out.
pub fn events(bench: &Bench, faults: &[(f64, &'static str)], samples: &[Sample]) -> Vec<Event> {
    let mut faults = faults.to_vec();
    faults.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut faults = faults.into_iter().peekable();
    let mut memory = Memory::default();
    let mut before: Vec<bool> = Vec::new();
    let mut events = Vec::new();
    for sample in samples {
        let mut push = |kind| events.push(Event { kind, at: *sample });
        while let Some((_, name)) = faults.next_if(|(onset_s, _)| *onset_s <= sample.time_s + 1e-9)
        {
            push(EventKind::FaultSetsIn(name));
        }
        let now = watched(bench, sample, &mut memory);
        for (index, watched) in now.iter().enumerate() {
            match (before.get(index).copied().unwrap_or(false), watched.so) {
                (false, true) => push(watched.begins),
                (true, false) => push(watched.ends),
                _ => {}
            }
        }
        before = now.into_iter().map(|watched| watched.so).collect();
    }
    events
}

/// Everything that is watched, always in the same order.
fn watched(bench: &Bench, s: &Sample, memory: &mut Memory) -> Vec<Watched> {
    use EventKind as E;
    let of = |begins, ends, so| Watched { begins, ends, so };
    let short_by = |kpa: f64| {
        s.boost_command_kpa_abs
            .is_some_and(|command| s.boost_sensed_kpa_abs < command - kpa)
    };
    memory.reached = s.boost_command_kpa_abs.is_some()
        && !short_by(bench.unreached_by_kpa * if memory.reached { 2.0 } else { 1.0 });
    let pinned_for_s = if s.pinned {
        s.time_s - *memory.pinned_since_s.get_or_insert(s.time_s)
    } else {
        memory.pinned_since_s = None;
        0.0
    };
    let above = s
        .boost_command_kpa_abs
        .zip(bench.readable_ceiling_kpa_abs)
        .is_some_and(|(command, top)| command > top);
    let at_stop = bench.vanes_at_closed_stop(s);
    let unreachable = bench.out_of_reach(s);
    let mut all = vec![
        of(E::CommandAboveReadable, E::CommandReadableAgain, above),
        of(E::CommandReached, E::CommandMissed, memory.reached),
        of(E::ReadingPinned, E::ReadingFree, s.pinned),
        of(E::VanesAtStop, E::VanesLeaveStop, at_stop),
        of(E::CommandUnreachable, E::CommandReachableAgain, unreachable),
        of(E::FuelCut, E::FuelBack, s.fuel_mg_per_injection <= 0.0),
    ];
    for name in &bench.protections {
        let bit = PROTECTIONS.iter().position(|p| p == name);
        let on = |bits: u8| bit.is_some_and(|bit| bits & (1 << bit) != 0);
        let (acts, blind) = (on(s.active_protections), on(s.blind_protections));
        all.push(of(E::ProtectionActs(name), E::ProtectionRests(name), acts));
        all.push(of(E::ProtectionBlind(name), E::ProtectionSees(name), blind));
    }
    for limit in &bench.limits {
        let value = limit.kind.value(s, pinned_for_s);
        let exceeded = value.is_some_and(|value| limit.headroom(value) < 0.0);
        let (begins, ends) = (E::LimitExceeded(limit.kind), E::LimitHeldAgain(limit.kind));
        all.push(of(begins, ends, exceeded));
    }
    all.push(of(E::SurgeBegins, E::SurgeEnds, s.surge_margin_pct < 0.0));
    for (machine, off) in [
        (Machine::Compressor, s.compressor_extrapolated),
        (Machine::Turbine, s.turbine_extrapolated),
    ] {
        all.push(of(E::MapLeft(machine), E::MapRegained(machine), off));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::judgement::Limit;
    use crate::map::Table1;

    fn bench() -> Bench {
        Bench {
            limits: vec![
                Limit {
                    kind: LimitKind::ShaftSpeed,
                    bound: 150e3,
                },
                Limit {
                    kind: LimitKind::PinnedTime,
                    bound: 0.5,
                },
            ],
            readable_ceiling_kpa_abs: Some(331.0),
            protections: vec!["pinned_sensor"],
            unreached_by_kpa: 5.0,
            most_closed: Table1::constant(0.7),
            stop_closed: 1.0,
            surge_simulated: false,
        }
    }

    /// Time, command, reading, vanes and shaft speed.
    fn at(time_s: f64, command: f64, reading: f64, vanes: f64, shaft: f64) -> Sample {
        Sample {
            time_s,
            boost_command_kpa_abs: Some(command),
            boost_true_kpa_abs: reading,
            boost_sensed_kpa_abs: reading,
            vane_closed_pct: vanes,
            shaft_speed_rpm: shaft,
            pinned: reading >= 331.0,
            surge_margin_pct: 10.0,
            fuel_mg_per_injection: 100.0,
            ..Sample::default()
        }
    }

    fn told(events: &[Event]) -> Vec<String> {
        events
            .iter()
            .map(|e| format!("{:.1} {}", e.at.time_s, e.kind.name()))
            .collect()
    }

    #[test]
    fn a_runaway_is_told_in_the_order_of_its_causes() {
        let mut last = at(1.0, 345.0, 331.0, 70.0, 151e3);
        last.active_protections = 1 << 1;
        let samples = [
            at(0.0, 300.0, 280.0, 30.0, 120e3),
            at(0.2, 300.0, 296.0, 30.0, 130e3),
            at(0.4, 345.0, 331.0, 40.0, 140e3),
            at(0.6, 345.0, 331.0, 60.0, 151e3),
            last,
        ];
        let faults = [(0.6, "boost_leak"), (9.0, "exhaust_leak")];
        assert_eq!(
            told(&events(&bench(), &faults, &samples)),
            [
                "0.2 command_reached",
                "0.4 command_above_readable",
                "0.4 command_missed",
                "0.4 reading_pinned",
                "0.6 fault_sets_in.boost_leak",
                "0.6 limit_exceeded.shaft_speed",
                "1.0 vanes_at_stop",
                "1.0 protection_acts.pinned_sensor",
                "1.0 limit_exceeded.pinned_time",
            ]
        );
    }

    #[test]
    fn what_is_reached_is_not_lost_by_a_ripple() {
        let samples = [
            at(0.0, 300.0, 295.0, 30.0, 0.0),
            at(0.1, 300.0, 292.0, 30.0, 0.0),
            at(0.2, 300.0, 289.0, 30.0, 0.0),
            at(0.3, 300.0, 292.0, 30.0, 0.0),
        ];
        assert_eq!(
            told(&events(&bench(), &[], &samples)),
            ["0.0 command_reached", "0.2 command_missed"]
        );
    }

    #[test]
    fn a_command_out_of_reach_is_one_at_the_stop_only() {
        let samples = [
            at(0.0, 300.0, 250.0, 60.0, 0.0),
            at(0.1, 300.0, 250.0, 69.5, 0.0),
            at(0.2, 300.0, 299.0, 69.5, 0.0),
        ];
        assert_eq!(
            told(&events(&bench(), &[], &samples)),
            [
                "0.1 vanes_at_stop",
                "0.1 command_unreachable",
                "0.2 command_reached",
                "0.2 command_reachable_again",
            ]
        );
    }

    #[test]
    fn names_are_all_different() {
        let mut names: Vec<String> = EventKind::all().into_iter().map(EventKind::name).collect();
        let all = names.len();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), all);
    }

    #[test]
    fn whatever_is_watched_can_be_named() {
        let mut bench = bench();
        bench.protections = PROTECTIONS.to_vec();
        bench.limits = LimitKind::ALL
            .map(|kind| Limit { kind, bound: 1.0 })
            .to_vec();
        let all = EventKind::all();
        for watched in watched(&bench, &Sample::default(), &mut Memory::default()) {
            assert!(all.contains(&watched.begins), "{}", watched.begins.name());
            assert!(all.contains(&watched.ends), "{}", watched.ends.name());
        }
    }
}
