//! Questions to the designer: one for each value that is left out, by weight.

use std::collections::{HashMap, HashSet};

use indexmap::{IndexMap, IndexSet};

use super::{
    Question, ReviewContext, Unjudged,
    words::{first_named, in_sentence},
};
use crate::{
    check::Shape,
    read::Place,
    rules::{Judged, RuleOutcome, Severity},
};

/// What waits for one missing value, worst first.
#[derive(Default)]
struct Waiting {
    rules: Vec<(Severity, String)>,
    at: IndexSet<super::Waiting>,
}

impl Waiting {
    fn add(&mut self, judged: &Judged<'_>) {
        let rule = (judged.severity, judged.card.id.clone());
        if !self.rules.contains(&rule) {
            self.rules.push(rule);
        }
        self.at.insert(super::Waiting {
            rule: judged.card.id.clone(),
            object: judged.object.clone(),
        });
    }

    /// The worst that waits.
    fn severity(&self) -> Severity {
        self.rules
            .first()
            .map_or(Severity::Advise, |(severity, _)| *severity)
    }
}

/// One question for each missing value, and one for the same value of several objects; those that the worst and the most
/// rules wait for come first. Details that only suggestions wait for are asked for together, at the end.
pub(super) fn all(context: &ReviewContext<'_>, judged: &[Judged<'_>]) -> Vec<Question> {
    let mut waiting: Vec<(Vec<Place>, Waiting)> = missing(context, judged).into_values().collect();
    waiting.sort_by(|(a, wa), (b, wb)| {
        let weight = |waiting: &Waiting| (waiting.severity(), std::cmp::Reverse(waiting.rules.len()));
        weight(wa).cmp(&weight(wb)).then_with(|| a.cmp(b))
    });
    let first_detail = waiting.partition_point(|(_, waiting)| waiting.severity() != Severity::Advise);
    let details = waiting.split_off(first_detail);
    let mut questions: Vec<Question> = waiting
        .into_iter()
        .filter_map(|(places, waiting)| question(context, places, waiting))
        .collect();
    questions.extend(asked_together(context, details));
    for (index, question) in questions.iter_mut().enumerate() {
        question.number = format!("Q{}", index + 1);
    }
    questions
}

/// What is missing, and what waits for it: the same value of several objects is one.
fn missing(context: &ReviewContext<'_>, judged: &[Judged<'_>]) -> IndexMap<String, (Vec<Place>, Waiting)> {
    let mut missing: IndexMap<String, (IndexSet<Place>, Waiting)> = IndexMap::new();
    // Every basin may wait for the same value of every other: each place is looked at once.
    let mut known: HashMap<&Place, (Place, String)> = HashMap::new();
    for judged in judged {
        let RuleOutcome::NotShown(places) = &judged.outcome else {
            continue;
        };
        let mut waits_for = HashSet::new();
        for place in places {
            let (place, pattern) = known.entry(place).or_insert_with(|| {
                let place = first_missing(context, place);
                let pattern = pattern(&place);
                (place, pattern)
            });
            let index = missing.get_index_of(pattern.as_str());
            let index = index.unwrap_or_else(|| missing.insert_full(pattern.clone(), Default::default()).0);
            let (asked, waiting) = &mut missing[index];
            asked.insert(place.clone());
            if waits_for.insert(index) {
                waiting.add(judged);
            }
        }
    }
    let sorted = missing.into_iter().map(|(pattern, (mut places, mut waiting))| {
        places.sort();
        waiting.rules.sort();
        let mut seen = HashSet::new();
        waiting.rules.retain(|(_, id)| seen.insert(id.clone()));
        (pattern, (places.into_iter().collect(), waiting))
    });
    sorted.collect()
}

/// The parts of a plan whose members are named by ids.
const COLLECTIONS: [&str; 14] = [
    "basins",
    "layers",
    "shelves",
    "pumps",
    "lines",
    "runs",
    "falls",
    "streams",
    "reaches",
    "drains",
    "walls",
    "excavations",
    "circuits",
    "species",
];

