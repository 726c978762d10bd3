//! The highest full-load command that keeps the probability below a level.
//!
//! The command is moved by the same pressure at every engine speed, in whole steps.
//! Every command is put to the same engines, so that a lower one is not judged better
//! or worse by luck. A command is given up as soon as the level cannot be shown any
//! more; the engines that had least headroom as written are asked first.
use rayon::prelude::*;

use super::draws::Engine;
use super::interval;
use super::trial::{End, Trial, trial};
use super::{Asked, probability};
use crate::judgement::{CommandAdvice, CommandOutcome, Limit};
use crate::scenario::Loaded;
use crate::scenario::build::Setup;
use crate::study::progress::Progress;

/// Furthest command from the one that is written \[steps\].
const MOST_STEPS: i32 = 64;
/// Engines that are asked before looking whether it is worth going on: the same for
/// any number of threads, so that the answer is too.
const AT_ONCE: usize = 32;
/// Most commands that a search asks for: the one that is written, 7 by doubling, 6 by
/// halving.
const MOST_COMMANDS: usize = 14;
/// Points at which the full-load command is looked up along the engine speed.
const SPEEDS: usize = 200;

/// The search.
pub struct Search<'a> {
    pub loaded: &'a Loaded,
    pub setup: &'a Setup,
    pub asked: Asked,
    pub engines: &'a [Engine],
    /// What each engine did with the command as written.
    pub trials: &'a [Trial],
    pub progress: &'a dyn Progress,
}

/// What a command did to the engines.
enum Answer {
    /// The level is kept; so many engines exceeded a limit, of so many it is unknown.
    Holds(u32, u32),
    /// It is not; what the first failing engine met.
    Fails(String),
}

impl Search<'_> {
    /// Searches the command.
    pub fn advice(&self) -> CommandAdvice {
        let Asked {
            confidence, level, ..
        } = self.asked;
        let stated_pa = full_load_pa(self.setup);
        let mut advice = CommandAdvice {
            outcome: CommandOutcome::NoCommand,
            step_kpa: self.step_pa() * 1e-3,
            draws_needed: interval::draws_needed(confidence, level),
            shift_kpa: None,
            stated_kpa_abs: stated_pa.map(|pa| pa * 1e-3),
            command_kpa_abs: None,
            any_limit: None,
            fails_above: None,
            replay: Vec::new(),
        };
        let Some(stated_pa) = stated_pa else {
            return advice;
        };
        let allowed = interval::most_allowed(self.asked.draws, confidence, level);
        let Some(allowed) = allowed else {
            advice.outcome = CommandOutcome::TooFewDraws;
            return advice;
        };
        // a command below the ambient asks the compressor for nothing
        let ambient_pa = self.setup.rig.plant.ambient.pressure_pa;
        let fewest = ((ambient_pa - stated_pa) / self.step_pa()).ceil() as i32;
        let lowest = fewest.clamp(-MOST_STEPS, 0);
        let answer = |steps| self.answer(steps, allowed);
        self.progress.begin(MOST_COMMANDS);
        let found = highest(lowest, MOST_STEPS, &answer);
        self.progress.end();
        self.fill(&mut advice, found, stated_pa);
        advice
    }

    fn fill(&self, advice: &mut CommandAdvice, found: Found, stated_pa: f64) {
        advice.outcome = match (found.holds, found.fails.is_some()) {
            (Some(_), true) => CommandOutcome::Found,
            (Some(_), false) => CommandOutcome::HoldsThroughout,
            (None, _) => CommandOutcome::NoneHolds,
        };
        advice.fails_above = found.fails;
        if let Some((steps, exceeding, unknown)) = found.holds {
            let shift_kpa = f64::from(steps) * advice.step_kpa;
            advice.shift_kpa = Some(shift_kpa);
            advice.command_kpa_abs = Some(stated_pa * 1e-3 + shift_kpa);
            advice.any_limit = Some(probability(exceeding, unknown, self.asked));
            let command = &self.setup.rig.controller.command;
            let own_kpa = command.as_ref().map_or(0.0, |c| c.full_load_shift_pa) * 1e-3;
            // a millipascal is free of rounding crumbs and far below any step
            let kpa = ((own_kpa + shift_kpa) * 1e6).round() / 1e6;
            advice.replay = vec![format!("controller.command.full_load_shift={kpa} kPa")];
        }
    }

    fn step_pa(&self) -> f64 {
        self.loaded.scenario.ceiling.step.pa()
    }

    fn answer(&self, steps: i32, allowed: u32) -> Answer {
        self.progress.advance();
        let (mut exceeding, mut unknown) = (0, 0);
        let mut first = None;
        for some in self.order().chunks(AT_ONCE) {
            let trials: Vec<Trial> = some
                .par_iter()
                .map(|&at| match steps {
                    0 => self.trials[at].clone(),
                    _ => {
                        let shift_pa = f64::from(steps) * self.step_pa();
                        trial(self.loaded, &self.engines[at], shift_pa)
                    }
                })
                .collect();
            for trial in trials.iter().filter(|trial| trial.not_held()) {
                if trial.exceeded() {
                    exceeding += 1;
                } else {
                    unknown += 1;
                }
                first.get_or_insert_with(|| self.met(trial));
            }
            if exceeding + unknown > allowed {
                return Answer::Fails(first.unwrap_or_default());
            }
        }
        Answer::Holds(exceeding, unknown)
    }

    /// The engines, least headroom first.
    fn order(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.engines.len()).collect();
        order.sort_by(|&a, &b| {
            let least = |at: usize| self.trials[at].least_headroom_pct();
            least(a).total_cmp(&least(b))
        });
        order
    }

    /// What a failing engine met: the limit that it went furthest past.
    fn met(&self, trial: &Trial) -> String {
        let past = trial.limits.iter().zip(self.setup.limits());
        past.filter(|(met, _)| met.exceeded)
            .min_by(|(a, _), (b, _)| {
                let left = |pct: Option<f64>| pct.unwrap_or(0.0);
                left(a.headroom_pct).total_cmp(&left(b.headroom_pct))
            })
            .map_or_else(
                || match trial.end {
                    End::NotBuilt => "not_built".to_owned(),
                    _ => "outside_validity".to_owned(),
                },
                |(_, limit): (_, &Limit)| limit.kind.name().to_owned(),
            )
    }
}

