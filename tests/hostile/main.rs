//! Hostile input, drawn at random: bytes, plans, patches and pages of a house. Whatever comes in, the engine ends soon, tells
//! what is wrong at places that are there, or reviews; and what it hands back keeps to its schema, holds no value that is no
//! number, and nothing that acts on whatever shows it.
//!
//! `BYWASH_FUZZ_SECONDS` sets how long each target runs at most, `BYWASH_FUZZ_RUNS` how many inputs it tries at most,
//! `BYWASH_FUZZ_SEED` what is drawn. An input that fails is printed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod mutate;

use std::{
    env, fs,
    panic::{AssertUnwindSafe, catch_unwind},
    path::Path,
    time::{Duration, Instant},
};

use bywash::{
    engine::{Engine, ReviewOptions, SCHEMAS},
    read::{Node, Problem, SourceId, files_in, parse},
    report::json,
    text::is_hidden,
};
use mutate::Draws;
use serde_json::Value;

/// One input may take this long in a program that is not optimised, on a machine that does other things too.
const LONGEST: Duration = Duration::from_secs(30);
/// An engine keeps every text it has read: after so many inputs it is made anew.
const INPUTS_PER_ENGINE: usize = 100;

const EXAMPLES: [&str; 5] = [
    "courtyard-as-sent",
    "courtyard-retrofit",
    "mill-yard-metric",
    "ledge-run",
    "minimal",
];

