//! The page in a real browser. Where no Chromium is found, the tests that need one count as ignored; with
//! `BYWASH_BROWSER=required` that is a failure.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod agree;
mod browser;
mod export;
mod files;
mod journey;
mod looks;
mod newcomer;
mod papers;
mod safety;
mod served;
mod speed;
mod touch;

use std::process::ExitCode;

use libtest_mimic::{Arguments, Trial};

fn main() -> ExitCode {
    let mut arguments = Arguments::from_args();
    // Browsers are heavy, and timings want the machine to themselves.
    arguments.test_threads.get_or_insert(1);
    let found = browser::chromium().is_some();
    if !found {
        if std::env::var_os("BYWASH_BROWSER").is_some_and(|wanted| wanted == "required") {
            eprintln!("no Chromium is found, and this run requires one");
            return ExitCode::FAILURE;
        }
        eprintln!("no Chromium is found: the tests of the page in a browser are ignored");
    }
    let in_browser: Vec<(&str, fn())> = [
        journey::TESTS,
        agree::TESTS,
        files::TESTS,
        looks::TESTS,
        newcomer::TESTS,
        papers::TESTS,
        touch::TESTS,
        safety::IN_BROWSER,
        export::TESTS,
        speed::TESTS,
    ]
    .concat();
    let trial = |(name, test): &(&'static str, fn())| {
        let test = *test;
        Trial::test(*name, move || {
            test();
            Ok(())
        })
    };
    let without = safety::WITHOUT_BROWSER.iter().map(trial);
    let with = in_browser
        .iter()
        .map(|test| trial(test).with_ignored_flag(!found));
    libtest_mimic::run(&arguments, without.chain(with).collect()).exit_code()
}
