//! House rules: a firm's own rules, and its changes of ours.

use std::{fs, path::Path};

use bywash::{
    engine::{Engine, ReviewOptions, Trial},
    read::SourceId,
    review::Review,
    rules::Effect,
};

use crate::program::bywash;

/// A house page: its path in the house's folder, and its text.
type Page<'a> = (&'a str, String);

fn change(data: &str) -> String {
    format!("# A change of the house\n\n```json change\n{data}\n```\n")
}

/// A engine with these pages of a house, or what is told against them.
fn desk_with(pages: &[Page<'_>]) -> Result<Engine, Vec<String>> {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let pages: Vec<SourceId> = pages
        .iter()
        .map(|(name, text)| engine.sources.add(*name, text.clone()))
        .collect();
    match engine.take_house(&pages) {
        Ok(()) => Ok(engine),
        Err(problems) => Err(problems.into_iter().map(|problem| problem.message).collect()),
    }
}

fn reviewed(engine: &mut Engine, plan: &str) -> Review {
    let path = format!("{}/examples/{plan}", env!("CARGO_MANIFEST_DIR"));
    let source = engine.sources.add(plan, fs::read_to_string(path).unwrap());
    let opened = engine.open(source, Vec::new()).unwrap();
    engine.review(&opened, ReviewOptions::default())
}

fn refused(data: &str) -> String {
    match desk_with(&[("house/a.md", change(data))]) {
        Ok(_) => panic!("{data} was taken"),
        Err(told) => told.join("; "),
    }
}

#[test]
fn a_tightened_limit_is_judged_and_told_beside_the_rule() {
    let data = r#"{ "rule": "basin-freeboard-still", "at_least": "8 in", "reason": "edges settle here" }"#;
    let mut engine = desk_with(&[("house/a.md", change(data))]).unwrap();
    let review = reviewed(&mut engine, "courtyard-retrofit.jsonc");
    let finding = review
        .findings
        .iter()
        .find(|finding| finding.rule == "basin-freeboard-still")
        .unwrap();
    assert_eq!(finding.limit.text, "at least 8 in");
    let told = "tighter by the house (was revise, at least 2 in (50 mm)): edges settle here";
    assert_eq!(finding.house.as_deref(), Some(told));
    let line = &review.house[0];
    assert_eq!(
        (line.effect.as_str(), line.was.as_str()),
        ("tighter", "revise, at least 2 in (50 mm)")
    );
    assert_eq!((line.at.file.as_str(), line.at.line), ("house/a.md", 4));
}

#[test]
fn a_rule_switched_off_is_not_judged_and_is_told_with_its_reason() {
    let data = r#"{ "rule": "basin-freeboard-design", "off": true, "reason": "stone edges on rock" }"#;
    let mut engine = desk_with(&[("house/a.md", change(data))]).unwrap();
    assert!(engine.library.card("basin-freeboard-design").is_none());
    let review = reviewed(&mut engine, "courtyard-retrofit.jsonc");
    assert!(review.met.iter().all(|met| met.rule != "basin-freeboard-design"));
    assert_eq!(review.house[0].effect, "switched off");
    assert_eq!(review.house[0].reason, "stone edges on rock");
}

#[test]
fn loosening_a_published_code_is_told_as_such_and_tightening_it_is_not() {
    for (limit, loosens) in [("6 in", true), ("12 in", false)] {
        let data = format!(
            r#"{{ "rule": "circuit-gear-above-water", "at_least": "{limit}", "reason": "as the county has it" }}"#
        );
        let mut engine = desk_with(&[("house/a.md", change(&data))]).unwrap();
        assert!(
            engine
                .library
                .card("circuit-gear-above-water")
                .unwrap()
                .sources
                .iter()
                .any(|source| source.code)
        );
        let line = reviewed(&mut engine, "courtyard-retrofit.jsonc").house.remove(0);
        assert_eq!(line.loosens_code, loosens, "{limit}");
        assert_eq!(line.effect.contains("published code"), loosens, "{limit}");
    }
}

#[test]
fn a_rule_that_keeps_people_from_harm_can_be_neither_switched_off_nor_made_lighter() {
    for what in [r#""off": true"#, r#""severity": "advise""#] {
        let told = refused(&format!(
            r#"{{ "rule": "circuit-ground-fault", {what}, "reason": "it trips too often" }}"#
        ));
        assert_eq!(told, "rule `circuit-ground-fault` keeps people from harm");
    }
}

#[test]
fn a_change_that_can_t_be_taken_is_refused_with_its_reason() {
    for (data, told) in [
        (
            r#"{ "rule": "bed-upflow-rat", "off": true, "reason": "a reason" }"#,
            "there is no rule `bed-upflow-rat` to change",
        ),
        (
            r#"{ "rule": "bed-upflow-rate", "reason": "a reason" }"#,
            "this page changes nothing",
        ),
        (
            r#"{ "rule": "bed-upflow-rate", "at_most": "2.9 gpm/ft2 (7.1 m/h)", "reason": "a reason" }"#,
            "rule `bed-upflow-rate` says so already",
        ),
        (
            r#"{ "rule": "bed-upflow-rate", "at_least": "1 gpm/ft2", "reason": "a reason" }"#,
            "rule `bed-upflow-rate` requires at most 2.9 gpm/ft2 (7.1 m/h)",
        ),
        (
            r#"{ "rule": "bed-upflow-rate", "at_most": "3 ft", "reason": "a reason" }"#,
            "ft",
        ),
        (
            r#"{ "rule": "bed-upflow-rate", "at_most": "2 gpm/ft2" }"#,
            "reason",
        ),
        (
            r#"{ "rule": "bed-upflow-rate", "limit": "2 gpm/ft2", "reason": "a reason" }"#,
            "limit",
        ),
    ] {
        let found = refused(data);
        assert!(found.contains(told), "{data}: {found}");
    }
}

#[test]
fn several_pages_that_can_t_be_taken_are_told_together_and_none_is_taken() {
    let off = |rule: &str| {
        change(&format!(
            r#"{{ "rule": "{rule}", "off": true, "reason": "not in our trade" }}"#
        ))
    };
    let pages = [
        ("house/a.md", off("no-such-rule")),
        ("house/b.md", "# Only prose\n".to_owned()),
        ("house/c.md", off("planting-cover")),
        ("house/d.md", off("planting-cover")),
    ];
    let Err(told) = desk_with(&pages) else {
        panic!("taken")
    };
    assert_eq!(
        told,
        [
            "there is no rule `no-such-rule` to change",
            "this page holds neither a rule nor a change of one",
            "rule `planting-cover` is changed on two pages",
        ]
    );
}

#[test]
fn an_acceptance_of_a_rule_that_the_house_has_switched_off_is_told() {
    let data = r#"{ "rule": "planting-cover", "off": true, "reason": "another contract" }"#;
    let mut engine = desk_with(&[("house/a.md", change(data))]).unwrap();
    let plan = r#"{ "format": "bywash plan 1", "accepted": { "cover": { "rule": "planting-cover", "place": "/",
        "reason": "winter", "initials": "PH", "until": "2027-01-01" } } }"#;
    let source = engine.sources.add("plan", plan);
    let opened = engine.open(source, Vec::new()).unwrap();
    let notes = engine.review(&opened, ReviewOptions::default()).acceptance_notes;
    assert_eq!(
        notes,
        ["acceptance \"cover\" names a rule \"planting-cover\" that the house has switched off"]
    );
}