/// What the search found: the highest that holds with its counts, and what fails one
/// step above it.
struct Found {
    holds: Option<(i32, u32, u32)>,
    fails: Option<String>,
}

/// The highest step that holds while the next one fails: outwards from 0 by doubling,
/// then by halving what lies between.
fn highest(lowest: i32, most: i32, answer: &dyn Fn(i32) -> Answer) -> Found {
    let mut found = Found {
        holds: None,
        fails: None,
    };
    let mut ends: (Option<i32>, Option<i32>) = (None, None);
    let mut ask = |steps: i32, ends: &mut (Option<i32>, Option<i32>)| match answer(steps) {
        Answer::Holds(exceeding, unknown) => {
            found.holds = Some((steps, exceeding, unknown));
            ends.0 = Some(steps);
            true
        }
        Answer::Fails(what) => {
            found.fails = Some(what);
            ends.1 = Some(steps);
            false
        }
    };
    let up = ask(0, &mut ends);
    let last = if up { most } else { lowest };
    let mut size = 1;
    while ends.0.is_none() || ends.1.is_none() {
        let next = if up { size.min(last) } else { (-size).max(last) };
        if ask(next, &mut ends) != up || next == last {
            break;
        }
        size *= 2;
    }
    while let (Some(holds), Some(fails)) = ends
        && fails - holds > 1
    {
        ask(holds + (fails - holds) / 2, &mut ends);
    }
    found
}

/// Highest full-load command over the engine speeds, with the shift that is written
/// \[Pa abs\]; none where the vanes are held open loop.
fn full_load_pa(setup: &Setup) -> Option<f64> {
    let rig = &setup.rig;
    let command = rig.controller.command.as_ref()?;
    if rig.open_loop.is_some() {
        return None;
    }
    let full_load = &rig.controller.fuel.full_load;
    let (low, high) = full_load.range();
    let at = |step: usize| {
        let speed_rad_s = low + (high - low) * step as f64 / SPEEDS as f64;
        let full_kg = full_load.at(speed_rad_s);
        let ambient_pa = rig.plant.ambient.pressure_pa;
        command.wanted_pa(speed_rad_s, full_kg, full_kg, ambient_pa)
    };
    Some((0..=SPEEDS).map(at).fold(f64::NEG_INFINITY, f64::max))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn up_to(last: i32) -> impl Fn(i32) -> Answer {
        move |steps| match steps <= last {
            true => Answer::Holds(0, 0),
            false => Answer::Fails(format!("at {steps}")),
        }
    }

    #[test]
    fn the_highest_that_holds_has_a_failure_one_step_above() {
        for last in [-64, -63, -7, -1, 0, 1, 5, 31, 63] {
            let found = highest(-64, 64, &up_to(last));
            assert_eq!(found.holds, Some((last, 0, 0)));
            assert_eq!(found.fails, Some(format!("at {}", last + 1)));
        }
    }

    #[test]
    fn a_search_ends_at_its_bounds() {
        let all = highest(-64, 64, &up_to(1000));
        assert_eq!((all.holds, all.fails), (Some((64, 0, 0)), None));
        let none = highest(-10, 64, &up_to(-1000));
        assert_eq!((none.holds, none.fails), (None, Some("at -10".to_owned())));
        let floor = highest(0, 64, &up_to(-1));
        assert_eq!(floor.holds, None);
    }
}
