//! The rule library against the sound plan: every card's own examples, run.

use bywash::{
    engine::{Engine, SOUND, Trial},
    figures,
    ledger::Scope,
    plan::Plan,
    read::{Patched, parse},
    rules::{Card, Example, Expect, RuleOutcome, Severity, Subject, judge},
};

fn engine() -> Engine {
    let (engine, loaded) = Engine::new();
    if let Err(problems) = loaded {
        panic!("the library can’t be taken: {problems:#?}");
    }
    engine
}

fn assert_none(failures: &[String]) {
    assert!(
        failures.is_empty(),
        "{} failures:\n{}",
        failures.len(),
        failures.join("\n")
    );
}

/// What every card says of the sound plan and of its own examples.
fn tried(of: impl Fn(&Trial<'_>, &Card) -> Vec<String>) -> Vec<String> {
    let mut engine = engine();
    let trial = Trial::new(&mut engine).unwrap();
    let cards = trial.engine().library.cards.iter();
    cards
        .flat_map(|card| {
            of(&trial, card)
                .into_iter()
                .map(|why| format!("{}: {why}", card.id))
        })
        .collect()
}

#[test]
fn the_sound_plan_keeps_every_rule() {
    let mut engine = engine();
    let trial = Trial::new(&mut engine).unwrap();
    let failures = trial.engine().library.cards.iter().flat_map(|card| {
        let told = trial.over_sound_plan(card);
        told.into_iter().map(|why| format!("{}: {why}", card.id))
    });
    assert_none(&failures.collect::<Vec<_>>());
}

/// An example that falls short raises its rule there; none that meets it raises it or leaves a question, and one of
/// them is judged to meet it: an example may also show where the rule stops to apply.
#[test]
fn every_card_s_examples_come_out_as_they_say() {
    assert_none(&tried(|trial, card| trial.of(card, &card.examples)));
}

/// Rules that look only at plans that fall short of others: nothing can meet the first without breaking the rest.
const ONLY_WHERE_BROKEN: [(&str, &[&str]); 1] = [(
    "basin-uplift-stoned",
    &["filling-bed-at-once", "basin-uplift-empty"],
)];

/// The rule book prints a card's first right example, so it is right by every rule that asks for more than advice.
#[test]
fn what_meets_one_rule_breaks_no_other() {
    let mut engine = engine();
    let source = engine.sources.add("the sound plan", SOUND);
    let cards = &engine.library.cards;
    let failures = cards.iter().filter_map(|card| {
        let excused = ONLY_WHERE_BROKEN.iter().find(|(id, _)| *id == card.id);
        let excused = excused.map_or(&[][..], |(_, others)| others);
        let other = |id: &str| id != card.id && !excused.contains(&id);
        let meets = |example: &&Example| example.expect == Expect::Meets;
        let example = card.examples.iter().find(meets)?;
        let patches = vec![(String::new(), example.patch.clone())];
        let broken = match engine.open(source, patches) {
            Ok(opened) => judge(cards, &opened.tree.root, &opened.ledger)
                .into_iter()
                .filter(|judged| matches!(judged.outcome, RuleOutcome::FallsShort(_)))
                .filter(|judged| other(&judged.card.id) && judged.card.severity != Severity::Advise)
                .map(|judged| format!("{} at {}", judged.card.id, judged.object.as_str()))
                .collect::<Vec<_>>(),
            Err(problems) => problems.into_iter().map(|problem| problem.message).collect(),
        };
        (!broken.is_empty()).then(|| format!("{} breaks {}", card.id, broken.join(", ")))
    });
    assert_none(&failures.collect::<Vec<_>>());
}

/// The trial is no rubber stamp: an example under the wrong sign fails it.
#[test]
fn an_example_under_the_wrong_sign_is_told() {
    let turned = |example: &Example| Example {
        patch: example.patch.clone(),
        expect: Expect::Meets,
    };
    let caught = tried(|trial, card| {
        let short = card
            .examples
            .iter()
            .filter(|example| example.expect != Expect::Meets);
        let turned: Vec<Example> = short.map(turned).collect();
        trial.of(card, &turned)
    });
    assert!(caught.len() >= engine().library.cards.len(), "{caught:#?}");
}

/// One title has one publisher, spelled out; only ordinances of several places bear one title.
#[test]
fn a_work_is_named_one_way_wherever_it_is_cited() {
    let engine = engine();
    let sources = engine.library.cards.iter().flat_map(|card| &card.sources);
    let published: Vec<_> = sources.filter(|source| source.kind == "published").collect();
    assert!(published.len() > 100, "{}", published.len());
    let mut publishers: std::collections::HashMap<&str, &str> = std::collections::HashMap::new();
    for source in published {
        let (title, publisher) = (source.title.as_str(), source.publisher.as_str());
        assert!(!publisher.contains(" & "), "{publisher}");
        assert!(
            !["NRCS", "FHWA", "US EPA"]
                .iter()
                .any(|short| publisher.contains(short)),
            "{publisher}"
        );
        let known = publishers.entry(title).or_insert(publisher);
        assert!(
            *known == publisher || title == "Local barrier ordinance",
            "{title}: {known}, {publisher}"
        );
        let takes = source.takes.as_deref().unwrap_or_default();
        assert!(
            takes.split(' ').count() > 2 || !takes.starts_with(|c: char| c.is_ascii_digit()),
            "{takes}"
        );
    }
}

#[test]
fn rules_have_ids_of_their_own_in_kebab_case() {
    let engine = engine();
    let mut ids: Vec<_> = engine.library.cards.iter().map(|card| card.id.as_str()).collect();
    let (count, crooked) = (ids.len(), ids.iter().filter(|id| !kebab(id)).collect::<Vec<_>>());
    assert!(crooked.is_empty(), "not in kebab case: {crooked:?}");
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "an id stands twice");
    assert!(count > 100, "the library holds {count} cards");
}

