//! The runbook: the order of work with its hold points, filling and joining by volume and hour, tests and upkeep.

mod living;
mod steps;
mod tests_and_upkeep;
mod water;

use super::{
    document::{Block, FieldPaper},
    imprint::PlanImprint,
};
use crate::review::{Review, ReviewContext};
use steps::{WorkStep, steps};

/// Makes the runbook of a plan.
pub fn runbook(context: &ReviewContext<'_>, review: &Review) -> FieldPaper {
    let imprint = PlanImprint::of(&review.subject, context.date, &context.tree.root, context.units);
    let mut order = vec![Block::Note {
        text: "A step begins when every box of the step before it is ticked and signed. A box that cannot be ticked stops the work: \
               call the designer, and write down what was decided."
            .to_owned(),
    }];
    for (index, step) in steps(context).into_iter().enumerate() {
        order.extend(laid(index + 1, step));
    }
    let mut sheets = vec![
        ("Order of work and hold points".to_owned(), order),
        ("Filling and flushing".to_owned(), water::filling(context)),
    ];
    if let Some(blocks) = water::tempering(context) {
        sheets.push((water::joining_sheet(context.plan).to_owned(), blocks));
    }
    sheets.push((
        "Start-up and first month".to_owned(),
        tests_and_upkeep::first_month(context),
    ));
    sheets.push(("Upkeep by season".to_owned(), tests_and_upkeep::upkeep(context)));
    FieldPaper::new(("runbook", 'R', "Runbook"), imprint, sheets)
}

fn laid(number: usize, step: WorkStep) -> Vec<Block> {
    let day = step.day.map_or_else(String::new, |day| format!(" (day {day})"));
    let mut blocks = vec![Block::Heading {
        text: format!("{number}. {}{day}", step.title),
    }];
    blocks.extend(step.caution.map(|text| Block::Caution {
        text: text.to_owned(),
    }));
    if !step.notes.is_empty() {
        blocks.push(Block::Note {
            text: step.notes.join(" "),
        });
    }
    blocks.push(Block::Checks { items: step.holds });
    blocks.push(Block::Signature {
        labels: vec![
            step.signs.unwrap_or("foreman").to_owned(),
            "date and time".to_owned(),
        ],
    });
    blocks
}
