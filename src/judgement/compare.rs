//! Several judged runs against the first of them.
use super::assess::TOOL;
use super::result::{LimitResult, Peaks, RunResult};
use crate::simulation::Sample;
use serde::{Deserialize, Serialize};

/// Boost counts as there at this share of the way from ambient to the command \[-\].
/// The last tenth is overshoot and controller, not the turbocharger.
pub const BOOST_REACHED_SHARE: f64 = 0.9;

/// Headroom is used up where less than this share of the first's is left \[-\] …
pub const HEADROOM_USED_SHARE: f64 = 0.5;
/// … and less than this share of the limit \[%\].
pub const HEADROOM_CLOSE_PCT: f64 = 20.0;

/// The answer of `compare`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Comparison {
    /// Program name.
    pub tool: String,
    /// Version of the program.
    pub version: String,
    /// Name of the procedure that all were driven through; null where each kept its
    /// own, or nothing ran.
    pub procedure: Option<String>,
    /// Index of the scenario that the others are held against; null where nothing ran.
    pub base: Option<usize>,
    /// The boost whose arrival is timed, the same for all \[kPa abs\]; null where no
    /// scenario has a command.
    pub boost_target_kpa_abs: Option<f64>,
    /// The scenarios, in the order given.
    pub scenarios: Vec<Compared>,
    /// Every quantity of every other scenario against the base.
    pub differences: Vec<Difference>,
}

/// One scenario of a comparison.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Compared {
    /// The file as it was named.
    pub file: String,
    /// Name of the scenario's own procedure; null where it could not be read.
    pub own_procedure: Option<String>,
    /// Whether its own procedure is another than the first's.
    pub procedure_differs: bool,
    /// Time from the start of full load until boost first reaches the target \[s\].
    pub time_to_boost_s: Option<f64>,
    /// The result of its run; null where it could not be run.
    pub result: Option<RunResult>,
    /// Why it could not be run, one sentence.
    pub error: Option<String>,
}

/// What a difference is one of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DifferenceKind {
    /// A highest value over the run.
    Peak,
    /// Distance from a limit, each from its own.
    Headroom,
    /// A time.
    Time,
}

/// Why a difference matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Matters {
    /// One holds the limit, the other exceeds it.
    LimitCrossed,
    /// Most of the base's headroom is used up and little is left, see
    /// [`HEADROOM_USED_SHARE`] and [`HEADROOM_CLOSE_PCT`].
    HeadroomUsed,
    /// Only one of the two reaches the boost.
    BoostMissed,
}

/// One quantity of one scenario against the base.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Difference {
    /// Index of the scenario.
    pub scenario: usize,
    /// The file as it was named.
    pub file: String,
    /// What it is one of.
    pub kind: DifferenceKind,
    /// Name of the quantity or limit.
    pub name: String,
    /// Unit of the next three.
    pub unit: String,
    /// Value of the base.
    pub base: Option<f64>,
    /// Value of the scenario.
    pub value: Option<f64>,
    /// Value less base.
    pub difference: Option<f64>,
    /// Why it matters; null where it does not by the rules.
    pub matters: Option<Matters>,
}

/// A peak that is compared: name, unit, value.
pub type PeakShown = (&'static str, &'static str, fn(&Peaks) -> f64);

/// The peaks that are compared, in the order of the table.
pub const PEAKS: [PeakShown; 8] = [
    ("shaft_speed", "rpm", |p| p.shaft_speed_rpm),
    ("boost", "kPa abs", |p| p.boost_kpa_abs),
    ("drive_pressure", "kPa abs", |p| p.drive_pressure_kpa_abs),
    ("vane_closed", "%", |p| p.vane_closed_pct),
    ("turbine_inlet", "K", |p| p.turbine_inlet_k),
    ("cylinder_pressure", "kPa abs", |p| {
        p.cylinder_pressure_kpa_abs
    }),
    ("power", "kW", |p| p.power_kw),
    ("torque", "N m", |p| p.torque_nm),
];

/// A scenario on its way into a comparison.
#[derive(Debug, Clone)]
pub struct Candidate<'a> {
    /// The file as it was named.
    pub file: String,
    /// Name of its own procedure, if it could be read.
    pub own_procedure: Option<String>,
    /// Whether its own procedure is another than the first's.
    pub procedure_differs: bool,
    /// When full load begins in what was driven \[s\]; `None` where it never does.
    pub full_load_from_s: Option<f64>,
    /// Result and trace, or why there are none.
    pub run: Result<(&'a RunResult, &'a [Sample]), String>,
}

