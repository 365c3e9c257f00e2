//! The search for changes that close a review: no smaller set is there to be found, what it offers holds for plans drawn at
//! random, and it ends where nothing helps.

use std::{fs, path::Path};

use bywash::{
    engine::{Engine, Opened, ReviewOptions},
    read::{SourceId, Value, parse},
    review::{ChangeSet, Closing, ReviewContext, ValueChange, tried_changes},
    rules::{Library, RuleOutcome, Severity},
};

use super::{
    closing::{IN_DEPTH, example, opened, reviewed, serious, verify},
    metamorphic::{Draws, opens, varied},
};

/// Small plans whose single faults are closed by brute force as well.
const SMALL: [&str; 4] = ["barrel-pond", "patio-tub", "wildlife-pond", "courtyard-rill"];

/// The faults planted in a plan of a folder, as merge patches.
pub(super) fn faults(folder: &str, name: &str) -> Vec<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("{folder}/faults/{name}.jsonc"));
    let (mut engine, _) = Engine::new();
    let source = engine.sources.add(name, fs::read_to_string(path).unwrap());
    let tree = parse(&engine.sources, source).unwrap();
    let Some(Value::List(faults)) = tree.get("faults").map(|list| &list.value) else {
        panic!("a list of faults")
    };
    let patch = |fault: &bywash::read::Node| fault.get("patch").unwrap().to_json().to_string();
    faults.iter().map(patch).collect()
}

/// Whether nothing is left to stop for or to revise under changes.
fn closes_all(context: &ReviewContext<'_>, library: &Library, changes: &[ValueChange]) -> bool {
    context.changed(changes).is_some_and(|changed| {
        let judged = changed.judged(&library.cards);
        let short = |outcome: &RuleOutcome| matches!(outcome, RuleOutcome::FallsShort(_));
        !judged
            .iter()
            .any(|judged| short(&judged.outcome) && judged.severity != Severity::Advise)
    })
}

/// The size of the smallest set of at most two changes that closes everything, of all that are tried; the second one is drawn from
/// what is tried on the plan as it is, and on the plan under the first.
fn smallest(engine: &Engine, opened: &Opened) -> Option<usize> {
    let context = engine.context(opened, ReviewOptions::default());
    let library = engine.rules_for(opened);
    let singles = tried_changes(&context, &library);
    let closes = |changes: &[ValueChange]| closes_all(&context, &library, changes);
    if singles.iter().any(|change| closes(std::slice::from_ref(change))) {
        return Some(1);
    }
    let pairs = singles.iter().any(|first| {
        let under = context.changed(std::slice::from_ref(first));
        let seconds = under.map_or_else(Vec::new, |under| {
            tried_changes(&under.context(&context), &library)
        });
        let mut seconds = singles.iter().chain(&seconds);
        seconds.any(|second| second.place != first.place && closes(&[first.clone(), second.clone()]))
    });
    pairs.then_some(2)
}

/// Every subset of at most two changes is tried: none that closes everything is smaller than what the search offers.
#[test]
fn brute_force_finds_no_smaller_set() {
    let (mut compared, mut twos, mut worse) = (0, 0, Vec::new());
    for name in SMALL {
        let (mut engine, source) = example(&format!("tests/plans/{name}.jsonc"));
        for patch in faults("tests/plans", name) {
            let id = engine.sources.add("patch", patch.as_str());
            let node = parse(&engine.sources, id).unwrap();
            let Ok(fault) = engine.open(source, vec![("patch".to_owned(), node)]) else {
                continue;
            };
            let closing = engine.closing(&fault, ReviewOptions::default());
            let Some(set) = closing.sets.first() else { continue };
            let offered = set.closes_all().then_some(set.changes.len());
            if offered == Some(1) {
                continue;
            }
            compared += 1;
            let least = smallest(&engine, &fault);
            twos += usize::from(least == Some(2));
            if least.is_some_and(|least| offered.is_none_or(|offered| offered > least)) {
                worse.push(format!("{name} {patch}: {offered:?}, and {least:?} is possible"));
            }
        }
    }
    println!("{compared} plans whose set is not one change, {twos} of them closed by two");
    assert!(compared >= 5 && twos >= 2, "{compared} {twos}");
    assert!(worse.is_empty(), "{worse:#?}");
}

