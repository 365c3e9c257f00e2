//! The yearly cost of energy: told where the plan gives a price, in the plan's own currency, and never else.

use bywash::{
    engine::{Engine, ReviewOptions},
    read::parse,
    review::{FigureLine, figure_lines},
};

/// The figures of the sound plan's pump under a patch.
fn pump_figures(patch: &str) -> Vec<FigureLine> {
    let (mut engine, loaded) = Engine::new();
    loaded.unwrap();
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/courtyard-retrofit.jsonc");
    let source = engine.sources.add("plan", std::fs::read_to_string(path).unwrap());
    let patch_source = engine.sources.add("patch", patch);
    let patch = parse(&engine.sources, patch_source).unwrap();
    let opened = engine.open(source, vec![("patch".to_owned(), patch)]).unwrap();
    let lines = figure_lines(&engine.context(&opened, ReviewOptions::default()));
    lines
        .into_iter()
        .filter(|line| line.name.starts_with("yearly-"))
        .collect()
}

fn named<'l>(lines: &'l [FigureLine], name: &str) -> Option<&'l FigureLine> {
    lines.iter().find(|line| line.name == name)
}

#[test]
fn a_price_gives_a_cost_in_the_currency_of_the_plan_and_no_price_gives_none() {
    let bare = pump_figures("{}");
    assert!(named(&bare, "yearly-energy").is_some());
    assert!(named(&bare, "yearly-cost").is_none());

    let priced = pump_figures(
        r#"{
          "electrical": { "tariff": { "price_per_kwh": 0.2, "currency": "crowns" } },
          "pumps": { "main": { "power": "100 W", "count": 2 } }
        }"#,
    );
    let cost = named(&priced, "yearly-cost").unwrap();
    // 200 W over 8,760 h are 1,752 kWh.
    let value = cost.value.as_ref().unwrap();
    assert!((value.si.unwrap() - 350.4).abs() < 1e-9);
    assert_eq!(value.text, "350 crowns");
    let worked = cost.worked.as_ref().unwrap();
    assert!(
        worked.contains("kWh") && worked.contains("0.2 crowns") && worked.ends_with("= 350 crowns"),
        "{worked}"
    );
}