impl Comparison {
    /// Holds runs against the first of them that there is.
    pub fn of(candidates: &[Candidate], own_procedures: bool) -> Self {
        let ran: Vec<_> = candidates
            .iter()
            .filter_map(|c| c.run.as_ref().ok())
            .collect();
        let base = candidates.iter().position(|c| c.run.is_ok());
        let target_kpa_abs = boost_target_kpa_abs(ran.iter().map(|run| run.1));
        let scenarios: Vec<Compared> = candidates
            .iter()
            .map(|c| compared(c, target_kpa_abs))
            .collect();
        let differences = base.map_or_else(Vec::new, |base| {
            differences(&scenarios, base, own_procedures)
        });
        Self {
            tool: TOOL.to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            procedure: ran
                .first()
                .filter(|_| !own_procedures)
                .map(|run| run.0.procedure.clone()),
            base,
            boost_target_kpa_abs: target_kpa_abs,
            scenarios,
            differences,
        }
    }

    /// The difference of one quantity of one scenario.
    pub fn difference(
        &self,
        scenario: usize,
        kind: DifferenceKind,
        name: &str,
    ) -> Option<&Difference> {
        self.differences
            .iter()
            .find(|d| d.scenario == scenario && d.kind == kind && d.name == name)
    }
}

fn compared(c: &Candidate, target_kpa_abs: Option<f64>) -> Compared {
    let time_to_boost_s = || {
        let (_, samples) = c.run.as_ref().ok()?;
        time_to_boost_s(samples, c.full_load_from_s?, target_kpa_abs?)
    };
    Compared {
        file: c.file.clone(),
        own_procedure: c.own_procedure.clone(),
        procedure_differs: c.procedure_differs,
        time_to_boost_s: time_to_boost_s(),
        result: c.run.as_ref().ok().map(|run| run.0.clone()),
        error: c.run.as_ref().err().cloned(),
    }
}

/// The boost whose arrival is timed \[kPa abs\]: [`BOOST_REACHED_SHARE`] of the way
/// from the ambient at the start of a run to its highest command, and of all runs the
/// lowest. So it is the same for all, and none is asked for more than it commands.
pub fn boost_target_kpa_abs<'a>(runs: impl Iterator<Item = &'a [Sample]>) -> Option<f64> {
    let target = |samples: &[Sample]| {
        let ambient_kpa = samples.first()?.ambient_kpa_abs;
        let command_kpa = samples
            .iter()
            .filter_map(|s| s.boost_command_kpa_abs)
            .reduce(f64::max)?;
        Some(ambient_kpa + BOOST_REACHED_SHARE * (command_kpa - ambient_kpa))
    };
    runs.filter_map(target).reduce(f64::min)
}

/// Time from the start of full load until true boost is first at the target or above
/// \[s\]; `None` where it never is. Read at the controller's ticks.
pub fn time_to_boost_s(samples: &[Sample], from_s: f64, target_kpa_abs: f64) -> Option<f64> {
    // a tick's time carries rounding
    let reached = |s: &&Sample| s.time_s >= from_s - 1e-9 && s.boost_true_kpa_abs >= target_kpa_abs;
    let first = samples.iter().find(reached)?;
    Some((first.time_s - from_s).max(0.0))
}

fn differences(scenarios: &[Compared], base: usize, own_procedures: bool) -> Vec<Difference> {
    let Some(first) = &scenarios[base].result else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for (index, other) in scenarios.iter().enumerate() {
        let Some(result) = other.result.as_ref().filter(|_| index != base) else {
            continue;
        };
        let entry = |kind, name: &str, unit: &str, of_base, value| Difference {
            scenario: index,
            file: other.file.clone(),
            kind,
            name: name.to_owned(),
            unit: unit.to_owned(),
            base: of_base,
            value,
            difference: Option::zip(value, of_base).map(|(value, base)| value - base),
            matters: None,
        };
        all.extend(PEAKS.iter().map(|(name, unit, peak)| {
            let (of_base, value) = (peak(&first.peaks), peak(&result.peaks));
            entry(DifferenceKind::Peak, name, unit, Some(of_base), Some(value))
        }));
        // times of different procedures say nothing about each other
        if !(own_procedures && (other.procedure_differs || scenarios[base].procedure_differs)) {
            let (of_base, value) = (scenarios[base].time_to_boost_s, other.time_to_boost_s);
            all.push(Difference {
                matters: (of_base.is_some() != value.is_some()).then_some(Matters::BoostMissed),
                ..entry(DifferenceKind::Time, "time_to_boost", "s", of_base, value)
            });
        }
        for name in limit_names([first, result].into_iter()) {
            let [of_base, value] = [first, result].map(|run| limit(run, &name));
            let Some(any) = of_base.or(value) else {
                continue;
            };
            let [base, at] = [of_base, value].map(|limit| limit.and_then(|l| l.headroom));
            all.push(Difference {
                matters: Option::zip(of_base, value).and_then(|(a, b)| matters(a, b)),
                ..entry(DifferenceKind::Headroom, &name, &any.unit, base, at)
            });
        }
    }
    all
}

