//! Circuits that cannot run, and plans of them that make no sense: told where.

use bywash::{ledger::Gap, read::Place};

use super::{RING, SKIMMED, ledger, off_curve, patched, quantity};

#[test]
fn a_shut_valve_stops_its_way_and_where_it_is_the_only_one_the_finding_names_it() {
    let shut = ledger(&[
        RING,
        r#"{ "lines": { "feed": { "runs": { "left": { "shut": true } } } } }"#,
    ]);
    assert_eq!(quantity(&shut, "/lines/feed/runs/left", "run-flow"), 0.0);
    assert!(quantity(&shut, "/lines/feed/runs/right", "run-flow") > 1e-4);
    let stuck = ledger(&[r#"{ "lines": { "feed": { "runs": { "main": { "shut": true } } } } }"#]);
    let (because, at) = off_curve(&stuck, "/pumps/main");
    assert!(
        because.contains("\"main\" is shut") && because.contains("only way"),
        "{because}"
    );
    assert_eq!(at, "/lines/feed/runs/main/shut");
    assert!(matches!(
        stuck
            .get(&Place::from_pointer("/lines/feed/runs/main"), "run-flow")
            .unwrap()
            .answer,
        Err(Gap::NotComputed(_))
    ));
}

#[test]
fn a_pump_too_weak_or_with_too_short_a_curve_is_told_at_its_curve() {
    for (curve, words) in [
        (r#"[["0 m3/h", "0.5 m"], ["8 m3/h", "0.1 m"]]"#, "cannot lift"),
        (
            r#"[["0 m3/h", "4 m"], ["2 m3/h", "3.9 m"]]"#,
            "beyond the last point",
        ),
    ] {
        let patch = format!(r#"{{ "pumps": {{ "main": {{ "curve": {curve} }} }} }}"#);
        let (because, at) = off_curve(&ledger(&[&patch]), "/pumps/main");
        assert!(because.contains(words), "{because}");
        assert_eq!(at, "/pumps/main/curve");
    }
}

#[test]
fn an_outlet_that_leads_nowhere_is_asked_for() {
    let open = r#"{ "lines": { "feed": { "runs": { "main": { "to": null } } } } }"#;
    match &ledger(&[open])
        .get(&Place::from_pointer("/pumps/main"), "duty-flow")
        .unwrap()
        .answer
    {
        Err(Gap::NotShown(places)) => {
            assert_eq!(
                places.iter().map(Place::as_str).collect::<Vec<_>>(),
                ["/lines/feed/runs/main/to"]
            );
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn runs_and_drains_that_make_no_sense_are_refused() {
    let told = |patches: &[&str]| -> Vec<String> {
        patched(patches)
            .1
            .iter()
            .map(|problem| problem.message.clone())
            .collect()
    };
    let joins = |id: &str, to: &str| {
        format!(r#"{{ "lines": {{ "feed": {{ "runs": {{ "{id}": {{ "joins": "{to}" }} }} }} }} }}"#)
    };
    for (patches, words) in [
        (
            vec![RING.to_owned(), joins("right", "rigth")],
            "no run called `rigth`",
        ),
        (
            vec![RING.to_owned(), joins("left", "right")],
            "itself joins another",
        ),
        (
            vec![RING.to_owned(), joins("tail", "left")],
            "ends in a basin and joins",
        ),
        (
            vec![RING.to_owned(), joins("right", "tail")],
            "joins one that ends in a basin",
        ),
        (
            vec![RING.to_owned(), joins("right", "main")],
            "a run of its own way",
        ),
        (
            vec![RING.to_owned(), joins("right", "right")],
            "itself joins another",
        ),
        (
            vec![
                SKIMMED.to_owned(),
                r#"{ "drains": { "skimmer": { "to": "pond" } } }"#.to_owned(),
            ],
            "ends in the basin it starts from",
        ),
        (
            vec![
                SKIMMED.to_owned(),
                r#"{ "drains": { "skimmer": { "to": "wall" } } }"#.to_owned(),
            ],
            "no basin called `wall`",
        ),
        (
            vec![
                SKIMMED.to_owned(),
                r#"{ "drains": { "skimmer": { "run": { "to": "well" } } } }"#.to_owned(),
            ],
            "has no `to`",
        ),
        (
            vec![
                SKIMMED.to_owned(),
                r#"{ "drains": { "skimmer": { "run": { "length": "0 m" } } } }"#.to_owned(),
            ],
            "is zero",
        ),
        (
            vec![r#"{ "lines": { "feed": { "runs": { "main": { "length": "0 m" } } } } }"#.to_owned()],
            "is zero",
        ),
    ] {
        let patches: Vec<&str> = patches.iter().map(String::as_str).collect();
        let messages = told(&patches);
        assert!(
            messages.iter().any(|message| message.contains(words)),
            "{words}: {messages:?}"
        );
    }
    for (after, words) in [
        ("main", "follow one another in a circle"),
        ("mian", "no pump called `mian`"),
    ] {
        let patch = format!(r#"{{ "pumps": {{ "main": {{ "after": "{after}" }} }} }}"#);
        let messages = told(&[&patch]);
        assert!(
            messages.iter().any(|message| message.contains(words)),
            "{messages:?}"
        );
    }
    assert_eq!(told(&[RING]), Vec::<String>::new());
}

/// A second pump takes from the pool more than the first brings: its level would sink through its floor.
#[test]
fn a_pool_that_loses_more_than_it_gets_is_told() {
    let greedy = r#"{
      "basins": { "pool": { "floor": "0.55 m" } },
      "pumps": { "out": { "basin": "pool", "mount": "submerged", "curve": [["0 m3/h", "6 m"], ["30 m3/h", "0.1 m"]] } },
      "lines": {
        "feed": { "runs": { "main": { "extra_k": 400 } } },
        "out": { "from": "out", "check_valve": "none", "runs": {
          "out": { "pipe": { "inside": "70 mm" }, "length": "3 m", "fittings": {}, "to": "pond", "discharge": { "level": "0.2 m", "form": "free" } }
        } } }
    }"#;
    let (because, at) = off_curve(&ledger(&[greedy]), "/pumps/out");
    assert!(
        because.contains("\"pool\" is pumped empty") && because.contains("taken from it"),
        "{because}"
    );
    assert_eq!(at, "/pumps/out/basin");
}
