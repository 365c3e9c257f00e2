//! Questions to the designer: one for each value that is left out, by weight.

use indexmap::IndexMap;

use super::{Question, ReviewContext, Unjudged, words::in_sentence};
use crate::{
    read::Place,
    rules::{Judged, RuleOutcome, Severity},
};

/// What waits for one missing value, worst first.
#[derive(Default)]
struct Waiting {
    rules: Vec<(Severity, String)>,
    at: Vec<super::Waiting>,
}

impl Waiting {
    /// The worst that waits.
    fn severity(&self) -> Severity {
        self.rules
            .first()
            .map_or(Severity::Advise, |(severity, _)| *severity)
    }
}

/// One question for each missing value; those that the worst and the most rules wait for come first.
pub(super) fn all(context: &ReviewContext<'_>, judged: &[Judged<'_>]) -> Vec<Question> {
    let mut missing: IndexMap<Place, Waiting> = IndexMap::new();
    for judged in judged {
        let RuleOutcome::NotShown(places) = &judged.outcome else {
            continue;
        };
        for place in places {
            let waiting = missing.entry(first_missing(context, place)).or_default();
            let rule = (judged.card.severity, judged.card.id.clone());
            if !waiting.rules.contains(&rule) {
                waiting.rules.push(rule);
            }
            let at = super::Waiting {
                rule: judged.card.id.clone(),
                object: judged.object.clone(),
            };
            if !waiting.at.contains(&at) {
                waiting.at.push(at);
            }
        }
    }
    for waiting in missing.values_mut() {
        waiting.rules.sort_by_key(|(severity, _)| *severity);
    }
    let mut missing: Vec<(Place, Waiting)> = missing.into_iter().collect();
    missing.sort_by(|(a, wa), (b, wb)| {
        let weight = |waiting: &Waiting| (waiting.severity(), std::cmp::Reverse(waiting.rules.len()));
        weight(wa).cmp(&weight(wb)).then_with(|| a.cmp(b))
    });
    let numbered = missing.into_iter().enumerate();
    numbered
        .map(|(index, (place, waiting))| Question {
            number: format!("Q{}", index + 1),
            place_name: context.name(&place),
            at: context.location(&place),
            ask: ask(context, &place),
            severity: waiting.severity(),
            rules: waiting.rules.into_iter().map(|(_, id)| id).collect(),
            waiting: waiting.at,
            place,
        })
        .collect()
}

/// Rules that could not be judged although everything is shown.
pub(super) fn unjudged(context: &ReviewContext<'_>, judged: &[Judged<'_>]) -> Vec<Unjudged> {
    let unjudged = judged.iter().filter_map(|judged| match &judged.outcome {
        RuleOutcome::NotComputed(because) => Some((judged, because)),
        _ => None,
    });
    unjudged
        .map(|(judged, because)| Unjudged {
            rule: judged.card.id.clone(),
            severity: judged.card.severity,
            object: judged.object.clone(),
            object_name: context.name(&judged.object),
            because: context.words(because),
        })
        .collect()
}

/// The first place on the way that the plan leaves out: where a whole part is missing, that is asked for.
fn first_missing(context: &ReviewContext<'_>, place: &Place) -> Place {
    let mut at = Place::root();
    for part in place.parts() {
        at = at.child(&part);
        if context.tree.root.at(&at).is_none() {
            return at;
        }
    }
    place.clone()
}

/// The question in words, from the schema's description of the field.
fn ask(context: &ReviewContext<'_>, place: &Place) -> String {
    let field = context.book.field_at(place);
    let Some(description) = field.and_then(|field| field.description.as_ref()) else {
        return "show it on the plan".to_owned();
    };
    let words = in_sentence(&context.words(description.trim_end_matches('.')));
    let first = words.split_whitespace().next().unwrap_or_default();
    let colon = if matches!(
        first,
        "whether" | "how" | "what" | "where" | "which" | "who" | "when"
    ) {
        ""
    } else {
        ":"
    };
    format!("show{colon} {words}")
}
