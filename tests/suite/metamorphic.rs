//! Changes of a plan's text that must change nothing of its review, drawn at random; `BYWASH_METAMORPHIC` sets how many.

use bywash::{
    engine::{Engine, ReviewOptions},
    plan,
    quantity::Unit,
    read::{Place, Value as Said, parse},
};
use serde_json::{Value, json};

use super::invariance::{Essence, plans, reorder, review, rewrite, written};

/// Draws that are the same in every run: a 64-bit linear congruential generator with Knuth's multiplier.
pub struct Draws(pub u64);

impl Draws {
    pub fn below(&mut self, most: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (self.0 >> 33) as usize % most.max(1)
    }
}

fn many() -> usize {
    let set = std::env::var("BYWASH_METAMORPHIC").ok();
    set.and_then(|number| number.parse().ok()).unwrap_or(20)
}

/// A plan with some of its quantities turned up or down, where it can still be reviewed.
pub fn varied(plan: &Value, draws: &mut Draws) -> Value {
    let book = plan::schema().book();
    let turned = |quantity: bywash::quantity::Quantity, draws: &mut Draws| {
        let part = [0.5, 0.9, 0.99, 1.01, 1.1, 2.0][draws.below(6)];
        bywash::quantity::Quantity {
            si: quantity.si * part,
            ..quantity
        }
    };
    let cell = std::cell::RefCell::new(draws);
    rewrite(plan, &Place::root(), book, &|quantity, _| {
        let draws = &mut **cell.borrow_mut();
        let turned = if draws.below(12) == 0 {
            turned(quantity, draws)
        } else {
            quantity
        };
        written(turned, Unit::find(quantity.kind, quantity.kind.si_unit()))
    })
}

/// Whether a plan can be reviewed.
pub fn opens(plan: &Value) -> bool {
    let (mut engine, _) = Engine::new();
    let source = engine.sources.add("plan.json", plan.to_string());
    engine.open(source, Vec::new()).is_ok()
}

/// The same plan in other words.
fn reworded(plan: &Value, draws: &mut Draws) -> (&'static str, String) {
    let book = plan::schema().book();
    match draws.below(4) {
        0 => {
            let seed = draws.below(1 << 30) as u64;
            let shuffled = reorder(plan, &[], &|pairs| {
                let mut draws = Draws(seed);
                for at in (1..pairs.len()).rev() {
                    pairs.swap(at, draws.below(at + 1));
                }
            });
            ("order", shuffled.to_string())
        }
        1 => {
            let by = draws.below(97);
            let units = rewrite(plan, &Place::root(), book, &|quantity, at| {
                let units: Vec<&Unit> = Unit::of(quantity.kind).collect();
                written(
                    quantity,
                    units.get((at.as_str().len() + by) % units.len().max(1)).copied(),
                )
            });
            ("units", units.to_string())
        }
        2 => {
            let wide = serde_json::to_string_pretty(plan).unwrap();
            (
                "layout",
                wide.replace('\n', ["\r\n", " /* a remark */\n\t", "\n\n"][draws.below(3)]),
            )
        }
        _ => {
            let mut noted = plan.clone();
            noted["x-note"] = json!(draws.below(1000));
            noted["project"]["name"] = json!(format!("job {}", draws.below(1000)));
            ("names", noted.to_string())
        }
    }
}

#[test]
fn the_same_plan_in_other_words_is_reviewed_alike() {
    let plans = plans();
    let mut draws = Draws(20261127);
    let (mut compared, mut failures) = (0, Vec::new());
    while compared < many() {
        let (name, sound) = &plans[draws.below(plans.len())];
        let plan = varied(sound, &mut draws);
        if !opens(&plan) {
            continue;
        }
        let before = review(&plan.to_string(), None);
        for _ in 0..5 {
            let (what, text) = reworded(&plan, &mut draws);
            let differences = before.differences(&review(&text, None));
            compared += 1;
            if !differences.is_empty() && failures.len() < 10 {
                failures.push(format!("{name}, {what}:\n{}\n{plan}", differences.join("\n")));
            }
        }
    }
    println!("{compared} comparisons");
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
}

#[test]
fn an_empty_patch_changes_nothing() {
    for (name, plan) in plans() {
        let (mut engine, _) = Engine::new();
        let source = engine.sources.add("plan.json", plan.to_string());
        let patch = engine.sources.add("patch.json", "{}");
        let patch = parse(&engine.sources, patch).unwrap();
        assert!(matches!(patch.value, Said::Object(_)));
        let opened = engine
            .open(source, vec![("patch.json".to_owned(), patch)])
            .unwrap();
        let patched = Essence::of(&engine.review(&opened, ReviewOptions::default()));
        assert_eq!(
            review(&plan.to_string(), None).differences(&patched),
            Vec::<String>::new(),
            "{name}"
        );
    }
}
