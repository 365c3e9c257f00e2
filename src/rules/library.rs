//! The rule library: every card, read and checked before any is used.

mod page;
mod tests_of;

use super::card::Card;
use crate::{
    check::{Schema, SchemaBook},
    read::{Problem, Sources},
};

/// The cards embedded in the program, by file name.
const EMBEDDED: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/cards.rs"));

/// Every rule, by discipline and id.
#[derive(Clone, Debug, Default)]
pub struct Library {
    /// The cards, sorted by discipline and id.
    pub cards: Vec<Card>,
}

impl Library {
    /// The library that comes with the program.
    ///
    /// # Errors
    /// Every card that can't be taken, with its place.
    pub fn embedded(sources: &mut Sources, book: &SchemaBook) -> Result<Self, Vec<Problem>> {
        Self::of(EMBEDDED, sources, book)
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
        let schema = rule_schema()?;
        let (mut cards, mut problems) = (Vec::new(), Vec::new());
        for (name, text) in pages {
            let source = sources.add(*name, *text);
            match page::read(sources, source, &schema, book) {
                Ok(card) => cards.push(card),
                Err(found) => problems.extend(found),
            }
        }
        problems.extend(duplicates(&cards));
        problems.extend(unknown_causes(&cards));
        if !problems.is_empty() {
            return Err(problems);
        }
        cards.sort_by(|a, b| (&a.discipline, &a.id).cmp(&(&b.discipline, &b.id)));
        Ok(Self { cards })
    }

    /// The card of an id.
    pub fn card(&self, id: &str) -> Option<&Card> {
        self.cards.iter().find(|card| card.id == id)
    }
}

/// The text of the schema that a card's data keeps to.
pub const RULE_SCHEMA: &str = include_str!("../../schema/rule.schema.json");

fn rule_schema() -> Result<Schema, Vec<Problem>> {
    Schema::new(RULE_SCHEMA).map_err(|error| {
        vec![Problem {
            message: format!("the schema of rule cards is broken: {error}"),
            at: None,
            also: Vec::new(),
            help: None,
        }]
    })
}

fn duplicates(cards: &[Card]) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (index, card) in cards.iter().enumerate() {
        if let Some(first) = cards[..index].iter().find(|other| other.id == card.id) {
            problems.push(
                Problem::at(
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

/// Rules that say they follow from one there is not.
fn unknown_causes(cards: &[Card]) -> Vec<Problem> {
    let known = |id: &String| cards.iter().any(|card| card.id == *id);
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
            Problem::at(card.bound_span, message, "in this card")
        })
        .collect()
}
