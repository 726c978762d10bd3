//! The solver crate on the test problems of the literature, `i_ode.csv`: Hairer,
//! Nørsett & Wanner, Solving Ordinary Differential Equations I (2nd ed., p. 129) and II
//! (p. 144), end values of the Test Set for IVP Solvers 2.4 and of CVODE.
//!
//! The project integrates with `Dopri5` and the settings below. It is an explicit
//! method: what is stiff costs it steps in proportion to the fastest rate, and no
//! accuracy. So Robertson's reaction to 40 s and the stiff oscillator of van der Pol to 2
//! are answered (some ten thousand and some million steps), and Robertson's to 1e11 s,
//! which would take some 1e14, is not. A plant is not stiff in this sense: its fastest
//! rate, that of the exhaust volume, is some hundred per second against ticks of 10 ms.
use ode_solvers::dop_shared::{OutputType, Stats};
use ode_solvers::{Dop853, Dopri5, SVector, System};
use std::collections::BTreeMap;

#[path = "common/proof.rs"]
mod proof;

type State<const N: usize> = SVector<f64, N>;
type Row = BTreeMap<String, String>;

/// As in `src/simulation/integrator.rs`; the stiffness test is off there too.
const SAFETY: f64 = 0.9;
const BETA: f64 = 0.04;
const SHRINK: f64 = 0.2;
const GROW: f64 = 10.0;
const NO_STIFFNESS_TEST: u32 = u32::MAX;
const MOST_STEPS: u32 = 50_000_000;

/// What is copied here is still what the program uses.
#[test]
fn the_settings_are_those_of_the_program() {
    let source = include_str!("../src/simulation/integrator.rs");
    for (name, value) in [
        ("SAFETY", SAFETY),
        ("BETA", BETA),
        ("SHRINK", SHRINK),
        ("GROW", GROW),
    ] {
        let line = format!("const {name}: f64 = {value:?};");
        assert!(source.contains(&line), "{line}");
    }
    assert!(source.contains("const NO_STIFFNESS_TEST: u32 = u32::MAX;"));
}

/// A system given by its rates.
#[derive(Clone, Copy)]
struct Rates<const N: usize>(fn(&State<N>) -> State<N>);

impl<const N: usize> System<f64, State<N>> for Rates<N> {
    fn system(&self, _: f64, y: &State<N>, dy: &mut State<N>) {
        *dy = (self.0)(y);
    }
}

/// Robertson's reaction.
fn robertson(y: &State<3>) -> State<3> {
    let (slow, fast) = (0.04 * y[0], 3e7 * y[1] * y[1]);
    let back = 1e4 * y[1] * y[2];
    State::<3>::new(-slow + back, slow - back - fast, fast)
}

/// Van der Pol's oscillator, as stiff as the test set has it.
fn van_der_pol(y: &State<2>) -> State<2> {
    State::<2>::new(y[1], ((1.0 - y[0] * y[0]) * y[1] - y[0]) / 1e-6)
}

/// Arenstorf's orbit: a body between earth and moon, in their turning frame.
fn arenstorf(y: &State<4>) -> State<4> {
    const MOON: f64 = 0.012_277_471;
    const EARTH: f64 = 1.0 - MOON;
    let (a, b) = (y[0], y[1]);
    let to_earth = ((a + MOON).powi(2) + b * b).powf(1.5);
    let to_moon = ((a - EARTH).powi(2) + b * b).powf(1.5);
    let pull = |d: f64, e: f64| EARTH * d / to_earth + MOON * e / to_moon;
    State::<4>::new(
        y[2],
        y[3],
        a + 2.0 * y[3] - pull(a + MOON, a - EARTH),
        b - 2.0 * y[2] - pull(b, b),
    )
}

fn dopri5<const N: usize>(
    rates: fn(&State<N>) -> State<N>,
    start: State<N>,
    end: f64,
    relative: f64,
    absolute: f64,
) -> (State<N>, Stats) {
    let mut solver = Dopri5::from_param(
        Rates(rates),
        0.0,
        end,
        end,
        start,
        relative,
        absolute,
        SAFETY,
        BETA,
        SHRINK,
        GROW,
        end,
        0.0,
        MOST_STEPS,
        NO_STIFFNESS_TEST,
        OutputType::Sparse,
    );
    let stats = solver.integrate().expect("it reaches the end");
    (*solver.y_out().last().expect("an end"), stats)
}

