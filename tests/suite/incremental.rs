//! What a trial recomputes is what a plan read and computed from the beginning comes to, whatever value was changed.

use bywash::{
    figures,
    hydraulics::{Followed, Memo, NOT_FOLLOWED, Scenario},
    ledger::{Figure, Gap, Ledger, Origin},
    plan::{Plan, schema},
    quantity::{Kind, Quantity},
    read::{Node, Place, Sources, Value, merge, parse, setting},
};

const PLANS: [&str; 3] = [
    "examples/courtyard-as-sent.jsonc",
    "examples/mill-yard-metric.jsonc",
    "tests/plans/swimming-pond.jsonc",
];

fn tree_of(path: &str) -> Node {
    let path = format!("{}/{path}", env!("CARGO_MANIFEST_DIR"));
    let mut sources = Sources::default();
    let source = sources.add("plan", std::fs::read_to_string(path).unwrap());
    parse(&sources, source).unwrap()
}

/// Every text and number of a plan by its place.
fn leaves(node: &Node, at: Place, found: &mut Vec<(Place, Value)>) {
    match &node.value {
        Value::Object(members) => {
            for (key, member) in members {
                leaves(&member.node, at.child(key), found);
            }
        }
        Value::Text(_) | Value::Number(_) => found.push((at, node.value.clone())),
        _ => {}
    }
}

/// Another value of the same kind; none where a text is no quantity.
fn another(place: &Place, value: &Value) -> Option<Value> {
    let field = schema().book().field_at(place)?;
    match value {
        Value::Number(written) => Some(Value::Number((written.parse::<i64>().ok()? + 1).to_string())),
        Value::Text(text) => {
            let kind = field.kind?;
            let now = Quantity::parse(text, kind).ok()?.si;
            let next = if kind == Kind::Level {
                now + 0.013
            } else {
                now * 1.07
            };
            Some(Value::Text(Quantity::si(next, kind).to_string()))
        }
        _ => None,
    }
}

/// The tree with a value changed, or taken away.
fn with(tree: &Node, place: &Place, value: Value) -> Node {
    let mut changed = tree.clone();
    let span = tree.span_of(place);
    merge(&mut changed, setting(place, Node { span, value }));
    changed
}

#[test]
fn a_changed_plan_is_the_plan_read_from_the_beginning() {
    let mut compared = 0;
    for path in PLANS {
        let tree = tree_of(path);
        let plan = Plan::from_tree(&tree).unwrap();
        let mut all = Vec::new();
        leaves(&tree, Place::root(), &mut all);
        for (place, value) in all {
            for value in another(&place, &value).into_iter().chain([Value::Null]) {
                let changed = with(&tree, &place, value);
                let whole = Plan::from_tree(&changed).unwrap();
                let part = plan.changed(&changed, std::slice::from_ref(&place)).unwrap();
                assert_eq!(format!("{part:?}"), format!("{whole:?}"), "{path}: {place}");
                assert_eq!(
                    part.problems_after(&changed, std::slice::from_ref(&place))
                        .is_empty(),
                    whole.problems(&changed).is_empty()
                );
                compared += 1;
            }
        }
    }
    assert!(compared > 600, "{compared}");
}

#[test]
fn figures_of_a_trial_are_those_computed_from_the_beginning() {
    let mut compared = 0;
    for path in PLANS {
        let tree = tree_of(path);
        let memo = Memo::default();
        let followed = Followed {
            memo: Some(&memo),
            only: None,
        };
        let mut all = Vec::new();
        leaves(&tree, Place::root(), &mut all);
        // Each fifth value: together they stand in every part of a plan.
        for (place, value) in all.into_iter().step_by(5) {
            let Some(value) = another(&place, &value) else {
                continue;
            };
            let plan = Plan::from_tree(&with(&tree, &place, value)).unwrap();
            let (trial, _) = figures::compute_with_outcomes(&plan, followed);
            let fresh = figures::compute(&plan);
            assert!(
                trial
                    .iter()
                    .map(|figure| &figure.answer)
                    .eq(fresh.iter().map(|figure| &figure.answer))
            );
            compared += 1;
        }
    }
    assert!(compared > 50, "{compared}");
}

/// The scenarios of a figure and of all it is worked out from.
fn behind(ledger: &Ledger, figure: &Figure) -> Vec<Scenario> {
    let below = figure.inputs.iter().filter_map(|input| match &input.origin {
        Origin::Figure(at, name) => ledger.get(at, name),
        _ => None,
    });
    let below = below.flat_map(|figure| behind(ledger, figure));
    figures::read_from(figure.definition.name)
        .into_iter()
        .chain(below)
        .collect()
}

/// A figure that names its scenarios is the same where no others are followed.
#[test]
fn a_figure_needs_no_scenario_but_those_it_names() {
    let (mut compared, mut full) = (0, 0);
    for path in PLANS {
        let plan = Plan::from_tree(&tree_of(path)).unwrap();
        let whole = figures::compute(&plan);
        for figure in whole.iter().step_by(2) {
            let only = behind(&whole, figure);
            if only.is_empty() {
                continue;
            }
            let followed = Followed {
                memo: None,
                only: Some(&only),
            };
            let (part, _) = figures::compute_with_outcomes(&plan, followed);
            let again = part.get(&figure.at, figure.definition.name).unwrap();
            // Or it says that it needs more, and the trial is repeated in full.
            let needs_more = Err(Gap::NotComputed(NOT_FOLLOWED.to_owned()));
            assert!(
                again.answer == figure.answer || again.answer == needs_more,
                "{path}: {}",
                figure.definition.name
            );
            full += usize::from(again.answer == needs_more);
            compared += 1;
        }
    }
    assert!(compared > 50 && full < 5, "{compared} compared, {full} in full");
}
