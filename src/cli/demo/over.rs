//! Finds the command that shows the runaway, and the clamp that stops it.
use super::super::args::Override;
use super::super::failure::Failure;
use super::super::load::Ready;
use super::trial;
use crate::judgement::{CeilingResult, LimitResult, StopKind, Verdict};
use crate::report::table::Paint;
use crate::report::{COMMAND_MARGIN_KPA, Units};
use crate::scenario::CommandTable;
use crate::study::single::SingleRun;

/// How far above the readable ceiling the command is set, at least \[kPa\]; the
/// first that shows the runaway is taken.
const ABOVE_KPA: [f64; 5] = [10.0, 15.0, 20.0, 30.0, 40.0];
/// Commands are set to multiples of this, as a person would \[kPa\].
const ROUND_KPA: f64 = 5.0;
/// The over-boost cut is moved this far above the raised command \[kPa\].
const CUT_ABOVE_KPA: f64 = 5.0;
/// A clamp further below the readable ceiling is a new table, not a clamp \[kPa\].
const LARGEST_MARGIN_KPA: f64 = 100.0;
/// A runaway worth telling has the reading pinned for as long as this \[s\].
const TELLING_S: f64 = 1.0;

/// One run of the demonstration.
pub struct Trial {
    /// What was run.
    pub ready: Ready,
    /// What was changed.
    pub sets: Vec<Override>,
    /// What came out.
    pub run: SingleRun,
}

/// How text is shown.
#[derive(Debug, Clone, Copy)]
pub struct Shown {
    /// Units of presentation.
    pub units: Units,
    /// Widest line.
    pub width: usize,
    /// Whether there is colour.
    pub colour: bool,
}

impl Shown {
    /// A piece of painted text.
    pub fn paint(&self, paint: Paint, text: &str) -> String {
        paint.apply(text, self.colour)
    }
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

    /// Whether the run shows cause and effect from beginning to end.
    fn shows_the_runaway(&self) -> bool {
        let result = &self.run.result;
        result.why_stopped.kind == StopKind::Finished
            && result.sensor.pinned_s >= TELLING_S
            && self.shaft_beyond_rpm() > 0.0
            && result.verdict == Verdict::Exceeded
    }
}

/// The runaway and the same with a clamp.
pub fn over_and_clamped(ready: &Ready, ceiling: &CeilingResult) -> Result<(Trial, Trial), Failure> {
    let over = over_commanded(ready)?;
    let readable_kpa = readable_kpa(ready);
    let mut clamped = clamped(&over, COMMAND_MARGIN_KPA)?;
    if clamped.run.result.verdict != Verdict::Held {
        // the sensor is not the lowest limit here: clamp at the ceiling itself
        let lowest_kpa = ceiling
            .cells
            .iter()
            .filter(|cell| cell.altitude_m == over.altitude_m())
            .filter_map(|cell| cell.ceiling_kpa_abs)
            .fold(f64::INFINITY, f64::min);
        let margin_kpa = (readable_kpa - lowest_kpa).ceil();
        if (COMMAND_MARGIN_KPA..=LARGEST_MARGIN_KPA).contains(&margin_kpa) {
            clamped = self::clamped(&over, margin_kpa)?;
        }
    }
    Ok((over, clamped))
}

fn clamped(over: &Trial, margin_kpa: f64) -> Result<Trial, Failure> {
    let mut sets = over.sets.clone();
    sets.push(Override::new(
        "controller.protections.command_clamp",
        format!("{{margin: {margin_kpa} kPa}}"),
    ));
    trial(sets)
}

fn readable_kpa(ready: &Ready) -> f64 {
    ready.setup.rig.sensors.boost.chain.readable_ceiling_pa() * 1e-3
}

/// The first command above the readable ceiling that shows the runaway, at the
/// altitude where the shaft suffers most; if none does, the one that pins the
/// reading longest.
fn over_commanded(ready: &Ready) -> Result<Trial, Failure> {
    let mut fallback: Option<Trial> = None;
    for raise in [raised_table, flat] {
        for above_kpa in ABOVE_KPA {
            let wanted_kpa = ((readable_kpa(ready) + above_kpa) / ROUND_KPA).ceil() * ROUND_KPA;
            let Some(raised) = raise(ready, wanted_kpa) else {
                continue;
            };
            let sets: Vec<Override> = raised
                .into_iter()
                .chain(over_boost_moved(ready, wanted_kpa))
                .collect();
            let (showing, other): (Vec<Trial>, Vec<Trial>) = at_altitudes(ready, &sets)?
                .into_iter()
                .partition(Trial::shows_the_runaway);
            if let Some(best) = most(showing, Trial::shaft_beyond_rpm) {
                return Ok(best);
            }
            fallback = most(fallback.into_iter().chain(other).collect(), |t| {
                t.run.result.sensor.pinned_s
            });
        }
    }
    fallback.map_or_else(|| trial(Vec::new()), Ok)
}

fn most(trials: Vec<Trial>, value: fn(&Trial) -> f64) -> Option<Trial> {
    trials.into_iter().reduce(|best, next| {
        if value(&next) > value(&best) {
            next
        } else {
            best
        }
    })
}

/// Runs with the overrides at every altitude of the ceiling.
fn at_altitudes(ready: &Ready, sets: &[Override]) -> Result<Vec<Trial>, Failure> {
    let altitudes = &ready.scenario.ceiling.altitudes;
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

/// The scenario's own table, every value raised alike until the highest is the
/// one wanted; none where the table is not absolute.
fn raised_table(ready: &Ready, wanted_kpa: f64) -> Option<Vec<Override>> {
    let CommandTable::Absolute(rows) = &ready.scenario.controller.as_ref()?.command.boost else {
        return None;
    };
    let highest_kpa = rows.iter().flatten().map(|p| p.kpa()).fold(0.0, f64::max);
    let factor = wanted_kpa / highest_kpa;
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
    Some(vec![Override::new(
        "controller.command.boost",
        format!("[{}]", rows.join(", ")),
    )])
}

/// Whoever raises a command moves an over-boost cut that would be in the way.
fn over_boost_moved(ready: &Ready, wanted_kpa: f64) -> Option<Override> {
    let cut = ready.setup.rig.controller.protections.over_boost?;
    let above_kpa = wanted_kpa + CUT_ABOVE_KPA;
    (cut.above_pa * 1e-3 < above_kpa).then(|| {
        Override::new(
            "controller.protections.over_boost.above",
            format!("{above_kpa} kPa abs"),
        )
    })
}

/// One command at full load, whatever the speed.
fn flat(_: &Ready, wanted_kpa: f64) -> Option<Vec<Override>> {
    Some(vec![Override::new(
        "controller.command.full_load",
        format!("{wanted_kpa} kPa abs"),
    )])
}
