//! Spot-the-fault sheets: faults planted into a sound plan from the rules' own examples.
//!
//! What is planted is verified: every rule planted is raised at its place, and no fault stands on the plan that was
//! not planted. The same seed gives the same sheet.

use std::collections::BTreeSet;

use serde::Serialize;

use super::{
    examples::{Change, changes, places},
    level::{DrillLevel, left_out},
    plan_table::{self, Part},
    seeded::Seeded,
};
use crate::{
    engine::{Engine, Opened, ReviewOptions},
    quantity::{UnitSystem, own_first},
    read::{Node, Place, Problem, SourceId, takes_away},
    review::{Finding, Review},
    rules::{Bound, Card, Example, Expect, Severity, Subject},
};

/// Rules listed beside the plan for each fault that is planted: those planted and as many more.
const RULES_PER_FAULT: usize = 4;

/// Why no sheet could be made.
#[derive(Debug, thiserror::Error)]
pub enum DrillError {
    /// The plan can't be read.
    #[error("the plan can’t be read")]
    Plan(Vec<Problem>),
    /// The plan is not sound to begin with.
    #[error("the plan falls short of `{rule}` already; a drill starts from a sound plan")]
    NotSound {
        /// The first rule that it falls short of.
        rule: String,
    },
    /// Fewer faults go together than were asked for.
    #[error("only {most} faults can be planted together on this plan")]
    TooMany {
        /// As many as go together under this seed.
        most: usize,
    },
}

/// A drill: the sheet that is handed out, and the key that is kept.
pub struct Drill {
    /// What is handed out.
    pub sheet: DrillSheet,
    /// What was planted, in the order of the key.
    pub key: Vec<PlantedFault>,
    /// The plan with the faults in it.
    pub opened: Opened,
    /// Its review.
    pub review: Review,
    /// The plan as the sheet shows it, where the sheet leaves values out.
    pub shown: Option<Opened>,
    /// The values that the sheet leaves out.
    pub left_out: Vec<Change>,
    /// The patches that planted the faults, by rule.
    planted: Vec<(String, Node)>,
}

/// The sheet: a plan with faults in it, the rules to hold it against, and room for answers.
#[derive(Clone, Debug, Serialize)]
pub struct DrillSheet {
    /// The name of the job.
    pub name: String,
    /// The seed it was drawn from.
    pub seed: u64,
    /// How much it gives beside the plan.
    pub level: DrillLevel,
    /// How many faults are planted; a sheet as sent does not say.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub faults: Option<usize>,
    /// Answers that it has room for.
    pub answers: usize,
    /// The plan, object by object.
    pub plan: Vec<Part>,
    /// What the water does, as computed: object and figures; empty on a sheet without figures.
    pub water: Vec<Part>,
    /// Rules to hold the plan against, by discipline; those planted are among them. Empty on a sheet as sent.
    pub rules: Vec<ListedRule>,
}

/// A rule as the sheet lists it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ListedRule {
    /// Its discipline.
    pub discipline: String,
    /// What it judges.
    pub title: String,
    /// What it asks.
    pub asks: String,
    /// How a yes-or-no figure is judged; empty where the limit says it.
    pub judged_by: String,
}

/// A fault that was planted.
#[derive(Clone, Debug, Serialize)]
pub struct PlantedFault {
    /// What was changed.
    pub changes: Vec<Change>,
    /// What it raises.
    pub finding: Finding,
    /// What follows from it: rules and headlines.
    pub echoes: Vec<(String, String)>,
}

/// An example that may be planted.
struct Seedling<'c> {
    card: &'c Card,
    example: &'c Example,
    object: &'c Place,
}

/// Plants faults into a plan.
///
/// # Errors
/// A plan that can't be read or is not sound, or more faults than go together.
pub fn plant(engine: &Engine, plan: SourceId, faults: usize, seed: u64) -> Result<Drill, DrillError> {
    let sound = review(engine, plan, Vec::new())?.1;
    if let Some(finding) = sound
        .findings
        .iter()
        .find(|finding| finding.severity != Severity::Advise)
    {
        return Err(DrillError::NotSound {
            rule: finding.rule.clone(),
        });
    }
    let known: BTreeSet<Identity> = sound.findings.iter().map(identity).collect();
    let mut seedlings = seedlings(&engine.library.cards);
    Seeded::new(seed).shuffle(&mut seedlings);
    let mut planted: Vec<Seedling<'_>> = Vec::new();
    let mut last = None;
    for seedling in seedlings {
        if planted.len() == faults {
            break;
        }
        if !goes_with(&planted, &seedling, faults) {
            continue;
        }
        planted.push(seedling);
        match review(engine, plan, patches(&planted)) {
            Ok((opened, review)) if believable(&review, &planted, &known) => last = Some(opened),
            _ => drop(planted.pop()),
        }
    }
    let (Some(opened), true) = (last, planted.len() == faults) else {
        return Err(DrillError::TooMany { most: planted.len() });
    };
    let options = ReviewOptions {
        cures: true,
        ..ReviewOptions::default()
    };
    let review = engine.review(&opened, options);
    let key = key(engine, &opened, &review, &planted);
    let planted = patches(&planted);
    Ok(Drill {
        sheet: sheet(engine, &opened, &review, &planted, seed),
        key,
        opened,
        review,
        shown: None,
        left_out: Vec::new(),
        planted,
    })
}

