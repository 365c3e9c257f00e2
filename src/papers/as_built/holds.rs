//! Hold points of levels: what must be shown before water goes in.

use super::found::{Found, MarkStanding};
use crate::{papers::marks::Crew, rules::Severity};

/// A hold point, and whether it is passed.
pub(super) struct HoldPoint {
    pub what: String,
    /// Passed, not passed, or not shown.
    pub passed: Option<bool>,
    pub because: String,
}

/// Whether every hold point that can be evaluated is passed.
pub(super) fn pass(found: &Found<'_>) -> bool {
    all(found).iter().all(|hold| hold.passed != Some(false))
}

/// The hold points of levels.
pub(super) fn all(found: &Found<'_>) -> Vec<HoldPoint> {
    let mut holds = vec![closing(found), believed(found)];
    for crew in Crew::ALL {
        let of_crew = || {
            found
                .marks
                .iter()
                .enumerate()
                .filter(move |(_, mark)| mark.crew == crew)
        };
        let count = of_crew().count();
        if count == 0 {
            continue;
        }
        let is_shot = |index: usize| found.shots.all.iter().any(|shot| shot.mark == index);
        let shot = of_crew().filter(|(index, _)| is_shot(*index)).count();
        let over = found
            .moved
            .iter()
            .filter(|moved| moved.mark.crew == crew && moved.standing == MarkStanding::Over)
            .count();
        holds.push(HoldPoint {
            what: format!("{}: every mark shot, none over its tolerance", crew.title()),
            passed: if over > 0 {
                Some(false)
            } else {
                (shot == count).then_some(true)
            },
            because: format!("{shot} of {count} shot, {over} over"),
        });
    }
    holds.push(reviewed(found));
    holds
}

fn closing(found: &Found<'_>) -> HoldPoint {
    let what = "Levels close on the first mark".to_owned();
    match found.shots.closing {
        None => HoldPoint {
            what,
            passed: None,
            because: "the first mark was not shot again".to_owned(),
        },
        Some(error) => HoldPoint {
            what,
            passed: Some(error.abs() <= found.closing_allowed + 1e-9),
            because: String::new(),
        },
    }
}

fn believed(found: &Found<'_>) -> HoldPoint {
    let doubted = found
        .shots
        .all
        .iter()
        .filter(|shot| shot.misread.is_some())
        .count();
    HoldPoint {
        what: "Every shot believed".to_owned(),
        passed: Some(doubted == 0),
        because: format!("{doubted} to shoot again"),
    }
}

fn reviewed(found: &Found<'_>) -> HoldPoint {
    let grave = found
        .new
        .iter()
        .filter(|finding| finding.severity != Severity::Advise);
    let count = grave.count();
    HoldPoint {
        what: "The plan as built breaks no rule that the plan as drawn keeps".to_owned(),
        passed: Some(count == 0 && found.review.is_some()),
        because: if found.review.is_some() {
            format!("{count} new stop or revise")
        } else {
            "the shots put levels out of order: they can’t be reviewed".to_owned()
        },
    }
}
