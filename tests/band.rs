//! What the stated uncertainty does to the answers.
use ringfence::judgement::{RunBand, RunResult, Verdict};
use ringfence::scenario::{self, Loaded, with_factors};
use ringfence::study::band::{
    Draw, DrawFailure, Drawing, basis, ceiling_band, draw, draws, factors, run_band,
};
use ringfence::study::ceiling::{CeilingPlan, ceiling};
use ringfence::study::progress::Silent;
use ringfence::study::single::single;
use std::path::Path;

const DEMO: &str = "scenarios/rescue-tender.yaml";
const HOLD: (&str, &str) = (
    "procedure",
    "[{hold: {engine_speed: 2000 rpm, duration: 0.1 s}}]",
);

fn load(sets: &[(&str, &str)]) -> Loaded {
    let sets: Vec<(String, String)> = sets
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    scenario::load(Path::new(DEMO), &sets, None).unwrap_or_else(|e| panic!("{e}"))
}

fn banded(loaded: &Loaded, drawing: Drawing) -> RunResult {
    let setup = with_factors(loaded, &[]).expect("the scenario builds");
    let mut result = single(&setup).expect("the run starts").result;
    let drawn = draws(loaded, drawing).expect("the draws are scenarios");
    let basis = basis(&loaded.scenario.uncertainty, drawing);
    run_band(&mut result, basis, &drawn, &Silent);
    result
}

fn band(result: &RunResult) -> &RunBand {
    result.band.as_ref().expect("a band")
}

fn drawing(draws: u32, seed: u32) -> Drawing {
    Drawing { draws, seed }
}

/// The commanded boost is the one number that a run carries through unchanged,
/// so its peak is normal with the stated mean and half the spread as standard
/// deviation. Closed form: mean ± 1.959964 σ (Abramowitz and Stegun, Handbook
/// of Mathematical Functions, table 26.5, from memory). With 128 evenly spread
/// draws a quantile is known to half a share, 1/256, which at that place is
/// 0.067 of a standard deviation.
#[test]
fn a_linear_peak_has_the_quantiles_of_the_normal_distribution() {
    let (mean_kpa, sigma_kpa) = (250.0, 250.0 * 0.04 / 2.0);
    let loaded = load(&[
        HOLD,
        ("controller.command.full_load", "250 kPa abs"),
        ("uncertainty", "{controller.command.full_load: 4 %}"),
    ]);
    let result = banded(&loaded, drawing(128, 1));
    let band = band(&result);
    let low = band.peaks_low.boost_command_kpa_abs.expect("a command");
    let high = band.peaks_high.boost_command_kpa_abs.expect("a command");
    let near = 0.067 * sigma_kpa;
    assert!(
        (low - (mean_kpa - 1.959_964 * sigma_kpa)).abs() < near,
        "{low}"
    );
    assert!(
        (high - (mean_kpa + 1.959_964 * sigma_kpa)).abs() < near,
        "{high}"
    );
}

/// Mean and variance of the factors against 1, (s/2)² for normal and s²/3 for
/// uniform spreads. Evenly spread points know a mean far better than random
/// ones: their error goes with 1/n, not with its root.
#[test]
fn factors_have_the_moments_of_their_shape() {
    let loaded = load(&[(
        "uncertainty",
        "{shaft.inertia: 10 %, intake.volume: {spread: 10 %, shape: uniform}}",
    )]);
    let count = 1024;
    for (number, variance) in [(0, 0.05 * 0.05), (1, 0.1 * 0.1 / 3.0)] {
        let off: Vec<f64> = (0..count)
            .map(|k| factors(&loaded.scenario.uncertainty, 1, k)[number].1 - 1.0)
            .collect();
        let n = f64::from(count);
        let mean = off.iter().sum::<f64>() / n;
        let square = off.iter().map(|x| x * x).sum::<f64>() / n;
        assert!(mean.abs() < 0.1 / n, "{number}: {mean}");
        assert!((square / variance - 1.0).abs() < 0.02, "{number}: {square}");
    }
    let uniform = |k| factors(&loaded.scenario.uncertainty, 1, k)[1].1;
    assert!((0..count).all(|k| (0.9..=1.1).contains(&uniform(k))));
}