/// Whatever plan is drawn: a set that is offered is taken by the schema, and a review of the plan under it is what the set says.
#[test]
fn sets_and_cures_of_random_plans_hold() {
    let mut draws = Draws(15);
    let (mut sets, mut cures, mut plans) = (0, 0, 0);
    for name in SMALL.iter().cycle().take(40) {
        if plans == 12 {
            break;
        }
        let (engine, source) = example(&format!("tests/plans/{name}.jsonc"));
        let sound = parse(&engine.sources, source).unwrap().to_json();
        let plan = varied(&sound, &mut draws);
        if !opens(&plan) {
            continue;
        }
        let (mut engine, _) = Engine::new();
        let source = engine.sources.add("plan.json", plan.to_string());
        let faults = faults("tests/plans", name);
        let fault = [faults[draws.below(faults.len())].clone()];
        let id = engine.sources.add("fault", fault[0].as_str());
        let node = parse(&engine.sources, id).unwrap();
        if engine.open(source, vec![("fault".to_owned(), node)]).is_err() {
            continue;
        }
        plans += 1;
        let options = ReviewOptions {
            cures: true,
            ..IN_DEPTH
        };
        let review = reviewed(&mut engine, source, &fault, options);
        for set in &review.closing.as_ref().unwrap().sets {
            verify(&mut engine, source, &fault, set);
            sets += 1;
        }
        for finding in &review.findings {
            for cure in &finding.cures {
                let Some(set) = &cure.set else { continue };
                let id = engine.sources.add("fault", fault[0].as_str());
                let planted = parse(&engine.sources, id).unwrap();
                let patch = bywash::read::assignment(&mut engine.sources, set).unwrap();
                let patches = vec![("fault".to_owned(), planted), ("cure".to_owned(), patch)];
                let after = engine.open(source, patches).unwrap();
                let after = engine.review(&after, ReviewOptions::default());
                let same = |other: &&bywash::review::Finding| {
                    other.rule == finding.rule && other.object == finding.object
                };
                assert!(!after.findings.iter().any(|other| same(&other)), "{}", cure.text);
                cures += 1;
            }
        }
    }
    println!("{plans} plans drawn, {sets} sets and {cures} cures tried again");
    assert!(plans == 12 && sets >= 10 && cures >= 5, "{plans} {sets} {cures}");
}

fn page(data: &str) -> String {
    format!("# A page of the house\n\n```json change\n{data}\n```\n")
}

