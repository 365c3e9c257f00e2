//! The change of a plan that sets one value of it, and what has to go with it.

use crate::{
    formulas::pipe_table,
    quantity::{Kind, Quantity},
    read::{Member, Node, Place, Value},
    review::{
        ReviewContext,
        trial::{ValueChange, as_written},
    },
};

/// The change that sets the value at a place to a text.
pub(super) fn change(context: &ReviewContext<'_>, place: &Place, text: &str) -> Option<ValueChange> {
    if place.parts().last().as_deref() == Some("size")
        && let Some(pipe) = place.parent()
        && let Some(change) = resized(context, &pipe, text)
    {
        return Some(change);
    }
    let value = match &context.tree.root.at(place)?.value {
        Value::Number(_) => Value::Number(text.to_owned()),
        Value::List(points) => Value::List(scaled(points, text)?),
        _ => Value::Text(text.to_owned()),
    };
    let place = place.clone();
    Some(ValueChange { place, value })
}

/// Another size of pipe, where more goes with it than the size: of a pipe whose bore the plan gives the bore, since pipe of
/// one series keeps the share of its wall; and the coefficient of a device in the run, which takes the same head whatever
/// pipe it stands in.
fn resized(context: &ReviewContext<'_>, pipe: &Place, text: &str) -> Option<ValueChange> {
    let root = &context.tree.root;
    let given = |name: &str| root.at(&pipe.child(name)).and_then(Node::text);
    let length = |text: &str| Quantity::parse(text, Kind::Length).ok().map(|length| length.si);
    let now = given("size")?;
    let object = |members: Vec<(&str, Value)>| {
        let span = root.span;
        let member = |(name, value): (&str, Value)| {
            let node = Node { span, value };
            (name.to_owned(), Member { key: span, node })
        };
        Value::Object(members.into_iter().map(member).collect())
    };
    let mut members = vec![("size", Value::Text(text.to_owned()))];
    let wider = if let Some(inside) = given("inside") {
        let ratio = length(text)? / length(now)?;
        let bore = Quantity::si(length(inside)? * ratio, Kind::Length);
        members.push(("inside", Value::Text(bore.show(context.units))));
        ratio
    } else {
        let class = given("class")?;
        let bore = |size: &str| {
            let pipe = pipe_table::inside_diameter(pipe_table::nominal_size(size)?, class).ok()?;
            Some(pipe.inside_diameter)
        };
        bore(text)? / bore(now)?
    };
    let run = pipe.parent()?;
    if let Some(Value::Number(k)) = root.at(&run.child("extra_k")).map(|node| &node.value)
        && let Ok(k) = k.parse::<f64>()
        && k > 0.0
    {
        let k = Value::Number(format!("{:.3}", k * wider.powi(4)));
        let value = object(vec![("pipe", object(members)), ("extra_k", k)]);
        return Some(ValueChange { place: run, value });
    }
    let value = object(members);
    let place = pipe.clone();
    given("inside").map(|_| ValueChange { place, value })
}

/// The points of a pump curve with their flows, or their heads, so many per cent of what they are.
fn scaled(points: &[Node], share: &str) -> Option<Vec<Node>> {
    let (share, (at, kind)) = match share.strip_suffix(" % head") {
        Some(share) => (share, (1, Kind::Length)),
        None => (share.strip_suffix(" %")?, (0, Kind::Flow)),
    };
    let share: f64 = share.parse().ok()?;
    let scaled = points.iter().map(|point| {
        let mut point = point.clone();
        if let Value::List(pair) = &mut point.value {
            let value = pair.get_mut(at)?;
            let si = Quantity::parse(value.text()?, kind).ok()?.si;
            value.value = Value::Text(as_written(si * share / 100.0, kind));
        }
        Some(point)
    });
    scaled.collect()
}
