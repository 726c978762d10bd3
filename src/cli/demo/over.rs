//! Finds the command that shows the runaway, and the clamp that stops it.
use super::super::args::Override;
use super::super::failure::Failure;
use super::super::load::Ready;
use super::trial;
use crate::judgement::{CeilingResult, LimitResult, StopKind, Verdict};
use crate::report::{COMMAND_MARGIN_KPA, Units};
use crate::scenario::CommandTable;
use crate::study::single::SingleRun;

/// How far above the readable ceiling the command is set, at least \[kPa\]; the
/// first that shows all of the runaway is taken.
const ABOVE_KPA: [f64; 5] = [10.0, 15.0, 20.0, 30.0, 40.0];
/// Commands are set to multiples of this, as a person would \[kPa\].
const ROUND_KPA: f64 = 5.0;
/// The over-boost cut is moved this far above the raised command \[kPa\].
const CUT_ABOVE_KPA: f64 = 5.0;
/// A clamp further below the readable ceiling is a new table, not a clamp \[kPa\].
const LARGEST_MARGIN_KPA: f64 = 100.0;
/// A runaway worth telling has the reading pinned for as long as this \[s\],
const TELLING_S: f64 = 1.0;
/// and the vanes closing by as much as this while it is \[%\].
const TELLING_PCT: f64 = 10.0;

/// One run of the demonstration.
pub struct Trial {
    /// What was run.
    pub ready: Ready,
    /// What was changed.
    pub sets: Vec<Override>,
    /// What came out.
    pub run: SingleRun,
}

/// How values are shown.
#[derive(Debug, Clone, Copy)]
pub struct Shown {
    /// Units of presentation.
    pub units: Units,
}

impl Trial {
    /// A limit of the run.
    pub fn limit(&self, name: &str) -> Option<&LimitResult> {
        self.run.result.limits.iter().find(|l| l.name == name)
    }

    /// Altitude of the run \[m\].
    pub fn altitude_m(&self) -> Option<f64> {
        self.run.samples.first()?.altitude_m
    }

    /// How far the shaft went beyond its limit \[rpm\].
    fn shaft_beyond_rpm(&self) -> f64 {
        self.limit("shaft_speed")
            .and_then(|limit| limit.headroom)
            .map_or(0.0, |headroom| -headroom)
    }

    /// How far the vanes close after the reading is first pinned \[%\].
    fn closing_pct(&self) -> f64 {
        let samples = &self.run.samples;
        let Some(begin) = samples.iter().position(|s| s.pinned) else {
            return 0.0;
        };
        let after = samples[begin..].iter().map(|s| s.vane_closed_pct);
        after.fold(0.0, f64::max) - samples[begin].vane_closed_pct
    }

    /// Whether the shaft passes its limit, and only after the reading is pinned.
    fn pinned_before_shaft(&self) -> bool {
        let pinned_s = self.run.samples.iter().find(|s| s.pinned).map(|s| s.time_s);
        let over_s = self.limit("shaft_speed").and_then(|l| l.first_exceeded_s);
        matches!((pinned_s, over_s), (Some(pinned), Some(over)) if over > pinned)
    }

    fn blind_s(&self) -> f64 {
        let protections = self.run.result.protections.iter();
        protections.map(|p| p.blind_s).sum()
    }
}

/// The runaway and the same with a clamp.
pub struct Pair {
    /// Commanded above the sensor.
    pub over: Trial,
    /// The same, clamped.
    pub clamped: Trial,
}

impl Pair {
    fn new(over: Trial, ceiling: &CeilingResult) -> Result<Self, Failure> {
        let mut clamped = clamped(&over, COMMAND_MARGIN_KPA)?;
        if clamped.run.result.verdict != Verdict::Held {
            // the sensor is not the lowest limit here: clamp at the ceiling itself
            let cells = ceiling.cells.iter();
            let lowest_kpa = cells
                .filter(|cell| cell.altitude_m == over.altitude_m())
                .filter_map(|cell| cell.ceiling_kpa_abs)
                .fold(f64::INFINITY, f64::min);
            let margin_kpa = (over.ready.readable_kpa() - lowest_kpa).ceil();
            if (COMMAND_MARGIN_KPA..=LARGEST_MARGIN_KPA).contains(&margin_kpa) {
                clamped = self::clamped(&over, margin_kpa)?;
            }
        }
        Ok(Self { over, clamped })
    }

