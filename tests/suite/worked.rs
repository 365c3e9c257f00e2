//! Worked lines: the numbers put into a formula are those that give its result.

use bywash::{
    engine::ReviewOptions,
    review::{FigureLine, figure_lines},
};

use super::changed;

mod arithmetic;

/// Lines whose numbers stand in units that the formula is not written in: kWh times the price of one kWh, and the feed of
/// a day, which is printed as a mass.
const IN_OTHER_UNITS: [&str; 3] = ["yearly-cost", "oxygen-demand", "ammonia-made"];
/// Every shipped plan.
const EXAMPLES: [&str; 7] = [
    "courtyard-retrofit",
    "courtyard-as-sent",
    "mill-yard-metric",
    "two-ponds",
    "ledge-run",
    "minimal",
    "starter",
];

fn lines(name: &str) -> Vec<FigureLine> {
    let (engine, opened) = changed::example(name, &[]);
    figure_lines(&engine.context(&opened, ReviewOptions::default()))
}

fn worked(lines: &[FigureLine], object: &str, name: &str) -> String {
    let line = lines
        .iter()
        .find(|line| line.object.as_str() == object && line.name == name);
    line.and_then(|line| line.worked.clone()).unwrap()
}

#[test]
fn the_finest_stone_is_the_one_put_in() {
    let lines = lines("courtyard-as-sent");
    let lifts = worked(&lines, "/basins/bed", "fluidising-velocity");
    assert!(lifts.contains("(ρ·0.75 in)"), "{lifts}");
}

#[test]
fn a_symbol_of_several_values_is_left_as_it_is() {
    let lines = lines("courtyard-as-sent");
    let clean = worked(&lines, "/basins/bed", "bed-head-loss");
    assert!(clean.contains("Σ t·(150·μ·(1−n)²·0.774 gpm/ft²"), "{clean}");
    let fouled = worked(&lines, "/basins/bed", "bed-head-loss-fouled");
    assert!(fouled.starts_with("h = "), "{fouled}");
    let open = worked(&lines, "/basins/bed", "open-water-depth");
    assert_eq!(
        open,
        "d_open = max(0, 36 in − (12 in + 10 in + 7 in + 6 in)) = 1 in"
    );
}

#[test]
fn a_number_of_the_formula_meets_no_unit_that_is_not_its_own() {
    for name in ["courtyard-as-sent", "starter", "mill-yard-metric"] {
        let turned = worked(&lines(name), "", "nitrifying-capacity");
        assert!(turned.contains("1.07^(T_mean − 20)"), "{turned}");
    }
}

#[test]
fn every_arithmetic_line_comes_to_the_value_printed() {
    let (mut checked, mut failures) = (0, Vec::new());
    for name in EXAMPLES {
        for line in lines(name) {
            let worked = line.worked.as_deref().unwrap_or_default();
            if IN_OTHER_UNITS.contains(&line.name.as_str()) {
                continue;
            }
            let Some((got, said)) = arithmetic::sides(worked) else {
                continue;
            };
            checked += 1;
            let open = (got.open + said.open) * 1.001 + 1e-12;
            if (got.si - said.si).abs() > open {
                failures.push(format!("{name} {} {}: {worked}", line.object.as_str(), line.name));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    assert!(checked > 400, "only {checked} lines were worked out");
}

/// The test goes through every plan that is shipped.
#[test]
fn every_shipped_plan_is_worked_out() {
    let folder = format!("{}/examples", env!("CARGO_MANIFEST_DIR"));
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|found| found == "jsonc") {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            assert!(EXAMPLES.contains(&name.as_str()), "{name}");
        }
    }
}
