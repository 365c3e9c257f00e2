//! Two basins that come to one level through a pipe, in a whole plan.

use bywash::hydraulics::{Outcomes, run_scenarios};

use super::{
    super::table::{close, rows},
    told::text_of,
};
use crate::changed;

/// Closed form where the pipe has no length, else scipy 1.17.1 `quad` over Darcy–Weisbach: the difference of level while the
/// pump runs, and the time until both stand within a millimetre of the end.
#[test]
fn reference_basins_come_to_one_level() {
    for row in rows("whole_plans/communicating.csv") {
        let changes = [
            format!("/drains/pipe/run/pipe/inside={}", row.text("inside")),
            format!("/drains/pipe/run/length={}", row.text("length")),
            format!("/drains/pipe/run/extra_k={}", row.text("extra_k")),
        ];
        let changes: Vec<&str> = changes.iter().map(String::as_str).collect();
        let (_, opened) = changed::plan("communicating", &text_of("communicating"), &changes);
        let all = run_scenarios(&opened.plan, &Outcomes::default(), &[]);
        let case = all.single.iter().find(|case| case.name == "power-off").unwrap();
        let outcome = case.outcome.as_ref().unwrap();
        let series = |id: &str| {
            let at = format!("/basins/{id}");
            let told = outcome.basins.iter().find(|basin| basin.at.as_str() == at);
            &told.unwrap().series
        };
        let both = series("pond").iter().zip(series("well"));
        let course: Vec<(f64, f64)> = both.map(|(pond, well)| (pond.0, pond.1 - well.1)).collect();
        close(
            course[0].1,
            row.num("h_start_m"),
            1e-4,
            "difference while the pump runs",
        );
        let time = when(&course, row.num("h_end_m"));
        close(time, row.num("t_s"), 5e-3, "time");
        if let Some(closed) = row.opt("t_closed_s") {
            close(time, closed, 5e-3, "time in closed form");
        }
    }
}

/// When a difference of level falls to another: its root falls all but evenly, so that it is read off between two steps.
fn when(course: &[(f64, f64)], difference: f64) -> f64 {
    let after = course.iter().position(|(_, found)| *found <= difference).unwrap();
    let ((start, above), (end, below)) = (course[after - 1], course[after]);
    let share = (above.sqrt() - difference.sqrt()) / (above.sqrt() - below.max(0.0).sqrt());
    start + share * (end - start)
}
