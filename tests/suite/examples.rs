use bywash::{
    engine::{Engine, Opened, ReviewOptions},
    review::{Action, Review},
};

fn reviewed(name: &str) -> (Engine, Opened, Review) {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let path = format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"));
    let source = engine.sources.add(name, std::fs::read_to_string(path).unwrap());
    let opened = engine.open(source, Vec::new()).unwrap();
    let review = engine.review(&opened, ReviewOptions::default());
    (engine, opened, review)
}

#[test]
fn the_careless_plan_raises_every_planted_fault_at_its_place_and_nothing_else() {
    let (_, _, review) = reviewed("courtyard-as-sent.jsonc");
    let told: Vec<[&str; 5]> = review
        .findings
        .iter()
        .map(|finding| {
            [
                &finding.number,
                finding.severity.word(),
                &finding.rule,
                finding.object.as_str(),
                finding.place.as_str(),
            ]
        })
        .collect();
    let planted = [
        ["1", "stop", "make-up-backflow", "", "/water/make_up/backflow"],
        [
            "2",
            "stop",
            "circuit-ground-fault",
            "/electrical/circuits/pump",
            "/electrical/circuits/pump/ground_fault",
        ],
        [
            "3",
            "revise",
            "basin-volume-agrees",
            "/basins/pond",
            "/basins/pond/stated_volume",
        ],
        [
            "4",
            "revise",
            "overflow-capacity",
            "/basins/pond",
            "/basins/pond/overflow/level",
        ],
        [
            "5",
            "revise",
            "basin-freeboard-running",
            "/basins/bed",
            "/basins/bed/rim",
        ],
        [
            "5.1",
            "advise",
            "basin-freeboard-design",
            "/basins/bed",
            "/basins/bed/rim",
        ],
        [
            "5.2",
            "revise",
            "lining-edge-behind-stone",
            "/basins/bed",
            "/basins/bed/lining/edges/behind_stone",
        ],
        [
            "6",
            "revise",
            "lining-underlay-below",
            "/basins/bed",
            "/basins/bed/lining/underlay",
        ],
        [
            "6.1",
            "revise",
            "lining-subgrade-clean",
            "/basins/bed",
            "/basins/bed/lining/subgrade/largest_stone",
        ],
        [
            "7",
            "revise",
            "bed-stone-washed",
            "/basins/bed/layers/finishing",
            "/basins/bed/layers/finishing/washed",
        ],
        [
            "8",
            "revise",
            "pump-flow-claimed",
            "/pumps/main",
            "/pumps/main/stated_flow",
        ],
        [
            "8.1",
            "advise",
            "line-velocity",
            "/lines/feed/runs/riser",
            "/lines/feed/runs/riser/pipe/size",
        ],
        [
            "8.2",
            "revise",
            "outlet-flow-claimed",
            "/lines/feed/runs/riser",
            "/lines/feed/runs/riser/stated_flow",
        ],
        [
            "8.3",
            "advise",
            "pond-turnover",
            "/basins/pond",
            "/basins/pond/fish",
        ],
        [
            "8.4",
            "advise",
            "pump-bep-region",
            "/pumps/main",
            "/pumps/main/best_flow",
        ],
        [
            "9",
            "revise",
            "line-air-inlet",
            "/lines/feed",
            "/lines/feed/air_inlet",
        ],
        [
            "10",
            "advise",
            "basin-freeboard-design",
            "/basins/pond",
            "/basins/pond/rim",
        ],
        [
            "10.1",
            "advise",
            "basin-freeboard-overflow-blocked",
            "/basins/pond",
            "/basins/pond/rim",
        ],
        [
            "11",
            "advise",
            "bed-stone-not-angular",
            "/basins/bed/layers/large",
            "/basins/bed/layers/large/shape",
        ],
        [
            "12",
            "advise",
            "bed-open-surface",
            "/basins/bed",
            "/basins/bed/open_surface",
        ],
    ];
    assert_eq!(told, planted, "{told:#?}");
    assert_eq!(review.action.action, Action::ReviseAndResubmit);
}

