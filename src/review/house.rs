//! What a house made of the rules, as the review prints it.

use super::{HouseLine, Location, ReviewContext};
use crate::rules::{HouseRule, Library};

/// Every rule that the house added, changed or switched off, in the order of its pages.
pub(super) fn all(context: &ReviewContext<'_>, library: &Library) -> Vec<HouseLine> {
    library.house.iter().map(|rule| line(context, rule)).collect()
}

fn line(context: &ReviewContext<'_>, rule: &HouseRule) -> HouseLine {
    let mut effect = rule.effect.word().to_owned();
    if rule.loosens_code {
        effect.push_str("; weaker than the published code");
    }
    let (line, column) = context.sources.line_column(rule.span);
    HouseLine {
        rule: rule.card.id.clone(),
        title: rule.card.title.clone(),
        effect,
        was: rule.was.clone(),
        now: rule.now.clone(),
        loosens_code: rule.loosens_code,
        reason: rule.reason.clone(),
        at: Location {
            file: context.sources.name(rule.span.source).to_owned(),
            line,
            column,
        },
    }
}
