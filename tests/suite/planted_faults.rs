//! Sound plans of many kinds, and single faults planted in each. A sound plan draws no stop and no revise; a fault is found
//! as a stop or a revise at the value or object where a reviewer would point. Plans and faults are common practice, written
//! before the rules were read; `docs/planted-faults.md` keeps the tables as they first came out.
//!
//! `cargo quick --test suite -- planted_faults:: --nocapture` prints the table of today, kind by kind.

use std::{collections::BTreeSet, fmt::Write, fs, path::Path, thread};

use bywash::{
    engine::{Engine, ReviewOptions},
    read::{Node, Place, SourceId, Value, parse},
    review::{Finding, Review},
    rules::Severity,
};

/// The most faults that may be listed as not found. The list may only shrink: lower this with it.
const NOT_FOUND_AT_MOST: usize = 13;

/// A fault that draws no stop and no revise at its place; `tests/plans/not-found.json` gives the reason of each.
struct NotFound {
    plan: String,
    what: String,
}

struct Fault {
    what: String,
    /// Places of the culprit; a finding at one of them, or below it, counts.
    at: Vec<Place>,
    patch: Node,
}

struct Kind {
    name: String,
    sound: SourceId,
    faults: Vec<Fault>,
}

/// How the plan of one kind and its faults came out.
struct Outcome {
    name: String,
    /// Stops and revisions on the sound plan.
    false_alarms: Vec<String>,
    suggestions: usize,
    questions: usize,
    planted: usize,
    /// Each fault that was not found, with what was said in its place.
    missed: Vec<(String, String)>,
}

fn text(node: &Node, key: &str) -> String {
    let value = node.get(key).and_then(Node::text);
    value.unwrap_or_else(|| panic!("a text {key}")).to_owned()
}

fn list<'a>(node: &'a Node, key: &str) -> &'a [Node] {
    match node.get(key).map(|list| &list.value) {
        Some(Value::List(list)) => list,
        _ => panic!("a list {key}"),
    }
}

/// The plans of a folder that have faults beside them.
fn kinds(engine: &mut Engine, folder: &str) -> Vec<Kind> {
    let plans = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut names: Vec<String> = fs::read_dir(plans.join("faults"))
        .unwrap()
        .map(|entry| {
            let path = entry.unwrap().path();
            path.file_stem().unwrap().to_string_lossy().into_owned()
        })
        .collect();
    names.sort();
    let mut read = |path: &Path| {
        let text = fs::read_to_string(path).unwrap();
        engine.sources.add(path.to_string_lossy(), text)
    };
    let mut sources = Vec::new();
    for name in names {
        let sound = read(&plans.join(format!("{name}.jsonc")));
        let faults = read(&plans.join(format!("faults/{name}.jsonc")));
        sources.push((name, sound, faults));
    }
    sources
        .into_iter()
        .map(|(name, sound, faults)| {
            let tree = parse(&engine.sources, faults).unwrap();
            let faults = list(&tree, "faults").iter().map(fault).collect();
            Kind { name, sound, faults }
        })
        .collect()
}

/// Every plan with its name: the sound ones, the later ones, and the examples.
pub(super) fn plans(engine: &mut Engine) -> Vec<(String, SourceId)> {
    let mut plans = Vec::new();
    for folder in ["tests/plans", "tests/plans/unseen", "examples"] {
        let entries = fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)).unwrap();
        let mut paths: Vec<_> = entries.map(|entry| entry.unwrap().path()).collect();
        paths.retain(|path| path.extension().is_some_and(|extension| extension == "jsonc"));
        paths.sort();
        for path in paths {
            let text = fs::read_to_string(&path).unwrap();
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            let source = engine.sources.add(&name, text);
            if engine.open(source, Vec::new()).is_ok() {
                plans.push((name, source));
            }
        }
    }
    plans
}

fn fault(node: &Node) -> Fault {
    let places = list(node, "at").iter();
    Fault {
        what: text(node, "what"),
        at: places
            .map(|place| Place::from_pointer(place.text().unwrap()))
            .collect(),
        patch: node.get("patch").unwrap().clone(),
    }
}

fn not_found(engine: &mut Engine) -> Vec<NotFound> {
    let name = "tests/plans/not-found.json";
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    let source = engine.sources.add(name, fs::read_to_string(path).unwrap());
    let tree = parse(&engine.sources, source).unwrap();
    list(&tree, "not_found")
        .iter()
        .map(|node| {
            assert!(text(node, "reason").len() > 20, "a reason for each");
            NotFound {
                plan: text(node, "plan"),
                what: text(node, "what"),
            }
        })
        .collect()
}

fn serious(review: &Review) -> impl Iterator<Item = &Finding> {
    let findings = review.findings.iter();
    findings.filter(|finding| finding.severity != Severity::Advise)
}

