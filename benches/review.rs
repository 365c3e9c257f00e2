//! How long a review takes, stage by stage: run with `cargo bench --no-default-features`, or with the typesetter for
//! the PDF as well.
#![allow(clippy::panic)]

use bywash::{
    desk::{Desk, Opened, Wishes},
    read::SourceId,
};

/// The richest example.
const PLAN: &str = include_str!("../examples/courtyard-as-sent.jsonc");

fn main() {
    divan::main();
}

fn desk() -> (Desk, SourceId) {
    let (mut desk, loaded) = Desk::new();
    assert!(loaded.is_ok(), "the library loads");
    let source = desk.sources.add("plan.jsonc", PLAN);
    (desk, source)
}

fn open(desk: &Desk, source: SourceId) -> Opened {
    desk.open(source, Vec::new())
        .unwrap_or_else(|problems| panic!("{problems:?}"))
}

/// Cards read, checked and compiled; once in a process.
#[divan::bench]
fn lay_out_the_desk() -> Desk {
    Desk::new().0
}

/// Reading, schema check, model and sense check alone: what a review is held against.
#[divan::bench]
fn read_check_and_model(bencher: divan::Bencher<'_, '_>) {
    let (desk, source) = desk();
    bencher.bench_local(|| desk.model(source, Vec::new()).map(|_| ()));
}

/// The same with figures: the network solve and the water balances.
#[divan::bench]
fn with_figures(bencher: divan::Bencher<'_, '_>) {
    let (desk, source) = desk();
    bencher.bench_local(|| open(&desk, source));
}

/// The whole review without any report.
#[divan::bench]
fn whole_review(bencher: divan::Bencher<'_, '_>) {
    let (desk, source) = desk();
    bencher.bench_local(|| desk.review(&open(&desk, source), Wishes::default()));
}

/// The whole review with cures worked out in numbers, as the command line does it.
#[divan::bench]
fn whole_review_with_cures(bencher: divan::Bencher<'_, '_>) {
    let (desk, source) = desk();
    let wishes = Wishes {
        cures: true,
        ..Wishes::default()
    };
    bencher.bench_local(|| desk.review(&open(&desk, source), wishes));
}

/// The largest example: two ponds, two beds, three pumps, a stream.
const LARGEST: &str = include_str!("../examples/two-ponds.jsonc");

fn largest() -> Opened {
    let (mut desk, _) = Desk::new();
    let source = desk.sources.add("plan.jsonc", LARGEST);
    open(&desk, source)
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
    bencher.bench_local(|| bywash::figures::cases::cases(&opened.plan, &[]));
}