/// The limit of a run by its name.
pub fn limit<'a>(run: &'a RunResult, name: &str) -> Option<&'a LimitResult> {
    run.limits.iter().find(|limit| limit.name == name)
}

/// Names of the limits that any of the runs has, in the order in which they come.
pub fn limit_names<'a>(runs: impl Iterator<Item = &'a RunResult>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for limit in runs.flat_map(|run| &run.limits) {
        if !names.contains(&limit.name) {
            names.push(limit.name.clone());
        }
    }
    names
}

fn matters(base: &LimitResult, other: &LimitResult) -> Option<Matters> {
    if base.held != other.held {
        return Some(Matters::LimitCrossed);
    }
    let (before, left) = (base.headroom_pct?, other.headroom_pct?);
    let used = other.held && left < HEADROOM_USED_SHARE * before && left < HEADROOM_CLOSE_PCT;
    used.then_some(Matters::HeadroomUsed)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn limit(held: bool, headroom_pct: f64) -> LimitResult {
        LimitResult {
            name: "shaft_speed".to_owned(),
            unit: "rpm".to_owned(),
            limit: 100.0,
            worst: Some(100.0 - headroom_pct),
            headroom: Some(headroom_pct),
            headroom_pct: Some(headroom_pct),
            held,
            time_s: None,
            time_exceeded_s: 0.0,
            first_exceeded_s: None,
            engine_speed_rpm: None,
            lower: false,
        }
    }

    #[test]
    fn a_crossed_limit_matters_both_ways_and_used_headroom_one_way() {
        let of = |a: &LimitResult, b: &LimitResult| matters(a, b);
        let (wide, close, past) = (limit(true, 12.0), limit(true, 5.0), limit(false, -1.0));
        assert_eq!(of(&wide, &past), Some(Matters::LimitCrossed));
        assert_eq!(of(&past, &wide), Some(Matters::LimitCrossed));
        assert_eq!(of(&wide, &close), Some(Matters::HeadroomUsed));
        assert_eq!(of(&close, &wide), None);
        assert_eq!(of(&past, &limit(false, -9.0)), None);
        // less than half is left, but plenty
        assert_eq!(of(&limit(true, 90.0), &limit(true, 30.0)), None);
        assert_eq!(of(&wide, &limit(true, 7.0)), None);
    }

    fn trace(boost_kpa: [f64; 4], command_kpa: Option<f64>) -> Vec<Sample> {
        let sample = |(k, boost_true_kpa_abs)| Sample {
            time_s: k as f64 * 0.5,
            ambient_kpa_abs: 100.0,
            boost_true_kpa_abs,
            boost_command_kpa_abs: command_kpa,
            ..Sample::default()
        };
        boost_kpa.into_iter().enumerate().map(sample).collect()
    }

    #[test]
    fn boost_is_timed_from_full_load_to_a_target_that_all_can_reach() {
        let (low, high) = (
            trace([110.0, 150.0, 195.0, 200.0], Some(200.0)),
            trace([110.0, 150.0, 189.0, 300.0], Some(300.0)),
        );
        let open = trace([250.0; 4], None);
        let all = [high.as_slice(), open.as_slice(), low.as_slice()];
        let target = boost_target_kpa_abs(all.into_iter()).expect("a command");
        assert_eq!(target, 190.0);
        assert_eq!(boost_target_kpa_abs([open.as_slice()].into_iter()), None);
        assert_eq!(time_to_boost_s(&low, 0.0, target), Some(1.0));
        assert_eq!(time_to_boost_s(&low, 0.5, target), Some(0.5));
        assert_eq!(time_to_boost_s(&high, 0.0, target), Some(1.5));
        assert_eq!(time_to_boost_s(&open, 1.5, target), Some(0.0));
        assert_eq!(time_to_boost_s(&low, 0.0, 201.0), None);
    }
}
