//! How the random cases of property tests are drawn.
use proptest::strategy::Strategy;
use proptest::test_runner::{Config, RngSeed, TestRunner};

/// Settings of a property test. The cases are the same in every run unless
/// `PROPTEST_RNG_SEED` says otherwise; a failing case is shown, not kept in a file.
pub fn cases(cases: u32) -> Config {
    let usual = Config::default();
    let rng_seed = match usual.rng_seed {
        RngSeed::Random => RngSeed::Fixed(1585),
        given => given,
    };
    Config {
        cases,
        rng_seed,
        failure_persistence: None,
        ..usual
    }
}

/// Puts `law` to random values of `strategy`. Unlike the macro it lets the law note what
/// it sees, a row of the list of checks for one. Panics with the failing value.
#[allow(dead_code)] // some test binaries use the macro alone
pub fn for_random<S: Strategy>(count: u32, strategy: &S, mut law: impl FnMut(S::Value)) {
    let mut settings = cases(count);
    // a law that keeps notes would note a failing case again and again
    settings.max_shrink_iters = 0;
    let law = std::cell::RefCell::new(&mut law);
    let outcome = TestRunner::new(settings).run(strategy, |value| {
        (law.borrow_mut())(value);
        Ok(())
    });
    if let Err(error) = outcome {
        panic!("{error}");
    }
}