fn set(name: &str, usual: u64) -> u64 {
    let set = env::var(name).ok();
    set.and_then(|number| number.parse().ok()).unwrap_or(usual)
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn examples() -> Vec<String> {
    let read = |name: &str| fs::read_to_string(root().join(format!("examples/{name}.jsonc"))).unwrap();
    EXAMPLES.map(read).to_vec()
}

/// What a target needs: an engine, and the schema that reviews keep to.
struct Bench {
    engine: Engine,
    schema: jsonschema::Validator,
}

impl Bench {
    fn new() -> Self {
        let (engine, loaded) = Engine::new();
        loaded.unwrap();
        let (_, text) = SCHEMAS.into_iter().find(|(name, _)| *name == "review").unwrap();
        let schema = jsonschema::draft202012::new(&serde_json::from_str(text).unwrap()).unwrap();
        Self { engine, schema }
    }

    /// Opens and reviews a plan under patches; whether it could be reviewed.
    fn plan(&mut self, text: &str, patches: &[String], cures: bool) -> bool {
        let source = self.engine.sources.add("plan.jsonc", text);
        let mut nodes: Vec<(String, Node)> = Vec::new();
        for patch in patches {
            let source = self.engine.sources.add("patch.json", patch.as_str());
            match parse(&self.engine.sources, source) {
                Ok(node) => nodes.push(("patch.json".to_owned(), node)),
                Err(problems) => return self.refused(&problems),
            }
        }
        let opened = match self.engine.open(source, nodes) {
            Ok(opened) => opened,
            Err(problems) => return self.refused(&problems),
        };
        let options = ReviewOptions {
            cures,
            cases: cures,
            ..ReviewOptions::default()
        };
        let review = self.engine.review(&opened, options);
        let text = json::render(&review).unwrap();
        assert_clean(&text);
        let value: Value = serde_json::from_str(&text).unwrap();
        let errors: Vec<String> = self
            .schema
            .iter_errors(&value)
            .map(|error| error.to_string())
            .collect();
        assert_eq!(errors, Vec::<String>::new(), "the review keeps to its schema");
        assert_numbers(&value);
        #[cfg(feature = "cli")]
        {
            use bywash::report::terminal::{self, Paint, Selected};
            let paint = Paint {
                width: 80,
                colour: false,
            };
            assert_clean(&terminal::review(
                &self.engine,
                &opened,
                &review,
                &Selected::all(&review),
                paint,
            ));
        }
        true
    }

    /// Puts the pages of a house over the library and reviews a plan by it.
    fn house(&mut self, pages: &[(String, String)], plan: &str) -> bool {
        let ids: Vec<SourceId> = pages
            .iter()
            .map(|(name, page)| self.engine.sources.add(name.as_str(), page.as_str()))
            .collect();
        match self.engine.take_house(&ids) {
            Err(problems) => self.refused(&problems),
            Ok(()) => self.plan(plan, &[], false),
        }
    }

    /// Problems are told, each at a place that is there.
    fn refused(&self, problems: &[Problem]) -> bool {
        assert!(!problems.is_empty(), "what is refused is refused for a reason");
        for problem in problems {
            for (span, _) in problem.at.iter().chain(&problem.also) {
                let text = self.engine.sources.text(span.source);
                assert!(text.get(span.start..span.end).is_some(), "{problem:?}");
            }
        }
        #[cfg(feature = "cli")]
        {
            use bywash::report::terminal::{self, Paint};
            let paint = Paint {
                width: 80,
                colour: false,
            };
            assert_clean(&terminal::problems(&self.engine.sources, problems, paint));
        }
        false
    }
}

fn assert_clean(text: &str) {
    let hidden = text.chars().find(|c| is_hidden(*c) && *c != '\n');
    assert_eq!(hidden, None, "{text}");
}

/// No value that is printed is no number.
fn assert_numbers(value: &Value) {
    match value {
        Value::Object(members) => {
            if members.contains_key("si")
                && let Some(Value::String(text)) = members.get("text")
            {
                let wrong = ["NaN", "inf", "undefined", "null"]
                    .into_iter()
                    .find(|word| text.contains(word));
                assert_eq!(wrong, None, "{text}");
            }
            members.values().for_each(assert_numbers);
        }
        Value::Array(items) => items.iter().for_each(assert_numbers),
        _ => {}
    }
}

/// Runs a target over drawn inputs for as long as is set.
fn run<I: std::fmt::Debug>(
    target: &str,
    seed: u64,
    mut draw: impl FnMut(&mut Draws) -> I,
    check: impl Fn(&mut Bench, &I) -> bool,
) {
    let until = Instant::now() + Duration::from_secs(set("BYWASH_FUZZ_SECONDS", 2));
    let most = usize::try_from(set("BYWASH_FUZZ_RUNS", u64::MAX)).unwrap_or(usize::MAX);
    let mut draws = Draws::new(set("BYWASH_FUZZ_SEED", 1) ^ seed);
    let mut bench = Bench::new();
    let (mut runs, mut reviewed, mut longest) = (0, 0, Duration::ZERO);
    while runs < most && Instant::now() < until {
        if runs % INPUTS_PER_ENGINE == INPUTS_PER_ENGINE - 1 {
            bench = Bench::new();
        }
        let input = draw(&mut draws);
        let started = Instant::now();
        let outcome = catch_unwind(AssertUnwindSafe(|| check(&mut bench, &input)));
        let took = started.elapsed();
        let Ok(was_reviewed) = outcome else {
            panic!("{target}, after {runs} runs: {input:#?}")
        };
        assert!(took < LONGEST, "{target} takes {took:?}: {input:#?}");
        longest = longest.max(took);
        runs += 1;
        reviewed += usize::from(was_reviewed);
    }
    println!("{target}: {runs} runs, {reviewed} of them reviewed, the longest {longest:?}");
    assert!(runs > 0);
}

#[test]
fn any_bytes_end_in_a_review_or_in_problems() {
    let plans = examples();
    run(
        "bytes",
        11,
        |draws| {
            let plan = draws.of(&plans).clone();
            String::from_utf8_lossy(&mutate::bytes(plan.into_bytes(), 4, draws)).into_owned()
        },
        |bench, plan| bench.plan(plan, &[], false),
    );
}

#[test]
fn any_plan_ends_in_a_review_or_in_problems() {
    let plans = trees();
    run(
        "plans",
        22,
        |draws| {
            let mut plan = draws.of(&plans).clone();
            for _ in 0..=draws.below(4) {
                mutate::tree(&mut plan, draws);
            }
            (plan.to_string(), draws.below(8) == 0)
        },
        |bench, (plan, cures)| bench.plan(plan, &[], *cures),
    );
}

#[test]
fn any_patch_ends_in_a_review_or_in_problems() {
    let (plans, trees) = (examples(), trees());
    run(
        "patches",
        33,
        |draws| {
            let mut patch = mutate::part(draws.of(&trees), draws);
            mutate::tree(&mut patch, draws);
            let mut text = patch.to_string();
            if draws.below(4) == 0 {
                text = String::from_utf8_lossy(&mutate::bytes(text.into_bytes(), 3, draws)).into_owned();
            }
            (draws.of(&plans).clone(), text)
        },
        |bench, (plan, patch)| bench.plan(plan, std::slice::from_ref(patch), false),
    );
}

#[test]
fn any_page_of_a_house_is_taken_or_refused() {
    let pages: Vec<(String, String)> = files_in(&root().join("examples/house"), "md")
        .unwrap()
        .iter()
        .map(|path| (path.display().to_string(), fs::read_to_string(path).unwrap()))
        .collect();
    let plan = examples().swap_remove(0);
    run(
        "house pages",
        44,
        |draws| {
            let mut house = pages.clone();
            let at = draws.below(house.len());
            let page = std::mem::take(&mut house[at].1);
            house[at].1 = String::from_utf8_lossy(&mutate::bytes(page.into_bytes(), 1, draws)).into_owned();
            house
        },
        |bench, house| {
            // A house stays with its engine.
            *bench = Bench::new();
            bench.house(house, &plan)
        },
    );
}

/// The examples as plain trees.
fn trees() -> Vec<Value> {
    let (mut engine, _) = Engine::new();
    let tree = |text: String| {
        let source = engine.sources.add("plan.jsonc", text);
        parse(&engine.sources, source).unwrap().to_json()
    };
    examples().into_iter().map(tree).collect()
}

/// What once failed, kept: whole plans, and patches named after the example that they change.
#[test]
fn what_once_failed_ends_in_a_review_or_in_problems() {
    let paths = files_in(&root().join("tests/hostile/corpus"), "json").unwrap();
    let patches: Vec<_> = paths
        .iter()
        .map(|path| path.file_name().unwrap().to_str().unwrap())
        .collect();
    assert!(!patches.is_empty());
    let mut bench = Bench::new();
    for name in patches {
        let (example, _) = name.split_once('.').unwrap();
        let read = |path: String| fs::read_to_string(root().join(path)).unwrap();
        let plan = read(format!("examples/{example}.jsonc"));
        bench.plan(&plan, &[read(format!("tests/hostile/corpus/{name}"))], true);
    }
    let plans = files_in(&root().join("tests/hostile/corpus"), "jsonc").unwrap();
    assert!(!plans.is_empty());
    for path in plans {
        bench.plan(&fs::read_to_string(path).unwrap(), &[], true);
    }
}
