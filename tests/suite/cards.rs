//! The rule library against the sound plan: every card's own examples, run.

use std::fmt::Write as _;

use bywash::{
    check::{Schema, check},
    figures::{self, Scope},
    plan::Plan,
    read::{Node, Patched, Place, Sources, parse},
    rules::{Bound, Card, Example, Expect, Judged, Library, Outcome, Subject, judge},
};

const SCHEMA: &str = include_str!("../../schema/plan.schema.json");
const SOUND_PLAN: &str = include_str!("../../examples/courtyard-retrofit.jsonc");

struct Desk {
    sources: Sources,
    schema: Schema,
    library: Library,
    sound: Node,
}

impl Desk {
    fn new() -> Self {
        let schema = Schema::new(SCHEMA).unwrap();
        let mut sources = Sources::default();
        let library = Library::embedded(&mut sources, schema.book());
        let library = match library {
            Ok(library) => library,
            Err(problems) => panic!("the library can't be taken: {problems:#?}"),
        };
        let source = sources.add("examples/courtyard-retrofit.jsonc", SOUND_PLAN);
        let sound = parse(&sources, source).unwrap();
        Self {
            sources,
            schema,
            library,
            sound,
        }
    }

    /// What the schema says against a plan, a line each.
    fn refusals(&self, plan: &Node) -> Vec<String> {
        let line = |problem: &bywash::read::Problem| match &problem.at {
            Some((span, _)) => format!("{} (`{}`)", problem.message, self.sources.slice(*span)),
            None => problem.message.clone(),
        };
        check(&self.schema, plan).iter().map(line).collect()
    }

    /// A card judged over the sound plan under an example's patch.
    fn judged<'c>(&self, card: &'c Card, example: &Example) -> Result<Vec<Judged<'c>>, String> {
        let mut patched = Patched::new(self.sound.clone());
        patched.apply(example.patch.clone());
        let refusals = self.refusals(&patched.root);
        if !refusals.is_empty() {
            return Err(format!("the schema refuses the patch: {}", refusals.join("; ")));
        }
        Ok(judge_plan(std::slice::from_ref(card), &patched.root))
    }
}

fn judge_plan<'c>(cards: &'c [Card], tree: &Node) -> Vec<Judged<'c>> {
    let plan = Plan::from_tree(tree).unwrap();
    judge(cards, tree, &figures::compute(&plan))
}

fn assert_none(failures: &[String]) {
    assert!(
        failures.is_empty(),
        "{} failures:\n{}",
        failures.len(),
        failures.join("\n")
    );
}

/// How a card came out, object by object.
fn outcomes(judged: &[Judged<'_>]) -> String {
    let mut text = String::new();
    for Judged { object, outcome, .. } in judged {
        write!(text, "\n      {object}: {outcome:?}").unwrap();
    }
    text
}

#[test]
fn the_sound_plan_keeps_every_rule() {
    let desk = Desk::new();
    assert_none(&desk.refusals(&desk.sound));
    let failures: Vec<_> = judge_plan(&desk.library.cards, &desk.sound)
        .into_iter()
        .filter(|judged| !matches!(judged.outcome, Outcome::Meets(_) | Outcome::DoesNotApply))
        .map(|judged| format!("{} at {}: {:?}", judged.card.id, judged.object, judged.outcome))
        .collect();
    assert_none(&failures);
}

#[test]
fn every_example_that_falls_short_raises_its_rule_there() {
    let desk = Desk::new();
    let mut failures = Vec::new();
    for (card, example, place) in desk.library.cards.iter().flat_map(short_examples) {
        let raised = |outcome: &Outcome| match outcome {
            Outcome::FallsShort(_) => true,
            // Taken away, a value that must be shown is asked for.
            Outcome::NotShown(_) => matches!(card.asks.bound, Bound::Shown) || takes_away(&example.patch),
            _ => false,
        };
        match desk.judged(card, example) {
            Err(why) => failures.push(format!("{}: {why}", card.id)),
            Ok(judged) => {
                let there = judged.iter().find(|judged| judged.object == *place);
                if !there.is_some_and(|judged| raised(&judged.outcome)) {
                    let outcomes = outcomes(&judged);
                    failures.push(format!("{} is not raised at {place}:{outcomes}", card.id));
                }
            }
        }
    }
    assert_none(&failures);
}

fn short_examples(card: &Card) -> impl Iterator<Item = (&Card, &Example, &Place)> {
    card.examples
        .iter()
        .filter_map(move |example| match &example.expect {
            Expect::FallsShort(place) => Some((card, example, place)),
            Expect::Meets => None,
        })
}

/// Whether a patch takes a value away.
fn takes_away(patch: &Node) -> bool {
    use bywash::read::Value;
    match &patch.value {
        Value::Null => true,
        Value::Object(members) => members.values().any(|member| takes_away(&member.node)),
        _ => false,
    }
}

/// No example that meets its rule raises it or leaves a question, and one of each card's is judged to meet it: an
/// example may also show where the rule stops to apply.
#[test]
fn every_example_that_meets_its_rule_raises_nothing() {
    let desk = Desk::new();
    let mut failures = Vec::new();
    for card in &desk.library.cards {
        let mut met = false;
        for example in card.examples.iter().filter(|e| e.expect == Expect::Meets) {
            match desk.judged(card, example) {
                Err(why) => failures.push(format!("{}: {why}", card.id)),
                Ok(judged) => {
                    met |= judged.iter().any(|j| matches!(j.outcome, Outcome::Meets(_)));
                    let settled =
                        |outcome: &Outcome| matches!(outcome, Outcome::Meets(_) | Outcome::DoesNotApply);
                    if !judged.iter().all(|judged| settled(&judged.outcome)) {
                        let outcomes = outcomes(&judged);
                        failures.push(format!(
                            "{} is raised by an example that meets it:{outcomes}",
                            card.id
                        ));
                    }
                }
            }
        }
        if !met {
            failures.push(format!("{} is met by none of its examples", card.id));
        }
    }
    assert_none(&failures);
}

#[test]
fn rules_have_ids_of_their_own_in_kebab_case() {
    let desk = Desk::new();
    let mut ids: Vec<_> = desk.library.cards.iter().map(|card| card.id.as_str()).collect();
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
    let desk = Desk::new();
    let mut failures = Vec::new();
    for card in &desk.library.cards {
        for test in card.when.iter().chain([&card.asks]) {
            let Subject::Figure(definition) = &test.subject else {
                continue;
            };
            let computed = card.examples.iter().any(|example| {
                let mut patched = Patched::new(desk.sound.clone());
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
