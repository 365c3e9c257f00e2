//! How long the typeset review takes: run with `cargo bench --bench pdf`. With `-- --write FOLDER` it times nothing and
//! writes what the typesetter is given for each example to a folder of its own, for `benches/typesetter.py`.
#![allow(clippy::panic, clippy::unwrap_used)]

use std::{env, fs, path::Path};

use bywash::{
    engine::{Engine, ReviewOptions},
    report::{
        drawing::{Drawings, drawings},
        pdf::{Job, Paper, files, render},
    },
    review::Review,
};

/// The richest example and the largest.
const EXAMPLES: [&str; 2] = ["courtyard-as-sent", "two-ponds"];

fn main() {
    let mut arguments = env::args().skip_while(|argument| argument != "--write").skip(1);
    match arguments.next() {
        Some(folder) => EXAMPLES
            .iter()
            .for_each(|name| write(name, &Path::new(&folder).join(name))),
        None => divan::main(),
    }
}

/// Typesetting alone: the review and its drawings are at hand.
#[divan::bench(args = EXAMPLES)]
fn typeset(bencher: divan::Bencher<'_, '_>, name: &str) {
    let made = Made::of(name);
    bencher.bench_local(|| render(&made.job()).unwrap());
}

fn write(name: &str, folder: &Path) {
    fs::create_dir_all(folder).unwrap();
    for (file, text) in files(&Made::of(name).job()).unwrap() {
        fs::write(folder.join(file), text).unwrap();
    }
}

/// An example reviewed as the command line does it.
struct Made {
    plan: String,
    review: Review,
    drawings: Drawings,
}

impl Made {
    fn of(name: &str) -> Self {
        let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        let plan = fs::read_to_string(examples.join(format!("{name}.jsonc"))).unwrap();
        let (mut engine, library) = Engine::new();
        library.unwrap();
        let source = engine.sources.add(format!("{name}.jsonc"), plan.as_str());
        let opened = engine
            .open(source, Vec::new())
            .unwrap_or_else(|problems| panic!("{problems:?}"));
        let options = ReviewOptions {
            cures: true,
            ..ReviewOptions::default()
        };
        let review = engine.review(&opened, options);
        let drawings = drawings(&opened.plan, &opened.ledger, &review);
        Self {
            plan,
            review,
            drawings,
        }
    }

    fn job(&self) -> Job<'_> {
        Job {
            review: &self.review,
            drawings: &self.drawings,
            plan: &self.plan,
            paper: Paper::Letter,
            photographs: &[],
            full: false,
        }
    }
}
