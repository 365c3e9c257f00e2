//! The same plans in a public storm-water engine.

use std::collections::HashMap;

use super::{
    super::table::{Row, rows},
    near,
    told::Reviews,
};

/// Of how far a level comes from still, and of volumes.
const SHARE: f64 = 0.02;
/// What any level may be off, m.
const LEAST: f64 = 1e-3;

/// EPA SWMM 5.2.4 (swmm-toolkit 0.17.0), dynamic wave: storage units, weirs, pump curves, force mains.
#[test]
fn reference_plans_in_a_storm_water_engine() {
    let mut reviews = Reviews::default();
    let all = rows("whole_plans/storm_water.csv");
    let key = |row: &Row| ["plan", "case", "object"].map(|column| row.text(column).to_owned());
    let mut farthest: HashMap<[String; 3], f64> = HashMap::new();
    for row in all.iter().filter(|row| !row.text("what").starts_with("lost")) {
        let way = (row.num("value") - row.num("still")).abs();
        let known = farthest.entry(key(row)).or_default();
        *known = known.max(way);
    }
    for row in &all {
        let (which, object, want) = (row.text("what"), row.text("object"), row.num("value"));
        let what = format!("{} {} {which} {object}", row.text("plan"), row.text("case"));
        let case = reviews.of(row.text("plan")).case(row.text("case"));
        if let Some(by) = which.strip_prefix("lost by ") {
            near(case.lost(object, by), want, SHARE * want, &what);
        } else {
            let within = (SHARE * farthest[&key(row)]).max(LEAST);
            near(case.level(object, which), want, within, &what);
        }
    }
}
