//! Rules as they read for work in other countries than the United States, whose units and codes the library starts from.
//!
//! The pages under `rules/places/<place>/` change single rules: `metric` for every other country, `uk` and `de` over it.

use super::{change, schemas::schema_of};
use crate::{
    check::SchemaBook,
    read::{Problem, Sources},
    rules::card::Card,
};

/// The folder of the pages.
pub(super) const FOLDER: &str = "rules/places/";

/// The text of the schema that a page of a place keeps to.
const SCHEMA: &str = include_str!("../../../schema/place.schema.json");

/// The rules that read differently in a place.
#[derive(Clone, Debug)]
pub struct PlaceRules {
    /// The folder of its pages, such as `uk`.
    pub name: String,
    /// Each rule as it reads there.
    pub cards: Vec<Card>,
}

/// Reads the pages of all places, those of `metric` first: the others go over them.
pub(super) fn read(
    pages: &[(&str, &str)],
    sources: &mut Sources,
    book: &SchemaBook,
    rules: &[Card],
) -> Result<Vec<PlaceRules>, Vec<Problem>> {
    let schema = schema_of(SCHEMA)?;
    let (mut places, mut problems) = (Vec::new(), Vec::new());
    for name in ["metric", "uk", "de"] {
        let mut cards = places
            .first()
            .map_or_else(Vec::new, |metric: &PlaceRules| metric.cards.clone());
        let own = pages
            .iter()
            .filter(|(page, _)| page.starts_with(&format!("{FOLDER}{name}/")));
        for (page, text) in own {
            let source = sources.add(*page, *text);
            let before = in_place(rules, &cards);
            match change::read_place(sources, source, &schema, book, &before) {
                Ok(card) => {
                    cards.retain(|other| other.id != card.id);
                    cards.push(card);
                }
                Err(found) => problems.extend(found),
            }
        }
        places.push(PlaceRules {
            name: name.to_owned(),
            cards,
        });
    }
    if problems.is_empty() {
        Ok(places)
    } else {
        Err(problems)
    }
}

/// The rules with those that read differently in their places; what a house has changed stays as the house wants it.
pub(super) fn in_place(rules: &[Card], local: &[Card]) -> Vec<Card> {
    let here = |card: &Card| {
        local
            .iter()
            .find(|local| local.id == card.id && card.house.is_none())
    };
    rules
        .iter()
        .map(|card| here(card).unwrap_or(card).clone())
        .collect()
}