impl Drill {
    /// Makes the sheet of a level; what was planted, and the key it is graded by, stay.
    ///
    /// # Errors
    /// A plan that can't be read once values are left out; none is known.
    pub fn set_level(&mut self, engine: &Engine, level: DrillLevel) -> Result<(), DrillError> {
        self.sheet = sheet(engine, &self.opened, &self.review, &self.planted, self.sheet.seed);
        self.sheet.level = level;
        self.shown = None;
        self.left_out.clear();
        if level != DrillLevel::Figures {
            self.sheet.water.clear();
        }
        if level != DrillLevel::Sent {
            return Ok(());
        }
        self.sheet.rules.clear();
        self.sheet.faults = None;
        self.sheet.answers = room_for(self.key.len());
        let planted: Vec<Place> = self.planted.iter().flat_map(|(_, patch)| places(patch)).collect();
        let without = |removed: &[Node]| {
            let removed = removed.iter().map(|patch| (String::new(), patch.clone()));
            let patches = self.planted.iter().cloned().chain(removed).collect();
            review(engine, self.opened.source, patches)
        };
        let keeps = |removed: &[Node]| without(removed).is_ok_and(|(_, review)| self.graded_alike(&review));
        let gone = left_out(
            engine.book(),
            &self.opened.tree.root,
            &planted,
            self.sheet.seed,
            keeps,
        );
        let (changes, removed): (Vec<Change>, Vec<Node>) = gone.into_iter().unzip();
        let (shown, _) = without(&removed)?;
        self.sheet.plan = plan_table::parts(engine.book(), &shown.tree.root);
        self.shown = Some(shown);
        self.left_out = changes;
        Ok(())
    }

    /// Whether a review of the plan with values left out raises every fault of the key as it stands there, and no other.
    fn graded_alike(&self, review: &Review) -> bool {
        let same = |a: &Finding, b: &Finding| {
            identity(a) == identity(b) && a.severity == b.severity && a.headline == b.headline
        };
        let in_key = |planted: &PlantedFault| {
            let stands = |finding: &Finding| same(finding, &planted.finding);
            review.findings.iter().any(stands)
        };
        let known = |finding: &Finding| {
            let before = &self.review.findings;
            before.iter().any(|other| identity(other) == identity(finding))
        };
        self.key.iter().all(in_key) && review.findings.iter().all(known)
    }
}

/// Answers that a sheet has room for where it does not say how many faults it holds: a full page of them at least.
fn room_for(faults: usize) -> usize {
    const STEP: usize = 6;
    (faults / STEP + 2) * STEP
}

/// Every example that falls short, of every rule; a value that is taken away is a question, not a fault to be seen.
fn seedlings(cards: &[Card]) -> Vec<Seedling<'_>> {
    let of_card = |card| {
        let card: &Card = card;
        card.examples
            .iter()
            .filter_map(move |example| match &example.expect {
                Expect::FallsShort(object) if !takes_away(&example.patch) => Some(Seedling {
                    card,
                    example,
                    object,
                }),
                _ => None,
            })
    };
    cards.iter().flat_map(of_card).collect()
}

/// Whether a fault goes with those planted: it touches other values, is of another rule, and no discipline has more
/// than its share.
fn goes_with(planted: &[Seedling<'_>], next: &Seedling<'_>, faults: usize) -> bool {
    let own = places(&next.example.patch);
    let apart = |other: &Seedling<'_>| {
        let others = places(&other.example.patch);
        other.card.id != next.card.id
            && own
                .iter()
                .all(|a| others.iter().all(|b| !a.holds(b) && !b.holds(a)))
    };
    let of_discipline = planted
        .iter()
        .filter(|other| other.card.discipline == next.card.discipline);
    planted.iter().all(apart) && of_discipline.count() < faults.div_ceil(4).max(1)
}

