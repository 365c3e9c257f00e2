//! A plan with one value changed, and all that follows from it.

use super::Case;
use crate::{
    figures::{self, Ledger},
    plan::Plan,
    read::{Member, Node, Place, Span, Value, merge},
};

/// The plan with one value changed.
pub(super) struct Changed {
    pub tree: Node,
    pub plan: Plan,
    pub ledger: Ledger,
}

/// The plan with a value set at a place; none where the plan can't be read then.
pub(super) fn changed(case: &Case<'_>, place: &Place, value: Value) -> Option<Changed> {
    let mut tree = case.tree.root.clone();
    let span = tree.span_of(place);
    merge(&mut tree, patch(place, Node { span, value }, span));
    let plan = Plan::from_tree(&tree).ok()?;
    let ledger = figures::compute(&plan);
    Some(Changed { tree, plan, ledger })
}

/// A merge patch that sets one value.
fn patch(place: &Place, value: Node, span: Span) -> Node {
    let parts: Vec<String> = place.parts().collect();
    parts.into_iter().rev().fold(value, |node, key| Node {
        span,
        value: Value::Object([(key, Member { key: span, node })].into_iter().collect()),
    })
}