/// A place with every id left open.
fn pattern(place: &Place) -> String {
    let mut pattern = String::new();
    let mut is_id = false;
    for part in place.parts() {
        pattern.push('/');
        pattern.push_str(if is_id { "*" } else { &part });
        is_id = !is_id && COLLECTIONS.contains(&part.as_str());
    }
    pattern
}

fn question(context: &ReviewContext<'_>, places: Vec<Place>, waiting: Waiting) -> Option<Question> {
    let mut places = places.into_iter();
    let place = places.next()?;
    let also: Vec<Place> = places.collect();
    Some(Question {
        number: String::new(),
        place_name: name_of_all(context, &place, &also),
        at: context.location(&place),
        ask: ask(context, &place),
        answer: answer(context, &place),
        severity: waiting.severity(),
        rules: waiting.rules.into_iter().map(|(_, id)| id).collect(),
        waiting: waiting.at.into_iter().collect(),
        place,
        also,
    })
}

/// Details that only suggestions wait for; one alone is an ordinary question.
fn asked_together(context: &ReviewContext<'_>, mut details: Vec<(Vec<Place>, Waiting)>) -> Option<Question> {
    if details.len() < 2 {
        let (places, waiting) = details.pop()?;
        return question(context, places, waiting);
    }
    details.sort_by(|(a, _), (b, _)| a.cmp(b));
    let names = details.iter().filter_map(|(places, _)| {
        let (first, rest) = places.split_first()?;
        Some(name_of_all(context, first, rest))
    });
    let names: Vec<String> = names.collect();
    let (places, waiting): (Vec<Vec<Place>>, Vec<Waiting>) = details.into_iter().unzip();
    let mut at: Vec<super::Waiting> = Vec::new();
    let mut rules: Vec<String> = Vec::new();
    for waiting in waiting {
        at.extend(waiting.at);
        rules.extend(waiting.rules.into_iter().map(|(_, id)| id));
    }
    rules.sort();
    rules.dedup();
    let mut places = places.into_iter().flatten();
    let place = places.next()?;
    Some(Question {
        number: String::new(),
        place_name: "details".to_owned(),
        at: context.location(&place),
        ask: format!(
            "show where decided; only suggestions wait for them: {}",
            names.join("; ")
        ),
        answer: None,
        severity: Severity::Advise,
        rules,
        waiting: at,
        place,
        also: places.collect(),
    })
}

/// Objects named before the rest are only counted.
const NAMED: usize = 3;

/// The value in words, with every object that lacks it: `bed, pond / bathing intended`.
fn name_of_all(context: &ReviewContext<'_>, place: &Place, also: &[Place]) -> String {
    let name = context.name(place);
    if also.is_empty() {
        return name;
    }
    let (_, field) = name.rsplit_once(" / ").unwrap_or(("", &name));
    let all: Vec<&Place> = std::iter::once(place).chain(also).collect();
    let objects = first_named(&all, NAMED, |place| Some(context.name(&place.parent()?)));
    format!("{} / {field}", objects.join(", "))
}

/// How an answer is written: the key, and an example; nothing for a text of one's own.
fn answer(context: &ReviewContext<'_>, place: &Place) -> Option<String> {
    let key = place.parts().last()?;
    let field = context.book.field_at(place)?;
    let quoted = |text: &String| format!("\"{text}\"");
    let example = match field.shape {
        Shape::YesNo => return Some(format!("\"{key}\": true, or false")),
        Shape::Object | Shape::Collection => Some("{ … }".to_owned()),
        Shape::List => Some("[ … ]".to_owned()),
        Shape::Whole => Some("1".to_owned()),
        _ => field.example.as_ref().or(field.values.first()).map(quoted),
    };
    let none = field.may_be_none.then_some("\"none\"");
    match (example, none) {
        (Some(example), Some(none)) => Some(format!("\"{key}\": {example}, or {none}")),
        (Some(example), None) => Some(format!("\"{key}\": {example}")),
        (None, Some(none)) => Some(format!("\"{key}\": \"…\", or {none}")),
        (None, None) => None,
    }
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
            severity: judged.severity,
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
