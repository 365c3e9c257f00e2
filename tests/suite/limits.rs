//! Limits are round in either system of units, as people write them: 2 in, and 50 mm; never 50.8 mm.

use bywash::{
    engine::{Engine, ReviewOptions},
    ledger::Found,
    quantity::{UnitSystem, show_limit},
    rules::{Bound, Card, Test},
};

use super::planted_faults::plans;

/// Digits that a limit needs and that are no conversion: as the named text gives them.
const AS_PUBLISHED: [(&str, &str); 1] = [
    // A third of the water, as a share.
    ("pond-water-left-line-breaks", "33.3 %"),
];

/// Significant digits of a number as printed, a last digit of 5 not counted after two others: 25, 300 and 125 are round.
fn is_round(number: &str) -> bool {
    let digits: String = number.chars().filter(char::is_ascii_digit).collect();
    let digits = digits.trim_start_matches('0').trim_end_matches('0');
    digits.len() <= 2 || (digits.len() == 3 && digits.ends_with('5'))
}

/// The numbers of a text: `at least 2 in` holds `2`. Units with a figure of their own, such as `ft²`, hold none.
fn numbers(text: &str) -> Vec<String> {
    text.split(|c: char| c.is_whitespace() || c == '(' || c == ')')
        .map(|word| word.trim_matches(|c: char| !c.is_ascii_digit()).to_owned())
        .filter(|word| !word.is_empty())
        .collect()
}

fn is_measured(test: &Test) -> bool {
    matches!(
        test.bound,
        Bound::AtLeast(..) | Bound::MoreThan(..) | Bound::AtMost(..) | Bound::Between(..)
    ) && test.bound.figures().next().is_none()
}

fn uneven(card: &Card, seen_by: &str, failures: &mut Vec<String>) {
    for test in card.tests().filter(|test| is_measured(test)) {
        for units in [UnitSystem::Us, UnitSystem::Si] {
            let words = test.bound.in_words(Some(units));
            let published = |number: &String| {
                AS_PUBLISHED
                    .iter()
                    .any(|(id, text)| *id == card.id && text.starts_with(number.as_str()))
            };
            let odd = numbers(&words)
                .into_iter()
                .any(|number| !is_round(&number) && !published(&number));
            if odd {
                failures.push(format!("{seen_by}{}: {units:?}: {words}", card.id));
            }
        }
    }
}

#[test]
fn every_limit_of_every_rule_is_round_in_both_systems() {
    let (engine, loaded) = Engine::new();
    loaded.unwrap();
    let mut failures = Vec::new();
    for card in &engine.library.cards {
        uneven(card, "", &mut failures);
    }
    for place in &engine.library.places {
        for card in &place.cards {
            uneven(card, &format!("{}: ", place.name), &mut failures);
        }
    }
    failures.sort();
    failures.dedup();
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Limits that figures give, such as the depth a plant stands in: those that the trade states in both systems are round in
/// each, on every plan there is.
#[test]
fn limits_that_figures_give_are_round_in_both_systems() {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let (mut failures, mut looked_at) = (Vec::new(), 0);
    for (name, source) in plans(&mut engine) {
        let opened = engine.open(source, Vec::new()).unwrap();
        for figure in opened.ledger.iter() {
            let (Ok(Found::Stated { us, metric }), Some(kind)) = (&figure.answer, figure.definition.kind)
            else {
                continue;
            };
            // Where both are one, the limit came from a value of the plan.
            if us == metric {
                continue;
            }
            looked_at += 1;
            for (si, units) in [(*us, UnitSystem::Us), (*metric, UnitSystem::Si)] {
                let shown = show_limit(si, kind, units);
                if !numbers(&shown).iter().all(|number| is_round(number)) {
                    failures.push(format!("{name}: {}: {shown}", figure.definition.name));
                }
            }
        }
    }
    assert!(looked_at > 50, "{looked_at}");
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// The Handbook of Constructed Wetlands (from memory) has soft rush in 3 in of water; a metric plan is held to 75 mm, and
/// told so.
#[test]
fn a_planting_depth_is_told_in_whole_millimetres() {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let plan = r#"{ "format": "bywash plan 1", "project": { "units": "SI", "place": "Ede, Netherlands" },
        "planting": { "species": { "rush": { "botanical": "Juncus effusus", "depth": "100 mm" } } } }"#;
    let source = engine.sources.add("rush", plan);
    let opened = engine.open(source, Vec::new()).unwrap();
    let review = engine.review(&opened, ReviewOptions::default());
    let finding = review
        .findings
        .iter()
        .find(|finding| finding.rule == "planting-water-depth")
        .unwrap();
    assert!(finding.headline.contains("75 mm"), "{}", finding.headline);
    assert!(!finding.headline.contains("76"), "{}", finding.headline);
}

#[test]
fn a_converted_limit_is_not_round() {
    for round in ["2", "50", "1.25", "1,500", "0.45", "300", "0.011"] {
        assert!(is_round(round), "{round}");
    }
    for converted in ["50.8", "76.2", "71.8", "3.94", "1.97", "16.7"] {
        assert!(!is_round(converted), "{converted}");
    }
}