fn kebab(id: &str) -> bool {
    id.split('-')
        .all(|word| !word.is_empty() && word.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit()))
}

#[test]
fn every_figure_is_named_in_words_and_says_how_it_is_found() {
    let mut seen: Vec<(Scope, &str)> = Vec::new();
    let mut failures = Vec::new();
    for figure in figures::catalogue() {
        let name = figure.name;
        if !kebab(name) {
            failures.push(format!("{name} is not in kebab case"));
        }
        if figure.title.is_empty() || figure.words.is_empty() || figure.source.is_empty() {
            failures.push(format!("{name} lacks title, words or source"));
        }
        if figure.kind.is_some() && figure.symbols.is_empty() {
            failures.push(format!("{name} is a quantity and lacks symbols"));
        }
        if seen.contains(&(figure.of, name)) {
            failures.push(format!("{name} stands twice for {:?}", figure.of));
        }
        seen.push((figure.of, name));
    }
    assert_none(&failures);
}

/// A limit or a value by name is read of the object that the card looks at; one that is never entered would let a
/// rule pass unseen.
#[test]
fn every_figure_that_a_rule_asks_for_is_computed_somewhere() {
    let mut engine = engine();
    let source = engine.sources.add("the sound plan", SOUND);
    let sound = parse(&engine.sources, source).unwrap();
    let mut failures = Vec::new();
    for card in &engine.library.cards {
        for test in card.when.iter().chain(&card.revise_when).chain([&card.asks]) {
            let Subject::Figure(definition) = &test.subject else {
                continue;
            };
            let computed = card.examples.iter().any(|example| {
                let mut patched = Patched::new(sound.clone());
                patched.apply(example.patch.clone());
                let ledger = figures::compute(&Plan::from_tree(&patched.root).unwrap());
                ledger
                    .iter()
                    .any(|figure| figure.definition.name == definition.name && figure.answer.is_ok())
            });
            if !computed {
                failures.push(format!("{}: no example computes {}", card.id, definition.name));
            }
        }
    }
    assert_none(&failures);
}
