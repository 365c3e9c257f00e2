//! Papers on the page: the whole review and the field papers, laid out to be read, printed, or written as files.

mod field;
mod file;
mod frame;
mod lists;
mod review;

use serde::Deserialize;

pub use file::PaperForm;
pub use frame::paper;
pub use lists::{CellFile, TakeoffLists};

use super::assess::{Desk, Reviewed};
use crate::{
    formulas::levelling,
    papers::{
        BELOW_FOOT, FieldPaper, GradeOptions, Rod, SetUps, TWO_SIGHTS, day_sheet, grade_sheet, runbook,
        takeoff, two_sights,
    },
    quantity::{Kind, Quantity},
    report::drawing::{Drawings, NamedScenes, day_drawings, drawings, grade_drawings, takeoff_drawings},
    review::Review,
};

/// Which paper is shown, and what it is made with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperWish {
    /// Which.
    pub name: PaperName,
    /// What the rod reads on the benchmark; for a grade sheet.
    pub backsight: String,
    /// Foresight and backsight on each turning point, such as `1 ft 3 in / 6 ft 2 in`, parted by semicolons.
    pub turns: String,
    /// Prices and stone on hand; for a materials list.
    pub lists: TakeoffLists,
}

/// The papers there are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PaperName {
    /// The whole review.
    Review,
    /// Levels with rod readings.
    Grades,
    /// The materials list.
    Takeoff,
    /// Order of work.
    Runbook,
    /// A day at the pond.
    Day,
}

/// A paper that was made.
pub enum Paper {
    /// The review, with all its drawings.
    Review(Box<Review>, Box<Drawings>),
    /// A paper for the site, with its drawings, and what stands beside it.
    Field(Box<FieldPaper>, NamedScenes, Aside),
}

/// What stands beside a paper, on the page alone.
#[derive(Clone, Debug, Default)]
pub struct Aside {
    /// What is told.
    pub told: Option<String>,
    /// The merge patch that the paper proposes, JSON text.
    pub patch: Option<String>,
}

impl std::fmt::Debug for Paper {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Review(..) => "Review",
            Self::Field(paper, ..) => paper.paper,
        })
    }
}

impl PaperName {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 5] = [
        Self::Review,
        Self::Grades,
        Self::Takeoff,
        Self::Runbook,
        Self::Day,
    ];

    /// Its word in edits and in the names of files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Review => "review",
            Self::Grades => "grades",
            Self::Takeoff => "takeoff",
            Self::Runbook => "runbook",
            Self::Day => "day",
        }
    }

    /// What it is called.
    const fn title(self) -> &'static str {
        match self {
            Self::Review => "Review",
            Self::Grades => "Grade sheet",
            Self::Takeoff => "Materials list",
            Self::Runbook => "Runbook",
            Self::Day => "Day at the pond",
        }
    }

    /// What it is for.
    const fn purpose(self) -> &'static str {
        match self {
            Self::Review => "Every finding and question with its reason, cure and source, and the drawings.",
            Self::Grades => {
                "Every level with its rod reading, how far it may drift, and a blank for the shot."
            }
            Self::Takeoff => "What to order, and how each amount was worked out.",
            Self::Runbook => {
                "The order of work with its hold points, the filling by the hour, tests and upkeep."
            }
            Self::Day => {
                "Levels and flow on a usual day, what the power costs, and the water lost and made up."
            }
        }
    }
}

impl Desk {
    /// Makes a paper of a plan.
    ///
    /// # Errors
    /// What it is made with that can't be read, in words.
    pub fn paper(&self, reviewed: &Reviewed, wish: &PaperWish) -> Result<Paper, String> {
        let (context, library) = (self.context(reviewed), self.library(reviewed));
        let units = reviewed.units();
        let field =
            |paper: FieldPaper, scenes: NamedScenes| Paper::Field(Box::new(paper), scenes, Aside::default());
        Ok(match wish.name {
            PaperName::Review => {
                let review = self.review_with_cures(reviewed);
                let drawn = drawings(&reviewed.opened.plan, &reviewed.opened.ledger, &review);
                Paper::Review(Box::new(review), Box::new(drawn))
            }
            PaperName::Grades => {
                let options = GradeOptions {
                    set_ups: set_ups(wish, Rod::usual(units))?,
                    mark: 0.0,
                };
                let review = self.review_with_figures(reviewed);
                let subject = &review.subject;
                let sheet = grade_sheet(&context, subject, &library, &options);
                let drawn = grade_drawings(&context, &review, &options.set_ups);
                field(sheet.paper, drawn)
            }
            PaperName::Takeoff => {
                let options = wish.lists.options(units)?;
                let list = takeoff(
                    &context,
                    &self.review_with_figures(reviewed),
                    &library.cards,
                    &options,
                );
                let drawn = takeoff_drawings(&list, units);
                let unused = (!list.unused_prices.is_empty()).then(|| {
                    let items = list.unused_prices.join(", ");
                    format!("No line of this list is one of these items of the price list: {items}.")
                });
                // Without stone on hand there is nothing to change.
                let proposes = options.yard.is_some() && !merged_nothing(&list.yard_patch);
                let aside = Aside {
                    told: unused,
                    patch: proposes.then_some(list.yard_patch),
                };
                Paper::Field(Box::new(list.paper), drawn, aside)
            }
            PaperName::Runbook => field(
                runbook(&context, &self.review_with_figures(reviewed)),
                NamedScenes::new(),
            ),
            PaperName::Day => {
                let day = day_sheet(&context, &self.review_with_figures(reviewed));
                let drawn = day_drawings(&day, units);
                field(day.paper, drawn)
            }
        })
    }
}

fn merged_nothing(patch: &str) -> bool {
    patch.trim() == "{}"
}

/// The set-ups of the instrument, as they were typed.
fn set_ups(wish: &PaperWish, rod: Rod) -> Result<SetUps, String> {
    let height = levelling::height_of_instrument(0.0, reading("backsight", &wish.backsight)?);
    let turns = wish.turns.split(';').filter(|turn| !turn.trim().is_empty());
    let turns = turns.map(|turn| {
        let (foresight, backsight) = two_sights(turn).ok_or_else(|| {
            let turn = crate::text::shown(turn.trim());
            format!("turning point `{turn}`: {TWO_SIGHTS}")
        })?;
        Ok((reading("foresight", foresight)?, reading("backsight", backsight)?))
    });
    let turns: Vec<(f64, f64)> = turns.collect::<Result<_, String>>()?;
    Ok(SetUps::new(rod, rod.usual_length(), height, &turns))
}

/// A reading of the rod, m.
fn reading(what: &str, text: &str) -> Result<f64, String> {
    let quantity = Quantity::parse(text.trim(), Kind::Length);
    let si = quantity
        .map_err(|error| format!("{what}: {error}; {}", error.help()))?
        .si;
    if si >= 0.0 {
        Ok(si)
    } else {
        Err(format!("{what}: {BELOW_FOOT}"))
    }
}
