//! The commands, run as their users run them.

use std::process::{Command, Stdio};

use bywash::{
    check::Schema,
    engine::{Engine, ReviewOptions, SCHEMAS},
    report::terminal::{self, Paint, Selected},
    review::{figure_lines, report_cases},
};
use serde_json::Value;
use unicode_width::UnicodeWidthStr;

use super::program::{bywash, bywash_in, folder, too_wide, write};

const EXAMPLES: [(&str, i32); 7] = [
    ("examples/courtyard-retrofit.jsonc", 0),
    ("examples/courtyard-as-sent.jsonc", 1),
    ("examples/mill-yard-metric.jsonc", 0),
    ("examples/two-ponds.jsonc", 0),
    ("examples/ledge-run.jsonc", 0),
    ("examples/minimal.jsonc", 1),
    ("examples/starter.jsonc", 1),
];

#[test]
fn every_example_ends_with_its_status_and_fits_80_columns_and_is_the_same_twice() {
    for (plan, status) in EXAMPLES {
        let first = bywash(&["review", plan]);
        assert_eq!(first.status, status, "{plan}: {}", first.err);
        assert_eq!(first.err, "", "{plan}");
        assert_eq!(too_wide(&first.out), Vec::<&str>::new(), "{plan}");
        assert!(!first.out.contains('\u{1b}'), "{plan}");
        assert_eq!(first.out, bywash(&["review", plan]).out, "{plan}");
        let figures = bywash(&["figures", plan]);
        assert_eq!((figures.status, too_wide(&figures.out).len()), (0, 0), "{plan}");
    }
}

#[test]
fn the_machine_form_keeps_to_its_schema_and_is_the_same_twice() {
    let (_, text) = SCHEMAS.into_iter().find(|(name, _)| *name == "review").unwrap();
    let schema = jsonschema::draft202012::new(&serde_json::from_str(text).unwrap()).unwrap();
    for (plan, _) in EXAMPLES {
        let ran = bywash(&["review", plan, "--json", "-"]);
        let review: Value = serde_json::from_str(&ran.out).unwrap();
        let errors: Vec<String> = schema
            .iter_errors(&review)
            .map(|error| error.to_string())
            .collect();
        assert_eq!(errors, Vec::<String>::new(), "{plan}");
        assert_eq!(ran.out, bywash(&["review", plan, "--json", "-"]).out);
    }
}

#[test]
fn cases_are_shown_where_asked_for_and_combine_by_name() {
    let plan = "examples/courtyard-as-sent.jsonc";
    let ran = bywash(&["review", plan, "--cases"]);
    assert_eq!((ran.status, ran.err.as_str()), (1, ""));
    assert!(ran.out.starts_with("── Levels in every case"));
    assert!(ran.out.contains("lost over the rim of pond"));
    assert_eq!(too_wide(&ran.out), Vec::<&str>::new());
    assert!(!bywash(&["review", plan]).out.contains("Levels in every case"));
    assert!(
        bywash(&["figures", plan, "--full"])
            .out
            .contains("Levels in every case")
    );
    let combined = ["review", plan, "--case", "power-off+storm", "--json", "-"];
    let review: Value = serde_json::from_str(&bywash(&combined).out).unwrap();
    let asked = &review["cases"]["asked"][0];
    assert_eq!(asked["name"], "power-off+storm");
    assert_eq!(asked["basins"].as_array().unwrap().len(), 2);
    let worst = &review["cases"]["worst"];
    assert!(worst["series"][0]["points"].as_array().unwrap().len() > 10);
    let wrong = bywash(&["review", plan, "--case", "power-off+flood"]);
    assert_eq!((wrong.status, wrong.out.as_str()), (2, ""));
    assert!(wrong.err.contains("there is no case `flood`") && wrong.err.contains("make-up-stuck"));
}

