//! A rule's own examples, worked: what the plan then says, and how the rule comes out.

use serde::Serialize;

use crate::{
    engine::{Engine, Opened, ReviewOptions},
    read::{Node, Place, SourceId, Value},
    review::{Met, Review, ReviewContext, review},
    rules::{Card, Example, Expect, Library, Subject},
};

/// An example over the sound plan, worked.
#[derive(Clone, Debug, Serialize)]
pub struct Worked {
    /// What differs from the sound plan.
    pub changes: Vec<Change>,
    /// How the rule comes out, in words and numbers.
    pub outcome: String,
    /// The formula, and the same with numbers; empty for a value read off the plan.
    pub worked: Vec<String>,
    /// How far off, where it is measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub margin: Option<String>,
}

/// One value of a plan, as an example has it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Change {
    /// The place in words.
    pub place_name: String,
    /// The value as written; `left out` where the example takes it away.
    pub value: String,
}

/// The first example of a kind that comes out as it says, worked over a plan.
pub(super) fn first(engine: &Engine, plan: SourceId, card: &Card, meets: bool) -> Option<Worked> {
    let wanted = |example: &&Example| (example.expect == Expect::Meets) == meets;
    card.examples
        .iter()
        .filter(wanted)
        .find_map(|example| worked(engine, plan, card, example))
}

fn worked(engine: &Engine, plan: SourceId, card: &Card, example: &Example) -> Option<Worked> {
    let opened = engine
        .open(plan, vec![(String::new(), example.patch.clone())])
        .ok()?;
    let context = engine.context(&opened, ReviewOptions::default());
    let review = alone(&context, &opened, card);
    let changes = changes(&context, &example.patch);
    match &example.expect {
        Expect::FallsShort(place) => {
            let finding = review.findings.iter().find(|finding| finding.object == *place)?;
            Some(Worked {
                changes,
                outcome: finding.headline.clone(),
                worked: finding.worked.clone(),
                margin: finding.margin.clone(),
            })
        }
        Expect::Meets => {
            let met = shown_by(&review, card, &places(&example.patch))?;
            Some(Worked {
                changes,
                outcome: met.standing.clone(),
                worked: worked_line(&review, card, met),
                margin: None,
            })
        }
    }
}

/// The object that an example is about: the one that holds most closely what it changes, else the one that falls short in
/// the card's other example, else any.
fn shown_by<'r>(review: &'r Review, card: &Card, changed: &[Place]) -> Option<&'r Met> {
    let changes = |met: &&Met| {
        let whole_plan = met.object == Place::root();
        !whole_plan && changed.iter().any(|place| met.object.holds(place))
    };
    let closest = review
        .met
        .iter()
        .filter(changes)
        .max_by_key(|met| met.object.parts().count());
    let faulty = card.examples.iter().find_map(|example| match &example.expect {
        Expect::FallsShort(place) => review.met.iter().find(|met| met.object == *place),
        Expect::Meets => None,
    });
    closest.or(faulty).or_else(|| review.met.first())
}

/// The review of a plan by one rule.
fn alone(context: &ReviewContext<'_>, opened: &Opened, card: &Card) -> Review {
    let library = Library {
        cards: vec![card.clone()],
        house: Vec::new(),
        places: Vec::new(),
    };
    review(context, "", opened.patches.clone(), Vec::new(), &library)
}

fn worked_line(review: &Review, card: &Card, met: &Met) -> Vec<String> {
    let Subject::Figure(definition) = &card.asks.subject else {
        return Vec::new();
    };
    let figure = review
        .figures
        .iter()
        .find(|figure| figure.name == definition.name && figure.object == met.object);
    let worked = figure.and_then(|figure| Some(vec![figure.symbols.clone(), figure.worked.clone()?]));
    worked.unwrap_or_default()
}

/// The places of the values that a patch sets.
pub(super) fn places(patch: &Node) -> Vec<Place> {
    fn gather(place: &Place, node: &Node, places: &mut Vec<Place>) {
        match &node.value {
            Value::Object(members) if !members.is_empty() => {
                for (key, member) in members {
                    gather(&place.child(key), &member.node, places);
                }
            }
            _ => places.push(place.clone()),
        }
    }
    let mut places = Vec::new();
    gather(&Place::root(), patch, &mut places);
    places
}

/// The values a patch sets, in its order.
pub(super) fn changes(context: &ReviewContext<'_>, patch: &Node) -> Vec<Change> {
    let mut changes = Vec::new();
    gather(context, &Place::root(), patch, &mut changes);
    changes
}

fn gather(context: &ReviewContext<'_>, place: &Place, node: &Node, changes: &mut Vec<Change>) {
    if let Value::Object(members) = &node.value {
        for (key, member) in members {
            gather(context, &place.child(key), &member.node, changes);
        }
        return;
    }
    changes.push(Change {
        place_name: context.book.title_of(place),
        value: written(node),
    });
}

/// A value as people read it.
pub(super) fn written(node: &Node) -> String {
    match &node.value {
        Value::Null => "left out".to_owned(),
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::Number(raw) => raw.clone(),
        Value::Text(text) => text.clone(),
        Value::List(items) => {
            let joined: Vec<String> = items.iter().map(written).collect();
            let of_lists = items
                .iter()
                .any(|item| matches!(item.value, Value::List(_) | Value::Object(_)));
            joined.join(if of_lists { "; " } else { " at " })
        }
        Value::Object(members) => {
            let joined: Vec<String> = members.values().map(|member| written(&member.node)).collect();
            joined.join(", ")
        }
    }
}
