//! Values that nothing evaluates are told, and every field of the plan is either evaluated somewhere or listed here.

use std::collections::BTreeSet;

use bywash::{
    engine::{Engine, ReviewOptions, SOUND},
    plan::SCHEMA,
    review::{SERVE_OTHERWISE, serves_otherwise},
};
use serde_json::Value;

use super::changed;

const EXAMPLES: [&str; 7] = [
    "courtyard-as-sent",
    "courtyard-retrofit",
    "ledge-run",
    "mill-yard-metric",
    "minimal",
    "starter",
    "two-ponds",
];

/// Fields that no figure rests on, no rule reads and nothing else uses, with what they are for.
const NOT_EVALUATED: &[(&str, &str)] = &[
    ("/backfill/material", "a note for the crew"),
    (
        "/basins/*/bottom_drain/bore",
        "the drain itself is written as a gravity line",
    ),
    ("/basins/*/clean_out_well/lid", "a note for the crew"),
    ("/basins/*/flush/provision", "a note for the crew"),
    (
        "/basins/*/layers/*/crush_strength",
        "no published limit for void modules in ponds is held",
    ),
    ("/basins/*/layers/*/source", "a note for the crew"),
    (
        "/basins/*/lining/cushion/full_cover",
        "the rule looks at the cushion's mass",
    ),
    ("/basins/*/lining/cushion/material", "a note for the crew"),
    (
        "/basins/*/lining/underlay/mass",
        "the rule looks at the cover of the underlay",
    ),
    ("/basins/*/lining/underlay/material", "a note for the crew"),
    ("/basins/*/overflow/outfall", "a note for the crew"),
    (
        "/basins/*/skimmer/flow",
        "the skimmer itself is written as a gravity line",
    ),
    (
        "/drains/*/mouth/second_outlet",
        "the rule looks at the outlets of pumps",
    ),
    ("/drains/*/run/after", "refused: a drain is one run"),
    ("/drains/*/run/buried", "judged for pumped lines only"),
    ("/drains/*/run/joins", "refused: a drain is one run"),
    (
        "/drains/*/run/pipe/pressure_rating",
        "judged for pumped lines only",
    ),
    ("/drains/*/run/stated_flow", "judged for pumped lines only"),
    ("/drains/*/run/to", "refused: a drain is one run"),
    ("/filling/dechlorinator/product", "a note for the crew"),
    ("/filling/wash/recirculated", "a note for the crew"),
    (
        "/lines/*/high_points/count",
        "the rule looks at their air releases",
    ),
    ("/planting/species/*/common", "a note for the crew"),
    ("/planting/species/*/spacing", "a note for the crew"),
    (
        "/pumps/*/suction/after",
        "a suction run starts at its basin and ends at its pump",
    ),
    ("/pumps/*/suction/buried", "judged for pumped lines only"),
    (
        "/pumps/*/suction/discharge/form",
        "a suction run starts at its basin and ends at its pump",
    ),
    (
        "/pumps/*/suction/discharge/level",
        "a suction run starts at its basin and ends at its pump",
    ),
    (
        "/pumps/*/suction/joins",
        "a suction run starts at its basin and ends at its pump",
    ),
    (
        "/pumps/*/suction/pipe/pressure_rating",
        "judged for pumped lines only",
    ),
    (
        "/pumps/*/suction/shut",
        "a suction run starts at its basin and ends at its pump",
    ),
    ("/pumps/*/suction/stated_flow", "judged for pumped lines only"),
    (
        "/pumps/*/suction/to",
        "a suction run starts at its basin and ends at its pump",
    ),
    ("/site/barrier/kind", "a note for the crew"),
    ("/site/slope", "a note for the crew"),
    ("/site/soil_note", "a note for the crew"),
    ("/walls/*/soil", "a note for the crew"),
];