fn patches(planted: &[Seedling<'_>]) -> Vec<(String, Node)> {
    planted
        .iter()
        .map(|seedling| (seedling.card.id.clone(), seedling.example.patch.clone()))
        .collect()
}

fn review(
    engine: &Engine,
    plan: SourceId,
    patches: Vec<(String, Node)>,
) -> Result<(Opened, Review), DrillError> {
    let opened = engine.open(plan, patches).map_err(DrillError::Plan)?;
    let review = engine.review(&opened, ReviewOptions::default());
    Ok((opened, review))
}

/// What tells one finding from another.
type Identity = (String, Place);

fn identity(finding: &Finding) -> Identity {
    (finding.rule.clone(), finding.object.clone())
}

/// Whether every fault planted is raised at its place, and every fault on the plan was planted.
fn believable(review: &Review, planted: &[Seedling<'_>], known: &BTreeSet<Identity>) -> bool {
    let raised = |seedling: &Seedling<'_>| {
        review
            .findings
            .iter()
            .any(|finding| finding.rule == seedling.card.id && finding.object == *seedling.object)
    };
    let new = review
        .findings
        .iter()
        .filter(|finding| !known.contains(&identity(finding)));
    let causes = new.filter(|finding| finding.follows.is_none());
    let expected = |finding: &Finding| {
        group(review, finding).any(|member| {
            planted
                .iter()
                .any(|seedling| seedling.card.id == member.rule && *seedling.object == member.object)
        })
    };
    let questions = review
        .questions
        .iter()
        .all(|question| question.severity != Severity::Stop);
    planted.iter().all(raised) && causes.into_iter().all(expected) && questions
}

/// A fault: its cause and what follows from it.
fn group<'r>(review: &'r Review, cause: &'r Finding) -> impl Iterator<Item = &'r Finding> {
    let follows = |finding: &&Finding| finding.follows.as_ref() == Some(&cause.number);
    std::iter::once(cause).chain(review.findings.iter().filter(follows))
}

fn key(engine: &Engine, opened: &Opened, review: &Review, planted: &[Seedling<'_>]) -> Vec<PlantedFault> {
    let context = engine.context(opened, ReviewOptions::default());
    let mut key: Vec<PlantedFault> = planted
        .iter()
        .filter_map(|seedling| {
            let finding = review
                .findings
                .iter()
                .find(|finding| finding.rule == seedling.card.id && finding.object == *seedling.object)?;
            let cause = finding.follows.as_ref().unwrap_or(&finding.number);
            let of_fault = review
                .findings
                .iter()
                .filter(|other| other.number == *cause || other.follows.as_ref() == Some(cause));
            let echoes = of_fault
                .filter(|other| other.number != finding.number)
                .map(|other| (other.rule.clone(), other.headline.clone()));
            Some(PlantedFault {
                changes: changes(&context, &seedling.example.patch),
                finding: finding.clone(),
                echoes: echoes.collect(),
            })
        })
        .collect();
    let rank = |planted: &PlantedFault| {
        let number = &planted.finding.number;
        review
            .findings
            .iter()
            .position(|finding| finding.number == *number)
    };
    key.sort_by_key(rank);
    key
}

fn sheet(
    engine: &Engine,
    opened: &Opened,
    review: &Review,
    planted: &[(String, Node)],
    seed: u64,
) -> DrillSheet {
    let units = engine.context(opened, ReviewOptions::default()).units;
    DrillSheet {
        name: review.subject.name.clone(),
        seed,
        level: DrillLevel::Figures,
        faults: Some(planted.len()),
        answers: planted.len(),
        plan: plan_table::parts(engine.book(), &opened.tree.root),
        water: water(review),
        rules: rules(engine, review, planted, seed, units),
    }
}

/// The computed figures with a value, by object.
fn water(review: &Review) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    for figure in &review.figures {
        let Some(value) = figure.value.as_ref().filter(|value| value.si.is_some()) else {
            continue;
        };
        let row = (figure.title.clone(), value.text.clone());
        match parts.last_mut() {
            Some(part) if part.title == figure.object_name => part.rows.push(row),
            _ => parts.push(Part {
                title: figure.object_name.clone(),
                rows: vec![row],
            }),
        }
    }
    parts
}

/// The rules planted among others that the plan keeps, by discipline.
fn rules(
    engine: &Engine,
    review: &Review,
    planted: &[(String, Node)],
    seed: u64,
    units: UnitSystem,
) -> Vec<ListedRule> {
    let is_planted = |card: &&Card| planted.iter().any(|(rule, _)| *rule == card.id);
    let kept = |card: &&Card| review.met.iter().any(|met| met.rule == card.id);
    let cards = &engine.library.cards;
    let mut others: Vec<&Card> = cards
        .iter()
        .filter(|card| !is_planted(card) && kept(card))
        .collect();
    Seeded::new(seed ^ 1).shuffle(&mut others);
    others.truncate(planted.len() * (RULES_PER_FAULT - 1));
    let mut listed: Vec<&Card> = cards.iter().filter(is_planted).chain(others).collect();
    listed.sort_by(|a, b| (&a.discipline, &a.title).cmp(&(&b.discipline, &b.title)));
    listed
        .into_iter()
        .map(|card| ListedRule {
            discipline: card.discipline.clone(),
            title: card.title.clone(),
            asks: card.asks.in_words(Some(units)),
            judged_by: match (&card.asks.subject, &card.asks.bound) {
                (Subject::Figure(definition), Bound::Is(_)) => own_first(definition.words, units),
                _ => String::new(),
            },
        })
        .collect()
}