#[test]
fn the_careless_plan_is_asked_for_what_it_leaves_out() {
    let (_, _, review) = reviewed("courtyard-as-sent.jsonc");
    let asked: Vec<&str> = review
        .questions
        .iter()
        .flat_map(bywash::review::Question::places)
        .map(bywash::read::Place::as_str)
        .collect();
    let left_out = [
        "/site/groundwater",
        "/basins/bed/clean_out_well",
        "/site/barrier",
        "/site/overhead_services_located",
        "/benchmark/protected",
        "/basins/bed/flush",
        "/filling/leak_test",
        "/upkeep/winter",
        "/site/planned_use",
        "/walls/pond-side/path_above",
    ];
    let sorted = |mut places: Vec<String>| {
        places.sort();
        places
    };
    assert_eq!(
        sorted(asked.into_iter().map(str::to_owned).collect()),
        sorted(left_out.into_iter().map(str::to_owned).collect())
    );
}

#[test]
fn the_careless_plan_falls_short_by_what_it_computes() {
    let (_, _, review) = reviewed("courtyard-as-sent.jsonc");
    let found = |rule: &str| {
        let finding = review
            .findings
            .iter()
            .find(|finding| finding.rule == rule)
            .unwrap();
        (finding.found.text.clone(), finding.limit.text.clone())
    };
    assert_eq!(
        found("bed-open-surface"),
        ("62.5 %".to_owned(), "at least 80 %".to_owned())
    );
    assert_eq!(found("bed-stone-not-angular").0, "angular");
    assert_eq!(
        found("line-velocity"),
        ("5.11 ft/s".to_owned(), "at most 5 ft/s".to_owned())
    );
    assert_eq!(found("basin-freeboard-design").1, "at least 6 in");
    let finding = review
        .findings
        .iter()
        .find(|finding| finding.rule == "bed-open-surface")
        .unwrap();
    assert_eq!(finding.margin.as_deref(), Some("\u{2212}17.5 %"));
    assert_eq!(finding.at.file, "courtyard-as-sent.jsonc");
}

#[test]
fn sound_plans_have_nothing_to_stop_for_or_to_revise() {
    for name in [
        "courtyard-retrofit.jsonc",
        "mill-yard-metric.jsonc",
        "two-ponds.jsonc",
        "ledge-run.jsonc",
    ] {
        let (_, _, review) = reviewed(name);
        let counts = review.counts;
        assert_eq!(
            (counts.stop, counts.revise, counts.stop_questions),
            (0, 0, 0),
            "{name}: {:#?}",
            review.findings
        );
        // Basins given by contours are judged as well.
        let unjudged: Vec<&str> = review.unjudged.iter().map(|one| one.rule.as_str()).collect();
        assert!(unjudged.is_empty(), "{name}: {unjudged:?}");
    }
}

#[test]
fn the_metric_plan_accepts_one_deviation_by_name() {
    let (_, _, review) = reviewed("mill-yard-metric.jsonc");
    let accepted: Vec<&str> = review
        .accepted
        .iter()
        .map(|accepted| accepted.finding.rule.as_str())
        .collect();
    assert_eq!(accepted, ["basin-side-slope"]);
    assert!(review.acceptance_notes.is_empty());
}

#[test]
fn an_acceptance_ends_on_its_day() {
    let (engine, opened, _) = reviewed("mill-yard-metric.jsonc");
    let on = |date: &str| {
        let options = ReviewOptions {
            date: bywash::plan::Date::parse(date),
            ..ReviewOptions::default()
        };
        let review = engine.review(&opened, options);
        (
            review.accepted.len(),
            review
                .findings
                .iter()
                .filter_map(|finding| finding.note.clone())
                .collect::<Vec<_>>(),
        )
    };
    assert_eq!(on("2027-06-30"), (1, Vec::new()));
    assert_eq!(
        on("2027-07-01"),
        (0, vec!["the acceptance by MO ended on 2027-06-30".to_owned()])
    );
}

