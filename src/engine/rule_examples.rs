//! Rules tried by their own examples: merge patches over a sound plan, and what the rule must say of each.

use crate::{
    engine::Engine,
    figures,
    read::{Node, Patched, Place, Problem, parse, takes_away},
    rules::{Bound, Card, Effect, Example, Expect, HouseRule, Judged, RuleOutcome, judge},
};

/// The plan that every rule's examples patch.
pub const SOUND: &str = include_str!("../../examples/courtyard-retrofit.jsonc");

/// A sound plan to try rules over.
pub struct Trial<'a> {
    engine: &'a Engine,
    sound: Node,
}

impl<'a> Trial<'a> {
    /// A trial over the sound plan that comes with the program.
    ///
    /// # Errors
    /// What keeps the plan from being read.
    pub fn new(engine: &'a mut Engine) -> Result<Self, Vec<Problem>> {
        let source = engine.sources.add("the sound plan", SOUND);
        let sound = parse(&engine.sources, source)?;
        Ok(Self { engine, sound })
    }

    /// The engine it is made on.
    pub fn engine(&self) -> &'a Engine {
        self.engine
    }

    /// What a rule's examples show against it, a line each: each must come out as it says.
    pub fn of(&self, card: &Card, examples: &[Example]) -> Vec<String> {
        let mut failures: Vec<String> = Vec::new();
        let mut met = false;
        for (index, example) in examples.iter().enumerate() {
            let outcome = self
                .judged(card, example)
                .and_then(|judged| match &example.expect {
                    Expect::FallsShort(place) => raised(card, example, place, &judged),
                    Expect::Meets => {
                        met |= judged
                            .iter()
                            .any(|judged| matches!(judged.outcome, RuleOutcome::Meets(_)));
                        settled(&judged)
                    }
                });
            failures.extend(outcome.err().map(|why| format!("example {}: {why}", index + 1)));
        }
        if failures.is_empty() && !met && !examples.is_empty() {
            failures.push("none of its examples meets it".to_owned());
        }
        failures
    }

    /// What the examples of a house's rule show against it. A rule of its own must also leave the sound plan alone; a
    /// tightened one may catch it, and one that is switched off has nothing to show.
    pub fn of_house(&self, rule: &HouseRule) -> Vec<String> {
        let mut failures = match rule.effect {
            Effect::New => self.over_sound_plan(&rule.card),
            Effect::Off => return Vec::new(),
            Effect::Tighter | Effect::Looser | Effect::Other => Vec::new(),
        };
        failures.extend(self.of(&rule.card, &rule.examples));
        failures
    }

    /// What a rule says of the sound plan itself that it should not, a line each.
    pub fn over_sound_plan(&self, card: &Card) -> Vec<String> {
        let judged = self.judge(card, &self.sound);
        let outcome = judged.and_then(|judged| settled(&judged));
        outcome
            .err()
            .map(|why| format!("the sound plan: {why}"))
            .into_iter()
            .collect()
    }

    fn judged<'c>(&self, card: &'c Card, example: &Example) -> Result<Vec<Judged<'c>>, String> {
        let mut patched = Patched::new(self.sound.clone());
        patched.apply(example.patch.clone());
        self.judge(card, &patched.root)
    }

    fn judge<'c>(&self, card: &'c Card, tree: &Node) -> Result<Vec<Judged<'c>>, String> {
        let plan = self.engine.plan_of(tree).map_err(|problems| {
            let told: Vec<String> = problems.into_iter().map(|problem| problem.message).collect();
            format!("the patched plan can’t be read: {}", told.join("; "))
        })?;
        Ok(judge(std::slice::from_ref(card), tree, &figures::compute(&plan)))
    }
}

fn raised(card: &Card, example: &Example, place: &Place, judged: &[Judged<'_>]) -> Result<(), String> {
    let raises = |outcome: &RuleOutcome| match outcome {
        RuleOutcome::FallsShort(_) => true,
        // Taken away, a value that must be shown is asked for.
        RuleOutcome::NotShown(_) => matches!(card.asks.bound, Bound::Shown) || takes_away(&example.patch),
        _ => false,
    };
    let there = judged.iter().find(|judged| judged.object == *place);
    match there {
        Some(judged) if raises(&judged.outcome) => Ok(()),
        Some(judged) => Err(format!(
            "is not raised at {}: {}",
            shown(place),
            outcome_in_words(&judged.outcome)
        )),
        None => Err(format!("looks at nothing at {}", shown(place))),
    }
}

fn settled(judged: &[Judged<'_>]) -> Result<(), String> {
    let open = judged
        .iter()
        .find(|judged| !matches!(judged.outcome, RuleOutcome::Meets(_) | RuleOutcome::DoesNotApply));
    match open {
        None => Ok(()),
        Some(judged) => Err(format!(
            "is raised at {}: {}",
            shown(&judged.object),
            outcome_in_words(&judged.outcome)
        )),
    }
}

fn shown(place: &Place) -> &str {
    if place.as_str().is_empty() {
        "/"
    } else {
        place.as_str()
    }
}

/// An outcome in a few words.
fn outcome_in_words(outcome: &RuleOutcome) -> String {
    match outcome {
        RuleOutcome::Meets(_) => "met".to_owned(),
        RuleOutcome::FallsShort(_) => "falls short".to_owned(),
        RuleOutcome::NotShown(places) => {
            let places: Vec<&str> = places.iter().map(Place::as_str).collect();
            format!("waits for {}", places.join(", "))
        }
        RuleOutcome::NotComputed(why) => format!("could not be evaluated: {why}"),
        RuleOutcome::DoesNotApply => "does not apply".to_owned(),
    }
}
