//! The rule library: every card, read and checked before any is used.

mod change;
mod condition_parser;
mod markdown;
mod page;
mod places;
mod retired;
mod schemas;

pub use places::PlaceRules;
pub use retired::retired;
pub use schemas::{HOUSE_SCHEMA, RULE_SCHEMA};

use std::borrow::Cow;

use schemas::schema_of;

use super::{
    card::Card,
    house::{Effect, HouseRule, asked},
};
use crate::{
    check::SchemaBook,
    plan::country::Country,
    read::{Problem, ProblemKind, SourceId, Sources},
};

/// The cards embedded in the program, by file name.
const EMBEDDED: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/cards.rs"));

/// Every rule, by discipline and id.
#[derive(Clone, Debug, Default)]
pub struct Library {
    /// The cards in force, sorted by discipline and id.
    pub cards: Vec<Card>,
    /// What a house made of them, in the order of its pages.
    pub house: Vec<HouseRule>,
    /// The rules that read differently for work in other countries.
    pub places: Vec<PlaceRules>,
}

impl Library {
    /// The library that comes with the program.
    ///
    /// # Errors
    /// Every card that can't be taken, with its place.
    pub fn embedded(sources: &mut Sources, book: &SchemaBook) -> Result<Self, Vec<Problem>> {
        let (places, rules): (Vec<_>, Vec<_>) = EMBEDDED
            .iter()
            .copied()
            .partition(|(name, _)| name.starts_with(places::FOLDER));
        let mut library = Self::of(&rules, sources, book)?;
        library.places = places::read(&places, sources, book, &library.cards)?;
        Ok(library)
    }

    /// A library of pages: file name and text, the file's folder naming the discipline.
    ///
    /// # Errors
    /// Every card that can't be taken, with its place.
    pub fn of(
        pages: &[(&str, &str)],
        sources: &mut Sources,
        book: &SchemaBook,
    ) -> Result<Self, Vec<Problem>> {
        let schema = schema_of(RULE_SCHEMA)?;
        let (mut cards, mut problems) = (Vec::new(), Vec::new());
        for (name, text) in pages {
            let source = sources.add(*name, *text);
            match page::read(sources, source, &schema, book) {
                Ok(card) => cards.push(card),
                Err(found) => problems.extend(found),
            }
        }
        problems.extend(duplicates(&cards));
        problems.extend(unknown_causes(&cards, &[]));
        problems.extend(cards.iter().filter_map(reused));
        if !problems.is_empty() {
            return Err(problems);
        }
        let mut library = Self {
            cards,
            house: Vec::new(),
            places: Vec::new(),
        };
        library.sort();
        Ok(library)
    }

    /// The library as it reads for work in a country; where nobody knows where the work stands, as it is.
    pub fn for_work(&self, country: Option<Country>) -> Cow<'_, Self> {
        let name = match country {
            None | Some(Country::UnitedStates) => return Cow::Borrowed(self),
            Some(Country::UnitedKingdom) => "uk",
            Some(Country::Germany) => "de",
            Some(Country::Union | Country::Elsewhere) => "metric",
        };
        let local = self.places.iter().find(|place| place.name == name);
        let Some(local) = local.filter(|local| !local.cards.is_empty()) else {
            return Cow::Borrowed(self);
        };
        let mut library = Self {
            cards: places::in_place(&self.cards, &local.cards),
            ..self.clone()
        };
        library.withhold();
        Cow::Owned(library)
    }

    fn sort(&mut self) {
        self.cards
            .sort_by(|a, b| (&a.discipline, &a.id).cmp(&(&b.discipline, &b.id)));
    }

    /// Puts the pages of a house over the library: its own rules, and its changes of ours.
    ///
    /// # Errors
    /// Every page that can't be taken, with its place; the library is then left as it was.
    pub fn take_house(
        &mut self,
        pages: &[SourceId],
        sources: &Sources,
        book: &SchemaBook,
    ) -> Result<(), Vec<Problem>> {
        let (rule_schema, change_schema) = (schema_of(RULE_SCHEMA)?, schema_of(HOUSE_SCHEMA)?);
        let (mut house, mut problems): (Vec<HouseRule>, Vec<Problem>) = (Vec::new(), Vec::new());
        for &page in pages {
            let holds_rule = markdown::parts(sources.text(page), page)
                .data(page::DATA)
                .is_some();
            let read = if holds_rule {
                page::read(sources, page, &rule_schema, book).map(own)
            } else {
                change::read(sources, page, &change_schema, book, &self.cards)
            };
            match read {
                Ok(rule) => house.push(rule),
                Err(found) => problems.extend(found),
            }
        }
        problems.extend(twice(&house));
        let cards = self.under(&house);
        problems.extend(duplicates(&cards));
        problems.extend(house.iter().filter_map(|rule| reused(&rule.card)));
        problems.extend(unknown_causes(&cards, &house));
        if !problems.is_empty() {
            return Err(problems);
        }
        self.cards = cards;
        self.sort();
        self.house = house;
        self.withhold();
        Ok(())
    }

    /// Takes the levers that the house goes without from every rule: what it does not do for one rule it does for none.
    fn withhold(&mut self) {
        for rule in &self.house {
            for card in &mut self.cards {
                for words in &rule.without {
                    let before = card.levers.len();
                    card.levers.retain(|lever| lever.words != *words);
                    if card.levers.len() < before {
                        card.withheld.push(format!("{words} ({})", rule.reason));
                    }
                }
            }
        }
    }

    /// The cards in force under a house.
    fn under(&self, house: &[HouseRule]) -> Vec<Card> {
        let changes = |card: &Card| {
            let change = house
                .iter()
                .find(|rule| rule.effect != Effect::New && rule.card.id == card.id);
            match change {
                None => Some(card.clone()),
                Some(rule) if rule.effect == Effect::Off => None,
                Some(rule) => Some(rule.card.clone()),
            }
        };
        let new = house.iter().filter(|rule| rule.effect == Effect::New);
        self.cards
            .iter()
            .filter_map(changes)
            .chain(new.map(|rule| rule.card.clone()))
            .collect()
    }

    /// The card of an id.
    pub fn card(&self, id: &str) -> Option<&Card> {
        self.cards.iter().find(|card| card.id == id)
    }
}

