//! The rule book: every rule of the library with a right example before a wrong one.

use indexmap::IndexMap;
use serde::Serialize;

use super::{
    chapters::{self, CAUTION, GLOSSARY, Term},
    examples::{Change, Worked, first},
    plan_table::{self, Part},
};
use crate::{
    engine::{Engine, Opened, ReviewOptions, SOUND},
    quantity::UnitSystem,
    read::{Problem, SourceId},
    review::{CAUTIONS, Review},
    rules::{Card, Severity, Source},
};

/// The rule book.
#[derive(Clone, Debug, Serialize)]
pub struct Handbook {
    /// Version of the program that made it.
    pub version: &'static str,
    /// A chapter for each discipline.
    pub chapters: Vec<Chapter>,
    /// The sound plan that every example changes, object by object.
    pub plan: Vec<Part>,
    /// The words of the trade.
    pub glossary: Vec<Term>,
    /// The published sources, and the rules that rest on each.
    pub sources: Vec<Reference>,
    /// What a reader must bear in mind.
    pub cautions: Vec<&'static str>,
}

/// The rules of one discipline.
#[derive(Clone, Debug, Serialize)]
pub struct Chapter {
    /// The discipline's name.
    pub discipline: String,
    /// Its heading.
    pub title: String,
    /// What it is about.
    pub about: String,
    /// Its rules, those to stop for first.
    pub lessons: Vec<Lesson>,
}

/// One rule, to be learned.
#[derive(Clone, Debug, Serialize)]
pub struct Lesson {
    /// The rule's id.
    pub id: String,
    /// What it judges.
    pub title: String,
    /// How bad it is when it falls short.
    pub severity: Severity,
    /// Whether it keeps people from harm.
    pub protects_people: bool,
    /// What is looked at, and what is asked of it.
    pub asks: String,
    /// Where it applies; empty where always.
    pub applies: String,
    /// Why it matters.
    pub why: String,
    /// What to do.
    pub cure: String,
    /// Where the limit comes from.
    pub sources: Vec<String>,
    /// What a house made of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub house: Option<String>,
    /// What both examples change.
    pub both: Vec<Change>,
    /// An example that meets it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub right: Option<Worked>,
    /// An example that falls short.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wrong: Option<Worked>,
}

/// A published source and the rules that rest on it.
#[derive(Clone, Debug, Serialize)]
pub struct Reference {
    /// Title, publisher and edition.
    pub source: String,
    /// Ids of the rules.
    pub rules: Vec<String>,
}

/// A rule book, and the sound plan to draw.
pub struct RuleBook {
    /// What it says.
    pub pages: Handbook,
    /// The sound plan.
    pub opened: Opened,
    /// Its review.
    pub review: Review,
}

/// The rule book of a engine's library, house rules and all.
///
/// # Errors
/// A sound plan that can't be read.
pub fn handbook(engine: &mut Engine) -> Result<RuleBook, Vec<Problem>> {
    let plan = engine.sources.add("the sound plan", SOUND);
    let engine = &*engine;
    let opened = engine.open(plan, Vec::new())?;
    let review = engine.review(&opened, ReviewOptions::default());
    Ok(RuleBook {
        pages: pages(engine, plan, &opened),
        opened,
        review,
    })
}

fn pages(engine: &Engine, plan: SourceId, opened: &Opened) -> Handbook {
    let mut chapters: IndexMap<&str, Vec<&Card>> = IndexMap::new();
    for card in &engine.library.cards {
        chapters.entry(&card.discipline).or_default().push(card);
    }
    chapters.sort_by(|a, _, b, _| chapters::rank(a).cmp(&chapters::rank(b)));
    Handbook {
        version: env!("CARGO_PKG_VERSION"),
        chapters: chapters
            .into_iter()
            .map(|(discipline, cards)| chapter(engine, plan, discipline, cards))
            .collect(),
        plan: plan_table::parts(engine.book(), &opened.tree.root),
        glossary: GLOSSARY.to_vec(),
        sources: references(&engine.library.cards),
        cautions: cautions(),
    }
}

/// The cautions of every review, the first in words that fit a book.
fn cautions() -> Vec<&'static str> {
    let rest = CAUTIONS.iter().skip(1).copied();
    std::iter::once(CAUTION).chain(rest).collect()
}

fn chapter(engine: &Engine, plan: SourceId, discipline: &str, mut cards: Vec<&Card>) -> Chapter {
    cards.sort_by_key(|card| (card.severity, !card.protects_people));
    let (title, about) = chapters::about(discipline);
    Chapter {
        discipline: discipline.to_owned(),
        title,
        about: about.to_owned(),
        lessons: cards.into_iter().map(|card| lesson(engine, plan, card)).collect(),
    }
}

fn lesson(engine: &Engine, plan: SourceId, card: &Card) -> Lesson {
    let units = Some(UnitSystem::Us);
    let (mut right, mut wrong) = (first(engine, plan, card, true), first(engine, plan, card, false));
    Lesson {
        both: in_both(right.as_mut(), wrong.as_mut()),
        id: card.id.clone(),
        title: card.title.clone(),
        severity: card.severity,
        protects_people: card.protects_people,
        asks: card.asks.in_words(units),
        applies: card.conditions(units),
        why: card.why.clone(),
        cure: card.cure.clone(),
        sources: card.sources.iter().map(Source::line).collect(),
        house: card.house.clone(),
        right,
        wrong,
    }
}

/// Takes out of two examples what both change alike: what is left is what makes the one right and the other wrong.
fn in_both(right: Option<&mut Worked>, wrong: Option<&mut Worked>) -> Vec<Change> {
    let (Some(right), Some(wrong)) = (right, wrong) else {
        return Vec::new();
    };
    let (both, own): (Vec<Change>, Vec<Change>) = right
        .changes
        .drain(..)
        .partition(|change| wrong.changes.contains(change));
    right.changes = own;
    wrong.changes.retain(|change| !both.contains(change));
    both
}

/// The published sources, by title.
fn references(cards: &[Card]) -> Vec<Reference> {
    let mut by_source: IndexMap<String, Vec<String>> = IndexMap::new();
    for card in cards {
        for source in card.sources.iter().filter(|source| source.kind == "published") {
            let named = Source {
                section: None,
                takes: None,
                // How it was read is told with each rule.
                read: None,
                code: false,
                ..source.clone()
            };
            let rules = by_source.entry(named.line()).or_default();
            if !rules.contains(&card.id) {
                rules.push(card.id.clone());
            }
        }
    }
    by_source.sort_keys();
    by_source
        .into_iter()
        .map(|(source, rules)| Reference { source, rules })
        .collect()
}
