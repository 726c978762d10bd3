//! Probabilities that are known beforehand.
use super::stand::{AT_REST, limit, load, run, study, worst};
use ringfence::judgement::{Probability, ToleranceVerdict};
use ringfence::scenario::build::Setup;
use ringfence::study::progress::Silent;
use ringfence::study::tolerance::{Asked, tolerance};
use statrs::function::erf::erfc;

/// Vanes held: nothing is commanded, and no command is searched.
const HELD: (&str, &str) = ("open_loop", "{vanes: {closed: 30 %}}");
const WHEEL: &str = "compressor.wheel_diameter";
/// Written diameter \[mm\] and its production spread, two standard deviations \[mm\].
const DIAMETER_MM: f64 = 66.0;
const SPREAD_MM: f64 = 0.5;

/// Share of the normal distribution above z (erfc of the statrs crate, which the test
/// below holds against a handbook's table).
fn above(z: f64) -> f64 {
    0.5 * erfc(z / std::f64::consts::SQRT_2)
}

/// Abramowitz and Stegun, Handbook of Mathematical Functions, table 26.1 (from memory).
#[test]
fn the_normal_distribution_is_that_of_the_handbook() {
    for (z, share) in [(1.0, 0.158_655), (2.0, 0.022_750), (3.0, 0.001_350)] {
        assert!((above(z) - share).abs() < 6e-7, "{z}");
    }
}

/// Tip speed at rest for a diameter \[m/s\].
fn tip_speed(diameter_mm: f64) -> f64 {
    let diameter = format!("{diameter_mm} mm");
    worst(&run(&[AT_REST, HELD, (WHEEL, &diameter)]), "tip_speed")
}

/// A limit that the mean engine keeps by z standard deviations, and the spread.
fn with_room(z: f64) -> Vec<(&'static str, String)> {
    let bound = tip_speed(DIAMETER_MM + z * SPREAD_MM / 2.0);
    vec![
        (AT_REST.0, AT_REST.1.to_owned()),
        (HELD.0, HELD.1.to_owned()),
        ("limits", format!("{{tip_speed: {bound} m/s}}")),
        ("production", format!("{{{WHEEL}: {SPREAD_MM} mm}}")),
    ]
}

fn probability(z: f64, asked: Asked) -> Probability {
    let sets = with_room(z);
    let sets: Vec<(&str, &str)> = sets.iter().map(|(p, v)| (*p, v.as_str())).collect();
    let answer = study(&sets, asked);
    let own = limit(&answer, "tip_speed").probability;
    assert_eq!(own, answer.result.any_limit, "there is no other limit");
    own
}

/// Tip speed is diameter times shaft speed, which does not know the diameter: straight
/// by finite differences, to the rounding of a difference of equilibria.
#[test]
fn tip_speed_is_linear_in_the_diameter() {
    let middle = tip_speed(DIAMETER_MM);
    let (low, high) = (tip_speed(DIAMETER_MM - 1.0), tip_speed(DIAMETER_MM + 1.0));
    let slope = middle / DIAMETER_MM;
    assert!(
        ((high - middle) / slope - 1.0).abs() < 1e-6,
        "{low} {middle} {high}"
    );
    assert!(
        ((middle - low) / slope - 1.0).abs() < 1e-6,
        "{low} {middle} {high}"
    );
}

/// One normal cause, one linear limit: the share past it is 1 − Φ(z).
#[test]
fn the_known_probability_lies_inside_the_interval() {
    let asked = Asked::default();
    for z in [0.5, 1.6] {
        let found = probability(z, asked);
        let true_pct = 100.0 * above(z);
        assert!(
            (found.low_pct..=found.high_pct).contains(&true_pct),
            "{true_pct} at {z}: {found:?}"
        );
        assert_eq!(found.unknown, 0);
        // no wider than four standard errors and a draw on each side
        let error_pct = 100.0 * (above(z) * (1.0 - above(z)) / 400.0).sqrt();
        assert!(
            found.high_pct - found.low_pct < 4.0 * error_pct + 0.5,
            "{found:?}"
        );
    }
}

/// An exact interval of 95 % misses at most once in twenty on average; of 20 seeds four
/// misses or more have a probability of 1.6 %. An interval of half the width would miss
/// six times in twenty.
#[test]
fn the_interval_covers_as_often_as_it_says() {
    let true_pct = 100.0 * above(1.2);
    let covers = |seed: &u32| {
        let asked = Asked {
            draws: 100,
            seed: *seed,
            ..Asked::default()
        };
        let found = probability(1.2, asked);
        (found.low_pct..=found.high_pct).contains(&true_pct)
    };
    let covered = (1..=20).filter(covers).count();
    assert!(covered >= 17, "{covered} of 20");
}

