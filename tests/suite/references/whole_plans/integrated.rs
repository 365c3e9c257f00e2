//! Plans followed for a day, against scipy.

use std::collections::HashMap;

use bywash::hydraulics::{Outcomes, ScenarioRuns, run_scenarios};

use super::{
    super::table::rows,
    near,
    told::{Reviews, text_of},
};
use crate::changed;

/// A fifth of a millimetre.
const LEVEL: f64 = 2e-4;
/// Volumes and times, relative.
const SHARE: f64 = 5e-3;

/// scipy 1.17.1 `solve_ivp` (Radau) over flows written from textbooks in `tests/references/whole_plans/script`: the
/// highest, the lowest and the last level of every basin, what was lost, what siphoned back and when that stopped.
#[test]
fn reference_plans_followed_for_a_day() {
    let mut reviews = Reviews::default();
    for row in rows("whole_plans/integrated.csv") {
        let (plan, case, object) = (row.text("plan"), row.text("case"), row.text("object"));
        let what = format!("{plan} {case} {} {object}", row.text("what"));
        let case = reviews.of(plan).case(case);
        let want = row.num("value");
        let end = || {
            let (line, run) = object.split_once('/').unwrap();
            case.siphoned(line, run)
        };
        match row.text("what") {
            which @ ("highest" | "lowest") => near(case.level(object, which), want, LEVEL, &what),
            // The last level of the day.
            "level" if row.num("at_s") == 86_400.0 => near(case.level(object, "end"), want, LEVEL, &what),
            "lost by rim" => near(case.lost(object, "rim"), want, SHARE * want, &what),
            "lost by overflow" => near(case.lost(object, "overflow"), want, SHARE * want, &what),
            "siphoned" if want.abs() > 1e-6 => near(end().0, want, SHARE * want, &what),
            // Levels on the way are read off below; nothing siphons where nothing stands higher.
            "level" | "siphoned" => {}
            "mouth" | "air inlet" => near(end().1, want, SHARE * want, &what),
            other => panic!("{other} in the table"),
        }
    }
}

/// The same, on the way: levels from a minute to a day after the case begins, read off the course between its steps.
#[test]
fn reference_levels_on_the_way() {
    let mut followed: HashMap<String, ScenarioRuns> = HashMap::new();
    for row in rows("whole_plans/integrated.csv") {
        if row.text("what") != "level" {
            continue;
        }
        let (plan, case, basin) = (row.text("plan"), row.text("case"), row.text("object"));
        let cases = followed.entry(plan.to_owned()).or_insert_with(|| {
            let (_, opened) = changed::plan(plan, &text_of(plan), &[]);
            run_scenarios(&opened.plan, &Outcomes::default(), &[])
        });
        let case = cases
            .single
            .iter()
            .find(|followed| followed.name == case)
            .unwrap();
        let outcome = case.outcome.as_ref().unwrap();
        let at = format!("/basins/{basin}");
        let told = outcome.basins.iter().find(|told| told.at.as_str() == at);
        let time = row.num("at_s");
        let got = between(&told.unwrap().series, time);
        let what = format!("{plan} {} {basin} after {time} s", case.name);
        near(got, row.num("value"), ON_THE_WAY, &what);
    }
}

/// Steps lie so far apart that a straight line between two of them is off by up to a millimetre.
const ON_THE_WAY: f64 = 1e-3;

/// A level on the straight line between two steps; the last one for good once all has settled.
fn between(series: &[(f64, f64)], time: f64) -> f64 {
    let after = series.partition_point(|(at, _)| *at <= time);
    let level = |step: usize| series[step].1;
    let Some((end, _)) = series.get(after) else {
        return level(series.len() - 1);
    };
    let start = series[after - 1].0;
    let share = (time - start) / (end - start);
    level(after - 1) + share * (level(after) - level(after - 1))
}