#[test]
fn the_example_house_holds_by_its_own_examples() {
    let run = bywash(&["rules", "--test", "examples/house"]);
    assert_eq!(run.status, 0, "{}{}", run.out, run.err);
    for line in [
        "holds       basin-freeboard-still: tighter, 2 examples",
        "off         planting-cover: switched off",
    ] {
        assert!(run.out.contains(line), "{}", run.out);
    }
    let review = bywash(&[
        "review",
        "examples/courtyard-retrofit.jsonc",
        "--house",
        "examples/house",
    ]);
    assert_eq!(review.status, 0, "{}", review.out);
    assert!(review.out.contains("House rules"), "{}", review.out);
}

#[test]
fn a_house_page_whose_examples_lie_is_told_by_file_and_line() {
    let folder = tempfile::tempdir().unwrap();
    let page = change(r#"{ "rule": "basin-freeboard-still", "at_least": "3 in", "reason": "edges settle" }"#)
        + "\n```json meets\n{ \"basins\": { \"pond\": { \"rim\": \"-11 in\" } } }\n```\n";
    fs::write(folder.path().join("still.md"), page).unwrap();
    let run = bywash(&["rules", "--test", folder.path().to_str().unwrap()]);
    assert_eq!(run.status, 1, "{}", run.out);
    let words = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("still.md:4: example 1: is raised at /basins/pond: falls short"),
        "{words}"
    );
}

#[test]
fn a_house_that_is_not_there_or_holds_nothing_is_told() {
    let bare = tempfile::tempdir().unwrap();
    for (folder, told) in [
        (Path::new("no/such/house"), "there is no folder `no/such/house`"),
        (bare.path(), "holds no file that ends in .md"),
    ] {
        for arguments in [
            vec!["rules", "--test", folder.to_str().unwrap()],
            vec![
                "review",
                "examples/minimal.jsonc",
                "--house",
                folder.to_str().unwrap(),
            ],
        ] {
            let run = bywash(&arguments);
            assert_eq!(run.status, 2);
            let words = run.err.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(words.contains(told), "{words}");
            assert!(run.out.is_empty());
        }
    }
}

/// The trial looks at a house's own rules as the library's own tests look at ours.
#[test]
fn a_house_rule_that_catches_the_sound_plan_fails_its_trial() {
    let text = fs::read_to_string(format!(
        "{}/examples/house/hydraulics/house-line-size.md",
        env!("CARGO_MANIFEST_DIR")
    ))
    .unwrap()
    .replace("\"at_least\": \"1-1/2 in\"", "\"at_least\": \"3 in\"");
    let mut engine = desk_with(&[("house/hydraulics/house-line-size.md", text)]).unwrap();
    let trial = Trial::new(&mut engine).unwrap();
    let rule = &trial.engine().library.house[0];
    assert_eq!(rule.effect, Effect::New);
    let told = trial.of_house(rule);
    assert!(
        told[0].starts_with("the sound plan: is raised at /lines/feed/runs/riser"),
        "{told:?}"
    );
}

/// A value at its limit meets a rule; only a condition may ask for more than a limit.
#[test]
fn a_rule_of_the_house_can_t_ask_for_more_than_a_limit() {
    let page = fs::read_to_string(format!(
        "{}/examples/house/hydraulics/house-line-size.md",
        env!("CARGO_MANIFEST_DIR")
    ))
    .unwrap();
    let strict = page.replace("\"at_least\": \"1-1/2 in\"", "\"more_than\": \"1-1/2 in\"");
    assert_ne!(strict, page);
    let told = desk_with(&[("house/hydraulics/house-line-size.md", strict)]);
    assert!(matches!(told, Err(told) if told.join("; ").contains("more_than")));
}