    /// What the pair shows of cause, effect and cure.
    fn shows(&self) -> [bool; 7] {
        let result = &self.over.run.result;
        [
            result.why_stopped.kind == StopKind::Finished,
            result.sensor.pinned_s >= TELLING_S,
            self.over.shaft_beyond_rpm() > 0.0,
            self.over.closing_pct() >= TELLING_PCT,
            self.over.blind_s() > 0.0,
            self.over.pinned_before_shaft(),
            self.clamped.run.result.verdict == Verdict::Held,
        ]
    }

    fn score(&self) -> usize {
        self.shows().into_iter().filter(|shown| *shown).count()
    }
}

fn clamped(over: &Trial, margin_kpa: f64) -> Result<Trial, Failure> {
    let mut sets = over.sets.clone();
    sets.push(Override::new(
        "controller.protections.command_clamp",
        format!("{{margin: {margin_kpa} kPa}}"),
    ));
    trial(sets)
}

/// The first command above the readable ceiling that shows the whole runaway;
/// if none shows all of it, the one that shows most.
pub fn over_and_clamped(ready: &Ready, ceiling: &CeilingResult) -> Result<Pair, Failure> {
    let mut best = Pair::new(trial(Vec::new())?, ceiling)?;
    for raise in [raised_table, flat] {
        for above_kpa in ABOVE_KPA {
            let wanted_kpa = ((ready.readable_kpa() + above_kpa) / ROUND_KPA).ceil() * ROUND_KPA;
            let Some((raised, raised_kpa)) = raise(ready, wanted_kpa) else {
                continue;
            };
            let sets: Vec<Override> = [raised]
                .into_iter()
                .chain(over_boost_moved(ready, raised_kpa))
                .collect();
            for over in at_altitudes(ready, &sets)? {
                let pair = Pair::new(over, ceiling)?;
                if pair.score() > best.score() {
                    best = pair;
                }
            }
            if best.shows().into_iter().all(|shown| shown) {
                return Ok(best);
            }
        }
    }
    Ok(best)
}

/// Runs with the overrides at every altitude of the ceiling.
fn at_altitudes(ready: &Ready, sets: &[Override]) -> Result<Vec<Trial>, Failure> {
    let altitudes = &ready.loaded.scenario.ceiling.altitudes;
    if altitudes.is_empty() {
        return Ok(vec![trial(sets.to_vec())?]);
    }
    altitudes
        .iter()
        .map(|altitude| {
            let place = Override::new("ambient.altitude", format!("{} m", altitude.m()));
            trial(std::iter::once(place).chain(sets.iter().cloned()).collect())
        })
        .collect()
}

/// The scenario's own table, every value raised alike until the highest command
/// is the one wanted, and its highest value; none where the table is not
/// absolute.
fn raised_table(ready: &Ready, wanted_kpa: f64) -> Option<(Override, f64)> {
    let CommandTable::Absolute(rows) = &ready.loaded.scenario.controller.as_ref()?.command.boost
    else {
        return None;
    };
    let highest_kpa = rows.iter().flatten().map(|p| p.kpa()).fold(0.0, f64::max);
    let factor = wanted_kpa / ready.highest_command_kpa()?;
    let rows: Vec<String> = rows
        .iter()
        .map(|row| {
            let values: Vec<String> = row
                .iter()
                .map(|p| format!("{:.1} kPa abs", p.kpa() * factor))
                .collect();
            format!("[{}]", values.join(", "))
        })
        .collect();
    let set = Override::new("controller.command.boost", format!("[{}]", rows.join(", ")));
    Some((set, highest_kpa * factor))
}

/// Whoever raises a command moves an over-boost cut that would be in the way.
fn over_boost_moved(ready: &Ready, raised_kpa: f64) -> Option<Override> {
    let cut = ready.setup.rig.controller.protections.over_boost?;
    let above_kpa = (raised_kpa + CUT_ABOVE_KPA).ceil();
    (cut.above_pa * 1e-3 < above_kpa).then(|| {
        Override::new(
            "controller.protections.over_boost.above",
            format!("{above_kpa} kPa abs"),
        )
    })
}

/// One command at full load, whatever the speed.
fn flat(_: &Ready, wanted_kpa: f64) -> Option<(Override, f64)> {
    let set = Override::new(
        "controller.command.full_load",
        format!("{wanted_kpa} kPa abs"),
    );
    Some((set, wanted_kpa))
}
