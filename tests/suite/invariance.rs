//! What must not change what a review says: the order in a file, the units a plan is written in, how its text is laid
//! out, and the units it is printed in.

use std::collections::{BTreeMap, BTreeSet};

use bywash::{
    check::SchemaBook,
    engine::{Engine, ReviewOptions},
    plan,
    quantity::{Kind, Quantity, Unit, UnitSystem},
    read::{Place, assignment},
    review::Review,
};
use serde_json::{Map, Value, json};

/// How far a value may move by the rounding of arithmetic, as a part of it.
const TOLERANCE: f64 = 1e-6;

/// What two reviews must have in common, whatever order and words they tell it in.
#[derive(Debug, Default)]
pub struct Essence {
    /// Action, and how many of what.
    summary: String,
    /// Everything that was said, without its numbers: rule or figure, and place.
    said: BTreeSet<String>,
    /// Values in SI, by what they are of.
    values: BTreeMap<String, f64>,
}

impl Essence {
    pub fn of(review: &Review) -> Self {
        let mut essence = Self {
            summary: format!("{:?} {:?}", review.action.action, review.counts),
            ..Self::default()
        };
        for finding in &review.findings {
            let identity = format!("finding {} {} {}", finding.rule, finding.object, finding.place);
            essence.value(&format!("{identity} found"), finding.found.si);
            essence.value(&format!("{identity} limit"), finding.limit.si);
            let cause = finding.follows.as_ref().and_then(|number| {
                let cause = review.findings.iter().find(|finding| finding.number == *number)?;
                Some(format!(" after {} {}", cause.rule, cause.object))
            });
            essence.said.insert(identity + &cause.unwrap_or_default());
        }
        for question in &review.questions {
            let mut rules = question.rules.clone();
            rules.sort();
            essence.said.insert(format!(
                "question {} {:?} {rules:?}",
                question.place, question.also
            ));
        }
        for met in &review.met {
            essence
                .said
                .insert(format!("met {} {}", met.rule, met.object_name));
        }
        for unjudged in &review.unjudged {
            let identity = format!("unjudged {} {}", unjudged.rule, unjudged.object_name);
            essence.said.insert(identity);
        }
        for accepted in &review.accepted {
            let (rule, object) = (&accepted.finding.rule, &accepted.finding.object);
            essence.said.insert(format!("accepted {rule} {object}"));
        }
        for figure in &review.figures {
            let identity = format!("figure {} {}", figure.name, figure.object);
            essence.value(&identity, figure.value.as_ref().and_then(|value| value.si));
            let kind = if figure.gap.is_some() { "gap" } else { "value" };
            essence.said.insert(format!("{identity} {kind}"));
        }
        essence
    }

    fn value(&mut self, identity: &str, si: Option<f64>) {
        self.values.extend(si.map(|si| (identity.to_owned(), si)));
    }

    /// What another review says otherwise, a line each.
    pub fn differences(&self, other: &Self) -> Vec<String> {
        let mut lines = Vec::new();
        if self.summary != other.summary {
            lines.push(format!("{}, then {}", self.summary, other.summary));
        }
        lines.extend(self.said.difference(&other.said).map(|said| format!("- {said}")));
        lines.extend(other.said.difference(&self.said).map(|said| format!("+ {said}")));
        for (identity, before) in &self.values {
            let after = other.values.get(identity).copied().unwrap_or(f64::NAN);
            let near = (before - after).abs() <= TOLERANCE * before.abs().max(1e-3);
            if !near {
                lines.push(format!("{identity}: {before}, then {after}"));
            }
        }
        lines
    }
}

/// The plans that are varied: the shipped ones, and the sound one with more of everything.
pub fn plans() -> Vec<(String, Value)> {
    let root = env!("CARGO_MANIFEST_DIR");
    let read = |name: &str| -> (String, Value) {
        let (mut engine, _) = Engine::new();
        let text = std::fs::read_to_string(format!("{root}/examples/{name}.jsonc")).unwrap();
        let source = engine.sources.add(name, text);
        let (tree, _) = engine.model(source, None).unwrap();
        (name.to_owned(), tree.root.to_json())
    };
    let names = [
        "courtyard-as-sent",
        "courtyard-retrofit",
        "mill-yard-metric",
        "two-ponds",
        "ledge-run",
        "minimal",
    ];
    let mut plans: Vec<_> = names.into_iter().map(read).collect();
    plans.push(("a cascade".to_owned(), cascade(plans[1].1.clone())));
    plans.push(("equal pumps".to_owned(), equal_pumps(plans[0].1.clone())));
    plans
}

