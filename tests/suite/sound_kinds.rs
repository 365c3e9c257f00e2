//! Sound work of other kinds than the sound example: none of it may be stopped or sent back by the rules of the water,
//! its levels, its ways and its beds.

use bywash::{
    engine::{Engine, ReviewOptions},
    review::Review,
    rules::Severity,
};

/// The disciplines these plans are held against. The others ask for papers that these small plans leave out.
const DISCIPLINES: [&str; 5] = ["bed", "hydraulics", "levels", "returns", "water"];

fn reviewed(name: &str) -> (Engine, Review) {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let path = format!("{}/tests/plans/{name}.jsonc", env!("CARGO_MANIFEST_DIR"));
    let source = engine.sources.add(name, std::fs::read_to_string(path).unwrap());
    let opened = engine.open(source, Vec::new()).unwrap();
    let review = engine.review(&opened, ReviewOptions::default());
    (engine, review)
}

#[test]
fn sound_work_of_other_kinds_is_neither_stopped_nor_sent_back() {
    let kinds = [
        "courtyard-rill",
        "formal-pool",
        "koi-pond",
        "patio-tub",
        "swimming-pond",
        "wildlife-pond",
    ];
    let mut failures = Vec::new();
    for name in kinds {
        let (engine, review) = reviewed(name);
        for finding in &review.findings {
            let card = engine.library.card(&finding.rule).unwrap();
            if finding.severity != Severity::Advise && DISCIPLINES.contains(&card.discipline.as_str()) {
                failures.push(format!("{name}: {}: {}", finding.rule, finding.headline));
            }
        }
        assert!(review.met.len() > 15, "{name}: {} rules met", review.met.len());
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// A pond that shows no pump and no electrical work has none: its water stands still, and nobody is asked for a pump.
#[test]
fn a_pond_without_electrical_work_is_not_asked_for_its_pump() {
    let (_, review) = reviewed("wildlife-pond");
    let asked: Vec<&str> = review
        .questions
        .iter()
        .flat_map(bywash::review::Question::places)
        .map(bywash::read::Place::as_str)
        .collect();
    assert!(!asked.contains(&"/pumps"), "{asked:?}");
    let met = review.met.iter().any(|met| met.rule == "basin-freeboard-still");
    assert!(met, "still water has its freeboard all the same");
}