/// A rule of the house on the rim of a pond: its limit, its lever, and rims that fall short and meet.
fn own_page(id: &str, limit: &str, levers: &str, [short, meets]: [&str; 2]) -> String {
    let data = format!(
        r#"{{ "id": "{id}", "severity": "revise", "looks_at": "basins", "when": [{{ "field": "kind", "one_of": ["pond"] }}], "field": "rim", {limit}, "sources": [{{ "kind": "common practice" }}], "levers": [{levers}] }}"#
    );
    let rim = |rim: &str| format!(r#"{{ "basins": {{ "pond": {{ "rim": "{rim}" }} }} }}"#);
    let (short, meets) = (rim(short), rim(meets));
    format!(
        "# {id}\n\n```json rule\n{data}\n```\n\n## Why\n\nThe house builds so.\n\n## Cure\n\nBuild so.\n\n```json falls short at /basins/pond\n{short}\n```\n\n```json meets\n{meets}\n```\n"
    )
}

/// The closing of the sound example under pages of a house and a patch.
fn under_house(pages: &[(&str, String)], patch: &str) -> (Engine, SourceId, Closing) {
    let (mut engine, source) = example("examples/courtyard-retrofit.jsonc");
    let pages: Vec<SourceId> = pages
        .iter()
        .map(|(name, page)| {
            engine
                .sources
                .add(format!("house/levels/{name}.md"), page.as_str())
        })
        .collect();
    engine.take_house(&pages).unwrap();
    let fault = opened(&mut engine, source, &[patch.to_owned()]);
    let closing = engine.closing(&fault, ReviewOptions::default());
    (engine, source, closing)
}

const LOW_RIM: &str = r#"{ "basins": { "pond": { "rim": "-11 in" } } }"#;

fn words(set: &ChangeSet) -> Vec<&str> {
    set.changes.iter().map(|change| change.what.as_str()).collect()
}

/// A lever that the house goes without is offered for no rule, and what stays says so, with the house's reason.
#[test]
fn a_lever_that_the_house_forbids_is_not_offered() {
    let (.., free) = under_house(&[], LOW_RIM);
    assert!(
        words(&free.sets[0]).contains(&"raise the rim"),
        "{:?}",
        words(&free.sets[0])
    );
    let forbids = page(
        r#"{ "rule": "basin-freeboard-still", "without": ["raise the rim"], "reason": "the coping is ordered" }"#,
    );
    let (mut engine, source, closing) = under_house(&[("basin-freeboard-still", forbids)], LOW_RIM);
    for set in &closing.sets {
        assert!(!words(set).contains(&"raise the rim"), "{:?}", words(set));
        verify(&mut engine, source, &[LOW_RIM.to_owned()], set);
    }
    let set = &closing.sets[0];
    assert!(!set.closes_all());
    let told = "the house does not offer: raise the rim (the coping is ordered)";
    assert!(set.left.iter().any(|left| left.contains(told)), "{:?}", set.left);
}

#[test]
fn a_lever_that_a_rule_does_not_have_is_refused_with_the_nearest() {
    let (mut engine, _) = example("examples/courtyard-retrofit.jsonc");
    let text = page(
        r#"{ "rule": "basin-freeboard-still", "without": ["raise the rims"], "reason": "the coping is ordered" }"#,
    );
    let id = engine.sources.add("house/levels/page.md", text);
    let problems = engine.take_house(&[id]).unwrap_err();
    assert_eq!(
        problems[0].message,
        "rule `basin-freeboard-still` has no lever `raise the rims`"
    );
    assert!(format!("{:?}", problems[0]).contains("raise the rim`"));
}

/// Two rules that no plan can meet, each with a lever that undoes the other's: the search ends, and says which stays.
#[test]
fn levers_that_contradict_each_other_come_to_an_end() {
    let high = own_page(
        "house-rim-high",
        r#""at_least": "-4 in""#,
        r#"{ "do": "set the rim higher", "change": "rim", "to": "more", "effort": "setting" }"#,
        ["-6 in", "-3 in"],
    );
    let low = own_page(
        "house-rim-low",
        r#""at_most": "-5 in""#,
        r#"{ "do": "set the rim lower", "change": "rim", "to": "less", "effort": "setting" }"#,
        ["-4 in", "-6 in"],
    );
    let (mut engine, source, closing) =
        under_house(&[("house-rim-high", high), ("house-rim-low", low)], "{}");
    let set = closing.sets.first().unwrap();
    assert!(!set.closes_all());
    assert!(
        set.left.iter().any(|left| left.contains("house-rim-")),
        "{:?}",
        set.left
    );
    verify(&mut engine, source, &["{}".to_owned()], set);
}

/// What only its owner knows no change can close: told as such, with an empty patch.
#[test]
fn a_plan_that_nothing_cures_is_told_with_the_reason() {
    let (mut engine, source) = example("examples/courtyard-retrofit.jsonc");
    let fault = r#"{ "project": { "place": "none" } }"#.to_owned();
    let review = reviewed(&mut engine, source, std::slice::from_ref(&fault), IN_DEPTH);
    assert_eq!(serious(&review).len(), 1);
    let closing = review.closing.unwrap();
    let set = closing.sets.first().unwrap();
    assert!(set.changes.is_empty());
    assert_eq!(set.patch.to_string(), "{}");
    assert!(
        set.left[0].starts_with("project-place-shown at"),
        "{:?}",
        set.left
    );
    assert!(
        set.summary
            .starts_with("no change that was tried closes anything: 0 stop, 1 revise"),
        "{}",
        set.summary
    );
    verify(&mut engine, source, &[fault], set);
}

/// What is grouped under a finding, one change closes together with it; and a cause is never milder than what follows.
#[test]
fn what_follows_is_closed_with_its_cause() {
    let mut grouped = 0;
    for plan in [
        "examples/courtyard-as-sent.jsonc",
        "examples/ledge-run.jsonc",
        "examples/two-ponds.jsonc",
    ] {
        let (mut engine, source) = example(plan);
        let review = reviewed(&mut engine, source, &[], IN_DEPTH);
        for finding in &review.findings {
            let Some(cause) = &finding.follows else { continue };
            let cause = review
                .findings
                .iter()
                .find(|other| other.number == *cause)
                .unwrap();
            assert!(cause.severity <= finding.severity, "{plan}: {}", finding.number);
            grouped += 1;
        }
    }
    assert!(grouped > 3, "{grouped}");
}