#[test]
fn the_minimal_plan_is_asked_what_a_reviewer_would_send_back() {
    let (_, _, review) = reviewed("minimal.jsonc");
    let asked: Vec<&str> = review
        .questions
        .iter()
        .flat_map(bywash::review::Question::places)
        .map(bywash::read::Place::as_str)
        .collect();
    for place in [
        "/lines/line/runs",
        "/pumps/pump/curve",
        "/basins/pond/shape",
        "/basins/pond/floor",
        "/basins/bed/layers",
        "/basins/bed/open_surface",
        "/basins/bed/clean_out_well",
        "/basins/pond/lining",
        "/basins/bed/lining",
        "/lines/line/air_inlet",
        "/falls",
        "/electrical",
        "/site",
        "/water",
        "/excavations",
        "/filling",
        "/benchmark",
    ] {
        assert!(asked.contains(&place), "{place} is not asked for: {asked:#?}");
    }
    assert!(review.questions.len() <= 25, "{}", review.questions.len());
    assert_eq!(review.findings.len(), 0, "{:#?}", review.findings);
    let severities: Vec<_> = review
        .questions
        .iter()
        .map(|question| question.severity)
        .collect();
    assert!(severities.is_sorted(), "the weightiest come first");
    let mut seen = std::collections::HashSet::new();
    assert!(
        asked.iter().all(|place| seen.insert(*place)),
        "each value is asked for once"
    );
}

#[test]
fn taking_the_air_inlet_from_the_sound_plan_turns_on_what_rests_on_it() {
    let (mut engine, opened, _) = reviewed("courtyard-retrofit.jsonc");
    let patch = bywash::read::assignment(&mut engine.sources, "/lines/feed/air_inlet=none").unwrap();
    let bare = engine
        .open(opened.source, vec![("without".to_owned(), patch)])
        .unwrap();
    let review = engine.review(&bare, ReviewOptions::default());
    let rules: Vec<&str> = review
        .findings
        .iter()
        .map(|finding| finding.rule.as_str())
        .collect();
    assert_eq!(rules, ["line-air-inlet"]);
    assert_eq!(review.findings[0].at.file, "--set");
}

#[test]
fn the_large_plan_is_fed_by_gravity_and_evens_its_beds_out() {
    let (_, opened, review) = reviewed("two-ponds.jsonc");
    assert_eq!(review.findings.len(), 0, "{:#?}", review.findings);
    assert_eq!(review.questions.len(), 0, "{:#?}", review.questions);
    let quantity = |at: &str, name: &str| {
        let at = bywash::read::Place::from_pointer(at);
        opened.ledger.quantity(&at, name).unwrap()
    };
    let pumped = quantity("/pumps/well-a", "duty-flow") + quantity("/pumps/well-b", "duty-flow");
    let drained = quantity("/drains/skimmer", "drain-flow");
    assert!((pumped - drained).abs() < 1e-8 * pumped, "{pumped} {drained}");
    let (east, west) = (
        quantity("/lines/beds/runs/east", "run-flow"),
        quantity("/lines/beds/runs/west", "run-flow"),
    );
    assert!((east - west).abs() < 0.02 * pumped, "{east} {west}");
    let turned = |pond: &str, flow: f64| {
        let volume = quantity(pond, "still-volume");
        assert!((quantity(pond, "turnover") * flow / volume - 1.0).abs() < 1e-12);
    };
    turned("/basins/lower", drained + quantity("/pumps/stream", "duty-flow"));
    turned("/basins/upper", quantity("/falls/head", "fall-flow"));
    let drawdown = quantity("/drains/skimmer", "drawdown");
    assert!((0.02..0.15).contains(&drawdown), "{drawdown}");
}