fn rows(problem: &str, end: &str) -> Vec<Row> {
    let path = format!(
        "{}/tests/data/reference/i_ode.csv",
        env!("CARGO_MANIFEST_DIR")
    );
    let found: Vec<Row> = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .expect("the table is there")
        .deserialize()
        .map(|row: Result<Row, _>| row.expect("a row"))
        .filter(|row| row["problem"].starts_with(problem) && row["t_end"] == end)
        .collect();
    assert!(!found.is_empty(), "{problem} to {end}");
    found
}

/// Compares an end with the figures that were published, or computed where none were.
fn compare<const N: usize>(mut proof: proof::Row, rows: &[Row], end: &State<N>, scale: &State<N>) {
    assert_eq!(rows.len(), N);
    for (i, row) in rows.iter().enumerate() {
        let column = ["published", "computed"]
            .into_iter()
            .find(|c| !row[*c].is_empty());
        let expected: f64 = row[column.expect("a figure")].parse().expect("a number");
        proof.see((end[i] - expected).abs() / scale[i], row);
    }
    proof.done();
}

fn arenstorf_start() -> State<4> {
    State::<4>::new(0.994, 0.0, 0.0, -2.001_585_106_379_082_5)
}

const PERIOD: f64 = 17.065_216_560_157_963;

/// One period of Arenstorf's orbit returns to its start. Near the moon errors are
/// multiplied by some ten thousand; the program's method at 1e-11.
#[test]
fn arenstorf_orbit_closes() {
    let rows = rows("Arenstorf", "17.0652165602");
    let (end, _) = dopri5(arenstorf, arenstorf_start(), PERIOD, 1e-11, 1e-11);
    compare(
        proof::row("ode-arenstorf"),
        &rows,
        &end,
        &State::<4>::repeat(1.0),
    );
}

/// The same with the crate's method of order eight and the settings that the crate gives
/// it. Its dense output is not used: a step that spans the whole of it gave a wrong end.
#[test]
fn arenstorf_orbit_closes_at_order_eight() {
    let rows = rows("Arenstorf", "17.0652165602");
    let mut solver = Dop853::from_param(
        Rates(arenstorf),
        0.0,
        PERIOD,
        PERIOD,
        arenstorf_start(),
        1e-13,
        1e-13,
        SAFETY,
        0.0,
        SHRINK,
        6.0,
        PERIOD,
        0.0,
        MOST_STEPS,
        NO_STIFFNESS_TEST,
        OutputType::Sparse,
    );
    solver.integrate().expect("it reaches the end");
    let end = *solver.y_out().last().expect("an end");
    compare(
        proof::row("ode-arenstorf-853"),
        &rows,
        &end,
        &State::<4>::repeat(1.0),
    );
}

/// Work and precision: a hundredth of the tolerance costs 10^(2/5) = 2.5 times the steps
/// of a method of order five, and gains about two digits.
#[test]
fn steps_follow_the_order_of_the_method() {
    let error = |tolerance: f64| {
        let (end, stats) = dopri5(arenstorf, arenstorf_start(), PERIOD, tolerance, tolerance);
        (
            (end - arenstorf_start()).amax(),
            f64::from(stats.accepted_steps),
        )
    };
    let mut proof = proof::row("ode-order");
    let errors: Vec<_> = [1e-7, 1e-9, 1e-11].into_iter().map(error).collect();
    for pair in errors.windows(2) {
        assert!(pair[1].0 < 0.1 * pair[0].0, "{errors:?}");
        proof.see(pair[1].1 / pair[0].1, &errors);
    }
    proof.done();
}

/// Robertson's reaction to 40 s, relative to each component.
#[test]
fn robertson_reaction_to_forty_seconds() {
    let rows = rows("ROBER", "40");
    let start = State::<3>::new(1.0, 0.0, 0.0);
    let (end, stats) = dopri5(robertson, start, 40.0, 1e-9, 1e-15);
    assert!(
        stats.accepted_steps > 10_000,
        "a stiff problem takes many steps"
    );
    compare(proof::row("ode-robertson"), &rows, &end, &end);
}

/// Van der Pol's oscillator to 2.
#[test]
fn stiff_oscillator_of_van_der_pol() {
    let rows = rows("VDPOL", "2");
    let start = State::<2>::new(2.0, 0.0);
    let (end, stats) = dopri5(van_der_pol, start, 2.0, 1e-9, 1e-9);
    assert!(
        stats.accepted_steps > 100_000,
        "a stiff problem takes many steps"
    );
    compare(
        proof::row("ode-van-der-pol"),
        &rows,
        &end,
        &State::<2>::repeat(1.0),
    );
}