#[test]
fn no_spread_is_no_band() {
    let loaded = load(&[HOLD, ("uncertainty", "{shaft.inertia: 0 %}")]);
    let result = banded(&loaded, drawing(3, 1));
    let band = band(&result);
    assert_eq!(band.peaks_low, result.peaks);
    assert_eq!(band.peaks_high, result.peaks);
    for (limit, own) in band.limits.iter().zip(&result.limits) {
        assert_eq!((limit.worst_low, limit.worst_high), (own.worst, own.worst));
        assert_eq!(
            (limit.headroom_low, limit.nominal_worst),
            (own.headroom, own.worst)
        );
    }
    assert_eq!(result.verdict, Verdict::Held);
}

/// One cell and few draws, whole and in one thread; the same by the search of
/// each draw alone: it holds at the ceiling, and what the search of the cell
/// alone gives is what the search beside the stated answer gives.
#[test]
fn a_ceiling_has_the_same_band_for_any_threads_and_by_the_whole_search() {
    let loaded = load(&[
        ("ceiling.engine_speeds", "[2000 rpm]"),
        ("ceiling.altitudes", "[2600 m]"),
    ]);
    let asked = drawing(4, 1);
    let with_threads = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("a pool");
        pool.install(|| ceiling_json(&loaded, asked))
    };
    let (one, two) = (with_threads(1), with_threads(2));
    assert_eq!(one.0, two.0);
    let each: Vec<f64> = draws(&loaded, asked)
        .expect("draws")
        .iter()
        .map(alone_kpa)
        .collect();
    let (low, high) = one.1;
    let least = each.iter().copied().fold(f64::INFINITY, f64::min);
    let most = each.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    assert_eq!((low, high), (Some(least), Some(most)));
    assert!(least < most, "{each:?}");
}

fn alone_kpa(draw: &Draw) -> f64 {
    let plan = CeilingPlan::of(&draw.scenario, &draw.setup).expect("a plan");
    let result = ceiling(&plan, &draw.setup.titles, &Silent);
    assert!(result.cells[0].feasible);
    result.cells[0].ceiling_kpa_abs.expect("a ceiling")
}

type Ends = (Option<f64>, Option<f64>);

fn ceiling_json(loaded: &Loaded, asked: Drawing) -> (String, Ends) {
    let setup = with_factors(loaded, &[]).expect("builds");
    let plan = CeilingPlan::of(&loaded.scenario, &setup).expect("a plan");
    let mut result = ceiling(&plan, &setup.titles, &Silent);
    let drawn = draws(loaded, asked).expect("draws");
    let basis = basis(&loaded.scenario.uncertainty, asked);
    ceiling_band(&mut result, &plan, basis, &drawn, &Silent).expect("ambients");
    let band = result.cells[0].band.expect("a band");
    let text = serde_json::to_string(&result).expect("a result is JSON");
    (text, (band.low_kpa_abs, band.high_kpa_abs))
}

#[test]
fn a_run_has_the_same_bytes_for_any_number_of_threads() {
    let loaded = load(&[HOLD]);
    let bytes = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("a pool");
        pool.install(|| serde_json::to_vec(&banded(&loaded, drawing(6, 3))).expect("JSON"))
    };
    assert_eq!(bytes(1), bytes(2));
}

#[test]
fn the_seed_changes_the_draws_and_their_number_does_not() {
    let spreads = &load(&[]).scenario.uncertainty;
    let some = |seed| {
        (0..8)
            .map(|k| factors(spreads, seed, k))
            .collect::<Vec<_>>()
    };
    assert_eq!(some(1), some(1));
    assert_ne!(some(1), some(2));
}