/// Evenly between two ends, and a limit a quarter of the way in: an eighth is past it.
/// Cut at that place, nothing is.
#[test]
fn a_uniform_spread_and_a_cut_one_are_known_too() {
    let bound = tip_speed(DIAMETER_MM + 0.75 * SPREAD_MM);
    let limits = format!("{{tip_speed: {bound} m/s}}");
    let found = |spread: &str| {
        let production = format!("{{{WHEEL}: {{spread: {SPREAD_MM} mm, {spread}}}}}");
        let sets = [
            AT_REST,
            HELD,
            ("limits", limits.as_str()),
            ("production", &production),
        ];
        study(&sets, Asked::default()).result.any_limit
    };
    let uniform = found("shape: uniform");
    assert!(
        (uniform.low_pct..=uniform.high_pct).contains(&12.5),
        "{uniform:?}"
    );
    assert!(uniform.exceeding > 0);
    assert_eq!(found("within: 0.37 mm").exceeding, 0);
}

/// The verdict follows from where the interval lies.
#[test]
fn the_verdict_says_where_the_level_lies() {
    let verdict = |z: f64, level: f64| {
        let asked = Asked {
            draws: 100,
            level,
            ..Asked::default()
        };
        let sets = with_room(z);
        let sets: Vec<(&str, &str)> = sets.iter().map(|(p, v)| (*p, v.as_str())).collect();
        study(&sets, asked).result.verdict
    };
    assert_eq!(verdict(6.0, 0.05), ToleranceVerdict::KeptBelow);
    assert_eq!(verdict(0.0, 0.01), ToleranceVerdict::Above);
    assert_eq!(verdict(0.0, 0.5), ToleranceVerdict::Undecided);
    assert_eq!(verdict(1.0, 0.4), ToleranceVerdict::KeptBelow);
}

/// A value of which every second one is no scenario: these count in the high end, as if
/// they had failed, and in no other figure.
#[test]
fn what_cannot_be_built_counts_as_failed_in_the_high_end_only() {
    let sets = [
        AT_REST,
        HELD,
        ("sensors.boost.clamp.high", "4.95 V"),
        ("production", "{sensors.boost.clamp.high: 0.1 V}"),
    ];
    let answer = study(&sets, Asked::default());
    let found = &answer.result;
    // beyond the supply of 5 V lies what is one standard deviation high: 16 %
    let pct = 100.0 * f64::from(found.not_built) / 400.0;
    assert!((11.0..22.0).contains(&pct), "{pct}");
    assert_eq!(found.any_limit.exceeding, 0);
    assert_eq!(found.any_limit.unknown, found.not_built);
    assert!(found.any_limit.high_pct > pct && found.any_limit.low_pct == 0.0);
    assert_eq!(found.verdict, ToleranceVerdict::OutsideValidity);
}

/// What is not known of the model is drawn on request, and beside production.
#[test]
fn uncertainty_is_drawn_on_request() {
    let sets = [
        AT_REST,
        HELD,
        ("limits", "{tip_speed: 520 m/s}"),
        ("production", "{shaft.inertia: 5 %}"),
        ("uncertainty", "{compressor.wheel_diameter: 4 %}"),
    ];
    let asked = |with_uncertainty| Asked {
        with_uncertainty,
        ..Asked::default()
    };
    let spread = |with| {
        let answer = study(&sets, asked(with));
        let limit = limit(&answer, "tip_speed");
        limit.worst_95.unwrap() - limit.worst_median.unwrap()
    };
    assert!(spread(false) < 1e-6);
    // 1.645 of 2 % of the tip speed
    let expected = 1.645 * 0.02 * tip_speed(DIAMETER_MM);
    assert!(
        (spread(true) / expected - 1.0).abs() < 0.25,
        "{} {expected}",
        spread(true)
    );
    let section = |with| {
        study(&sets, asked(with))
            .result
            .varied
            .last()
            .unwrap()
            .section
            .clone()
    };
    assert_eq!(
        (section(false), section(true)),
        ("production".into(), "uncertainty".into())
    );
}

#[test]
fn any_number_of_threads_gives_the_same_bytes_and_another_seed_others() {
    let loaded = load(&[AT_REST]);
    let setup = Setup::new(&loaded.scenario).expect("builds");
    let bytes = |threads: usize, seed: u32| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("a pool");
        let asked = Asked {
            draws: 40,
            seed,
            level: 0.2,
            ..Asked::default()
        };
        pool.install(|| {
            let answer = tolerance(&loaded, &setup, asked, &Silent, &Silent).expect("spreads");
            let mut result = answer.result;
            // the seed itself is printed too
            result.seed = 0;
            serde_json::to_vec(&result).expect("JSON")
        })
    };
    let one = bytes(1, 1);
    assert_eq!(one, bytes(2, 1));
    assert_ne!(one, bytes(2, 2));
}

/// No engine has less relative headroom to any limit than the one that is named.
#[test]
fn the_worst_draw_is_the_worst() {
    let asked = Asked {
        draws: 30,
        ..Asked::default()
    };
    let answer = study(&[AT_REST], asked);
    let least: Vec<f64> = answer
        .trials
        .iter()
        .map(|trial| trial.least_headroom_pct())
        .collect();
    let worst = answer.result.worst_draw.expect("a worst draw");
    let own = least[worst.index as usize];
    assert!(least.iter().all(|&other| own <= other), "{own} {least:?}");
    assert!(least.iter().any(|&other| own < other));
}
