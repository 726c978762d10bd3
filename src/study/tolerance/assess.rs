//! From the trials of all engines to the result.
use super::causes::explain;
use super::draws::{Engine, Input};
use super::trial::{End, Met, Trial};
use super::{Asked, high, probability};
use crate::judgement::{
    Cause, CommandAdvice, Limit, LimitTolerance, Probability, RunResult, TOOL, ToleranceResult,
    ToleranceVerdict, WorstDraw,
};
use crate::scenario::build::Setup;
use crate::study::band::quantile_of;
use crate::study::single::judged;

/// Probability of the worst value that a reader is shown besides the typical one.
const MOST_ENGINES: f64 = 0.95;

/// All draws with what they did.
pub struct Draws<'a> {
    pub setup: &'a Setup,
    pub asked: Asked,
    pub inputs: &'a [Input],
    pub engines: &'a [Engine],
    pub trials: &'a [Trial],
}

impl Draws<'_> {
    /// The result, with the advice on the command in it.
    pub fn result(&self, command: CommandAdvice) -> ToleranceResult {
        let asked = self.asked;
        let stated = judged(self.setup).ok();
        let ended = |end: End| self.count(|trial| trial.end == end && !trial.exceeded());
        let (outside_validity, not_built) = (ended(End::OutsideValidity), ended(End::NotBuilt));
        let exceeding = self.count(Trial::exceeded);
        let any_limit = probability(exceeding, outside_validity + not_built, asked);
        let titles = &self.setup.titles;
        ToleranceResult {
            tool: TOOL.to_owned(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            scenario: titles.scenario.clone(),
            data: titles.data.clone(),
            procedure: titles.procedure.clone(),
            verdict: verdict(any_limit, asked),
            draws: asked.draws,
            seed: asked.seed,
            confidence_pct: pct(asked.confidence),
            keep_below_pct: pct(asked.level),
            stated: stated.as_ref().map(|run| run.verdict),
            varied: self.inputs.iter().map(|i| i.named.clone()).collect(),
            outside_validity,
            not_built,
            any_limit,
            limits: (0..self.setup.limits().len())
                .map(|at| self.limit(at, stated.as_ref()))
                .collect(),
            command,
            worst_draw: self.worst(),
        }
    }

    fn count(&self, which: impl Fn(&Trial) -> bool) -> u32 {
        self.trials.iter().filter(|trial| which(trial)).count() as u32
    }

    fn limit(&self, at: usize, stated: Option<&RunResult>) -> LimitTolerance {
        let Limit { kind, bound } = self.setup.limits()[at];
        let exceeded = |trial: &Trial| trial.limits.get(at).is_some_and(|met| met.exceeded);
        let exceeding = self.count(exceeded);
        let unknown = self.count(|trial| trial.end != End::Finished && !exceeded(trial));
        let all = |value: fn(&Met) -> Option<f64>| -> Vec<f64> {
            let met = self.trials.iter().filter_map(|trial| trial.limits.get(at));
            met.filter_map(value).collect()
        };
        let (mut worst, mut headroom) = (all(|met| met.worst), all(|met| met.headroom));
        let lower = kind.is_lower();
        let far = if lower {
            1.0 - MOST_ENGINES
        } else {
            MOST_ENGINES
        };
        let (explained_pct, causes) = self.causes(at);
        LimitTolerance {
            name: kind.name().to_owned(),
            unit: kind.unit().to_owned(),
            limit: bound,
            lower,
            probability: probability(exceeding, unknown, self.asked),
            stated_worst: stated.and_then(|run| run.limits.get(at)?.worst),
            worst_median: quantile_of(&mut worst, 0.5),
            worst_95: quantile_of(&mut worst, far),
            headroom_median: quantile_of(&mut headroom, 0.5),
            headroom_95: quantile_of(&mut headroom, 1.0 - MOST_ENGINES),
            explained_pct,
            causes,
        }
    }

    /// The causes of the spread of one headroom, over the runs that came to their end:
    /// what a run that was stopped did to a limit is not comparable.
    fn causes(&self, at: usize) -> (Option<f64>, Vec<Cause>) {
        let seen: Vec<(usize, f64)> = self
            .trials
            .iter()
            .enumerate()
            .filter(|(_, trial)| trial.end == End::Finished)
            .filter_map(|(draw, trial)| Some((draw, trial.limits.get(at)?.headroom?)))
            .collect();
        let headroom: Vec<f64> = seen.iter().map(|&(_, headroom)| headroom).collect();
        let columns: Vec<Vec<f64>> = (0..self.inputs.len())
            .map(|input| {
                let deviation = |&(draw, _): &(usize, f64)| self.engines[draw].deviations[input];
                seen.iter().map(deviation).collect()
            })
            .collect();
        let Some(found) = explain(&columns, &headroom) else {
            return (None, Vec::new());
        };
        let shares = found.shares();
        let mut causes: Vec<Cause> = self
            .inputs
            .iter()
            .zip(found.coefficients.iter().zip(shares))
            .map(|(input, (&rank_coefficient, share))| Cause {
                path: input.named.path.clone(),
                section: input.named.section.clone(),
                share_pct: 100.0 * share,
                rank_coefficient,
            })
            .collect();
        causes.sort_by(|a, b| b.share_pct.total_cmp(&a.share_pct));
        (Some(100.0 * found.explained), causes)
    }

    /// The draw with the least relative headroom to any limit.
    fn worst(&self) -> Option<WorstDraw> {
        let each = self.engines.iter().zip(self.trials);
        let limits = self.setup.limits();
        each.flat_map(|(engine, trial)| {
            let met = trial.limits.iter().zip(limits);
            met.filter_map(move |(met, limit)| Some((met.headroom_pct?, engine, limit)))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, engine, limit)| WorstDraw {
            index: engine.index,
            limit: limit.kind.name().to_owned(),
            replay: engine
                .values
                .iter()
                .map(|(path, value)| format!("{path}={value}"))
                .collect(),
        })
    }
}

/// A share in per cent, free of rounding crumbs.
fn pct(share: f64) -> f64 {
    (share * 1e11).round() / 1e9
}

/// What the interval says about the level.
fn verdict(any: Probability, asked: Asked) -> ToleranceVerdict {
    let level_pct = 100.0 * asked.level;
    if any.high_pct <= level_pct {
        ToleranceVerdict::KeptBelow
    } else if any.low_pct > level_pct {
        ToleranceVerdict::Above
    } else if high(any.exceeding, asked.draws, asked.confidence) <= asked.level {
        ToleranceVerdict::OutsideValidity
    } else {
        ToleranceVerdict::Undecided
    }
}
