//! Sound plans of many kinds, and single faults planted in each. A sound plan draws no stop and no revise; a fault is found
//! as a stop or a revise at the value or object where a reviewer would point. Plans and faults are common practice, written
//! before the rules were read; `docs/planted-faults.md` keeps the table as it first came out.

use std::{collections::BTreeSet, fmt::Write, fs, path::Path};

use bywash::{
    engine::{Engine, ReviewOptions},
    read::{Node, Place, SourceId, Value, parse},
    review::{Finding, Review},
    rules::Severity,
};

/// Faults that draw no stop and no revise at their place, with the reason why.
const NOT_FOUND: [(&str, &str, &str); 2] = [
    (
        "roof-tank",
        "no overflow on a tank that rain fills",
        "harmless: the rain that runs over a rigid rim falls beside it on the same roof; a suggestion says so",
    ),
    (
        "swimming-pond",
        "the air inlet is drowned in the lower water: the check valve alone holds the bed",
        "harmless: the bed stands 20 mm over the pond, and a leaking valve raises it by 8 mm",
    ),
];

struct Fault {
    what: String,
    /// Places of the culprit; a finding at one of them, or below it, counts.
    at: Vec<Place>,
    patch: Node,
}

struct Kind {
    name: String,
    sound: SourceId,
    faults: Vec<Fault>,
}

fn kinds(engine: &mut Engine) -> Vec<Kind> {
    let plans = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/plans");
    let mut names: Vec<String> = fs::read_dir(plans.join("faults"))
        .unwrap()
        .map(|entry| {
            entry
                .unwrap()
                .path()
                .file_stem()
                .unwrap()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    names.sort();
    let mut read = |path: &Path| {
        let text = fs::read_to_string(path).unwrap();
        engine.sources.add(path.to_string_lossy(), text)
    };
    let mut kinds = Vec::new();
    for name in names {
        let sound = read(&plans.join(format!("{name}.jsonc")));
        let faults = read(&plans.join(format!("faults/{name}.jsonc")));
        kinds.push((name, sound, faults));
    }
    kinds
        .into_iter()
        .map(|(name, sound, faults)| {
            let tree = parse(&engine.sources, faults).unwrap();
            let Some(Value::List(faults)) = tree.get("faults").map(|list| &list.value) else {
                panic!("{name}: a list of faults")
            };
            let faults = faults.iter().map(fault).collect();
            Kind { name, sound, faults }
        })
        .collect()
}

fn fault(node: &Node) -> Fault {
    let text = |node: &Node| node.text().unwrap().to_owned();
    let Value::List(at) = &node.get("at").unwrap().value else {
        panic!("places of the culprit")
    };
    Fault {
        what: text(node.get("what").unwrap()),
        at: at.iter().map(|place| Place::from_pointer(&text(place))).collect(),
        patch: node.get("patch").unwrap().clone(),
    }
}

fn serious(review: &Review) -> impl Iterator<Item = &Finding> {
    let findings = review.findings.iter();
    findings.filter(|finding| finding.severity != Severity::Advise)
}

/// Whether the fault is found at its place, and what else was said where it is not. A plan that can't be reviewed because
/// of the fault is refused at the value concerned, and that counts.
fn found(
    engine: &Engine,
    kind: &Kind,
    known: &BTreeSet<(String, Place)>,
    fault: &Fault,
) -> Result<(), String> {
    let patches = vec![("the fault".to_owned(), fault.patch.clone())];
    let Ok(opened) = engine.open(kind.sound, patches) else {
        return Ok(());
    };
    let review = engine.review(&opened, ReviewOptions::default());
    let at_culprit = |place: &Place| fault.at.iter().any(|at| at.holds(place));
    let new = serious(&review)
        .filter(|finding| !known.contains(&(finding.rule.clone(), finding.object.clone())))
        .collect::<Vec<_>>();
    if new
        .iter()
        .any(|finding| at_culprit(&finding.place) || at_culprit(&finding.object))
    {
        return Ok(());
    }
    let mut elsewhere = String::new();
    for finding in new {
        write!(elsewhere, " {} at {};", finding.rule, finding.place.as_str()).unwrap();
    }
    Err(format!("{}: {}:{elsewhere}", kind.name, fault.what))
}

/// Held at once for all kinds, so that one run gives the whole table.
#[test]
fn sound_plans_are_silent_and_every_planted_fault_is_found_at_its_place() {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let kinds = kinds(&mut engine);
    let (mut failures, mut planted, mut excused) = (Vec::new(), 0, 0);
    for kind in &kinds {
        let opened = engine.open(kind.sound, Vec::new()).unwrap();
        let review = engine.review(&opened, ReviewOptions::default());
        let known: BTreeSet<_> = serious(&review)
            .map(|finding| (finding.rule.clone(), finding.object.clone()))
            .collect();
        for (rule, object) in &known {
            failures.push(format!("{}: sound, but {rule} at {}", kind.name, object.as_str()));
        }
        assert!(
            kind.faults.len() >= 8,
            "{}: {} faults",
            kind.name,
            kind.faults.len()
        );
        planted += kind.faults.len();
        for fault in &kind.faults {
            let excuse = |(name, what, _): &&(&str, &str, &str)| *name == kind.name && *what == fault.what;
            match (found(&engine, kind, &known, fault), NOT_FOUND.iter().find(excuse)) {
                (Ok(()), None) => {}
                (Ok(()), Some(_)) => failures.push(format!(
                    "{}: {}: is found; take it off the list",
                    kind.name, fault.what
                )),
                (Err(_), Some(_)) => excused += 1,
                (Err(missed), None) => failures.push(missed),
            }
        }
    }
    assert!(
        kinds.len() >= 16 && planted >= 128,
        "{} kinds, {planted} faults",
        kinds.len()
    );
    assert_eq!(excused, NOT_FOUND.len(), "every exception names a fault of today");
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
