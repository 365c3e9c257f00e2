//! A day at the pond.

use super::{super::program::folder, example, json, run, table, text};

/// Summer is what the review computes after ASHRAE (whose printed example tests the formula); in winter the saturated vapour over water of
/// 39 °F against 79 °F is 0.81 against 3.41 kPa (steam tables), so a quarter evaporates.
#[test]
fn reference_evaporation_falls_with_the_vapour_pressure() {
    let folder = folder();
    example(folder.path(), "courtyard-retrofit");
    let ran = run(folder.path(), &["day", "plan.jsonc", "--json", "d.json"]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let rows = table(&json(&folder.path().join("d.json")), "water");
    let of = |season: &str| {
        let row = rows.iter().find(|row| text(&row["season"]) == season).unwrap();
        row["evaporation"]["si"].as_f64().unwrap()
    };
    let share = of("winter") / of("summer");
    assert!((share - 0.81 / 3.41).abs() < 0.01, "{share}");
    // Estimates are printed to two figures.
    let printed = text(&rows[0]["make-up, least"]);
    let figures = printed.chars().filter(char::is_ascii_digit).collect::<String>();
    assert!(figures.trim_matches('0').len() <= 2, "{printed}");
    for row in &rows {
        let part = |column: &str| row[column]["si"].as_f64().unwrap();
        assert!(
            part("evaporation") < part("make-up, least") && part("make-up, least") < part("make-up, most")
        );
    }
    let ran = run(folder.path(), &["figures", "plan.jsonc"]);
    assert_eq!(ran.status, 0);
}

/// 140 W by day and night are 3.36 kWh a day, at 0.31 EUR 1.04 EUR.
#[test]
fn power_costs_what_it_draws() {
    let folder = folder();
    example(folder.path(), "mill-yard-metric");
    let ran = run(folder.path(), &["day", "plan.jsonc", "--json", "d.json"]);
    assert_eq!(ran.status, 0, "{}", ran.err);
    let rows = table(&json(&folder.path().join("d.json")), "power");
    assert!((rows[0]["energy in a day"]["si"].as_f64().unwrap() / 3.6e6 - 3.36).abs() < 0.005);
    assert_eq!(text(&rows[0]["cost in a day"]), "1.04 EUR");
    let said = std::fs::read_to_string(folder.path().join("d.json")).unwrap();
    assert!(said.contains("380 EUR in a year"), "{said}");
    let levels = table(&json(&folder.path().join("d.json")), "levels");
    assert_eq!(levels.len(), 2);
    // A plan without a price has no cost.
    example(folder.path(), "courtyard-retrofit");
    run(folder.path(), &["day", "plan.jsonc", "--json", "d.json"]);
    let rows = table(&json(&folder.path().join("d.json")), "power");
    assert!(rows[0]["cost in a day"].is_null());
}
