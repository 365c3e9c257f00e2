//! Forms of a review for other programs, read back by libraries that did not write them.

use std::io::Cursor;

use calamine::{Data, Reader, Xlsx};
use serde_json::Value;

use super::program::{bywash, bywash_in, folder};

const AS_SENT: &str = "examples/courtyard-as-sent.jsonc";
/// The schema of SARIF 2.1.0 as OASIS Open published it; `tests/references/sarif/README.md` says where.
const SARIF: &str = include_str!("../references/sarif/sarif-schema-2.1.0.json");

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

#[test]
fn the_sarif_form_keeps_to_the_published_schema() {
    let schema = jsonschema::draft4::new(&json(SARIF)).unwrap();
    for plan in [
        AS_SENT,
        "examples/minimal.jsonc",
        "examples/mill-yard-metric.jsonc",
        "examples/two-ponds.jsonc",
    ] {
        for more in [&[][..], &["--previous", plan]] {
            let arguments = [&["review", plan, "--sarif", "-"], more].concat();
            let log = json(&bywash(&arguments).out);
            let errors: Vec<String> = schema
                .iter_errors(&log)
                .map(|error| format!("{error} at {}", error.instance_path()))
                .collect();
            assert_eq!(errors, Vec::<String>::new(), "{plan}");
        }
    }
    // The schema refuses what is no SARIF.
    assert!(!schema.is_valid(&json("{\"version\": \"2.1.0\"}")));
}

#[test]
fn sarif_tells_each_finding_and_question_where_it_stands() {
    let log = json(&bywash(&["review", AS_SENT, "--format", "sarif"]).out);
    let review = json(&bywash(&["review", AS_SENT, "--format", "json"]).out);
    let results = log["runs"][0]["results"].as_array().unwrap();
    let of_kind = |kind: &str| results.iter().filter(|result| result["kind"] == kind).count();
    assert_eq!(of_kind("fail"), review["findings"].as_array().unwrap().len());
    assert_eq!(of_kind("open"), review["questions"].as_array().unwrap().len());
    let rim = results
        .iter()
        .find(|result| result["properties"]["number"] == "5")
        .unwrap();
    assert_eq!(rim["level"], "warning");
    let at = &rim["locations"][0]["physicalLocation"];
    assert_eq!(at["artifactLocation"]["uri"], AS_SENT);
    let rules = log["runs"][0]["tool"]["driver"]["rules"].as_array().unwrap();
    for result in results {
        let index = usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap();
        assert_eq!(rules[index]["id"], result["ruleId"]);
    }
}

#[test]
fn the_log_is_read_back_from_commas_and_from_a_workbook() {
    let folder = folder();
    let at = folder.path();
    let plan = format!("{}/{AS_SENT}", env!("CARGO_MANIFEST_DIR"));
    let files = [
        "review", &plan, "--csv", "log.csv", "--xlsx", "log.xlsx", "--json", "log.json",
    ];
    assert_eq!(bywash_in(at, &files).status, 1);
    let review = json(&std::fs::read_to_string(at.join("log.json")).unwrap());
    let findings = review["findings"].as_array().unwrap();
    let questions = review["questions"].as_array().unwrap();
    let mut reader = csv::Reader::from_path(at.join("log.csv")).unwrap();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), findings.len() + questions.len());
    for finding in findings {
        let row = rows.iter().find(|row| finding["number"] == row[0]).unwrap();
        assert_eq!(finding["brief"], row[4]);
        assert_eq!(finding["rule"], row[8]);
        assert_eq!(finding["at"]["line"].to_string(), row[11]);
    }
    let bytes = std::fs::read(at.join("log.xlsx")).unwrap();
    let mut book: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(bytes)).unwrap();
    assert_eq!(book.sheet_names(), ["findings", "questions", "figures"]);
    let rows = |book: &mut Xlsx<_>, name: &str| book.worksheet_range(name).unwrap().rows().count() - 1;
    assert_eq!(rows(&mut book, "findings"), findings.len());
    assert_eq!(rows(&mut book, "questions"), questions.len());
    assert_eq!(
        rows(&mut book, "figures"),
        review["figures"].as_array().unwrap().len()
    );
    let figures = book.worksheet_range("figures").unwrap();
    let first = figures.rows().nth(1).unwrap();
    assert_eq!(
        first[0],
        Data::String(review["figures"][0]["name"].as_str().unwrap().to_owned())
    );
}

