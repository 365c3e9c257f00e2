//! Values of the plan that nothing evaluates: no figure rests on them and no rule reads them.

use std::collections::HashSet;

use super::{ReviewContext, Unevaluated};
use crate::{
    ledger::Origin,
    read::{Node, Place, Value},
    rules::{Fact, Judged, Subject, fact},
};

/// Fields that serve without a figure that notes them or a rule that reads them: ids that join the parts of a plan, what
/// the drawings and the title block print, what the hydraulic model reads without a number of its own, and what a rule
/// reads only where nothing else decides it.
pub const SERVE_OTHERWISE: &[(&str, &str)] = &[
    ("/format", "names the format of the file"),
    ("/project/**", "title block, units and methods"),
    ("/benchmark/**", "title block and levels of the drawings"),
    ("/accepted/**", "acceptances"),
    ("/answers/**", "log of the review"),
    ("/attachments/**", "pictures of the review"),
    ("/basins/*/position/**", "site plan"),
    ("/**/name", "drawings"),
    ("/pumps/*/basin", "joins the parts of the circuit"),
    ("/pumps/*/after", "joins the parts of the circuit"),
    ("/lines/*/from", "joins the parts of the circuit"),
    ("/lines/*/runs/*/after", "joins the parts of the circuit"),
    ("/lines/*/runs/*/joins", "joins the parts of the circuit"),
    ("/lines/*/runs/*/to", "joins the parts of the circuit"),
    ("/falls/*/from", "joins the parts of the circuit"),
    ("/falls/*/to", "joins the parts of the circuit"),
    ("/streams/*/ends_in", "joins the parts of the circuit"),
    ("/drains/*/from", "joins the parts of the circuit"),
    ("/drains/*/to", "joins the parts of the circuit"),
    ("/water/make_up/basin", "joins the parts of the circuit"),
    ("/walls/*/basin", "joins the parts of the work"),
    ("/excavations/*/basin", "joins the parts of the work"),
    ("/planting/species/*/where", "joins the parts of the work"),
    ("/electrical/circuits/*/serves", "joins the parts of the work"),
    ("/pumps/*/count", "hydraulic model"),
    ("/pumps/*/mount", "hydraulic model"),
    ("/pumps/*/check_valve/kind", "hydraulic model"),
    ("/pumps/*/suction/pipe/class", "hydraulic model"),
    ("/pumps/*/suction/pipe/material", "hydraulic model"),
    ("/pumps/*/suction/pipe/inside", "hydraulic model"),
    ("/pumps/*/suction/extra_k", "hydraulic model"),
    ("/pumps/*/suction/throttle_k", "hydraulic model"),
    ("/lines/*/check_valve/kind", "hydraulic model"),
    ("/lines/*/runs/*/shut", "hydraulic model"),
    ("/lines/*/runs/*/extra_k", "hydraulic model"),
    ("/lines/*/runs/*/throttle_k", "hydraulic model"),
    ("/lines/*/runs/*/discharge/form", "hydraulic model"),
    ("/lines/*/runs/*/discharge/level", "hydraulic model"),
    ("/drains/*/run/pipe/class", "hydraulic model"),
    ("/drains/*/run/pipe/material", "hydraulic model"),
    ("/drains/*/run/pipe/inside", "hydraulic model"),
    ("/drains/*/run/extra_k", "hydraulic model"),
    ("/drains/*/run/throttle_k", "hydraulic model"),
    ("/drains/*/run/shut", "hydraulic model"),
    ("/drains/*/run/discharge/form", "hydraulic model"),
    ("/drains/*/run/discharge/level", "hydraulic model"),
    ("/water/make_up/automatic", "hydraulic model"),
    ("/water/make_up/level", "hydraulic model"),
    ("/water/make_up/flow", "hydraulic model"),
    ("/site/catchment", "hydraulic model"),
    ("/site/design_storm/**", "hydraulic model"),
    ("/basins/*/shape/form", "hydraulic model"),
    ("/basins/*/kind", "decides which rules apply, and drawings"),
    (
        "/basins/*/layers/*/fill",
        "decides which figures apply, and drawings",
    ),
    ("/electrical/tariff/currency", "printed with the yearly cost"),
    ("/water/fill_temperature", "decides where nothing else does"),
    ("/basins/*/frame", "decides where nothing else does"),
    ("/basins/*/overcut", "decides where nothing else does"),
    (
        "/basins/*/clean_out_well/floor",
        "decides where nothing else does",
    ),
    ("/basins/*/flush/flow", "decides where nothing else does"),
    ("/pumps/*/screen/opening", "decides where nothing else does"),
    ("/pumps/*/spare", "decides where nothing else does"),
    ("/pumps/*/standby_air", "decides where nothing else does"),
    ("/lines/*/drains_for_winter", "decides where nothing else does"),
    ("/walls/*/surcharge", "decides where nothing else does"),
    (
        "/electrical/circuits/*/dry_run_cut_off",
        "decides where nothing else does",
    ),
    ("/upkeep/flush_interval", "decides where nothing else does"),
    ("/upkeep/spare_pump", "decides where nothing else does"),
];

