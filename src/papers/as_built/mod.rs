//! The plan as built: shots to values of the plan, the whole review again, and what each mark that is off leads to.

mod found;
mod holds;
mod misread;
mod sheets;
mod shots;

pub use found::AsBuiltOptions;
pub use shots::{Shot, Shots, read_shots};

use std::collections::HashMap;

use super::{
    built_patch::built_patch,
    document::FieldPaper,
    drift::{MarkDrifts, Side, own_tolerance},
    imprint::PlanImprint,
    level_changes::{BuiltValue, built_values},
    marks::Mark,
};
use crate::{
    formulas::levelling::allowed_closing_error,
    quantity::INCH,
    review::{self, ChangedPlan, Finding, Review, ReviewContext},
    rules::Severity,
};
use found::{Found, MarkStanding, Moved};
use sheets::sheets;

/// What a run of levels may close off by for each set-up, m: 1/8 in (common practice of builders with an automatic level).
const CLOSING_PER_SET_UP: f64 = INCH / 8.0;
/// What work is set to, m: 1/4 in (6 mm; common practice).
const SET_TO: f64 = INCH / 4.0;

/// The as-built check of a plan.
pub struct AsBuilt {
    /// The paper.
    pub paper: FieldPaper,
    /// The merge patch that makes the plan as drawn the plan as built, JSON text.
    pub patch: String,
    /// Whether anything keeps water from going in: a new stop or revise, a shot that is not believed, a closing error.
    pub holds_water: bool,
}

/// Checks a plan as built.
pub fn as_built(
    context: &ReviewContext<'_>,
    marks: &[Mark],
    shots: &Shots,
    options: &AsBuiltOptions<'_>,
) -> AsBuilt {
    let off: HashMap<&str, f64> = shots
        .all
        .iter()
        .filter(|shot| shot.misread.is_none())
        .map(|shot| (marks[shot.mark].id.as_str(), shot.off))
        .collect();
    let values = built_values(context.plan, marks, &off);
    let built = as_changed(context, &values);
    let review = built.as_ref().map(|built| {
        let patches = options.drawn.subject.patches.iter().cloned();
        let patches = patches.chain([options.file.to_owned()]).collect();
        review::review(
            &built.context(context),
            &options.drawn.subject.file,
            patches,
            options.drawn.subject.sheets.clone(),
            options.library,
        )
    });
    let new = review
        .as_ref()
        .map_or_else(Vec::new, |review| new_findings(options.drawn, review));
    let drifts = MarkDrifts::new(context, options.library);
    let moved = shots
        .all
        .iter()
        .map(|shot| moved(context, marks, shot, &drifts, options))
        .collect();
    let found = Found {
        shots,
        marks,
        moved,
        closing_allowed: allowed_closing_error(CLOSING_PER_SET_UP, shots.set_ups.max(1) as f64),
        new,
        review,
    };
    let imprint = PlanImprint::of(
        &options.drawn.subject,
        context.date,
        &context.tree.root,
        context.units,
    );
    let holds_water = holds::pass(&found);
    let paper = FieldPaper::new(
        ("as-built", 'A', "As-built check"),
        imprint,
        sheets(&found, context, options),
    );
    AsBuilt {
        paper,
        patch: built_patch(&context.tree.root, &values, context.units),
        holds_water,
    }
}

/// What is not found in the plan as drawn.
fn new_findings(drawn: &Review, built: &Review) -> Vec<Finding> {
    let known = |finding: &&Finding| {
        let same = |other: &Finding| other.rule == finding.rule && other.object == finding.object;
        !drawn.findings.iter().any(same)
    };
    built.findings.iter().filter(known).cloned().collect()
}

fn moved<'a>(
    context: &ReviewContext<'_>,
    marks: &'a [Mark],
    shot: &'a Shot,
    drifts: &MarkDrifts<'_>,
    options: &AsBuiltOptions<'_>,
) -> Moved<'a> {
    let mark = &marks[shot.mark];
    let mut found = Moved {
        shot,
        mark,
        room: None,
        standing: MarkStanding::Set,
        breaks: Vec::new(),
        changes: Vec::new(),
    };
    if shot.misread.is_some() {
        found.standing = MarkStanding::Misread;
        return found;
    }
    // What is set as work is set breaks nothing by itself, unless the drawn plan has no room at all.
    let own = own_tolerance(context.plan, mark);
    if shot.off.abs() <= SET_TO.min(own.unwrap_or(SET_TO)) + 1e-9 {
        return found;
    }
    found.standing = MarkStanding::Off;
    let side = if shot.off < 0.0 { Side::Low } else { Side::High };
    found.room = drifts.of(marks, mark, side);
    let alone = HashMap::from([(mark.id.as_str(), shot.off)]);
    let values = built_values(context.plan, marks, &alone);
    if let Some(built) = as_changed(context, &values) {
        let under = built.context(context);
        let review = review::review(
            &under,
            &options.drawn.subject.file,
            Vec::new(),
            Vec::new(),
            options.library,
        );
        found.breaks = new_findings(options.drawn, &review)
            .into_iter()
            .filter(|finding| finding.severity != Severity::Advise || finding.follows.is_none())
            .collect();
        found.changes = changes(options.drawn, &review);
    }
    let breaks_rule = found
        .breaks
        .iter()
        .any(|finding| finding.severity != Severity::Advise);
    let over_room = found
        .room
        .as_ref()
        .is_some_and(|room| !room.is_widest && shot.off.abs() > room.room + 1e-9);
    if breaks_rule || over_room {
        found.standing = MarkStanding::Over;
    }
    found
}

/// The plan with values as they were built; none where it is no plan that can be reviewed then.
fn as_changed(context: &ReviewContext<'_>, values: &[BuiltValue]) -> Option<ChangedPlan> {
    let changes: Vec<_> = values.iter().map(|value| value.change(context.units)).collect();
    context.changed(&changes)
}

/// Figures that a reader watches, in the order they are told.
const WATCHED: [&str; 6] = [
    "freeboard-running",
    "freeboard-power-off",
    "freeboard-storm",
    "crest-head",
    "start-up-cover",
    "duty-flow",
];
/// Changes told of one mark, at most.
const MOST_CHANGES: usize = 2;

/// The watched figures that print otherwise, in words.
fn changes(drawn: &Review, built: &Review) -> Vec<String> {
    let text = |review: &Review, name: &str, at: usize| {
        let line = review.figures.iter().filter(|line| line.name == name).nth(at)?;
        let value = line.value.as_ref()?;
        Some((
            format!("{}, {}", line.object_name, line.title),
            value.text.clone(),
        ))
    };
    let mut told = Vec::new();
    for name in WATCHED {
        let count = drawn.figures.iter().filter(|line| line.name == name).count();
        for at in 0..count {
            if let (Some((title, before)), Some((_, after))) = (text(drawn, name, at), text(built, name, at))
                && before != after
            {
                told.push(format!("{title} {after} instead of {before}"));
            }
        }
    }
    told.truncate(MOST_CHANGES);
    told
}
