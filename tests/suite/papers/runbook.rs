//! Runbooks.

use std::path::Path;

use serde_json::Value;

use super::{super::program::folder, SOUND, example, json, run, table, text};

fn runbook(folder: &Path, name: &str, more: &[&str]) -> Value {
    example(folder, name);
    let all = [&["runbook", "plan.jsonc", "--json", "r.json"][..], more].concat();
    let ran = run(folder, &all);
    assert_eq!(ran.status, 0, "{}", ran.err);
    json(&folder.join("r.json"))
}

/// The blocks of the first sheet: headings, cautions, boxes.
fn order(paper: &Value) -> Vec<Value> {
    paper["sheets"][0]["blocks"].as_array().unwrap().clone()
}

fn steps(paper: &Value) -> Vec<String> {
    let headings = order(paper)
        .into_iter()
        .filter(|block| block["kind"] == "heading");
    headings
        .map(|block| block["text"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn the_work_is_in_order_with_what_must_be_shown() {
    let folder = folder();
    let paper = runbook(folder.path(), "courtyard-retrofit", &[]);
    assert_eq!(
        steps(&paper),
        [
            "1. Set out and locate services",
            "2. Dig and rake the subgrade (day 0)",
            "3. Underlay and sheet (day 2)",
            "4. Pipes, wells and pumps",
            "5. Flood the sheet and watch it (day 3)",
            "6. Cushion, modules and stone (day 4)",
            "7. Electrician’s test",
            "8. Wash the stone to waste (day 5)",
            "9. First run: crest, flow and levels",
            "10. Switch off: check valve and siphon",
            "11. Overflows and make-up",
            "12. Dechlorinate, temper and join (day 7)",
            "13. Plant (day 8)",
            "14. Hand over"
        ]
    );
    let boxes: Vec<String> = order(&paper)
        .iter()
        .filter(|block| block["kind"] == "checks")
        .flat_map(|block| block["items"].as_array().unwrap().clone())
        .map(|item| item.as_str().unwrap().to_owned())
        .collect();
    for needed in [
        "buried services",
        "Subgrade walked",
        "filled to −12 in, marked, and on the mark a day later",
        "levelled under running water, level to 1/8 in",
        "the check valve holds",
        "the siphon breaks",
        "ground-fault protection trips",
        "cut-off stops it at −30 in",
        "overflow runs at −10 in",
    ] {
        assert!(boxes.iter().any(|text| text.contains(needed)), "{needed}");
    }
    // Every step ends in lines to sign on, and what can hurt somebody stands in its step.
    let blocks = order(&paper);
    let signed = blocks.iter().filter(|block| block["kind"] == "signature").count();
    assert_eq!(signed, 14);
    let caution_of = |title: &str| {
        let at = blocks
            .iter()
            .position(|block| block["text"].as_str().is_some_and(|text| text.contains(title)));
        blocks[at.unwrap() + 1]["text"].as_str().unwrap().to_owned()
    };
    assert!(caution_of("Set out").contains("Call before digging"));
    assert!(caution_of("Dig and rake").contains("Trenches cave in"));
    assert!(caution_of("Electrician").contains("licensed electrician"));
    assert!(caution_of("Flood the sheet").contains("children drown"));
}

/// A plan without power, check valve, stone or fish has no step for them.
#[test]
fn what_a_plan_has_not_is_no_step() {
    let folder = folder();
    let paper = runbook(folder.path(), "ledge-run", &[]);
    let text = serde_json::to_string(&order(&paper)).unwrap();
    assert!(text.contains("drains back as the plan means it to"));
    assert!(!text.contains("the check valve holds"));
    assert!(text.contains("Switch off: water that drains back"));
    let whole = serde_json::to_string(&paper).unwrap();
    for absent in ["Rod the air inlet", "see the check valve", "First feed"] {
        assert!(!whole.contains(absent), "{absent}");
    }
    let paper = runbook(folder.path(), "mill-yard-metric", &[]);
    let titles = steps(&paper);
    for title in ["6. Cushion and stone (day 5)", "11. Overflows"] {
        assert!(titles.iter().any(|found| found == title), "{titles:?}");
    }
    // All its water is new, so one line says how much all basins take: 21.9 m³ at 1.8 m³/h, to the two digits of a bucket and a watch.
    let filling = table(&paper, "filling");
    let totals = filling
        .iter()
        .filter(|row| super::text(&row["volume"]) == "21.9 m³");
    let times: Vec<String> = totals.map(|row| super::text(&row["at the supply"])).collect();
    assert_eq!(times, ["12 h"]);
}

/// Three changes of half leave a half, a quarter and an eighth (staged dilution); 557 gal of bed at 480 gph.
#[test]
fn reference_washing_dilutes_by_stages() {
    let folder = folder();
    let paper = runbook(folder.path(), "courtyard-retrofit", &[]);
    let left: Vec<f64> = table(&paper, "washing")
        .iter()
        .map(|row| row["loose dirt left"]["si"].as_f64().unwrap())
        .collect();
    assert_eq!(left, [0.5, 0.25, 0.125]);
    let filling = table(&paper, "filling");
    let first = filling
        .iter()
        .find(|row| text(&row["basin, to still water"]).starts_with("new water"))
        .unwrap();
    let hours = first["at the supply"]["si"].as_f64().unwrap() / 3600.0;
    assert!((hours - 557.0 / 480.0).abs() < 0.002, "{hours}");
}

/// A tenth of the water 10 °F colder moves the pond by 1.0 °F (computed from the balance of heat); no half hour steps farther than
/// half of 5 °F colder and 7 °F warmer (LSU AgCenter).
#[test]
fn reference_tempering_follows_the_balance_of_heat() {
    let folder = folder();
    let fahrenheit = |cell: &Value| (cell["si"].as_f64().unwrap() - 273.15) * 1.8 + 32.0;
    for fill in ["54 °F", "33 °F", "44 °F"] {
        let set = format!("/water/fill_temperature={fill}");
        let paper = runbook(folder.path(), "courtyard-retrofit", &["--set", &set]);
        let rows = table(&paper, "tempering");
        assert!(rows.len() > 1, "{fill}");
        let fill: f64 = fill.trim_end_matches(" °F").parse().unwrap();
        for (season, water) in [("pond, cold season", 39.0), ("pond, warm season", 79.0)] {
            let temperatures: Vec<f64> = rows.iter().map(|row| fahrenheit(&row[season])).collect();
            assert!((temperatures[0] - water).abs() < 1e-6);
            // 4,490 gal of pond and 557 gal of new water; the plan's volumes to three figures.
            let mixed = (4490.0 * water + 557.0 * fill) / 5047.0;
            let last = temperatures[temperatures.len() - 1];
            assert!((last - mixed).abs() < 0.02, "{last} for {mixed}");
            for pair in temperatures.windows(2) {
                let step = pair[1] - pair[0];
                assert!((-2.5 - 1e-6..=3.5 + 1e-6).contains(&step), "{step}");
            }
        }
    }
}

/// 1.8 mg/L of residual in 557 gal (2,108 L) are 3.8 g of chlorine; thiosulfate at 1.9 mg/mg (AWWA field guide, table 7-2, seen) 7.2 g,
/// by the full chemistry at 7.0 mg/mg 26.6 g; the plan's 14 mg/L are 29.5 g.
#[test]
fn reference_a_residual_takes_what_the_field_guide_says() {
    let folder = folder();
    let paper = runbook(folder.path(), "courtyard-retrofit", &[]);
    let rows = table(&paper, "dosing");
    let whole = rows
        .iter()
        .find(|row| text(&row["water"]) == "whole first fill")
        .unwrap();
    assert!((whole["chlorine in it"]["si"].as_f64().unwrap() - 0.0038).abs() < 2e-5);
    assert!((whole["plan’s dose"]["si"].as_f64().unwrap() - 0.0295).abs() < 1e-4);
    assert_eq!(text(&whole["sodium thiosulfate"]), "7.2 g to 27 g");
    // A well without a disinfectant needs no dose, and nothing is said of chlorine.
    let paper = runbook(folder.path(), "mill-yard-metric", &[]);
    assert!(table(&paper, "dosing").is_empty());
    let said = serde_json::to_string(&paper).unwrap();
    assert!(!said.to_lowercase().contains("chlor"), "{said}");
}

/// In new work no fish are in the water yet: nothing is tempered, and fish come last, on the day that the plan gives them. Values
/// that stand in both systems are printed in the reader's first.
#[test]
fn new_work_is_stocked_last_and_tempers_nothing() {
    let folder = folder();
    let paper = runbook(folder.path(), "mill-yard-metric", &[]);
    assert!(table(&paper, "tempering").is_empty());
    let titles = steps(&paper);
    assert!(titles.iter().all(|title| !title.contains("emper")), "{titles:?}");
    assert!(
        titles[titles.len() - 2].ends_with("Stock with fish (day 40)"),
        "{titles:?}"
    );
    let said = serde_json::to_string(&paper).unwrap();
    assert!(said.contains("half of 2.8 °C (5 °F) colder"), "{said}");
    assert!(said.contains("above 10 °C (50 °F)"));
    // Without fish and without a disinfectant, new water is just filled in.
    let paper = runbook(folder.path(), "ledge-run", &[]);
    let titles = steps(&paper);
    assert!(titles.iter().all(|title| !title.contains("join")), "{titles:?}");
    let said = serde_json::to_string(&paper).unwrap();
    assert!(!said.contains("fish gasp"));
    // Every step has something to show.
    for plan in SOUND.iter().chain(&["starter", "minimal"]) {
        let paper = runbook(folder.path(), plan, &[]);
        let checks = order(&paper)
            .into_iter()
            .filter(|block| block["kind"] == "checks");
        assert!(
            checks
                .into_iter()
                .all(|block| !block["items"].as_array().unwrap().is_empty()),
            "{plan}"
        );
    }
}
