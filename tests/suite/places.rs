//! Rules for work in other countries: what differs there, and that no text of another country is cited.

use bywash::{
    engine::ReviewOptions,
    report::terminal::{self, Paint},
    review::Review,
    rules::Severity,
};

use super::changed;

fn under(place: &str, changes: &[&str]) -> Review {
    let place = format!("/project/place={place}");
    let all: Vec<&str> = std::iter::once(place.as_str())
        .chain(changes.iter().copied())
        .collect();
    let (engine, opened) = changed::example("courtyard-retrofit", &all);
    engine.review(&opened, ReviewOptions::default())
}

fn raises(review: &Review, rule: &str) -> bool {
    review.findings.iter().any(|finding| finding.rule == rule)
}

/// Codes of the United States: from memory, the names by which their publishers go.
const AMERICAN: [&str; 6] = [
    "NFPA",
    "CFR",
    "ASSE",
    "International Code Council",
    "City of",
    "State of",
];

#[test]
fn no_text_of_the_united_states_is_cited_for_work_elsewhere() {
    let faults = [
        "/electrical/circuits/pump/ground_fault=false",
        "/electrical/circuits/pump/receptacle=2 ft",
        "/water/make_up/backflow=check valve",
        "/site/barrier=none",
        "/site/underground_services_located=false",
        "/excavations/bed-dig/depth=7 ft",
        "/excavations/bed-dig/protection=none",
        "/excavations/bed-dig/egress=false",
        "/excavations/bed-dig/spoil_distance=0.5 ft",
        "/site/wire_clearance=9 ft",
    ];
    for place in [
        "Voss, Norway",
        "Leeds, United Kingdom",
        "Freiburg, Germany",
        "Linz, Austria",
    ] {
        let review = under(place, &faults);
        assert!(review.findings.len() >= 8, "{place}: {}", review.findings.len());
        for finding in &review.findings {
            assert!(!finding.sources.is_empty(), "{place}: {}", finding.rule);
            for source in &finding.sources {
                let american = AMERICAN.iter().any(|name| source.contains(name));
                assert!(!american, "{place}: {}: {source}", finding.rule);
            }
        }
    }
    let home = under("Marrow Falls, Ohio", &faults);
    let cited = home.findings.iter().flat_map(|finding| &finding.sources);
    assert!(cited.clone().any(|source| source.contains("NFPA")));
}

/// Pond water is fluid category 5 in the United Kingdom (Water Regulations Advisory Scheme, seen for pools; for ponds from
/// memory): of these devices an air gap alone will do.
#[test]
fn a_vacuum_breaker_is_enough_in_ohio_and_not_in_leeds() {
    let breaker = [
        "/water/make_up/backflow=pressure vacuum breaker",
        "/water/make_up/breaker_level=+12 in",
    ];
    assert!(!raises(
        &under("Marrow Falls, Ohio", &breaker),
        "make-up-backflow"
    ));
    for place in ["Leeds, United Kingdom", "Freiburg, Germany"] {
        let review = under(place, &breaker);
        let finding = review
            .findings
            .iter()
            .find(|finding| finding.rule == "make-up-backflow")
            .unwrap();
        assert_eq!(finding.severity, Severity::Stop);
        assert!(
            finding.note.as_deref().unwrap().contains("category 5"),
            "{:?}",
            finding.note
        );
    }
}

/// Upright sides: up to 5 ft in the United States (29 CFR 1926.652, seen), to 1.25 m in Germany (DIN 4124, from memory).
#[test]
fn an_upright_dig_is_judged_by_the_depth_of_its_country() {
    let dig = [
        "/excavations/bed-dig/depth=1.4 m",
        "/excavations/bed-dig/protection=none",
    ];
    assert!(!raises(
        &under("Marrow Falls, Ohio", &dig),
        "excavation-protection"
    ));
    assert!(raises(&under("Freiburg, Germany", &dig), "excavation-protection"));
    assert!(raises(
        &under("Leeds, United Kingdom", &dig),
        "excavation-protection"
    ));
    let shallow = [
        "/excavations/bed-dig/depth=1.25 m",
        "/excavations/bed-dig/protection=none",
    ];
    assert!(!raises(
        &under("Freiburg, Germany", &shallow),
        "excavation-protection"
    ));
}

/// What is shown of a finding, and what closes it, go by the rule as it reads where the work stands.
#[test]
fn a_finding_in_leeds_quotes_and_is_closed_by_the_rule_of_leeds() {
    let breaker = [
        "/project/place=Leeds, United Kingdom",
        "/water/make_up/backflow=pressure vacuum breaker",
        "/water/make_up/breaker_level=+12 in",
    ];
    let (engine, opened) = changed::example("courtyard-retrofit", &breaker);
    let review = engine.review(&opened, ReviewOptions::default());
    let mut findings = review.findings.iter();
    let finding = findings
        .find(|finding| finding.rule == "make-up-backflow")
        .unwrap();
    let shown = terminal::finding(
        &engine,
        &opened,
        finding,
        Paint {
            width: 80,
            colour: false,
        },
    );
    assert!(shown.contains("rules/places/uk/make-up-backflow.md:"), "{shown}");
    let closing = engine.closing(&opened, ReviewOptions::default());
    let set = closing.sets.first().unwrap();
    let closed = set.changes.iter().flat_map(|change| &change.closes);
    assert!(closed.clone().any(|number| *number == finding.number), "{set:?}");
}
