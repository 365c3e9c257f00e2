//! What is grouped under a finding follows from it: a change that closes that finding closes it too, tried over every example and every
//! planted fault.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::Path,
};

use bywash::{
    engine::{Engine, Opened, ReviewOptions},
    read::{SourceId, parse},
    review::{Finding, ValueChange, tried_changes},
    rules::{RuleOutcome, Severity},
};

use super::{closing::example, closing_search::faults};

/// Plans, each with the faults that are planted in it, as merge patches.
fn plans() -> Vec<(String, Vec<Option<String>>)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let names = |folder: &str| -> Vec<String> {
        let files = fs::read_dir(root.join(folder)).unwrap().flatten();
        let paths = files.map(|file| file.file_name().into_string().unwrap());
        let mut names: Vec<String> = paths.filter(|name| plan_file(name)).collect();
        names.sort();
        names
    };
    let examples = names("examples").into_iter();
    let mut plans: Vec<_> = examples
        .map(|name| (format!("examples/{name}"), vec![None]))
        .collect();
    for folder in ["tests/plans", "tests/plans/unseen"] {
        for name in names(&format!("{folder}/faults")) {
            let planted = faults(folder, name.trim_end_matches(".jsonc"));
            plans.push((
                format!("{folder}/{name}"),
                planted.into_iter().map(Some).collect(),
            ));
        }
    }
    plans
}

fn plan_file(name: &str) -> bool {
    Path::new(name)
        .extension()
        .is_some_and(|ending| ending == "jsonc")
}

fn planted(engine: &mut Engine, source: SourceId, patch: Option<&String>) -> Option<Opened> {
    let patches = patch.map(|patch| {
        let id = engine.sources.add("patch", patch.as_str());
        ("patch".to_owned(), parse(&engine.sources, id).unwrap())
    });
    engine.open(source, patches.into_iter().collect()).ok()
}

/// What came of the trials of a pair of rules.
#[derive(Default)]
struct Trials {
    closed_with_it: usize,
    /// Plans in which something closes the cause, and leaves what is said to follow.
    stays: BTreeSet<String>,
    /// Plans in which no change that was tried closes the cause alone.
    untried: usize,
}

/// Of the changes that close a finding alone, one at least closes what is grouped under it.
/// Ignored: it takes minutes, and names some forty groups of planted faults that do not hold by trial yet.
#[test]
#[ignore = "names groups of planted faults that do not hold by trial yet"]
fn what_is_grouped_under_a_finding_closes_with_it() {
    let mut pairs: BTreeMap<(String, String), Trials> = BTreeMap::new();
    for (plan, faults) in plans() {
        let (mut engine, source) = example(&plan);
        for fault in faults {
            let Some(opened) = planted(&mut engine, source, fault.as_ref()) else {
                continue;
            };
            let review = engine.review(&opened, ReviewOptions::default());
            let following = review.findings.iter().filter_map(|finding| {
                let cause = finding.follows.as_ref()?;
                let cause = review.findings.iter().find(|other| other.number == *cause)?;
                Some((cause, finding))
            });
            // A suggestion has no changes that are tried.
            let following: Vec<(&Finding, &Finding)> = following
                .filter(|(cause, _)| cause.severity != Severity::Advise)
                .collect();
            if following.is_empty() {
                continue;
            }
            let context = engine.context(&opened, ReviewOptions::default());
            let library = engine.rules_for(&opened);
            let changes = tried_changes(&context, &library);
            let after = |change: &ValueChange| -> BTreeSet<(String, String)> {
                let changed = context.changed(std::slice::from_ref(change)).unwrap();
                let judged = changed.judged(&library.cards);
                let short = judged
                    .into_iter()
                    .filter(|judged| matches!(judged.outcome, RuleOutcome::FallsShort(_)));
                short
                    .map(|judged| (judged.card.id.clone(), judged.object.to_string()))
                    .collect()
            };
            let left: Vec<BTreeSet<(String, String)>> = changes.iter().map(after).collect();
            let identity = |finding: &Finding| (finding.rule.clone(), finding.object.to_string());
            for (cause, finding) in following {
                let trials = pairs
                    .entry((cause.rule.clone(), finding.rule.clone()))
                    .or_default();
                let closing: Vec<_> = left
                    .iter()
                    .filter(|left| !left.contains(&identity(cause)))
                    .collect();
                if closing.is_empty() {
                    trials.untried += 1;
                } else if closing.iter().any(|left| !left.contains(&identity(finding))) {
                    trials.closed_with_it += 1;
                } else {
                    let fault = fault.as_deref().unwrap_or_default();
                    trials.stays.insert(format!("{plan} {fault}"));
                }
            }
        }
    }
    let (mut tried, mut untried, mut stay) = (0, 0, Vec::new());
    for ((cause, finding), trials) in &pairs {
        tried += trials.closed_with_it;
        untried += trials.untried;
        for plan in &trials.stays {
            stay.push(format!("{finding} under {cause}: {plan}"));
        }
    }
    println!("{tried} findings closed with their cause, {untried} whose cause no single change closes");
    assert!(tried > 30, "{tried}");
    assert!(stay.is_empty(), "{stay:#?}");
}
