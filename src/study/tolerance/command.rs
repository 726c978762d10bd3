//! The highest full-load command that keeps the probability below a level.
//!
//! The command is moved by the same pressure at every engine speed, in whole steps.
//! Every command is put to the same engines, so that a lower one is not judged better
//! or worse by luck. Scouts go ahead: the engines with least headroom, and those that
//! failed at another command. Only what they pass is put to all, and a command is given
//! up as soon as the level cannot be shown any more.
use std::collections::BTreeMap;

use rayon::prelude::*;

use super::draws::Engine;
use super::interval;
use super::trial::{End, Trial, shifted, trial};
use super::{Asked, probability};
use crate::judgement::{CommandAdvice, CommandOutcome, Limit};
use crate::scenario::Loaded;
use crate::scenario::build::Setup;
use crate::study::ceiling::follows_command;
use crate::study::progress::Progress;

/// Furthest command from the one that is written \[steps\].
const MOST_STEPS: i32 = 64;
/// How many scouts there are, and after how many engines it is looked whether to go on:
/// the same for any number of threads, so that the answer is too.
const AT_ONCE: usize = 32;
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
    /// What runs for each engine, as far as it was kept.
    pub setups: &'a [Option<Setup>],
    pub progress: &'a dyn Progress,
}

/// What a command did to the engines that were asked.
enum Answer {
    /// The level is kept; so many engines exceeded a limit, of so many it is unknown.
    Holds(u32, u32),
    /// It is not; what the first failing engine met.
    Fails(String),
}

