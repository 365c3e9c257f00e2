//! A review held against the one before: numbers, statuses, changes of the plan.

use std::path::Path;

use serde_json::Value;

use super::program::{Ran, bywash, bywash_in, folder, too_wide, write};

const AS_SENT: &str = "examples/courtyard-as-sent.jsonc";
const RETROFIT: &str = "examples/courtyard-retrofit.jsonc";

fn plan(name: &str) -> String {
    format!("{}/{name}", env!("CARGO_MANIFEST_DIR"))
}

fn json(ran: &Ran) -> Value {
    serde_json::from_str(&ran.out).unwrap_or_else(|_| panic!("{}{}", ran.out, ran.err))
}

/// The status of an entry by its number.
fn status<'v>(review: &'v Value, number: &str) -> Option<&'v str> {
    let entries = review["backcheck"]["entries"].as_array()?;
    let entry = entries.iter().find(|entry| entry["number"] == number)?;
    entry["status"].as_str()
}

/// The number of the first finding of a rule in a review.
fn number_of(folder: &Path, review: &str, rule: &str) -> String {
    let text = std::fs::read_to_string(folder.join(review)).unwrap();
    let review: Value = serde_json::from_str(&text).unwrap();
    let findings = review["findings"].as_array().unwrap();
    let found = findings.iter().find(|finding| finding["rule"] == rule).unwrap();
    found["number"].as_str().unwrap().to_owned()
}

/// A review of the careless plan with some values set, held against an earlier one.
fn next(folder: &Path, previous: &str, to: &str, set: &[&str]) -> Value {
    let plan = plan(AS_SENT);
    let mut arguments = vec!["review", plan.as_str(), "--previous", previous, "--json", to];
    for value in set {
        arguments.extend(["--set", value]);
    }
    let ran = bywash_in(folder, &arguments);
    assert!(ran.status < 2, "{}", ran.err);
    serde_json::from_str(&std::fs::read_to_string(folder.join(to)).unwrap()).unwrap()
}