/// A draw is made again from its number, or from the overrides that it names.
#[test]
fn a_draw_is_replayed_by_its_number_and_by_its_overrides() {
    let loaded = load(&[HOLD]);
    let all = draws(&loaded, drawing(5, 7)).expect("draws");
    let again = draw(&loaded, 7, 3).expect("a draw");
    assert_eq!(all[3].changed, again.changed);
    assert_eq!(all[3].scenario, again.scenario);
    let replay = again.replay();
    let mut sets = vec![HOLD];
    sets.extend(
        replay
            .iter()
            .map(|set| set.split_once('=').expect("PATH=VALUE")),
    );
    assert_eq!(load(&sets).scenario, again.scenario);
}

#[test]
fn the_worst_draw_replays_its_figures() {
    let loaded = load(&[HOLD]);
    let result = banded(&loaded, drawing(4, 1));
    let worst = band(&result).worst_draw.clone().expect("a worst draw");
    let again = draw(&loaded, 1, worst.index).expect("a draw");
    assert_eq!(again.replay(), worst.replay);
}

/// The limit is set just above what the run as stated reaches: some draws go
/// past it, and the verdict says so.
#[test]
fn a_run_close_to_a_limit_is_held_inside_the_band() {
    let reached = single(&with_factors(&load(&[HOLD]), &[]).expect("builds"))
        .expect("starts")
        .result
        .peaks
        .shaft_speed_rpm;
    let with_room = |share: f64| {
        let limit = format!("{} rpm", reached * (1.0 + share));
        let loaded = load(&[HOLD, ("limits.shaft_speed", &limit)]);
        banded(&loaded, Drawing::default())
    };
    let close = with_room(1e-4);
    assert_eq!(close.verdict, Verdict::HeldInsideBand);
    let limit = &band(&close).limits[0];
    assert_eq!(limit.name, "shaft_speed");
    assert!(
        (20.0..80.0).contains(&limit.exceeding_pct),
        "{}",
        limit.exceeding_pct
    );
    assert!(limit.headroom_low < Some(0.0) && limit.headroom_high > Some(0.0));
    let far = with_room(0.2);
    assert_eq!(band(&far).limits[0].exceeding_pct, 0.0);
    assert_eq!(with_room(-0.01).verdict, Verdict::Exceeded);
}

/// Half of the draws of a vane stop near 100 % lie beyond it: refused before any
/// run, with the path and the factor.
#[test]
fn a_draw_out_of_range_names_path_and_factor() {
    let loaded = load(&[(
        "uncertainty",
        "{shaft.inertia: 5 %, turbine.form.two_throats.peak_efficiency: 100 %}",
    )]);
    let failure = draws(&loaded, Drawing::default()).expect_err("efficiencies above one");
    let text = failure.to_string();
    for part in ["draw ", "turbine.form.two_throats.peak_efficiency", " × "] {
        assert!(text.contains(part), "{part} in {text}");
    }
    assert!(!text.contains("shaft.inertia"), "{text}");
}

#[test]
fn a_scenario_without_spreads_has_no_draws() {
    let loaded = load(&[("uncertainty", "{}")]);
    let failure = draws(&loaded, Drawing::default()).expect_err("nothing to draw");
    assert!(matches!(failure, DrawFailure::NothingStated));
}

#[test]
fn a_path_to_no_number_is_refused() {
    let loaded = load(&[]);
    for path in ["about.title", "engine", "nonsense.path"] {
        let failure = with_factors(&loaded, &[(path.to_owned(), 1.1)]).expect_err(path);
        assert!(failure.to_string().contains(path), "{failure}");
    }
}

/// A default counts as written: what is left out can be uncertain too.
#[test]
fn a_default_can_be_uncertain() {
    let loaded = load(&[("uncertainty", "{solver.tolerance: 10 %}")]);
    let again = draw(&loaded, 1, 0).expect("a draw");
    assert_ne!(
        again.scenario.solver.tolerance,
        loaded.scenario.solver.tolerance
    );
}
