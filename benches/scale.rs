//! How time and memory of a review grow with the size of a plan: run with
//! `cargo bench --no-default-features --bench scale`, or with kinds after `--`.
//!
//! Each plan is reviewed in a process of its own, so that its memory is told apart (`VmHWM` of Linux; elsewhere not told).
#![allow(clippy::print_stdout)]

#[path = "../tests/scale/plans.rs"]
mod plans;

use std::{env, fs, process::Command, time::Instant};

use bywash::engine::{Engine, ReviewOptions};
use plans::KINDS;

/// Members at which each kind is measured, and twice that.
const SIZES: [(&str, usize); 11] = [
    ("cascade", 500),
    ("circuits", 100),
    ("lines", 500),
    ("pumps", 500),
    ("branches", 500),
    ("runs", 500),
    ("walls", 500),
    ("plants", 2750),
    ("layers", 1000),
    ("contours", 1000),
    ("unknown", 4000),
];
/// What a process is called that reviews one plan.
const ONE: &str = "--one";

fn main() {
    let asked: Vec<String> = env::args().skip(1).filter(|arg| arg != "--bench").collect();
    if let [flag, kind, count] = asked.as_slice()
        && flag == ONE
    {
        return one(kind, count.parse().unwrap_or(0));
    }
    println!("kind           n    s      MB     2n     s      MB   growth");
    for (kind, count) in SIZES {
        if !asked.is_empty() && !asked.iter().any(|name| name == kind) {
            continue;
        }
        let (first, second) = (measured(kind, count), measured(kind, 2 * count));
        let growth = (second.0 / first.0).log2();
        println!(
            "{kind:<10} {count:>5} {:>6.3} {:>6.0} {:>6} {:>6.3} {:>6.0}   n^{growth:.2}",
            first.0,
            first.1,
            2 * count,
            second.0,
            second.1
        );
    }
}

/// Seconds and megabytes of one review, by a process of its own.
fn measured(kind: &str, count: usize) -> (f64, f64) {
    let program = env::current_exe().unwrap_or_default();
    let run = Command::new(program)
        .args([ONE, kind, &count.to_string()])
        .output();
    let told = run.map(|run| String::from_utf8_lossy(&run.stdout).into_owned());
    let told = told.unwrap_or_default();
    let mut numbers = told
        .split_whitespace()
        .map(|word| word.parse().unwrap_or(f64::NAN));
    (
        numbers.next().unwrap_or(f64::NAN),
        numbers.next().unwrap_or(f64::NAN),
    )
}

/// Reviews one plan, and prints the seconds that took and the most memory that the process had, in MB.
fn one(kind: &str, count: usize) {
    let (mut engine, _) = Engine::new();
    let plan = KINDS
        .iter()
        .find(|(name, _)| *name == kind)
        .map(|(_, plan)| plan(count));
    let source = engine.sources.add("plan.json", plan.unwrap_or_default());
    let began = Instant::now();
    let stage = |what: &str| {
        if env::var_os("STAGES").is_some() {
            eprintln!("{what} {:.3} s, {:.0} MB", began.elapsed().as_secs_f64(), peak());
        }
    };
    match engine.open(source, Vec::new()) {
        Ok(opened) => {
            stage("figures");
            let options = ReviewOptions {
                cases: true,
                cures: env::var_os("CURES").is_some(),
                ..ReviewOptions::default()
            };
            let review = engine.review(&opened, options);
            stage("review");
            drop(review);
        }
        Err(problems) => {
            stage("refused");
            if env::var_os("STAGES").is_some() {
                eprintln!("{} problems, first: {:?}", problems.len(), problems.first());
            }
        }
    }
    println!("{} {}", began.elapsed().as_secs_f64(), peak());
}

/// The most memory the process has had, MB.
fn peak() -> f64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes = line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok());
    kilobytes.unwrap_or(f64::NAN) / 1024.0
}