/// Whether the fault is found at its place, else what was said elsewhere. A plan that can't be reviewed because of the fault
/// is refused at the value concerned, and that counts.
fn found(
    engine: &Engine,
    kind: &Kind,
    known: &BTreeSet<(String, Place)>,
    fault: &Fault,
) -> Result<(), String> {
    let patches = vec![("the fault".to_owned(), fault.patch.clone())];
    let at_culprit = |place: &Place| fault.at.iter().any(|at| at.holds(place));
    let Ok(opened) = engine.open(kind.sound, patches) else {
        return Ok(());
    };
    let review = engine.review(&opened, ReviewOptions::default());
    let new = serious(&review)
        .filter(|finding| !known.contains(&(finding.rule.clone(), finding.object.clone())))
        .collect::<Vec<_>>();
    if new
        .iter()
        .any(|finding| at_culprit(&finding.place) || at_culprit(&finding.object))
    {
        return Ok(());
    }
    let mut elsewhere = String::new();
    for finding in new {
        write!(elsewhere, " {} at {};", finding.rule, finding.place.as_str()).unwrap();
    }
    Err(elsewhere)
}

fn outcome(engine: &Engine, kind: &Kind) -> Outcome {
    let opened = engine.open(kind.sound, Vec::new()).unwrap();
    let review = engine.review(&opened, ReviewOptions::default());
    let known: BTreeSet<_> = serious(&review)
        .map(|finding| (finding.rule.clone(), finding.object.clone()))
        .collect();
    let missed = kind.faults.iter().filter_map(|fault| {
        let elsewhere = found(engine, kind, &known, fault).err()?;
        Some((fault.what.clone(), elsewhere))
    });
    Outcome {
        name: kind.name.clone(),
        missed: missed.collect(),
        false_alarms: serious(&review)
            .map(|finding| {
                format!(
                    "{} at {}: {}",
                    finding.rule,
                    finding.object.as_str(),
                    finding.headline
                )
            })
            .collect(),
        suggestions: review.findings.len() - known.len(),
        questions: review.questions.len(),
        planted: kind.faults.len(),
    }
}

/// All kinds, shared between as many threads as the machine has.
fn outcomes(engine: &Engine, kinds: &[Kind]) -> Vec<Outcome> {
    let threads = thread::available_parallelism().map_or(1, usize::from);
    let share = kinds.len().div_ceil(threads).max(1);
    thread::scope(|scope| {
        let shares: Vec<_> = kinds
            .chunks(share)
            .map(|kinds| scope.spawn(|| kinds.iter().map(|kind| outcome(engine, kind)).collect::<Vec<_>>()))
            .collect();
        shares
            .into_iter()
            .flat_map(|share| share.join().unwrap())
            .collect()
    })
}

fn table(title: &str, outcomes: &[Outcome]) -> String {
    let mut table = format!(
        "{title}\n| kind of plan | stop or revise on the sound plan | caught of planted | suggestions | questions |\n\
         | --- | --- | --- | --- | --- |\n"
    );
    for outcome in outcomes {
        let caught = outcome.planted - outcome.missed.len();
        writeln!(
            table,
            "| {} | {} | {caught}/{} | {} | {} |",
            outcome.name.replace('-', " "),
            outcome.false_alarms.len(),
            outcome.planted,
            outcome.suggestions,
            outcome.questions
        )
        .unwrap();
    }
    table
}

/// Held at once for all kinds, so that one run gives the whole table.
#[test]
fn sound_plans_are_silent_and_every_planted_fault_is_found_at_its_place() {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let not_found = not_found(&mut engine);
    let sets = [
        ("Plans of `tests/plans`", kinds(&mut engine, "tests/plans")),
        (
            "Later plans, `tests/plans/unseen`",
            kinds(&mut engine, "tests/plans/unseen"),
        ),
    ];
    let (mut failures, mut excused) = (Vec::new(), 0);
    let (mut planted, mut number) = (0, 0);
    for (title, kinds) in &sets {
        let outcomes = outcomes(&engine, kinds);
        println!("{}", table(title, &outcomes));
        for outcome in outcomes {
            let name = &outcome.name;
            for alarm in &outcome.false_alarms {
                failures.push(format!("{name}: sound, but {alarm}"));
            }
            if outcome.planted < 8 {
                failures.push(format!("{name}: {} faults", outcome.planted));
            }
            for (what, elsewhere) in &outcome.missed {
                if not_found.iter().any(|not| not.plan == *name && not.what == *what) {
                    excused += 1;
                } else {
                    failures.push(format!("{name}: {what}:{elsewhere}"));
                }
            }
            number += 1;
            planted += outcome.planted;
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    assert!(number >= 26 && planted >= 250, "{number} kinds, {planted} faults");
    assert_eq!(
        excused,
        not_found.len(),
        "a fault on the list of those not found is found, or is gone: take it off the list"
    );
    assert!(
        not_found.len() <= NOT_FOUND_AT_MOST,
        "the list of faults not found may only shrink"
    );
}