/// The careless plan with its pump three times beside one line.
fn equal_pumps(mut plan: Value) -> Value {
    for id in ["other", "a third"] {
        plan["pumps"][id] = plan["pumps"]["main"].clone();
    }
    plan["lines"]["feed"]["from"] = json!(["main", "other", "a third"]);
    plan
}

/// The sound plan with a second bed above the first, fed by a pump and a branched line of its own.
fn cascade(mut plan: Value) -> Value {
    let mut upper = plan["basins"]["bed"].clone();
    for (key, level) in [("still", "+3 ft"), ("rim", "+3 ft 8 in"), ("floor", "0 in")] {
        upper[key] = json!(level);
    }
    upper["inlet"]["level"] = json!("+6 in");
    upper["clean_out_well"]["floor"] = json!("+2 in");
    plan["basins"]["upper"] = upper;
    plan["pumps"]["second"] = plan["pumps"]["main"].clone();
    plan["pumps"]["second"]["curve"] =
        json!([["0 gph", "22 ft"], ["2500 gph", "15 ft"], ["5000 gph", "6 ft"]]);
    let mut line = plan["lines"]["feed"].clone();
    line["from"] = json!("second");
    let pipe = json!({ "size": "2 in", "class": "sch 40", "material": "PVC" });
    line["runs"] = json!({
        "trunk": { "pipe": pipe, "length": "20 ft", "fittings": { "90 elbow": 2 } },
        "high": { "after": "trunk", "pipe": pipe, "length": "12 ft", "fittings": { "tee run": 1 }, "to": "upper",
            "discharge": { "level": "+6 in", "form": "submerged" } },
        "low": { "after": "trunk", "pipe": pipe, "length": "9 ft", "fittings": { "tee branch": 1 }, "to": "bed",
            "discharge": { "level": "-20 in", "form": "submerged" } },
    });
    plan["lines"]["second"] = line;
    plan["falls"]["step"] = json!({
        "from": "upper", "to": "bed", "crest": "+3 ft", "width": "20 in", "edge": "thin lip",
    });
    plan
}

pub fn review(plan: &str, units: Option<UnitSystem>) -> Essence {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let source = engine.sources.add("plan.json", plan);
    let opened = match engine.open(source, Vec::new()) {
        Ok(opened) => opened,
        Err(problems) => panic!("the plan can’t be reviewed: {problems:#?}\n{plan}"),
    };
    Essence::of(&engine.review(
        &opened,
        ReviewOptions {
            units,
            ..ReviewOptions::default()
        },
    ))
}