/// Plans that hold what no shipped plan does.
const OTHERS: &[(&str, &[&str])] = &[
    (
        "courtyard-retrofit",
        &[
            "/pumps/main/curve=null",
            "/pumps/main/duty/flow=2400 gph",
            "/pumps/main/duty/head=6 ft",
            "/falls/spillway/edge=V-notch",
            "/falls/spillway/notch_sides=1:1",
            "/upkeep/fouling/loss_factor=1.2",
        ],
    ),
    ("courtyard-retrofit", &["/upkeep/fouling/roughness=0.01 in"]),
    (
        "courtyard-retrofit",
        &[
            "/basins/pond/floor=null",
            "/basins/pond/shape/depth=30 in",
            "/basins/pond/shape/shelves/marginal/level=-24 in",
            "/basins/pond/shape/shelves/marginal/width=6 in",
        ],
    ),
    (
        "ledge-run",
        &[
            "/streams/run/head=-2 in",
            "/streams/run/end=-40 in",
            "/streams/run/reaches/upper/stone=null",
            "/streams/run/reaches/upper/lining=grass",
            "/streams/run/reaches/lower/roughness=0.03",
        ],
    ),
];

/// The values of a plan that its review lists, by place.
fn listed(name: &str, changes: &[&str]) -> Vec<String> {
    let (engine, opened) = changed::example(name, changes);
    let review = engine.review(&opened, ReviewOptions::default());
    let places = review.unevaluated.iter();
    places.map(|value| value.place.as_str().to_owned()).collect()
}

/// Every field of the schema that holds a value, as a pattern.
fn fields(document: &Value, schema: &Value, at: &str, found: &mut BTreeSet<String>) {
    if let Some(to) = schema.get("$ref").and_then(Value::as_str) {
        if to.ends_with("/none") {
            return;
        }
        let inner = document.pointer(to.trim_start_matches('#')).unwrap();
        return fields(document, inner, at, found);
    }
    if let Some(branches) = schema.get("anyOf").and_then(Value::as_array) {
        return branches
            .iter()
            .for_each(|branch| fields(document, branch, at, found));
    }
    let properties = schema.get("properties").and_then(Value::as_object);
    for (key, field) in properties.into_iter().flatten() {
        fields(document, field, &format!("{at}/{key}"), found);
    }
    let by_id = schema.get("additionalProperties").filter(|each| each.is_object());
    if let Some(each) = by_id {
        fields(document, each, &format!("{at}/*"), found);
    }
    if properties.is_none() && by_id.is_none() && at != "/$schema" {
        found.insert(at.to_owned());
    }
}

/// The fields that hold a value in a plan, and those of them that its review lists.
fn evaluated(engine: &Engine, opened: &bywash::engine::Opened) -> (BTreeSet<String>, BTreeSet<String>) {
    let review = engine.review(opened, ReviewOptions::default());
    let listed = review.unevaluated.iter();
    let listed = listed
        .map(|value| engine.book().pattern_of(&value.place))
        .collect();
    let mut held = BTreeSet::new();
    leaves(&opened.tree.root.to_json(), "", &mut |at| {
        held.insert(engine.book().pattern_of(&bywash::read::Place::from_pointer(at)));
    });
    (held, listed)
}

fn leaves(value: &Value, at: &str, tell: &mut impl FnMut(&str)) {
    match value {
        Value::Object(members) => members
            .iter()
            .for_each(|(key, inner)| leaves(inner, &format!("{at}/{key}"), tell)),
        Value::Bool(false) => {}
        Value::String(text) if text == "none" => {}
        _ => tell(at),
    }
}

/// Fields that no plan tried here gives in words of its own: each has a test beside its figure or rule.
const TRIED_ELSEWHERE: &[&str] = &[
    "/basins/*/ballast",
    "/basins/*/clean_out_well",
    "/basins/*/construction/kind",
    "/basins/*/fish/protein",
    "/basins/*/flow_direction",
    "/basins/*/layers/*/shading",
    "/basins/*/lining/cushion",
    "/basins/*/lining/membrane/seams",
    "/basins/*/lining/underlay",
    "/drains/*/mouth/cover",
    "/drains/*/run/pipe/roughness",
    "/electrical/metal",
    "/lines/*/check_valve",
    "/lines/*/runs/*/pipe/roughness",
    "/pumps/*/check_valve",
    "/pumps/*/suction/pipe/roughness",
    "/site/catchment_into",
    "/site/humidity",
    "/site/wind",
    "/walls/*/friction_angle",
    "/walls/*/mortared",
    "/walls/*/soil_unit_weight",
    "/water/make_up/near_wall",
];