/// A rule of the house's own.
fn own(mut card: Card) -> HouseRule {
    let reason = card.why.clone();
    card.house = Some("a rule of the house".to_owned());
    HouseRule {
        effect: Effect::New,
        was: String::new(),
        now: asked(&card),
        loosens_code: false,
        reason,
        without: Vec::new(),
        examples: card.examples.clone(),
        span: card.bound_span,
        card,
    }
}

/// Two pages of a house that speak of one rule.
fn twice(house: &[HouseRule]) -> Vec<Problem> {
    let earlier = |index: usize, rule: &HouseRule| {
        house[..index]
            .iter()
            .find(|other| other.card.id == rule.card.id && other.effect != Effect::New)
    };
    let changes = house
        .iter()
        .enumerate()
        .filter(|(_, rule)| rule.effect != Effect::New);
    changes
        .filter_map(|(index, rule)| {
            let first = earlier(index, rule)?;
            let message = format!("rule `{}` is changed on two pages", rule.card.id);
            Some(
                Problem::at(ProblemKind::RulePage, rule.span, message, "here again")
                    .also(first.span, "first here"),
            )
        })
        .collect()
}

/// A card that takes an id of a retired rule.
fn reused(card: &Card) -> Option<Problem> {
    let reason = retired(&card.id)?;
    let message = format!("the id `{}` was retired and is not used again", card.id);
    Some(Problem::at(ProblemKind::RulePage, card.bound_span, message, "in this card").help(reason))
}

fn duplicates(cards: &[Card]) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (index, card) in cards.iter().enumerate() {
        if let Some(first) = cards[..index].iter().find(|other| other.id == card.id) {
            problems.push(
                Problem::at(
                    ProblemKind::RulePage,
                    card.bound_span,
                    format!("rule `{}` stands in two cards", card.id),
                    "here again",
                )
                .also(first.bound_span, "first here"),
            );
        }
    }
    problems
}

/// Rules that say they follow from one there is not; one that a house has switched off is known.
fn unknown_causes(cards: &[Card], house: &[HouseRule]) -> Vec<Problem> {
    let known = cards.iter().chain(house.iter().map(|rule| &rule.card));
    let known = |id: &String| known.clone().any(|card| card.id == *id);
    let unknown = cards.iter().flat_map(|card| {
        card.follows
            .iter()
            .filter(|id| !known(id))
            .map(move |id| (card, id))
    });
    unknown
        .map(|(card, id)| {
            let message = format!(
                "rule `{}` follows from `{id}`, and there is no such rule",
                card.id
            );
            Problem::at(ProblemKind::RulePage, card.bound_span, message, "in this card")
        })
        .collect()
}
