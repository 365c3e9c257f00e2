//! A plan with one value changed, and all that follows from it.

use crate::{
    figures,
    ledger::Ledger,
    plan::Plan,
    read::{Node, Place, Value, merge, setting},
    review::ReviewContext,
};

/// The plan with one value changed.
pub(super) struct Changed {
    pub tree: Node,
    pub plan: Plan,
    pub ledger: Ledger,
}

/// The plan with a value set at a place; none where the plan can't be read then.
pub(super) fn changed(context: &ReviewContext<'_>, place: &Place, value: Value) -> Option<Changed> {
    let mut tree = context.tree.root.clone();
    let span = tree.span_of(place);
    merge(&mut tree, setting(place, Node { span, value }));
    let plan = Plan::from_tree(&tree).ok()?;
    let ledger = figures::compute(&plan);
    Some(Changed { tree, plan, ledger })
}
