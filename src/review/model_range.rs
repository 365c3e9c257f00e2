//! How the worst end of what the model takes as known comes out: pump curves, crests, pipes and voids are not what a table says to
//! the last digit.

use serde::Serialize;

use super::{
    ReviewContext,
    allowance::Allowance,
    trial::{SeriousRules, ValueChange, as_written},
};
use crate::{
    formulas::pipe_table,
    plan::{Measure, Shown},
    quantity::{INCH, Kind},
    read::{Node, Place, Value},
};

/// One end of a range, and what is met only away from it.
#[derive(Clone, Debug, Serialize)]
pub struct ModelEnd {
    /// Which end, such as `pump curves 10 % low`.
    pub end: String,
    /// Where the range comes from.
    pub source: &'static str,
    /// Rules that are met, but not there, and where.
    pub not_met: Vec<String>,
}

/// An end of a range: what it is, and the changes that make it.
struct Range {
    end: &'static str,
    changes: fn(&ReviewContext<'_>) -> Vec<ValueChange>,
}

const PRACTICE: &str = "common practice, no source";

const RANGES: [Range; 8] = [
    Range {
        end: "pump curves 10 % low",
        changes: |context| pumps(context, 0.9),
    },
    Range {
        end: "pump curves 10 % high",
        changes: |context| pumps(context, 1.1),
    },
    Range {
        end: "crest coefficients 10 % low",
        changes: |context| crests(context, 0.9),
    },
    Range {
        end: "crest coefficients 10 % high",
        changes: |context| crests(context, 1.1),
    },
    Range {
        end: "pipes as rough as old ones, 0.15 mm (0.006 in)",
        changes: rough,
    },
    Range {
        end: "pipe bores 2 % narrow",
        changes: narrow,
    },
    Range {
        end: "voids of stone 3 points low",
        changes: |context| voids(context, -0.03),
    },
    Range {
        end: "voids of stone 3 points high",
        changes: |context| voids(context, 0.03),
    },
];

/// The ends at which something that is met is not.
///
/// Of a large plan none; that is told in `untried`.
pub(super) fn ends(
    context: &ReviewContext<'_>,
    serious: &SeriousRules<'_>,
    untried: &mut Vec<String>,
) -> Vec<ModelEnd> {
    if Allowance::of(context.ledger).left() < RANGES.len() {
        untried.push("the worst ends of what the model takes as known".to_owned());
        return Vec::new();
    }
    let tried = RANGES.iter().filter_map(|range| {
        let changes = (range.changes)(context);
        let tried = serious.tried(&context.start(), &changes)?;
        let not_met = serious.new_faults(context, &tried);
        (!changes.is_empty() && !not_met.is_empty()).then(|| ModelEnd {
            end: context.words(range.end),
            source: PRACTICE,
            not_met,
        })
    });
    tried.collect()
}

/// Flows of every pump curve, so many times.
fn pumps(context: &ReviewContext<'_>, times: f64) -> Vec<ValueChange> {
    let span = context.tree.root.span;
    let node = |value| Node { span, value };
    let curves = context.plan.pumps.values().filter_map(|pump| pump.curve.given());
    let scaled = curves.map(|curve| {
        let points = curve.value.iter().map(|(flow, head)| {
            let pair = [
                as_written(flow.si() * times, Kind::Flow),
                as_written(head.si(), Kind::Length),
            ];
            node(Value::List(
                pair.into_iter().map(|text| node(Value::Text(text))).collect(),
            ))
        });
        ValueChange {
            place: curve.place.clone(),
            value: Value::List(points.collect()),
        }
    });
    scaled.collect()
}

/// Every crest passes so many times what it did, as one that is so many times as wide.
fn crests(context: &ReviewContext<'_>, times: f64) -> Vec<ValueChange> {
    let falls = context.plan.falls.values().filter_map(|fall| fall.width.given());
    falls
        .map(|width| length(&width.place, width.value.si() * times))
        .collect()
}

fn rough(context: &ReviewContext<'_>) -> Vec<ValueChange> {
    let lines = context.plan.lines.values().flat_map(|line| line.runs.values());
    let pipes = lines.filter_map(|run| run.pipe.given());
    let shown = pipes.filter(|pipe| matches!(pipe.roughness, Shown::NotShown));
    shown
        .map(|pipe| length(&pipe.place.child("roughness"), 1.5e-4))
        .collect()
}

fn narrow(context: &ReviewContext<'_>) -> Vec<ValueChange> {
    let lines = context.plan.lines.values().flat_map(|line| line.runs.values());
    let pipes = lines.filter_map(|run| run.pipe.given());
    let bores = pipes.filter_map(|pipe| {
        let inside = match (pipe.inside.value(), pipe.size.value(), pipe.class.value()) {
            (Some(inside), ..) => inside.si(),
            (None, Some(size), Some(class)) => {
                pipe_table::inside_diameter(size.si() / INCH, class)
                    .ok()?
                    .inside_diameter
            }
            _ => return None,
        };
        Some(length(&pipe.place.child("inside"), 0.98 * inside))
    });
    bores.collect()
}

fn voids(context: &ReviewContext<'_>, more: f64) -> Vec<ValueChange> {
    let layers = context
        .plan
        .basins
        .values()
        .flat_map(|basin| basin.layers.values());
    let shares = layers.filter_map(|layer| layer.porosity.given());
    shares
        .map(|share| ValueChange {
            place: share.place.clone(),
            value: Value::Text(as_written(share.value.si() + more, Kind::Share)),
        })
        .collect()
}

fn length(place: &Place, si: f64) -> ValueChange {
    ValueChange {
        place: place.clone(),
        value: Value::Text(as_written(si, Kind::Length)),
    }
}
