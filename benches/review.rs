//! How long a review takes, stage by stage: run with `cargo bench --no-default-features`, or with the typesetter for
//! the PDF as well.
#![allow(clippy::panic)]

use bywash::{
    engine::{Engine, Opened, ReviewOptions},
    read::SourceId,
};

/// The richest example.
const PLAN: &str = include_str!("../examples/courtyard-as-sent.jsonc");

fn main() {
    divan::main();
}

fn engine() -> (Engine, SourceId) {
    let (mut engine, loaded) = Engine::new();
    assert!(loaded.is_ok(), "the library loads");
    let source = engine.sources.add("plan.jsonc", PLAN);
    (engine, source)
}

fn open(engine: &Engine, source: SourceId) -> Opened {
    engine
        .open(source, Vec::new())
        .unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// Cards read, checked and compiled; once in a process.
#[divan::bench]
fn lay_out_the_desk() -> Engine {
    Engine::new().0
}

/// Reading, schema check, model and sense check alone: what a review is held against.
#[divan::bench]
fn read_check_and_model(bencher: divan::Bencher<'_, '_>) {
    let (engine, source) = engine();
    bencher.bench_local(|| engine.model(source, Vec::new()).map(|_| ()));
}

/// The same with figures: the network solve and the water balances.
#[divan::bench]
fn with_figures(bencher: divan::Bencher<'_, '_>) {
    let (engine, source) = engine();
    bencher.bench_local(|| open(&engine, source));
}

/// The whole review without any report.
#[divan::bench]
fn whole_review(bencher: divan::Bencher<'_, '_>) {
    let (engine, source) = engine();
    bencher.bench_local(|| engine.review(&open(&engine, source), ReviewOptions::default()));
}

/// The whole review with cures worked out in numbers, as the command line does it.
#[divan::bench]
fn whole_review_with_cures(bencher: divan::Bencher<'_, '_>) {
    let (engine, source) = engine();
    let options = ReviewOptions {
        cures: true,
        ..ReviewOptions::default()
    };
    bencher.bench_local(|| engine.review(&open(&engine, source), options));
}

/// The largest example: two ponds, two beds, three pumps, a stream.
const LARGEST: &str = include_str!("../examples/two-ponds.jsonc");

fn largest() -> Opened {
    let (mut engine, _) = Engine::new();
    let source = engine.sources.add("plan.jsonc", LARGEST);
    open(&engine, source)
}

/// Figures of the largest example, with the three cases that figures rest on.
#[divan::bench]
fn figures_of_the_largest(bencher: divan::Bencher<'_, '_>) {
    let opened = largest();
    bencher.bench_local(|| bywash::figures::compute(&opened.plan));
}

/// Every case of the largest example followed in time, with the credible combinations.
#[divan::bench]
fn cases_of_the_largest(bencher: divan::Bencher<'_, '_>) {
    let opened = largest();
    bencher.bench_local(|| {
        bywash::hydraulics::run_scenarios(&opened.plan, &bywash::hydraulics::Outcomes::default(), &[])
    });
}
