//! The band of a run.
use super::draws::Draw;
use super::{HIGH, LOW, quantile};
use crate::judgement::{BandBasis, LimitBand, Peaks, RunBand, RunResult, Verdict, WorstDraw};
use crate::study::progress::Progress;
use crate::study::single::judged;
use rayon::prelude::*;

/// Runs every draw and lays the band over a result; the verdict follows.
///
/// A run that held as stated, but with more than 2.5 % of the draws past a
/// limit or past the model's validity, was held inside the band only. The
/// peaks of a draw that was stopped are those up to there.
pub fn run_band(result: &mut RunResult, basis: BandBasis, draws: &[Draw], progress: &dyn Progress) {
    progress.begin(draws.len());
    let answers: Vec<Option<RunResult>> = draws
        .par_iter()
        .map(|draw| {
            let answer = judged(&draw.setup).ok();
            progress.advance();
            answer
        })
        .collect();
    progress.end();
    let band = band(result, basis, draws, &answers);
    let not_held = band.exceeding_pct + band.outside_validity_pct;
    if result.verdict == Verdict::Held && not_held > LOW * 100.0 {
        result.verdict = Verdict::HeldInsideBand;
    }
    result.band = Some(band);
}

fn band(
    nominal: &RunResult,
    basis: BandBasis,
    draws: &[Draw],
    answers: &[Option<RunResult>],
) -> RunBand {
    let share_pct = |count: usize| 100.0 * count as f64 / answers.len().max(1) as f64;
    let verdicts = |wanted: Verdict| {
        let verdict =
            |a: &Option<RunResult>| a.as_ref().map_or(Verdict::OutsideValidity, |r| r.verdict);
        share_pct(answers.iter().filter(|a| verdict(a) == wanted).count())
    };
    let peaks: Vec<Peaks> = answers.iter().flatten().map(|r| r.peaks).collect();
    RunBand {
        basis,
        exceeding_pct: verdicts(Verdict::Exceeded),
        outside_validity_pct: verdicts(Verdict::OutsideValidity),
        peaks_low: peaks_at(&peaks, LOW),
        peaks_high: peaks_at(&peaks, HIGH),
        limits: (0..nominal.limits.len())
            .map(|at| limit(nominal, answers, at, &share_pct))
            .collect(),
        worst_draw: worst(draws, answers),
    }
}

fn limit(
    nominal: &RunResult,
    answers: &[Option<RunResult>],
    at: usize,
    share_pct: &dyn Fn(usize) -> f64,
) -> LimitBand {
    let own = &nominal.limits[at];
    let each = || answers.iter().flatten().filter_map(|r| r.limits.get(at));
    let mut worst: Vec<f64> = each().filter_map(|l| l.worst).collect();
    let mut headroom: Vec<f64> = each().filter_map(|l| l.headroom).collect();
    LimitBand {
        name: own.name.clone(),
        unit: own.unit.clone(),
        nominal_worst: own.worst,
        worst_low: quantile::of(&mut worst, LOW),
        worst_high: quantile::of(&mut worst, HIGH),
        headroom_low: quantile::of(&mut headroom, LOW),
        headroom_high: quantile::of(&mut headroom, HIGH),
        exceeding_pct: share_pct(each().filter(|l| !l.held).count()),
    }
}

/// The draw with the least relative headroom to any limit.
fn worst(draws: &[Draw], answers: &[Option<RunResult>]) -> Option<WorstDraw> {
    draws
        .iter()
        .zip(answers)
        .filter_map(|(draw, answer)| Some((draw, answer.as_ref()?)))
        .flat_map(|(draw, answer)| answer.limits.iter().map(move |l| (draw, l)))
        .filter_map(|(draw, l)| Some((l.headroom_pct?, draw, l)))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, draw, l)| WorstDraw {
            index: draw.index,
            limit: l.name.clone(),
            replay: draw.replay(),
        })
}

fn peaks_at(peaks: &[Peaks], probability: f64) -> Peaks {
    let known = |value: fn(&Peaks) -> Option<f64>| {
        let mut values: Vec<f64> = peaks.iter().filter_map(value).collect();
        quantile::of(&mut values, probability)
    };
    let of = |value: fn(&Peaks) -> f64| {
        let mut values: Vec<f64> = peaks.iter().map(value).collect();
        quantile::of(&mut values, probability).unwrap_or_default()
    };
    Peaks {
        shaft_speed_rpm: of(|p| p.shaft_speed_rpm),
        tip_speed_m_s: of(|p| p.tip_speed_m_s),
        boost_kpa_abs: of(|p| p.boost_kpa_abs),
        boost_sensed_kpa_abs: of(|p| p.boost_sensed_kpa_abs),
        boost_command_kpa_abs: known(|p| p.boost_command_kpa_abs),
        drive_pressure_kpa_abs: of(|p| p.drive_pressure_kpa_abs),
        drive_to_boost_gauge: known(|p| p.drive_to_boost_gauge),
        vane_closed_pct: of(|p| p.vane_closed_pct),
        turbine_inlet_k: of(|p| p.turbine_inlet_k),
        compressor_outlet_k: of(|p| p.compressor_outlet_k),
        cylinder_pressure_kpa_abs: of(|p| p.cylinder_pressure_kpa_abs),
        lambda: known(|p| p.lambda),
        power_kw: of(|p| p.power_kw),
        torque_nm: of(|p| p.torque_nm),
    }
}