#[test]
fn a_file_is_replaced_whole() {
    let folder = folder();
    let target = write(folder.path(), "review.json", "old");
    let plan = format!("{}/examples/minimal.jsonc", env!("CARGO_MANIFEST_DIR"));
    let ran = bywash_in(folder.path(), &["review", &plan, "--json", "review.json"]);
    assert_eq!(ran.status, 1);
    let written: Value = serde_json::from_str(&std::fs::read_to_string(target).unwrap()).unwrap();
    assert_eq!(written["format"], "bywash review 1");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn findings_under_a_patch_point_into_the_patch() {
    let folder = folder();
    write(
        folder.path(),
        "as-built.json",
        "{\n  \"basins\": {\n    \"bed\": { \"rim\": \"+10.5 in\" }\n  }\n}\n",
    );
    let plan = format!("{}/examples/courtyard-retrofit.jsonc", env!("CARGO_MANIFEST_DIR"));
    for flag in ["--as-built", "--with"] {
        let ran = bywash_in(folder.path(), &["review", &plan, "--full", flag, "as-built.json"]);
        assert_eq!(ran.status, 1, "{}", ran.err);
        assert!(ran.out.contains("as-built.json:3:21"), "{}", ran.out);
    }
    let ran = bywash_in(
        folder.path(),
        &["review", &plan, "--full", "--set", "/basins/bed/rim=+10.5 in"],
    );
    assert!(ran.out.contains("--set:1:"), "{}", ran.out);
    let removed = bywash_in(
        folder.path(),
        &["review", &plan, "--full", "--set", "/lines/feed/air_inlet=null"],
    );
    assert!(removed.out.contains("feed / air inlet: show"), "{}", removed.out);
}

#[test]
fn units_and_dates_can_be_asked_for() {
    let us = bywash(&["review", "examples/courtyard-as-sent.jsonc", "--full"]).out;
    let si = bywash(&[
        "review",
        "examples/courtyard-as-sent.jsonc",
        "--full",
        "--units",
        "SI",
    ])
    .out;
    assert!(us.contains("1.16 in, under the 2 in limit"), "{us}");
    assert!(si.contains("29.4 mm, under the 50 mm limit"), "{si}");
    let later = bywash(&[
        "review",
        "examples/mill-yard-metric.jsonc",
        "--date",
        "2030-01-01",
    ])
    .out;
    assert!(
        unwrapped(&later).contains("the acceptance by MO ended on 2027-06-30"),
        "{later}"
    );
}

/// A text as one line.
fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn several_plans_are_reviewed_in_order_and_the_worst_decides() {
    let ran = bywash(&[
        "review",
        "examples/courtyard-retrofit.jsonc",
        "examples/minimal.jsonc",
    ]);
    assert_eq!(ran.status, 1);
    let (first, second) = (
        ran.out.find("Lantern Court").unwrap(),
        ran.out.find("Tillery").unwrap(),
    );
    assert!(first < second);
}

#[test]
fn schemas_are_printed_whole_and_compile() {
    for (name, text) in SCHEMAS {
        assert_eq!(bywash(&["schema", name]).out, text);
        let schema: Value = serde_json::from_str(text).unwrap();
        assert!(jsonschema::meta::is_valid(&schema), "{name}");
        assert!(Schema::new(text).is_ok(), "{name}");
    }
}

#[test]
fn a_starter_plan_is_written_once_and_can_be_reviewed() {
    let folder = folder();
    assert_eq!(bywash_in(folder.path(), &["begin", "plan.jsonc"]).status, 0);
    assert_eq!(bywash_in(folder.path(), &["review", "plan.jsonc"]).status, 1);
    write(folder.path(), "plan.jsonc", "mine");
    let again = bywash_in(folder.path(), &["begin", "plan.jsonc"]);
    assert_eq!(again.status, 2);
    assert!(again.err.contains("is there already"), "{}", again.err);
    assert_eq!(
        std::fs::read_to_string(folder.path().join("plan.jsonc")).unwrap(),
        "mine"
    );
    assert_eq!(bywash(&["begin"]).out, bywash::engine::STARTER);
}

#[test]
fn rules_are_listed_and_read() {
    let list = bywash(&["rules"]);
    assert_eq!((list.status, too_wide(&list.out).len()), (0, 0));
    for id in [
        "bed-upflow-rate",
        "basin-freeboard-overflow-blocked",
        "circuit-ground-fault",
    ] {
        assert!(list.out.contains(id));
        let card = bywash(&["rules", id]);
        assert_eq!((card.status, too_wide(&card.out).len()), (0, 0));
        assert!(
            card.out.contains("why") && card.out.contains("source"),
            "{}",
            card.out
        );
    }
    let one = bywash(&["rules", "--discipline", "bed"]).out;
    assert!(one.contains("bed-flush") && !one.contains("line-velocity"));
}

#[test]
fn help_and_version_are_no_failure() {
    for argument in ["--help", "--version", "help"] {
        assert_eq!(bywash(&[argument]).status, 0, "{argument}");
    }
}

#[test]
fn the_version_tells_the_library_it_judges_by() {
    let version = bywash(&["--version"]).out;
    let (engine, loaded) = Engine::new();
    loaded.unwrap();
    let start = format!("bywash {} (library", env!("CARGO_PKG_VERSION"));
    assert!(version.starts_with(&start), "{version}");
    let rules = format!(", {} rules, mark ", engine.library.cards.len());
    assert!(version.contains(&rules), "{version}");
}

#[test]
fn a_reader_that_goes_away_is_no_panic() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_bywash"))
        .args(["figures", "examples/courtyard-retrofit.jsonc"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert!(!String::from_utf8_lossy(&output.stderr).contains("panicked"));
    assert_eq!(output.status.code(), Some(0));
}

/// Everything the terminal shows of a plan, and of every rule.
fn shown(engine: &mut Engine, plan: &str, paint: Paint) -> Vec<String> {
    let text = std::fs::read_to_string(format!("{}/{plan}", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let source = engine.sources.add(plan, text);
    let opened = engine.open(source, Vec::new()).unwrap();
    let review = engine.review(&opened, ReviewOptions::default());
    let lines = figure_lines(&engine.context(&opened, ReviewOptions::default()));
    let assumptions: Vec<String> = review.assumptions.clone();
    vec![
        terminal::review(engine, &opened, &review, &Selected::all(&review), paint),
        terminal::brief(&review, &Selected::all(&review), paint),
        terminal::figure_list(&lines, paint),
        terminal::figures(&lines, &assumptions, paint),
        terminal::cases(
            &report_cases(&engine.context(&opened, ReviewOptions::default()), &[]),
            paint,
        ),
    ]
}

fn rules_shown(engine: &Engine, paint: Paint) -> Vec<String> {
    let cards = engine.library.cards.iter();
    let mut texts: Vec<String> = cards
        .clone()
        .map(|card| terminal::card(&engine.sources, card, paint))
        .collect();
    let listed = terminal::Listed {
        cards: cards.clone().collect(),
        house: &[],
    };
    texts.push(terminal::list(&listed, paint));
    texts
}

/// A text without the codes that colour it.
fn without_colour(text: &str) -> String {
    let mut parts = text.split('\u{1b}');
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |plain, part| plain + part.split_once('m').unwrap().1)
}

#[test]
fn colour_adds_nothing_but_colour_and_no_line_is_wider_than_its_terminal() {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let mut failures = Vec::new();
    for width in [60, 80, 100] {
        let plain = Paint { width, colour: false };
        let coloured = Paint { width, colour: true };
        let mut texts = rules_shown(&engine, plain);
        let mut bright = rules_shown(&engine, coloured);
        for (plan, _) in EXAMPLES {
            texts.extend(shown(&mut engine, plan, plain));
            bright.extend(shown(&mut engine, plan, coloured));
        }
        assert!(bright.iter().any(|text| text.contains('\u{1b}')));
        for (text, bright) in texts.iter().zip(&bright) {
            assert_eq!(*text, without_colour(bright));
            assert!(!text.contains('\u{1b}'));
            let wide = text.lines().filter(|line| line.width() > width);
            failures.extend(wide.map(|line| format!("wider than {width}: {line}")));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