/// Which engines are asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Asking {
    Scouts,
    All,
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
        let mut order = self.order();
        self.progress.begin(1);
        let found = highest(lowest, MOST_STEPS, &mut |steps, asking| {
            self.answer(steps, asking, allowed, &mut order)
        });
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

    /// Asks engines in their order; those that fail go to its front.
    fn answer(&self, steps: i32, asking: Asking, allowed: u32, order: &mut Vec<usize>) -> Answer {
        let (mut exceeding, mut unknown) = (0, 0);
        let mut failing: Vec<usize> = Vec::new();
        let mut first = None;
        let count = match asking {
            Asking::Scouts => AT_ONCE.min(order.len()),
            Asking::All => order.len(),
        };
        for some in order[..count].chunks(AT_ONCE) {
            let trials: Vec<Trial> = some.par_iter().map(|&at| self.one(at, steps)).collect();
            for (&at, trial) in some.iter().zip(&trials).filter(|(_, t)| t.not_held()) {
                failing.push(at);
                match trial.exceeded() {
                    true => exceeding += 1,
                    false => unknown += 1,
                }
                first.get_or_insert_with(|| self.met(trial));
            }
            if exceeding + unknown > allowed {
                order.retain(|at| !failing.contains(at));
                order.splice(0..0, failing);
                return Answer::Fails(first.unwrap_or_default());
            }
        }
        Answer::Holds(exceeding, unknown)
    }

    fn one(&self, at: usize, steps: i32) -> Trial {
        if steps == 0 {
            return self.trials[at].clone();
        }
        let shift_pa = f64::from(steps) * self.step_pa();
        match self.setups.get(at).and_then(Option::as_ref) {
            Some(setup) => shifted(setup, shift_pa),
            None => trial(self.loaded, &self.engines[at], shift_pa).0,
        }
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

/// The highest step that holds while the next one fails, searched outwards from 0, so
/// that of several windows the nearest is found. Where 0 fails, lower steps are looked
/// at first; where none of them holds either, higher ones: more air may be what lacks.
fn highest(lowest: i32, most: i32, ask: &mut dyn FnMut(i32, Asking) -> Answer) -> Found {
    let mut ends = Ends {
        holds: None,
        fails: BTreeMap::new(),
        lowest,
        most,
    };
    ends.climb(0, ask);
    if ends.holds.is_none() {
        let mut size = 1;
        while ends.holds.is_none() && size <= most {
            if ends.pass(size, ask) {
                ends.put_to_all(size, ask);
            }
            size *= 2;
        }
        if let Some((steps, ..)) = ends.holds {
            ends.climb(steps, ask);
        }
    }
    let above = ends.holds.map_or(lowest, |(steps, ..)| steps + 1);
    Found {
        holds: ends.holds,
        fails: ends.fails.remove(&above),
    }
}

/// What is known so far.
struct Ends {
    /// The highest that held with all engines.
    holds: Option<(i32, u32, u32)>,
    /// Those that failed, with scouts or with all.
    fails: BTreeMap<i32, String>,
    lowest: i32,
    most: i32,
}

impl Ends {
    /// Puts steps to all engines, first `from`, then what the scouts pass, until the
    /// scouts pass nothing higher.
    fn climb(&mut self, from: i32, ask: &mut dyn FnMut(i32, Asking) -> Answer) {
        let mut next = from;
        loop {
            if self.held() != Some(next) {
                self.put_to_all(next, ask);
            }
            match self.scouted(ask) {
                Some(steps) if self.held() != Some(steps) => next = steps,
                _ => return,
            }
        }
    }

    fn put_to_all(&mut self, steps: i32, ask: &mut dyn FnMut(i32, Asking) -> Answer) {
        match ask(steps, Asking::All) {
            Answer::Holds(exceeding, unknown) => self.holds = Some((steps, exceeding, unknown)),
            Answer::Fails(what) => {
                self.fails.insert(steps, what);
            }
        }
    }

    fn held(&self) -> Option<i32> {
        self.holds.map(|(steps, ..)| steps)
    }

    /// The highest that scouts pass below the lowest failure; none where they pass
    /// nothing. Outwards by doubling, then by halving what lies between.
    fn scouted(&mut self, ask: &mut dyn FnMut(i32, Asking) -> Answer) -> Option<i32> {
        let mut passes = self.held();
        let mut size = 1;
        while passes.is_none() || self.first_failure().is_none() {
            let next = match (passes, self.first_failure()) {
                (Some(from), _) => (from.max(0) + size).min(self.most),
                (None, Some(from)) => (from - size).max(self.lowest),
                (None, None) => 0,
            };
            let known = passes == Some(next) || self.fails.contains_key(&next);
            if known {
                break;
            }
            if self.pass(next, ask) {
                passes = Some(next);
            }
            size *= 2;
        }
        while let (Some(low), Some(high)) = (passes, self.first_failure())
            && high - low > 1
        {
            let middle = low + (high - low) / 2;
            if self.pass(middle, ask) {
                passes = Some(middle);
            }
        }
        passes
    }

    fn pass(&mut self, steps: i32, ask: &mut dyn FnMut(i32, Asking) -> Answer) -> bool {
        match ask(steps, Asking::Scouts) {
            Answer::Holds(..) => true,
            Answer::Fails(what) => {
                self.fails.insert(steps, what);
                false
            }
        }
    }

    /// The lowest failure above what held.
    fn first_failure(&self) -> Option<i32> {
        let from = self.held().unwrap_or(i32::MIN);
        self.fails.range(from..).next().map(|(&steps, _)| steps)
    }
}

/// Highest full-load command over the engine speeds, with the shift that is written
/// \[Pa abs\]; none where the vanes are held open loop or the controller does not
/// follow it.
fn full_load_pa(setup: &Setup) -> Option<f64> {
    let rig = &setup.rig;
    let command = rig.controller.command.as_ref()?;
    if rig.open_loop.is_some() {
        return None;
    }
    let full_load = &rig.controller.fuel.full_load;
    let (low, high) = full_load.range();
    if !follows_command(rig, high) {
        return None;
    }
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

    /// Answers of a command that holds up to `last`, of which the scouts only know
    /// from `blind` steps further on.
    fn up_to(last: i32, blind: i32) -> impl FnMut(i32, Asking) -> Answer {
        move |steps, asking| {
            let bound = match asking {
                Asking::All => last,
                Asking::Scouts => last + blind,
            };
            match steps <= bound {
                true => Answer::Holds(0, 0),
                false => Answer::Fails(format!("at {steps}")),
            }
        }
    }

    #[test]
    fn the_highest_that_holds_has_a_failure_one_step_above() {
        for last in [-64, -63, -7, -1, 0, 1, 5, 31, 63] {
            for blind in [0, 1, 9] {
                let found = highest(-64, 64, &mut up_to(last, blind));
                assert_eq!(found.holds, Some((last, 0, 0)), "{blind} blind");
                assert_eq!(found.fails, Some(format!("at {}", last + 1)));
            }
        }
    }

    #[test]
    fn a_search_ends_at_its_bounds() {
        let all = highest(-64, 64, &mut up_to(1000, 0));
        assert_eq!((all.holds, all.fails), (Some((64, 0, 0)), None));
        let none = highest(-10, 64, &mut up_to(-1000, 0));
        assert_eq!((none.holds, none.fails), (None, Some("at -10".to_owned())));
        let floor = highest(0, 64, &mut up_to(-1, 0));
        assert_eq!(floor.holds, None);
    }

    /// Outside a window something else fails: it must not be jumped over.
    #[test]
    fn a_window_near_the_command_is_found() {
        let mut window = |steps: i32, _: Asking| match (-9..=-5).contains(&steps) {
            true => Answer::Holds(0, 0),
            false => Answer::Fails(format!("at {steps}")),
        };
        let found = highest(-64, 64, &mut window);
        assert_eq!(found.holds, Some((-5, 0, 0)));
        // of the same window above, with nothing below: its upper end
        let mut above = |steps: i32, _: Asking| match (3..=21).contains(&steps) {
            true => Answer::Holds(0, 0),
            false => Answer::Fails(format!("at {steps}")),
        };
        let found = highest(-64, 64, &mut above);
        assert_eq!(found.holds, Some((21, 0, 0)));
        assert_eq!(found.fails, Some("at 22".to_owned()));
    }
}