#[test]
fn every_field_is_evaluated_somewhere_or_serves_otherwise() {
    let document: Value = serde_json::from_str(SCHEMA).unwrap();
    let mut wanted = BTreeSet::new();
    fields(&document, &document, "", &mut wanted);
    assert!(wanted.len() > 250, "{}", wanted.len());
    let mut read: BTreeSet<String> = BTreeSet::new();
    for name in EXAMPLES {
        let (engine, opened) = changed::example(name, &[]);
        let (held, listed) = evaluated(&engine, &opened);
        read.extend(held.difference(&listed).cloned());
    }
    for (name, changes) in OTHERS {
        let (engine, opened) = changed::example(name, changes);
        let (held, listed) = evaluated(&engine, &opened);
        read.extend(held.difference(&listed).cloned());
    }
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let source = engine.sources.add("the sound plan", SOUND);
    let cards = engine.library.cards.iter();
    let examples: Vec<_> = cards.flat_map(|card| &card.examples).collect();
    for example in examples {
        let opened = engine
            .open(source, vec![(String::new(), example.patch.clone())])
            .unwrap();
        let (held, listed) = evaluated(&engine, &opened);
        read.extend(held.difference(&listed).cloned());
    }
    let excused: BTreeSet<String> = NOT_EVALUATED
        .iter()
        .map(|(field, _)| (*field).to_owned())
        .collect();
    let missing = |field: &&String| {
        !read.contains(*field)
            && !serves_otherwise(field)
            && !excused.contains(*field)
            && !TRIED_ELSEWHERE.contains(&field.as_str())
    };
    let unknown: Vec<&String> = wanted.iter().filter(missing).collect();
    assert!(unknown.is_empty(), "nothing evaluates {unknown:#?}");
    let used: Vec<&String> = excused.iter().filter(|field| read.contains(*field)).collect();
    assert!(used.is_empty(), "{used:#?} are evaluated after all");
}

/// Each field that serves otherwise is one of the schema's.
#[test]
fn what_serves_otherwise_is_in_the_schema() {
    let document: Value = serde_json::from_str(SCHEMA).unwrap();
    let mut known = BTreeSet::new();
    fields(&document, &document, "", &mut known);
    for (field, why) in SERVE_OTHERWISE {
        let start = field.trim_end_matches("/**");
        let found = match field.strip_prefix("/**") {
            Some(end) => known.iter().any(|known| known.ends_with(end)),
            None => known
                .iter()
                .any(|known| known == start || known.starts_with(&format!("{start}/"))),
        };
        assert!(found && !why.is_empty(), "{field}");
    }
    for (field, why) in NOT_EVALUATED {
        assert!(known.contains(*field) && !why.is_empty(), "{field}");
    }
}

#[test]
fn what_the_shipped_plans_hold_is_evaluated() {
    let mut unknown = Vec::new();
    for name in EXAMPLES {
        let (engine, opened) = changed::example(name, &[]);
        let (_, listed) = evaluated(&engine, &opened);
        let known = |field: &String| NOT_EVALUATED.iter().any(|(known, _)| known == field);
        unknown.extend(
            listed
                .into_iter()
                .filter(|field| !known(field))
                .map(|field| (name, field)),
        );
    }
    // The starting plans leave out most of what their values wait for.
    unknown.retain(|(name, _)| !["minimal", "starter"].contains(name));
    assert!(unknown.is_empty(), "{unknown:#?}");
}

/// A bowl has no ledge: the shelf changes no volume, and the review says so.
#[test]
fn a_shelf_on_a_bowl_is_listed() {
    let shelf = [
        "/basins/pond/shape/form=bowl",
        "/basins/pond/shape/shelves/marginal/level=-24 in",
        "/basins/pond/shape/shelves/marginal/width=12 in",
    ];
    let listed = listed("courtyard-retrofit", &shelf);
    for field in ["level", "width"] {
        let place = format!("/basins/pond/shape/shelves/marginal/{field}");
        assert!(listed.contains(&place), "{listed:?}");
    }
}

/// A ledge of a rectangle counts.
#[test]
fn a_shelf_on_a_rectangle_is_not_listed() {
    let shelf = [
        "/basins/pond/shape/form=rectangle",
        "/basins/pond/shape/shelves/marginal/level=-24 in",
        "/basins/pond/shape/shelves/marginal/width=6 in",
    ];
    let listed = listed("courtyard-retrofit", &shelf);
    assert!(
        !listed.iter().any(|place| place.contains("shelves")),
        "{listed:?}"
    );
}