#[test]
fn many_plans_give_a_file_each_and_one_table() {
    let folder = folder();
    let at = folder.path();
    std::fs::create_dir(at.join("out")).unwrap();
    let plan = |name: &str| format!("{}/examples/{name}.jsonc", env!("CARGO_MANIFEST_DIR"));
    let (one, two) = (plan("courtyard-as-sent"), plan("minimal"));
    let ran = bywash_in(at, &["review", &one, &two, "--json", "out", "--sarif", "out"]);
    assert_eq!((ran.status, ran.err.as_str()), (1, ""));
    let mut names: Vec<String> = std::fs::read_dir(at.join("out"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    assert_eq!(
        names,
        [
            "courtyard-as-sent.json",
            "courtyard-as-sent.sarif",
            "minimal.json",
            "minimal.sarif"
        ]
    );
    assert!(ran.out.starts_with("── 2 plans"), "{}", ran.out);
    // The same review as of one plan alone.
    let alone = bywash_in(at, &["review", &one, "--json", "-"]).out;
    assert_eq!(
        std::fs::read_to_string(at.join("out/courtyard-as-sent.json")).unwrap(),
        alone
    );
    let broken = at.join("broken.jsonc");
    std::fs::write(&broken, "{").unwrap();
    std::fs::create_dir(at.join("none")).unwrap();
    let ran = bywash_in(at, &["review", &one, "broken.jsonc", "--json", "none"]);
    assert_eq!((ran.status, ran.out.as_str()), (2, ""));
    assert_eq!(std::fs::read_dir(at.join("none")).unwrap().count(), 0);
}

#[test]
fn what_is_hidden_in_a_text_comes_out_escaped() {
    let plan = format!("{}/{AS_SENT}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(plan)
        .unwrap()
        .replace("Lantern Court reading", "Lantern \\u202ereading");
    let folder = folder();
    std::fs::write(folder.path().join("plan.jsonc"), text).unwrap();
    let ran = bywash_in(folder.path(), &["review", "plan.jsonc", "--format", "sarif"]);
    assert!(ran.out.contains("Lantern \\u202ereading"), "{}", ran.err);
    assert!(!ran.out.contains('\u{202e}'));
    let made = bywash_in(folder.path(), &["review", "plan.jsonc", "--form", "form.txt"]);
    assert_eq!(made.status, 1);
    let form = std::fs::read_to_string(folder.path().join("form.txt")).unwrap();
    let mut answered = String::new();
    for line in form.lines() {
        match line.strip_suffix(": ").or(line.strip_suffix(':')) {
            Some(head) if head.starts_with("reason Q1") => {
                answered.push_str(&format!("{head}: dry \u{202e}tip\n"));
            }
            _ => answered.push_str(&format!("{line}\n")),
        }
    }
    assert!(answered.contains('\u{202e}'), "{form}");
    std::fs::write(folder.path().join("mail.txt"), answered).unwrap();
    let read = bywash_in(folder.path(), &["answers", "mail.txt", "--onto", "plan.jsonc"]);
    assert!(!read.out.contains('\u{202e}'), "{}", read.out);
    assert!(read.out.contains("dry \\u202etip"), "{}{}", read.out, read.err);
}

#[test]
fn problems_of_an_input_are_sarif_results_with_their_codes_and_places() {
    let schema = jsonschema::draft4::new(&json(SARIF)).unwrap();
    let folder = folder();
    let plan = "{\n  \"format\": \"bywash plan 1\",\n  \"basins\": { \"pond\": { \"kind\": \"pond\", \"rym\": \"0 in\" } }\n}\n";
    std::fs::write(folder.path().join("plan.jsonc"), plan).unwrap();
    for (arguments, code, line) in [
        (
            &["review", "plan.jsonc", "--format", "sarif"][..],
            "unknown-key",
            Some(3),
        ),
        (&["review", "plan.jsonc", "--sarif", "-"], "unknown-key", Some(3)),
        (&["review", "none.jsonc", "--format", "sarif"], "file", None),
    ] {
        let ran = bywash_in(folder.path(), arguments);
        assert_eq!(ran.status, 2, "{arguments:?}");
        let log = json(&ran.out);
        assert!(schema.is_valid(&log), "{arguments:?}: {}", ran.out);
        let run = &log["runs"][0];
        assert_eq!(run["invocations"][0]["executionSuccessful"], false);
        let results = run["results"].as_array().unwrap();
        let result = results.iter().find(|result| result["ruleId"] == code).unwrap();
        assert_eq!(
            (&result["kind"], &result["level"]),
            (&"fail".into(), &"error".into())
        );
        let region = &result["locations"][0]["physicalLocation"]["region"];
        assert_eq!(region["startLine"].as_u64(), line, "{arguments:?}");
        let index = usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap();
        assert_eq!(run["tool"]["driver"]["rules"][index]["id"], code);
    }
}
