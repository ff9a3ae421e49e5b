//! Draws many inputs for one check: the same ones every time, others on request.
//!
//! `BASTWORK_SEED=7 BASTWORK_CASES=5000 cargo test` draws others, and more of them.

use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::{
    Config, RngAlgorithm, RngSeed, TestCaseError, TestError, TestRng, TestRunner,
};

fn from_environment(name: &str) -> Option<u32> {
    std::env::var(name).ok()?.parse().ok()
}

/// The same draws every time for a property that is written out with its arguments: a red test is due to the change at hand.
#[must_use]
pub fn config(cases: u32) -> Config {
    Config {
        cases: from_environment("BASTWORK_CASES").unwrap_or(cases),
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(from_environment("BASTWORK_SEED").unwrap_or(1).into()),
        ..Config::default()
    }
}

/// A source of draws that is the same every time.
#[must_use]
pub fn runner(cases: u32) -> TestRunner {
    let seed = from_environment("BASTWORK_SEED").unwrap_or(1);
    let mut bytes = [0; 32];
    bytes[..4].copy_from_slice(&seed.to_le_bytes());
    TestRunner::new_with_rng(
        Config {
            cases: from_environment("BASTWORK_CASES").unwrap_or(cases),
            failure_persistence: None,
            max_shrink_iters: 4000,
            ..Config::default()
        },
        TestRng::from_seed(RngAlgorithm::ChaCha, &bytes),
    )
}

/// Asks `good` about many draws; shows the smallest one that it finds fault with.
///
/// # Panics
/// When it finds fault with one, or panics on one.
pub fn each<S: Strategy>(cases: u32, strategy: &S, good: impl Fn(S::Value) -> Result<(), String>)
where
    S::Value: serde::Serialize,
{
    let found = runner(cases).run(strategy, |value| good(value).map_err(TestCaseError::fail));
    match found {
        Ok(()) => {}
        Err(TestError::Fail(what, value)) => {
            let text = serde_json::to_string(&value).unwrap_or_default();
            panic!("{what}\nwith\n{text}");
        }
        Err(TestError::Abort(what)) => panic!("gave up: {what}"),
    }
}

/// So many draws, always the same ones for a seed.
///
/// # Panics
/// When the strategy has nothing to give.
pub fn some<S: Strategy>(strategy: &S, count: usize, seed: u8) -> Vec<S::Value> {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    (0..count)
        .map(|_| strategy.new_tree(&mut runner).unwrap().current())
        .collect()
}