#[test]
fn a_mended_plan_closes_every_finding_by_its_number() {
    let ran = bywash(&["backcheck", AS_SENT, RETROFIT]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    assert_eq!(too_wide(&ran.out), Vec::<&str>::new());
    assert!(
        ran.out
            .starts_with("── Back-check of revision C against revision A")
    );
    assert!(
        ran.out
            .contains("✓ 5     bed / rim level: freeboard while running 1.16 in → at least 2 in. Met:")
    );
    assert!(ran.out.contains("spillway / crest width 10 in → 30 in"));
    assert!(
        ran.out
            .contains("bed / rim level +12 in → +17 in; level moved up 5 in, over the")
    );
    assert!(ran.out.contains("Against revision A: 28 closed."));
}

#[test]
fn numbers_stay_for_the_life_of_a_project() {
    let folder = folder();
    let at = folder.path();
    bywash_in(at, &["review", &plan(AS_SENT), "--json", "a.json"]);
    // B gives the line its air inlet and breaks something new; C takes the inlet away again.
    let inlet = number_of(at, "a.json", "line-air-inlet");
    let mended = ["/lines/feed/air_inlet={\"level\": \"+7 in\", \"bore\": \"1/2 in\", \"reachable\": true}"];
    let broken = [mended[0], "/project/revision=B", "/basins/pond/lining=none"];
    let b = next(at, "a.json", "b.json", &broken);
    assert_eq!(status(&b, &inlet), Some("closed"));
    assert_eq!(status(&b, "1"), Some("still-open"));
    assert_eq!(b["subject"]["review"], 2);
    let new: Vec<&str> = b["findings"]
        .as_array()
        .unwrap()
        .iter()
        .chain(b["questions"].as_array().unwrap())
        .map(|one| one["number"].as_str().unwrap())
        .collect();
    assert!(new.contains(&"1") && !new.contains(&inlet.as_str()), "{new:?}");
    let c = next(at, "b.json", "c.json", &["/project/revision=C"]);
    assert_eq!(status(&c, &inlet), Some("reopened"));
    assert_eq!(c["subject"]["review"], 3);
    let note = c["backcheck"]["entries"]
        .as_array()
        .unwrap()
        .iter()
        .find(|entry| entry["number"] == inlet)
        .unwrap();
    assert_eq!(note["note"], "was closed in revision B");
    assert_eq!(note["raised"], "A");
    // No number was ever given twice.
    let mut numbers: Vec<&str> = c["backcheck"]["entries"]
        .as_array()
        .unwrap()
        .iter()
        .map(|entry| entry["number"].as_str().unwrap())
        .collect();
    let all = numbers.len();
    numbers.sort_unstable();
    numbers.dedup();
    assert_eq!(numbers.len(), all);
}

#[test]
fn a_new_fault_takes_a_number_that_was_never_used() {
    let folder = folder();
    let at = folder.path();
    bywash_in(at, &["review", &plan(RETROFIT), "--json", "sound.json"]);
    let ran = bywash_in(
        at,
        &[
            "review",
            &plan(AS_SENT),
            "--previous",
            "sound.json",
            "--json",
            "-",
        ],
    );
    let review = json(&ran);
    assert_eq!(status(&review, "1"), Some("new"));
    // Held against the careless plan, the same plan with one fault more goes on after 12.
    bywash_in(at, &["review", &plan(AS_SENT), "--json", "a.json"]);
    let b = next(at, "a.json", "b.json", &["/basins/pond/rim=-16 in"]);
    let new: Vec<&str> = b["backcheck"]["entries"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|entry| entry["status"] == "new" && entry["rule"].is_string())
        .map(|entry| entry["number"].as_str().unwrap())
        .collect();
    assert!(!new.is_empty());
    for number in new {
        let top: u32 = number.split('.').next().unwrap().parse().unwrap();
        assert!(number.contains('.') || top > 12, "{number}");
    }
}

#[test]
fn a_value_that_is_taken_off_the_plan_closes_nothing() {
    let folder = folder();
    let at = folder.path();
    bywash_in(at, &["review", &plan(AS_SENT), "--json", "a.json"]);
    let b = next(
        at,
        "a.json",
        "b.json",
        &["/electrical/circuits/pump/ground_fault=null"],
    );
    assert_eq!(status(&b, "2"), Some("still-open"));
    let entries = b["backcheck"]["entries"].as_array().unwrap();
    let entry = entries.iter().find(|entry| entry["number"] == "2").unwrap();
    assert!(
        entry["note"]
            .as_str()
            .unwrap()
            .starts_with("can’t be evaluated until Q")
    );
}

#[test]
fn other_units_change_no_finding_and_no_value() {
    let folder = folder();
    let at = folder.path();
    bywash_in(
        at,
        &["review", &plan(AS_SENT), "--json", "a.json", "--units", "SI"],
    );
    let b = next(at, "a.json", "b.json", &["/basins/bed/rim=1 ft"]);
    let entries = b["backcheck"]["entries"].as_array().unwrap();
    let other: Vec<&Value> = entries
        .iter()
        .filter(|entry| entry["status"] != "still-open")
        .collect();
    assert!(other.is_empty(), "{other:?}");
    assert_eq!(b["backcheck"]["changes"], serde_json::json!([]));
}

#[test]
fn what_is_accepted_by_name_is_told_so() {
    let folder = folder();
    let at = folder.path();
    bywash_in(at, &["review", &plan(AS_SENT), "--json", "a.json"]);
    let accepted = "/accepted/stone={\"rule\": \"bed-stone-not-angular\", \"place\": \"/basins/bed/layers/large\", \
        \"reason\": \"cushion of 2 in sand under it\", \"initials\": \"PH\", \"until\": \"2027-12-31\"}";
    let b = next(at, "a.json", "b.json", &[accepted]);
    let finding = b["accepted"].as_array().unwrap();
    let places: Vec<&Value> = finding.iter().map(|one| &one["finding"]["object"]).collect();
    let number = number_of(at, "a.json", "bed-stone-not-angular");
    assert_eq!(
        status(&b, &number),
        Some("accepted"),
        "{places:?} {}",
        b["acceptance_notes"]
    );
}

#[test]
fn a_part_under_another_name_keeps_its_numbers() {
    let folder = folder();
    let at = folder.path();
    let text = std::fs::read_to_string(plan(AS_SENT)).unwrap();
    let renamed = text.replace("\"main\"", "\"circulation\"");
    assert_ne!(text, renamed);
    write(at, "renamed.jsonc", renamed);
    let ran = bywash_in(at, &["backcheck", &plan(AS_SENT), "renamed.jsonc"]);
    assert!(
        ran.out.contains("\"main\" is now called \"circulation\""),
        "{}",
        ran.out
    );
    assert!(
        ran.out.contains("Against revision A: 28 still open."),
        "{}",
        ran.out
    );
}

#[test]
fn levels_are_marked_by_the_tolerance() {
    let set = ["/basins/bed/rim=+12.2 in"];
    let folder = folder();
    let at = folder.path();
    let ran = |tolerance: &str| {
        let plan = plan(AS_SENT);
        let arguments = [
            "review",
            &plan,
            "--previous",
            &plan,
            "--tolerance",
            tolerance,
            "--json",
            "-",
            "--set",
            set[0],
        ];
        json(&bywash_in(at, &arguments))["backcheck"]["changes"][0].clone()
    };
    assert_eq!(ran("1/4 in")["moved"], Value::Null);
    assert_eq!(ran("1/8 in")["moved"], "up 0.2 in");
    let wrong = bywash(&["backcheck", AS_SENT, RETROFIT, "--tolerance", "much"]);
    assert_eq!(wrong.status, 2);
    assert!(
        wrong.err.contains("`much` is no tolerance of a level"),
        "{}",
        wrong.err
    );
}

#[test]
fn an_earlier_review_of_another_project_is_refused() {
    for old in ["examples/two-ponds.jsonc", "examples/mill-yard-metric.jsonc"] {
        let ran = bywash(&["backcheck", old, RETROFIT]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""));
        assert!(ran.err.contains("is of another project"), "{}", ran.err);
        assert_eq!(bywash(&["backcheck", old, RETROFIT, "--same-project"]).status, 0);
    }
}

#[test]
fn what_is_no_earlier_review_is_refused() {
    let folder = folder();
    let at = folder.path();
    write(at, "other.json", "{\"format\": \"bywash review 9\"}");
    write(at, "cut.json", "{\"format\": \"bywash review 1\", \"subject\":");
    write(at, "cut.pdf", "%PDF-1.7\n1 0 obj\n<<");
    write(at, "plan.jsonc", std::fs::read(plan(RETROFIT)).unwrap());
    for (file, told) in [
        ("other.json", "its format is `bywash review 9`"),
        ("cut.json", "it is not the JSON form of a review"),
        ("cut.pdf", "can’t be read as a PDF"),
        ("none.pdf", "there is no file"),
        (".", "is a folder"),
    ] {
        let ran = bywash_in(at, &["review", "plan.jsonc", "--previous", file]);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{file}");
        assert!(ran.err.contains(told), "{file}: {}", ran.err);
    }
    let ran = bywash_in(
        at,
        &[
            "review",
            "plan.jsonc",
            "--previous",
            "plan.jsonc",
            "--json",
            "plan.jsonc",
        ],
    );
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("would write over"), "{}", ran.err);
}
