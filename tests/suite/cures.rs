//! Cures in numbers: put onto the plan, each does what it says.

use std::collections::BTreeSet;

use bywash::{
    engine::{Engine, Opened, ReviewOptions},
    read::{SourceId, assignment},
    review::{Cure, Finding, Review},
};

fn desk_with(plan: &str) -> (Engine, SourceId) {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let path = format!("{}/examples/{plan}", env!("CARGO_MANIFEST_DIR"));
    let source = engine.sources.add(plan, std::fs::read_to_string(path).unwrap());
    (engine, source)
}

/// The review of a plan under one changed value.
fn under(engine: &mut Engine, source: SourceId, changes: &[(&str, &str)]) -> Review {
    let patches = changes.iter().map(|(place, value)| {
        let written = format!("{place}={value}");
        let patch = assignment(&mut engine.sources, &written).unwrap();
        (written, patch)
    });
    let patches = patches.collect();
    let opened: Opened = engine.open(source, patches).unwrap();
    engine.review(
        &opened,
        ReviewOptions {
            cures: true,
            ..ReviewOptions::default()
        },
    )
}

fn short(review: &Review) -> BTreeSet<(String, String)> {
    let identity = |finding: &Finding| (finding.rule.clone(), finding.object.to_string());
    review.findings.iter().map(identity).collect()
}

fn clean(cure: &Cure) -> bool {
    !cure.text.ends_with("falls short")
}

/// Every cure offered is tried: the finding is gone, and nothing new has come but what the cure itself names.
#[test]
fn every_cure_offered_cures_and_breaks_only_what_it_says() {
    let (mut engine, source) = desk_with("courtyard-as-sent.jsonc");
    let (mut tried, mut breaking) = (0, 0);
    // As sent, and with a rim just high enough for the flow of the small pipe: a larger one then takes its freeboard.
    for changes in [&[][..], &[("/basins/bed/rim", "+12.9 in")]] {
        let review = under(&mut engine, source, changes);
        let before = short(&review);
        for finding in &review.findings {
            for cure in &finding.cures {
                tried += 1;
                let cured = [changes, &[(cure.place.as_str(), cure.value.as_str())]].concat();
                let after = short(&under(&mut engine, source, &cured));
                assert!(
                    !after.contains(&(finding.rule.clone(), finding.object.to_string())),
                    "{}: {}",
                    finding.rule,
                    cure.text
                );
                let new: Vec<_> = after.difference(&before).collect();
                assert_eq!(new.is_empty(), clean(cure), "{}: {new:?}", cure.text);
                breaking += usize::from(!clean(cure));
            }
        }
    }
    assert!(
        tried >= 4 && breaking >= 1,
        "{tried} cures tried, {breaking} of them breaking"
    );
}

/// Common practice, no source: water over a crest stands as the flow per width to the power 2/3, so a crest that is
/// widened enough to regain a freeboard is found where the head has fallen by what was missing.
#[test]
fn a_crest_is_widened_just_as_far_as_the_freeboard_asks() {
    let (mut engine, source) = desk_with("courtyard-retrofit.jsonc");
    let changes = [
        ("/falls/spillway/width", "10 in"),
        ("/basins/bed/rim", "+13 in"),
        ("/basins/bed/lining/edges/behind_stone", "+13 in"),
    ];
    let review = under(&mut engine, source, &changes);
    let finding = review
        .findings
        .iter()
        .find(|finding| finding.rule == "basin-freeboard-running")
        .unwrap();
    let crest = finding
        .cures
        .iter()
        .find(|cure| cure.place.as_str() == "/falls/spillway/width");
    let crest = crest.unwrap_or_else(|| panic!("{:?}", finding.cures));
    let mut widened = changes;
    widened[0].1 = &crest.value;
    let after = under(&mut engine, source, &widened);
    let freeboard = |review: &Review| {
        let figure = review
            .figures
            .iter()
            .find(|figure| figure.name == "freeboard-running" && figure.object.as_str() == "/basins/bed");
        figure.unwrap().value.as_ref().unwrap().si.unwrap()
    };
    let (was, is) = (freeboard(&review), freeboard(&after));
    assert!(
        was < 0.0508 && (0.0508..0.0508 + 0.002).contains(&is),
        "{was} {is} {}",
        crest.value
    );
}

/// Ids that mean something to a shell, to an assignment or to a pointer.
const ODD_IDS: [&str; 8] = [
    "b=d",
    "the 'old' bed",
    "bed/2",
    "a~b~1",
    "\"bed\" $(exit 3)",
    "-bed",
    "b\\ed;!",
    "池.x",
];

/// The careless plan with another id for its bed.
fn with_bed_called(id: &str) -> String {
    let plan = std::fs::read_to_string(format!(
        "{}/examples/courtyard-as-sent.jsonc",
        env!("CARGO_MANIFEST_DIR")
    ));
    let id = serde_json::Value::from(id).to_string();
    let kind = "\"kind\": \"bed\"";
    let parts: Vec<String> = plan
        .unwrap()
        .split(kind)
        .map(|part| part.replace("\"bed\"", &id))
        .collect();
    parts.join(kind)
}

#[cfg(unix)]
#[test]
fn what_is_offered_to_be_set_can_be_pasted_and_is_taken() {
    use std::process::Command;
    let mut tried = 0;
    for id in ["bed"].iter().chain(&ODD_IDS) {
        let folder = super::program::folder();
        super::program::write(folder.path(), "plan.jsonc", with_bed_called(id));
        let review = |more: &str| {
            let ran = Command::new("sh")
                .args(["-c", &format!("\"$0\" review plan.jsonc --fast --json - {more}")])
                .arg(env!("CARGO_BIN_EXE_bywash"))
                .current_dir(folder.path())
                .output()
                .unwrap();
            let review: Result<serde_json::Value, _> = serde_json::from_slice(&ran.stdout);
            review.unwrap_or_else(|_| panic!("{id} {more}: {}", String::from_utf8_lossy(&ran.stderr)))
        };
        let before = review("");
        let printed = super::program::bywash_in(folder.path(), &["review", "plan.jsonc", "--full"]).out;
        for finding in before["findings"].as_array().unwrap() {
            for cure in finding["cures"].as_array().unwrap() {
                let set = format!("--set {}", bywash::text::pasted(cure["set"].as_str().unwrap()));
                assert!(
                    printed.contains(&format!("  try      {set}\n")),
                    "{set} is printed"
                );
                let after = review(&set);
                let same = |other: &&serde_json::Value| {
                    (&other["rule"], &other["object"]) == (&finding["rule"], &finding["object"])
                };
                assert!(
                    !after["findings"]
                        .as_array()
                        .unwrap()
                        .iter()
                        .any(|other| same(&other)),
                    "{set} cures"
                );
                tried += 1;
            }
        }
    }
    assert!(tried > ODD_IDS.len(), "{tried} cures are offered");
}