/// Holds every plan against variants of it.
fn hold(what: &str, variants: impl Fn(&Value) -> Vec<String>) {
    let mut failures = Vec::new();
    for (name, plan) in plans() {
        let before = review(&plan.to_string(), None);
        assert!(before.said.len() > 50, "{name} says too little to compare");
        for (index, variant) in variants(&plan).iter().enumerate() {
            let differences = before.differences(&review(variant, None));
            if !differences.is_empty() {
                failures.push(format!(
                    "{name}, {what}, variant {index}:\n{}",
                    differences.join("\n")
                ));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
}

/// Collections in which the order of the file means nothing; layers and reaches lie in their order.
const UNORDERED: [&[&str]; 14] = [
    &["basins"],
    &["pumps"],
    &["lines"],
    &["lines", "*", "runs"],
    &["lines", "*", "runs", "*", "fittings"],
    &["falls"],
    &["streams"],
    &["drains"],
    &["drains", "*", "run", "fittings"],
    &["walls"],
    &["excavations"],
    &["electrical", "circuits"],
    &["planting", "species"],
    &["accepted"],
];

/// Puts the parts of the plan and the members of the unordered collections into another order.
pub fn reorder(value: &Value, at: &[&str], order: &impl Fn(&mut Vec<(String, Value)>)) -> Value {
    match value {
        Value::Object(members) => {
            let by_id = UNORDERED.contains(&at);
            let mut pairs: Vec<(String, Value)> = members
                .iter()
                .map(|(key, inner)| {
                    let path = [at, &[if by_id { "*" } else { key.as_str() }]].concat();
                    (key.clone(), reorder(inner, &path, order))
                })
                .collect();
            if by_id || at.is_empty() {
                order(&mut pairs);
            }
            Value::Object(pairs.into_iter().collect::<Map<_, _>>())
        }
        other => other.clone(),
    }
}

#[test]
fn the_order_of_objects_in_the_file_does_not_matter() {
    hold("in another order", |plan| {
        let reversed = reorder(plan, &[], &|pairs| pairs.reverse());
        let rotated = reorder(plan, &[], &|pairs| {
            let by = usize::from(pairs.len() > 1);
            pairs.rotate_left(by);
        });
        assert_ne!(reversed.to_string(), plan.to_string());
        vec![reversed.to_string(), rotated.to_string()]
    });
}

#[test]
fn the_order_of_equal_pumps_beside_one_line_does_not_matter() {
    let plan = plans().pop().unwrap().1;
    let before = review(&plan.to_string(), None);
    for order in [["a third", "main", "other"], ["other", "a third", "main"]] {
        let mut other = plan.clone();
        other["lines"]["feed"]["from"] = json!(order);
        let after = review(&other.to_string(), None);
        assert_eq!(before.differences(&after), Vec::<String>::new(), "{order:?}");
    }
}

#[test]
fn two_contours_at_one_level_are_a_shelf_in_any_units() {
    let (_, mut plan) = plans().swap_remove(2);
    let contours = plan["basins"]["pond"]["contours"].as_array_mut().unwrap();
    contours.insert(2, json!({ "level": "-6 ft", "area": "18 m2" }));
    contours.insert(3, json!({ "level": "-6 ft", "area": "21 m2" }));
    let before = review(&plan.to_string(), None);
    // 12 × 0.0254 m comes out a hair under 0.3048 m: the shelf must not fall.
    for (lower, upper) in [
        ("-6 ft", "-72 in"),
        ("-72 in", "-6 ft"),
        ("-1.8288 m", "-72 in"),
        ("-72 in", "-182.88 cm"),
    ] {
        let contours = plan["basins"]["pond"]["contours"].as_array_mut().unwrap();
        contours[2]["level"] = json!(lower);
        contours[3]["level"] = json!(upper);
        let after = review(&plan.to_string(), None);
        assert_eq!(
            before.differences(&after),
            Vec::<String>::new(),
            "{lower}, {upper}"
        );
    }
}

/// Rewrites every quantity of a plan by what it is and what it comes to in SI.
pub fn rewrite(
    value: &Value,
    at: &Place,
    book: &SchemaBook,
    write: &impl Fn(Quantity, &Place) -> String,
) -> Value {
    match value {
        Value::Object(members) => members
            .iter()
            .map(|(key, inner)| (key.clone(), rewrite(inner, &at.child(key), book, write)))
            .collect::<Map<_, _>>()
            .into(),
        Value::Array(items) => items
            .iter()
            .enumerate()
            .map(|(index, inner)| rewrite(inner, &at.child(&index.to_string()), book, write))
            .collect(),
        Value::String(text) => {
            let kind = book.field_at(at).and_then(|field| field.kind);
            // A field that may be a quantity may also be `none`.
            let quantity = kind.and_then(|kind| Quantity::parse(text, kind).ok());
            json!(quantity.map_or_else(|| text.clone(), |quantity| write(quantity, at)))
        }
        other => other.clone(),
    }
}

/// A quantity as a plain number of a unit.
pub fn written(quantity: Quantity, unit: Option<&Unit>) -> String {
    match (quantity.kind, unit) {
        (Kind::Slope, _) => format!("{}:1", quantity.si),
        (_, Some(unit)) => format!("{} {}", unit.from_si(quantity.si), unit.symbol),
        (_, None) => quantity.si.to_string(),
    }
}

#[test]
fn the_units_of_the_plan_do_not_matter() {
    let book = plan::schema().book();
    hold("in other units", |plan| {
        let si = rewrite(plan, &Place::root(), book, &|quantity, _| {
            written(quantity, Unit::find(quantity.kind, quantity.kind.si_unit()))
        });
        // Every quantity in a unit of its own, picked by the length of its place.
        let mixed = rewrite(plan, &Place::root(), book, &|quantity, at| {
            let units: Vec<&Unit> = Unit::of(quantity.kind).collect();
            written(
                quantity,
                units.get(at.as_str().len() % units.len().max(1)).copied(),
            )
        });
        assert_ne!(si.to_string(), plan.to_string());
        assert_ne!(mixed.to_string(), si.to_string());
        vec![si.to_string(), mixed.to_string()]
    });
}

#[test]
fn how_the_text_is_laid_out_does_not_matter() {
    hold("laid out otherwise", |plan| {
        let wide = serde_json::to_string_pretty(plan).unwrap();
        let commented = wide.replace('\n', " // a remark, \"quoted\"\r\n\t");
        vec![wide, commented]
    });
}

#[test]
fn the_units_of_the_review_do_not_matter() {
    for (name, plan) in plans() {
        let [us, si] = [UnitSystem::Us, UnitSystem::Si].map(|units| review(&plan.to_string(), Some(units)));
        let mut differences = us.differences(&si);
        differences.retain(|line| !stated_in_both(line));
        assert_eq!(differences, Vec::<String>::new(), "{name}");
    }
}

/// Whether a difference is that of a limit which is stated in both systems, each round in its own: 2 in and 50 mm.
fn stated_in_both(difference: &str) -> bool {
    const LIMITS: [&str; 10] = [
        "air-gap-needed",
        "cable-cover-needed",
        "depth-allowed",
        "depth-for-fish",
        "drop-tolerance",
        "drops-tolerance",
        "least-cover",
        "lift-allowed",
        "screen-velocity-allowed",
        "temperature-step-allowed",
    ];
    let name = difference.split(' ').nth(1);
    let values = difference
        .rsplit_once(": ")
        .and_then(|(_, values)| values.split_once(", then "));
    let values = values.and_then(|(us, si)| Some((us.parse::<f64>().ok()?, si.parse::<f64>().ok()?)));
    name.is_some_and(|name| LIMITS.contains(&name))
        && values.is_some_and(|(us, si)| (us / si - 1.0).abs() < 0.025)
}

/// Names and notes are for people; a finding is known by rule, object and field.
#[test]
fn what_things_are_called_does_not_matter_to_what_is_found() {
    hold("under other names", |plan| {
        let mut renamed = plan.clone();
        for collection in ["basins", "pumps", "lines", "falls"] {
            let members = renamed.get_mut(collection).and_then(Value::as_object_mut);
            for (_, member) in members.into_iter().flatten() {
                member.as_object_mut().unwrap().remove("name");
            }
        }
        let mut noted = plan.clone();
        noted["x-note"] = json!({ "still": ["none", 3, null] });
        noted["project"]["name"] = json!("another name");
        vec![renamed.to_string(), noted.to_string()]
    });
}

/// The comparison itself sees a change: an inch off a rim shows.
#[test]
fn a_change_of_the_plan_is_a_difference() {
    let (mut engine, _) = Engine::new();
    let (_, plan) = plans().swap_remove(1);
    let source = engine.sources.add("plan.json", plan.to_string());
    let lower = assignment(&mut engine.sources, "/basins/bed/rim=+16 in").unwrap();
    let (tree, _) = engine.model(source, [lower]).unwrap();
    let changed = review(&tree.root.to_json().to_string(), None);
    let differences = review(&plan.to_string(), None).differences(&changed);
    let shows = |what: &str| differences.iter().any(|line| line.starts_with(what));
    assert!(shows("figure freeboard-still /basins/bed:"), "{differences:#?}");
}