/// Every value of the plan that no figure rests on, no rule reads and nothing else uses, in the plan's order.
pub(super) fn all(context: &ReviewContext<'_>, judged: &[Judged<'_>]) -> Vec<Unevaluated> {
    let used = used(context, judged);
    let mut places = Vec::new();
    leaves(&context.tree.root, Place::root(), &mut places);
    let unused = places.into_iter().filter(|(place, is_list)| {
        !is_used(&used, place, *is_list) && !serves_otherwise(&context.book.pattern_of(place))
    });
    unused
        .map(|(place, _)| Unevaluated {
            place_name: context.name(&place),
            at: context.location(&place),
            place,
        })
        .collect()
}

/// The values that figures rest on and rules read.
fn used(context: &ReviewContext<'_>, judged: &[Judged<'_>]) -> HashSet<Place> {
    let inputs = context.ledger.inputs();
    let rested_on = inputs.filter_map(|input| match &input.origin {
        Origin::Plan(place) => Some(place.clone()),
        _ => None,
    });
    let named = context.ledger.iter().filter_map(|figure| match &figure.answer {
        Ok(crate::ledger::Found::Verdict { at, .. }) => at.clone(),
        _ => None,
    });
    let read = judged.iter().flat_map(|judged| {
        let tests = judged.card.when.iter().chain([&judged.card.asks]);
        tests.filter_map(|test| match &test.subject {
            Subject::Field { path, .. } => match fact(&context.tree.root, &judged.object, path) {
                Fact::Is(_, place) | Fact::None(place) => Some(place),
                Fact::NotShown(_) => None,
            },
            Subject::Figure(_) => None,
        })
    });
    rested_on.chain(named).chain(read).collect()
}

/// Whether a value is used as itself, or, of a list, by any of its items; an object as a whole uses none of its fields,
/// but for the fittings of a run, which are counted together.
fn is_used(used: &HashSet<Place>, place: &Place, is_list: bool) -> bool {
    let counted = |parent: &Place| parent.parts().last().is_some_and(|key| key == "fittings");
    let fittings = place.parent().filter(counted);
    used.contains(place)
        || fittings.is_some_and(|fittings| used.contains(&fittings))
        || is_list && used.iter().any(|used| place.holds(used))
}

/// The values of a plan: everything but the objects that hold them and what it says is not there. A list counts as one value.
fn leaves(node: &Node, at: Place, found: &mut Vec<(Place, bool)>) {
    match &node.value {
        Value::Object(members) => {
            for (key, member) in members.iter().filter(|(key, _)| !key.starts_with("x-")) {
                leaves(&member.node, at.child(key), found);
            }
        }
        Value::List(_) => found.push((at, true)),
        // What a plan says is not there is an answer, and leaves nothing to evaluate.
        Value::Bool(false) => {}
        _ if node.text() == Some("none") => {}
        _ => found.push((at, false)),
    }
}

/// Whether a field serves without a figure or a rule.
pub fn serves_otherwise(pattern: &str) -> bool {
    let parts: Vec<&str> = pattern.split('/').collect();
    SERVE_OTHERWISE.iter().any(|(field, _)| {
        let wanted: Vec<&str> = field.split('/').collect();
        fits(&wanted, &parts)
    })
}

/// Whether a pattern fits: `**` stands for any number of keys.
fn fits(wanted: &[&str], parts: &[&str]) -> bool {
    match (wanted, parts) {
        ([], []) => true,
        (["**", rest @ ..], _) => (0..=parts.len()).any(|skip| fits(rest, &parts[skip..])),
        ([want, rest @ ..], [part, parts @ ..]) => want == part && fits(rest, parts),
        _ => false,
    }
}
